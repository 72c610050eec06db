"""Circuits from the panel outwards, and what the whole single-phase side draws."""
# ruff: noqa: ANN401 - fields of a record of any kind

import math
from typing import Any

import attrs
import pytest
from tests.unit.planning.shops import case_of, figure, heater, machine, recomputed, step
from tests.unit.planning.stand_ins import (
    Code,
    circuit,
    demand,
    proposal,
    start,
    state,
)

from ampwright.case import Case
from ampwright.equipment.converter import Window
from ampwright.finding import Assumption, Finding, Question
from ampwright.method import State
from ampwright.planning.assembly import Draft
from ampwright.planning.circuits import (
    along,
    behind,
    equip,
    outwards,
    plugged,
    start_demand,
    total,
    worst,
)
from ampwright.records.machine import Plug, Route
from ampwright.records.site import Site
from ampwright.region import CircuitAnswer
from ampwright.step import HERE, Worksheet

X = "options/x"


@pytest.fixture(scope="module")
def case() -> Case:
    return case_of(machine("a"), machine("b"), heater("h"), together=(("a", "b"), ("b",), ("h",)))


def draft(*proposals: Any) -> Draft:
    return Draft(id="x", proposals=proposals, left_out=())


def rotary(**changes: Any) -> Any:
    """Return a shared converter for a and b with its circuits."""
    usual: dict[str, Any] = {
        "demands": (
            demand("branch.a", ["a"], fed_from="output.rotary"),
            demand("supply.rotary", ["rotary"], role="supply", phases=1),
            demand("output.rotary", ["a", "b"], role="output", fed_from="supply.rotary"),
            demand("branch.b", ["b"], fed_from="output.rotary"),
        )
    }
    return proposal("rotary", "ab", **(usual | changes))


def test_each_circuit_stands_behind_the_one_that_feeds_it() -> None:
    order = [one.id for one in outwards(rotary().demands)]
    assert order == ["supply.rotary", "output.rotary", "branch.a", "branch.b"]


def test_a_circuit_fed_by_nothing_known_begins_at_the_panel() -> None:
    alone = demand("branch.a", ["a"], fed_from="elsewhere")
    assert outwards([alone]) == [alone]


def test_circuits_that_feed_each_other_are_an_error() -> None:
    ring = [demand("one", ["a"], fed_from="two"), demand("two", ["b"], fed_from="one")]
    with pytest.raises(ValueError, match="ring"):
        outwards(ring)


def test_a_circuit_knows_the_drop_ahead_of_it() -> None:
    ahead = CircuitAnswer(circuit=circuit("output", ["a"], voltage_drop_fraction=0.017))
    found, steps = behind(demand("branch", ["a"], fed_from="output"), {"output": ahead}, X)
    assert found.drop_ahead == (0.017, f"{X}/circuits/output/voltage_drop_fraction")
    assert steps == ()


def test_drops_of_all_circuits_ahead_add_up_to_a_generator() -> None:
    """2 % and 1.7 %: 3.7 %; what drives the generator is not counted."""
    answers = {
        one.id: CircuitAnswer(circuit=one)
        for one in (
            circuit("supply", ["x"], voltage_drop_fraction=0.02),
            circuit("output", ["a"], voltage_drop_fraction=0.017, fed_from="supply"),
        )
    }
    branch = demand("branch", ["a"], fed_from="output")
    found, (step,) = behind(branch, answers, X)
    assert found.drop_ahead == (pytest.approx(0.037), step.path)
    drives = attrs.evolve(answers["supply"].circuit, role="idler")
    found, _ = behind(branch, answers | {"supply": CircuitAnswer(circuit=drives)}, X)
    assert found.drop_ahead == (0.017, f"{X}/circuits/output/voltage_drop_fraction")


def test_behind_a_circuit_that_could_not_be_sized_nothing_is_known() -> None:
    plain = demand("branch", ["a"], fed_from="output")
    assert behind(plain, {"output": CircuitAnswer(circuit=None)}, X)[0].drop_ahead is None
    assert behind(plain, {}, X)[0].drop_ahead is None


