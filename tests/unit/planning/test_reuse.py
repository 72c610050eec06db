"""Equipment that is there: what it stands for, what it saves, and what is said of it."""
# ruff: noqa: ANN401 - fields of a record of any kind

from typing import Any

import attrs
import pytest
from tests.unit.planning.shops import HORSEPOWER_W, case_of, machine, motor
from tests.unit.planning.stand_ins import circuit, converter, proposal

from ampwright.equipment.capacitor import Capacitor
from ampwright.equipment.device import ProtectiveDevice
from ampwright.planning.costs import built_in, rough_total
from ampwright.planning.reuse import matched, remarks, without_purchase
from ampwright.records.equipment import (
    OwnedCapacitors,
    OwnedConductor,
    OwnedConverter,
    OwnedDevice,
    OwnedDrive,
    OwnedMotor,
    OwnedOutlet,
)
from ampwright.records.machine import Route

ROTARY = converter("rotary", "a", rating_w=None, idler_power_w=10 * HORSEPOWER_W)
STATIC = converter("static.a", "a", method="static", rating_w=3 * HORSEPOWER_W)
SINE = converter("electronic", "a", rating_w=None, rating_va=15000.0)
DRIVE = converter("drive.a", "a", rating_w=10 * HORSEPOWER_W, largest_motor_w=5 * HORSEPOWER_W,
                  output_current_a=14.0)  # fmt: skip


def stands_for(piece: Any, wanted: Any) -> bool:
    case = case_of(machine("a"), equipment=(piece,))
    return wanted.id in matched(case, [proposal(wanted.method, ["a"], converters=(wanted,))])


@pytest.mark.parametrize(
    ("piece", "wanted", "enough"),
    [
        (OwnedConverter(id="x", method="rotary", idler_power="10 hp"), ROTARY, True),
        (OwnedConverter(id="x", method="rotary", rating="10 hp"), ROTARY, True),
        (OwnedConverter(id="x", method="rotary", idler_power="7.5 hp"), ROTARY, False),
        (OwnedConverter(id="x", method="rotary"), ROTARY, False),
        (OwnedConverter(id="x", method="static", rating="10 hp"), ROTARY, False),
        (OwnedConverter(id="x", method="rotary", idler_power="10 hp", fate="must-go"), ROTARY,
         False),
        (OwnedConverter(id="x", method="rotary", idler_power="10 hp", output_voltage="480 V"),
         ROTARY, False),
        (OwnedConverter(id="x", method="rotary", idler_power="10 hp", input_voltage="480 V"),
         ROTARY, False),
        (OwnedConverter(id="x", method="static", rating="3 hp", output_current="1 A"), STATIC,
         False),
        (OwnedConverter(id="x", method="static", rating="3 hp", largest_motor="1 hp"),
         attrs.evolve(STATIC, largest_motor_w=3 * HORSEPOWER_W), False),
        (OwnedConverter(id="x", method="static", rating="3 hp", largest_motor="3 hp"),
         attrs.evolve(STATIC, largest_motor_w=3 * HORSEPOWER_W), True),
        (OwnedConverter(id="x", method="static", rating="3 hp"), STATIC, True),
        (OwnedConverter(id="x", method="electronic", apparent_power="15 kVA"), SINE, True),
        (OwnedConverter(id="x", method="electronic", apparent_power="14 kVA"), SINE, False),
        (OwnedConverter(id="x", method="electronic", rating="15 kW"), SINE, False),
        # five horsepower on one phase: a drive made for it, or one of twice the size
        (OwnedDrive(id="x", power="5 hp", input_phases=1), DRIVE, True),
        (OwnedDrive(id="x", power="5 hp", input_phases=3), DRIVE, False),
        (OwnedDrive(id="x", power="5 hp"), DRIVE, False),
        (OwnedDrive(id="x", power="10 hp", input_phases=3), DRIVE, True),
        (OwnedDrive(id="x", power="10 hp", shared=True), DRIVE, False),
        (OwnedDrive(id="x", power="10 hp", input_voltage="480 V"), DRIVE, False),
        (OwnedDrive(id="x", power="10 hp", output_current="13 A"), DRIVE, False),
        (OwnedDrive(id="x", power="10 hp", output_current="14 A"), DRIVE, True),
        (OwnedDrive(id="x", power="10 hp", output_voltage="120 V"), DRIVE, False),
        (OwnedDrive(id="x", power="10 hp", output_voltage="480 V"), DRIVE, True),
        (OwnedDrive(id="x", power="10 hp"), STATIC, False),
        (OwnedMotor(id="x", motor=motor(power="10 hp", current=None)), ROTARY, True),
        (OwnedMotor(id="x", motor=motor(power="7.5 hp", current=None)), ROTARY, False),
        (OwnedMotor(id="x", motor=motor(power="10 hp", current=None, phases=1)), ROTARY, False),
        (OwnedMotor(id="x", motor=motor(power="10 hp", current=None)), DRIVE, False),
    ],
)  # fmt: skip
def test_what_suffices(piece: Any, wanted: Any, *, enough: bool) -> None:
    assert stands_for(piece, wanted) == enough


