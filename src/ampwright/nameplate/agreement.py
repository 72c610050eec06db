"""Whether the figures of one rating can all be true, and which of them cannot."""

import math
from collections.abc import Callable, Iterator
from typing import Final, NamedTuple

from ampwright.nameplate.usual import NOMINAL_V

# Shaft power over apparent input power at rated load, by power [W]: efficiency times power factor.
# About 0.55 to 0.88 for ordinary motors, less for small and slow ones: common practice, no source.
_THREE_PHASE: Final = (
    (250.0, 0.20, 0.82),
    (1000.0, 0.33, 0.86),
    (2200.0, 0.42, 0.88),
    (7400.0, 0.48, 0.90),
    (math.inf, 0.53, 0.93),
)
_SINGLE_PHASE: Final = ((400.0, 0.15, 0.88), (1600.0, 0.25, 0.94), (math.inf, 0.38, 0.96))
# efficiency at rated load, by power [W]: common practice, no source
_EFFICIENCY: Final = (
    (250.0, 0.25, 0.85),
    (1000.0, 0.45, 0.90),
    (7400.0, 0.60, 0.95),
    (math.inf, 0.75, 0.985),
)
_POWER_FACTOR: Final = (0.3, 0.99)
_LOCKED_ROTOR: Final = (2.5, 13.0)  # over rated current: common practice, no source
_ROUNDING: Final = 0.12  # what rounding of four printed figures may add up to
_WHOLE: Final = 1.04
_USUAL: Final = 0.7  # the ratio of a usual motor: common practice, no source
_NEAR_NOMINAL: Final = 0.06
_LINKS: Final = (2.0, math.sqrt(3.0))


class Disagreement(NamedTuple):
    """One figure that the others contradict.

    Attributes:
        figure: ``power``, ``voltage``, ``current``, ``efficiency``, ``power-factor`` or
            ``locked-rotor-current``.
        given: The figure as stated, in its base unit.
        likely: What it would be if one decimal sign were lost, or if it belonged to the
            other voltage; ``None`` if nothing of the kind would make the figures agree.
        ratio: What came out: shaft power over apparent power, or current over current.
        low: Smallest plausible ratio.
        high: Largest plausible ratio.
    """

    figure: str
    given: float
    likely: float | None
    ratio: float
    low: float
    high: float


def plausible_ratio(power_w: float, phases: int) -> tuple[float, float]:
    """Return the band of shaft power over apparent input power at rated load."""
    return _row(_THREE_PHASE if phases == 3 else _SINGLE_PHASE, power_w)


def _row(table: tuple[tuple[float, float, float], ...], power_w: float) -> tuple[float, float]:
    return next((low, high) for limit, low, high in table if power_w <= limit)


def apparent_power(voltage_v: float, current_a: float, phases: int) -> float:
    """Return the apparent power of a balanced machine [VA]."""
    return (math.sqrt(3.0) if phases == 3 else 1.0) * voltage_v * current_a


def disagreements(
    *,
    power_w: float | None,
    voltage_v: float | None,
    current_a: float | None,
    phases: int = 3,
    efficiency: float | None = None,
    power_factor: float | None = None,
    locked_rotor_a: float | None = None,
) -> tuple[Disagreement, ...]:
    """Find the figures of one rating that the others contradict.

    Nothing may be sized by a figure that is returned here; what follows from the others is used.

    Args:
        power_w: Rated shaft power [W].
        voltage_v: Voltage of that rating [V].
        current_a: Current at that voltage and power [A].
        phases: Three or one.
        efficiency: Rated efficiency.
        power_factor: Rated power factor.
        locked_rotor_a: Current at standstill and full voltage [A].
    """
    found: list[Disagreement] = []
    if power_w and voltage_v and current_a:
        found.extend(_main(power_w, voltage_v, current_a, phases))
        ratio = power_w / apparent_power(voltage_v, current_a, phases)
        if not found:
            found.extend(_product(ratio, power_w, efficiency, power_factor))
    doubtful = any(one.figure == "current" for one in found)
    if locked_rotor_a and current_a and not doubtful:
        low, high = _LOCKED_ROTOR
        times = locked_rotor_a / current_a
        if not low <= times <= high:
            likely = _first_fit(locked_rotor_a, (0.1, 10.0), lambda a: low <= a / current_a <= high)
            found.append(
                Disagreement(
                    figure="locked-rotor-current",
                    given=locked_rotor_a,
                    likely=likely,
                    ratio=times,
                    low=low,
                    high=high,
                )
            )
    return tuple(found)


