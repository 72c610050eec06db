"""Equal idlers side by side, where no single usual one is enough."""
# ruff: noqa: ANN401 - fields of a record of any kind

import math
from functools import cache
from typing import Any

import attrs
import pytest
from tests.unit.methods.test_rotary_idlers import STIFF, answered, own_start, proposed, said, sized
from tests.unit.planning.shops import HORSEPOWER_W, case_of, machine, motor, supply

import ampwright as aw
from ampwright.conformance.walking import numbers, without_step
from ampwright.kernels.network import capacitors, solve
from ampwright.method import Proposal, Refusal
from ampwright.methods.rotary import Rotary
from ampwright.methods.rotary.idlers import Idler, idlers, typical
from ampwright.methods.rotary.setup import set_up
from ampwright.methods.rotary.sizing import Sizing, meets
from ampwright.methods.rotary.trial import Trial
from ampwright.option import Option
from ampwright.result import Plan
from ampwright.step import HERE
from ampwright.verification.margins import RULE as MARGINS

HARD = {"start": "normal", "load_torque": "constant"}
LARGEST_W = 75 * HORSEPOWER_W


def heavy(hp: float = 25.0, **source: Any) -> Proposal:
    return proposed(sized("a", hp, **HARD), **source)


@cache
def pair() -> Proposal:
    return heavy()


def metric(kilowatts: float) -> Any:
    """Return a machine of 400 V linked for 230 V on a stiff European supply."""
    plate = motor(power=f"{kilowatts} kW", voltage="230 V", frequency="50 Hz", current=None,
                  speed="1450 rpm")  # fmt: skip
    return machine("a", motors=(plate,), average_load=0.6, controls="none", **HARD)


@cache
def planned(region: str) -> Plan:
    if region == "us":
        shop = aw.Shop(region="us", machines=(sized("a", 25, **HARD),), supply=supply(**STIFF))
    else:
        source = aw.Supply(rating="400 A", voltage="230 V", frequency="50 Hz",
                           arrangement="line-neutral", impedance="0.03 ohm")  # fmt: skip
        shop = aw.Shop(region=region, machines=(metric(15),), supply=source)
    return aw.plan(shop, methods=["rotary"])


def several(plan: Plan) -> Option:
    return next(one for one in plan.options if one.converters and one.converters[0].idlers)


@pytest.mark.parametrize("count", [2, 3])
@pytest.mark.parametrize("power_w", [7457.0, 44742.0])
def test_equal_idlers_act_as_so_many_machines_on_the_same_legs(count: int, power_w: float) -> None:
    """One machine of their sum against each of them in the network, solved apart."""
    case = case_of(sized("a", 5), supply=supply(**STIFF))
    setup = set_up(case, case.machines)
    one = Idler("any", power_w, 240.0, 60.0)
    alone = Trial(setup, one, (1e-4, 2e-4))
    together = Trial(setup, one.of(count), (1e-4, 2e-4))
    legs = capacitors(0.0, 1e-4, 2e-4, 60.0)
    apart = solve(setup.source, legs, (alone.rotor,) * count)
    assert together.idle.line_v == pytest.approx(apart.line_v, rel=1e-9)
    assert together.idle.loss_w == pytest.approx(apart.loss_w, rel=1e-9)
    share = [each / count for each in together.idle.rotors[0].line_a]
    assert share == pytest.approx(apart.rotors[0].line_a, rel=1e-9)


def test_several_stand_side_by_side_where_no_single_one_is_enough() -> None:
    (made,) = pair().converters
    assert made.idlers == 2
    assert made.idler_power_w is not None
    assert made.idler_power_w > LARGEST_W
    each = made.idler_power_w / 2
    assert any(math.isclose(each, one.power_w) for one in idlers(240.0, 60.0))
    assert made.rating_w == made.idler_power_w


def test_a_single_one_stays_where_it_is_enough() -> None:
    found = heavy(10)
    assert found.converters[0].idlers is None
    assert said(found, "rotary.parallel-idlers") is None
    assert [one.id for one in found.demands if one.role == "idler"] == ["idler.rotary"]


def test_no_single_one_and_no_smaller_pair_would_do() -> None:
    """Looked at one by one, as built, over every usual size."""
    case = case_of(sized("a", 25, **HARD), supply=supply(**STIFF))
    single = Sizing(set_up(case, case.machines))
    assert all(single.made(place) is None for place in range(len(single.sizes)))
    double = single.side_by_side(2)
    assert all(one.abreast == 2 for one in double.sizes[double.lowest :])
    made = [place for place in range(double.lowest, len(double.sizes)) if double.made(place)]
    found = double.smallest()
    assert found is not None
    assert found[0] == made[0]
    assert meets(found[1])
    assert double.sizes[made[0]].power_w == pair().converters[0].idler_power_w