def test_each_piece_is_used_as_often_as_it_is_there() -> None:
    two = [proposal("drive", [name], converters=(converter(
        f"drive.{name}", name, method="drive", largest_motor_w=1000.0, output_current_a=4.0
    ),)) for name in "ab"]  # fmt: skip
    for count, names in ((1, {"drive.a"}), (2, {"drive.a", "drive.b"})):
        piece = OwnedDrive(id="x", power="10 hp", count=count)
        case = case_of(machine("a"), machine("b"), equipment=(piece,))
        assert set(matched(case, two)) == names


def test_what_serves_the_machine_now_comes_first() -> None:
    pieces = (OwnedDrive(id="x", power="10 hp"), OwnedDrive(id="y", power="10 hp", serves=("a",)))
    case = case_of(machine("a"), equipment=pieces)
    found = matched(case, [proposal("drive", ["a"], converters=(DRIVE,))])
    assert found["drive.a"].id == "y"


def test_what_is_there_costs_its_labour_only() -> None:
    """A drive: 250 to install, in a band of 0.7 to 1.5, whose middle is 1.1."""
    one = proposal("drive", ["a"], converters=(DRIVE,))
    prices = built_in()
    there = {"drive.a": OwnedDrive(id="x")}
    assert rough_total(one, without_purchase(one, there, prices), 10.0) == pytest.approx(1.1 * 250)
    assert without_purchase(one, {}, prices) is prices


def said(piece: Any, *circuits: Any, converters: Any = ()) -> list[tuple[str, tuple[str, ...]]]:
    case = case_of(machine("a"), equipment=(piece,))
    return [(one.code, one.where) for one in remarks(case, {}, converters, circuits)]


REUSE = ("plan.reuse", ("x", "branch.a"))


@pytest.mark.parametrize(
    ("piece", "fits"),
    [
        (OwnedConductor(id="x", size="10 AWG", material="copper", length="10 m"), True),
        (OwnedConductor(id="x", size="10 AWG", length="9 m"), False),
        (OwnedConductor(id="x", size="10 AWG"), False),
        (OwnedConductor(id="x", size="8 AWG", length="10 m"), False),
        (OwnedConductor(id="x", size="10 AWG", material="aluminum", length="10 m"), False),
        (OwnedConductor(id="x", size="10 AWG", length="10 m", insulation="TW"), False),
        (OwnedConductor(id="x", size="10 AWG", length="10 m", conductors=2), False),
        # one that lies there stays where it lies
        (OwnedConductor(id="x", size="10 AWG", length="10 m", installation="conduit"), False),
        (
            OwnedConductor(
                id="x", size="10 AWG", length="10 m", installation="conduit", serves=("a",)
            ),
            True,
        ),
        (OwnedDevice(id="x", device="breaker", rating="40 A", poles=3), True),
        (OwnedDevice(id="x", device="breaker", rating="30 A"), False),
        (OwnedDevice(id="x", device="fuse", rating="40 A"), False),
        (OwnedDevice(id="x", device="breaker", rating="40 A", poles=2), False),
        (OwnedDevice(id="x", device="breaker", rating="40 A", fate="must-go"), False),
    ],
)
def test_stock_that_a_circuit_can_be_made_of(piece: Any, *, fits: bool) -> None:
    assert (REUSE in said(piece, circuit("branch.a", ["a"]))) == fits


@pytest.mark.parametrize(("wanted", "expected"), [("conduit", [REUSE]), ("buried-cable", [])])
def test_a_conductor_laid_otherwise_than_its_machine_is_routed_does_not_do(
    wanted: Any, expected: list[Any]
) -> None:
    piece = OwnedConductor(
        id="x", size="10 AWG", length="10 m", installation="conduit", serves=("a",)
    )
    one = machine("a", route=Route(length="10 m", installation=wanted), length=None)
    found = remarks(case_of(one, equipment=(piece,)), {}, (), [circuit("branch.a", ["a"])])
    assert [(each.code, each.where) for each in found] == expected


