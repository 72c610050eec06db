"""Phasors of an operating point, from what the plan holds of it.

The three line voltages close a triangle, which gives their angles. The currents come from the
circuits, slips and capacitances that stand in the plan; where they do not give the currents that
the plan states, no angle is told.
"""

import cmath
import math
from collections.abc import Iterable, Mapping

import attrs

from ampwright.decision import Decision
from ampwright.equipment.capacitor import Capacitor
from ampwright.equipment.converter import Converter
from ampwright.kernels.induction import (
    InductionCircuit,
    leakage_factor,
    line_currents,
    sequence_state,
)
from ampwright.kernels.unbalance import line_phasors, sequence_components
from ampwright.method import MotorState, State
from ampwright.option import Option
from ampwright.step import Step

#: What stands for the supply among what currents flow into.
SUPPLY = "supply"
#: How far a current may lie from the one that the plan states, over the largest one.
CLOSE = 0.01
#: Share of the largest current below which what is left over counts as nothing.
NOTHING = 1e-3
#: Share of the line voltage within which a point lies as far from the legs as the plan states.
NEAR = 0.01


@attrs.frozen(kw_only=True)
class Current:
    """One current out of the made leg.

    Attributes:
        part: Id of the motor or capacitor that it flows into; ``""`` for all loads that are no
            motors, ``"supply"`` for what the supply sends into the first line.
        amperes: Its magnitude, as the plan states it or as it follows [A].
        phasor: The current; ``None`` where the plan does not tell its angle [A].
    """

    part: str
    amperes: float
    phasor: complex | None = None


@attrs.frozen(kw_only=True)
class Phasors:
    """An operating point in phasors; the voltage from line 2 to line 1 lies at nought degrees.

    Attributes:
        state: The operating point.
        lines: Voltages of the lines 1-2, 2-3 and 3-1 [V].
        corners: Potentials of the lines, that of line 2 being nought [V].
        earth: Potential of the earth; ``None`` where the plan does not tell it [V].
        currents: Currents out of the made leg, and that of the supply.
    """

    state: State
    lines: tuple[complex, complex, complex]
    corners: tuple[complex, complex, complex]
    earth: complex | None
    currents: tuple[Current, ...]

    @property
    def centre(self) -> complex:
        """Potential of the middle of the triangle, where a star point without current lies."""
        return sum(self.corners) / 3.0


def phasors(decision: Decision, option: Option) -> tuple[Phasors, ...]:
    """Return the operating points of *option* with three lines: idling and at full load.

    A point that shows the same as one before it is left out.

    Args:
        decision: The plan.
        option: The option.
    """
    steps = {one.path: one for one in (*decision.steps, *option.steps)}
    converters = {one.id: one for one in option.converters}
    found: dict[object, Phasors] = {}
    for state in option.states:
        if len(state.line_voltage_v) == 3 and (state.load == "full" or not state.running):
            key = (state.converter, state.running, state.line_voltage_v)
            if key not in found and (made := _phasors(option, state, steps, converters)):
                found[key] = made
    return tuple(found.values())


def unshown(option: Option) -> tuple[str, ...]:
    """Return the ids of converters that have operating points, none of them with three lines."""
    own = {one.id for one in option.converters}
    having = {one.converter for one in option.states if len(one.line_voltage_v) == 3}
    lacking = [one.converter for one in option.states if one.converter in own - having]
    return tuple(dict.fromkeys(lacking))


def _phasors(
    option: Option, state: State, steps: Mapping[str, Step], converters: Mapping[str, Converter]
) -> Phasors | None:
    ab_v, bc_v, ca_v = state.line_voltage_v
    try:
        lines = line_phasors(ab_v, bc_v, ca_v)
    except ValueError:  # no triangle, so nothing to draw
        return None
    corners = (lines[0], 0j, -lines[1])
    place = f"options/{option.id}/states/{state.id}"
    network = steps.get(f"{place}/network")
    if network is not None:
        given = {name: float(steps[path].value) for name, path in network.inputs if path in steps}
        capacitors = [
            part
            for one in converters.values()
            if state.converter in (one.id, one.joins)
            for part in one.capacitors
        ]
        currents = _network(state, corners, given, capacitors)
    else:
        currents = _balanced(state, corners, place, steps)
    return Phasors(state=state, lines=lines, corners=corners, currents=currents,
                   earth=_earth(state, corners))  # fmt: skip


def _earth(state: State, corners: tuple[complex, complex, complex]) -> complex | None:
    """Return the point that lies as far from the legs as the plan states."""
    if len(state.leg_to_earth_v) != 3:
        return None
    a_v, b_v, c_v = state.leg_to_earth_v
    side = corners[0].real
    along = (b_v**2 - a_v**2 + side**2) / (2.0 * side)
    across = math.sqrt(max(b_v**2 - along**2, 0.0))
    places = [complex(along, sign * across) for sign in (1.0, -1.0)]
    best = min(places, key=lambda one: abs(abs(corners[2] - one) - c_v))
    misses = [abs(abs(corner - best) - volts)
              for corner, volts in zip(corners, state.leg_to_earth_v, strict=True)]  # fmt: skip
    return best if max(misses) <= NEAR * side else None