def test_three_are_taken_where_two_do_not_start_it() -> None:
    assert [heavy(hp).converters[0].idlers for hp in (10, 25, 30, 35)] == [None, 2, 3, 3]
    case = case_of(sized("a", 30, **HARD), supply=supply(**STIFF))
    double = Sizing(set_up(case, case.machines)).side_by_side(2)
    assert not any(double.made(place) for place in range(len(double.sizes)))


def test_each_has_its_circuit_its_capacitors_and_its_row() -> None:
    found = pair()
    own = [one for one in found.demands if one.role == "idler"]
    assert [one.id for one in own] == ["idler.rotary.1", "idler.rotary.2"]
    assert {one.feeds for one in own} == {("rotary",)}
    (made,) = found.converters
    power = (made.idler_power_w or 0.0) / 2
    rated = typical(power, 240.0, 60.0).circuit.rated_current_a
    for one in own:
        (driven,) = one.motors
        assert driven.id == one.id.removeprefix("idler.")
        assert driven.power is not None
        assert driven.power.value == pytest.approx(power)
        assert driven.current.value == pytest.approx(rated)
    for kind in ("run-bc", "run-ca", "start-ca"):
        shares = [one.capacitance_f for one in made.capacitors if one.id.startswith(kind)]
        assert len(shares) == 2
        assert shares[0] == shares[1]
    for state in found.states:
        first, second = state.motors[:2]
        assert (first.id, second.id) == ("rotary.1", "rotary.2")
        assert first.current_a == second.current_a


def test_they_draw_at_their_start_what_one_of_them_draws() -> None:
    """The last one starts beside the others, which idle: no more than half of a common start."""
    begun, case = own_start(pair()), case_of(sized("a", 25, **HARD), supply=supply(**STIFF))
    power = (pair().converters[0].idler_power_w or 0.0) / 2
    one = Idler("any", power, 240.0, 60.0)
    locked = math.sqrt(3) * 6.5 * one.found.circuit.rated_current_a
    assert begun.runs_up
    assert begun.current_a < locked
    assert case.supply.voltage.value == 240.0


def test_the_answer_says_how_many_and_how_to_start_them() -> None:
    one = said(pair(), "rotary.parallel-idlers")
    assert one is not None
    named = {part.name: part.value for part in one.parameters}
    assert named["count"] == "2"
    assert named["power"] == pytest.approx((pair().converters[0].idler_power_w or 0.0) / 2)


def test_every_number_of_the_proposal_has_its_step() -> None:
    found = pair()
    stated = [
        (path, value)
        for path, value in numbers(found, HERE)
        if not path.startswith(f"{HERE}/demands/")
    ]
    assert len(stated) > 100
    assert not list(without_step(stated, found.steps))


def test_a_limit_of_the_supply_has_each_led_by_a_pony_motor() -> None:
    alone = own_start(pair()).current_a
    found = heavy(starting_limit=f"{0.7 * alone:.0f} A")
    (made,) = found.converters
    assert made.idlers == 2
    assert "pony-motor" in made.protective_features
    assert own_start(found).current_a < alone
    one = said(found, "rotary.pony-start")
    assert one is not None
    power = next(part.value for part in one.parameters if part.name == "power")
    assert power == pytest.approx(0.07 * (made.idler_power_w or 0.0) / 2)


@pytest.mark.parametrize("region", ["us", "iec"])
def test_a_whole_plan_with_several_holds_against_the_checker(region: str) -> None:
    plan = planned(region)
    assert plan.best is not None
    option = several(plan)
    codes = {one.code for one in plan.checks or ()}
    assert codes <= {"check.not-checked"}
    circuits = [one for one in option.circuits if one.role == "idler"]
    count = option.converters[0].idlers
    assert len(circuits) == count
    assert all(len(one.overloads) == 1 for one in circuits)
    assert len({one.protective_device for one in circuits}) == 1


@pytest.mark.parametrize("region", ["us", "iec"])
def test_the_checker_sees_an_idler_that_has_no_circuit(region: str) -> None:
    """With one circuit fewer the others would each have to carry more."""
    plan = planned(region)
    option = several(plan)
    fewer = tuple(one for one in option.circuits if one.id != "idler.rotary.2")
    assert breaches(plan, attrs.evolve(option, circuits=fewer))


