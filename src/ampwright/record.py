"""What every record has in common: it is equal to every other that says the same."""

from collections.abc import Callable
from operator import attrgetter
from typing import Any, cast

import attrs

Values = Callable[[object], tuple[object, ...]]


def values_of(names: list[str]) -> Values:
    """Return the function that gives the attributes *names* of a thing."""
    if len(names) > 1:
        return cast("Values", attrgetter(*names))
    return lambda record: tuple(getattr(record, name) for name in names)


_compared: dict[type, Values] = {}


class Record:
    """Base of attrs classes that are made with ``eq=False`` and ``repr=False``.

    Comparing, hashing and printing stand here once: attrs would write and compile them anew for
    each of a hundred classes whenever a process starts. They follow the ``eq`` and ``repr`` of the
    fields, as attrs does.
    """

    __slots__ = ()

    def _said(self) -> tuple[object, ...]:
        kind = type(self)
        found = _compared.get(kind)
        if found is None:
            names = [one.name for one in _fields(self) if one.eq]
            found = _compared[kind] = values_of(names)
        return found(self)

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Record) or type(other) is not type(self):
            return NotImplemented
        return self._said() == other._said()

    def __hash__(self) -> int:
        return hash((type(self), self._said()))

    def __repr__(self) -> str:
        said = [f"{one.name}={getattr(self, one.name)!r}" for one in _fields(self) if one.repr]
        return f"{type(self).__name__}({', '.join(said)})"


def _fields(record: Record) -> "tuple[attrs.Attribute[Any], ...]":
    kind = cast("type[attrs.AttrsInstance]", type(record))
    found: tuple[attrs.Attribute[Any], ...] = attrs.fields(kind)
    return found
