"""The first page: what the owner of the shop has to know before spending money."""

from collections.abc import Iterable, Iterator

from ampwright.decision import Decision
from ampwright.finding import Question
from ampwright.option import Option
from ampwright.records.machine import Machine
from ampwright.report.blocks import (
    NONE,
    Block,
    Entry,
    Grid,
    Listing,
    Row,
    Section,
    Text,
    heads,
)
from ampwright.report.buying import purchases
from ampwright.report.keeping import kept
from ampwright.report.phrases import (
    is_unknown,
    licence,
    machines_by_id,
    shown_option,
)
from ampwright.report.turns import apart, order
from ampwright.report.way_out import BROUGHT, way_out
from ampwright.report.weighing import clauses, costs, limits, other_ways, told
from ampwright.report.wording import Wording, capital

PLATE_FIELDS = ("power_w", "apparent_power_va", "voltage_v", "current_a", "frequency_hz")
DO_NOT_BUY = "plan.do-not-buy-yet"
VERDICT_TONES = {
    "feasible": "yes",
    "feasible-with-conditions": "conditions",
    "not-feasible": "no",
}


def owner_sections(decision: Decision, wording: Wording) -> Iterator[Section]:
    """Yield the sections of the first page."""
    option = shown_option(decision)
    yield Section(
        id="answer",
        title=wording.say("The answer"),
        blocks=tuple(_answer(decision, option, wording)),
    )
    if found := tuple(way_out(decision, wording)):
        yield Section(id="way-out", title=wording.say("What would make it a yes"), blocks=found)
    if option is None:
        return
    yield Section(
        id="machines",
        title=wording.say("Machine by machine"),
        blocks=(_machines(decision, option, wording),),
    )
    for name, title, blocks in _parts(decision, option, wording):
        if found := tuple(blocks):
            yield Section(id=name, title=title, blocks=found)


def _parts(
    decision: Decision, option: Option, wording: Wording
) -> Iterator[tuple[str, str, Iterator[Block]]]:
    """Yield id, title and blocks of the parts; of what cannot be done nothing is to be bought."""
    say = wording.say
    if decision.verdict == "not-feasible" or _objected(decision):
        yield "costs", say("What the way considered would cost, roughly"), costs(option, wording)
    else:
        yield "buy", say("What to buy"), purchases(decision, option, wording)
        yield "size", say("Why that size"), limits(option, wording)
        yield "costs", say("What it costs, roughly"), costs(option, wording)
        yield "apart", say("What must not run together"), apart(decision, option, wording)
        yield "order", say("Order of starting"), order(option, wording)
    yield "others", say("Other ways, and why not"), other_ways(decision, option, wording)


def asked(questions: Iterable[Question], wording: Wording) -> tuple[Entry, ...]:
    """Return questions as entries, each text once, those that change the method first."""
    order = {"method": 0, "size": 1, "safety": 2, "figures": 3}
    merged: dict[tuple[str, str], tuple[dict[str, None], dict[str, None]]] = {}
    for one in sorted(questions, key=lambda question: order[question.changes]):
        where, fields = merged.setdefault((wording.question(one), one.changes), ({}, {}))
        where |= dict.fromkeys(one.where)
        fields |= dict.fromkeys([one.field] if one.field else [])
    return tuple(
        Entry(
            text=text,
            subject=wording.subject(where),
            detail=" · ".join([wording.word("changes", changes), *list(fields)[:1]]),
            tone="info" if changes == "figures" else "caution",
        )
        for (text, changes), (where, fields) in merged.items()
    )


def _answer(decision: Decision, option: Option | None, wording: Wording) -> Iterator[Block]:
    said = [*decision.findings, *(option.findings if option else ())]
    stop = next((one for one in said if one.code == DO_NOT_BUY), None)
    if _objected(decision):
        yield Text(
            text=wording.say("Do not use this plan: its independent check objects."), tone="stop"
        )
    decisive = [one for one in decision.questions if one.changes in ("method", "size")]
    first, *rest = asked(decisive, wording) or (None,)
    if first is not None:
        ahead = f"{first.subject}: " if first.subject else ""
        sentence = wording.say("Do not buy yet. {what}", what=f"{ahead}{first.text}")
        yield Text(text=sentence, tone="stop")
    elif stop is not None:
        yield Text(text=wording.finding(stop), tone="stop")
    tone = "no" if _objected(decision) else VERDICT_TONES[decision.verdict]
    yield Text(text=verdict_sentence(decision, option, wording), tone=tone)
    if rest:
        yield Text(text=wording.say("These, too, may change method or size:"), tone="note")
        yield Listing(entries=tuple(one for one in rest if one is not None))
    if found := tuple(_conditions(option, wording)):
        stuck = decision.verdict == "not-feasible"
        yield Text(
            text=wording.say("What stands in the way:") if stuck else wording.say("Conditions:"),
            tone="note",
        )
        yield Listing(entries=found)
    if option is not None and decision.verdict != "not-feasible" and not _objected(decision):
        yield from kept(decision, option, wording)
    yield Text(text=licence(wording), tone="note")


