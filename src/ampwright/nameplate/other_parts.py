"""Figures on a motor's plate that are those of another part: its brake, its heater, a lamp."""

from collections.abc import Iterator, Sequence
from typing import Final

from ampwright.nameplate.agreement import apparent_power, plausible_ratio
from ampwright.nameplate.kinds import HORSEPOWER, MOTOR
from ampwright.nameplate.phrases import NOTED_ONLY, UNREAD, Item, Phrase
from ampwright.nameplate.reading import Reading
from ampwright.nameplate.words import OR, OTHER_PART_ENDS, OTHER_PARTS

#: What the figures of another part are called; the field of the motor stands behind.
OTHER: Final = "other_"
_VOLTS: Final = frozenset({"voltage", "dc_voltage", "control_voltage"})
_SIZES: Final = frozenset({"current", "power", "apparent", "phases", "frequency"})
_RATED: Final = frozenset({"power", "current", "apparent"})
_BETWEEN: Final = frozenset({":", "=", "-", "#", ".", "(", ",", "/"})
_PAIRING: Final = frozenset({"connection", "phases"})
_SAME_VA: Final = 0.3  # currents of one power at two voltages, rounded, a range among them


def set_apart(items: Sequence[Item]) -> list[Item]:
    """Take from the motor what stands beside a word that names another part.

    A part that may have a plate of its own, as a pump or a lamp, is another part only behind a
    motor whose voltage and size were stated; with a power of its own it is a load of its own.
    """
    found = list(items)
    loads: list[int] = []
    for place in range(len(found)):
        figures = _figures(found, place)
        if not figures:
            continue
        if _is_kind(found[place]) and any(_field(found[one]) == "power" for one in figures):
            loads.append(place)
            continue
        name = _name(found[place])
        found[place] = _taken(found[place], "word", name)
        for one in figures:
            found[one] = _taken(found[one], f"{OTHER}{_field(found[one])}", name)
    for place in reversed(loads):
        found.insert(place, Item("mark", -1, -1, ";"))
    return found


def _taken(item: Item, field: str, part: str) -> Item:
    """Return *item* as what is understood and is the figure, or the name, of *part*."""
    phrase = item.phrase
    if phrase is None:
        return item
    text = part if field == "word" else phrase.text
    return item._replace(phrase=phrase._replace(field=field, how=NOTED_ONLY, text=text, label=part))


def _figures(found: list[Item], place: int) -> tuple[int, ...]:
    """Return the figures of the part that the word at *place* names, if it names one."""
    if not _names_part(found[place]):
        return ()
    begin = max((k for k in range(place) if found[k].text in {";", "|"}), default=-1) + 1
    end = next((k for k in range(place + 1, len(found)) if found[k].text in {";", "|"}), len(found))
    own = _is_kind(found[place])
    if own and not _is_behind_motor(found[begin:place]):
        before = _is_motor(found[place]) or not _is_motors(found[begin:end])
        if before or sum(_field(one) == "voltage" for one in found[begin:end]) < 2:
            return ()
    figures = _behind(found, place, begin, end)
    if not any(_field(found[one]) in _VOLTS | {"current"} for one in figures):
        figures = () if own and _is_motor(found[place]) else _ahead(found, place, begin)
    return figures


def _behind(found: list[Item], place: int, begin: int, end: int) -> tuple[int, ...]:
    """Return the figures behind the word, as far as each is there once and is not the motor's."""
    figures: list[int] = []
    seen: set[str] = set()
    for k in range(place + 1, end):
        field = _field(found[k])
        if found[k].text in _BETWEEN or field == "torque" or _is_passed(found[k]):
            continue
        if _names_part(found[k]) and not figures:
            continue  # brake coil
        elsewhere = any(_field(one) == field for one in [*found[begin:place], *found[k + 1 : end]])
        if field in seen or not (field in _VOLTS or (field in _SIZES and elsewhere)):
            break
        seen |= _VOLTS if field in _VOLTS else {field}
        figures.append(k)
    return tuple(figures)


def _ahead(found: list[Item], place: int, begin: int) -> tuple[int, ...]:
    """Return the voltage just before the word, if the motor has another one."""
    k = place - 1
    while k > begin and found[k].text in _BETWEEN:
        k -= 1
    others = any(_field(one) == "voltage" for one in found[begin : max(k, begin)])
    return (k,) if k >= begin and _field(found[k]) in _VOLTS and others else ()


def _is_behind_motor(before: Sequence[Item]) -> bool:
    """Were the voltage and the size of something stated already."""
    fields = {_field(one) for one in before}
    return "voltage" in fields and bool(fields & _RATED)


