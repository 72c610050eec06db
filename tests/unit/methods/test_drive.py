"""A drive for one motor: rating, single-phase input and refusals, by hand and by the kernel."""
# ruff: noqa: ANN401 - fields of a record of any kind

import math
from itertools import pairwise
from typing import Any

import pytest
from tests.unit.planning.shops import HORSEPOWER_W, case_of, heater, machine, motor, supply

from ampwright.case import Case
from ampwright.kernels.rectifier import rectifier_input
from ampwright.method import Proposal, Refusal
from ampwright.methods.drive import Drive, sizing
from ampwright.methods.drive.refusing import FACTS
from ampwright.methods.drive.sizing import FIGURES, RATINGS, bound, ratings, rectified
from ampwright.records.load import Load

EFFICIENCY, OVERLOAD, DERATE = 0.96, 1.5, 0.5  # of drives: common practice, no source


def answered(*machines: Any, **changes: Any) -> Proposal | Refusal:
    case = case_of(*machines, **changes)
    return Drive().answer(case, case.machines)


def proposed(*machines: Any, **changes: Any) -> Proposal:
    found = answered(*machines, **changes)
    assert isinstance(found, Proposal), found
    return found


def refused(*machines: Any, **changes: Any) -> set[str]:
    found = answered(*machines, **changes)
    assert isinstance(found, Refusal)
    assert all(one.severity == "blocks" for one in found.reasons)
    assert found.machines == tuple(one.id for one in machines)
    return {one.code for one in found.reasons}


def of_power(hp: float, amperes: float | None = None, **fields: Any) -> Any:
    """Return a machine with one motor of *hp* at 230 V."""
    current = None if amperes is None else f"{amperes} A"
    plate = motor(power=f"{hp} hp", voltage="230 V", current=current, efficiency=0.88)
    return machine("a", motors=(plate,), **fields)


@pytest.fixture(scope="module")
def case() -> Case:
    return case_of(of_power(5, 13.2), together=(("a",),), supply=supply(impedance="0.06 ohm"))


@pytest.fixture(scope="module")
def found(case: Case) -> Proposal:
    one = Drive().answer(case, case.machines)
    assert isinstance(one, Proposal)
    return one


def test_the_figures_of_this_file_are_those_of_the_table() -> None:
    known = {name: FIGURES.number(name, "value") for name in (
        "efficiency", "overload", "single-phase-derate",
    )}  # fmt: skip
    assert list(known.values()) == [EFFICIENCY, OVERLOAD, DERATE]


def test_ratings_stand_in_order_and_single_phase_ones_are_the_smaller() -> None:
    count = 0
    for hertz in (50.0, 60.0):
        plain, others = ratings(hertz, single_phase=True), ratings(hertz, single_phase=False)
        watts = [one for _, one in (*plain, *others)]
        assert watts == sorted(watts)
        count += len(watts)
    assert count == len(RATINGS.rows)
    assert plain[-1][1] == pytest.approx(3 * HORSEPOWER_W)
    assert bound(plain, 3 * HORSEPOWER_W) == plain[-1]
    assert bound(plain, 3.01 * HORSEPOWER_W) is None


@pytest.mark.parametrize(("motor_kw", "drive_kw"), [(0.3, 0.37), (2.2, 2.2), (2.3, 5.5), (4, 11)])
def test_at_50_hz_drives_are_made_in_kilowatts(motor_kw: float, drive_kw: float) -> None:
    """Above 2.2 kW one of at least twice the power: 2.3 asks for 4.6 kW, 4 for 8."""
    power_w = 1000.0 * motor_kw
    plain = bound(ratings(50.0, single_phase=True), power_w)
    found = plain or bound(ratings(50.0, single_phase=False), 2.0 * power_w)
    assert found == (f"{drive_kw:g} kW", pytest.approx(1000.0 * drive_kw))


