"""The engine: what it asks for is checked at the door, and plugins cannot spoil a plan."""

import threading
from collections.abc import Sequence
from typing import Any

import attrs
import pytest

from ampwright import engine as module
from ampwright.decision import Decision
from ampwright.engine import Engine
from ampwright.errors import ConsistencyError, InputError, PluginError
from ampwright.finding import Finding
from ampwright.hookspecs import hookimpl
from ampwright.method import ConversionMethod
from ampwright.records.machine import Machine
from ampwright.records.motor import Motor
from ampwright.records.shop import Shop
from ampwright.records.supply import Supply


@pytest.fixture(scope="module")
def engine() -> Engine:
    return Engine()


@pytest.fixture(scope="module")
def shop() -> Shop:
    motor = Motor(power="2 hp", voltage="230 V", current="6 A", frequency="60 Hz")
    return Shop(
        supply=Supply(arrangement="split-phase", voltage="240 V", frequency="60 Hz",
                      rating="100 A", existing_load="10 A"),
        machines=(Machine(id="lathe", motors=(motor,), length="10 m"),),
    )  # fmt: skip


class Falling:
    """A method that raises when it is asked."""

    id = "falling"
    shared = False
    converts = True

    def answer(self, case: object, machines: object) -> Any:  # noqa: ANN401 - never answers
        raise ZeroDivisionError("on purpose")

    def settle(self, case: object, proposal: Any, circuits: object) -> Any:  # noqa: ANN401 - as given
        return proposal


class Stumbling:
    """Another method's answers, but it raises when it is to look at the circuits."""

    def __init__(self, inner: ConversionMethod) -> None:
        self.inner, self.id = inner, inner.id
        self.shared, self.converts = inner.shared, inner.converts

    def answer(self, case: Any, machines: Any) -> Any:  # noqa: ANN401 - handed through
        return self.inner.answer(case, machines)

    def settle(self, case: object, proposal: object, circuits: object) -> Any:  # noqa: ANN401 - never
        raise KeyError("circuits")


class Offering:
    """A plugin that offers what it was given."""

    def __init__(self, methods: Sequence[object] = (), reviews: Sequence[object] = ()) -> None:
        self.methods, self.reviews = methods, reviews
        self.__name__ = "offering"

    @hookimpl
    def ampwright_methods(self) -> Sequence[object]:
        return self.methods

    @hookimpl
    def ampwright_review(self) -> Sequence[object]:
        return self.reviews


class Reviewing:
    """A house rule that answers what it was given."""

    id = "reviewing"

    def __init__(self, answer: object) -> None:
        self.given = answer

    def review(self, decision: Decision) -> Any:  # noqa: ANN401 - on purpose
        return self.given


def test_only_a_shop_is_planned(engine: Engine, shop: Shop) -> None:
    with pytest.raises(InputError, match="load_shop") as caught:
        engine.plan(shop.to_dict())  # type: ignore[arg-type] # on purpose
    assert (caught.value.code, caught.value.value) == ("type.shop", "dict")


def test_an_unknown_region_is_refused_and_the_known_are_named(engine: Engine, shop: Shop) -> None:
    for asked in ("atlantis", "us-nec-1899", "US"):
        with pytest.raises(InputError) as caught:
            engine.plan(shop, region=asked)
        error = caught.value
        assert (error.code, error.value, error.path) == ("region.unknown", asked, "region")
        assert "us" in error.expected


def test_an_unknown_edition_is_refused_and_the_known_are_named(engine: Engine, shop: Shop) -> None:
    with pytest.raises(InputError) as caught:
        engine.plan(shop, region="us@1899")
    assert caught.value.code == "region.edition"
    assert all(one in caught.value.expected for one in engine.regions()["us"].editions)


def test_the_edition_asked_for_is_the_one_used(engine: Engine, shop: Shop) -> None:
    for edition in engine.regions()["us"].editions:
        assert engine.plan(shop, region=f"us@{edition}", check=False).region.edition == edition


