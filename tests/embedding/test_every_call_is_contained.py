"""Every call into a plugin: what it does amiss is its own problem, and the plan stands without it.

A plugin may raise what is no error, end the program, never answer, or change what it was asked;
each in every call that the library makes into methods, regions, house rules and checks.
"""

import multiprocessing
import os
import sys
import time
from collections.abc import Callable, Sequence
from typing import Any

import attrs
import pytest
from tests.embedding.strange_plugins import SHOP, Copy, engine, said

import ampwright as aw
import ampwright.regions.us
from ampwright.plugin import Region, hookimpl
from ampwright.testing import Offering

US = ampwright.regions.us.ampwright_regions()[0]
FOREVER_S = 600.0
DEADLINE_S = 0.5
#: How often the door looks at the texts of an offer: to judge them, and to keep them.
READINGS = 2


class Abrupt(BaseException):
    """Something that is no error, and that nobody who catches errors catches."""


def raises(*_: object) -> Any:  # noqa: ANN401 - it never returns
    """Raise an error."""
    raise ZeroDivisionError("on purpose")


def exits(*_: object) -> Any:  # noqa: ANN401 - it never returns
    """End the program."""
    sys.exit("on purpose")


def breaks_off(*_: object) -> Any:  # noqa: ANN401 - it never returns
    """Raise what is no error."""
    raise Abrupt("on purpose")


def dies(*_: object) -> Any:  # noqa: ANN401 - it never returns
    """End the process at once."""
    os._exit(9)


def hangs(*_: object) -> Any:  # noqa: ANN401 - it never returns in time
    """Never answer."""
    time.sleep(FOREVER_S)


def misanswers(*_: object) -> Any:  # noqa: ANN401 - on purpose
    """Answer something of another type."""
    return "of another type"


HERE = [raises, exits, breaks_off, misanswers]
APART = [raises, exits, breaks_off, misanswers, dies, hangs]


class Strange:
    """A region from outside: that of the United States under another id, one call amiss."""

    id, edition, editions, family = "zz", "2023", ("2023",), "nec"
    title, terms, rules, tables = "Rules of nowhere, 2023", US.terms, US.rules, US.tables

    def __init__(self, call: str, blunder: Callable[..., Any]) -> None:
        setattr(self, call, blunder)

    def in_edition(self, edition: str) -> Region:
        """Return itself."""
        del edition
        return self

    def includes(self, supply: aw.Supply) -> bool:
        """Know the supplies of the other."""
        return US.includes(supply)

    def circuit(self, *arguments: Any) -> Any:  # noqa: ANN401 - handed on
        """Ask the other."""
        return US.circuit(*arguments)

    def service(self, *arguments: Any) -> Any:  # noqa: ANN401 - handed on
        """Ask the other."""
        return US.service(*arguments)

    def check(self, decision: object) -> Sequence[aw.Finding]:
        """Object to nothing."""
        del decision
        return ()


class Rule:
    """A house rule that is at fault."""

    id = "house-rule"

    def __init__(self, blunder: Callable[..., Any]) -> None:
        self.blunder = blunder

    def review(self, decision: object) -> Any:  # noqa: ANN401 - on purpose
        """Do what is wrong."""
        return self.blunder(decision)

    @hookimpl
    def ampwright_review(self) -> list[object]:
        """Offer it."""
        return [self]


def modes() -> list[Any]:
    """Return every blunder with the time that it gets in a process of its own, or none."""
    found = [pytest.param(one, None, id=one.__name__) for one in HERE]
    return found + [pytest.param(one, DEADLINE_S, id=f"{one.__name__}-apart") for one in APART]


@pytest.fixture(scope="module")
def alone() -> aw.Plan:
    """Return the plan without any plugin from outside."""
    return engine().plan(SHOP, methods=["drive"])


