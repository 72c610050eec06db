"""Operating points of a converter with an idler, put back into their equations."""

import math
from typing import NamedTuple

from ampwright.equipment.converter import Converter
from ampwright.method import MotorState, State
from ampwright.option import Option
from ampwright.records.supply import Supply
from ampwright.verification.induction import (
    Machine,
    Row,
    bridge,
    phases,
    sequences,
    solved,
    stamp,
)
from ampwright.verification.ledger import Ledger, close
from ampwright.verification.machines import machine_at
from ampwright.verification.parts import Parts
from ampwright.verification.statements import Statements, every_machine

RULE = "plan.operating-point"
CLOSE = 1e-6
NODES = {"a": 0, "b": 1, "c": 2}
#: A torque is compared with the largest torque about: an idler has none to speak of.
LEAST_SHARE = 1e-6


def check_operating_points(ledger: Ledger, statements: Statements) -> None:
    """Put every solved state of every option back into its equations."""
    for option in ledger.decision.options:
        by_id = {one.id: one for one in option.converters}
        for state in option.states:
            place = f"options/{option.id}/states/{state.id}"
            if f"{place}/network" in ledger.steps and state.converter in by_id:
                shunt = _loads(ledger, statements, option, state)
                _check(ledger, option, by_id[state.converter], state, shunt, place)


class _Turning(NamedTuple):
    """One machine in a state: what the plan says of it, its circuit, its two sides."""

    said: MotorState
    machine: Machine
    one: tuple[complex, complex, complex]
    two: tuple[complex, complex, complex]


def _turning(ledger: Ledger, option: Option, state: State) -> list[_Turning] | None:
    found = []
    for said in state.motors:
        machine, _, number = said.id.rpartition("/")
        idler = f"options/{option.id}/idlers/{said.id}"
        place = f"machines/{machine}/motors/{number}" if machine else idler
        referred = f"options/{option.id}/referred/{said.id}"  # seen through its transformer
        if f"{referred}/circuit/r1_ohm" in ledger.steps:
            place = referred
        circuit = machine_at(ledger, place)
        if circuit is None:
            return None
        amperes = math.sqrt(sum(one**2 for one in said.current_a) / 3)
        leakage = circuit.leakage(amperes)
        found.append(
            _Turning(
                said,
                circuit,
                circuit.sides(said.slip, leakage),
                circuit.sides(2 - said.slip, leakage),
            )
        )
    return found


def _loads(ledger: Ledger, statements: Statements, option: Option, state: State) -> complex:
    """Return what the loads of the running machines draw between two of three legs [S]."""
    total, volts = 0.0, ledger.decision.shop.supply.voltage_v
    for machine in every_machine(ledger.decision.shop):
        if machine.id in state.running:
            parts = Parts(ledger, statements, option, machine)
            for place, _ in enumerate(parts.loads):
                usual = f"machines/{machine.id}/loads/{place}/power"
                linked = f"options/{option.id}/linked/{machine.id}/load{place}/power"
                power = ledger.number(linked if linked in ledger.steps else usual)
                total += 0.0 if parts.takes_one_phase(place) else power or 0.0
    return complex(total / (3 * volts**2))


def source_of(supply: Supply, impedance: complex, made_v: float) -> tuple[Row, Row]:
    """Return open-circuit voltages and impedances of legs A and B.

    Of two lines of a three-phase system the earthed point lies aside of them, on the side of the
    made leg or on the other, by the order in which they are taken: *made_v*, the volts to earth
    that the plan states for the made leg, tell which. Of two lines of an isolated system nothing
    fixes it: a line may stand at the whole voltage to earth.
    """
    volts = supply.voltage_v
    if supply.arrangement == "line-neutral":
        return [complex(volts), 0j], [impedance / 2, impedance / 2]
    lift = 0j
    if supply.arrangement == "line-line":
        usual = volts if supply.earthing == "it" else volts / math.sqrt(3)
        to_earth = supply.voltage_to_earth_v or usual
        height = math.sqrt(max(0.0, to_earth**2 - volts**2 / 4))
        apex = volts * math.sqrt(3) / 2
        near = abs(abs(apex - height) - made_v) < abs(apex + height - made_v)
        lift = 1j * (-height if near else height)
    return [volts / 2 + lift, -volts / 2 + lift], [impedance / 2, impedance / 2]


def _check(
    ledger: Ledger, option: Option, converter: Converter, state: State, shunt: complex, place: str
) -> None:
    turning = _turning(ledger, option, state)
    # behind a feeder that is there, both are those at the panel
    resistance, reactance = (
        ledger.number(f"supply/{name}_at_panel") or ledger.number(f"supply/{name}")
        for name in ("resistance", "reactance")
    )
    supply = ledger.decision.shop.supply
    if turning is None or resistance is None or reactance is None:
        ledger.skipped(RULE, f"{place}/network", "the circuits of its machines")
        return
    matrix: list[Row] = [[0j] * 3 for _ in range(3)]
    stamp(matrix, sum(one.one[0] for one in turning), sum(one.two[0] for one in turning))
    standing = [one for one in option.converters if converter.id in (one.id, one.joins)]
    for one in (part for each in standing for part in each.capacitors):
        if one.purpose == "run" and (not one.sets or state.set in one.sets):
            first, second = (NODES[leg] for leg in one.between)
            turns = 2j * math.pi * supply.frequency_hz
            bridge(matrix, first, second, turns * one.capacitance_f)
    for first, second in ((0, 1), (1, 2), (2, 0)):
        bridge(matrix, first, second, shunt)
    made_v = state.leg_to_earth_v[2] if len(state.leg_to_earth_v) > 2 else 0.0
    behind, series = source_of(supply, complex(resistance, reactance), made_v)
    _compare(ledger, state, place, Solution.of(matrix, behind, series), turning, shunt)


