"""Circuits of many motors at once: the columnar driver of ``kernels.identification``.

What a plate or catalogue does not state is not-a-number in its lane, or left out for all lanes.
"""

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from ampwright.kernels.circuit_fit import Aims, per_unit
from ampwright.kernels.columns.circuit_fit import fit
from ampwright.kernels.columns.induction import balanced_state, breakdown, locked_rotor
from ampwright.kernels.columns.lanes import join, take, widen
from ampwright.kernels.columns.rated_point import CompletedPlates, Mask, Plates, complete_plates
from ampwright.kernels.columns.valid import Column, together
from ampwright.kernels.identification import (
    KNOWN_LEAKAGE_SPREAD,
    KNOWN_MAGNETISING_SPREAD,
    KNOWN_START_TORQUE_SPREAD,
    LEAST_BREAKDOWN,
    LIMIT_TOLERANCE,
    NO_LIMIT,
    NO_LOAD_RANGE,
    PRIOR_WEIGHT,
    RATED_NAMES,
    RATED_TOLERANCE,
    START_TORQUE_SPREAD,
    STATED_TOLERANCE,
    SUPPOSED_WEIGHT,
    TEST_WEIGHTS,
    TESTED_NAMES,
    WITHIN_LIMITS,
    Stated,
)
from ampwright.kernels.induction import InductionCircuit, branch, synchronous_speed
from ampwright.kernels.rated_point import RatedPoint
from ampwright.kernels.variants import LEAKAGE_SPREAD, MAGNETISING_SPREAD, band, scaled

BLOCK = 4096  # lanes worked on together: their columns stay in a core's own cache


class IdentifiedMany(NamedTuple):
    """``identification.Identified`` with columns as leaves.

    Attributes:
        circuit: The circuits.
        low: Edges of the band with least torque and most running current.
        high: Edges of the band with most torque and most starting current.
        point: The rated points used.
        start_torque_spread: Part by which the locked-rotor torque may be off.
        assumed: Where what was supposed, by name.
        doubted: Where what was doubted, by the keys of ``rated_point.DIAGNOSTICS``.
        misses: Value of the circuit over the value aimed at, less one, by name.
        residual: The largest miss among the stated values.
        valid: Lanes that state nothing that cannot be; the others are not-a-number.
    """

    circuit: InductionCircuit
    low: InductionCircuit
    high: InductionCircuit
    point: RatedPoint
    start_torque_spread: Column
    assumed: dict[str, Mask]
    doubted: dict[str, Mask]
    misses: dict[str, Column]
    residual: Column
    valid: Mask


def aims_of(stated: Stated, plates: CompletedPlates) -> Aims:
    """Return ``identification.aims_of`` of each lane."""
    point, typical = plates.point, plates.typical
    rated_a: Any = point.current_a
    rated = 3.0 * point.efficiency * point.power_factor / (1.0 - point.slip)
    usual_a = typical.locked_rotor_current_ratio * rated_a
    known: Any = stated

    def aim(name: str, tested: Any, limit: Any, usual: Any) -> tuple[Any, Any]:  # noqa: ANN401 - columns
        place = np.where(np.isnan(limit), usual, limit * WITHIN_LIMITS[name])
        absent = np.isnan(tested)
        weight = np.where(absent, SUPPOSED_WEIGHT, TEST_WEIGHTS[name])
        return np.where(absent, place, tested), weight

    limit_a, floor = known.locked_rotor_limit_a, known.locked_rotor_torque_minimum_ratio
    least = known.breakdown_torque_minimum_ratio
    current = aim("current", known.locked_rotor_current_a, limit_a, usual_a)
    torque = aim(
        "torque", known.locked_rotor_torque_ratio, floor, typical.locked_rotor_torque_ratio
    )
    peak = aim("breakdown", known.breakdown_torque_ratio, least, typical.breakdown_torque_ratio)
    idle = np.isnan(known.no_load_current_a)
    found: dict[str, Any] = {
        "current": current[0] / rated_a,
        "current_weight": current[1],
        "current_limit": np.where(np.isnan(limit_a), NO_LIMIT, limit_a / rated_a),
        "torque": torque[0] * rated,
        "torque_weight": torque[1],
        "torque_floor": np.where(np.isnan(floor), 1.0 / NO_LIMIT, floor * rated),
        "peak": peak[0] * rated,
        "peak_weight": peak[1],
        "peak_floor": np.where(np.isnan(least), 1.0 / NO_LIMIT, least * rated),
        "no_load": np.where(idle, 1.0, known.no_load_current_a / rated_a),
        "no_load_weight": np.where(idle, 0.0, TEST_WEIGHTS["no-load"]),
        "prior_weight": PRIOR_WEIGHT,
    }
    return Aims(**found)


