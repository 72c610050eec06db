"""One machine."""

import pickle
from typing import Any, get_args

import pytest

from ampwright.errors import AmpwrightError, ConsistencyError, InputError
from ampwright.exchange import read, write
from ampwright.records.load import Load
from ampwright.records.machine import Machine, Plug, Route, Trait
from ampwright.records.motor import Motor

FULL = {
    "id": "saw",
    "name": "Panel saw",
    "motors": [{"power": "5 hp"}, {"power": "1 hp", "phases": 1}],
    "loads": [{"kind": "lamp", "power": "60 W", "phases": 1}],
    "length": "12 m",
    "route": {"length": "8 m", "installation": "conduit", "ambient": "40 degC", "grouping": 2},
    "plug": {"poles": 4, "current": "32 A", "voltage": "400 V", "motor_rating": "5.5 kW"},
    "control_voltage": "24 V",
    "control_power": "100 VA",
    "controls": "made-leg",
    "value": "2500 USD",
    "required": False,
    "start": "light",
    "starter": "star-delta",
    "unloader": False,
    "motors_one_at_a_time": True,
    "load_torque": "friction",
    "load_inertia": "3 lb.ft2",
    "starts_per_hour": 10,
    "hours_per_year": "600 h",
    "hours_per_day": "3 h",
    "average_load": "40 %",
    "voltage_tolerance": "10 %",
    "unbalance_limit": 0.03,
    "variable_speed": False,
    "rotation_critical": True,
    "needs_neutral": False,
    "traits": ["two-speed", "high-inertia"],
    "plate_lacks": ["short-circuit-rating"],
    "full_load_current": "23 A",
    "short_circuit_rating": "10 kA",
    "needs": ["dust"],
    "fed_from": "planer",
    "stopping_time_limit": "10 s",
    "single_phase_unit": True,
    "overload_fitted": True,
    "disconnect_in_sight": False,
    "emergency_stop": False,
    "quantity": 2,
    "extra": {"customer": {"id": 7, "tags": ["a", None, 1.5, True]}},
}


def test_everything_about_a_machine_can_be_stated() -> None:
    machine = read(Machine, FULL)
    assert write(machine) == FULL
    assert machine.route == Route(
        length="8 m", installation="conduit", ambient="40 degC", grouping=2
    )
    assert machine.plug == Plug(poles=4, current="32 A", voltage="400 V", motor_rating="5.5 kW")
    assert machine.hours_per_year_h == 600.0
    assert machine.average_load == 0.4
    assert machine.stopping_time_limit_s == 10.0
    assert machine.control_power_va == 100.0
    assert machine.extra["customer"]["tags"] == ("a", None, 1.5, True)


def test_a_machine_may_be_built_from_lists_and_records() -> None:
    machine = Machine(id="saw", motors=[Motor(power="5 hp")], traits=["hermetic"], needs=["dust"])
    assert machine.motors == (Motor(power="5 hp"),)
    assert (machine.traits, machine.needs) == (("hermetic",), ("dust",))


def test_what_a_machine_runs_is_stated_in_one_of_three_ways() -> None:
    for part in (
        {"motors": (Motor(power="5 hp"),)},
        {"loads": (Load(kind="lamp", power="60 W"),)},
        {"plate": "5 HP 230/460 V"},
    ):
        parts: dict[str, Any] = part
        assert Machine(id="saw", **parts).id == "saw"
    with pytest.raises(InputError) as caught:
        Machine(id="saw")
    assert caught.value.code == "field.missing"
    assert "motors, loads or plate" in str(caught.value)


def test_a_plate_is_read_instead_of_motors_not_beside_them() -> None:
    with pytest.raises(ConsistencyError) as caught:
        Machine(id="saw", plate="5 HP", motors=[Motor(power="5 hp")])
    assert caught.value.code == "field.conflict"


def test_the_callers_own_data_is_taken_as_a_copy_that_cannot_change() -> None:
    given: dict[str, Any] = {"a": [1, {"b": 2}]}
    machine = Machine(id="saw", plate="5 HP", extra=given)
    given["a"][1]["b"] = 3
    assert machine.extra["a"][1]["b"] == 2
    with pytest.raises(TypeError):
        machine.extra["a"] = 5  # type: ignore[index]
    again = pickle.loads(pickle.dumps(machine))  # noqa: S301 - made in the same line
    assert again == machine
    assert hash(again) == hash(machine)
    assert "b" in repr(machine)


@pytest.mark.parametrize(
    ("change", "path", "code"),
    [
        ({"id": ""}, "id", "id.form"),
        ({"id": 5}, "id", "type.text"),
        ({"quantity": 2.5}, "quantity", "type.integer"),
        ({"quantity": 0}, "quantity", "range.quantity"),
        ({"length": "-3 m"}, "length", "range.length"),
        ({"start": "soft"}, "start", "enum.start"),
        ({"traits": ["two-sped"]}, "traits[0]", "enum.traits"),
        ({"traits": "two-speed"}, "traits", "type.list"),
        ({"needs": [5]}, "needs[0]", "type.text"),
        ({"needs": ["saw"]}, "needs", "id.self"),
        ({"plate": " "}, "plate", "field.empty"),
        ({"plate": "x" * 2001}, "plate", "limit.text_length"),
        ({"value": "2500"}, "value", "quantity.syntax"),
        ({"value": True}, "value", "type.quantity"),
        ({"hours_per_year": "9000 h"}, "hours_per_year", "range.hours"),
        ({"hours_per_day": "25 h"}, "hours_per_day", "range.hours"),
        ({"required": None}, "required", "field.missing"),
        ({"motors": [{"power": "5 hp"}] * 501}, "motors", "limit.entries"),
        ({"motors": ["5 hp"]}, "motors[0]", "type.record"),
        ({"extra": [1]}, "extra", "type.table"),
        ({"extra": {"a": float("nan")}}, "extra", "range.nonfinite"),
        ({"extra": {"a": {1, 2}}}, "extra", "type.plain"),
        ({"extra": {1: 2}}, "extra", "type.text"),
    ],
)
def test_what_is_refused(change: dict[str, Any], path: str, code: str) -> None:
    with pytest.raises(AmpwrightError) as caught:
        read(Machine, {"id": "saw", "plate": "5 HP", **change})
    assert (caught.value.path, caught.value.code) == (path, code)


def test_own_data_nested_without_end_is_refused() -> None:
    endless: dict[str, Any] = {}
    endless["a"] = endless
    with pytest.raises(AmpwrightError) as caught:
        Machine(id="saw", plate="5 HP", extra=endless)
    assert caught.value.code == "limit.depth"


def test_all_wrong_words_of_a_list_come_together() -> None:
    with pytest.raises(InputError) as caught:
        read(Machine, {"id": "saw", "plate": "5 HP", "traits": ["hermetik", "plugging", "plugs"]})
    assert [one.path for one in caught.value.faults] == ["traits[0]", "traits[2]"]
    assert 'did you mean "hermetic"?' in str(caught.value)


def test_the_traits_of_the_contract_are_there() -> None:
    wanted = (
        "two-speed reversing plugging injection-brake hermetic wound-rotor internal-switching "
        "rectifier-input old-insulation high-inertia plug-connected restarts-by-itself "
        "combustible-dust conductive-dust wash-down life-safety finish-critical"
    )
    assert set(wanted.split()) <= set(get_args(Trait))
