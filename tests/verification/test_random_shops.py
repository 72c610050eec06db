"""No plan of a random shop breaks a rule, and none is larger than its rules ask for.

A longer run stands in ``benchmarks/test_verification.py``.
"""

import sys
from functools import cache
from importlib import import_module
from pathlib import Path

import attrs
import pytest
from tests.verification import iec_shops
from tests.verification.random_shops import random_shop, rich_shop

import ampwright as aw

COUNT, BLOCK = 100, 25
PLUGINS = Path(__file__).parents[2] / "plugins"
#: Countries on the tables of the IEC family, each with some of its own.
COUNTRIES = ("gb", "de", "fr", "au")


@cache
def engine(countries: tuple[str, ...]) -> aw.Engine:
    """Return an engine with the codes of *countries*, read from their source."""
    modules = []
    for country in countries:
        source = str(PLUGINS / f"ampwright-region-{country}" / "src")
        if source not in sys.path:
            sys.path.append(source)
        modules.append(import_module(f"ampwright_region_{country}"))
    return aw.Engine(plugins=modules)


def objections(plan: aw.Plan) -> list[tuple[object, ...]]:
    """Return what the check of a plan objects to."""
    found: list[tuple[object, ...]] = []
    for one in plan.checks or ():
        if one.severity != "info":
            said = {part.name: part.value for part in one.parameters}
            found.append((plan.shop.name, plan.region.id, one.code, one.rule, said.get("path")))
    return found


@pytest.mark.slow
@pytest.mark.parametrize("first", range(0, COUNT, BLOCK))
def test_the_check_of_the_iec_family_has_no_objection(first: int) -> None:
    found: list[tuple[object, ...]] = []
    for seed in range(first, first + BLOCK):
        plan = aw.plan(iec_shops.random_shop(seed))
        found += objections(plan)
        assert plan.checks is not None
        assert "plan.not-independently-checked" not in {one.code for one in plan.checks}
    assert not found


@pytest.mark.slow
@pytest.mark.parametrize("country", COUNTRIES)
def test_the_check_has_no_objection_under_a_country_of_the_family(country: str) -> None:
    found: list[tuple[object, ...]] = []
    for seed in range(1000, 1012):
        shop = iec_shops.random_shop(seed, (country,))
        plan = engine(COUNTRIES).plan(shop)
        assert plan.region.id == country
        found += objections(plan)
    assert not found


@pytest.mark.slow
@pytest.mark.parametrize("first", range(0, COUNT, BLOCK))
def test_the_check_has_no_objection(first: int) -> None:
    objections = []
    for seed in range(first, first + BLOCK):
        for one in aw.plan(random_shop(seed)).checks or ():
            if one.severity != "info":
                said = {part.name: part.value for part in one.parameters}
                objections.append((seed, one.code, one.rule, said.get("path")))
    assert not objections


@pytest.mark.slow
@pytest.mark.parametrize("first", range(0, COUNT, BLOCK))
def test_the_check_has_no_objection_to_machines_of_many_parts(first: int) -> None:
    found: list[tuple[object, ...]] = []
    for seed in range(first, first + BLOCK):
        found += objections(aw.plan(rich_shop(seed)))
    assert not found


def test_rich_shops_hold_what_plain_ones_do_not() -> None:
    machines = [one for seed in range(40) for one in rich_shop(seed).machines]
    mixed = several = welders = heated = 0
    for one in machines:
        phases = {part.phases for part in one.motors} | {part.phases for part in one.loads}
        kinds = {part.kind for part in one.loads}
        mixed += len(phases) == 2
        several += len(one.motors) > 2
        welders += "welder" in kinds
        heated += "resistive" in kinds and bool(one.motors)
    assert min(mixed, several, welders, heated) > 9
    assert rich_shop(5) == rich_shop(5)


@pytest.mark.parametrize("seed", [0, 4, 12, 60, 73, 153, 459, 529, 698])
def test_what_once_was_objected_to_is_right(seed: int) -> None:
    """Each of these shops showed a fault of the plan or of the check, mended since."""
    assert not objections(aw.plan(rich_shop(seed)))


def test_a_transformer_whose_own_circuit_lacks_still_stands_ahead() -> None:
    """No standard size feeds the transformer: what hangs on it keeps its secondary voltage."""
    plan = aw.plan(iec_shops.random_shop(1701))
    lacking = [
        option
        for option in plan.options
        if option.transformers
        and not any(option.transformers[0].id in one.feeds for one in option.circuits)
    ]
    assert lacking
    assert not any(option.feasible for option in lacking)
    assert not objections(plan)


def test_a_part_for_one_phase_beside_a_transformer_comes_from_the_panel() -> None:
    """A motor behind real three-phase and a transformer, controls of the same voltage beside it."""
    shop = iec_shops.random_shop(30157)
    plan = aw.plan(attrs.evolve(shop, supply=attrs.evolve(shop.supply, earthing="tn-c-s")))
    option = next(one for one in plan.options if one.id == "utility")
    own = {one.id: one for one in option.circuits}
    assert own["branch.m1"].fed_from == "feeder.m1"
    assert own["branch.m1.single-phase"].fed_from == ""
    assert own["branch.m1"].voltage_v == own["branch.m1.single-phase"].voltage_v
    assert not objections(plan)


def test_the_shops_differ_and_are_the_same_for_the_same_seed() -> None:
    assert random_shop(5) == random_shop(5)
    assert len({random_shop(seed).to_toml() for seed in range(50)}) == 50
    assert iec_shops.random_shop(5) == iec_shops.random_shop(5)
    assert len({iec_shops.random_shop(seed).to_toml() for seed in range(50)}) == 50


def far_away() -> aw.Shop:
    """Return a shop with one loaded machine at the end of a long cable."""
    motor = aw.Motor(power="10 hp", voltage="230 V", frequency="60 Hz", speed="1750 rpm")
    machine = aw.Machine(
        id="m", motors=(motor,), length="700 m", start="normal", load_torque="constant",
        controls="none",
    )  # fmt: skip
    supply = aw.Supply(
        arrangement="split-phase", voltage="240 V", frequency="60 Hz", rating="400 A",
        existing_load="10 A", impedance="0.05 ohm", fault_current="5 kA",
    )  # fmt: skip
    return aw.Shop(region="us", supply=supply, machines=(machine,))


def test_a_start_that_no_usual_conductor_saves_is_the_reason() -> None:
    plan = aw.plan(far_away())  # 700 m of cable drop more than the start bears
    rotary = next(one for one in plan.options if one.id == "rotary")
    blocking = {one.code for one in rotary.findings if one.severity == "blocks"}
    assert blocking == {"converter.start-fails"}
    assert "branch.m" in {one.id for one in rotary.circuits}
    assert not [one for one in plan.checks or () if one.severity != "info"]


def test_a_small_motor_behind_a_transformer_has_the_class_of_its_own_start() -> None:
    plan = aw.plan(iec_shops.random_shop(2246))  # its larger sister takes six times as long
    rotary = next(one for one in plan.options if one.id == "rotary")
    branch = next(one for one in rotary.circuits if one.id == "branch.m2")
    assert {one.id: one.curve for one in branch.overloads}["m2/1"] == "class 10A"
    assert not objections(plan)
