"""Records of results as JSON, written straight: thousands of steps pass through no dictionaries.

The text is, to the byte, what `ampwright.documents.to_json` makes of what
`ampwright.exchange.write` gives.
"""

from itertools import compress
from operator import is_not
from typing import TYPE_CHECKING, Any

from ampwright import documents, exchange
from ampwright.documents import quoted
from ampwright.reading import Field, Layout, known_layout, layout_of

if TYPE_CHECKING:
    from collections.abc import Iterable

#: What was written already and comes again in hundreds of steps: lists of texts, and records of
#: texts alone, such as the source of a rule, by their identity.
Seen = dict[object, str]


def to_json(record: object) -> str:
    """Return the result *record* as JSON on one line; what is stated in it, as it was stated."""
    return _record(record, layout_of(type(record)), {})


def _record(record: object, layout: Layout, seen: Seen) -> str:
    values = layout.values(record)
    pairs: Iterable[tuple[Field, Any]] = zip(layout.fields, values, strict=True)
    if layout.sparse:
        pairs = compress(pairs, map(is_not, values, layout.empties))
    parts = [
        field.head + (quoted(value) if type(value) is str else _value(field, value, seen))
        for field, value in pairs
    ]
    if layout.schema:
        parts.insert(0, f'"schema":{quoted(layout.schema)}')
    return f"{{{','.join(parts)}}}"


def _texts(value: tuple[Any, ...], seen: Seen) -> str:
    """Return texts, and tuples of texts, as JSON."""
    found = seen.get(value)
    if found is None:
        inside = [quoted(one) if type(one) is str else _texts(one, seen) for one in value]
        found = seen[value] = f"[{','.join(inside)}]"
    return found


def _value(field: Field, value: Any, seen: Seen) -> str:  # noqa: ANN401 - its type is what is asked about
    """Return any value as JSON; what results hold most of is asked about first."""
    if field.texts:
        return _texts(value, seen)
    kind = type(value)
    if kind is float and value - value == 0.0:
        return repr(value)
    if value is None:
        return "null"
    if kind is tuple:
        inside = [quoted(one) if type(one) is str else _value(field, one, seen) for one in value]
        return f"[{','.join(inside)}]"
    layout = known_layout(kind)
    if layout is None or layout.statement:
        return documents.to_json(exchange.plain(field, value))
    found = seen.get(id(value)) if layout.flat else None
    if found is None:
        found = _record(value, layout, seen)
        if layout.flat:
            seen[id(value)] = found
    return found