@pytest.mark.parametrize("call", ["answer", "settle"])
@pytest.mark.parametrize(("blunder", "isolate"), modes())
def test_calls_of_a_method(
    call: str, blunder: Callable[..., Any], isolate: float | None, alone: aw.Plan
) -> None:
    method = Copy()
    setattr(method, call, blunder)
    made = engine(Offering(methods=(method,)), isolate=isolate)
    begun = time.monotonic()
    plan = made.plan(SHOP, methods=["drive", "copy"])
    assert time.monotonic() - begun < FOREVER_S / 10.0
    assert plan.best is not None
    assert alone.best is not None
    assert plan.best.circuits == alone.best.circuits
    assert plan.best.costs == alone.best.costs
    assert said(plan, "plugin.failed")
    assert "copy" in {one.path for one in made.problems}
    assert ("copy",) in {one.where for one in plan.findings if one.code == "plugin.failed"}
    assert not any(one.feasible and "copy" in one.assignment.values() for one in plan.options), (
        "nothing half computed is offered as feasible"
    )


@pytest.mark.parametrize("call", ["circuit", "service"])
@pytest.mark.parametrize(("blunder", "isolate"), modes())
def test_calls_of_a_region(call: str, blunder: Callable[..., Any], isolate: float | None) -> None:
    region = Strange(call, blunder)
    made = engine(region, isolate=isolate)
    shop = attrs.evolve(SHOP, region=None)
    plan = made.plan(shop, region="zz", methods=["drive"])
    assert "region-zz" in {one.path for one in made.problems}
    assert "region-zz" in said(plan, "plugin.failed")
    if call == "circuit":
        assert plan.verdict == "not-feasible"
        assert not any(one.circuits for one in plan.options)
    other = made.plan(SHOP, methods=["drive"])
    assert other.options == engine().plan(SHOP, methods=["drive"]).options


@pytest.mark.parametrize("blunder", HERE[:3])
def test_a_region_that_cannot_say_which_supplies_it_has_is_named(
    blunder: Callable[..., Any],
) -> None:
    made = engine(Strange("includes", blunder))
    plan = made.plan(attrs.evolve(SHOP, region=None), methods=["drive"])
    assert plan.region.id == "us"
    assert "region-zz" in said(plan, "plugin.failed")
    assert "region-zz" in {one.path for one in made.problems}


@pytest.mark.parametrize("blunder", HERE[:3])
def test_a_region_that_fails_at_an_edition_is_refused(blunder: Callable[..., Any]) -> None:
    made = engine(Strange("in_edition", blunder))
    with pytest.raises(aw.InputError, match="on purpose") as caught:
        made.plan(attrs.evolve(SHOP, region=None), region="zz@2023")
    assert caught.value.code == "region.unknown"


@pytest.mark.parametrize(("blunder", "isolate"), modes())
def test_checks_of_a_region(blunder: Callable[..., Any], isolate: float | None) -> None:
    made = engine(Strange("check", blunder), isolate=isolate)
    plan = made.plan(attrs.evolve(SHOP, region=None), region="zz", methods=["drive"])
    assert plan.checks is not None
    assert "check.not-checked" in {one.code for one in plan.checks}
    assert "check.not-checked" in {one.code for one in made.verify(plan)}


@pytest.mark.parametrize(("blunder", "isolate"), modes())
def test_house_rules(blunder: Callable[..., Any], isolate: float | None, alone: aw.Plan) -> None:
    made = engine(Rule(blunder), isolate=isolate)
    plan = made.plan(SHOP, methods=["drive"])
    assert ("house-rule",) in {one.where for one in plan.findings if one.code == "plugin.failed"}
    assert "house-rule" in {one.path for one in made.problems}
    assert plan.options == alone.options


def changed(part: Any) -> Any:  # noqa: ANN401 - whatever the call is asked
    """Change what is asked, behind the lock of its records."""
    name = next(one.name for one in attrs.fields(type(part)) if one.name != "extra")
    object.__setattr__(part, name, "mine")
    return "of another type"


@pytest.mark.parametrize("call", ["answer", "settle"])
def test_a_method_that_changes_its_question_ends_the_plan(call: str) -> None:
    method = Copy()
    setattr(method, call, lambda case, *_: changed(case.shop))
    made = engine(Offering(methods=(method,)))
    with pytest.raises(aw.InternalError, match="copy"):
        made.plan(fresh(), methods=["copy"])


@pytest.mark.parametrize("call", ["circuit", "service"])
def test_a_region_that_changes_its_question_ends_the_plan(call: str) -> None:
    made = engine(Strange(call, lambda demand, *_: changed(demand)))
    with pytest.raises(aw.InternalError, match="region-zz"):
        made.plan(attrs.evolve(fresh(), region=None), region="zz", methods=["drive"])