def test_the_call_goes_before_the_shop(engine: Engine, shop: Shop) -> None:
    stated = attrs.evolve(shop, region="us@2023")
    assert engine.plan(stated, check=False).region.edition == "2023"
    assert engine.plan(stated, region="us@2020", check=False).region.edition == "2020"


def test_no_region_stated_is_an_assumption_where_the_supply_fits(
    engine: Engine, shop: Shop
) -> None:
    plan = engine.plan(shop, check=False)
    assert plan.region.id == "us"
    assert "region.assumed" in {one.code for one in plan.assumptions}
    said = engine.plan(shop, region="us", check=False)
    assert "region.assumed" not in {one.code for one in said.assumptions}


def test_no_region_stated_is_an_error_where_the_supply_does_not_fit(
    engine: Engine, shop: Shop
) -> None:
    """A supply of 230 V and 50 Hz to neutral occurs under no code of North America."""
    supply = Supply(arrangement="line-neutral", voltage="230 V", frequency="50 Hz")
    with pytest.raises(ConsistencyError) as caught:
        engine.plan(attrs.evolve(shop, supply=supply))
    assert caught.value.code == "region.missing"


def test_without_any_region_the_error_says_what_is_missing(shop: Shop) -> None:
    with pytest.raises(InputError) as caught:
        Engine(discover=False).plan(shop)
    assert caught.value.code == "region.none"


def test_a_region_that_failed_is_named_when_it_is_asked_for(shop: Shop) -> None:
    class Broken:
        @hookimpl
        def ampwright_regions(self) -> Sequence[object]:
            raise OSError("disk")

    with pytest.raises(InputError, match="Broken"):
        Engine(plugins=[Broken()]).plan(shop, region="broken")


def test_only_the_methods_named_are_weighed(engine: Engine, shop: Shop) -> None:
    plan = engine.plan(shop, methods=["drive"], check=False)
    assert {name for one in plan.options for name in one.assignment.values()} == {"drive"}
    refused = engine.plan(shop, methods=["drive", "relink"], check=False)
    assert {one.method for option in refused.options for one in option.refusals} == {"relink"}
    nothing = engine.plan(shop, methods=[], check=False)
    assert nothing.verdict == "not-feasible"
    assert nothing.best is None


def test_an_unknown_method_is_refused_and_the_known_are_named(engine: Engine, shop: Shop) -> None:
    with pytest.raises(InputError) as caught:
        engine.plan(shop, methods=["drive", "magic"])
    assert (caught.value.code, caught.value.value) == ("method.unknown", "magic")
    assert "rotary" in caught.value.expected


@pytest.mark.parametrize(
    "prices",
    [
        {"drive": {"fixd": 1}},
        {"drive": {"fixed": "dear"}},
        {"drive": {"fixed": float("nan")}},
        {"drive": {"labour": -5.0}},
        {"drive": 5},
    ],
)
def test_prices_of_another_form_are_refused(
    engine: Engine, shop: Shop, prices: dict[str, Any]
) -> None:
    with pytest.raises(InputError) as caught:
        engine.plan(shop, prices=prices)
    assert caught.value.code == "prices.form"


def test_prices_of_an_unknown_method_are_refused(engine: Engine, shop: Shop) -> None:
    with pytest.raises(InputError) as caught:
        engine.plan(shop, prices={"rotery": {"fixed": 5.0}})
    assert (caught.value.code, caught.value.value) == ("method.unknown", "rotery")
    assert "rotary" in caught.value.expected


def test_unknown_limits_are_refused(engine: Engine, shop: Shop) -> None:
    with pytest.raises(InputError) as caught:
        engine.plan(shop, limits={"run-up-tme": 8.0})
    assert (caught.value.code, caught.value.path) == ("limits.name", "limits")
    for value in (0.0, -1.0, float("nan"), float("inf"), True, "8 s"):
        with pytest.raises(InputError) as caught:
            engine.plan(shop, limits={"run-up-time": value})  # type: ignore[dict-item] # on purpose
        assert (caught.value.code, caught.value.path) == ("limits.value", "limits.run-up-time")


