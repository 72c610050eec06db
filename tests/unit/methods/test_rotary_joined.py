"""A second idler of a size of its own, switched in with one big machine only."""
# ruff: noqa: ANN401 - fields of a record of any kind

from functools import cache
from typing import Any

import attrs
import pytest
from tests.unit.methods.test_rotary_idlers import STIFF, sized
from tests.unit.planning.shops import HORSEPOWER_W, case_of, machine, motor, supply

import ampwright as aw
from ampwright.conformance.walking import numbers, without_step
from ampwright.equipment.converter import Converter
from ampwright.kernels.network import Rotor, capacitors, solve
from ampwright.method import Proposal, State
from ampwright.methods.rotary import Rotary
from ampwright.methods.rotary.idlers import typical
from ampwright.methods.rotary.setup import set_up
from ampwright.option import Option
from ampwright.result import Plan
from ampwright.step import HERE

RULE = "plan.joined-idler"
TOGETHER = (("big",), ("s",), ("t",), ("s", "t"), ("big", "s"))


def metric(name: str, kilowatts: float, **fields: Any) -> Any:
    plate = motor(power=f"{kilowatts} kW", voltage="230 V", frequency="50 Hz", current=None,
                  speed="1450 rpm")  # fmt: skip
    usual = {"start": "none", "load_torque": "fan", "average_load": 0.6, "controls": "none"}
    return machine(name, motors=(plate,), **(usual | fields))


def shop(region: str = "us", price: str | None = "0.20 USD/kWh", hours: str = "2000 h",
         **source: Any) -> aw.Shop:  # fmt: skip
    """Return a shop whose small machines run all year, and its big one 100 h."""
    of, sizes = (sized, (15.0, 1.5, 2.0)) if region == "us" else (metric, (11.0, 1.1, 1.5))
    stated = supply(**(STIFF | source))
    if region != "us":
        stated = aw.Supply(rating="400 A", voltage="230 V", frequency="50 Hz",
                           arrangement="line-neutral", impedance="0.03 ohm")  # fmt: skip
    often = ("100 h", hours, hours)
    machines = tuple(
        of(name, size, hours_per_year=one)
        for name, size, one in zip(("big", "s", "t"), sizes, often, strict=True)
    )
    return aw.Shop(region=region, machines=machines, supply=stated, energy_price=price,
                   together=TOGETHER)  # fmt: skip


@cache
def planned(region: str = "us") -> Plan:
    return aw.plan(shop(region), methods=["rotary"])


def joined(plan: Plan) -> Option:
    return next(one for one in plan.options if len(one.converters) == 2)


@cache
def proposal() -> Proposal:
    """Return the proposal itself, before the planner moves it into an option."""
    stated = shop()
    case = case_of(*stated.machines, supply=stated.supply, together=TOGETHER)
    method = Rotary()
    single = method.answer(case, case.machines)
    assert isinstance(single, Proposal)
    (found,) = method.variants(case, case.machines, single)
    return found


def pieces(option: Option | Proposal) -> tuple[Converter, Converter]:
    first, second = option.converters
    return first, second


def state(option: Option | Proposal, name: str, load: str = "full") -> State:
    return next(one for one in option.states
                if one.set == name and one.load == load and one.converter)  # fmt: skip


@pytest.mark.parametrize(
    ("changes", "count"),
    [
        # 0.6 kW less for 2000 h a year and ten years are 12000 kWh: 2400 USD at 0.20 USD/kWh, more
        # than the 1045 USD of one idler more at the rough prices, (350 + 600) x 1.1
        ({}, 2),
        # 300 h: 360 USD
        ({"hours": "300 h"}, 1),
        # 0.05 USD/kWh: 600 USD
        ({"price": "0.05 USD/kWh"}, 1),
        ({"price": None}, 1),
        # the second starts by itself with about 210 A, and nothing leads it
        ({"starting_limit": "120 A"}, 1),
    ],
)
def test_it_is_bought_where_the_idling_it_spares_pays_for_it(
    changes: dict[str, Any], count: int
) -> None:
    plan = aw.plan(shop(**changes), methods=["rotary"], check=False)
    assert plan.best is not None
    (option,) = [one for one in plan.options if one.id == plan.chosen]
    assert len(option.converters) == count


def test_machines_alike_have_one_idler() -> None:
    machines = tuple(sized(name, 5, hours_per_year="4000 h") for name in "abc")
    stated = aw.Shop(region="us", machines=machines, supply=supply(**STIFF),
                     energy_price="0.50 USD/kWh", together=(("a",), ("b",), ("c",)))  # fmt: skip
    plan = aw.plan(stated, methods=["rotary"], check=False)
    assert all(one.joins is None for each in plan.options for one in each.converters)


