"""The first moments of a machine at rest: locked-rotor current and its first peak."""

import math


def code_letter_current_a(
    power_hp: float, kva_per_hp: float, voltage_v: float, *, phases: int
) -> float:
    """Return the locked-rotor current that a code letter states.

    Args:
        power_hp: Rated power [hp].
        kva_per_hp: Locked-rotor kVA per horsepower, from the letter's range.
        voltage_v: Rated voltage, line to line [V].
        phases: 1 or 3.

    Returns:
        Line current [A].

    Raises:
        ValueError: An argument is not above zero, or ``phases`` is neither 1 nor 3.

    Accuracy:
        Rounding only; the letter itself spans 10 to 14 %.

    Source:
        NEC 430.7(B); NEMA MG 1, 10.37.2 (from memory, high).
    """
    if not (power_hp > 0.0 and kva_per_hp > 0.0 and voltage_v > 0.0) or phases not in {1, 3}:
        raise ValueError("power, kVA/hp and voltage above zero and 1 or 3 phases wanted")
    return 1000.0 * kva_per_hp * power_hp / (math.sqrt(phases) * voltage_v)


def asymmetry_factor(power_factor: float) -> float:
    """Return the first peak of a switched current over the peak of its steady wave.

    Args:
        power_factor: Of the circuit at that moment, 0 to 1 (a locked rotor: 0.3 to 0.5).

    Returns:
        Factor, 1.02 to 2, for the worst moment of switching.

    Raises:
        ValueError: The power factor is outside 0 to 1.

    Accuracy:
        2 % against the exact first peak of an R-L circuit.

    Source:
        IEC 60909-0, factor kappa = 1.02 + 0.98 exp(-3 R / X) (from memory, high).
    """
    if not 0.0 <= power_factor <= 1.0:
        raise ValueError(f"power factor 0 to 1 wanted, got {power_factor}")
    if power_factor == 1.0:
        return 1.02
    ratio = power_factor / math.sqrt(1.0 - power_factor * power_factor)
    return 1.02 + 0.98 * math.exp(-3.0 * ratio)
