"""Which voltage, current, frequency, power and speed of a plate belong together."""

import math
from collections.abc import Mapping
from typing import Final, NamedTuple

import attrs

from ampwright.nameplate.agreement import apparent_power, plausible_ratio
from ampwright.nameplate.numerals import Choice
from ampwright.nameplate.reading import Reading, Series

_LINKS: Final = (2.0, math.sqrt(3.0))
_LINK_SLACK: Final = 0.03  # as the records take it
_MOST_ALTERNATIVES: Final = 6  # more than any plate has: the text is something else
_SAME_SYSTEM: Final = 1.35  # 380/440 V or 5.5/6.3 kW are one machine at two frequencies
_TWO_SPEED: Final = 1.3  # 1420/1710 is 50/60 Hz, 1420/2850 another number of poles
_TWO_POWERS: Final = 1.12
_SAME_VA: Final = 0.15


class Aligned(NamedTuple):
    """The ratings of one motor, or of one speed of it; each field as the records take it.

    Attributes:
        series: Voltage, current, frequency, power and speed, by field.
        links: How the winding is linked for each voltage.
        starts_in_star: It is linked in star to start and in delta to run.
        neutral: The voltage is that of a four-wire system.
        two_speed: It is one of several speeds, one at a time.
        derived: Fields of which a part was reckoned from the rest.
        open: Fields whose alternatives could not be told apart and are left out.
    """

    series: Mapping[str, Series]
    links: tuple[str, ...] = ()
    starts_in_star: bool = False
    neutral: bool = False
    two_speed: bool = False
    derived: tuple[str, ...] = ()
    open: tuple[str, ...] = ()


def are_linked(voltages: tuple[float, ...]) -> bool:
    """Are the first two one winding in two links: their ratio 2 or the square root of 3."""
    if len(voltages) < 2:
        return False
    low, high = sorted(voltages[:2])
    return any(abs(high / low / link - 1) <= _LINK_SLACK for link in _LINKS)


def aligned(reading: Reading, phases: int) -> tuple[Aligned, ...]:
    """Return the ratings of the motor of *reading*; one entry for each speed of it."""
    found = {
        field: series
        for field in ("voltage", "current", "frequency", "power", "speed")
        if (series := reading.series(field)) is not None
    }
    crowd = tuple(field for field, series in found.items() if len(series) > _MOST_ALTERNATIVES)
    found = {field: series for field, series in found.items() if field not in crowd}
    found, neutral = _without_neutral(found)
    links, starts = _links(reading, found)
    if _is_two_speed(reading, found):
        speeds = _by_speed(found, reading, links, neutral=neutral, phases=phases)
        return tuple(one._replace(open=(*one.open, *crowd)) for one in speeds)
    one = _by_link(found, phases)
    return (
        one._replace(
            open=(*one.open, *crowd),
            links=links if len(links) in {1, len(one.series.get("voltage", ()))} else (),
            starts_in_star=starts,
            neutral=neutral,
        ),
    )


def _without_neutral(found: dict[str, Series]) -> tuple[dict[str, Series], bool]:
    """Take ``208Y/120 V`` and ``400/230 V`` for a system and its volts to neutral."""
    volts = found.get("voltage")
    if volts is None or len(volts) != 2:
        return found, False
    line, neutral = volts.choices
    to_neutral = abs(line.first / neutral.last / math.sqrt(3.0) - 1) <= _LINK_SLACK
    is_system = to_neutral and line.link == "star" and not neutral.link
    if not is_system:
        return found, False
    return {**found, "voltage": volts.picked(0)}, True


