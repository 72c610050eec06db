"""Real three-phase: links, currents, starts, costs, and where it is refused."""
# ruff: noqa: ANN401 - fields of a record of any kind

import math
from typing import Any

import pytest
from tests.unit.planning.shops import HORSEPOWER_W, case_of, heater, machine, motor, supply

import ampwright as aw
from ampwright.case import Case
from ampwright.kernels.torque_curve import locked_rotor
from ampwright.kernels.variants import relinked
from ampwright.method import Proposal, Refusal
from ampwright.methods.utility import Utility
from ampwright.records.supply import ThreePhase

AT_METER: dict[str, Any] = {"where": "at-meter", "voltage": "240 V", "current": "100 A"}


def answer(case: Case) -> Proposal | Refusal:
    return Utility().answer(case, case.machines)


def shop(*machines: aw.Machine, single: dict[str, Any] | None = None, **known: Any) -> Case:
    stated = ThreePhase(**(AT_METER | known))
    return case_of(*machines, supply=supply(three_phase=stated, **(single or {})))


def proposed(*machines: aw.Machine, **known: Any) -> Proposal:
    found = answer(shop(*(machines or (machine(),)), **known))
    assert isinstance(found, Proposal), found
    return found


def refused(case: Case) -> set[str]:
    found = answer(case)
    assert isinstance(found, Refusal)
    return {one.code for one in found.reasons}


def german(plate: aw.Motor, **known: Any) -> Case:
    there = ThreePhase(where="at-meter", **known)
    single = aw.Supply(arrangement="line-neutral", voltage="230 V", frequency="50 Hz",
                       rating="32 A", three_phase=there)  # fmt: skip
    return case_of(machine(motors=(plate,)), supply=single)


def four_kilowatts(voltage: str, current: str) -> aw.Motor:
    return motor(power="4 kW", voltage=voltage, current=current, frequency="50 Hz",
                 speed="1430 rpm")  # fmt: skip


def test_it_loads_nothing_on_the_single_phase_supply() -> None:
    shop_ = aw.Shop(
        region="us", supply=supply(three_phase=ThreePhase(**AT_METER)), machines=(machine(),)
    )
    plan = aw.plan(shop_)
    own = next(one for one in plan.options if one.id == "utility")
    total = next(one for one in own.states if one.id.startswith("supply/"))
    assert total.input_current_a == 0.0
    assert own.verdict == "feasible"


def test_a_delta_motor_of_the_supply_is_linked_in_star_for_the_lines() -> None:
    found = answer(german(four_kilowatts("230/400 V", "14.2/8.2 A"), current="32 A"))
    assert isinstance(found, Proposal)
    (demand,) = next(one for one in found.demands if one.role == "branch").motors
    assert demand.voltage.value == 400.0
    assert demand.current.value == 8.2


def test_without_a_voltage_the_lines_are_the_phase_times_root_three() -> None:
    found = answer(german(four_kilowatts("400 V", "8.2 A"), current="32 A"))
    assert isinstance(found, Proposal)
    assert found.demands[0].voltage.value == pytest.approx(230.0 * math.sqrt(3.0))
    assert "utility.voltage-assumed" in {one.code for one in found.assumptions}
    assert "supply.three-phase-voltage" in {one.code for one in found.questions}


