"""The first page: what the owner of the shop has to know before spending money."""

from collections.abc import Iterable, Iterator, Sequence

from ampwright.decision import Decision
from ampwright.finding import Question
from ampwright.method import Limit
from ampwright.option import Cost, Option
from ampwright.records.machine import Machine
from ampwright.report.blocks import (
    Block,
    Column,
    Entry,
    Grid,
    Listing,
    Row,
    Section,
    Text,
)
from ampwright.report.figures import measure, money
from ampwright.report.phrases import (
    NONE,
    converter_title,
    machines_by_id,
    reasons,
    shown_option,
    transformer_title,
)
from ampwright.report.wording import Wording, capital, listed

YEARLY = ("energy", "idle")
COST_KINDS = ("purchase", "installation", "energy", "idle")
#: Methods that take a piece of equipment for each machine.
ALONE = ("static", "drive", "motor-swap")
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
    yield Section(id="answer", title="The answer", blocks=tuple(_answer(decision, option, wording)))
    if option is None:
        return
    yield Section(
        id="machines",
        title="Machine by machine",
        blocks=(_machines(decision, option, wording),),
    )
    parts = (
        ("buy", "What to buy", _purchases(option, wording)),
        ("size", "Why that size", _limits(option, wording)),
        ("costs", "What it costs, roughly", _costs(option, wording)),
        ("apart", "What must not run together", _apart(decision, option, wording)),
        ("order", "Order of starting", _order(option, wording)),
        ("others", "Other ways, and why not", _others(decision, option, wording)),
    )
    for name, title, blocks in parts:
        if found := tuple(blocks):
            yield Section(id=name, title=title, blocks=found)


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
    decisive = [one for one in decision.questions if one.changes in ("method", "size")]
    first, *rest = asked(decisive, wording) or (None,)
    if first is not None:
        ahead = f"{first.subject}: " if first.subject else ""
        yield Text(text=f"Do not buy yet. {ahead}{first.text}", tone="stop")
    elif stop is not None:
        yield Text(text=wording.finding(stop), tone="stop")
    if rest:
        yield Text(text="These, too, may change method or size:", tone="note")
        yield Listing(entries=tuple(one for one in rest if one is not None))
    yield Text(
        text=verdict_sentence(decision, option, wording), tone=VERDICT_TONES[decision.verdict]
    )
    conditions = [
        Entry(
            text=reasons(one.reasons, wording),
            subject=wording.name(one.id),
            tone="blocks" if one.verdict == "not-feasible" else "caution",
        )
        for one in (option.machines if option else ())
        if one.reasons and one.verdict != "feasible"
    ]
    if conditions:
        yield Listing(entries=tuple(conditions))


def verdict_sentence(decision: Decision, option: Option | None, wording: Wording) -> str:
    """Return the answer in one sentence."""
    if option is None:
        return "No: no way was found to run these machines from this supply."
    how: dict[str, list[str]] = {}
    for one in option.machines:
        how.setdefault(one.method or "none", []).append(wording.name(one.id))
    ways = "; ".join(clauses(option, wording))
    without = listed(how.get("none", []))
    if decision.verdict == "not-feasible":
        required = [
            wording.name(one.id)
            for one in option.machines
            if one.verdict == "not-feasible" and _required(decision, one.id)
        ]
        lacking = listed(required) or "the machines"
        rest = f" What can be run: {ways}." if ways and without else ""
        return f"No: {lacking} cannot be run from this supply as it is.{rest}"
    opening = "Yes" if decision.verdict == "feasible" else "Yes, under the conditions below"
    tail = f" Left out: {without}." if without else ""
    return f"{opening}: {ways}.{tail}"


def _required(decision: Decision, machine: str) -> bool:
    return bool(machines_by_id(decision)[machine].required)


def stated_plate(machine: Machine) -> str:
    """Return what the caller stated of a machine, in the caller's own words."""
    if machine.plate:
        return str(machine.plate)
    lines = []
    for part in (*machine.motors, *machine.loads):
        words = [str(getattr(part, "kind", ""))]
        words += [getattr(getattr(part, name, None), "given", "") for name in PLATE_FIELDS]
        lines.append(", ".join(word for word in words if word))
    return "\n".join(lines) or NONE


