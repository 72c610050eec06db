"""The same machine otherwise: per unit, at another frequency, linked otherwise, within its band."""

from ampwright.kernels.induction import InductionCircuit

MAGNETISING_SPREAD = 0.20  # of the magnetising reactance, known from a plate alone
LEAKAGE_SPREAD = 0.15  # of the leakage reactances, known from a plate alone


def scaled(circuit: InductionCircuit, impedance: float, power: float) -> InductionCircuit:
    """Return the circuit with impedances and powers multiplied, and the current to match.

    With base impedance and base power a circuit per unit becomes one in ohms. The rated current
    goes with the root of their quotient.
    """
    return circuit._replace(
        r1_ohm=circuit.r1_ohm * impedance,
        x1_ohm=circuit.x1_ohm * impedance,
        xm_ohm=circuit.xm_ohm * impedance,
        ri_ohm=circuit.ri_ohm * impedance,
        xi_ohm=circuit.xi_ohm * impedance,
        ro_ohm=circuit.ro_ohm * impedance,
        xo_ohm=circuit.xo_ohm * impedance,
        rc_ohm=circuit.rc_ohm * impedance,
        series_ohm=circuit.series_ohm * impedance,
        friction_w=circuit.friction_w * power,
        stray_w=circuit.stray_w * power,
        rated_current_a=circuit.rated_current_a * (power / impedance) ** 0.5,
    )


def relinked(circuit: InductionCircuit, voltage_ratio: float) -> InductionCircuit:
    """Return the machine linked for another voltage.

    Args:
        circuit: The machine as it is linked now.
        voltage_ratio: New line voltage over the present one: 2 for parallel windings put in
            series, the square root of three for a delta put in star.

    Returns:
        The circuit with impedances in proportion to the square of the ratio, the rated current
        in inverse proportion to it.

    Raises:
        ZeroDivisionError: The ratio is zero.

    Accuracy:
        Exact.

    Source:
        The same turns carry the same current at the same voltage in either link.
    """
    return scaled(circuit, voltage_ratio**2, 1.0)


def at_frequency(circuit: InductionCircuit, frequency_hz: float) -> InductionCircuit:
    """Return the machine on a supply of another frequency.

    Args:
        circuit: The machine at the frequency it was described for.
        frequency_hz: New frequency [Hz].

    Returns:
        The circuit with reactances in proportion to frequency. Friction and stray torque keep
        their slope over speed, so their powers go with the square; the core resistance goes with
        the root, halfway between eddy currents (none) and hysteresis (proportional). The rated
        current stays: whether the machine may carry its old power or torque is for the caller.

    Raises:
        ZeroDivisionError: The frequency is zero.

    Accuracy:
        Leakage exact; core loss to a third; deep bars and saturation (volts per hertz above
        rated) are left out.

    Source:
        Definition of reactance; split of the losses: common practice, no source.
    """
    ratio = frequency_hz / circuit.frequency_hz
    return circuit._replace(
        x1_ohm=circuit.x1_ohm * ratio,
        xm_ohm=circuit.xm_ohm * ratio,
        xi_ohm=circuit.xi_ohm * ratio,
        xo_ohm=circuit.xo_ohm * ratio,
        series_ohm=circuit.series_ohm * ratio,
        rc_ohm=circuit.rc_ohm * ratio**0.5,
        friction_w=circuit.friction_w * ratio**2,
        stray_w=circuit.stray_w * ratio**2,
        frequency_hz=frequency_hz,
    )


def with_reactances(
    circuit: InductionCircuit, magnetising: float, leakage: float
) -> InductionCircuit:
    """Return the circuit with its magnetising and its leakage reactances multiplied."""
    return circuit._replace(
        x1_ohm=circuit.x1_ohm * leakage,
        xm_ohm=circuit.xm_ohm * magnetising,
        xi_ohm=circuit.xi_ohm * leakage,
        xo_ohm=circuit.xo_ohm * leakage,
    )


def band(
    circuit: InductionCircuit, magnetising_spread: float, leakage_spread: float
) -> tuple[InductionCircuit, InductionCircuit]:
    """Return the weak and the strong edge of what a plate leaves open.

    Args:
        circuit: The machine as identified.
        magnetising_spread: Part by which the magnetising reactance may be off;
            ``MAGNETISING_SPREAD`` from a plate alone.
        leakage_spread: Part by which the leakage reactances may be off; ``LEAKAGE_SPREAD`` from
            a plate alone.

    Returns:
        Low: least torque and most running current (small magnetising, large leakage reactance).
        High: most torque and most starting current. They miss the rated point by some percent.

    Raises:
        Nothing.

    Accuracy:
        The spreads are judgement: from memory of how catalogue machines of one plate differ.

    Source:
        Common practice, no source.
    """
    return (
        with_reactances(circuit, 1.0 - magnetising_spread, 1.0 + leakage_spread),
        with_reactances(circuit, 1.0 + magnetising_spread, 1.0 - leakage_spread),
    )