def _circuit(given: Mapping[str, float], name: str) -> InductionCircuit | None:
    """Return the circuit of a motor from the numbers that a solved point rests on."""
    values = {
        field: given[f"{name}.{field}"]
        for field in InductionCircuit._fields
        if f"{name}.{field}" in given
    }
    if not set(InductionCircuit._fields) - {"series_ohm"} <= values.keys():
        return None
    pairs = round(values.pop("pole_pairs"))
    return InductionCircuit(pole_pairs=pairs, **values)


def motor_currents(
    motor: MotorState, circuit: InductionCircuit | None, one: complex, two: complex
) -> tuple[complex, complex, complex] | None:
    """Return the line currents of a motor, where they agree with those that the plan states.

    Args:
        motor: What the plan states of it.
        circuit: Its circuit; ``None``: the plan does not tell it.
        one: Positive sequence of its voltages, line to star point [V].
        two: Negative sequence [V].
    """
    if circuit is None:
        return None
    mean = math.sqrt(sum(each**2 for each in motor.current_a) / 3.0)
    leakage = leakage_factor(circuit, mean)
    found = sequence_state(circuit, one, two, motor.slip, leakage, leakage)
    amperes = line_currents(found.current1_a, found.current2_a)
    misses = [abs(abs(each) - stated)
              for each, stated in zip(amperes, motor.current_a, strict=True)]  # fmt: skip
    return amperes if max(misses) <= CLOSE * max(*motor.current_a, 1e-9) else None


def _network(
    state: State, corners: tuple[complex, complex, complex], given: Mapping[str, float],
    capacitors: Iterable[Capacitor],
) -> tuple[Current, ...]:  # fmt: skip
    """Return the currents at the made leg of a network of motors and capacitors."""
    parts = sequence_components(*corners)
    symbols = _symbols(state, given)
    found: list[Current] = []
    into_a, into_c, whole = 0j, 0j, True
    for motor in state.motors:
        circuit = _circuit(given, symbols[motor.id])
        amperes = motor_currents(motor, circuit, parts.positive, parts.negative)
        third = None if amperes is None else amperes[2]
        found.append(Current(part=motor.id, amperes=motor.current_a[2], phasor=third))
        if amperes is None:
            whole = False
        else:
            into_a, into_c = into_a + amperes[0], into_c + amperes[2]
    hertz = next((value for name, value in given.items() if name.endswith(".frequency_hz")), 0.0)
    a, b, c = corners
    for part in capacitors:
        farads = given.get(f"C.{part.id}", given.get(f"C_{part.between}", 0.0))
        if part.purpose == "start" or farads <= 0.0:
            continue
        turning = 2j * math.pi * hertz * farads
        if part.between in ("bc", "ca"):
            current = turning * (c - (a if part.between == "ca" else b))
            into_c += current
            found.append(Current(part=f"{state.converter}/{part.id}", amperes=abs(current),
                                 phasor=current))  # fmt: skip
        if part.between in ("ca", "ab"):
            into_a += turning * (a - (c if part.between == "ca" else b))
    largest = max((one.amperes for one in found), default=0.0)
    if whole and abs(into_c) > NOTHING * largest:
        found.append(Current(part="", amperes=abs(into_c), phasor=-into_c))
        whole = False
    drawn = state.input_current_a
    agrees = whole and abs(abs(into_a) - drawn) <= CLOSE * max(drawn, 1e-9)
    found.append(Current(part=SUPPLY, amperes=drawn, phasor=into_a if agrees else None))
    return tuple(found)


def _symbols(state: State, given: Mapping[str, float]) -> dict[str, str]:
    """Return the name of each motor in what a solved point rests on; idlers are numbered there."""
    symbols: dict[str, str] = {}
    number = 0
    for motor in state.motors:
        if f"{motor.id}.r1_ohm" in given:
            symbols[motor.id] = motor.id
        else:
            number += 1
            numbered = f"idler{number}"  # a single one has no number
            symbols[motor.id] = numbered if f"{numbered}.r1_ohm" in given else "idler"
    return symbols


def _balanced(
    state: State, corners: tuple[complex, complex, complex], place: str, steps: Mapping[str, Step]
) -> tuple[Current, ...]:
    """Return the currents of motors on lines that are alike, each behind its voltage.

    A motor of the induction kind lags; by how much its input power tells.
    """
    found = []
    star = corners[2] - sum(corners) / 3.0
    side = abs(corners[0])
    alike = all(abs(volts - side) <= NOTHING * side for volts in state.line_voltage_v)
    for motor in state.motors:
        amperes = motor.current_a[2]
        power = steps.get(f"{place}/motors/{motor.id}/input_w")
        phasor = None
        if power is not None and isinstance(power.value, float) and alike and amperes > 0.0:
            share = power.value / (math.sqrt(3.0) * side * amperes)
            if 0.0 < share <= 1.0 + NOTHING:
                angle = cmath.phase(star) - math.acos(min(share, 1.0))
                phasor = cmath.rect(amperes, angle)
        found.append(Current(part=motor.id, amperes=amperes, phasor=phasor))
    return tuple(found)