def test_a_check_that_changes_the_plan_ends_it() -> None:
    made = engine(Strange("check", changed))
    with pytest.raises(aw.InternalError, match="region-zz"):
        made.plan(attrs.evolve(fresh(), region=None), region="zz", methods=["drive"])


def test_a_house_rule_that_changes_the_plan_ends_it() -> None:
    with pytest.raises(aw.InternalError, match="house-rule"):
        engine(Rule(changed)).plan(fresh(), methods=["drive"])


def test_what_is_changed_in_another_process_is_changed_there_only() -> None:
    shop = fresh()
    method = Copy()
    method.answer = lambda case, *_: changed(case.shop)  # type: ignore[method-assign] # on purpose
    plan = engine(Offering(methods=(method,)), isolate=30.0).plan(shop, methods=["copy", "drive"])
    assert plan.best is not None
    assert shop == SHOP


@pytest.mark.parametrize("blunder", HERE[:3])
@pytest.mark.parametrize("part", ["id", "shared", "converts", "validity", "texts"])
def test_a_method_that_fails_when_it_is_looked_at(part: str, blunder: Callable[..., Any]) -> None:
    strange = type("Looked", (Copy,), {part: property(blunder)})
    made = engine(Offering(methods=(strange(),)))
    plan = made.plan(SHOP, methods=["drive"])
    assert plan.best is not None
    assert [one.code for one in made.problems] == ["plugin.contract"]
    assert "copy" not in made.methods()


@pytest.mark.parametrize("blunder", HERE[:3])
@pytest.mark.parametrize("part", ["title", "terms", "tables"])
def test_a_region_that_fails_when_it_is_looked_at_again(
    part: str, blunder: Callable[..., Any]
) -> None:
    turns: list[int] = []

    def once(_: object) -> object:
        turns.append(1)
        if len(turns) > most[0]:
            return blunder()
        return getattr(US, part)

    most = [sys.maxsize]
    region = type("Later", (Strange,), {part: property(once)})("check", lambda *_: ())
    made = engine(region)
    assert "zz" in made.regions()
    most[0] = len(turns)
    with pytest.raises(aw.InputError, match="on purpose") as caught:
        made.plan(attrs.evolve(SHOP, region=None), region="zz", methods=["drive"])
    assert caught.value.code == "region.unknown"


@pytest.mark.parametrize("blunder", HERE[:3])
def test_texts_are_kept_when_they_were_judged(blunder: Callable[..., Any]) -> None:
    turns: list[int] = []

    def once(_: object) -> object:
        turns.append(1)
        return blunder() if len(turns) > READINGS else {"findings": {"copy.said": "Said."}}

    strange = type("Later", (Copy,), {"texts": property(once)})
    made = engine(Offering(methods=(strange(),)))
    assert made.problems == ()
    assert "copy" in made.methods()
    assert made.plan(SHOP, methods=["drive"]).best is not None


@pytest.mark.parametrize("blunder", HERE[:3])
def test_a_region_handed_over_that_fails_when_it_is_looked_at(
    blunder: Callable[..., Any],
) -> None:
    region = type("Looked", (Strange,), {"id": property(blunder)})("check", lambda *_: ())
    made = engine(region)
    (problem,) = made.problems
    assert problem.code in ("plugin.contract", "plugin.raised")
    assert "on purpose" in str(problem)
    assert "us" in made.regions()


def test_answers_from_other_processes_are_the_same() -> None:
    shop = attrs.evolve(SHOP, region=None)
    region = Strange("check", lambda *_: ())
    here = engine(region, Offering(methods=(Copy(),)))
    apart = engine(region, Offering(methods=(Copy(),)), isolate=60.0)
    asked = ("copy", "drive")
    one, two = (each.plan(shop, region="zz", methods=asked) for each in (here, apart))
    assert one.options == two.options
    assert one.checks == two.checks
    assert not multiprocessing.active_children(), "each process ends with its plan"


def fresh() -> aw.Shop:
    """Return a shop that a test may spoil."""
    return aw.Shop.from_dict(SHOP.to_dict())