def performance(circuit: InductionCircuit, point: RatedPoint) -> dict[str, Any]:
    """Return ``identification.performance`` of each lane."""
    volts, slip = together(point.voltage_v, point.slip)
    phase_v = volts / np.sqrt(3.0)
    state = balanced_state(circuit, volts, slip)
    locked = locked_rotor(circuit, volts)
    rated_nm = point.power_w / (synchronous_speed(circuit) * (1.0 - slip))
    current_a = abs(state.current1_a)
    no_load = abs(branch(circuit, 0.0).y + circuit.friction_w / (3.0 * phase_v**2))
    return {
        "power_w": state.shaft_w,
        "current_a": current_a,
        "power_factor": state.input_w / (3.0 * phase_v * current_a),
        "efficiency": state.shaft_w / state.input_w,
        "locked_rotor_current_a": locked.current_a,
        "locked_rotor_torque_ratio": locked.torque_nm / rated_nm,
        "breakdown_torque_ratio": breakdown(circuit, volts).torque_nm / rated_nm,
        "no_load_current_a": no_load * phase_v,
    }


def fit_doubts(
    found: dict[str, Any], misses: dict[str, Any], stated: Stated, rated_a: ArrayLike
) -> dict[str, Mask]:
    """Return where the fits are doubted, by name, as ``identification.fit_doubts`` would."""
    far = {name: np.abs(misses[name]) for name in misses}
    listed = {code: far[name] > STATED_TOLERANCE for name, code in TESTED_NAMES.items()}
    rated = [far[name] > RATED_TOLERANCE for name in RATED_NAMES]
    listed["rated-point"] = np.logical_or.reduce(rated)
    over = (
        ("locked_rotor_current_a", stated.locked_rotor_limit_a, 1.0),
        ("locked_rotor_torque_ratio", stated.locked_rotor_torque_minimum_ratio, -1.0),
        ("breakdown_torque_ratio", stated.breakdown_torque_minimum_ratio, -1.0),
    )
    for name, limit, sense in over:
        passed = sense * (found[name] / np.asarray(limit) - 1.0) > LIMIT_TOLERANCE
        listed[TESTED_NAMES[name]] = listed[TESTED_NAMES[name]] | passed
    idle = found["no_load_current_a"] / rated_a
    listed["no-load-unusual"] = ~((idle >= NO_LOAD_RANGE[0]) & (idle <= NO_LOAD_RANGE[1]))
    listed["breakdown-low"] = found["breakdown_torque_ratio"] < LEAST_BREAKDOWN
    return listed


