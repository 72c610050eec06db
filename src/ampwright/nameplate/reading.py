"""What one motor or load of a plate states, field by field."""

from collections.abc import Iterable
from typing import NamedTuple

import attrs

from ampwright.nameplate.inference import is_same_power
from ampwright.nameplate.numerals import Choice
from ampwright.nameplate.phrases import INFERRED, STATED, Item, Phrase
from ampwright.record import Record

_METRIC_WATTS = frozenset({"W", "kW"})


@attrs.frozen(eq=False, repr=False)
class Series(Record):
    """The alternatives of one field, in the order of the plate.

    Attributes:
        choices: The numbers, in *unit*.
        unit: The unit, spelt as the records take it.
        factor: What turns a number into the base unit.
    """

    choices: tuple[Choice, ...]
    unit: str
    factor: float = 1.0

    def __len__(self) -> int:
        return len(self.choices)

    def values(self) -> tuple[float, ...]:
        """Return the figure of each alternative, of a range the last one, in the base unit."""
        return tuple(one.last * self.factor for one in self.choices)

    def text(self) -> str:
        """Return nameplate notation that the records read as the same numbers."""
        spelt = [_spelt(one) for one in self.choices]
        if self.unit in {"hp", "kW", "W"} and len(spelt) > 1:
            # 3/4 would be read as a fraction, 3.0/4.0 is not
            spelt = [one if "." in one else f"{one}.0" for one in spelt]
        return f"{'/'.join(spelt)} {self.unit}"

    def picked(self, *places: int) -> "Series":
        """Return the alternatives at *places*."""
        return attrs.evolve(self, choices=tuple(self.choices[place] for place in places))


def _spelt(choice: Choice) -> str:
    ends = (choice.first,) if choice.first == choice.last else (choice.first, choice.last)
    return "-".join(f"{end:.12g}" for end in ends)


class Reading(NamedTuple):
    """The statements about one motor or load.

    Attributes:
        phrases: Everything that was read, in order.
        carried: Fields taken over from the first motor of the plate.
    """

    phrases: tuple[Phrase, ...]
    carried: tuple[str, ...] = ()

    def all(self, field: str) -> tuple[Phrase, ...]:
        """Return every readable phrase of *field*."""
        usable = {STATED, INFERRED}
        return tuple(one for one in self.phrases if one.field == field and one.how in usable)

    def series(self, field: str) -> Series | None:
        """Return the alternatives of *field* from all its phrases of one unit."""
        found = [one for one in self.all(field) if one.choices]
        if field == "power":
            found = _distinct(found)
        if not found:
            return None
        unit, factor = found[0].unit, found[0].factor
        joined: list[Choice] = []
        for phrase in found:
            scale = phrase.factor / factor
            if phrase.unit != unit and not {phrase.unit, unit} <= _METRIC_WATTS:
                continue
            joined += [
                c._replace(first=c.first * scale, last=c.last * scale) for c in phrase.choices
            ]
        return Series(tuple(joined), unit or _UNITS.get(field, ""), factor)

    def number(self, field: str) -> float | None:
        """Return the only or first number of *field* in its base unit."""
        found = self.series(field)
        return found.values()[0] if found else None

    def text(self, field: str) -> str:
        """Return the first code or letter of *field*, or nothing."""
        return next((one.text for one in self.phrases if one.field == field and one.text), "")

    def says(self, *fields: str) -> bool:
        """Is any of *fields* on the plate, readable or not."""
        return any(one.field in fields for one in self.phrases)


_UNITS = {"voltage": "V", "current": "A", "frequency": "Hz", "speed": "rpm", "power": "kW"}


def _distinct(powers: list[Phrase]) -> list[Phrase]:
    """Drop what only repeats a power in another unit."""
    found: list[Phrase] = []
    for phrase in powers:
        if not any(is_same_power(one, phrase) for one in found):
            found.append(phrase)
    return found


_SHARED = ("voltage", "phases", "frequency")


def readings(parts: Iterable[list[Item]]) -> tuple[Reading, ...]:
    """Return what each part of a plate states; one without a supply has that of the others."""
    own = [
        Reading(tuple(item.phrase for item in part if item.phrase is not None)) for part in parts
    ]
    found: list[Reading] = []
    for place, reading in enumerate(own):
        if not reading.says("power", "current", "apparent"):
            found.append(reading)
            continue
        others = [*own[:place], *own[place + 1 :]]
        shared: list[Phrase] = []
        carried = []
        for field in _SHARED:
            giver = next((one for one in others if one.all(field)), None)
            if giver is not None and not reading.says(field):
                shared.extend(giver.all(field))
                carried.append(field)
        found.append(Reading((*reading.phrases, *shared), tuple(carried)))
    return tuple(found)
