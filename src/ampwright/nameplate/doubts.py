"""What on a plate can be read in two ways, and which of two statements to believe."""

import re
from collections.abc import Iterator
from itertools import zip_longest
from typing import Final, NamedTuple

from ampwright.finding import Finding, Question
from ampwright.nameplate import remarks
from ampwright.nameplate.agreement import apparent_power, plausible_ratio
from ampwright.nameplate.inference import first_value, is_same_power
from ampwright.nameplate.kinds import assumed_phases, phase_count
from ampwright.nameplate.numerals import Choice
from ampwright.nameplate.other_parts import doubtful, spelt
from ampwright.nameplate.phrases import INFERRED, UNREAD, Phrase
from ampwright.nameplate.reading import Reading

# voltages of countries whose plates mean metric horsepower by HP as often as not
_METRIC_V: Final = frozenset({127.0, 220.0, 230.0, 380.0, 400.0, 660.0, 690.0})
_ONLY_METRIC_V: Final = frozenset({380.0, 400.0, 660.0, 690.0})
_OTHER_V: Final = frozenset({208.0, 240.0, 415.0, 440.0, 460.0, 480.0, 550.0, 575.0, 600.0})
_LARGEST_RATIO: Final = 1.045  # a heater's power over volt-amperes, rounding included
_WHOLE_FRACTION: Final = r"([1-9]) ?/ ?([2348])"
_WIDEST: Final = 2.35  # 208 V to 480 V is the widest pair of one winding
_WATTS: Final = frozenset({"W", "kW"})


def agrees(reading: Reading) -> bool:
    """Do power, voltage and current of *reading* fit together as they were read."""
    power = reading.series("power")
    phases = phase_count(reading) or assumed_phases(reading)
    return power is not None and _fits(power.values()[0], reading, phases, _LARGEST_RATIO)


def _fits(
    power_w: float, reading: Reading, phases: int, largest: float = 0.0, place: int = 0
) -> bool:
    """Does *power_w* agree with the first voltage and with the current at *place*."""
    volts, current = reading.series("voltage"), reading.series("current")
    if volts is None or current is None or len(current) <= place:
        return False
    low, high = plausible_ratio(power_w, phases)
    amps = current.values()[place]
    pairs = {(volts.values()[0], amps), (volts.choices[0].first * volts.factor, amps)}
    ratios = (power_w / apparent_power(v, a, phases) for v, a in pairs)
    return any(low <= ratio <= max(high, largest) for ratio in ratios)


class Settled(NamedTuple):
    """A reading with its powers settled.

    Attributes:
        reading: The reading with what was decided.
        findings: What has to be said about it.
        contradicted: Fields that are left out.
        dropped: First pieces of the statements that are left out.
    """

    reading: Reading
    findings: tuple[Finding, ...] = ()
    contradicted: frozenset[str] = frozenset()
    dropped: tuple[int, ...] = ()


def settled(reading: Reading, phases: int) -> Settled:
    """Settle what the power is where it is printed so that it has two readings."""
    powers = [one for one in reading.all("power") if one.choices]
    apart = doubtful(reading, phases)
    said = tuple(
        remarks.other_part(word, spelt(one), "caution")
        for one, word in apart
        if one.field == "voltage"
    )
    reading = _without(reading, tuple(one for one, _ in apart))
    strangers = (*(one for one, _ in apart), *_strangers(reading))
    reading = _without(reading, strangers)
    if not powers:
        return Settled(reading, said, dropped=tuple(one.first for one in strangers))
    reading, findings = _fraction_or_pair(reading, powers[0], phases)
    findings += said
    others = [one for one in powers[1:] if _is_other_power(powers[0], one)]
    if not others:
        return Settled(reading, tuple(findings), dropped=tuple(one.first for one in strangers))
    first, second = powers[0], others[0]
    fitting = [one for one in (first, second) if _fits(first_value(one), reading, phases)]
    wrong = second if fitting == [first] else first
    right = first if wrong is second else second
    findings.append(remarks.two_powers(first_value(wrong), first_value(right)))
    drop = (wrong,) if len(fitting) == 1 else (first, second)
    return Settled(
        _without(reading, drop),
        tuple(findings),
        frozenset({"power"} if len(drop) > 1 else ()),
        tuple(one.first for one in (*drop, *strangers)),
    )


