"""What whoever runs the machines has to keep to, on the first page."""

from collections.abc import Iterator

from ampwright.decision import Decision
from ampwright.finding import Finding
from ampwright.option import Option
from ampwright.report.blocks import Block, Entry, Listing, Text
from ampwright.report.figures import measure
from ampwright.report.phrases import machines_by_id
from ampwright.report.wording import Wording

TRIPS, ASSUMED = "protection.overload-trips-running", "machine.average-load-assumed"
#: Findings that decide whether the shop runs undisturbed, though no verdict hangs on them.
DECISIVE = (
    "supply.voltage-change",
    "supply.operator-start-limit",
    "supply.operator-motor-limit",
    "supply.operator-power-limit",
    "supply.undersized-together",
    "protection.overload-trips-at-start",
    "machine.unloader-missing",
    "converter.static-derate",
    "static.overload-limits-output",
    "machine.instant-reversal",
    "control.manufactured-leg",
    "control.neutral-from-manufactured-leg",
)


def kept(decision: Decision, option: Option, wording: Wording) -> Iterator[Block]:
    """Yield the loads that may be kept for long, and what else the running of the shop hangs on.

    What is a condition of a verdict already stands above and is not said again.
    """
    above = {wording.finding(one) for machine in option.machines for one in machine.reasons}
    merged: dict[str, dict[str, None]] = {}
    for finding in option.findings:
        text = wording.finding(finding) if finding.code in DECISIVE else ""
        if text and text not in above:
            merged.setdefault(text, {}).update(dict.fromkeys(finding.where))
    entries = [
        *_loads(decision, option, wording),
        *(
            Entry(text=text, subject=wording.subject(where), tone="caution")
            for text, where in merged.items()
        ),
    ]
    if entries:
        yield Text(text=wording.say("To be kept while it runs:"), tone="note")
        yield Listing(entries=tuple(entries))


def _loads(decision: Decision, option: Option, wording: Wording) -> Iterator[Entry]:
    """Yield for each machine whose overload opens at full rating what was planned for."""
    tripping: dict[str, Finding] = {}
    served = {one.id for one in option.machines if one.verdict != "not-feasible"}
    for finding in option.findings:
        if finding.code == TRIPS:
            for machine in served.intersection(finding.where):
                if _value(finding, "leg") > _value(tripping.get(machine), "leg"):
                    tripping[machine] = finding
    for machine in (one for one in machines_by_id(decision) if one in tripping):
        finding, units = tripping[machine], wording.customs
        share, stated = _average(decision, machine)
        planned = measure(share, "fraction", units)
        text = (
            wording.say("This plan counts on {share} of its rating on average.", share=planned)
            if stated
            else wording.say(
                "Nobody stated how hard it works; this plan counts on {share} of its rating on "
                "average.",
                share=planned,
            )
        )
        leg = measure(_value(finding, "leg"), "A", units, toward="up")
        setting = measure(_value(finding, "setting"), "A", units, toward="down")
        text += " " + (
            wording.say(
                "With that its {@overload} may open already: {leg} in one line against a setting "
                "of {setting}. Load it less, or have the converter balanced anew.",
                leg=leg, setting=setting,
            )
            if _at_average(option, finding)
            else wording.say(
                "At its full rating for long its {@overload} would open: {leg} in one line against "
                "a setting of {setting}. Load it less, or have the converter balanced for full "
                "load.",
                leg=leg, setting=setting,
            )
        )  # fmt: skip
        yield Entry(text=text, subject=wording.subject([machine]), tone="caution")


def _at_average(option: Option, finding: Finding) -> bool:
    """Tell whether a line carries more than the setting at average load already.

    A state has the currents ahead of a transformer, the finding those behind it.
    """
    motor = next((str(one.value) for one in finding.parameters if one.name == "motor"), "")
    drawn: dict[str, float] = {}
    for state in option.states:
        for one in state.motors:
            if one.id == motor:
                drawn[state.load] = max(drawn.get(state.load, 0.0), *one.current_a)
    most = max(drawn.values(), default=0.0)
    average = drawn.get("average", 0.0)
    return most > 0.0 and average / most * _value(finding, "leg") > _value(finding, "setting")


def _value(finding: Finding | None, name: str) -> float:
    values = (one.value for one in (finding.parameters if finding else ()) if one.name == name)
    return next((float(one) for one in values), 0.0)


def _average(decision: Decision, machine: str) -> tuple[float, bool]:
    """Return the average load of a machine that was planned for, and whether it was stated."""
    for one in decision.assumptions:
        if one.code == ASSUMED and machine in one.where:
            return next(float(part.value) for part in one.parameters), False
    stated = machines_by_id(decision)[machine].average_load
    return float(stated or 1.0), True