def _machines(decision: Decision, option: Option, wording: Wording) -> Grid:
    records = machines_by_id(decision)
    rows = []
    for one in option.machines:
        way = wording.word("method_runs", one.method or "none")
        rows.append(
            Row(
                cells=(
                    wording.name(one.id),
                    stated_plate(records[one.id]),
                    capital(way),
                    wording.word("verdicts", one.verdict),
                ),
                tone=VERDICT_TONES[one.verdict],
            )
        )
    heads = ("Machine", "As stated", "Runs", "Verdict")
    return Grid(columns=tuple(Column(title=head) for head in heads), rows=tuple(rows))


def _purchases(option: Option, wording: Wording) -> Iterator[Block]:
    units = wording.customs
    rows = []
    for converter in option.converters:
        sides = (
            ("input", "single-phase", converter.input_voltage_v, converter.input_current_a),
            ("output", "three-phase", converter.output_voltage_v, converter.output_current_a),
        )
        plate = [
            f"{side} {measure(volts, 'V', units)} {kind}, {measure(amps, 'A', units, toward='up')}"
            for side, kind, volts, amps in sides
        ]
        if converter.largest_motor_w is not None:
            power = measure(converter.largest_motor_w, "W", units, shaft=True)
            plate.append(f"starts a motor of {power}")
        state = "its plate as stated" if converter.given else "to look for on its plate"
        rows.append(
            Row(
                cells=(
                    converter_title(converter, wording),
                    wording.names_of(converter.machines),
                    f"{capital('; '.join(plate))} ({state})",
                )
            )
        )
    rows += [
        Row(
            cells=(
                transformer_title(transformer, wording),
                wording.names_of(transformer.machines),
                NONE,
            )
        )
        for transformer in option.transformers
    ]
    rows += [
        Row(
            cells=(
                capital(wording.word("methods", one.method)),
                wording.name(one.id),
                "Work on the machine itself",
            )
        )
        for one in option.machines
        if one.method in ("relink", "motor-swap")
    ]
    if rows:
        heads = ("What", "For", "What its plate has to say")
        yield Grid(columns=tuple(Column(title=head) for head in heads), rows=tuple(rows))
    yield Text(
        text=f"Conductors, {wording.term('protective-device')}s, overloads and switches are in the "
        f"schedules for the {wording.term('electrician')}; have them quoted from there.",
        tone="note",
    )


def _limits(option: Option, wording: Wording) -> Iterator[Block]:
    subjects: dict[str, list[Limit]] = {}
    for limit in option.limits:
        subjects.setdefault(limit.subject, []).append(limit)
    rows = []
    for subject, limits in subjects.items():
        name = capital(wording.name(subject))
        ordered = sorted(limits, key=lambda one: (one.cross_check, -(one.asks or 1e18)))
        for number, one in enumerate(ordered):
            words = capital(wording.word("constraints", one.constraint))
            tone = "lead" if one.governs else "note" if one.cross_check else ""
            first = "" if number else name
            rows.append(Row(cells=(first, words, _asked(one, wording), _role(one)), tone=tone))
    if rows:
        yield Grid(
            columns=(
                Column(title="What"),
                Column(title="Has to meet"),
                Column(title="Smallest standard size\nthat does so alone", numeric=True),
                Column(title=""),
            ),
            rows=tuple(rows),
        )


def _asked(limit: Limit, wording: Wording) -> str:
    if limit.asks is None:
        return "no standard size does"
    return measure(limit.asks, limit.unit, wording.customs, digits=5, shaft=True)


def _role(limit: Limit) -> str:
    if limit.cross_check:
        return "cross-check only: common practice, no source"
    return "governs" if limit.governs else ""


def totals(costs: Sequence[Cost], kinds: Sequence[str]) -> list[str]:
    """Return the range of all costs of *kinds*, one text a currency."""
    sums: dict[str, tuple[float, float]] = {}
    for cost in costs:
        if cost.kind in kinds:
            low, high = sums.get(cost.currency, (0.0, 0.0))
            sums[cost.currency] = (low + cost.low, high + cost.high)
    return [money(low, high, currency) for currency, (low, high) in sums.items()]


