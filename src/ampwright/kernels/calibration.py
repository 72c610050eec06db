"""Calibration of an idler's circuit by the leg voltages of the running idler.

The magnetising reactance and the leakage, known to a fifth from a plate, decide the made leg's
voltage; three voltmeter readings correct them, each as far as the readings can tell. Readings that
ask for a machine outside the plausible are refused, for then something else is wrong: a capacitor,
a connection, the plate.
"""

from collections.abc import Sequence
from typing import NamedTuple

from ampwright.kernels.faults import Solver
from ampwright.kernels.induction import InductionCircuit
from ampwright.kernels.legs import Legs, Source
from ampwright.kernels.network import solve
from ampwright.kernels.network_state import State
from ampwright.kernels.operating_point import Rotor
from ampwright.kernels.torque_slopes import eliminate

PLAUSIBLE = (0.6, 1.6)  # factors on the prior values; outside, the readings are refused
LARGEST_MISFIT = 3.0  # root mean square of the misfits, over what the instruments allow
ROUNDS, NUDGE = 8, 1e-3
LEAST, MOST = 0.4, 2.4  # factors are not searched beyond: wider than the plausible


class Readings(NamedTuple):
    """What was read at the converter's terminals, the idler running alone.

    Attributes:
        v_ab: Rms volts between the supply legs.
        v_bc: Rms volts from leg B to the made leg.
        v_ca: Rms volts from the made leg to leg A.
        supply_a: Rms amperes of leg A towards the converter; None where not read.
    """

    v_ab: float
    v_bc: float
    v_ca: float
    supply_a: float | None


class Doubt(NamedTuple):
    """Standard deviations of what is read and of what was believed before.

    Attributes:
        voltage_v: Of each voltage reading.
        current_a: Of the current reading.
        magnetising: Of the magnetising reactance, as a share of it; 0.2 from a plate.
        leakage: Of the leakage reactances, as a share; 0.15 from a plate.
    """

    voltage_v: float
    current_a: float
    magnetising: float
    leakage: float


class Calibration(NamedTuple):
    """A corrected circuit, or why the readings were refused.

    Attributes:
        circuit: The corrected circuit; the one given, where refused.
        accepted: Whether the correction holds.
        reasons: Why not: ``magnetising``, ``leakage`` (outside 0.6 to 1.6 times what was
            believed), ``misfit`` (no such machine gives these readings).
        magnetising: Factor found on the magnetising reactance.
        leakage: Factor found on all leakage reactances.
        magnetising_sd: Standard deviation of the first that is left, as a share.
        leakage_sd: The same of the second.
        supply: Factor found on the open-circuit voltage of the supply.
        misfit: Root mean square of reading less model, in standard deviations of the readings.
        state: The idler alone with the circuit found.
    """

    circuit: InductionCircuit
    accepted: bool
    reasons: tuple[str, ...]
    magnetising: float
    leakage: float
    magnetising_sd: float
    leakage_sd: float
    supply: float
    misfit: float
    state: State


class Fitted(NamedTuple):
    """Factors found (magnetising, leakage, supply), what is left in doubt, and the state."""

    factors: tuple[float, float, float]
    magnetising_sd: float
    leakage_sd: float
    misfit: float
    state: State


