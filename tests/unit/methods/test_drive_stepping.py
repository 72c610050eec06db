"""A drive behind a single-phase transformer: before the conversion, by hand."""
# ruff: noqa: ANN401 - fields of a record of any kind

import math
from typing import Any

import attrs
import pytest
from tests.unit.methods.test_drive import proposed
from tests.unit.planning.shops import HORSEPOWER_W, case_of, machine, motor, supply

import ampwright as aw
from ampwright.kernels.rectifier import rectifier_input
from ampwright.method import Proposal

STIFF: dict[str, Any] = {"impedance": "0.06 ohm", "fault_current": "5 kA"}


def for_volts(volts: int, amperes: float, hp: float = 5) -> Any:
    plate = motor(power=f"{hp:g} hp", voltage=f"{volts} V", current=f"{amperes} A", efficiency=0.88)
    return machine("a", motors=(plate,), controls="none")


@pytest.fixture(scope="module")
def found() -> Proposal:
    return proposed(for_volts(460, 6.6), supply=supply(**STIFF))


def test_the_drive_draws_at_the_higher_voltage_and_the_panel_twice_that(found: Proposal) -> None:
    """Half the voltage, twice the current; impedances of the supply times four behind it."""
    link = 5 * HORSEPOWER_W / 0.88 / 0.96
    source = case_of(for_volts(460, 6.6), supply=supply(**STIFF)).supply
    alone = rectifier_input(
        link, 480.0, frequency_hz=60.0, resistance_ohm=4 * source.resistance.value,
        reactance_ohm=4 * source.reactance.value + 0.02 * 480.0**2 / link,
        capacitance_f=450e-9 * link / 4,
    )  # fmt: skip
    (state,) = found.states
    assert state.input_current_a == pytest.approx(2 * alone.current_a, rel=1e-3)
    _, to_drive, _ = found.demands
    assert to_drive.running_current.value == pytest.approx(alone.current_a, rel=1e-3)
    assert state.input_power_factor < 1.0


def test_the_transformer_carries_what_the_drive_draws(found: Proposal) -> None:
    (made,) = found.transformers
    assert (made.kind, made.phases) == ("isolating", 1)
    assert (made.primary_v, made.secondary_v) == (240.0, 480.0)
    (converter,) = found.converters
    assert made.rating_va >= 480.0 * converter.input_current_a * (1 - 1e-9)
    assert made.rating_va < 2 * 480.0 * converter.input_current_a
    assert converter.input_voltage_v == 480.0


def test_circuits_run_from_panel_to_transformer_to_drive_to_motor(found: Proposal) -> None:
    ahead, to_drive, to_motor = found.demands
    assert [one.id for one in found.demands] == ["feeder.a", "supply.drive.a", "output.drive.a"]
    assert ahead.feeds == ("transformer.a",)
    assert (to_drive.fed_from, to_motor.fed_from) == ("feeder.a", "supply.drive.a")
    assert (ahead.voltage.value, to_drive.voltage.value) == (240.0, 480.0)
    (load,) = ahead.loads
    assert load.current.value == pytest.approx(found.transformers[0].rating_va / 240.0)
    assert ahead.running_current.value == pytest.approx(2 * to_drive.running_current.value)
    assert ahead.length == (10.0, "shop/machines/a/length_m")


def test_a_fault_behind_it_is_what_the_transformer_lets_through(found: Proposal) -> None:
    """Rated current over four per cent."""
    made, to_drive = found.transformers[0], found.demands[1]
    assert to_drive.fault_largest is not None
    by_hand = made.rating_va / 480.0 / 0.04
    assert to_drive.fault_largest.value == pytest.approx(by_hand)
    assert [one.value for one in to_drive.voltage_to_earth] == [480.0, 480.0]


def test_what_there_is_to_say(found: Proposal) -> None:
    codes = {one.code for one in found.findings}
    assert {"transformer.needed", "converter.step-up-grounding", "transformer.rectifier-load",
            "drive.cable-length"} <= codes  # fmt: skip


@pytest.mark.parametrize(
    ("volts", "amperes", "second", "kind"),
    [(575, 5.3, 600.0, "isolating"), (380, 8.0, 380.0, "isolating"), (460, 6.6, 480.0, "isolating"),
     (208, 14.6, None, "")],
)  # fmt: skip
def test_the_secondary_is_a_usual_one(
    volts: int, amperes: float, second: float | None, kind: str
) -> None:
    transformers = proposed(for_volts(volts, amperes), supply=supply(**STIFF)).transformers
    assert [(one.secondary_v, one.kind) for one in transformers] == (
        [] if second is None else [(second, kind)]
    )


@pytest.mark.parametrize("region", ["us", "iec"])
def test_a_whole_plan_holds(region: str) -> None:
    """Every rule and number again, by the check that shares none of it."""
    if region == "us":
        one, source = for_volts(460, 6.6), supply(**STIFF)
    else:
        plate = motor(power="4 kW", voltage="400 V", current="8.2 A", frequency="50 Hz", speed=None)
        one = machine("a", motors=(plate,), controls="none")
        source = supply(arrangement="line-neutral", voltage="230 V", frequency="50 Hz",
                        earthing="tn-s", **STIFF)  # fmt: skip
    plan = aw.plan(aw.Shop(region=region, supply=source, machines=(one,)), methods=["drive"])
    assert plan.best is not None
    assert plan.best.transformers
    assert not [each for each in plan.checks or () if each.severity == "blocks"]


def test_a_smaller_transformer_or_conductor_is_a_breach() -> None:
    stated = aw.Shop(region="us", supply=supply(**STIFF), machines=(for_volts(460, 6.6),))
    plan = aw.plan(stated, methods=["drive"])
    option = plan.options[0]
    circuits = tuple(
        attrs.evolve(one, conductor=attrs.evolve(one.conductor, size="14 AWG"))
        if one.id == "feeder.a" else one
        for one in option.circuits
    )  # fmt: skip
    worse = attrs.evolve(plan, options=(attrs.evolve(option, circuits=circuits),))
    assert [one for one in aw.verify(worse) if one.severity == "blocks"]
    assert math.isclose(option.circuits[0].voltage_v, 240.0)
