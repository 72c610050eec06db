"""From a nameplate to an equivalent circuit: whatever is known, with what had to be supposed."""

import math
from typing import NamedTuple

from ampwright.kernels.circuit_fit import Aims, fit, per_unit
from ampwright.kernels.induction import InductionCircuit, branch, synchronous_speed
from ampwright.kernels.rated_point import (
    CompletedPlate,
    Diagnostic,
    RatedPoint,
    complete_plate,
)
from ampwright.kernels.torque_curve import balanced_state, breakdown, locked_rotor
from ampwright.kernels.variants import LEAKAGE_SPREAD, MAGNETISING_SPREAD, band, scaled

#: A limit is no test result: a product lies on its safe side. Its usual place, over the limit.
WITHIN_LIMITS = {"current": 0.92, "torque": 1.15, "breakdown": 1.30}
TEST_WEIGHTS = {"current": 10.0, "torque": 5.0, "breakdown": 5.0, "no-load": 5.0}
SUPPOSED_WEIGHT = 1.5
PRIOR_WEIGHT = 0.5  # less lets the fit drift along valleys that the data leave open
NO_LIMIT = 1e9
RATED_NAMES = ("power_w", "current_a", "power_factor", "efficiency")
TESTED_NAMES = {
    "locked_rotor_current_a": "locked-rotor-current",
    "locked_rotor_torque_ratio": "locked-rotor-torque",
    "breakdown_torque_ratio": "breakdown-torque",
    "no_load_current_a": "no-load-current",
}
RATED_TOLERANCE = 0.01
STATED_TOLERANCE = 0.10
LIMIT_TOLERANCE = 0.03
NO_LOAD_RANGE = (0.2, 0.95)
LEAST_BREAKDOWN = 1.6
KNOWN_MAGNETISING_SPREAD = 0.05  # with a measured no-load current
KNOWN_LEAKAGE_SPREAD = 0.07  # with a tested locked-rotor current
START_TORQUE_SPREAD = 0.35
KNOWN_START_TORQUE_SPREAD = 0.15


class Identified(NamedTuple):
    """A machine's circuit, and how far to trust it.

    Attributes:
        circuit: The circuit, star-equivalent, at the plate's voltage and frequency.
        low: Edge of the band with least torque and most running current.
        high: Edge of the band with most torque and most starting current.
        point: The rated point used.
        start_torque_spread: Part by which the locked-rotor torque may be off, either way.
        assumed: What had to be supposed, by name, with its value.
        diagnostics: Doubts about the plate and about the fit.
        misses: Value of the circuit over the value aimed at, less one, by name.
        residual: The largest miss among the stated values.
    """

    circuit: InductionCircuit
    low: InductionCircuit
    high: InductionCircuit
    point: RatedPoint
    start_torque_spread: float
    assumed: dict[str, float]
    diagnostics: tuple[Diagnostic, ...]
    misses: dict[str, float]
    residual: float


class Stated(NamedTuple):
    """What is known of a machine beyond its rated point; None where it is not.

    Attributes:
        locked_rotor_current_a: Tested, or from a code letter.
        locked_rotor_limit_a: Upper limit of a standard.
        locked_rotor_torque_ratio: Tested, over rated torque.
        locked_rotor_torque_minimum_ratio: Lower limit of a standard.
        breakdown_torque_ratio: Tested, over rated torque.
        breakdown_torque_minimum_ratio: Lower limit of a standard.
        no_load_current_a: Measured at rated voltage, uncoupled.
    """

    locked_rotor_current_a: float | None = None
    locked_rotor_limit_a: float | None = None
    locked_rotor_torque_ratio: float | None = None
    locked_rotor_torque_minimum_ratio: float | None = None
    breakdown_torque_ratio: float | None = None
    breakdown_torque_minimum_ratio: float | None = None
    no_load_current_a: float | None = None


def aim(
    name: str, tested: float | None, limit: float | None, typical: float
) -> tuple[float, float]:
    """Return value and weight to aim at: a test, else a place within a limit, else the usual."""
    if tested is not None:
        return tested, TEST_WEIGHTS[name]
    return (typical if limit is None else limit * WITHIN_LIMITS[name]), SUPPOSED_WEIGHT