def calibrate(
    source: Source, legs: Legs, idler: Rotor, readings: Readings, doubt: Doubt
) -> Calibration:
    """Return the idler's circuit corrected by readings.

    Args:
        source: The single-phase supply; its open-circuit voltage is fitted along.
        legs: The capacitors that were connected.
        idler: The circuit believed so far, with the iron's saturation where it counts.
        readings: Leg voltages of the idler running alone, with or without the supply current.
        doubt: How far to trust the readings, and what was believed.

    Returns:
        The correction, with what is left in doubt. Instruments good to half a volt and 0.3 A leave
        6 % in both unknowns of a 10 hp idler without capacitors, 3 % with them, and 2 % in the
        magnetising reactance where the current was read too.

    Raises:
        ValueError: A reading or a doubt is not above zero.

    Accuracy:
        On readings made with the same equations the factors come back to 1e-6 where the priors are
        wide. A capacitor 10 % off its mark is taken for a magnetising reactance about as far off.

    Source:
        Weighted least squares with prior knowledge (Gauss-Newton).
    """
    checked = (*readings, *doubt)
    if not all(value > 0.0 for value in checked if value is not None):
        raise ValueError(f"readings and doubts are above zero, got {checked}")
    found = fit(solve, source, legs, idler, readings, doubt)
    magnetising, leakage, supply = found.factors
    low, high = PLAUSIBLE
    reasons = []
    if not low <= magnetising <= high:
        reasons.append("magnetising")
    if not low <= leakage <= high:
        reasons.append("leakage")
    if not found.misfit <= LARGEST_MISFIT:
        reasons.append("misfit")
    return Calibration(
        circuit=idler.circuit if reasons else corrected(idler.circuit, magnetising, leakage),
        accepted=not reasons,
        reasons=tuple(reasons),
        magnetising=magnetising,
        leakage=leakage,
        magnetising_sd=found.magnetising_sd,
        leakage_sd=found.leakage_sd,
        supply=supply,
        misfit=found.misfit,
        state=found.state,
    )


def corrected(circuit: InductionCircuit, magnetising: float, leakage: float) -> InductionCircuit:
    """Return *circuit* with its magnetising and its leakage reactances multiplied."""
    return circuit._replace(
        xm_ohm=circuit.xm_ohm * magnetising,
        x1_ohm=circuit.x1_ohm * leakage,
        xi_ohm=circuit.xi_ohm * leakage,
        xo_ohm=circuit.xo_ohm * leakage,
    )


def fit(
    solver: Solver, source: Source, legs: Legs, idler: Rotor, readings: Readings, doubt: Doubt
) -> Fitted:
    """Return the factors that fit the readings best; operators alone but for *solver*."""
    factors: list[float] = [1.0, 1.0, readings.v_ab / abs(source.e_a_v - source.e_b_v)]

    def state_at(trial: Sequence[float]) -> State:
        magnetising, leakage, supply = trial
        return solver(
            source._replace(e_a_v=source.e_a_v * supply, e_b_v=source.e_b_v * supply),
            legs,
            (idler._replace(circuit=corrected(idler.circuit, magnetising, leakage)),),
        )

    def misses(trial: Sequence[float]) -> list[float]:
        """Return readings less model, and beliefs less trial, each over its doubt."""
        state = state_at(trial)
        missed = [
            (read - model) / doubt.voltage_v
            for read, model in zip(readings[:3], state.line_v, strict=True)
        ]
        if readings.supply_a is not None:
            missed.append((readings.supply_a - abs(state.source_a[0])) / doubt.current_a)
        return [
            *missed,
            (1.0 - trial[0]) / doubt.magnetising,
            (1.0 - trial[1]) / doubt.leakage,
        ]

    normal: list[list[float]] = []
    for _ in range(ROUNDS):
        missed = misses(factors)
        slopes = []  # one list for each factor: how the misses fall as it rises
        for k in range(3):
            ends = []
            for way in (NUDGE, -NUDGE):
                trial = list(factors)
                trial[k] = trial[k] + way
                ends.append(misses(trial))
            slopes.append([(b - a) / (2.0 * NUDGE) for a, b in zip(*ends, strict=True)])
        normal = [[_dot(one, other) for other in slopes] for one in slopes]
        steps = eliminate(normal, [_dot(one, missed) for one in slopes])
        factors = [_held(f + step) for f, step in zip(factors, steps, strict=True)]
    left = misses(factors)[:-2]
    return Fitted(
        factors=(factors[0], factors[1], factors[2]),
        magnetising_sd=eliminate(normal, [1.0, 0.0, 0.0])[0] ** 0.5,
        leakage_sd=eliminate(normal, [0.0, 1.0, 0.0])[1] ** 0.5,
        misfit=(_dot(left, left) / len(left)) ** 0.5,
        state=state_at(factors),
    )


def _dot(one: Sequence[float], other: Sequence[float]) -> float:
    return sum((a * b for a, b in zip(one, other, strict=True)), 0.0)


def _held(factor: float) -> float:
    return (abs(factor - LEAST) - abs(factor - MOST) + LEAST + MOST) / 2.0
