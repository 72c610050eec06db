"""Phasors against the numbers of the plan, by hand, and how they are drawn."""

import cmath
import math

import attrs
import pytest
from tests.unit.diagram.sheets import boxes, group, lines, marked, overlaps, root, words
from tests.unit.diagram.shops import planned

import ampwright as aw
from ampwright.decision import Decision
from ampwright.diagram.arrows import nice_length
from ampwright.diagram.phasor_values import SUPPLY, Phasors, motor_currents, phasors, unshown
from ampwright.kernels.induction import (
    InductionCircuit,
    line_currents,
    sequence_state,
    settled_leakage,
)
from ampwright.method import MotorState, State
from ampwright.option import Option

SHOPS = ("tanner-row", "quarry-lane", "mill", "lathe", "sander", "saw", "abroad")


def _point(plan: Decision, name: str) -> Phasors:
    assert plan.options
    option = plan.options[0]
    (found,) = (one for one in phasors(plan, option) if one.state.id == name)
    return found


def _into(one: Phasors, part: str) -> complex:
    (found,) = (each.phasor for each in one.currents if each.part == part)
    assert found is not None
    return found


@pytest.fixture(scope="module")
def loaded() -> Phasors:
    """Return the rotary converter of an example at full load."""
    return _point(planned("tanner-row"), "rotary/set-1/full")


def test_the_voltages_are_those_of_the_plan_and_close_a_triangle(loaded: Phasors) -> None:
    stated = loaded.state.line_voltage_v
    for phasor, volts in zip(loaded.lines, stated, strict=True):
        assert abs(phasor) == pytest.approx(volts, rel=1e-12)
    assert abs(sum(loaded.lines)) < 1e-9
    assert loaded.lines[0] == pytest.approx(stated[0])  # the reference, at nought degrees
    # the angle at line 2 by the law of cosines: c opposite to it is the voltage 3-1
    ab, bc, ca = stated
    at_two = math.acos((ab**2 + bc**2 - ca**2) / (2.0 * ab * bc))
    assert cmath.phase(loaded.corners[2]) == pytest.approx(at_two, rel=1e-9)


def test_the_sequences_of_the_triangle_are_the_unbalance_that_the_plan_states(
    loaded: Phasors,
) -> None:
    a, b, c = loaded.corners
    turn = cmath.exp(2j * math.pi / 3.0)
    one = (a + turn * b + turn**2 * c) / 3.0
    two = (a + turn**2 * b + turn * c) / 3.0
    # which also tells which way round the triangle lies: the other way it would be the inverse, 21
    assert abs(two) / abs(one) == pytest.approx(loaded.state.negative_sequence_fraction, rel=1e-6)


def test_the_earth_lies_as_far_from_each_line_as_the_plan_states(loaded: Phasors) -> None:
    assert loaded.earth is not None
    for corner, volts in zip(loaded.corners, loaded.state.leg_to_earth_v, strict=True):
        assert abs(corner - loaded.earth) == pytest.approx(volts, rel=1e-6)
    # split-phase: half-way between the two lines of the supply
    assert loaded.earth == pytest.approx((loaded.corners[0] + loaded.corners[1]) / 2.0, rel=1e-6)


def test_currents_of_motors_are_as_large_as_the_plan_states(loaded: Phasors) -> None:
    stated = {one.id: one.current_a[2] for one in loaded.state.motors}
    assert stated
    for part, amperes in stated.items():
        assert abs(_into(loaded, part)) == pytest.approx(amperes, rel=1e-6)


def test_capacitor_currents_lead_by_a_quarter_turn_and_follow_from_their_size(
    loaded: Phasors,
) -> None:
    # I = 2 pi f C U; run-ca holds 45 uF at 60 Hz
    (volts,) = (loaded.state.line_voltage_v[2],)
    wanted = 2.0 * math.pi * 60.0 * 45e-6 * volts
    current = _into(loaded, "rotary/run-ca")
    assert abs(current) == pytest.approx(wanted, rel=1e-6)
    across = loaded.corners[2] - loaded.corners[0]  # from the made leg to line 1
    assert cmath.phase(current / across) == pytest.approx(math.pi / 2.0, abs=1e-9)


