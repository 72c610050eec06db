"""Each rule objects to the one thing that it forbids, in a plan that is sound otherwise.

The plan is that of the joinery in the examples; every change below touches the record and its steps
alike, so that no comparison of the two finds it.
"""

from collections.abc import Mapping
from functools import cache
from typing import Any

import attrs
import pytest
from tests.verification.planted import with_circuit
from tests.verification.random_shops import random_shop

import ampwright as aw
from ampwright.engine import default
from ampwright.tables import Table
from ampwright.verification.verify import verify

OPTION = "relink+rotary"


@cache
def sound() -> aw.Plan:
    return aw.plan(aw.load_shop("docs/examples/quarry-lane.toml"), check=False)


def tables() -> Mapping[str, Table]:
    return default().regions()["us"].in_edition(sound().region.edition).tables


def option() -> aw.Option:
    return next(one for one in sound().options if one.id == OPTION)


def circuit(name: str) -> aw.Circuit:
    return next(one for one in option().circuits if one.id == name)


def with_option(**parts: Any) -> aw.Decision:  # noqa: ANN401 - parts of a record
    changed = attrs.evolve(option(), **parts)
    options = tuple(changed if one.id == OPTION else one for one in sound().options)
    return attrs.evolve(sound(), options=options)


def stepped(steps: tuple[aw.Step, ...], values: Mapping[str, float | str]) -> tuple[aw.Step, ...]:
    return tuple(
        attrs.evolve(one, value=values[one.path]) if one.path in values else one for one in steps
    )


def objections(decision: aw.Decision) -> set[tuple[str, str]]:
    return {(one.code, one.rule) for one in verify(decision, tables()) if one.severity != "info"}


def test_the_plan_itself_is_sound() -> None:
    assert not objections(sound())


def test_a_stored_plan_gets_the_same_answer() -> None:
    plan = aw.plan(aw.load_shop("docs/examples/quarry-lane.toml"))
    again = aw.Plan.from_json(plan.to_json())
    assert plan.checks is not None
    assert aw.verify(again) == plan.checks


@pytest.mark.parametrize(
    ("part", "value", "rule"),
    [
        ("breaking_capacity_a", 3000.0, "nec.110.9"),
        ("rating_v", 120.0, "nec.240.85"),
        ("poles", 2, "nec.240.15(B)"),
    ],
)
def test_a_device_of_too_low_a_rating(part: str, value: float, rule: str) -> None:
    own = circuit("branch.saw")
    parts: dict[str, Any] = {part: value}
    device = attrs.evolve(own.protective_device, **parts)
    path = f"options/{OPTION}/circuits/branch.saw/protective_device/{part}"
    changed = attrs.evolve(
        own, protective_device=device, steps=stepped(own.steps, {path: float(value)})
    )
    assert ("check.breach", rule) in objections(with_circuit(sound(), OPTION, changed))


def single_phase_saw(**plate: Any) -> aw.Plan:  # noqa: ANN401 - fields of a record
    """Return the plan of a saw with a single-phase motor of 5 hp, unchecked."""
    said = {"power": "5 hp", "voltage": "230 V", "frequency": "60 Hz", "speed": "1740 rpm"}
    motor = aw.Motor(phases=1, **(said | plate))
    saw = aw.Machine(id="saw", motors=(motor,), length="10 m")
    supply = aw.Supply(
        arrangement="split-phase", voltage="240 V", frequency="60 Hz", rating="100 A"
    )
    return aw.plan(aw.Shop(supply=supply, machines=(saw,)), region="us", check=False)


def test_a_single_phase_motor_starts_at_least_as_hard_as_the_table_has_it() -> None:
    """Table 430.251(A), 5 hp at 230 V: 168 A, held through 5 s after 28 A; a stated 120 A is less.

    A share of exp(-5 / 41.7) = 0.887 of what was before is left: sqrt(168^2 x 0.113 + 28^2 x 0.887)
    = 62.3 A is more than 60 A, and sqrt(120^2 x 0.113 + 28^2 x 0.887) = 48.2 A more than 45 A.
    """
    for plate, wrong in (({}, 60.0), ({"locked_rotor_current": "120 A"}, 45.0)):
        plan = single_phase_saw(**plate)
        assert plan.best is not None
        assert not objections(plan)
        (own,) = (one for one in plan.best.circuits if one.id == "branch.saw")
        assert own.protective_device.rating_a is not None
        assert own.protective_device.rating_a > wrong
        path = f"options/{plan.best.id}/circuits/branch.saw/protective_device/rating_a"
        device = attrs.evolve(own.protective_device, rating_a=wrong)
        steps = stepped(own.steps, {path: wrong})
        small = attrs.evolve(own, protective_device=device, steps=steps)
        found = objections(with_circuit(plan, plan.best.id, small))
        assert ("check.breach", "nec.430.52") in found