class Solution(NamedTuple):
    """Voltages of the legs and currents that the source sends into A and B."""

    volts: Row
    into: Row

    @classmethod
    def of(cls, matrix: list[Row], behind: Row, series: Row) -> "Solution":
        """Solve the network behind the source; without impedance its voltages are given."""
        own = [list(row) for row in matrix]
        right: Row = [0j, 0j, 0j]
        for at in range(2):
            if series[at]:
                own[at][at] += 1 / series[at]
                right[at] = behind[at] / series[at]
            else:
                own[at] = [1 + 0j if k == at else 0j for k in range(3)]
                right[at] = behind[at]
        volts = solved(own, right)
        into = [sum((matrix[at][k] * volts[k] for k in range(3)), 0j) for at in range(2)]
        return cls(volts, into)


def _compare(
    ledger: Ledger,
    state: State,
    place: str,
    found: Solution,
    turning: list[_Turning],
    shunt: complex,
) -> None:
    a, b, c = found.volts
    lines = [abs(a - b), abs(b - c), abs(c - a)]
    mean = sum(lines) / 3
    positive, negative = sequences(found.volts)
    current = max(abs(one) for one in found.into)
    power = sum((v * i.conjugate()).real for v, i in zip((a, b), found.into, strict=True))
    shaft = 0.0
    say = _Say(ledger, place)
    for motor in turning:
        shaft += _compare_motor(say, motor, positive, negative)
    say.several("line_voltage_v", lines, state.line_voltage_v)
    say.several("leg_to_earth_v", [abs(a), abs(b), abs(c)], state.leg_to_earth_v)
    if state.negative_sequence_fraction is not None:
        ratio = abs(negative) / abs(positive)
        say.one("negative_sequence_fraction", ratio, state.negative_sequence_fraction)
    if state.deviation_fraction is not None:
        deviation = max(abs(one - mean) for one in lines) / mean
        say.one("deviation_fraction", deviation, state.deviation_fraction)
    say.one("input_current_a", current, state.input_current_a)
    say.one("input_power_w", power, state.input_power_w)
    say.one("input_power_factor", power / (lines[0] * current), state.input_power_factor)
    drawn = shunt.real * sum(one**2 for one in lines)
    say.one("losses_w", power - shaft - drawn, state.losses_w, power)


def _compare_motor(say: "_Say", motor: _Turning, positive: complex, negative: complex) -> float:
    """Check currents, torque and power of one machine; return its shaft power [W]."""
    said, machine = motor.said, motor.machine
    first, second = motor.one[0] * positive, motor.two[0] * negative
    gap = 0.0
    for volts, side, sign in ((positive, motor.one, 1), (negative, motor.two, -1)):
        gap += sign * 3 * abs(side[1] * volts) ** 2 * side[2].real
    square = abs(first) ** 2 + abs(second) ** 2
    braking = machine.friction_w + machine.stray_w * square / machine.rated_current_a**2
    torque = (gap - braking * (1 - said.slip)) / machine.synchronous
    speed = machine.synchronous * (1 - said.slip)
    part = f"motors/{said.id}"
    currents = [abs(one) for one in phases(first, second)]
    say.several(f"{part}/current_a", currents, said.current_a)
    about = 3 * abs(positive) * machine.rated_current_a
    say.one(f"{part}/torque_nm", torque, said.torque_nm, about / machine.synchronous)
    say.one(f"{part}/shaft_w", torque * speed, said.shaft_w, about)
    fraction = max(currents) / machine.rated_current_a
    say.one(f"{part}/winding_fraction", fraction, said.winding_fraction)
    _compare_load(say, said)
    return torque * speed


def _compare_load(say: "_Say", said: MotorState) -> None:
    """Check that the torque is what the load asks near rated speed: T, or less with the speed."""
    machine, _, number = said.id.rpartition("/")
    if not machine or said.stalled:
        return
    rated = say.ledger.number(f"machines/{machine}/motors/{number}/rated_torque")
    own = say.ledger.number(f"{say.place}/load")
    share = say.ledger.number(f"machines/{machine}/average_load") if own is None else own
    if rated is None or share is None:
        return
    asked = rated * (share if own is not None or say.place.endswith("/average") else 1.0)
    speed = 1 - said.slip
    if not asked * speed**2 * (1 - CLOSE) <= said.torque_nm <= asked / speed * (1 + CLOSE):
        path = f"{say.place}/motors/{said.id}/torque_nm"
        say.ledger.breach(RULE, path, asked, said.torque_nm, "N m")


class _Say(NamedTuple):
    """Compares figures of one state and objects in its name."""

    ledger: Ledger
    place: str

    def one(self, name: str, wanted: float, found: float, about: float = 0.0) -> None:
        """Compare one figure; *about* is what a small one is measured by."""
        if not close(wanted, found, CLOSE) and abs(wanted - found) > LEAST_SHARE * about:
            self.ledger.breach(RULE, f"{self.place}/{name}", wanted, found)

    def several(self, name: str, wanted: list[float], found: tuple[float, ...]) -> None:
        """Compare figures by place."""
        about = max(wanted)
        for place, (one, other) in enumerate(zip(wanted, found, strict=False)):
            self.one(f"{name}/{place}", one, other, about)