def test_the_check_is_in_the_plan_only_if_asked_for(engine: Engine, shop: Shop) -> None:
    assert engine.plan(shop, check=False).checks is None
    plan = engine.plan(shop)
    assert plan.checks is not None
    assert plan.checks == engine.verify(plan)
    assert attrs.evolve(plan, checks=None) == engine.plan(shop, check=False)


def test_a_plan_of_a_region_that_is_not_there_says_that_tables_were_not_at_hand(
    engine: Engine, shop: Shop
) -> None:
    plan = engine.plan(shop)
    for used in (
        attrs.evolve(plan.region, id="atlantis"),
        attrs.evolve(plan.region, edition="1899"),
    ):
        codes = {one.code for one in engine.verify(attrs.evolve(plan, region=used))}
        assert "check.not-checked" in codes


def test_a_method_that_raises_is_named_once_in_findings_and_problems(shop: Shop) -> None:
    engine = Engine(plugins=[Offering([Falling()])])
    assert not engine.problems
    first = engine.plan(shop, check=False)
    named = [one for one in first.findings if one.code == "plugin.failed"]
    assert [(one.severity, one.where) for one in named] == [("caution", ("falling",))]
    said = {part.name: part.value for part in named[0].parameters}
    assert said == {"plugin": "falling", "error": "ZeroDivisionError: on purpose"}
    assert engine.plan(shop, check=False) == first
    (problem,) = engine.problems
    assert isinstance(problem, PluginError)
    assert (problem.code, problem.path) == ("plugin.raised", "falling")
    assert "ZeroDivisionError: on purpose" in str(problem)


def test_a_method_that_raised_once_is_asked_again_by_the_next_plan(shop: Shop) -> None:
    method = Falling()
    engine = Engine(plugins=[Offering([method])])
    engine.plan(shop, check=False)
    assert "falling" in engine.methods()
    other = engine.plan(shop, methods=["drive"], check=False)
    assert "plugin.failed" not in {one.code for one in other.findings}


def test_a_method_that_raises_at_its_circuits_sinks_its_options_only(shop: Shop) -> None:
    plain = Engine()
    drive = Stumbling(plain.methods()["drive"])
    engine = Engine(plugins=[Offering([drive])], block=["method-drive"])
    plan = engine.plan(shop, check=False)
    by_id = {one.id: one for one in plan.options}
    assert by_id["drive"].verdict == "not-feasible"
    expected = next(one for one in plain.plan(shop, check=False).options if one.id == "rotary")
    assert by_id["rotary"] == expected
    assert ("drive",) in {one.where for one in plan.findings if one.code == "plugin.failed"}


@pytest.mark.parametrize("answer", [None, 5, ["text"], [None]])
def test_a_house_rule_that_answers_amiss_is_named(shop: Shop, answer: object) -> None:
    engine = Engine(plugins=[Offering(reviews=[Reviewing(answer)])])
    plan = engine.plan(shop, check=False)
    failed = [one for one in plan.findings if one.code == "plugin.failed"]
    assert [one.where for one in failed] == [("reviewing",)]


def test_a_house_rule_adds_its_findings_and_nothing_else(shop: Shop) -> None:
    mine = Finding(code="house.rule", severity="caution", where=("lathe",))
    engine = Engine(plugins=[Offering(reviews=[Reviewing([mine])])])
    plan, plain = engine.plan(shop, check=False), Engine().plan(shop, check=False)
    assert mine in plan.findings
    assert tuple(one for one in plan.findings if one != mine) == plain.findings
    assert plan.options == plain.options


def test_the_default_engine_is_made_once_and_serves_the_calls_of_the_module(shop: Shop) -> None:
    found: list[Engine] = []
    threads = [threading.Thread(target=lambda: found.append(module.default())) for _ in range(4)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    plan = module.plan(shop)
    assert plan == found[0].plan(shop)
    assert module.verify(plan) == plan.checks