def _without(reading: Reading, drop: tuple[Phrase, ...]) -> Reading:
    """Return *reading* with the phrases *drop* left unread."""
    phrases = tuple(one._replace(how=UNREAD) if one in drop else one for one in reading.phrases)
    return reading._replace(phrases=phrases)


def _strangers(reading: Reading) -> tuple[Phrase, ...]:
    """Return voltages that cannot be another link of the same winding, and their currents.

    Most likely they are those of a rotor, a brake or a control circuit.
    """
    volts = [one for one in reading.all("voltage") if one.choices]
    amps = [one for one in reading.all("current") if one.choices]
    if len(volts) < 2 or reading.says("capacitor"):
        return ()
    first = {one.last for one in volts[0].choices}
    strange = []
    for phrase, current in zip_longest(volts[1:], amps[1:]):
        if phrase is None:
            continue
        ends = first | {one.last for one in phrase.choices}
        if max(ends) > _WIDEST * min(ends):
            strange += [phrase] if current is None else [phrase, current]
    return tuple(strange)


def _is_other_power(first: Phrase, second: Phrase) -> bool:
    """Is *second* the same statement as *first* in another unit, but not the same power."""
    if first.unit == second.unit or {first.unit, second.unit} <= _WATTS:
        return False
    return len(first.choices) == len(second.choices) and not is_same_power(first, second)


def _fraction_or_pair(
    reading: Reading, power: Phrase, phases: int
) -> tuple[Reading, list[Finding]]:
    """Tell three quarters of a kilowatt from three and four kilowatts at two speeds."""
    printed = re.fullmatch(_WHOLE_FRACTION, power.text)
    paired = any(
        (found := reading.series(field)) is not None and len(found) == 2
        for field in ("speed", "poles")
    )
    if printed is None or not paired or len(power.choices) != 1:
        return reading, []
    pair = tuple(Choice(float(one), float(one)) for one in printed.groups())
    if _fits(first_value(power), reading, phases):
        return reading, [remarks.fraction_or_pair(power.text, power.unit, "fraction")]
    values = [one.first * power.factor for one in pair]
    if not all(_fits(value, reading, phases, place=k) for k, value in enumerate(values)):
        return reading, [remarks.fraction_or_pair(power.text, power.unit, "fraction")]
    both = power._replace(choices=pair)
    phrases = tuple(both if one is power else one for one in reading.phrases)
    said = remarks.fraction_or_pair(power.text, power.unit, "alternatives")
    return reading._replace(phrases=phrases), [said]


def readable(reading: Reading, foreign: int) -> Iterator[tuple[Finding, list[Question]]]:
    """Say what could be read in two ways, whatever the plate belongs to."""
    confirmed = agrees(reading)
    for phrase in reading.phrases:
        if phrase.field in reading.carried:
            continue
        if phrase.how == UNREAD and "," in phrase.text and phrase.field != "word":
            said, asked = remarks.comma(phrase)
            yield said, [asked]
        elif phrase.how == INFERRED and not _is_confirmed(phrase, agreed=confirmed):
            yield remarks.unlabelled(phrase), []
        elif phrase.field == "temperature" and phrase.choices:
            yield remarks.temperature(phrase), []
    powers = [one for one in reading.all("power") if one.choices]
    if powers and (unit := powers[0].unit) not in _WATTS:
        twice = any(is_same_power(powers[0], one) for one in powers[1:])
        if unit != "hp" or (not twice and _is_metric_country(reading, foreign)):
            yield remarks.horsepower("HP" if unit == "hp" else unit), []
    for field in reading.carried:
        yield remarks.missing(field, "info", substitute="other-motor"), []


def _is_confirmed(phrase: Phrase, *, agreed: bool) -> bool:
    """Do the other figures leave no doubt what a number without a unit is."""
    if phrase.field in {"speed", "rise"}:
        return True
    return agreed or (phrase.field == "voltage" and len(phrase.choices) > 1)


def _is_metric_country(reading: Reading, foreign: int) -> bool:
    volts = reading.series("voltage")
    values = set(volts.values()) if volts else set()
    if values & _OTHER_V:
        return False
    return foreign > 0 or len(values & _METRIC_V) > 1 or bool(values & _ONLY_METRIC_V)