def test_a_made_leg_without_what_clears_its_fault() -> None:
    changed = attrs.evolve(circuit("branch.saw"), guards=())
    found = objections(with_circuit(sound(), OPTION, changed))
    assert ("check.breach", "nec.250.4(A)(5)") in found


def test_a_motor_without_overload() -> None:
    changed = attrs.evolve(circuit("branch.saw"), overloads=())
    found = objections(with_circuit(sound(), OPTION, changed))
    assert ("check.breach", "nec.430.32(A)(1)") in found


def test_an_overload_with_a_unit_missing() -> None:
    own = circuit("branch.saw")
    overload = attrs.evolve(own.overloads[0], poles=2)
    path = f"options/{OPTION}/circuits/branch.saw/overloads/saw/0/poles"
    changed = attrs.evolve(own, overloads=(overload,), steps=stepped(own.steps, {path: 2.0}))
    assert ("check.breach", "nec.430.37") in objections(with_circuit(sound(), OPTION, changed))


def test_a_motor_without_disconnect() -> None:
    changed = attrs.evolve(circuit("branch.saw"), disconnect=None)
    found = objections(with_circuit(sound(), OPTION, changed))
    assert ("check.breach", "nec.430.102(B)") in found


def test_a_drop_that_is_not_that_of_the_conductors() -> None:
    own = circuit("branch.saw")
    path = f"options/{OPTION}/circuits/branch.saw/voltage_drop_fraction"
    half = own.voltage_drop_fraction / 2
    changed = attrs.evolve(own, voltage_drop_fraction=half, steps=stepped(own.steps, {path: half}))
    assert ("check.breach", "nec.9.9") in objections(with_circuit(sound(), OPTION, changed))


@pytest.mark.parametrize("factor", [0.9, 1.1])
@pytest.mark.parametrize("end", ["largest_input_current_a", "smallest_input_current_a"])
def test_a_window_that_ends_elsewhere(end: str, factor: float) -> None:
    converter = option().converters[0]
    window = converter.window[0]
    moved = attrs.evolve(window, **{end: getattr(window, end) * factor})
    decision = with_option(converters=(attrs.evolve(converter, window=(moved,)),))
    assert ("check.breach", "nec.455.4") in objections(decision)


def test_a_marking_that_is_not_said() -> None:
    kept = tuple(one for one in option().findings if one.code != "converter.made-leg-marking")
    assert len(kept) < len(option().findings)
    found = objections(with_option(findings=kept))
    assert ("check.breach", "nec.455.6(B)") in found


def test_a_voltage_that_does_not_fit_its_network() -> None:
    state = next(one for one in option().states if one.converter == "rotary" and one.motors)
    volts = tuple(one * 1.001 for one in state.line_voltage_v)
    place = f"options/{OPTION}/states/{state.id}/line_voltage_v"
    values = {f"{place}/{n}": one for n, one in enumerate(volts)}
    states = tuple(
        attrs.evolve(one, line_voltage_v=volts) if one.id == state.id else one
        for one in option().states
    )
    decision = with_option(states=states, steps=stepped(option().steps, values))
    assert ("check.breach", "plan.operating-point") in objections(decision)


def test_a_start_below_the_torque_that_it_needs() -> None:
    start = next(one for one in option().starts if one.id == "saw")
    assert start.needed_torque_nm is not None
    weak = attrs.evolve(start, torque_nm=start.needed_torque_nm * 0.9)
    starts = tuple(weak if one.id == "saw" else one for one in option().starts)
    assert ("check.breach", "plan.start") in objections(with_option(starts=starts))


def test_a_machine_that_is_feasible_against_a_finding() -> None:
    stop = aw.Finding(code="converter.start-fails", severity="blocks", where=("saw",))
    decision = with_option(findings=(*option().findings, stop))
    assert ("check.breach", "plan.verdict") in objections(decision)


def test_a_verdict_better_than_that_of_the_machines() -> None:
    worse = tuple(attrs.evolve(one, verdict="not-feasible") for one in option().machines)
    assert ("check.breach", "plan.verdict") in objections(with_option(machines=worse))


def test_a_machine_that_is_left_out() -> None:
    assert ("check.breach", "plan.every-machine") in objections(
        with_option(machines=option().machines[1:])
    )


