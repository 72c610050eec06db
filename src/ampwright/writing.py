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
from ampwright.step import Step
from ampwright.tables import Source

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


def _step(step: Step, seen: Seen) -> str:
    """Return a step as `_record` does, field by field: most of a plan are steps."""
    value, source = step.value, step.source
    text = (
        f'{{"path":{quoted(step.path)},"kind":{quoted(step.kind)},"symbol":{quoted(step.symbol)},'
        f'"value":{quoted(value) if type(value) is str else _number("value", value)}'
    )
    if step.unit:
        text += f',"unit":{quoted(step.unit)}'
    if step.formula:
        text += f',"formula":{quoted(step.formula)}'
    if step.inputs:
        text += f',"inputs":{_texts(step.inputs, seen)}'
    if step.rule:
        text += f',"rule":{quoted(step.rule)}'
    if source is not None:
        found = seen.get(id(source))
        if found is None:
            found = seen[id(source)] = _record(source, layout_of(Source), seen)
        text += f',"source":{found}'
    return text + _rest(step, seen)


def _rest(step: Step, seen: Seen) -> str:
    """Return the fields of a step from its table on, which a formula hardly has."""
    text = ""
    if step.table:
        text = f',"table":{quoted(step.table)}'
    if step.cell:
        text += f',"cell":{_texts(step.cell, seen)}'
    if step.text:
        text += f',"text":{quoted(step.text)}'
    if step.unknowns:
        text += f',"unknowns":{_texts(step.unknowns, seen)}'
    if step.residual is not None:
        text += f',"residual":{_number("residual", step.residual)}'
    if step.low is not None:
        text += f',"low":{_number("low", step.low)}'
    if step.high is not None:
        text += f',"high":{_number("high", step.high)}'
    return text + "}"


def _number(name: str, value: object) -> str:
    """Return the number in the field *name* of a step as JSON."""
    if type(value) is float and value - value == 0.0:
        return repr(value)
    return documents.to_json(exchange.plain(layout_of(Step).by_alias[name], value))


def _texts(value: tuple[Any, ...], seen: Seen) -> str:
    """Return texts, and tuples of texts, as JSON."""
    found = seen.get(value)
    if found is None:
        inside = [
            quoted(one) if type(one) is str
            else f"[{quoted(one[0])},{quoted(one[1])}]"
            if len(one) == 2 and str is type(one[0]) is type(one[1])
            else _texts(one, seen)
            for one in value
        ]  # fmt: skip
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
        if value and type(value[0]) is Step:
            inside = [_step(one, seen) for one in value]
        else:
            inside = [
                quoted(one) if type(one) is str else _value(field, one, seen) for one in value
            ]
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