@pytest.mark.parametrize("fields", [{"plug": Plug()}, {"traits": ("plug-connected",)}])
def test_a_branch_to_a_machine_with_a_plug_ends_in_a_cord(fields: dict[str, Any]) -> None:
    shop = case_of(machine("a", **fields), machine("b"))
    assert plugged(demand("branch.a", ["a"]), shop).cord
    assert not plugged(demand("branch.b", ["b"]), shop).cord
    assert not plugged(demand("output", ["a"], role="output"), shop).cord
    assert not plugged(demand("branch.ab", ["a", "b"]), shop).cord
    assert not plugged(demand("branch", []), shop).cord


def test_a_circuit_follows_the_route_of_the_machine_whose_length_it_has() -> None:
    route = Route(length="7 m", installation="tray", ambient="41 degC", grouping=5)
    shop = case_of(
        machine("a", length=None, route=route), machine("b"),
        site=Site(ambient="30 degC", installation="conduit", raceway="EMT", grouped_circuits=2),
    )  # fmt: skip
    own, other = (demand("c", [one.id], length=one.length) for one in shop.machines)
    site = along(own, shop)
    assert (site.installation, site.ambient_c, site.grouped_circuits) == ("tray", 41.0, 5)
    assert site.raceway is None
    assert along(other, shop) == shop.shop.site


def test_what_a_route_leaves_open_is_the_sites() -> None:
    shop = case_of(
        machine("a", length=None, route=Route(length="7 m")),
        site=Site(ambient="30 degC", installation="conduit", raceway="EMT"),
    )
    site = along(demand("c", ["a"], length=shop.machines[0].length), shop)
    assert (site.ambient_c, site.installation, site.raceway) == (30.0, "conduit", "EMT")


def test_the_code_is_asked_for_every_circuit_once_and_told_where_its_steps_stand(
    case: Case,
) -> None:
    code = Code(changes={"supply.rotary": {"voltage_drop_fraction": 0.02}})
    found = equip(draft(rotary(states=(state("rotary", "idle"),))), case, code)
    assert [one.id for one in code.demands] == [
        "supply.rotary", "output.rotary", "branch.a", "branch.b",
    ]  # fmt: skip
    assert code.demands[1].drop_ahead == (
        0.02, "options/x/circuits/supply.rotary/voltage_drop_fraction",
    )  # fmt: skip
    assert [one.id for one in found.circuits] == [one.id for one in code.demands]
    assert found.place == X


def test_what_the_code_says_is_kept_and_a_circuit_without_a_size_is_none(case: Case) -> None:
    blocks = Finding(code="feeder.undersized", severity="blocks", where=("branch.a",))
    guess = Assumption(code="site.guess")
    ask = Question(code="plan.data-needed", field="site.terminals")
    answer = CircuitAnswer(circuit=None, findings=(blocks,), assumptions=(guess,), questions=(ask,))
    code = Code(answers={"branch.a": answer})
    found = equip(draft(rotary()), case, code)
    assert "branch.a" not in [one.id for one in found.circuits]
    assert blocks in found.findings
    assert guess in found.assumptions
    assert ask in found.questions


def test_the_service_stands_before_the_circuits(case: Case) -> None:
    service = circuit("service", ["panel"], role="service")
    found = equip(draft(rotary()), case, Code(said={"circuit": service}))
    assert found.circuits[0] == service


def test_paths_of_a_proposal_move_to_the_option(case: Case) -> None:
    sheet = Worksheet(HERE)
    sheet.given("states/one", "x", 1.0, "A")
    found = equip(draft(rotary(steps=sheet.steps)), case, Code())
    assert [one.path for one in found.draft.proposals[0].steps] == [f"{X}/states/one"]


def test_a_window_goes_to_the_converter_whose_circuit_it_is_about(case: Case) -> None:
    window = Window(id="supply.rotary", part="conductor", largest_input_current_a=68.0,
                    smallest_input_current_a=20.0)  # fmt: skip
    answer = CircuitAnswer(
        circuit=circuit("supply.rotary", ["rotary"], role="supply", phases=1), windows=(window,)
    )
    other = proposal("drive", ["b"], demands=(demand("supply.drive.b", ["drive.b"]),))
    found = equip(draft(rotary(), other), case, Code(answers={"supply.rotary": answer}))
    first, second = (one.converters[0] for one in found.draft.proposals)
    assert first.window == (window,)
    assert second.window == ()
    made = step(found.steps, "rotary/window/supply.rotary/largest_input_current_a")
    assert made.value == 68.0