@pytest.mark.parametrize(
    ("piece", "fits"),
    [
        # 20 A is the setting; the fault current at its head is 6 kA
        ({"device": "overload", "range": "18-25 A"}, True),
        ({"device": "overload", "range": "12-18 A"}, False),
        ({"device": "overload", "rating": "20 A"}, False),
        ({"device": "breaker", "rating": "40 A", "breaking_capacity": "10 kA"}, True),
        ({"device": "breaker", "rating": "40 A", "breaking_capacity": "5 kA"}, False),
        ({"device": "switch", "rating": "20 A"}, True),
        ({"device": "switch", "rating": "16 A"}, False),
        # type A is wanted
        ({"device": "residual-current", "rating": "40 A", "residual_type": "a"}, True),
        ({"device": "residual-current", "rating": "40 A", "residual_type": "b"}, True),
        ({"device": "residual-current", "rating": "40 A", "residual_type": "ac"}, False),
        ({"device": "residual-current", "rating": "40 A"}, False),
        (
            {"device": "residual-current", "rating": "40 A", "residual_type": "a", "curve": "S"},
            False,
        ),
        ({"device": "contactor", "rating": "40 A"}, False),
    ],
)
def test_devices_that_a_circuit_can_be_made_of(piece: dict[str, Any], *, fits: bool) -> None:
    made = circuit(
        "branch.a", ["a"], fault_current_a=6000.0,
        overloads=(ProtectiveDevice(kind="overload", poles=3, setting_a=20.0),),
        disconnect=ProtectiveDevice(kind="disconnect", poles=3),
        guards=(ProtectiveDevice(kind="residual-current", rating_a=40.0, poles=3, setting_a=0.03,
                                 curve="type A"),),
    )  # fmt: skip
    assert (REUSE in said(OwnedDevice(id="x", **piece), made)) == fits


@pytest.mark.parametrize(
    ("fields", "enough"),
    [
        ({"current": "20 A", "voltage": "250 V", "phases": 3, "poles": 3}, True),
        ({}, True),
        ({"current": "19 A"}, False),
        ({"voltage": "125 V"}, False),
        ({"phases": 1}, False),
        ({"poles": 2}, False),
    ],
)
def test_an_outlet_suits_the_machine_that_it_serves(
    fields: dict[str, Any], *, enough: bool
) -> None:
    outlet = OwnedOutlet(id="x", serves=("a",), **fields)
    found = said(outlet, circuit("branch.a", ["a"]))
    assert found == [REUSE if enough else ("protection.plug-rating", ("x", "a"))]


@pytest.mark.parametrize(
    ("needs", "phases", "poles", "enough"),
    [
        (True, 3, 3, False),
        (True, 3, 4, True),
        (False, 3, 3, True),
        (True, 1, 2, False),  # two lines of 240 V and the neutral between them
        (True, 1, 3, True),
    ],
)
def test_an_outlet_brings_the_neutral_that_the_machine_needs(
    *, needs: bool, phases: int, poles: int, enough: bool
) -> None:
    outlet = OwnedOutlet(id="x", serves=("a",), poles=poles)
    case = case_of(machine("a", needs_neutral=needs), equipment=(outlet,))
    branch = circuit("branch.a", ["a"], phases=phases)
    found = [one.code for one in remarks(case, {}, (), (branch,))]
    assert found == ["plan.reuse" if enough else "protection.plug-rating"]


@pytest.mark.parametrize(
    ("fields", "expected"),
    [
        ({"capacitance": "100 uF", "rating": "370 V", "purpose": "run"}, ["plan.reuse"]),
        ({"capacitance": "50 uF", "rating": "370 V"}, []),
        ({"capacitance": "50 uF", "rating": "370 V", "count": 2}, ["plan.reuse"]),
        ({"capacitance": "100 uF", "rating": "250 V"}, ["converter.capacitor-unfit"]),
        ({"capacitance": "100 uF", "rating": "250 V", "purpose": "start"}, []),
    ],
)
def test_capacitors_in_store(fields: dict[str, Any], expected: list[str]) -> None:
    can = Capacitor(id="run-ca", purpose="run", between="ca", capacitance_f=100e-6,
                    voltage_v=360.0, tolerance_fraction=0.1)  # fmt: skip
    made = (converter("rotary", "a", capacitors=(can,)),)
    box = OwnedCapacitors(id="x", **fields)
    assert [code for code, _ in said(box, converters=made)] == expected


@pytest.mark.parametrize(
    ("fate", "expected"),
    [("keep", ["plan.kept-without-use"]), ("must-go", ["plan.goes"]), ("may-go", [])],
)
def test_what_becomes_of_a_piece(fate: Any, expected: list[str]) -> None:
    assert [code for code, _ in said(OwnedDrive(id="x", fate=fate))] == expected
