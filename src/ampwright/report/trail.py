"""How each number came about, numbered, so that a reader can follow every one to its source."""

import re
from collections.abc import Iterable, Iterator

from ampwright.decision import Decision
from ampwright.report.blocks import Derivation, Section, Text, Trail
from ampwright.report.figures import Customs, measure
from ampwright.report.phrases import shown_option
from ampwright.report.wording import Wording, capital, clause
from ampwright.step import Step

#: Figures of a number that others are calculated from; the answer itself deserves fewer.
WORKING_DIGITS = 5
#: Working is shown in the units that the formulas use.
_PLAIN = Customs(feet=False, horsepower=False)
_OPTION = re.compile(r"options/[^/]+/")


def trail_sections(decision: Decision, wording: Wording) -> Iterator[Section]:
    """Yield the steps of the plan and of the option that the report is about."""
    groups = list(_groups(decision, wording))
    numbers = {
        step.path: n
        for n, step in enumerate((step for _, steps in groups for step in steps), start=1)
    }
    known = {step.path: step for _, steps in groups for step in steps}
    trails = tuple(
        Trail(
            title=title,
            derivations=tuple(_derived(step, numbers, known, wording) for step in steps),
        )
        for title, steps in groups
    )
    if trails:
        note = (
            "Every figure of this plan, in the order of the work. The number behind an input leads "
            "to where it came from. Intermediate figures are shown with more digits than they "
            "deserve, so that the arithmetic can be followed with a pencil."
        )
        yield Section(
            id="numbers",
            title="Numbers, one by one",
            blocks=(Text(text=note, tone="note"), *trails),
        )


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
    parts = _OPTION.sub("", path).split("/")[:-1]
    known = [wording.names[part] for part in parts if part in wording.names]
    if known:
        return capital(known[0])
    return capital(parts[0].replace("-", " ")) if parts else "The shop"


def _derived(
    step: Step, numbers: dict[str, int], known: dict[str, Step], wording: Wording
) -> Derivation:
    inputs = tuple(
        (name, _value(known[path]) if path in known else "", numbers.get(path, 0))
        for name, path in step.inputs
    )
    return Derivation(
        number=numbers[step.path],
        path=step.path,
        symbol=step.symbol,
        value=_value(step),
        how=wording.word("kinds", step.kind),
        formula=_formula(step),
        inputs=inputs,
        basis=_basis(step, wording),
        detail=_detail(step),
    )


def _value(step: Step) -> str:
    if isinstance(step.value, str):
        return f"{step.value} {step.unit}".strip()
    return measure(step.value, step.unit, _PLAIN, digits=WORKING_DIGITS)


def _formula(step: Step) -> str:
    if step.kind == "table":
        return f"table {step.table}: {', '.join(step.cell)}"
    if step.kind == "solved" and step.unknowns:
        return f"{step.formula}, solved for {', '.join(step.unknowns)}"
    return step.formula.replace("**", "^")


def _basis(step: Step, wording: Wording) -> str:
    rule = clause(step.rule)
    if step.source is None:
        return rule
    source = f"{step.source} – {wording.word('known', step.source.known)}"
    if step.source.known == "caller":
        source = wording.word("known", "caller")
    return f"{rule}: {source}" if rule else source


def _detail(step: Step) -> str:
    parts = []
    if step.text:
        parts.append(f"“{step.text}”")
    if step.low is not None or step.high is not None:
        edges = (
            "…" if edge is None else measure(edge, step.unit, _PLAIN)
            for edge in (step.low, step.high)
        )
        parts.append(f"band {' to '.join(edges)}")
    if step.residual is not None:
        parts.append(f"residual {step.residual:.1e}")
    return "; ".join(parts)