def test_the_small_ones_run_on_what_they_would_have_alone() -> None:
    """The first idler, its capacitors and its idling are those of the shop without the big one."""
    stated = shop()
    small = stated.machines[1:]
    case = case_of(*small, supply=stated.supply, together=(("s",), ("t",), ("s", "t")))
    alone = Rotary().answer(case, case.machines)
    assert isinstance(alone, Proposal)
    first, second = pieces(proposal())
    (only,) = alone.converters
    assert first.idler_power_w == only.idler_power_w
    assert first.losses_w == pytest.approx(only.losses_w)
    assert second.joins == first.id
    assert second.machines == ("big",)
    starts = {one.id: one for one in proposal().starts}
    for one in alone.starts:
        assert starts[one.id].current_a == pytest.approx(one.current_a, rel=1e-9)
        assert starts[one.id].time_s == pytest.approx(one.time_s, rel=1e-9)


@pytest.mark.parametrize("name", ["both-idle", "set-1", "set-2", "set-5"])
def test_states_are_those_of_both_idlers_or_of_the_first(name: str) -> None:
    """Each idler, motor and capacitor put into the network apart, from the plates alone."""
    found = proposal()
    first, second = pieces(found)
    one = state(found, name)
    stated = shop()
    case = case_of(*stated.machines, supply=stated.supply, together=TOGETHER)
    setup = set_up(case, case.machines)
    running = next((each for each in setup.sets if each.id == name), None)
    both = running is None or "big" in {each.id for each in running.machines}
    farads = dict.fromkeys(("bc", "ca"), 0.0)
    for part in (*first.capacitors, *second.capacitors):
        if part.purpose == "run" and (not part.sets or name in part.sets):
            farads[part.between] += part.capacitance_f
    turning = [first, second] if both else [first]
    idlers = [Rotor(typical(each.idler_power_w or 0.0, 240.0, 60.0).circuit) for each in turning]
    rotors = (*idlers, *(running.rotors if running else ()))
    legs = capacitors(0.0, farads["bc"], farads["ca"], 60.0)
    solved = solve(setup.source, legs, rotors)
    assert one.line_voltage_v == pytest.approx(solved.line_v, rel=1e-9)
    assert [each.id for each in one.motors[: len(turning)]] == [each.id for each in turning]
    for told, rotor in zip(one.motors, solved.rotors, strict=True):
        assert told.current_a == pytest.approx(rotor.line_a, rel=1e-7)
    ahead = solved.input_va.real - solved.source_loss_w
    assert one.input_power_w == pytest.approx(ahead, rel=1e-9)


def test_its_capacitors_are_switched_with_it() -> None:
    first, second = pieces(proposal())
    run = [one for one in second.capacitors if one.purpose == "run"]
    assert {one.between for one in run} == {"bc", "ca"}
    assert all(set(one.sets) <= {"both-idle", "set-1", "set-5"} for one in run)
    assert all(one.sets for one in run)
    assert [one.purpose for one in second.capacitors].count("start") == 1
    assert not {one.id for one in first.capacitors} & {one.id for one in second.capacitors}


def test_what_it_loses_is_on_top_of_the_first() -> None:
    found = proposal()
    first, second = pieces(found)
    both, idle = state(found, "both-idle"), state(found, "idle")
    assert first.losses_w == idle.losses_w
    assert second.losses_w == pytest.approx(both.losses_w - idle.losses_w)
    assert second.losses_w > 2 * first.losses_w


def test_it_starts_after_the_first_and_before_the_big_machine() -> None:
    found = proposal()
    assert found.sequence[:3] == ("rotary", "rotary.second", "big")
    starts = {one.id: one for one in found.starts}
    assert starts["rotary.second"].runs_up
    assert starts["rotary.second"].current_a > starts["rotary"].current_a
    assert starts["big"].runs_up


def test_each_idler_has_a_circuit_of_its_own_size() -> None:
    found = proposal()
    own = {one.id: one for one in found.demands if one.role == "idler"}
    assert set(own) == {"idler.rotary", "idler.rotary.second"}
    for made in pieces(found):
        demand = own[f"idler.{made.id}"]
        assert demand.feeds == (made.id,)
        assert demand.fed_from == "supply.rotary"
        (driven,) = demand.motors
        power = made.idler_power_w or 0.0
        assert driven.power is not None
        assert driven.power.value == pytest.approx(power)
        rated = typical(power, 240.0, 60.0).circuit.rated_current_a
        assert driven.current.value == pytest.approx(rated)


def test_every_number_of_the_proposal_has_its_step() -> None:
    stated = [
        (path, value)
        for path, value in numbers(proposal(), HERE)
        if not path.startswith(f"{HERE}/demands/")
    ]
    assert len(stated) > 100
    assert not list(without_step(stated, proposal().steps))