def _objected(decision: Decision) -> bool:
    return any(one.severity == "blocks" for one in decision.checks or ())


def _conditions(option: Option | None, wording: Wording) -> Iterator[Entry]:
    """Yield what keeps machines from running, or comes first, each text once."""
    if option is None:
        return
    machines = {one.id for one in option.machines}
    whole = (one for one in option.findings if one.severity == "blocks")
    merged: dict[tuple[str, str], dict[str, None]] = {}
    for finding in whole:
        if not machines & set(finding.where):
            key = (wording.finding(finding), "blocks")
            merged.setdefault(key, {}).update(dict.fromkeys(finding.where))
    for one in option.machines:
        tone = "blocks" if one.verdict == "not-feasible" else "caution"
        for reason in told(one.reasons) if one.verdict != "feasible" else ():
            if tone == "caution" or reason.severity == "blocks" or reason.code == BROUGHT:
                merged.setdefault((wording.finding(reason), tone), {})[one.id] = None
    for (text, tone), where in merged.items():
        yield Entry(text=text, subject=wording.subject(where), tone=tone)


def verdict_sentence(decision: Decision, option: Option | None, wording: Wording) -> str:
    """Return the answer in one sentence; a plan that its check objects to is no yes."""
    if _objected(decision):
        return wording.say(
            "No answer: the check has found a contradiction in this plan. Report it, and have the "
            "shop planned by hand."
        )
    if option is None:
        every = wording.names_of(machines_by_id(decision))
        return wording.say(
            "No: no way was found to run {machines} from this supply as it is.", machines=every
        )
    how: dict[str, list[str]] = {}
    for one in option.machines:
        how.setdefault(one.method or "none", []).append(wording.name(one.id))
    ways = "; ".join(clauses(option, wording))
    without = wording.listed(how.get("none", []))
    if decision.verdict == "not-feasible":
        stuck = [
            one
            for one in option.machines
            if one.verdict == "not-feasible" and _required(decision, one.id)
        ]
        required = [wording.name(one.id) for one in stuck if not is_unknown(one)]
        unknown = [wording.name(one.id) for one in stuck if is_unknown(one)]
        texts = []
        if required:
            text = wording.say(
                "No: {machines} cannot be run from this supply as it is.",
                machines=wording.listed(required),
            )
            texts.append(text)
        if unknown:
            text = wording.say(
                "Not known yet: {machines} cannot be planned before the plate, or what is drawn, "
                "is known. That judges neither machine nor supply.",
                machines=wording.listed(unknown),
            )
            texts.append(text)
        if texts:
            text = " ".join(texts)
            if ways and without:
                text += wording.say(" What can be run: {ways}.", ways=ways)
            return text
        return wording.say("No, not on this supply as it is. Considered: {ways}.", ways=ways)
    if decision.verdict == "feasible":
        text = wording.say("Yes: {ways}.", ways=ways)
    else:
        text = wording.say("Yes, under the conditions below: {ways}.", ways=ways)
    return text + (wording.say(" Left out: {machines}.", machines=without) if without else "")


def _required(decision: Decision, machine: str) -> bool:
    return bool(machines_by_id(decision)[machine].required)


def stated_plate(machine: Machine, wording: Wording) -> str:
    """Return what the caller stated of a machine, in the caller's own words."""
    if machine.plate:
        return str(machine.plate)
    lines = []
    for part in (*machine.motors, *machine.loads):
        words = [wording.choice(str(getattr(part, "kind", "")))]
        words += [getattr(getattr(part, name, None), "given", "") for name in PLATE_FIELDS]
        lines.append(", ".join(word for word in words if word))
    return "\n".join(lines) or NONE


def _machines(decision: Decision, option: Option, wording: Wording) -> Grid:
    records = machines_by_id(decision)
    rows = []
    for one in option.machines:
        way = wording.word("method_runs", one.method or "none")
        if one.method and one.verdict == "not-feasible":
            way = wording.say("considered, but not possible: {way}", way=way)
        unknown = is_unknown(one)
        rows.append(
            Row(
                cells=(
                    wording.name(one.id),
                    stated_plate(records[one.id], wording),
                    NONE if unknown else capital(way),
                    wording.say("not known yet")
                    if unknown
                    else wording.word("verdicts", one.verdict),
                ),
                tone=VERDICT_TONES[one.verdict],
            )
        )
    columns = heads(wording.head, "Machine", "As stated", "Runs", "Verdict")
    return Grid(columns=columns, rows=tuple(rows))
