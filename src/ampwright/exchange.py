"""Plain data to any attrs record and back: `read` and its exact inverse, `write`."""

import re
from collections.abc import Iterable, Mapping
from itertools import compress
from operator import is_not
from typing import Any, cast

from ampwright.errors import AmpwrightError, InternalError
from ampwright.quantity import Held, Span, Word, canonical, decimal_comma
from ampwright.reading import (
    Field,
    Layout,
    Leftovers,
    known_layout,
    known_schema,
    layout_of,
    read,
    speaks_comma,
)

__all__ = ["Leftovers", "known_schema", "plain", "read", "write"]


#: What a record of texts alone was written as, by its identity: the source of a rule is the same
#: record in hundreds of steps, and is handed out as a copy each time.
Seen = dict[int, dict[str, object]]
#: Types whose values are plain data as they are; what else is, is found out step by step.
_PLAIN = frozenset({str, bool, type(None)})


def _own_words(field: Field, value: Held | Span | Word) -> object:
    """Return what the caller gave, or a spelling that reads as the same value here."""
    given = value.given
    spellings: list[object] = [given, given.replace(",", "."), given.replace(".", ",")]
    if isinstance(value, Held):
        plain = float(value)
        spellings.append(canonical(plain, value.unit))
        if value.unit == "1":
            spellings.append(plain)
    for spelling in spellings:
        try:
            again = field.converter(spelling) if field.converter else None
        except AmpwrightError:
            continue
        same = getattr(again, "alternatives", ()) == getattr(value, "alternatives", ())
        if again == value and same:
            return spelling
    raise InternalError(given, "words that read as the value held", field.alias)


def _plain(field: Field, seen: Seen, value: Any) -> object:  # noqa: ANN401 - its type is what is asked about
    """Return *value* as plain data; what results hold most of is asked about first."""
    kind = type(value)
    found: object = value
    if kind in _PLAIN:
        found = value
    elif kind is tuple:
        found = [one if type(one) in _PLAIN else _plain(field, seen, one) for one in value]
    elif kind is float and value - value == 0.0:
        found = value
    elif isinstance(value, float) or (kind is int and not field.integral):
        found = _finite(float(value), field.alias)
    elif layout := known_layout(kind):
        found = _written(value, layout, seen)
    elif isinstance(value, str):
        found = str(value)
    elif isinstance(value, tuple | list):
        found = [_plain(field, seen, one) for one in value]
    elif isinstance(value, Mapping):
        found = {str(key): _plain(field, seen, one) for key, one in value.items()}
    elif not isinstance(value, int):
        raise InternalError(kind.__name__, "plain data or a record", field.alias)
    return found


def _finite(value: float, name: str) -> float:
    if value - value != 0.0:
        raise InternalError(value, "a finite number", name, code="internal.nonfinite")
    return value


def plain(field: Field, value: object) -> object:
    """Return the *value* of one *field* of a result as plain data."""
    return _plain(field, {}, value)


def write(record: object, *, leftovers: Leftovers | None = None) -> dict[str, Any]:
    """Return *record* as plain data, the exact inverse of `read`.

    A record that a caller stated is written with what was stated, in the caller's own words; a
    result with every field, but for those of a class that is ``SPARSE``, which are left out where
    they hold nothing, as their default does. *leftovers* are put back.
    """
    found = cast("dict[str, Any]", _written(record, layout_of(type(record)), {}, whole=True))
    for (path, key), value in (leftovers or {}).items():
        inside: Any = found
        for name, number in re.findall(r"([^.\[\]]+)|\[([0-9]+)\]", path):
            inside = inside[name] if name else inside[int(number)]
        inside[key] = value
    return found


def _written(record: object, layout: Layout, seen: Seen, *, whole: bool = False) -> object:
    if layout.flat:
        found = seen.get(id(record))
        if found is None:
            found = seen[id(record)] = _write_result(record, layout, seen)
        return found.copy()
    if not layout.statement:
        return _write_result(record, layout, seen)
    if not layout.localised:
        return _write_statement(record, layout, seen, whole=whole)
    token = decimal_comma.set(speaks_comma(getattr(record, "locale", None)))
    try:
        return _write_statement(record, layout, seen, whole=whole)
    finally:
        decimal_comma.reset(token)


def _write_statement(record: object, layout: Layout, seen: Seen, *, whole: bool) -> object:
    stated: frozenset[str] = getattr(record, "_stated", frozenset())
    found: dict[str, object] = {}
    if layout.schema and (not stated or "schema" in stated):
        found["schema"] = layout.schema
    for field in layout.fields:
        value = getattr(record, field.name)
        if not field.always and field.alias not in stated and value == field.usual():
            continue
        if isinstance(value, Held | Span | Word):
            found[field.alias] = _own_words(field, value)
        else:
            found[field.alias] = _plain(field, seen, value)
    if layout.word and not (stated or whole) and found.keys() == {layout.word}:
        return found[layout.word]
    return found


def _write_result(record: object, layout: Layout, seen: Seen) -> dict[str, object]:
    found: dict[str, object] = {"schema": layout.schema} if layout.schema else {}
    values = layout.values(record)
    pairs: Iterable[tuple[Field, object]] = zip(layout.fields, values, strict=True)
    if layout.sparse:
        pairs = compress(pairs, map(is_not, values, layout.empties))
    for field, value in pairs:
        found[field.alias] = value if type(value) in _PLAIN else _plain(field, seen, value)
    return found