def aims_of(stated: Stated, plate: CompletedPlate) -> Aims:
    """Return what the fit aims at, per unit, besides the rated point."""
    point, typical = plate.point, plate.typical
    rated_a = point.current_a
    rated = 3.0 * point.efficiency * point.power_factor / (1.0 - point.slip)
    usual_a = typical.locked_rotor_current_ratio * rated_a
    limit_a, floor = stated.locked_rotor_limit_a, stated.locked_rotor_torque_minimum_ratio
    least = stated.breakdown_torque_minimum_ratio
    current = aim("current", stated.locked_rotor_current_a, limit_a, usual_a)
    torque = aim(
        "torque", stated.locked_rotor_torque_ratio, floor, typical.locked_rotor_torque_ratio
    )
    peak = aim("breakdown", stated.breakdown_torque_ratio, least, typical.breakdown_torque_ratio)
    return Aims(
        current=current[0] / rated_a,
        current_weight=current[1],
        current_limit=limit_a / rated_a if limit_a else NO_LIMIT,
        torque=torque[0] * rated,
        torque_weight=torque[1],
        torque_floor=floor * rated if floor else 1.0 / NO_LIMIT,
        peak=peak[0] * rated,
        peak_weight=peak[1],
        peak_floor=least * rated if least else 1.0 / NO_LIMIT,
        no_load=(stated.no_load_current_a or rated_a) / rated_a,
        no_load_weight=TEST_WEIGHTS["no-load"] if stated.no_load_current_a else 0.0,
        prior_weight=PRIOR_WEIGHT,
    )


def performance(circuit: InductionCircuit, point: RatedPoint) -> dict[str, float]:
    """Return what a circuit does at a rated point, at standstill, at its peak and uncoupled."""
    phase_v = point.voltage_v / math.sqrt(3.0)
    state = balanced_state(circuit, point.voltage_v, point.slip)
    locked = locked_rotor(circuit, point.voltage_v)
    rated_nm = point.power_w / (synchronous_speed(circuit) * (1.0 - point.slip))
    current_a = abs(state.current1_a)
    no_load = abs(branch(circuit, 0.0).y + circuit.friction_w / (3.0 * phase_v**2))
    return {
        "power_w": state.shaft_w,
        "current_a": current_a,
        "power_factor": state.input_w / (3.0 * phase_v * current_a),
        "efficiency": state.shaft_w / state.input_w,
        "locked_rotor_current_a": locked.current_a,
        "locked_rotor_torque_ratio": locked.torque_nm / rated_nm,
        "breakdown_torque_ratio": breakdown(circuit, point.voltage_v).torque_nm / rated_nm,
        "no_load_current_a": no_load * phase_v,
    }


def demanded(stated: Stated, point: RatedPoint) -> dict[str, float]:
    """Return what a circuit should do, under the names of ``performance``."""
    known = {name: getattr(point, name) for name in RATED_NAMES}
    known |= {name: getattr(stated, name) for name in TESTED_NAMES}
    return {name: value for name, value in known.items() if value is not None}


def fit_doubts(
    found: dict[str, float], wanted: dict[str, float], stated: Stated, rated_a: float
) -> list[Diagnostic]:
    """Return what is wrong with a fit: missed values, passed limits, an unusual machine."""
    listed = [
        Diagnostic(TESTED_NAMES.get(name, "rated-point"), found[name], value)
        for name, value in wanted.items()
        if abs(found[name] / value - 1.0)
        > (STATED_TOLERANCE if name in TESTED_NAMES else RATED_TOLERANCE)
    ]
    over = (
        ("locked_rotor_current_a", stated.locked_rotor_limit_a, 1.0),
        ("locked_rotor_torque_ratio", stated.locked_rotor_torque_minimum_ratio, -1.0),
        ("breakdown_torque_ratio", stated.breakdown_torque_minimum_ratio, -1.0),
    )
    listed += [
        Diagnostic(TESTED_NAMES[name], found[name], limit)
        for name, limit, sense in over
        if limit is not None and sense * (found[name] / limit - 1.0) > LIMIT_TOLERANCE
    ]
    idle = found["no_load_current_a"] / rated_a
    if not NO_LOAD_RANGE[0] <= idle <= NO_LOAD_RANGE[1]:
        listed.append(Diagnostic("no-load-unusual", idle, NO_LOAD_RANGE[idle > 0.5]))
    if found["breakdown_torque_ratio"] < LEAST_BREAKDOWN:
        listed.append(Diagnostic("breakdown-low", found["breakdown_torque_ratio"], LEAST_BREAKDOWN))
    return listed