def test_each_is_bought_and_set_up() -> None:
    """350 and 130 a kW, 600 of labour, each times 0.7 to 1.5: the rough prices."""
    option = joined(planned())
    low = {one.id: one.low for one in option.costs}
    for made in pieces(option):
        size = (made.idler_power_w or 0.0) / 1e3
        assert low[f"{made.id}/purchase"] == pytest.approx(0.7 * (350 + 130 * size))
        assert low[f"{made.id}/installation"] == pytest.approx(0.7 * 600)
    # 0.20 USD/kWh for the 100 h of the big machine, and for the 2000 h of the others
    first, second = pieces(option)
    assert low["rotary.second/idle"] == pytest.approx(0.20 * 100 * second.losses_w / 1e3)
    assert low["rotary/idle"] == pytest.approx(0.20 * 2000 * first.losses_w / 1e3)


@pytest.mark.parametrize("region", ["us", "iec"])
def test_a_whole_plan_holds_against_the_checker(region: str) -> None:
    plan = planned(region)
    assert plan.chosen == joined(plan).id
    assert {one.code for one in plan.checks or ()} <= {"check.not-checked"}
    assert aw.Plan.from_json(plan.to_json()) == plan


@pytest.mark.parametrize("language", [None, "de", "fr", "es", "pt"])
def test_reports_and_diagrams_tell_both(language: str | None) -> None:
    text = planned().report("text", language=language)
    for size in ("2\N{NO-BREAK SPACE}hp", "20\N{NO-BREAK SPACE}hp"):
        assert size in text or size.replace("\N{NO-BREAK SPACE}", " ") in text
    for kind in ("one-line", "connection", "phasor"):
        assert planned().diagram(kind=kind, language=language)


def test_the_connection_diagram_holds_every_capacitor_of_both() -> None:
    drawn = str(planned().diagram(kind="connection").svg)
    for made in pieces(joined(planned())):
        for part in made.capacitors:
            assert f"{made.id}/{part.id}" in drawn


def breaches(region: str, **changes: Any) -> set[str]:
    """Return the rules that the checker objects to with *changes* in the option."""
    plan = planned(region)
    option = attrs.evolve(joined(plan), **changes)
    options = tuple(option if one.id == option.id else one for one in plan.options)
    found = aw.Engine().verify(attrs.evolve(plan, options=options))
    return {one.rule for one in found if one.code in ("check.breach", "check.not-minimal")}


def second_as(region: str, **changes: Any) -> set[str]:
    first, second = pieces(joined(planned(region)))
    return breaches(region, converters=(first, attrs.evolve(second, **changes)))


@pytest.mark.parametrize("region", ["us", "iec"])
def test_the_checker_sees_a_second_idler_without_a_circuit_or_with_a_loose_overload(
    region: str,
) -> None:
    option = joined(planned(region))
    own = next(one for one in option.circuits if one.id == "idler.rotary.second")
    fewer = tuple(one for one in option.circuits if one is not own)
    assert RULE in breaches(region, circuits=fewer)
    (overload,) = own.overloads
    loose = attrs.evolve(
        own, overloads=(attrs.evolve(overload, setting_a=1.6 * (overload.setting_a or 0.0)),)
    )
    assert breaches(region, circuits=(*fewer, loose))
    thin = next(one for one in option.circuits if one.id == "idler.rotary").conductor
    assert breaches(region, circuits=(*fewer, attrs.evolve(own, conductor=thin)))


@pytest.mark.parametrize("region", ["us", "iec"])
def test_the_checker_sees_capacitors_that_stay_without_their_idler(region: str) -> None:
    _, second = pieces(joined(planned(region)))
    for sets in ((), (*second.capacitors[0].sets, "set-2")):
        one = attrs.evolve(second.capacitors[0], sets=sets)
        rules = second_as(region, capacitors=(one, *second.capacitors[1:]))
        assert {RULE, "plan.operating-point"} <= rules


def test_the_checker_sees_a_second_idler_that_joins_nothing_or_serves_another() -> None:
    assert RULE in second_as("us", joins="drive")
    assert RULE in second_as("us", machines=("s",))
    assert second_as("us", idler_power_w=20 * HORSEPOWER_W * 1.1)


def test_the_checker_sees_that_the_interlock_is_not_said() -> None:
    kept = tuple(one for one in joined(planned()).findings if one.code != "rotary.joined-idler")
    assert RULE in breaches("us", findings=kept)


@pytest.mark.parametrize(("name", "load"), [("both-idle", "full"), ("set-1", "average")])
def test_the_checker_sees_another_current_and_one_that_does_not_turn(name: str, load: str) -> None:
    option = joined(planned())
    here = state(option, name, load)
    first, second, *loads = here.motors
    a, b, c = second.current_a
    off = attrs.evolve(second, current_a=(1.01 * a, 1.01 * b, 1.01 * c))

    def rules(*motors: Any) -> set[str]:
        changed = attrs.evolve(here, motors=motors)
        return breaches(
            "us", states=tuple(changed if one is here else one for one in option.states)
        )

    assert "plan.operating-point" in rules(first, off, *loads)
    assert "plan.operating-point" in rules(first, *loads)
    assert (RULE in rules(first, *loads)) or name == "both-idle"
