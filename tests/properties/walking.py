"""Walks a plan and yields every number in it with the path of its step."""

from collections.abc import Iterator
from typing import Any

import attrs

from ampwright.finding import Parameter
from ampwright.step import Step


def numbers(thing: Any, path: str) -> Iterator[tuple[str, float]]:  # noqa: ANN401 - any value of a plan
    """Yield path and value of each number in *thing*, steps left out."""
    if isinstance(thing, bool | str | Step) or thing is None:
        return
    if isinstance(thing, int | float):
        yield path, float(thing)
    elif isinstance(thing, Parameter):
        if not isinstance(thing.value, str):
            yield thing.step, float(thing.value)
    elif isinstance(thing, tuple):
        for n, one in enumerate(thing):
            yield from numbers(one, f"{path}/{getattr(one, 'id', '') or n}")
    elif attrs.has(type(thing)):
        for field in attrs.fields(type(thing)):
            if not field.name.startswith("_") and field.name not in ("steps", "extra"):
                yield from numbers(getattr(thing, field.name), f"{path}/{field.name}".lstrip("/"))


def steps(thing: Any) -> Iterator[Step]:  # noqa: ANN401 - any value of a plan
    """Yield every step in *thing*."""
    if isinstance(thing, Step):
        yield thing
    elif isinstance(thing, tuple):
        for one in thing:
            yield from steps(one)
    elif attrs.has(type(thing)):
        for field in attrs.fields(type(thing)):
            yield from steps(getattr(thing, field.name))
