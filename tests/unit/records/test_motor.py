"""One motor and its nameplate notation."""

import pickle
from typing import Any

import attrs
import pytest

from ampwright.errors import AmpwrightError, ConsistencyError, InputError, RangeError, UnitError
from ampwright.records.motor import Motor, Rating

HP = 550 * 0.3048 * 0.45359237 * 9.80665  # foot, pound and standard gravity, by definition


def test_floats_stand_under_their_unit() -> None:
    motor = Motor(
        power="5 hp", voltage="230 V", current="13.2 A", speed="1740 rpm", inertia="0.5 lb.ft2"
    )
    assert motor.power_w == pytest.approx(5 * HP, rel=1e-15)
    assert (motor.voltage_v, motor.current_a, motor.speed_rpm) == (230.0, 13.2, 1740.0)
    assert motor.inertia_kgm2 == pytest.approx(0.5 * 0.45359237 * 0.3048**2, rel=1e-15)
    assert isinstance(motor.power_w, float)
    assert motor.efficiency is None


def test_evolve_takes_text_and_what_was_accepted_before() -> None:
    motor = attrs.evolve(Motor(power="5 hp", voltage="230/460 V"), power="7.5 hp")
    assert motor.power_w == pytest.approx(7.5 * HP)
    assert [one.voltage_v for one in motor.ratings] == [230.0, 460.0]
    assert attrs.evolve(motor) == motor


def test_alternatives_are_aligned_and_the_plain_attributes_are_those_of_the_first() -> None:
    motor = Motor(
        power="7 1/2 hp", voltage="208-230/460 V", current="22-19.8/9.9 A", connection="YY/Y",
        frequency="60 Hz",
    )  # fmt: skip
    assert motor.ratings == (
        Rating(
            voltage_v=230.0, voltage_from_v=208.0, current_a=19.8, current_from_a=22.0,
            frequency_hz=60.0, power_w=motor.power_w, connection="double-star",
        ),
        Rating(
            voltage_v=460.0, current_a=9.9, frequency_hz=60.0, power_w=motor.power_w,
            connection="star",
        ),
    )  # fmt: skip
    assert (motor.voltage_v, motor.current_a, motor.connection) == (230.0, 19.8, "double-star")


def test_voltage_and_frequency_that_go_together_are_aligned() -> None:
    motor = Motor(power="5.5/6.6 kW", voltage="400/460 V", frequency="50/60 Hz", current="11 A")
    found = [(one.voltage_v, one.frequency_hz, one.power_w, one.current_a) for one in motor.ratings]
    assert found == [(400.0, 50.0, 5500.0, 11.0), (460.0, 60.0, 6600.0, 11.0)]


@pytest.mark.parametrize("voltage", ["230/400 V", "400/230 V", "230/460 V"])
def test_two_links_and_two_frequencies_do_not_exclude_each_other(voltage: str) -> None:
    motor = Motor(
        power="2.2/2.6 kW", voltage=voltage, frequency="50/60 Hz", current="8/4.6 A",
        connection="D/Y", speed="1420/1710 rpm",
    )  # fmt: skip
    first, second = (float(one) for one in voltage.removesuffix(" V").split("/"))
    found = [
        (one.voltage_v, one.current_a, one.connection, one.frequency_hz, one.power_w, one.speed_rpm)
        for one in motor.ratings
    ]
    assert found == [
        (first, 8.0, "delta", 50.0, 2200.0, 1420.0),
        (second, 4.6, "star", 50.0, 2200.0, 1420.0),
        (first, 8.0, "delta", 60.0, 2600.0, 1710.0),
        (second, 4.6, "star", 60.0, 2600.0, 1710.0),
    ]


def test_two_speeds_of_one_voltage() -> None:
    motor = Motor(power="0.75/1.5 kW", voltage="415 V", speed="700/1410 rpm", current="2.3/3.4 A")
    found = [(one.power_w, one.speed_rpm, one.current_a, one.voltage_v) for one in motor.ratings]
    assert found == [(750.0, 700.0, 2.3, 415.0), (1500.0, 1410.0, 3.4, 415.0)]


def test_alternatives_that_do_not_match_are_refused() -> None:
    with pytest.raises(ConsistencyError) as caught:
        Motor(power="5 hp", voltage="230/460 V", current="13.2/6.6/3.3 A")
    assert caught.value.code == "rating.alternatives"
    assert "voltage 2, current 3" in str(caught.value)


