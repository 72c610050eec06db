"""Conductors: resistance, voltage drop, temperature, heating by a fault, fault current.

Values are per conductor. Functions whose name ends in ``_formula`` are written with operators
alone and check nothing: they take Python numbers or numpy columns.
"""

import math
from typing import NamedTuple

SQRT3 = math.sqrt(3.0)
ADIABATIC_LIMIT_S = 5.0  # IEC 60364-4-43, 434.5.2: the adiabatic rule holds up to five seconds
TEMPERATURE_RANGE_C = (-50.0, 350.0)  # where resistance is a straight line, to within 0.5 %


class Metal(NamedTuple):
    """A conductor material.

    Attributes:
        name: Its name.
        zero_c: Temperature below 0 C at which the straight line of resistance meets zero [C].
        heat: Constant K of the adiabatic formula [A s^0.5 / mm2].
    """

    name: str
    zero_c: float
    heat: float


# IEC 60364-5-54 annex A and IEC 60949 (from memory, high)
COPPER = Metal("copper", 234.5, 226.0)
ALUMINIUM = Metal("aluminium", 228.0, 148.0)
STEEL = Metal("steel", 202.0, 78.0)


def resistance_formula(resistance_ohm: float, at_c: float, to_c: float, zero_c: float) -> float:
    """Return a resistance at another temperature, in the unit given."""
    return resistance_ohm * (zero_c + to_c) / (zero_c + at_c)


def drop_formula(current_a: float, r_ohm: float, x_ohm: float, active: float, sign: float) -> float:
    """Return the drop along one conductor [V]; ``sign`` is 1 lagging and -1 leading."""
    reactive: float = sign * (1.0 - active * active) ** 0.5
    return current_a * (r_ohm * active + x_ohm * reactive)


def across_formula(
    current_a: float, r_ohm: float, x_ohm: float, active: float, sign: float
) -> float:
    """Return the part of the drop at right angles to the load voltage [V]."""
    reactive: float = sign * (1.0 - active * active) ** 0.5
    return current_a * (x_ohm * active - r_ohm * reactive)


def load_voltage_formula(source_v: float, along_v: float, across_v: float) -> float:
    """Return the voltage at the load from both parts of the drop [V]."""
    left: float = (source_v * source_v - across_v * across_v) ** 0.5
    return left - along_v


def temperature_formula(
    current_a: float, ampacity_a: float, ambient_c: float, limit_c: float, rated_ambient_c: float
) -> float:
    """Return the conductor temperature [C]; see ``conductor_temperature_c``."""
    return ambient_c + (limit_c - rated_ambient_c) * (current_a / ampacity_a) ** 2


def resistance_at(resistance_ohm: float, *, at_c: float, to_c: float, metal: Metal) -> float:
    """Return a conductor's resistance at another temperature.

    Args:
        resistance_ohm: Resistance at ``at_c`` [ohm, or ohm per metre, or per kilometre].
        at_c: Temperature for which it is known [C].
        to_c: Temperature asked about [C].
        metal: Its material.

    Returns:
        Resistance at ``to_c``, in the unit given.

    Raises:
        ValueError: A temperature is outside -50 to 350 C, or the resistance is negative.

    Accuracy:
        0.5 % inside the range; direct current. In a plastic raceway alternating current of 60 Hz
        finds 2 % more at 4/0 AWG (107 mm2), 4 % at 350 kcmil (177 mm2) and 7 % at 600 kcmil
        (304 mm2): NEC chapter 9, table 9 over table 8, as ``regions/us`` holds them.

    Source:
        IEC 60228, temperature correction (1/254.5 = 0.00393 for copper); NEC chapter 9, table 8,
        note 2 (1/309.5 = 0.00323 for copper at 75 C); both from memory, high.
    """
    low, high = TEMPERATURE_RANGE_C
    if not (low <= at_c <= high and low <= to_c <= high and resistance_ohm >= 0.0):
        raise ValueError(f"resistance not negative, temperatures {low} to {high} C wanted")
    return resistance_formula(resistance_ohm, at_c, to_c, metal.zero_c)