@pytest.mark.parametrize(
    ("motor_hp", "drive_hp", "derated"),
    [
        # up to 3 hp drives are made for one phase; beyond, one of twice the power
        (0.3, 0.5, False), (0.5, 0.5, False), (0.75, 1, False), (2.2, 3, False), (3, 3, False),
        (3.5, 7.5, True), (5, 10, True), (6, 15, True), (7.5, 15, True), (10, 20, True),
        (50, 100, True),
    ],
)  # fmt: skip
def test_the_rating_of_a_drive(motor_hp: float, drive_hp: float, *, derated: bool) -> None:
    one = proposed(of_power(motor_hp))
    (made,) = one.converters
    assert made.rating_w == pytest.approx(drive_hp * HORSEPOWER_W)
    codes = {each.code for each in one.findings}
    assert ("converter.drive-single-phase-derate" in codes) is derated
    governing = {each.constraint for each in one.limits if each.governs}
    assert governing == {"single-phase-derate" if derated else "motor-power"}


def test_what_each_constraint_would_ask_alone(found: Proposal) -> None:
    asks = {one.constraint: one.asks for one in found.limits}
    assert asks == {
        "motor-power": pytest.approx(5 * HORSEPOWER_W),
        "single-phase-derate": pytest.approx(10 * HORSEPOWER_W),
    }


def test_beyond_the_largest_drive_there_is_none() -> None:
    """50 hp ask for 100 hp, the largest; 51 hp for 102."""
    assert refused(of_power(51)) == {"drive.too-large"}


def test_a_larger_motor_never_gets_a_smaller_drive_or_draws_less() -> None:
    several = [proposed(of_power(hp)) for hp in (0.5, 1, 2, 3, 5, 7.5, 10, 20)]
    for one, two in pairwise(several):
        assert one.converters[0].rating_w is not None
        assert two.converters[0].rating_w is not None
        assert two.converters[0].rating_w >= one.converters[0].rating_w
        assert two.states[0].input_current_a > one.states[0].input_current_a


def test_the_input_is_what_the_rectifier_draws_for_the_motors_power(
    case: Case, found: Proposal
) -> None:
    """5 hp / 0.88 / 0.96 from the direct link, through the supply and a choke of 2 %."""
    link = 5 * HORSEPOWER_W / 0.88 / EFFICIENCY
    base = 240.0**2 / link
    alone = rectifier_input(
        link, 240.0, frequency_hz=60.0, resistance_ohm=case.supply.resistance.value,
        reactance_ohm=case.supply.reactance.value + 0.02 * base, capacitance_f=450e-9 * link,
    )  # fmt: skip
    (state,) = found.states
    assert state.input_current_a == pytest.approx(alone.current_a)
    assert state.input_power_w == pytest.approx(alone.input_w)
    assert state.input_power_factor == pytest.approx(alone.power_factor)


def test_input_is_shaft_and_losses(found: Proposal) -> None:
    (state,) = found.states
    (one,) = state.motors
    assert one.shaft_w == pytest.approx(5 * HORSEPOWER_W)
    assert state.input_power_w == pytest.approx(one.shaft_w + state.losses_w, rel=1e-6)
    # motor and drive lose 1/0.88/0.96 - 1 of the shaft, the supply's loop a little more
    least = 5 * HORSEPOWER_W * (1 / 0.88 / EFFICIENCY - 1)
    assert least < state.losses_w < 1.25 * least


def test_a_rectifier_draws_more_than_equal_apparent_power(found: Proposal) -> None:
    """Equal: 1.732 x 230 x 13.2 / 240 = 21.91 A; distorted current is larger."""
    (state,) = found.states
    assert state.equal_kva_current_a == pytest.approx(21.910, rel=1e-4)
    assert state.input_current_a > state.input_power_w / 240.0
    assert 0.5 < state.input_power_factor < 0.9


@pytest.mark.parametrize(("volts", "hertz"), [(208.0, 60.0), (240.0, 60.0), (230.0, 50.0)])
@pytest.mark.parametrize("ohm", [0.001, 0.05, 0.5, 5.0])
@pytest.mark.parametrize("watts", [200.0, 5e3, 5e4])
def test_no_supply_is_outside_what_the_rectifier_is_known_for(
    volts: float, hertz: float, ohm: float, watts: float
) -> None:
    case = case_of(supply=supply(arrangement="line-line", voltage=f"{volts} V",
                                 frequency=f"{hertz} Hz", impedance=f"{ohm} ohm"))  # fmt: skip
    found = rectified(case, watts)
    assert 0.0 < found.power_factor <= 1.0
    assert found.current_a > watts / volts * 0.9