def identify(
    *,
    power_w: ArrayLike,
    voltage_v: ArrayLike,
    frequency_hz: ArrayLike,
    speed_rpm: ArrayLike = np.nan,
    poles: ArrayLike = np.nan,
    current_a: ArrayLike = np.nan,
    power_factor: ArrayLike = np.nan,
    efficiency: ArrayLike = np.nan,
    locked_rotor_current_a: ArrayLike = np.nan,
    locked_rotor_limit_a: ArrayLike = np.nan,
    locked_rotor_torque_ratio: ArrayLike = np.nan,
    locked_rotor_torque_minimum_ratio: ArrayLike = np.nan,
    breakdown_torque_ratio: ArrayLike = np.nan,
    breakdown_torque_minimum_ratio: ArrayLike = np.nan,
    no_load_current_a: ArrayLike = np.nan,
) -> IdentifiedMany:
    """Return the circuits of many motors; ``identification.identify`` of each lane.

    Args:
        power_w: Rated shaft power [W].
        voltage_v: Line-to-line voltage [V].
        frequency_hz: Frequency [Hz].
        speed_rpm: Rated speed [rpm].
        poles: Number of poles.
        current_a: Rated line current [A].
        power_factor: At rated power.
        efficiency: At rated power.
        locked_rotor_current_a: Tested locked-rotor current [A].
        locked_rotor_limit_a: Limit of a standard for it [A].
        locked_rotor_torque_ratio: Tested locked-rotor torque over rated.
        locked_rotor_torque_minimum_ratio: Limit of a standard for it.
        breakdown_torque_ratio: Tested breakdown torque over rated.
        breakdown_torque_minimum_ratio: Limit of a standard for it.
        no_load_current_a: Measured no-load current [A].

    Returns:
        Circuits, bands, what was supposed and doubted, and how far they miss.

    Raises:
        ValueError: The columns do not fit together. A lane that the scalar driver refuses is
            not-a-number.

    Accuracy:
        As the scalar driver; the two agree to 1e-9 where the data do not contradict each other.

    Source:
        As the scalar driver.
    """
    columns = tuple(
        np.atleast_1d(column)
        for column in together(
            power_w,
            voltage_v,
            frequency_hz,
            speed_rpm,
            poles,
            current_a,
            power_factor,
            efficiency,
            locked_rotor_current_a,
            locked_rotor_limit_a,
            locked_rotor_torque_ratio,
            locked_rotor_torque_minimum_ratio,
            breakdown_torque_ratio,
            breakdown_torque_minimum_ratio,
            no_load_current_a,
        )
    )
    plates, stated = Plates(*columns[: len(Plates._fields)]), columns[len(Plates._fields) :]
    parts = (slice(first, first + BLOCK) for first in range(0, len(columns[0]), BLOCK))
    with np.errstate(all="ignore"):  # not-a-number stands for what is not stated
        found = [
            identify_block(take(plates, part), Stated._make(take(stated, part))) for part in parts
        ]
    return IdentifiedMany(*(joined(list(leaves)) for leaves in zip(*found, strict=True)))


def joined(parts: list[Any]) -> Any:  # noqa: ANN401 - a tree of columns or a mapping of columns
    """Return columns, tuples of columns or mappings of columns, end to end."""
    if isinstance(parts[0], dict):
        return {name: np.concatenate([part[name] for part in parts]) for name in parts[0]}
    return join(parts)


def identify_block(plates: Plates, stated: Stated) -> IdentifiedMany:
    """Return the circuits of one block of lanes."""
    whole = complete_plates(plates)
    known: Any = stated
    valid = np.logical_and.reduce([whole.valid, *(np.isnan(one) | (one > 0.0) for one in known)])
    known = Stated._make(np.where(valid, one, np.nan) for one in known)
    point: Any = whole.point
    phase_v = point.voltage_v / np.sqrt(3.0)
    unit = fit(per_unit(point), aims_of(known, whole))
    circuit = scaled(unit, phase_v / point.current_a, phase_v * point.current_a)
    found = performance(circuit, point)
    wanted = {name: getattr(point, name) for name in RATED_NAMES}
    wanted |= {name: getattr(known, name) for name in TESTED_NAMES}
    misses = {name: found[name] / value - 1.0 for name, value in wanted.items()}
    idle, locked = known.no_load_current_a, known.locked_rotor_current_a
    magnetising = np.where(np.isnan(idle), MAGNETISING_SPREAD, KNOWN_MAGNETISING_SPREAD)
    leakage = np.where(np.isnan(locked), LEAKAGE_SPREAD, KNOWN_LEAKAGE_SPREAD)
    spreads: tuple[Any, Any] = (magnetising, leakage)
    tested = ~np.isnan(known.locked_rotor_torque_ratio)
    supposed = {name: np.isnan(getattr(known, name)) for name in TESTED_NAMES}
    trees = (circuit, *band(circuit, *spreads), point)
    masks = (whole.assumed | supposed, whole.doubted | fit_doubts(found, misses, known, point[5]))
    lanes = len(valid)
    leaves = (
        *(kept_tree(widen(tree, lanes), valid) for tree in trees),
        np.where(tested, KNOWN_START_TORQUE_SPREAD, START_TORQUE_SPREAD),
        *({name: mask & valid for name, mask in one.items()} for one in masks),
        {name: np.where(valid, miss, np.nan) for name, miss in misses.items()},
        np.where(valid, np.nanmax(np.abs(list(misses.values())), axis=0), np.nan),
        valid,
    )
    return IdentifiedMany._make(leaves)


def kept_tree(tree: Any, valid: Mask) -> Any:  # noqa: ANN401 - a named tuple of columns
    """Return a named tuple of columns, not-a-number where a lane is not valid."""
    return type(tree)._make(np.where(valid, leaf, np.nan) for leaf in tree)