def test_what_leaves_the_made_leg_sums_to_nothing(loaded: Phasors) -> None:
    total = sum(_into(loaded, one.part) for one in loaded.currents if one.part != SUPPLY)
    largest = max(one.amperes for one in loaded.currents)
    assert abs(total) < 1e-6 * largest


@pytest.mark.parametrize("name", ["tanner-row", "quarry-lane", "mill", "lathe", "abroad"])
def test_the_current_of_the_supply_brings_the_power_that_the_plan_states(name: str) -> None:
    plan = planned(name)
    seen = 0
    for option in plan.options:
        for one in phasors(plan, option):
            for each in one.currents:
                if each.part == SUPPLY and each.phasor is not None:
                    power = (one.lines[0] * each.phasor.conjugate()).real
                    assert power == pytest.approx(one.state.input_power_w, rel=1e-4)
                    seen += 1
    assert seen > 1


def test_motors_take_what_they_give_and_no_less(loaded: Phasors) -> None:
    # an idler at no load takes its losses alone, so together with the others at least the shafts'
    shafts = sum(one.shaft_w for one in loaded.state.motors)
    drawn = (loaded.lines[0] * _into(loaded, SUPPLY).conjugate()).real
    assert drawn == pytest.approx(shafts + loaded.state.losses_w, rel=1e-6)


def test_a_current_that_does_not_fit_its_circuit_has_no_angle() -> None:
    plan = planned("tanner-row")
    option = plan.options[0]
    state = next(one for one in option.states if one.id == "rotary/set-1/full")
    motor = state.motors[1]
    a, b, c = motor.current_a
    other = attrs.evolve(motor, current_a=(a, b, 1.2 * c))
    motors = tuple(other if one is motor else one for one in state.motors)
    poor = _with(plan, option, attrs.evolve(state, motors=motors))
    found = _point(poor, state.id)
    angles = {one.part: one.phasor for one in found.currents}
    assert angles[motor.id] is None
    assert angles["rotary"] is not None
    assert angles[SUPPLY] is None  # it would be a sum without one part
    drawn = group(poor.diagram("phasor").svg, "state", state.id)
    assert "No angle: the plan does not tell it." in words(drawn)


def _with(plan: aw.Plan, option: Option, state: State) -> aw.Plan:
    states = tuple(state if one.id == state.id else one for one in option.states)
    return attrs.evolve(
        plan, options=(attrs.evolve(option, states=states), *plan.options[1:]), chosen=None
    )


def test_steps_that_are_missing_leave_magnitudes_alone() -> None:
    plan = planned("tanner-row")
    option = plan.options[0]
    bare = attrs.evolve(plan, options=(attrs.evolve(option, steps=()),), chosen=None)
    found = _point(bare, "rotary/set-1/full")
    assert found.lines == _point(plan, "rotary/set-1/full").lines
    assert found.currents
    assert all(one.phasor is None for one in found.currents)
    assert overlaps(bare.diagram("phasor").svg) == []


def test_voltages_that_close_no_triangle_are_not_drawn() -> None:
    plan = planned("lathe")
    option = plan.options[0]
    broken = [attrs.evolve(one, line_voltage_v=(240.0, 100.0, 100.0)) if one.converter else one
              for one in option.states]  # fmt: skip
    poor = attrs.evolve(plan, options=(attrs.evolve(option, states=tuple(broken)),), chosen=None)
    assert phasors(poor, poor.options[0]) == ()
    assert "holds no operating point with three lines" in words(root(poor.diagram("phasor").svg))