def drop_v(
    current_a: float,
    length_m: float,
    *,
    r_ohm_per_m: float,
    x_ohm_per_m: float,
    power_factor: float,
    phases: int,
    leading: bool = False,
) -> float:
    """Return the voltage drop along a cable, by the usual approximation.

    Args:
        current_a: Line current [A].
        length_m: Length one way [m].
        r_ohm_per_m: Resistance of one conductor at its working temperature [ohm/m].
        x_ohm_per_m: Reactance of one conductor [ohm/m].
        power_factor: Of the load, 0 to 1.
        phases: 1 for two conductors out and back; 3 for three-phase, line to line.
        leading: The current leads the voltage.

    Returns:
        Drop between lines [V]; negative is a rise.

    Raises:
        ValueError: An argument is outside its range.

    Accuracy:
        Takes the projection of the drop on the load voltage, and is low by up to half the square
        of I Z over the source voltage, against ``load_voltage_v``: by 0.13 % of that voltage where
        I Z, current times the size of the cable's impedance, is 5 % of it, 0.51 % at 10 %, 2.1 %
        at 20 %. At a low power factor on a thin cable, such as in a start, I Z is up to three
        times the drop.

    Source:
        IEC 60364-5-52 annex G, u = b (rho L cos phi / S + lambda L sin phi) I (from memory, high).
    """
    checked(current_a, length_m, r_ohm_per_m, x_ohm_per_m)
    if not 0.0 <= power_factor <= 1.0 or phases not in {1, 3}:
        raise ValueError(f"power factor 0 to 1, 1 or 3 phases wanted: {power_factor}, {phases}")
    sign = -1.0 if leading else 1.0
    one_v = drop_formula(
        current_a, r_ohm_per_m * length_m, x_ohm_per_m * length_m, power_factor, sign
    )
    return (2.0 if phases == 1 else SQRT3) * one_v


def load_voltage_v(
    source_v: float,
    current_a: float,
    *,
    r_ohm: float,
    x_ohm: float,
    power_factor: float,
    leading: bool = False,
) -> float:
    """Return the voltage at the load, exactly, for a load of known current and power factor.

    Args:
        source_v: Source voltage over the same loop [V]: line to line for a single-phase loop with
            ``r_ohm`` and ``x_ohm`` of both conductors; phase to star point for three-phase with
            those of one.
        current_a: Current [A].
        r_ohm: Resistance in the loop [ohm].
        x_ohm: Reactance in the loop [ohm].
        power_factor: At the load, 0 to 1.
        leading: The current leads the load's voltage.

    Returns:
        Voltage at the load [V].

    Raises:
        ValueError: An argument is outside its range, or the loop cannot carry this current.

    Accuracy:
        Rounding only.

    Source:
        The triangle of source voltage, load voltage and drop.
    """
    checked(source_v, current_a, r_ohm, x_ohm)
    if not 0.0 <= power_factor <= 1.0:
        raise ValueError(f"power factor 0 to 1 wanted, got {power_factor}")
    sign = -1.0 if leading else 1.0
    along_v = drop_formula(current_a, r_ohm, x_ohm, power_factor, sign)
    across_v = across_formula(current_a, r_ohm, x_ohm, power_factor, sign)
    if math.hypot(max(along_v, 0.0), across_v) > source_v:
        raise ValueError(f"{current_a} A cannot flow: the loop takes more than {source_v} V")
    return load_voltage_formula(source_v, along_v, across_v)


