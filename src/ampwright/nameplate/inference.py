"""Where one motor ends and the next begins, and what numbers without a word beside them are."""

from itertools import pairwise
from typing import Final

from ampwright.nameplate.numerals import Choice, choices, is_in_band
from ampwright.nameplate.phrases import INFERRED, Item, Phrase
from ampwright.nameplate.usual import is_nominal, is_speed

_RATING: Final = frozenset({"power", "voltage", "current", "speed", "frequency", "apparent"})
_MOTOR_FIELDS: Final = frozenset({"power", "current", "apparent"})
_SAME_POWER = 0.06  # what trade rounding puts between 3 HP and 2.2 kW
_SAME_VA = 0.15


def first_value(phrase: Phrase) -> float:
    """Return the first number of *phrase* in its base unit."""
    return phrase.choices[0].first * phrase.factor


def is_same_power(one: Phrase, other: Phrase) -> bool:
    """Are these one power in two units, as ``3 HP/2.2 kW``."""
    if not one.choices or len(one.choices) != len(other.choices) or one.unit == other.unit:
        return False
    pairs = zip(one.choices, other.choices, strict=True)
    return all(
        abs(a.first * one.factor / (b.first * other.factor) - 1) <= _SAME_POWER for a, b in pairs
    )


def segments(found: list[Item]) -> list[list[Item]]:
    """Divide the items of a plate among the motors and loads that it names."""
    parts: list[list[Item]] = [[]]
    for place, item in enumerate(found):
        following = found[place + 1] if place + 1 < len(found) else None
        here = parts[-1]
        divides = item.text in {";", "|"} or (item.text == "+" and _begins_motor(following, here))
        if item.kind == "mark" and divides:
            parts.append([item])
        elif item.phrase is not None and _is_next_motor(item.phrase, here):
            head = _tail_without_figures(here)
            parts[-1] = here[: len(here) - len(head)]
            parts.append([*head, item])
        else:
            here.append(item)
    return [part for part in parts if part]


def _begins_motor(item: Item | None, before: list[Item]) -> bool:
    phrase = item.phrase if item is not None else None
    rated = any(one.phrase is not None and one.phrase.field in _RATING for one in before)
    return rated and phrase is not None and phrase.field in {*_MOTOR_FIELDS, "times"}


def _is_next_motor(phrase: Phrase, before: list[Item]) -> bool:
    """Does a second power, behind other figures and unlike the first, begin another motor."""
    if phrase.field != "power":
        return False
    powers = [one.phrase for one in before if one.phrase and one.phrase.field == "power"]
    if not powers:
        return False
    since = before[max(k for k, one in enumerate(before) if one.phrase is powers[-1]) + 1 :]
    rated = any(
        one.kind == "number" or (one.phrase is not None and one.phrase.field in _RATING)
        for one in since
    )
    return rated and not any(is_same_power(one, phrase) for one in powers)


def _tail_without_figures(part: list[Item]) -> list[Item]:
    """Return the words at the end of *part* that name what comes next."""
    count = 0
    for item in reversed(part):
        words = {"word", "kind", "times"}
        if item.kind != "mark" and not (item.phrase is not None and item.phrase.field in words):
            break
        count += 1
    return part[len(part) - count :]


def inferred(part: list[Item], sign: str) -> list[Item]:
    """Say what the numbers of *part* are that have no word beside them, where it is plain."""
    found = list(part)
    for field, fits in (("voltage", _voltages), ("current", _currents), ("speed", _speeds)):
        if _stated(found, field) is not None:
            continue
        for place, item in enumerate(found):
            if item.kind != "number":
                continue
            read = choices(item.text, field, sign)
            if read is not None and is_in_band(field, read) and fits(read, found):
                unit = {"voltage": "V", "current": "A", "speed": "rpm"}[field]
                found[place] = _item(field, item, INFERRED, read, unit)
                break
    return [_temperature(found, place) for place in range(len(found))]


def _item(
    field: str, item: Item, how: str, read: tuple[Choice, ...] = (), unit: str = "", text: str = ""
) -> Item:
    phrase = Phrase(field, item.first, item.last, how, read, unit, 1.0, text or item.text)
    return Item("phrase", item.first, item.last, phrase=phrase)


def _stated(found: list[Item], field: str) -> Phrase | None:
    return next((one.phrase for one in found if one.phrase and one.phrase.field == field), None)


def _voltages(read: tuple[Choice, ...], _found: list[Item]) -> bool:
    return is_nominal(read)


def _currents(read: tuple[Choice, ...], found: list[Item]) -> bool:
    """Do the numbers fall as the voltages rise, volt-amperes staying the same."""
    volts = _stated(found, "voltage")
    if volts is None or not volts.choices or len(volts.choices) != len(read) or len(read) < 2:
        return False
    products = [v.last * a.last for v, a in zip(volts.choices, read, strict=True)]
    return all(abs(b / a - 1) <= _SAME_VA for a, b in pairwise(products) if a > 0)


def _speeds(read: tuple[Choice, ...], found: list[Item]) -> bool:
    rate = _stated(found, "frequency")
    return is_speed(read, tuple(one.first for one in rate.choices)) if rate else is_speed(read)


def _temperature(found: list[Item], place: int) -> Item:
    """Take ``CL B 80C`` for a class with its rise; a temperature alone is left open."""
    item = found[place]
    phrase = item.phrase
    if phrase is None or phrase.field != "temperature":
        return item
    before = found[place - 1].phrase if place else None
    rise = is_in_band("rise", phrase.choices)
    if rise and before is not None and before.field == "insulation":
        return _item("rise", item, INFERRED, phrase.choices, "degC")
    return item
