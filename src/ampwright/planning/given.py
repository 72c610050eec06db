"""What the caller stated, as steps: every number of the statement, with his own words beside it."""

from collections.abc import Iterator
from typing import cast

import attrs

from ampwright.step import Step
from ampwright.tables import Source

CALLER = Source(document="stated by the caller", known="caller")
PLATE = Source(document="read from the plate", known="caller")


def unit_of(name: str) -> str:
    """Return the unit that the ending of a field's *name* states, ``""`` for none."""
    units = {
        "w": "W", "va": "VA", "v": "V", "a": "A", "hz": "Hz", "rpm": "1/min", "m": "m",
        "m2": "m2", "mm2": "mm2", "ohm": "ohm", "nm": "N m", "kgm2": "kg m2", "s": "s", "h": "h",
        "k": "K", "c": "degC", "f": "F", "j": "J", "db": "dB",
    }  # fmt: skip
    return units.get(name.rpartition("_")[2], "") if "_" in name else ""


def steps_of(record: attrs.AttrsInstance, prefix: str, source: Source = CALLER) -> Iterator[Step]:
    """Yield a step for each number in *record*, at *prefix* and below, by ids where there are."""
    for field in attrs.fields(type(record)):
        if not field.name.startswith("_") and field.name != "extra":
            value = getattr(record, field.name)
            yield from steps_at(value, f"{prefix}/{field.name}", field.name, source)


def steps_at(value: object, path: str, name: str, source: Source) -> Iterator[Step]:
    """Yield the steps of one value of a record."""
    if isinstance(value, bool | str) or value is None:
        return
    if isinstance(value, int | float):
        yield Step(
            path=path,
            kind="given",
            symbol=name,
            value=float(value),
            unit=getattr(value, "unit", "") or unit_of(name),
            text=str(getattr(value, "given", "")),
            source=source,
        )
    elif isinstance(value, tuple):
        for n, one in enumerate(value):
            yield from steps_at(one, f"{path}/{getattr(one, 'id', '') or n}", name, source)
    elif attrs.has(type(value)):
        yield from steps_of(cast("attrs.AttrsInstance", value), path, source)