def conductor_temperature_c(
    current_a: float,
    *,
    ampacity_a: float,
    ambient_c: float,
    limit_c: float,
    rated_ambient_c: float,
) -> float:
    """Return the steady temperature of a conductor.

    Args:
        current_a: Current [A].
        ampacity_a: Table ampacity at ``rated_ambient_c``, grouping applied [A].
        ambient_c: Surrounding temperature [C].
        limit_c: Conductor temperature at the ampacity [C].
        rated_ambient_c: Ambient for which the ampacity holds [C].

    Returns:
        Temperature [C]; above ``limit_c`` it is overloaded.

    Raises:
        ValueError: An argument is outside its range, or the current is above 1.45 times ampacity.

    Accuracy:
        The rise is taken as proportional to the square of the current, which ignores that a
        hotter conductor has more resistance: below the limit it errs upward, by 4 K at most where
        the rise at the ampacity is 60 K and the ambient the rated one; in the cold by more, 8 K
        at 0 C for a rated ambient of 30 C.

    Source:
        IEC 60287, heat balance; the same relation gives the ambient factors of IEC 60364-5-52
        table B.52.14 and NEC table 310.15(B)(1).
    """
    checked(current_a, ampacity_a)
    if not (ampacity_a > 0.0 and current_a <= 1.45 * ampacity_a and rated_ambient_c < limit_c):
        raise ValueError("current up to 1.45 times ampacity and limit above ambient wanted")
    return temperature_formula(current_a, ampacity_a, ambient_c, limit_c, rated_ambient_c)


def ambient_factor(ambient_c: float, *, limit_c: float, rated_ambient_c: float) -> float:
    """Return the factor on ampacity for another ambient temperature.

    Args:
        ambient_c: Surrounding temperature [C], below ``limit_c``.
        limit_c: Conductor temperature limit [C].
        rated_ambient_c: Ambient for which the ampacity holds [C].

    Returns:
        Factor on ampacity.

    Raises:
        ValueError: An ambient is not below the limit.

    Accuracy:
        0.005 against every printed factor: they are this, rounded to two places.

    Source:
        IEC 60364-5-52 annex D; NEC 310.15(B), equation for other ambients (from memory, high).
    """
    if not (ambient_c < limit_c and rated_ambient_c < limit_c):
        raise ValueError(f"ambient below the conductor's limit of {limit_c} C wanted")
    return math.sqrt((limit_c - ambient_c) / (limit_c - rated_ambient_c))


def adiabatic_k(initial_c: float, final_c: float, metal: Metal) -> float:
    """Return the constant k of the adiabatic rule S = sqrt(I^2 t) / k.

    Args:
        initial_c: Conductor temperature before the fault [C].
        final_c: Highest allowed after it [C].
        metal: Its material.

    Returns:
        k [A s^0.5 / mm2].

    Raises:
        ValueError: Temperatures are not rising, or outside -50 to 350 C.

    Accuracy:
        0.4 % against the printed values, which are rounded to whole numbers.

    Source:
        IEC 60364-5-54 annex A, k = K sqrt(ln((B + final) / (B + initial))) (from memory, high).
    """
    low, high = TEMPERATURE_RANGE_C
    if not low <= initial_c < final_c <= high:
        raise ValueError(f"temperatures rising within {low} to {high} C wanted")
    return metal.heat * math.sqrt(math.log((metal.zero_c + final_c) / (metal.zero_c + initial_c)))


def adiabatic_area_mm2(current_a: float, time_s: float, k: float) -> float:
    """Return the smallest area that survives a fault [mm2].

    Args:
        current_a: Fault current [A].
        time_s: Time to disconnection [s], above 0 and up to 5; below 0.1 s give the let-through
            of the device as ``current_a`` squared times ``time_s``.
        k: From ``adiabatic_k`` or a table.

    Returns:
        Area [mm2].

    Raises:
        ValueError: The time is outside its range, k is not above zero or the current negative.

    Accuracy:
        No heat leaves the conductor: on the safe side, by up to 10 % at 5 s for small areas.

    Source:
        IEC 60364-4-43, 434.5.2; IEC 60364-5-54, 543.1.2 (from memory, high).
    """
    checked(current_a)
    if not 0.0 < time_s <= ADIABATIC_LIMIT_S or not k > 0.0:
        raise ValueError(f"a time above 0 and up to {ADIABATIC_LIMIT_S} s and k above 0 wanted")
    return current_a * math.sqrt(time_s) / k


