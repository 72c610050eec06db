"""What would make a yes of a no: another supply, three-phase brought in, a machine left out."""

from collections.abc import Iterator

from ampwright.decision import Decision
from ampwright.finding import Finding
from ampwright.option import Option
from ampwright.report.blocks import Block, Entry, Listing, Text
from ampwright.report.figures import measure
from ampwright.report.phrases import machines_by_id, only_unknown
from ampwright.report.weighing import clauses
from ampwright.report.wording import Wording

LOAD, CONTRACT = "supply.undersized", "supply.single-phase-limit"
BROUGHT = "utility.not-there-yet"
REST = "plan.runs-the-rest"
#: What is said of ways beside those of the plan.
BESIDE = ("supply.upgrade-option", "supply.upgrade-too-small", "plan.cheaper-alternative")
#: The heavy start of a machine can be made lighter: unloaded, geared, with another starter.
START = "converter.start-fails"
RECORDING = ("nec",)  # families whose rules take a record of the load for its calculation


def way_out(decision: Decision, wording: Wording) -> Iterator[Block]:
    """Yield what has to be different before this shop can be run; nothing where it can be."""
    if decision.verdict != "not-feasible":
        return
    entries = [
        *_larger(decision, wording),
        *_recorded(decision, wording),
        *_brought(decision, wording),
        *_without(decision, wording),
        *(
            Entry(text=wording.finding(one))
            for code in BESIDE
            for one in decision.findings
            if one.code == code
        ),
    ]
    if not entries and only_unknown(decision):
        text = wording.say(
            "To know what the machine draws: read its plate again, or have it measured."
        )
        entries = [Entry(text=text)]
    if not entries:
        text = wording.say(
            "Nothing that was looked at. A smaller machine, an engine generator or work sent out "
            "are left; and so are three-phase from the utility or a larger service, where they "
            "can be had."
        )
        entries = [Entry(text=text)]
    yield Listing(entries=tuple(entries))
    text = wording.say("Nothing is to be bought on this plan. State what was changed, plan again.")
    yield Text(text=text, tone="note")


def _in_the_way(decision: Decision, option: Option) -> list[Finding]:
    """Return what keeps *option* from running every machine that has to run."""
    required = {name: one.required for name, one in machines_by_id(decision).items()}
    found = [one for one in option.findings if one.severity == "blocks"]
    for one in option.machines:
        if one.verdict == "not-feasible" and required.get(one.id, True):
            found += one.reasons
    return found


def _serving(decision: Decision) -> list[tuple[Option, set[str], list[Finding]]]:
    """Return the ways that serve every machine, with what stands in the way of each."""
    required = {name for name, one in machines_by_id(decision).items() if one.required}
    return [
        (option, {one.code for one in found}, found)
        for option in decision.options
        if all(one.method for one in option.machines if one.id in required)
        for found in [_in_the_way(decision, option)]
    ]


def _asked(found: list[Finding], code: str, name: str) -> float:
    """Return the largest figure called *name* in the findings *code*."""
    values = (
        part.value
        for one in found
        if one.code == code
        for part in one.parameters
        if part.name == name and not isinstance(part.value, str)
    )
    return max(values, default=0.0)


def _larger(decision: Decision, wording: Wording) -> Iterator[Entry]:
    """Yield each way that a larger supply is enough for, the one that asks for least first."""
    able = [
        (option, _asked(found, LOAD, "load"), _asked(found, CONTRACT, "need"))
        for option, codes, found in _serving(decision)
        if codes and codes <= {LOAD, CONTRACT}
    ]
    for option, amperes, power in sorted(able, key=lambda one: (one[2], one[1])):
        size = measure(amperes, "A", wording.customs, toward="up")
        contract = measure(power, "VA", wording.customs, toward="up")
        ways = "; ".join(clauses(option, wording))
        # where the main device is large enough, it is the contract alone that is not
        enough = power > 0.0 and amperes <= (decision.shop.supply.rating_a or 0.0)
        if amperes and power and not enough:
            text = wording.say(
                "On a service or feeder that carries at least {size}, under a contract for at "
                "least {power}: {ways}.",
                size=size, power=contract, ways=ways,
            )  # fmt: skip
        elif amperes and not enough:
            text = wording.say(
                "On a service or feeder that carries at least {size}: {ways}.", size=size, ways=ways
            )
        else:
            text = wording.say(
                "Under a contract for at least {power}: {ways}.", power=contract, ways=ways
            )
        yield Entry(text=text)


def _recorded(decision: Decision, wording: Wording) -> Iterator[Entry]:
    """Yield that a record of the load there already may stand for what was calculated of it.

    NEC 220.87 takes the largest demand of a year, or of 30 days recorded without a break, and a
    quarter more (from memory).
    """
    supply = decision.shop.supply
    short = any(LOAD in codes for _, codes, _ in _serving(decision))
    if decision.region.family not in RECORDING or not short:
        return
    if supply.dwelling is not None and supply.demand_record in (None, "none"):
        text = wording.say(
            "Perhaps, if a record shows less than was calculated: the largest demand of a year, or "
            "of 30 days recorded without a break, counts with a quarter more in the place of the "
            "calculation. State it as `existing_load`, with `demand_record`, and plan again."
        )
        yield Entry(text=text)


def _brought(decision: Decision, wording: Wording) -> Iterator[Entry]:
    """Yield the first way that waits for three-phase only."""
    for option, codes, found in _serving(decision):
        if BROUGHT in codes and codes <= {BROUGHT, START}:
            ways = "; ".join(clauses(option, wording))
            text = wording.say(
                "Once three-phase from the utility is there, applied for and paid: {ways}.",
                ways=ways,
            )
            hard = dict.fromkeys(at for one in found if one.code == START for at in one.where)
            if hard:
                text += " " + wording.say(
                    "Besides, {machines} cannot start as stated: start empty, or with a starter "
                    "that leaves more torque.",
                    machines=wording.names_of(hard),
                )
            yield Entry(text=text)
            return


def _without(decision: Decision, wording: Wording) -> Iterator[Entry]:
    """Yield how the rest runs without what cannot."""
    by_id = {one.id: one for one in decision.options}
    for finding in decision.findings:
        if finding.code != REST:
            continue
        said = {part.name: str(part.value) for part in finding.parameters}
        option = by_id.get(said["option"])
        if option is not None:
            left = wording.names_of(said["left"].split(", "))
            ways = "; ".join(clauses(option, wording))
            yield Entry(text=wording.say("Without {machines}: {ways}.", machines=left, ways=ways))