def test_the_assumed_plate_is_on_the_safe_side(found: Proposal) -> None:
    (made,) = found.converters
    (state,) = found.states
    equal = math.sqrt(3) * 13.2 * 230 / 240
    assert made.input_current_a == pytest.approx(1.1 * max(state.input_current_a, equal))
    assert made.output_current_a == 13.2
    assert (made.id, made.method, made.machines) == ("drive.a", "drive", ("a",))
    assert made.losses_w == pytest.approx(0.015 * 10 * HORSEPOWER_W)
    assert made.largest_motor_w == pytest.approx(5 * HORSEPOWER_W)


def test_the_start_is_a_ramp_within_the_drives_overload(case: Case, found: Proposal) -> None:
    (one,) = found.starts
    (load,) = case.machines[0].motors
    assert one.torque_nm == pytest.approx(OVERLOAD * load.rated_torque.value)
    assert one.needed_torque_nm == load.breakaway.value
    assert one.current_a == pytest.approx(OVERLOAD * found.states[0].input_current_a)
    assert (one.device_trips, one.overload_trips, one.time_s) == (False, False, None)


def test_a_start_harder_than_the_overload_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    assert isinstance(answered(of_power(5, start="hard")), Proposal)  # asks for 1.2 of 1.5
    usual = sizing.usual
    monkeypatch.setattr(
        sizing, "usual",
        lambda name, sheet: usual(name, sheet)._replace(value=1.1) if name == "overload"
        else usual(name, sheet),
    )  # fmt: skip
    assert refused(of_power(5, start="hard")) == {"machine.hard-start"}


def test_one_drive_serves_one_machine_with_one_motor() -> None:
    assert refused(machine("a"), machine("b")) == {"converter.drive-one-motor"}
    assert refused(machine("a", motors=(motor(), motor()))) == {"converter.drive-one-motor"}
    mixed = machine("a", motors=(motor(),), loads=(Load(kind="lamp", power="60 W", phases=1),))
    assert "converter.drive-one-motor" in refused(mixed)
    assert "converter.drive-one-motor" in refused(heater("h"))


@pytest.mark.parametrize("row", FACTS.rows, ids=lambda row: f"{row['field']}-{row['value']}")
def test_what_no_drive_stands_in_front_of(row: dict[str, str]) -> None:
    known: dict[str, Any] = {"true": True}
    value: Any = known.get(row["value"], row["value"])
    field: dict[str, Any] = {row["field"]: (value,) if row["field"] == "traits" else value}
    assert row["code"] in refused(of_power(5, **field))


def test_a_machine_fed_through_another_is_refused() -> None:
    case = case_of(machine("a", fed_from="b"), machine("b"))
    found = Drive().answer(case, case.machines[:1])
    assert isinstance(found, Refusal)
    assert {one.code for one in found.reasons} == {"drive.fed-from-another"}


def test_a_voltage_that_nothing_suits_is_refused_and_a_frequency_is_not() -> None:
    other = motor(voltage="1000 V", current="3 A")
    assert refused(machine("a", motors=(other,))) == {"supply.voltage-mismatch"}
    fifty = motor(voltage="230 V", current="13.2 A", frequency="50 Hz", speed="1430 rpm")
    one = proposed(machine("a", motors=(fifty,)))
    assert one.demands[1].frequency.value == 50.0
    assert one.demands[0].frequency.value == 60.0


def codes(**fields: Any) -> set[str]:
    return {one.code for one in proposed(of_power(5, **fields)).findings}


def test_what_there_is_to_say_of_a_machine_on_a_drive() -> None:
    plain = codes(controls="none")
    assert {"supply.harmonics", "converter.capacitor-discharge", "plan.recheck-on-plate"} <= plain
    assert "machine.legacy-insulation" in codes(controls="none", traits=("old-insulation",))
    assert "converter.drive-output-switching" in codes(controls="none", traits=("plug-connected",))
    assert not {"machine.legacy-insulation", "converter.drive-output-switching"} & plain


@pytest.mark.parametrize(
    ("controls", "told"),
    [("none", False), ("own-transformer", False), ("supply-lines", True), ("made-leg", True),
     (None, True)],
)  # fmt: skip
def test_controls_behind_a_drive_are_no_longer_fed(controls: str | None, *, told: bool) -> None:
    assert ("control.drive-takes-over" in codes(controls=controls)) is told