def identify(
    *,
    power_w: float,
    voltage_v: float,
    frequency_hz: float,
    speed_rpm: float | None = None,
    poles: int | None = None,
    current_a: float | None = None,
    power_factor: float | None = None,
    efficiency: float | None = None,
    locked_rotor_current_a: float | None = None,
    locked_rotor_limit_a: float | None = None,
    locked_rotor_torque_ratio: float | None = None,
    locked_rotor_torque_minimum_ratio: float | None = None,
    breakdown_torque_ratio: float | None = None,
    breakdown_torque_minimum_ratio: float | None = None,
    no_load_current_a: float | None = None,
) -> Identified:
    """Return the circuit of a motor from whatever its plate and catalogue say.

    Every value belongs to one connection at one frequency; a two-speed or dual-frequency motor is
    identified once for each. A delta winding comes out as its star equivalent.

    Args:
        power_w: Rated shaft power [W].
        voltage_v: Line-to-line voltage [V].
        frequency_hz: Frequency [Hz].
        speed_rpm: Rated speed [rpm].
        poles: Number of poles; from the speed where it is not given, else four.
        current_a: Rated line current [A].
        power_factor: At rated power.
        efficiency: At rated power.
        locked_rotor_current_a: Tested locked-rotor current [A], or what a code letter stands for.
        locked_rotor_limit_a: Limit of a standard for it [A]: the circuit keeps below.
        locked_rotor_torque_ratio: Tested locked-rotor torque over rated.
        locked_rotor_torque_minimum_ratio: Limit of a standard for it: the circuit keeps above.
        breakdown_torque_ratio: Tested breakdown torque over rated.
        breakdown_torque_minimum_ratio: Limit of a standard for it: the circuit keeps above.
        no_load_current_a: Measured no-load current [A].

    Returns:
        The circuit with its band, what was supposed, what was doubted, and how far it misses.

    Raises:
        ValueError: The number of poles is not even, or another stated value, efficiency and power
            factor apart, is not above zero. Implausible or contradicting values are doubts, not
            errors.

    Accuracy:
        The rated point is met to rounding wherever the power factor leaves room for a
        magnetising current. From a plate alone the magnetising reactance is known to a fifth, the
        leakage to a seventh, the starting torque to a third. Supposed values are meant for
        general-purpose cage motors of 75 W to 75 kW with two to eight poles.

    Source:
        Balance of powers and least squares on the circuit of ``induction.branch``; usual values:
        common practice, no source.
    """
    stated = Stated(
        locked_rotor_current_a,
        locked_rotor_limit_a,
        locked_rotor_torque_ratio,
        locked_rotor_torque_minimum_ratio,
        breakdown_torque_ratio,
        breakdown_torque_minimum_ratio,
        no_load_current_a,
    )
    for name, value in stated._asdict().items():
        if value is not None and not value > 0.0:
            raise ValueError(f"{name} must be above 0 or None, got {value}")
    plate = complete_plate(
        power_w=power_w,
        voltage_v=voltage_v,
        frequency_hz=frequency_hz,
        speed_rpm=speed_rpm,
        poles=poles,
        current_a=current_a,
        power_factor=power_factor,
        efficiency=efficiency,
    )
    point = plate.point
    phase_v = voltage_v / math.sqrt(3.0)
    unit = fit(per_unit(point), aims_of(stated, plate))
    circuit = scaled(unit, phase_v / point.current_a, phase_v * point.current_a)
    found, wanted = performance(circuit, point), demanded(stated, point)
    misses = {name: found[name] / value - 1.0 for name, value in wanted.items()}
    low, high = band(
        circuit,
        MAGNETISING_SPREAD if no_load_current_a is None else KNOWN_MAGNETISING_SPREAD,
        LEAKAGE_SPREAD if locked_rotor_current_a is None else KNOWN_LEAKAGE_SPREAD,
    )
    tested = locked_rotor_torque_ratio is not None
    return Identified(
        circuit=circuit,
        low=low,
        high=high,
        point=point,
        start_torque_spread=KNOWN_START_TORQUE_SPREAD if tested else START_TORQUE_SPREAD,
        assumed=plate.assumed | supposed_aims(stated, found),
        diagnostics=(*plate.diagnostics, *fit_doubts(found, wanted, stated, point.current_a)),
        misses=misses,
        residual=max(map(abs, misses.values())),
    )


def supposed_aims(stated: Stated, found: dict[str, float]) -> dict[str, float]:
    """Return what the circuit does where nothing was stated of it."""
    return {name: found[name] for name in TESTED_NAMES if getattr(stated, name) is None}