@pytest.mark.parametrize(
    ("arrangement", "volts", "hertz", "between", "earth"),
    [
        ("split-phase", 240, 60, 240.0, [120.0, 120.0, 207.8]),  # 120/240 V: a delta with mid-point
        ("split-phase", 480, 50, 415.7, [240.0, 240.0, 240.0]),  # 240-0-240 V: 415 V beside it
        ("split-phase", 460, 50, 398.4, [230.0, 230.0, 230.0]),  # 230-0-230 V: 400 V
        ("split-phase", 200, 50, 200.0, [100.0, 100.0, 173.2]),  # 100/200 V: 200 V
        ("split-phase", 480, 60, 480.0, [240.0, 240.0, 415.7]),  # 240/480 V
        ("line-line", 208, 60, 208.0, [120.1, 120.1, 120.1]),  # two lines of 208Y/120 V
        ("line-neutral", 230, 50, 398.4, [230.0, 230.0, 230.0]),
    ],
)  # fmt: skip
def test_the_voltage_that_is_usual_beside_a_supply(
    arrangement: Any, volts: float, hertz: float, between: float, earth: list[float]
) -> None:
    """Half of 480 V is 240 V, the phase of a star of sqrt(3) x 240 = 415.7 V between lines."""
    own = motor(power="4 kW", voltage=f"{between:.0f} V", current="9 A", frequency=f"{hertz} Hz",
                speed="1430 rpm")  # fmt: skip
    single = aw.Supply(
        arrangement=arrangement,
        voltage=f"{volts} V",
        frequency=f"{hertz} Hz",
        rating="60 A",
        three_phase=ThreePhase(where="at-meter", current="60 A"),
    )
    found = answer(case_of(machine(motors=(own,)), supply=single))
    assert isinstance(found, Proposal), found
    first = found.demands[0]
    assert first.voltage.value == pytest.approx(between, abs=0.05)
    assert [one.value for one in first.voltage_to_earth] == pytest.approx(earth, abs=0.05)
    assert "utility.voltage-assumed" in {one.code for one in found.assumptions}
    assert ("supply.three-phase-voltage", "method") in {
        (one.code, one.changes) for one in found.questions
    }


def test_where_no_voltage_is_usual_it_has_to_be_stated() -> None:
    """110-0-110 V at 50 Hz: 190 V of a star, 220 V of a delta, or 380 V stand beside it."""

    def at(**known: Any) -> Case:
        there = ThreePhase(where="at-meter", current="60 A", **known)
        single = aw.Supply(arrangement="split-phase", voltage="220 V", frequency="50 Hz",
                           rating="60 A", three_phase=there)  # fmt: skip
        return case_of(machine(motors=(four_kilowatts("380 V", "9 A"),)), supply=single)

    assert refused(at()) == {"utility.voltage-unknown"}
    assert isinstance(answer(at(voltage="380 V")), Proposal)


def test_a_voltage_that_no_usual_transformer_makes_is_refused() -> None:
    case = german(four_kilowatts("110 V", "29 A"), voltage="400 V")
    assert refused(case) == {"supply.voltage-mismatch"}


def test_the_start_is_that_of_the_locked_rotor_at_ninety_five_percent() -> None:
    case = shop(machine())
    found = answer(case)
    assert isinstance(found, Proposal)
    (one,) = found.starts
    low = case.machines[0].motors[0].low
    still = locked_rotor(low, 0.95 * 240.0)
    assert one.current_a == pytest.approx(still.current_a, rel=1e-9)
    assert one.torque_nm == pytest.approx(0.9 * still.torque_nm, rel=1e-9)


def test_a_link_in_star_starts_with_the_torque_of_the_link_in_delta() -> None:
    """The same turns at the same voltage: 400 V in star are 231 V in delta."""
    case = german(four_kilowatts("230/400 V", "14.2/8.2 A"), voltage="400 V")
    found = answer(case)
    assert isinstance(found, Proposal)
    low = case.machines[0].motors[0].low
    volts = 0.95 * 400.0
    still = locked_rotor(relinked(low, 400.0 / 230.0), volts)
    assert found.starts[0].torque_nm == pytest.approx(0.9 * still.torque_nm, rel=1e-9)


def test_star_delta_begins_with_a_third_of_the_torque_or_a_little_less() -> None:
    """Less, since the leakage saturates less at the smaller current."""
    direct = proposed(machine()).starts[0]
    star = proposed(machine(starter="star-delta")).starts[0]
    assert star.torque_nm is not None
    assert direct.torque_nm is not None
    assert 0.75 < star.torque_nm / (direct.torque_nm / 3.0) <= 1.0


def test_the_rated_load_draws_the_plate_current() -> None:
    full = next(one for one in proposed().states if one.load == "full")
    (one,) = full.motors
    assert one.shaft_w == pytest.approx(5 * HORSEPOWER_W, rel=0.01)
    assert max(one.current_a) == pytest.approx(13.2, rel=0.05)
    assert full.input_power_w - full.losses_w == pytest.approx(one.shaft_w, rel=1e-9)


def test_lines_that_give_too_little_are_refused() -> None:
    assert refused(shop(machine(), machine("planer"), current="20 A")) == {"utility.too-small"}
    assert isinstance(answer(shop(machine(), machine("planer"), current="30 A")), Proposal)