def test_a_limit_that_asks_for_most_and_does_not_govern() -> None:
    limits = tuple(attrs.evolve(one, governs=False) for one in option().limits)
    found = objections(with_option(limits=limits))
    assert ("check.breach", "plan.governing-limit") in found


def test_an_id_that_stands_twice() -> None:
    states = (*option().states, option().states[0])
    assert ("check.breach", "plan.unique-ids") in objections(with_option(states=states))


def test_a_best_option_that_does_not_exist() -> None:
    changed = attrs.evolve(sound(), chosen="teleport")
    assert ("check.breach", "plan.chosen") in objections(changed)


def test_a_motor_that_is_called_slower_than_its_current_allows() -> None:
    path = "machines/saw/motors/0/rated_speed"
    own = next(one for one in sound().steps if one.path == path)
    changed = attrs.evolve(sound(), steps=stepped(sound().steps, {path: float(own.value) * 0.98}))
    assert ("check.breach", "plan.rated-point") in objections(changed)


def test_a_code_of_another_family_is_said_to_be_unchecked() -> None:
    region = attrs.evolve(sound().region, family="none-of-ours")
    found = verify(attrs.evolve(sound(), region=region), tables())
    assert "plan.not-independently-checked" in {one.code for one in found}


def test_a_plan_of_any_shape_is_answered() -> None:
    broken = attrs.evolve(sound().region, edition="never")
    answer = default().verify(attrs.evolve(sound(), region=broken))
    assert "check.not-checked" in {one.code for one in answer}


BEHIND_TRANSFORMER = 371  # an autotransformer of 8.3 A: no breaker of 2020 is small enough


@cache
def transformed() -> aw.Plan:
    return aw.plan(random_shop(BEHIND_TRANSFORMER), check=False)


def without_fuse() -> aw.Decision:
    options = tuple(
        attrs.evolve(
            one,
            findings=tuple(
                said for said in one.findings if said.code != "transformer.primary-fuse"
            ),
        )
        for one in transformed().options
    )
    return attrs.evolve(transformed(), options=options)


def with_reactance_doubled() -> aw.Decision:
    options = tuple(
        attrs.evolve(
            one,
            steps=tuple(
                attrs.evolve(step, value=step.value * 2)
                if "/referred/" in step.path
                and step.path.endswith("/x1_ohm")
                and isinstance(step.value, float)
                else step
                for step in one.steps
            ),
        )
        for one in transformed().options
    )
    return attrs.evolve(transformed(), options=options)


def test_a_motor_behind_a_transformer_is_sound() -> None:
    assert any("/referred/" in step.path for one in transformed().options for step in one.steps)
    assert not objections(transformed())


def test_a_fuse_that_a_small_primary_needs_has_to_be_said() -> None:
    assert ("check.breach", "nec.450.4") in objections(without_fuse())


def test_a_circuit_seen_through_a_transformer_is_that_of_the_motor_behind_it() -> None:
    assert ("check.breach", "plan.rated-point") in objections(with_reactance_doubled())


@cache
def from_overseas() -> aw.Plan:
    """A plate of 50 Hz on a supply of 60 Hz: the rated point is one of 50 Hz."""
    shop = aw.load_shop("docs/examples/quarry-lane.toml")
    motor = aw.Motor(power="1.5 kW", voltage="230 V", current="6.2 A", frequency="50 Hz",
                     speed="1420 rpm")  # fmt: skip
    machines = tuple(
        attrs.evolve(one, motors=(motor,)) if one.id == "sander" else one for one in shop.machines
    )
    return aw.plan(attrs.evolve(shop, machines=machines), check=False)


def test_a_motor_of_another_frequency_is_true_to_its_own_rated_point() -> None:
    steps = {one.path: one for one in from_overseas().steps}
    speed = steps["machines/sander/motors/0/rated_speed"].value
    assert speed == pytest.approx(1420 * 2 * 3.14159265 / 60, rel=1e-6)
    assert not any(rule == "plan.rated-point" for _, rule in objections(from_overseas()))


def test_a_rated_speed_off_by_a_hundredth_is_objected_to_at_another_frequency() -> None:
    path = "machines/sander/motors/0/rated_speed"
    steps = tuple(
        attrs.evolve(one, value=float(one.value) * 0.99) if one.path == path else one
        for one in from_overseas().steps
    )
    changed = attrs.evolve(from_overseas(), steps=steps)
    assert ("check.breach", "plan.rated-point") in objections(changed)