def _costs(option: Option, wording: Wording) -> Iterator[Block]:
    kinds = [kind for kind in COST_KINDS if any(one.kind == kind for one in option.costs)]
    if not kinds:
        return
    things: dict[str, list[Cost]] = {}
    for cost in option.costs:
        if cost.high > 0.0:
            things.setdefault(_payer(cost, option, wording), []).append(cost)
    rows = [
        Row(cells=(thing, *("\n".join(totals(costs, [kind])) or NONE for kind in kinds)))
        for thing, costs in things.items()
    ]
    both = ("\n".join(totals(option.costs, [kind])) or NONE for kind in kinds)
    rows.append(Row(cells=("All together", *both), tone="lead"))
    heads = [Column(title=wording.word("costs", kind), numeric=True) for kind in kinds]
    yield Grid(
        columns=(Column(title="For"), *heads),
        rows=tuple(rows),
        note="Rough ranges, good enough to choose a way and not to order by. Ask for quotes.",
    )


def _payer(cost: Cost, option: Option, wording: Wording) -> str:
    """Return what a cost is for: its id is that of a thing, or of a method and a machine."""
    thing = cost.id.partition("/")[0]
    if thing in wording.names:
        return capital(wording.name(thing))
    method, _, machine = thing.partition(".")
    if machine in {one.id for one in option.machines}:
        return f"{wording.name(machine)}: {wording.word('methods', method)}"
    return capital(wording.word("methods", thing))


def _apart(decision: Decision, option: Option, wording: Wording) -> Iterator[Block]:
    if option.apart:
        yield Listing(
            entries=tuple(
                Entry(text=f"{wording.names_of(group)}: one at a time.", tone="caution")
                for group in option.apart
            )
        )
    sets = [one.running for one in option.states if not one.converter and one.running]
    sets = sets or list(decision.shop.together or ())
    everything = len(sets) < 2 and decision.shop.together is None
    groups = "; ".join(wording.names_of(group) for group in sets)
    text = (
        "This plan reckons with every machine running at once."
        if everything
        else f"This plan reckons with these at once: {groups}. More was not examined."
    )
    yield Text(text=text, tone="note")


def _order(option: Option, wording: Wording) -> Iterator[Block]:
    if not option.sequence:
        return
    entries = [Entry(text=f"{capital(wording.name(one))}.") for one in option.sequence]
    yield Listing(entries=tuple(entries), ordered=True)
    yield Text(
        text="Start one after the other, each when the one before has reached its speed. "
        "Stop in the opposite order.",
    )


def _others(decision: Decision, option: Option, wording: Wording) -> Iterator[Block]:
    rows = []
    for one in decision.options:
        once = sorted({cost.kind for cost in one.costs} - set(YEARLY))
        remark = "this plan" if one is option else _against(one, wording)
        rows.append(
            Row(
                cells=(
                    way(one, wording),
                    wording.word("verdicts", one.verdict),
                    "\n".join(totals(one.costs, once)) or NONE,
                    "\n".join(totals(one.costs, YEARLY)) or NONE,
                    remark,
                ),
                tone="lead" if one is option else "",
            )
        )
    if len(rows) > 1:
        yield Grid(
            columns=(
                Column(title="Way"),
                Column(title="Verdict"),
                Column(title="Once", numeric=True),
                Column(title="A year", numeric=True),
                Column(title="Against it"),
            ),
            rows=tuple(rows),
        )


def clauses(option: Option, wording: Wording) -> Iterator[str]:
    """Yield which machines run how, a clause for each method."""
    how: dict[str, list[str]] = {}
    for one in option.machines:
        if one.method is not None:
            how.setdefault(one.method, []).append(wording.name(one.id))
    for method, names in how.items():
        area = "method_runs_many" if len(names) > 1 and method in ALONE else "method_runs"
        yield f"{listed(names)} {wording.word(area, method)}"


def way(option: Option, wording: Wording) -> str:
    """Return how an option serves the machines, in a few words."""
    without = [wording.name(one.id) for one in option.machines if one.method is None]
    words = [*clauses(option, wording), *([f"{listed(without)} not at all"] if without else [])]
    return capital("; ".join(words))


def _against(option: Option, wording: Wording) -> str:
    seen: dict[str, None] = {}
    for one in option.machines:
        for reason in one.reasons:
            if reason.severity != "info":
                seen[f"{wording.name(one.id)}: {wording.finding(reason)}"] = None
    for finding in option.findings:
        if finding.severity == "blocks":
            seen[wording.finding(finding)] = None
    return "\n".join(list(seen)[:3]) or "ranked lower by what it costs"