def breaches(plan: Plan, changed: Option) -> set[str]:
    """Return the rules that the checker objects to with *changed* in the place of its option."""
    options = tuple(changed if one.id == changed.id else one for one in plan.options)
    found = aw.Engine().verify(attrs.evolve(plan, options=options))
    return {one.rule for one in found if one.code == "check.breach"}


@pytest.mark.parametrize("region", ["us", "iec"])
def test_the_checker_sees_a_second_idler_whose_overload_is_set_too_high(region: str) -> None:
    option = several(planned(region))
    (own,) = (one for one in option.circuits if one.id == "idler.rotary.2")
    (overload,) = own.overloads
    assert overload.setting_a is not None
    high = attrs.evolve(overload, setting_a=1.6 * overload.setting_a)
    loose = attrs.evolve(own, overloads=(high,))
    circuits = tuple(loose if one is own else one for one in option.circuits)
    assert breaches(planned(region), attrs.evolve(option, circuits=circuits))


def test_the_checker_sees_a_second_idler_that_draws_another_current() -> None:
    option = several(planned("us"))
    first, *rest = option.states
    one, two, *loads = first.motors
    a, b, c = two.current_a
    off = attrs.evolve(two, current_a=(1.01 * a, 1.01 * b, 1.01 * c))
    states = (attrs.evolve(first, motors=(one, off, *loads)), *rest)
    rules = breaches(planned("us"), attrs.evolve(option, states=states))
    assert "plan.operating-point" in rules


def test_the_checker_sees_a_second_idler_that_runs_too_hot() -> None:
    option = several(planned("us"))
    place = next(n for n, one in enumerate(option.states) if one.load == "average" and one.motors)
    one, two, *loads = option.states[place].motors
    hot = attrs.evolve(two, winding_fraction=1.5)
    states = list(option.states)
    states[place] = attrs.evolve(states[place], motors=(one, hot, *loads))
    rules = breaches(planned("us"), attrs.evolve(option, states=tuple(states)))
    assert MARGINS in rules


def test_each_is_bought_and_set_up() -> None:
    """Twice the fixed price and labour of one idler, its price by size once."""
    option = several(planned("us"))
    size = (option.converters[0].idler_power_w or 0.0) / 1e3
    low = {one.kind: one.low for one in option.costs}
    assert low["purchase"] == pytest.approx(0.7 * (2 * 350 + 130 * size))
    assert low["installation"] == pytest.approx(0.7 * 2 * 600)


def test_the_report_names_their_number() -> None:
    plan = planned("us")
    assert "2 idlers of 60\N{NO-BREAK SPACE}hp" in plan.report()
    assert "2 Pilotmotoren von" in plan.report(language="de")


def test_it_says_so_where_four_would_do() -> None:
    for hp in (40, 45, 50, 55, 60):
        found = answered(sized("a", hp, **HARD))
        if isinstance(found, Refusal):
            (reason,) = found.reasons
            assert reason.code == "converter.idler-too-small"
            assert next(one.value for one in reason.parameters if one.name == "count") == "4"
            return
    pytest.fail("every one was built")


@cache
def shared(region: str) -> Plan:
    """Return the plan of two machines, one at a time, that no single idler starts."""
    if region == "us":
        saws = [sized(name, 25, **HARD) for name in "ab"]
        source = supply(**STIFF)
    else:
        saws = [attrs.evolve(metric(15), id=name) for name in "ab"]
        source = aw.Supply(rating="400 A", voltage="230 V", frequency="50 Hz",
                           arrangement="line-neutral", impedance="0.03 ohm")  # fmt: skip
    apart = (("a",), ("b",))
    shop = aw.Shop(region=region, machines=tuple(saws), supply=source, together=apart)
    return aw.plan(shop, methods=["rotary"])


@pytest.mark.parametrize("region", ["us", "iec"])
def test_a_group_shares_several_where_no_single_one_does(region: str) -> None:
    """Run one at a time they need no more idlers than one of them does, and the check agrees."""
    plan = shared(region)
    alike = [one for one in plan.options if {len(each.machines) for each in one.converters} == {2}]
    (option,) = alike
    (made,) = option.converters
    alone = several(planned(region)).converters[0]
    assert made.idlers == alone.idlers
    assert made.rating_w == pytest.approx(alone.rating_w)
    assert not [one for one in plan.checks or () if one.severity != "info"]
    idlers = [one for one in option.circuits if one.role == "idler"]
    assert len(idlers) == made.idlers


def test_a_group_for_which_one_idler_does_has_one() -> None:
    case = case_of(sized("a", 5), sized("b", 3), supply=supply(**STIFF))
    found = Rotary().answer(case, case.machines)
    assert isinstance(found, Proposal)
    assert [one.idlers for one in found.converters] == [None]