def _is_motors(items: Sequence[Item]) -> bool:
    """Does anything among *items* say that the plate is a motor's."""
    return any(
        _field(one) == "speed" or (one.phrase is not None and one.phrase.unit in HORSEPOWER)
        for one in items
    )


def _field(item: Item) -> str:
    return item.phrase.field if item.phrase is not None else ""


def _name(item: Item) -> str:
    phrase = item.phrase
    return "" if phrase is None else (phrase.label if phrase.field == "kind" else phrase.text)


def _names_part(item: Item) -> bool:
    if _field(item) not in {"word", "kind"}:
        return False
    name = _name(item).casefold()
    return name in OTHER_PARTS or name.endswith(OTHER_PART_ENDS)


def _is_kind(item: Item) -> bool:
    return _field(item) == "kind"


def _is_motor(item: Item) -> bool:
    return item.phrase is not None and item.phrase.text == MOTOR


def _is_passed(item: Item) -> bool:
    """Is a noted word as ``ac`` or ``rated`` between a part and its figure."""
    return item.phrase is not None and item.phrase.field == "word" and item.phrase.how == NOTED_ONLY


def named(reading: Reading) -> Iterator[tuple[str, str]]:
    """Yield each part that *reading* has figures of, and the figures as they were printed."""
    parts: dict[str, list[str]] = {}
    for one in reading.phrases:
        if one.field.startswith(OTHER) and one.choices:
            parts.setdefault(one.label, []).append(spelt(one))
    for part, figures in parts.items():
        yield part, ", ".join(figures)


def spelt(phrase: Phrase) -> str:
    """Return the number of *phrase* with its unit."""
    return f"{phrase.text} {phrase.unit}".strip()


def doubtful(reading: Reading, phases: int) -> tuple[tuple[Phrase, str], ...]:
    """Return voltages that stand apart, and their currents, each with the word before it.

    A voltage is one of the motor's where it is printed beside the other, ``230/460 V``, or where
    it has a current of its own that gives the same power. Any other may be a brake's or that of
    a winding which is gone; nothing is reckoned from it.
    """
    groups = _groups(reading)
    if len(groups) < 2 or reading.says("capacitor"):
        return ()
    amps = [one for one in reading.all("current") if one.choices]
    if len(amps) == 1 and len(amps[0].choices) == sum(len(g[0].choices) for g in groups):
        return ()  # 230 V 60 Hz 460 V 13.2/6.6 A
    hertz = [one for one in reading.all("frequency") if one.choices]
    if len(hertz) == len(groups) and len({one.choices for one in hertz}) > 1:
        return ()  # a row for each frequency
    main = _main(groups, amps, reading, phases)
    found: list[tuple[Phrase, str]] = []
    for k, group in enumerate(groups):
        if k == main or group[0].choices == groups[main][0].choices:
            continue
        own = amps[k] if len(amps) == len(groups) else None
        if own is not None and _is_same(group[0], own, groups[main][0], amps[main]):
            continue
        found += [(one, _word_before(reading, group[0])) for one in group]
        found += [(own, "")] if own is not None else []
    return tuple(found)


def _groups(reading: Reading) -> list[list[Phrase]]:
    """Return the voltages, those together that stand side by side."""
    groups: list[list[Phrase]] = []
    volts = [one for one in reading.all("voltage") if one.choices]
    order = [one for one in reading.phrases if one.field not in _PAIRING and one.text not in OR]
    for one in volts:
        place = order.index(one)
        if groups and place and order[place - 1] == groups[-1][-1]:
            groups[-1].append(one)
        else:
            groups.append([one])
    return groups


def _main(groups: list[list[Phrase]], amps: list[Phrase], reading: Reading, phases: int) -> int:
    """Return the place of the motor's voltage: the only one that its current goes with, or 0."""
    power = reading.series("power")
    if power is None or not amps:
        return 0
    low, high = plausible_ratio(power.values()[0], phases)
    fits = [
        k
        for k, (first, *_) in enumerate(groups)
        if low
        <= power.values()[0]
        / apparent_power(
            first.choices[0].last * first.factor,
            amps[k if len(amps) == len(groups) else 0].choices[0].last,
            phases,
        )
        <= high
    ]
    return fits[0] if len(fits) == 1 else 0


def _is_same(volts: Phrase, amps: Phrase, other_volts: Phrase, other_amps: Phrase) -> bool:
    one = volts.choices[0].last * amps.choices[0].last
    other = other_volts.choices[0].last * other_amps.choices[0].last
    return abs(one / other - 1) <= _SAME_VA


def _word_before(reading: Reading, phrase: Phrase) -> str:
    """Return the word just before *phrase* that was not read."""
    place = reading.phrases.index(phrase)
    before = reading.phrases[place - 1] if place else None
    return before.text if before and before.field == "word" and before.how == UNREAD else ""