def test_what_stands_behind_an_even_source_lags_by_its_power_factor() -> None:
    plan = planned("tanner-row")
    option = next(one for one in plan.options if one.id == "electronic+relink")
    steps = {one.path: one.value for one in option.steps}
    seen = 0
    for one in phasors(plan, option):
        star = one.corners[2] - one.centre
        for motor in one.state.motors:
            place = f"options/{option.id}/states/{one.state.id}/motors/{motor.id}/input_w"
            power, volts = float(steps[place]), one.state.line_voltage_v[0]
            cosine = power / (math.sqrt(3.0) * volts * motor.current_a[2])
            behind = cmath.phase(star / _into(one, motor.id))
            assert math.cos(behind) == pytest.approx(cosine, rel=1e-6)
            assert behind > 0.0
            seen += 1
    assert seen > 2


def test_loads_that_are_no_motors_are_what_is_left_over(loaded: Phasors) -> None:
    plan = planned("tanner-row")
    option = plan.options[0]
    state = next(one for one in option.states if one.id == "rotary/set-1/full")
    fewer = attrs.evolve(state, motors=state.motors[:-1])
    found = _point(_with(plan, option, fewer), state.id)
    left = _into(found, "")
    assert left == pytest.approx(_into(loaded, state.motors[-1].id), rel=1e-6)


@pytest.mark.parametrize("name", SHOPS)
@pytest.mark.parametrize("symbols", ["iec", "ansi"])
def test_no_words_run_into_others_or_into_lines_or_off_the_sheet(name: str, symbols: str) -> None:
    plan = planned(name)
    for option in plan.options[:3]:
        drawn = plan.diagram("phasor", option=option.id, symbols=symbols)  # type: ignore[arg-type]
        assert overlaps(drawn.svg) == [], option.id


def test_arrows_are_drawn_to_one_scale_and_at_their_angles(loaded: Phasors) -> None:
    plan = planned("tanner-row")
    drawn = group(plan.diagram("phasor").svg, "state", loaded.state.id)
    arrows = [one for one in lines(drawn) if one.a != one.c]
    known = [one.phasor for one in loaded.currents
             if one.phasor is not None and one.part != SUPPLY]  # fmt: skip
    largest = max(abs(one) for one in known)
    scale = 86.0 / largest  # the longest is as long as its picture has room
    for phasor in known:
        wanted = phasor * scale
        fitting = [
            one for one in arrows if abs(complex(one.c - one.a, one.b - one.d) - wanted) < 0.05
        ]
        assert fitting, phasor
    side = 158.0 / max(loaded.state.line_voltage_v)
    for phasor in loaded.lines:
        wanted = phasor * side
        assert any(
            abs(complex(one.c - one.a, one.b - one.d) - wanted) < 0.05 for one in lines(drawn)
        ), phasor


def test_the_numbers_that_are_printed_are_those_of_the_plan(loaded: Phasors) -> None:
    drawn = group(planned("tanner-row").diagram("phasor").svg, "state", loaded.state.id)
    said = [one.words.replace("\u00a0", " ") for one in boxes(drawn)]
    for volts in loaded.state.line_voltage_v:
        assert f"{volts:.3g} V" in said
    for motor in loaded.state.motors:
        assert f"{motor.current_a[2]:.3g} A" in said
    assert "run L3–L1: 45 µF" in said
    # the triangle by hand: 239.10, 235.70 and 220.75 V leave 55.4 degrees at line 2, so that the
    # voltage from line 3 to line 2 lies at 55.4 - 180 degrees
    assert "−124.6°" in said
    assert "0.0°" in said


def test_idling_and_full_load_are_shown_and_nothing_twice() -> None:
    plan = planned("tanner-row")
    assert plan.best is not None
    shown = marked(plan.diagram("phasor").svg, "state")
    wanted = {"rotary/idle", "rotary/set-1/full", "rotary/set-2/full"}
    # the static converter runs alike in both sets, so once
    assert set(shown) == wanted | {"static.compressor/set-1/full"}
    assert set(shown.values()) == {1}