def test_the_smallest_usual_connection_carries_the_worst_set() -> None:
    (limit,) = proposed(machine(), machine("planer")).limits
    assert limit.asks == 30.0  # 26.4 A together


def test_a_heater_follows_the_square_of_the_voltage() -> None:
    case = shop(heater(), voltage="230 V")
    found = answer(case)
    assert isinstance(found, Proposal)
    full = next(one for one in found.states if one.load == "full")
    assert full.input_power_w == pytest.approx(6000.0 * (230.0 / 240.0) ** 2, rel=1e-9)
    expected = 6000.0 * (230.0 / 240.0) ** 2 / (math.sqrt(3.0) * 230.0)
    assert full.input_current_a == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("where", ["in-building", "in-street", "extension"])
def test_what_has_to_be_applied_for_does_not_run_the_shop_yet(where: str) -> None:
    found = proposed(where=where)
    assert "utility.not-there-yet" in {one.code for one in found.findings}
    assert "supply.three-phase-price" in {one.code for one in found.questions}
    plan = aw.plan(
        aw.Shop(region="us", machines=(machine(),),
                supply=supply(three_phase=ThreePhase(**(AT_METER | {"where": where}))))
    )  # fmt: skip
    own = next(one for one in plan.options if one.id == "utility")
    assert own.verdict == "not-feasible"


def test_at_the_meter_nothing_has_to_be_applied_for() -> None:
    assert "utility.not-there-yet" not in {one.code for one in proposed().findings}


def test_a_quote_stands_and_the_standing_charge_counts_each_year() -> None:
    found = proposed(where="in-street", price="4200 EUR", yearly_charge="180 EUR", months=3.0)
    costs = {one.kind: (one.low, one.high, one.currency) for one in found.costs}
    assert costs == {"purchase": (4200.0, 4200.0, "EUR"), "standing": (180.0, 180.0, "EUR")}
    assert {"utility.waits", "plan.tariff-change"} <= {one.code for one in found.findings}
    assert "supply.three-phase-price" not in {one.code for one in found.questions}


def test_without_a_quote_the_price_is_rough_and_says_so() -> None:
    found = proposed(where="extension")
    (cost,) = found.costs
    assert cost.low < cost.high
    assert "utility.no-quote" in {one.code for one in found.findings}


def test_the_distance_is_the_feeder_at_the_meter_only() -> None:
    near = proposed(distance="25 m").demands[0]
    far = proposed(where="extension", distance="2 km").demands[0]
    assert near.length.value == 25.0
    assert far.length.value < 100.0


def test_none_and_unknown_are_told_apart() -> None:
    assert refused(case_of(machine())) == {"utility.not-asked"}
    assert refused(shop(machine(), where="none")) == {"utility.none"}


def test_a_delta_with_mid_point_has_a_high_leg() -> None:
    to_earth = [one.value for one in proposed().demands[0].voltage_to_earth]
    assert to_earth == pytest.approx([120.0, 120.0, 120.0 * math.sqrt(3.0)])
    star = [one.value for one in proposed(voltage="208 V").demands[0].voltage_to_earth]
    assert star == pytest.approx([208.0 / math.sqrt(3.0)] * 3)


def test_a_machine_for_460_volts_stands_behind_a_transformer_on_240() -> None:
    own = machine(motors=(motor(voltage="460 V", current="6.6 A"),))
    found = proposed(own)
    (made,) = found.transformers
    assert (made.primary_v, made.secondary_v) == (240.0, 480.0)
    branch = next(one for one in found.demands if one.id == "branch.saw")
    assert branch.voltage.value == 480.0
    assert branch.motors[0].current.value == 6.6
    full = next(one for one in found.states if one.load == "full")
    assert full.input_current_a == pytest.approx(13.2, rel=0.06)
    plan = aw.plan(aw.Shop(region="us", machines=(own,), supply=supply(
        three_phase=ThreePhase(**AT_METER))))  # fmt: skip
    assert not [one for one in plan.checks or () if one.severity != "info"]
    option = next(one for one in plan.options if one.id == "utility")
    assert "transformer.saw/purchase" in {one.id for one in option.costs}