def fault_temperature_c(
    current_a: float, time_s: float, *, area_mm2: float, initial_c: float, metal: Metal
) -> float:
    """Return the conductor's temperature at the end of a fault [C].

    Args:
        current_a: Fault current [A].
        time_s: Its duration [s], above 0 and up to 5.
        area_mm2: Conductor area [mm2].
        initial_c: Temperature before [C].
        metal: Its material.

    Returns:
        Temperature [C]; infinite where the formula leaves every metal far behind.

    Raises:
        ValueError: An argument is outside its range.

    Accuracy:
        As ``adiabatic_area_mm2``; above 350 C only good to say that it is too hot.

    Source:
        ``adiabatic_k`` turned round.
    """
    checked(current_a, area_mm2)
    low, high = TEMPERATURE_RANGE_C
    if not (0.0 < time_s <= ADIABATIC_LIMIT_S and low <= initial_c <= high and area_mm2 > 0.0):
        raise ValueError(f"0 to {ADIABATIC_LIMIT_S} s, {low} to {high} C and an area wanted")
    heat = (current_a / (area_mm2 * metal.heat)) ** 2 * time_s
    return (metal.zero_c + initial_c) * math.exp(heat) - metal.zero_c if heat < 50 else math.inf


def fault_current_a(voltage_v: float, impedance_ohm: complex, *, voltage_factor: float) -> float:
    """Return the current of a bolted fault [A].

    Args:
        voltage_v: Nominal voltage over the loop [V]: to earth for an earth fault.
        impedance_ohm: Loop impedance: source, line and return, conductors at the temperature
            that suits the question (hot for the smallest current) [ohm].
        voltage_factor: Factor c on the voltage, 0.9 to 1.1; 1.0 by IEC 60364-4-41, 0.95 where a
            national rule says so.

    Returns:
        Current [A].

    Raises:
        ValueError: The impedance is zero, the voltage negative or the factor outside 0.9 to 1.1.

    Accuracy:
        Rounding only; contact and arc resistance are left out.

    Source:
        IEC 60364-4-41, 411.4.4: Zs Ia <= U0; IEC 60909-0 for the factor (from memory, high).
    """
    checked(voltage_v)
    if not abs(impedance_ohm) > 0.0 or not 0.9 <= voltage_factor <= 1.1:
        raise ValueError("an impedance that is not zero and a factor of 0.9 to 1.1 wanted")
    return voltage_factor * voltage_v / abs(impedance_ohm)


def largest_loop_ohm(voltage_v: float, trip_a: float, *, voltage_factor: float) -> float:
    """Return the largest loop impedance with which a fault of ``trip_a`` still flows [ohm].

    Args:
        voltage_v: Nominal voltage to earth [V].
        trip_a: Current that trips the device in the time wanted [A].
        voltage_factor: As in ``fault_current_a``.

    Returns:
        Loop impedance at working temperature [ohm].

    Raises:
        ValueError: An argument is outside its range.

    Accuracy:
        Rounding only; printed tables round to 0.01 ohm, up to 3 % on the unsafe side.

    Source:
        IEC 60364-4-41, 411.4.4; BS 7671 table 41.3 with 0.95 (from memory, high).
    """
    checked(voltage_v, trip_a)
    return fault_current_a(voltage_v, trip_a, voltage_factor=voltage_factor)


def checked(*values: float) -> None:
    """Refuse what is negative, infinite or not a number."""
    if not all(0.0 <= value < math.inf for value in values):
        raise ValueError(f"finite numbers, zero or above, wanted, got {values}")