def test_a_drive_has_no_voltages_of_three_lines_and_that_is_said() -> None:
    plan = planned("sander")
    option = next(one for one in plan.options if one.id == "drive")
    assert unshown(option) == ("drive.sander",)
    said = words(root(plan.diagram("phasor", option="drive").svg))
    assert "the plan holds no voltages of three lines for it" in said


def test_a_shop_without_three_lines_says_so() -> None:
    said = words(root(planned("saw").diagram("phasor").svg))
    assert "The plan holds no operating point with three lines." in said


def test_the_letter_of_a_voltage_goes_with_the_symbols() -> None:
    plan = planned("tanner-row")
    for symbols, letter in (("iec", "U"), ("ansi", "V")):
        drawn = plan.diagram("phasor", symbols=symbols)  # type: ignore[arg-type]
        marks = {one.words for one in boxes(root(drawn.svg))}
        assert {f"{letter}12", f"{letter}23", f"{letter}31"} <= marks


def test_a_drawing_in_other_languages() -> None:
    plan = planned("tanner-row")
    heads = {"de": "Zeigerdiagramm", "fr": "Fresnel", "es": "fasorial", "pt": "fasorial"}
    for language, head in heads.items():
        said = words(root(plan.diagram("phasor", language=language).svg))
        assert head in said
        assert "middle of the triangle" not in said


def test_leakage_that_saturates_is_taken_as_the_stated_currents_have_it() -> None:
    circuit = InductionCircuit(
        r1_ohm=0.5, x1_ohm=1.2, xm_ohm=20.0, ri_ohm=0.46, xi_ohm=1.2, ro_ohm=1.2, xo_ohm=0.6,
        rc_ohm=540.0, friction_w=45.0, stray_w=45.0, rated_current_a=20.0, pole_pairs=2,
        frequency_hz=60.0, saturation=0.7,
    )  # fmt: skip
    one, two, slip = 138.0 + 0j, 10.0 + 4.0j, 0.9
    leakage = settled_leakage(circuit, one, two, slip)
    assert 0.75 < leakage < 0.95  # between two and six times its rated current
    found = sequence_state(circuit, one, two, slip, leakage, leakage)
    stated = line_currents(found.current1_a, found.current2_a)
    a, b, c = (abs(each) for each in stated)
    motor = MotorState(
        id="saw/0", slip=slip, torque_nm=0.0, shaft_w=0.0, current_a=(a, b, c),
        winding_fraction=1.0, usable_fraction=1.0, stalled=True,
    )  # fmt: skip
    told = motor_currents(motor, circuit, one, two)
    assert told is not None
    assert told == pytest.approx(stated, rel=1e-9)


def test_each_of_two_idlers_has_its_current() -> None:
    plan = planned("pair")
    for one in phasors(plan, plan.options[0]):
        first, second = _into(one, "rotary.1"), _into(one, "rotary.2")
        assert first == second
        total = sum(_into(one, each.part) for each in one.currents if each.part != SUPPLY)
        assert abs(total) < 1e-6 * abs(first)


def test_a_motor_without_current_is_no_arrow() -> None:
    plan = planned("tanner-row")
    option = plan.options[0]
    state = next(one for one in option.states if one.id == "rotary/set-1/full")
    still: list[MotorState] = [attrs.evolve(one, current_a=(0.0, 0.0, 0.0)) for one in state.motors]
    poor = _with(plan, option, attrs.evolve(state, motors=tuple(still)))
    assert overlaps(poor.diagram("phasor").svg) == []


@pytest.mark.parametrize(
    ("value", "wanted"), [(80.0, 50.0), (50.0, 50.0), (4.9, 2.0), (0.19, 0.1), (1000.0, 1000.0)]
)
def test_rulers_are_round(value: float, wanted: float) -> None:
    assert nice_length(value) == pytest.approx(wanted)