def test_motors_that_differ_in_a_later_rating_differ() -> None:
    one = Motor(power="5 hp", voltage="230/460 V")
    assert one != Motor(power="5 hp", voltage="230 V")
    assert one != Motor(power="5 hp", voltage="230/400 V")
    assert one == Motor(power="5 hp", voltage="0.23/0.46 kV")
    assert hash(one) == hash(Motor(power="5 hp", voltage="0.23/0.46 kV"))
    assert Motor(power="5 hp", overload_range="7-10 A") != Motor(
        power="5 hp", overload_range="8-10 A"
    )


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("star", ("star",)),
        ("D/Y", ("delta", "star")),
        ("Δ / Y", ("delta", "star")),
        ("2Y/1Y", ("double-star", "star")),
        ("D/YY", ("delta", "double-star")),
    ],
)
def test_connections(text: str, words: tuple[str, ...]) -> None:
    connection: Any = Motor(power="5 hp", connection=text).connection
    assert connection == words[0]
    assert connection.alternatives == words
    assert connection.given == text


@pytest.mark.parametrize(
    ("fields", "cls", "path", "code"),
    [
        ({}, InputError, "", "field.missing"),
        ({"power": 5}, UnitError, "power", "unit.missing"),
        ({"power": None, "current": None}, InputError, "", "field.missing"),
        ({"power_factor": True}, InputError, "power_factor", "type.number"),
        ({"power_factor": 0}, RangeError, "power_factor", "range.fraction"),
        ({"power_factor": 1.2}, RangeError, "power_factor", "range.fraction"),
        ({"power_factor": float("nan")}, RangeError, "power_factor", "range.nonfinite"),
        ({"power_factor": "0.88"}, UnitError, "power_factor", "quantity.syntax"),
        ({"efficiency": 89}, RangeError, "efficiency", "range.fraction"),
        ({"efficiency": "101 %"}, RangeError, "efficiency", "range.fraction"),
        ({"efficiency": "87,5 %"}, UnitError, "efficiency", "quantity.syntax"),
        ({"service_factor": 0.9}, RangeError, "service_factor", "range.service_factor"),
        ({"code_letter": "I"}, InputError, "code_letter", "enum.code_letter"),
        ({"design": "Q"}, InputError, "design", "enum.design"),
        ({"phases": 2}, InputError, "phases", "enum.phases"),
        ({"phases": True}, InputError, "phases", "enum.phases"),
        ({"poles": 3}, InputError, "poles", "enum.poles"),
        ({"leads": 1}, RangeError, "leads", "range.leads"),
        ({"year": 1700}, RangeError, "year", "range.year"),
        ({"duty": "always"}, InputError, "duty", "enum.duty"),
        ({"connection": "zigzag"}, InputError, "connection", "enum.connection"),
        ({"temperature_rise": "80 degC"}, UnitError, "temperature_rise", "unit.kind"),
        ({"locked_rotor_torque": "0.5 kg.m2"}, UnitError, "locked_rotor_torque", "unit.kind"),
        ({"overload_range": "7 A"}, InputError, "overload_range", "quantity.range"),
        ({"linked_for": "230/460 V"}, UnitError, "linked_for", "quantity.syntax"),
        ({"name": 5}, InputError, "name", "type.text"),
    ],
)
def test_what_is_refused(
    fields: dict[str, Any], cls: type[AmpwrightError], path: str, code: str
) -> None:
    fields = {"power": "5 hp", **fields} if fields and "power" not in fields else fields
    with pytest.raises(cls) as caught:
        Motor(**fields)
    assert type(caught.value) is cls
    assert (caught.value.path, caught.value.code) == (path, code)


def test_both_spellings_of_a_fraction() -> None:
    motor = Motor(
        power="5 hp", efficiency="89 %", power_factor=0.89, locked_rotor_torque_ratio="220 %"
    )
    assert motor.efficiency == motor.power_factor == 0.89
    assert motor.locked_rotor_torque_ratio == 2.2
    with pytest.raises(RangeError) as caught:
        Motor(power="5 hp", efficiency=89)
    assert '0.89 or "89 %"' in str(caught.value)


def test_current_alone_is_enough() -> None:
    assert Motor(current="13.2 A").power_w is None


def test_frozen_keyword_only_slotted_and_pickled() -> None:
    motor = Motor(power="5 hp", voltage="230/460 V", connection="D/Y", overload_range="7-10 A")
    with pytest.raises(attrs.exceptions.FrozenInstanceError):
        motor.power_w = 5.0  # type: ignore[misc]
    with pytest.raises(TypeError):
        Motor("5 hp")  # type: ignore[call-arg]
    assert not hasattr(motor, "__dict__")
    again = pickle.loads(pickle.dumps(motor))  # noqa: S301 - made in the same line
    assert again == motor
    assert again.power_w.given == "5 hp"


def test_it_is_printed_as_it_was_stated() -> None:
    assert repr(Motor(power="5 hp", voltage="230/460 V")) == (
        "Motor(power='5 hp', voltage='230/460 V')"
    )