def _links(reading: Reading, found: Mapping[str, Series]) -> tuple[tuple[str, ...], bool]:
    """Return the link for each voltage, and whether star is only for the start."""
    volts = found.get("voltage")
    own = tuple(one.link for one in volts.choices) if volts else ()
    if any(own):
        return own if all(own) else (), False
    groups = [tuple(one.text.split("/")) for one in reading.all("connection")]
    singles = [group[0] for group in groups if len(group) == 1]
    pairs = [group for group in groups if len(group) > 1]
    count = len(volts) if volts else 0
    if count > 1 and len(singles) == count:
        return tuple(singles), False
    starter = any(set(pair) == {"star", "delta"} for pair in pairs)
    if count == 1 and starter:
        return ((singles[0],) if singles else ("delta",)), True
    if pairs:
        return pairs[0], False
    return tuple(singles[:1]), False


def _ratio(values: tuple[float, ...]) -> float:
    return max(values) / min(values) if values else 1.0


def _is_two_speed(reading: Reading, found: Mapping[str, Series]) -> bool:
    """Does a pair of powers or speeds mean two speeds, not two voltages or frequencies."""
    poles = reading.series("poles")
    if poles is not None and len(poles) > 1:
        return True
    speed, power = found.get("speed"), found.get("power")
    volts, hertz = found.get("voltage"), found.get("frequency")
    if speed is not None and len(speed) > 1:
        return _ratio(speed.values()) >= _TWO_SPEED
    if power is None or len(power) < 2 or _ratio(power.values()) < _TWO_POWERS:
        return False
    if hertz is not None and len(hertz) > 1:
        return False
    return volts is None or len(volts) == 1 or _ratio(volts.values()) >= _SAME_SYSTEM


def _by_speed(
    found: Mapping[str, Series],
    reading: Reading,
    links: tuple[str, ...],
    *,
    neutral: bool,
    phases: int,
) -> tuple[Aligned, ...]:
    poles = reading.series("poles")
    count = max(len(found.get("power", ())), len(found.get("speed", ())), len(poles or ()))
    volts = len(found.get("voltage", ()))
    parts = []
    for speed in range(count):
        series: dict[str, Series] = {}
        unclear: list[str] = []
        for field, values in found.items():
            if field in {"voltage", "frequency"} or len(values) == 1:
                # one current for two speeds says nothing about either
                if field == "current":
                    unclear.append(field)
                elif field != "power" or _is_of_speed(found, reading, speed, count, phases):
                    series[field] = values
            elif len(values) == count and not (field == "current" and volts == count):
                series[field] = values.picked(speed)
            elif field == "current" and len(values) == volts * count:
                series[field] = _of_speed(found, values, speed, count)
            else:
                unclear.append(field)
        one = _by_link(series, phases)
        parts.append(
            one._replace(
                links=(links[speed],) if len(links) == count and volts <= 1 else (),
                neutral=neutral,
                two_speed=True,
                open=(*one.open, *unclear),
            )
        )
    return tuple(parts)


def _is_of_speed(
    found: Mapping[str, Series], reading: Reading, speed: int, count: int, phases: int
) -> bool:
    """Is the one power of a two-speed motor that of this speed: the fastest, or one that agrees."""
    speeds, volts, current = found.get("speed"), found.get("voltage"), found.get("current")
    if speeds is not None and len(speeds) == count:
        fastest = speeds.values()[speed] == max(speeds.values())
    else:
        poles = reading.series("poles")
        fastest = poles is None or poles.values()[speed] == min(poles.values())
    if fastest or volts is None or current is None or len(current) != count or len(volts) != 1:
        return fastest
    watts, amps = found["power"].values()[0], current.values()[speed]
    return _agrees(watts, volts.values()[0], amps, phases)


def _of_speed(found: Mapping[str, Series], current: Series, speed: int, count: int) -> Series:
    """Pick the currents of one speed: printed speed by speed, or voltage by voltage."""
    volts = found["voltage"].values()
    together = tuple(range(speed * len(volts), (speed + 1) * len(volts)))
    apart = tuple(range(speed, len(current), count))
    one = current.picked(*together)
    products = [v * a for v, a in zip(volts, one.values(), strict=True)]
    return one if _ratio(tuple(products)) <= 1 + _SAME_VA else current.picked(*apart)