def test_powers_add_up_and_so_do_reactive_powers() -> None:
    """Two states at 240 V: 4 kW, 20 A (2653 var) and 6 kW, 30 A (3980 var).

    4.8 and 7.2 kVA at the same angle make 12 kVA: 50 A, power factor 10/12.
    """
    shop = case_of(machine("a"), machine("b"))
    one = proposal("drive", ["a"], states=(state("drive.a", "all"),))
    two = proposal("drive", ["b"], states=(
        state("drive.b", "all", input_current_a=30.0, input_power_w=6000.0, losses_w=700.0),
    ))  # fmt: skip
    found, steps = total(shop, shop.sets[0], (one, two), X)
    assert found.input_power_w == 10000.0
    assert found.input_current_a == pytest.approx(50.0)
    assert found.input_power_factor == pytest.approx(10 / 12)
    assert found.losses_w == 1200.0
    assert found.id == "supply/all"
    assert found.converter == ""
    assert step(steps, "reactive/0").value == pytest.approx(math.sqrt(4800**2 - 4000**2))


def test_currents_of_unlike_angles_do_not_simply_add() -> None:
    """4 kW alone at unity (16.67 A) and 4800 VA at 0.833: sqrt(8000^2 + 2653^2) / 240 = 35.12 A."""
    shop = case_of(machine("a"), machine("b"))
    one = proposal("relink", ["a"], states=(
        state("a", "all", input_current_a=4000 / 240, input_power_factor=1.0),
    ))  # fmt: skip
    two = proposal("drive", ["b"], states=(state("drive.b", "all"),))
    found, _ = total(shop, shop.sets[0], (one, two), X)
    assert found.input_current_a == pytest.approx(
        math.hypot(8000, math.sqrt(4800**2 - 4000**2)) / 240
    )
    assert found.input_current_a < 20.0 + 4000 / 240


def test_full_load_counts_and_what_does_not_run_idles(case: Case) -> None:
    """In the set of h alone the converter idles: its idle state counts, not that of another set."""
    states = (
        state("rotary", "idle", input_current_a=5.0, input_power_w=400.0),
        state("rotary", "set-1", load="average", input_current_a=99.0, input_power_w=9900.0),
        state("rotary", "set-1", input_current_a=20.0, input_power_w=4000.0),
    )
    one = rotary(states=states)
    first, second, third = (total(case, running, (one,), X)[0] for running in case.sets)
    assert first.input_power_w == 4000.0
    assert (second.input_power_w, third.input_power_w) == (400.0, 400.0)


def test_nothing_drawn_has_a_power_factor_of_one(case: Case) -> None:
    found, _ = total(case, case.sets[0], (), X)
    assert (found.input_current_a, found.input_power_w, found.input_power_factor) == (0, 0, 1)
    assert found.running == ()
    assert found.equal_kva_current_a == 0.0


def test_equal_apparent_power_is_that_of_the_machines_served(case: Case) -> None:
    """Each motor: 1.732 x 230 V x 13.2 A / 240 V = 21.91 A; the heater 25 A."""
    one = 1.7320508 * 230 * 13.2 / 240
    both = total(case, case.sets[0], (rotary(),), X)[0]
    assert both.equal_kva_current_a == pytest.approx(2 * one, rel=1e-6)
    assert both.running == ("a", "b")
    only = total(case, case.sets[0], (proposal("drive", ["b"]),), X)[0]
    assert only.equal_kva_current_a == pytest.approx(one, rel=1e-6)
    assert only.running == ("b",)


def test_what_has_a_supply_of_its_own_loads_no_other(case: Case) -> None:
    own = rotary(states=(state("rotary", "set-1"),), starts=(start("a"),), own_supply=True)
    found = equip(draft(own), case, (code := Code()))
    assert found.totals[0].input_current_a == 0.0
    (asked,) = code.services
    assert asked.circuits == ()
    assert asked.starting_current is not None
    assert asked.starting_current.value == 0.0
    assert len(found.circuits) == 4