def test_the_circuits_are_one_to_the_drive_and_one_to_the_motor(found: Proposal) -> None:
    to_drive, to_motor = found.demands
    assert (to_drive.id, to_drive.role, to_drive.phases) == ("supply.drive.a", "supply", 1)
    assert (to_motor.id, to_motor.role, to_motor.phases) == ("output.drive.a", "output", 3)
    assert to_motor.fed_from == to_drive.id
    assert to_drive.feeds == ("drive.a",)
    assert to_motor.feeds == ("a",)
    assert to_drive.length == (10.0, "shop/machines/a/length_m")
    assert to_motor.length.value == 3.0
    assert to_drive.converter is not None
    assert to_drive.converter.kind == "drive"
    assert to_drive.converter.current.value == found.converters[0].input_current_a
    assert to_drive.running_current.value == found.states[0].input_current_a
    assert to_motor.running_current.value == 13.2
    assert to_drive.starting_current is not None
    assert to_drive.starting_current.value == found.starts[0].current_a


def test_there_is_a_state_for_each_set_that_holds_the_machine() -> None:
    case = case_of(of_power(5), machine("b"), together=(("a", "b"), ("b",), ("a",)))
    one = Drive().answer(case, case.machines[:1])
    assert isinstance(one, Proposal)
    assert [state.set for state in one.states] == ["set-1", "set-3"]


def test_settling_changes_nothing(case: Case, found: Proposal) -> None:
    assert Drive().settle(case, found, ()) is found


@pytest.mark.parametrize(
    ("plate_v", "reached"),
    [("415 V", True), ("385 V", True), ("383 V", False), ("535 V", False)],
)
def test_an_output_can_be_set_below_the_supply_and_not_above(
    plate_v: str, *, reached: bool
) -> None:
    """384 V are eight tenths of 480 V; 480 V are more than a tenth below 535 V."""
    stated = machine("a", motors=(motor(voltage=plate_v, current="8 A"),))
    on = supply(voltage="480 V")
    if reached:
        (made,) = proposed(stated, supply=on).converters
        assert proposed(stated, supply=on).transformers == ()
        assert made.output_voltage_v == float(plate_v.removesuffix(" V"))
        assert made.input_voltage_v == 480.0
    else:
        (needed,) = proposed(stated, supply=on).transformers
        assert abs(needed.secondary_v / float(plate_v.removesuffix(" V")) - 1) <= 0.1


@pytest.mark.parametrize(("supply_v", "derated"), [(240, False), (480, True)])
def test_drives_for_one_phase_end_at_the_lower_class_of_voltage(
    supply_v: int, *, derated: bool
) -> None:
    """Two horsepower at 240 V are made for one phase; at 480 V the size doubles to five."""
    stated = machine("a", motors=(motor(power="2 hp", voltage=f"{supply_v} V", current=None),))
    one = proposed(stated, supply=supply(voltage=f"{supply_v} V"))
    (made,) = one.converters
    assert made.rating_w == pytest.approx((5 if derated else 2) * HORSEPOWER_W)
    codes = {each.code for each in one.findings}
    assert ("converter.drive-single-phase-derate" in codes) == derated


def test_the_motor_runs_at_its_rating_on_balanced_output(case: Case, found: Proposal) -> None:
    (one,) = found.states[0].motors
    (load,) = case.machines[0].motors
    assert one.id == "a/0"
    assert one.current_a == (13.2, 13.2, 13.2)
    assert (one.winding_fraction, one.stalled) == (1.0, False)
    # the inverter makes V / sqrt(2) of the direct voltage; less than its rating, less flux
    direct = rectified(case, 5 * HORSEPOWER_W / 0.88 / EFFICIENCY).direct_mean_v
    assert one.usable_fraction == pytest.approx(min(direct / math.sqrt(2) / 230, 1.0))
    assert one.torque_nm == load.rated_torque.value
    assert 0.01 <= one.slip <= 0.06


def test_a_method_says_what_kind_it_is() -> None:
    assert (Drive.id, Drive.shared, Drive.converts) == ("drive", False, True)