def _by_link(found: dict[str, Series], phases: int) -> Aligned:
    """Align what varies with the voltage or the frequency."""
    found, derived, unclear = _completed(dict(found), phases)
    # where counts differ it is the current that does not fit, not the voltage
    count = max((len(one) for field, one in found.items() if field != "current"), default=1)
    volts, hertz = found.get("voltage"), found.get("frequency")
    crossed = (
        volts is not None
        and hertz is not None
        and len(volts) == len(hertz) == 2
        and are_linked(volts.values())
    )
    for field, values in list(found.items()):
        if len(values) in {1, count} or (crossed and len(values) in {2, 4}):
            continue
        if count == 4 and len(values) == 2:
            along_voltage = field in {"voltage", "current"}
            found[field] = values.picked(*((0, 1, 0, 1) if along_voltage else (0, 0, 1, 1)))
            continue
        unclear.append(field)
        del found[field]
    return Aligned(series=found, derived=derived, open=tuple(unclear))


def _completed(
    found: dict[str, Series], phases: int
) -> tuple[dict[str, Series], tuple[str, ...], list[str]]:
    """Bring voltages and currents to one count where the plate's own figures tell how.

    Returns:
        The fields, those of which a part was reckoned or chosen, and those that stay open.
    """
    volts, current, power = found.get("voltage"), found.get("current"), found.get("power")
    if volts is None or current is None:
        return found, (), []
    if len(volts) == 2 and len(current) == 1 and are_linked(volts.values()):
        series = _for_both_links(volts, current, power, phases)
        return _with_current(found, series)
    if len(volts) == len(current) + 1 and len(current) > 1:
        # 208/230/460 V with two currents: the first two voltages share one
        first, second, *rest = volts.choices
        products = [second.last * current.choices[0].last, rest[0].last * current.choices[1].last]
        if second.first / first.first <= _SAME_SYSTEM and _ratio(tuple(products)) <= 1 + _SAME_VA:
            joined = (Choice(first.first, second.last), *rest)
            return {**found, "voltage": attrs.evolve(volts, choices=joined)}, ("voltage",), []
    if len(volts) == 1 and len(current) > 1 and len(found.get("frequency", ())) <= 1:
        pairs = [(volts.values()[0], amps) for amps in current.values()]
        place = _only_fit(pairs, power, phases)
        return _with_current(found, None if place is None else current.picked(place))
    return found, (), []


def _with_current(
    found: dict[str, Series], current: Series | None
) -> tuple[dict[str, Series], tuple[str, ...], list[str]]:
    if current is None:
        return {field: one for field, one in found.items() if field != "current"}, (), ["current"]
    return {**found, "current": current}, ("current",), []


def _for_both_links(
    volts: Series, current: Series, power: Series | None, phases: int
) -> Series | None:
    """Reckon the second current of a winding in two links: its volt-amperes stay the same."""
    v, amps = volts.values(), current.values()[0]
    place = _only_fit([(one, amps) for one in v], power, phases)
    if place is None:
        return None
    derived = [float(f"{amps * v[place] / one:.3g}") for one in v]
    pair = [Choice(one, one) for one in derived]
    pair[place] = current.choices[0]
    return attrs.evolve(current, choices=tuple(pair))


def _agrees(power: float, voltage: float, current: float, phases: int) -> bool:
    low, high = plausible_ratio(power, phases)
    return low <= power / apparent_power(voltage, current, phases) <= high


def _only_fit(pairs: list[tuple[float, float]], power: Series | None, phases: int) -> int | None:
    """Return the place of the only pair of volts and amperes that agrees with the power."""
    if power is None or len(power) != 1:
        return None
    watts = power.values()[0]
    fits = [k for k, (v, a) in enumerate(pairs) if _agrees(watts, v, a, phases)]
    return fits[0] if len(fits) == 1 else None