def _main(
    power_w: float, voltage_v: float, current_a: float, phases: int
) -> Iterator[Disagreement]:
    ratio = power_w / apparent_power(voltage_v, current_a, phases)
    low, high = plausible_ratio(power_w, phases)
    if low <= ratio <= high:
        return

    def fits(
        power: float = power_w, voltage: float = voltage_v, current: float = current_a
    ) -> bool:
        least, most = plausible_ratio(power, phases)
        return least <= power / apparent_power(voltage, current, phases) <= most

    def found(figure: str, given: float, likely: float | None) -> Disagreement:
        return Disagreement(
            figure=figure, given=given, likely=likely, ratio=ratio, low=low, high=high
        )

    if not _is_nominal(voltage_v):
        for likely in (voltage_v * 10, voltage_v / 10):
            if _is_nominal(likely) and fits(voltage=likely):
                yield found("voltage", voltage_v, likely)
                return
    # a decimal sign that is lost makes a figure ten times too large, never too small
    if ratio > high and fits(power=power_w / 10):
        yield found("power", power_w, power_w / 10)
        return
    point, links = (0.1, [1 / link for link in _LINKS]) if ratio < low else (10.0, list(_LINKS))
    # of two links that would fit, the one that leads to a more usual motor
    links.sort(key=lambda link: abs(math.log(ratio / link / _USUAL)))
    likely_a = _first_fit(current_a, (point, *links), lambda a: fits(current=a))
    yield found("current", current_a, likely_a)


def _first_fit(
    given: float, factors: tuple[float, ...], fits: Callable[[float], bool]
) -> float | None:
    return next((given * factor for factor in factors if fits(given * factor)), None)


def _is_nominal(voltage_v: float) -> bool:
    return any(abs(voltage_v / nominal - 1) <= _NEAR_NOMINAL for nominal in NOMINAL_V)


def _product(
    ratio: float, power_w: float, efficiency: float | None, power_factor: float | None
) -> Iterator[Disagreement]:
    """Check efficiency and power factor, the other three figures being in order."""
    low_eff, high_eff = _row(_EFFICIENCY, power_w)
    low_pf, high_pf = _POWER_FACTOR
    slack = 1 + _ROUNDING
    # neither may leave more than the whole for the other, but for rounding
    eff_ok = efficiency is None or low_pf / slack <= ratio / efficiency <= _WHOLE
    most = min(high_eff * slack, _WHOLE)
    pf_ok = power_factor is None or low_eff / slack <= ratio / power_factor <= most
    if efficiency is not None and power_factor is not None:
        product = efficiency * power_factor
        if 1 / slack <= ratio / product <= slack:
            return
        # one of the two is wrong: the one that leaves an impossible value for the other
        in_band = low_eff <= efficiency <= high_eff
        if not pf_ok and eff_ok:
            efficiency = None
        elif not eff_ok and pf_ok:
            power_factor = None
        elif in_band and not low_pf <= power_factor <= high_pf:
            efficiency = None
        elif not in_band and low_pf <= power_factor <= high_pf:
            power_factor = None
        eff_ok = pf_ok = False
    if power_factor is not None and not pf_ok:
        yield _factor_found("power-factor", power_factor, ratio, low_eff, high_eff)
    if efficiency is not None and not eff_ok:
        yield _factor_found("efficiency", efficiency, ratio, low_pf, high_pf)


def _factor_found(figure: str, given: float, ratio: float, low: float, high: float) -> Disagreement:
    """State a factor together with the band of what it would leave for the other one."""
    likely = _first_fit(given, (0.1, 10.0), lambda x: x <= 1 and low <= ratio / x <= high)
    return Disagreement(
        figure=figure, given=given, likely=likely, ratio=ratio / given, low=low, high=high
    )
