"""Walking through answers: every number with the path of its step, every step, every float."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

import attrs

from ampwright.finding import Parameter
from ampwright.step import HERE, Figure, Step, evaluate

#: Kinds of steps that have to say where they come from.
WITH_SOURCE = frozenset(("table", "assumed", "solved", "given"))


def numbers(thing: Any, path: str) -> Iterator[tuple[str, float]]:  # noqa: ANN401 - any part of an answer
    """Yield path and value of each number in *thing*, steps left out."""
    if isinstance(thing, bool | str | Step | Mapping) or thing is None:
        return
    if isinstance(thing, Parameter):
        thing = thing.value if isinstance(thing.value, str) else Figure(thing.value, thing.step)
    if isinstance(thing, Figure):
        yield thing.path, thing.value
    elif isinstance(thing, int | float):
        yield path, float(thing)
    elif isinstance(thing, tuple):
        for n, one in enumerate(thing):
            yield from numbers(one, f"{path}/{getattr(one, 'id', '') or n}")
    elif attrs.has(type(thing)):
        for field in attrs.fields(type(thing)):
            if not field.name.startswith("_") and field.name not in ("steps", "extra"):
                yield from numbers(getattr(thing, field.name), f"{path}/{field.name}")


def steps(thing: Any) -> Iterator[Step]:  # noqa: ANN401 - any part of an answer
    """Yield every step in *thing*."""
    if isinstance(thing, Step):
        yield thing
    elif isinstance(thing, tuple) and not isinstance(thing, Figure):
        for one in thing:
            yield from steps(one)
    elif attrs.has(type(thing)):
        for field in attrs.fields(type(thing)):
            yield from steps(getattr(thing, field.name))


def without_step(
    found: Iterable[tuple[str, float]], known: Iterable[Step], home: str = HERE
) -> Iterator[str]:
    """Yield what is said of each number that has no step, or a step of another value.

    Args:
        found: Numbers with the paths of their steps.
        known: The steps of the answer.
        home: Where paths of the answer begin; numbers from elsewhere are passed over.
    """
    by_path = {one.path: one for one in known}
    for path, value in found:
        if not path.startswith(f"{home}/"):
            continue
        step = by_path.get(path)
        if step is None:
            yield f"{path} = {value!r} has no step"
        elif step.value != value:
            yield f"{path} = {value!r}, but its step says {step.value!r}"


def unsound_steps(known: Iterable[Step], home: str = HERE) -> Iterator[str]:
    """Yield what is wrong with steps: twice there, without source, formulas that do not add up.

    Args:
        known: The steps of one answer.
        home: Where paths of the answer begin; inputs from elsewhere are not looked for.
    """
    found = tuple(known)
    by_path = {one.path: one for one in found}
    for path, count in Counter(one.path for one in found).items():
        if count > 1:
            yield f"{path} is there {count} times"
    for one in found:
        if one.kind in WITH_SOURCE and one.source is None:
            yield f"{one.path} states no source"
        if one.kind == "table" and not (one.table and one.cell):
            yield f"{one.path} names no table and cell"
        if one.kind == "solved" and (one.residual is None or not one.formula):
            yield f"{one.path} names no model and residual"
        inside = [path for _, path in one.inputs if path.startswith(f"{home}/")]
        yield from (f"{one.path} builds on {path}, which is no step"
                    for path in inside if path not in by_path)  # fmt: skip
        if one.kind == "formula" and all(path in by_path for _, path in one.inputs):
            values = {name: float(by_path[path].value) for name, path in one.inputs}
            again = evaluate(one.formula, values)
            if again != one.value:
                yield f"{one.path} = {one.value!r}, but {one.formula} gives {again!r}"
