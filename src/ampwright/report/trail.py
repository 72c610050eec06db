"""How each number came about, numbered, so that a reader can follow every one to its source."""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import takewhile

import attrs

from ampwright.decision import Decision
from ampwright.report.blocks import Derivation, Section, Sources, Text, Trail
from ampwright.report.figures import Customs, measure
from ampwright.report.phrases import shown_option
from ampwright.report.wording import Wording, capital, clause
from ampwright.step import Step
from ampwright.tables import Source

#: Figures of a number that others are calculated from; the answer itself deserves fewer.
WORKING_DIGITS = 5
#: Inputs that are spelt out; of more, only the numbers are named.
SPELT_OUT = 8
#: Working is shown in the units that the formulas use.
_PLAIN = Customs(feet=False, horsepower=False)
_OPTION = re.compile(r"^options/[^/]+/")
_PARTS = frozenset(("options", "machines", "circuits", "converters", "shop"))
NOTE = (
    "Every figure of this plan, in the order of the work. The number behind an input leads to "
    "where it came from; S and a number lead to the sources below. Figures are shown here with "
    "more digits than they deserve, so that the arithmetic can be followed with a pencil."
)


@attrs.frozen
class _Register:
    """What the derivations refer to: steps and sources, by number."""

    numbers: Mapping[str, int]
    steps: Mapping[str, Step]
    sources: Mapping[Source, int]
    units: Customs


def trail_sections(decision: Decision, wording: Wording) -> Iterator[Section]:
    """Yield the steps of the plan and of the option that the report is about."""
    groups = list(_groups(decision, wording))
    steps = [step for _, group in groups for step in group]
    if not steps:
        return
    cited = dict.fromkeys(
        one.source for one in steps if one.source and one.source.known != "caller"
    )
    register = _Register(
        {step.path: n for n, step in enumerate(steps, start=1)},
        {step.path: step for step in steps},
        {source: n for n, source in enumerate(cited, start=1)},
        attrs.evolve(_PLAIN, language=wording.language),
    )
    trails = (_trail(title, group, register, wording) for title, group in groups)
    yield Section(
        id="numbers",
        title=wording.say("Numbers"),
        blocks=(Text(text=wording.say(NOTE), tone="note"), *trails),
    )
    if cited:
        lines = tuple((str(one), wording.word("known", one.known)) for one in cited)
        yield Section(id="sources", title=wording.say("Sources"), blocks=(Sources(lines=lines),))


def _groups(decision: Decision, wording: Wording) -> Iterator[tuple[str, list[Step]]]:
    option = shown_option(decision)
    yield from _sorted(decision.steps, wording)
    if option is not None:
        yield from _sorted(option.steps, wording)
        for circuit in option.circuits:
            if circuit.steps:
                yield capital(wording.name(circuit.id)), list(circuit.steps)


def _sorted(steps: Iterable[Step], wording: Wording) -> Iterator[tuple[str, list[Step]]]:
    """Yield steps by the thing that they are about, each thing where it first appears."""
    found: dict[str, list[Step]] = {}
    for step in steps:
        found.setdefault(_subject(step.path, wording), []).append(step)
    yield from found.items()


def _subject(path: str, wording: Wording) -> str:
    parts = _OPTION.sub("", path).split("/")
    if len(parts) > 2 and parts[1] in wording.names:
        kind = "" if parts[0] in _PARTS else f", {parts[0].replace('-', ' ')}"
        return f"{capital(wording.names[parts[1]])}{kind}"
    if parts[:2] == ["shop", "machines"] and parts[2] in wording.names:
        return capital(wording.names[parts[2]])
    return capital(parts[0].replace("-", " "))


def _trail(title: str, steps: Sequence[Step], register: _Register, wording: Wording) -> Trail:
    common = _common([step.path.split("/")[:-1] for step in steps])
    begin = len(common) + 1 if common else 0
    return Trail(
        title=title,
        path=common,
        derivations=tuple(_derived(step, register, begin, wording) for step in steps),
    )


def _common(places: Sequence[Sequence[str]]) -> str:
    """Return the path that all *places* begin with."""
    shared = takewhile(lambda parts: len(set(parts)) == 1, zip(*places, strict=False))
    return "/".join(parts[0] for parts in shared)


def _derived(step: Step, register: _Register, begin: int, wording: Wording) -> Derivation:
    units = register.units
    spelt = len(step.inputs) <= SPELT_OUT
    inputs = tuple(
        (
            name,
            _value(register.steps[path], units) if path in register.steps else "",
            register.numbers.get(path, 0),
        )
        for name, path in step.inputs
    )
    details = (
        []
        if spelt
        else [wording.say("from {numbers}", numbers=ranges(number for _, _, number in inputs))]
    )
    return Derivation(
        number=register.numbers[step.path],
        path=step.path[begin:],
        symbol=step.symbol,
        value=_value(step, units),
        how=_how(step, wording),
        inputs=inputs if spelt else (),
        detail="; ".join([*details, *_details(step, units, wording)]),
        rule=clause(step.rule),
        source=register.sources.get(step.source, 0) if step.source else 0,
    )


def ranges(numbers: Iterable[int]) -> str:
    """Return *numbers* in order, runs as ``3–7``; nought stands for none."""
    runs: list[list[int]] = []
    for one in sorted(set(numbers) - {0}):
        if runs and one == runs[-1][-1] + 1:
            runs[-1].append(one)
        else:
            runs.append([one])
    return ", ".join(str(run[0]) if len(run) == 1 else f"{run[0]}–{run[-1]}" for run in runs)


def _value(step: Step, units: Customs) -> str:
    if isinstance(step.value, str):
        return f"{step.value} {step.unit}".strip()
    return measure(step.value, step.unit, units, digits=WORKING_DIGITS)


def _how(step: Step, wording: Wording) -> str:
    say = wording.say
    if step.kind == "given":
        return say("stated: “{text}”", text=step.text) if step.text else say("stated")
    if step.kind == "table":
        return say("table {name}: {cells}", name=step.table, cells=", ".join(step.cell))
    if step.kind == "assumed":
        return say("assumed")
    if step.kind == "solved":
        if not step.unknowns:
            return say("solved: {model}", model=step.formula)
        unknowns = ", ".join(step.unknowns)
        return say("solved for {unknowns}: {model}", unknowns=unknowns, model=step.formula)
    return step.formula.replace("**", "^")


def _details(step: Step, units: Customs, wording: Wording) -> Iterator[str]:
    if step.low is not None or step.high is not None:
        low, high = (
            "…" if edge is None else measure(edge, step.unit, units)
            for edge in (step.low, step.high)
        )
        yield wording.say("band {low} to {high}", low=low, high=high)
    if step.residual:
        yield wording.say("residual {number}", number=f"{step.residual:.0e}")