def test_the_service_is_asked_about_the_set_that_draws_most(case: Case) -> None:
    states = (
        state("rotary", "idle", input_current_a=5.0, input_power_w=400.0),
        state("rotary", "set-1"),
        state("rotary", "set-2", input_current_a=40.0, input_power_w=8000.0),
    )
    code = Code()
    found = equip(draft(rotary(states=states)), case, code)
    (asked,) = code.services
    ((name, drawn),) = asked.running
    assert name == "supply/set-2"
    assert drawn.value == worst(found.totals).input_current_a == pytest.approx(40.0)
    assert drawn.path == "options/x/states/supply/set-2/input_current_a"
    assert asked.circuits == found.circuits


def test_of_equal_sets_the_last_by_id_counts() -> None:
    one, two = state("supply", "set-1"), state("supply", "set-2")
    assert worst([one, two]) == worst([two, one]) == two


def drawn(name: str, members: str, amperes: float) -> State:
    """Return what the supply gives while the machines named by one letter each run."""
    one = state("supply", name, converter="", input_current_a=amperes)
    return attrs.evolve(one, running=tuple(members))


def test_a_start_comes_on_top_of_what_its_own_converter_does_not_feed(case: Case) -> None:
    """Of 60 A in all 20 A are the converter's own, counted in the start of 100 A already: 140 A."""
    one = rotary(
        states=(
            state("rotary", "set-1"),
            state("rotary", "set-1", load="average", input_current_a=11.0),
            state("rotary", "set-2", input_current_a=13.0),
            state("rotary", "set-1", id="machine/set-1", converter="", input_current_a=3.0),
        ),
        starts=(start("a"), start("b", current_a=90.0)),
    )
    most = drawn("set-1", "abh", 60.0)
    found, steps = start_demand((one,), (most,), X)
    assert found.value == 140.0
    assert recomputed(steps, "starting_current", I=30.0, I0=40.0, S=7.0) == 7.0


@pytest.mark.parametrize(("sets", "most_a"), [("ab", 40.0 - 20.0 + 100.0), ("a b", 100.0)])
def test_a_start_has_on_top_of_it_only_what_may_run_with_it(sets: str, most_a: float) -> None:
    """A start of 100 A beside 20 A that runs: 120 A; where they never run at once, 100 A."""
    names = [f"set-{n}" for n, _ in enumerate(sets.split(), 1)]
    running = dict(zip(names, sets.split(), strict=True))
    one, two = (
        proposal(
            "drive", [name], starts=(start(name, current_a=most),),
            states=tuple(
                state(f"drive.{name}", at) for at, members in running.items() if name in members
            ),
        )
        for name, most in (("a", 30.0), ("b", 100.0))
    )  # fmt: skip
    totals = [
        drawn(at, members, 20.0 * len(members) + (members == "a"))
        for at, members in running.items()
    ]
    found, _ = start_demand((one, two), totals, X)
    assert found.value == most_a


def test_the_largest_start_of_all_counts(case: Case) -> None:
    one = rotary(states=(state("rotary", "set-1"),), starts=(start("a"),))
    two = proposal("drive", ["h"], states=(state("drive.h", "set-1", input_current_a=15.0),),
                   starts=(start("h", current_a=130.0),))  # fmt: skip
    most = drawn("set-1", "abh", 60.0)
    assert start_demand((one, two), (most,), X)[0].value == 60.0 - 15.0 + 130.0
    assert start_demand((two, one), (most,), X)[0].value == 60.0 - 15.0 + 130.0


def test_without_a_start_the_running_current_is_the_largest() -> None:
    most = state("supply", "all", converter="", input_current_a=60.0)
    found, steps = start_demand((proposal("relink", ["h"]),), (most,), X)
    assert found == (60.0, f"{X}/states/{most.id}/input_current_a")
    assert steps == ()


def test_drops_and_lengths_are_figures_of_the_case(case: Case) -> None:
    """What a method hands over reaches the code as it was."""
    code = Code()
    long = figure(42.0, "shop/machines/a/length_m")
    one = proposal("drive", ["a"], demands=(demand("supply.drive.a", ["drive.a"], length=long),))
    equip(draft(one), case, code)
    assert code.demands[0].length == long
