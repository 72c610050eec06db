"""The plugin door: objects work without packaging, a broken plugin is named and harms nothing."""

from collections.abc import Sequence
from pathlib import Path
from types import ModuleType
from typing import ClassVar

import attrs
import pytest

import ampwright as aw
from ampwright import hookspecs
from ampwright.plugin import (
    Case,
    Circuit,
    ConversionMethod,
    Decision,
    Finding,
    MachineCase,
    Proposal,
    Refusal,
    hookimpl,
)

EXAMPLE = Path(__file__).parents[2] / "docs" / "examples" / "quarry-lane.toml"


@pytest.fixture(scope="module")
def shop() -> aw.Shop:
    return aw.load_shop(EXAMPLE)


@pytest.fixture(scope="module")
def plain(shop: aw.Shop) -> aw.Plan:
    return aw.Engine().plan(shop)


class Never:
    """A method that refuses whatever it is asked."""

    id = "never"
    shared = False
    converts = True

    def answer(self, case: Case, machines: Sequence[MachineCase]) -> Proposal | Refusal:
        del case
        names = tuple(one.id for one in machines)
        reason = Finding(code="never.ever", severity="blocks", where=names)
        return Refusal(method=self.id, machines=names, reasons=(reason,))

    def settle(self, case: Case, proposal: Proposal, circuits: Sequence[Circuit]) -> Proposal:
        del case, circuits
        return proposal


class Raising(Never):
    """A method that raises whatever it is asked."""

    id = "raising"

    def answer(self, case: Case, machines: Sequence[MachineCase]) -> Proposal | Refusal:
        raise RuntimeError("out of order")


class Muddled(Never):
    """A method that answers something that is no answer."""

    id = "muddled"

    def answer(self, case: Case, machines: Sequence[MachineCase]) -> Proposal | Refusal:
        return "yes"  # type: ignore[return-value] # on purpose


class House:
    """A plugin that offers one method and one house rule."""

    def __init__(self, *methods: ConversionMethod) -> None:
        self.methods = methods
        self.__name__ = "house"

    @hookimpl
    def ampwright_methods(self) -> Sequence[ConversionMethod]:
        return self.methods


class Rule:
    """A house rule that says one thing."""

    id = "house-rule"

    def review(self, decision: Decision) -> Sequence[Finding]:
        return [Finding(code="house.seen", severity="info", where=(decision.id,))]


class Inspector:
    """A plugin that offers one house rule."""

    @hookimpl
    def ampwright_review(self) -> Sequence[Rule]:
        return [Rule()]


def codes(plan: aw.Plan) -> set[str]:
    return {one.code for one in plan.findings}


def test_built_ins_come_through_the_door() -> None:
    engine = aw.Engine()
    assert {"direct", "drive", "relink", "rotary"} <= set(engine.methods())
    assert "us" in engine.regions()
    assert engine.problems == ()


def test_a_method_given_as_an_object_is_asked_and_refuses_in_its_own_words(shop: aw.Shop) -> None:
    plan = aw.Engine(plugins=[House(Never())]).plan(shop)
    assert plan.best is not None
    refused = [one for one in plan.best.refusals if one.method == "never"]
    assert {name for one in refused for name in one.machines} == {one.id for one in shop.machines}
    assert {reason.code for one in refused for reason in one.reasons} == {"never.ever"}


@pytest.mark.parametrize("broken", [Raising(), Muddled()], ids=["raises", "answers amiss"])
def test_a_failing_method_is_named_and_changes_nothing_else(
    shop: aw.Shop, plain: aw.Plan, broken: ConversionMethod
) -> None:
    plan = aw.Engine(plugins=[House(broken)]).plan(shop)
    assert [one.id for one in plan.options] == [one.id for one in plain.options]
    for mine, theirs in zip(plan.options, plain.options, strict=True):
        assert (mine.circuits, mine.states, mine.costs) == (
            theirs.circuits, theirs.states, theirs.costs,
        )  # fmt: skip
    assert plan.best is not None
    reasons = [
        reason for one in plan.best.refusals if one.method == broken.id for reason in one.reasons
    ]
    assert {one.code for one in reasons} == {"plugin.failed"}
    said = {part.value for one in reasons for part in one.parameters if part.name == "plugin"}
    assert said == {broken.id}


def test_a_house_rule_adds_findings(shop: aw.Shop) -> None:
    assert "house.seen" in codes(aw.Engine(plugins=[Inspector()]).plan(shop))


def test_a_house_rule_that_raises_is_named(shop: aw.Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(self: Rule, decision: Decision) -> Sequence[Finding]:
        raise RuntimeError("no")

    monkeypatch.setattr(Rule, "review", refuse)
    plan = aw.Engine(plugins=[Inspector()]).plan(shop)
    failed = [one for one in plan.findings if one.code == "plugin.failed"]
    assert [one.where for one in failed] == [("house-rule",)]


def test_an_id_offered_twice_is_the_second_ones_problem() -> None:
    @attrs.define
    class Impostor(Never):
        id: str = "rotary"

    engine = aw.Engine(plugins=[House(Impostor())])
    (problem,) = engine.problems
    assert isinstance(problem, aw.PluginConflictError)
    assert problem.path == "house"
    assert "method-rotary" in str(problem)
    assert type(engine.methods()["rotary"]).__name__ == "Rotary"


def test_a_hook_that_raises_is_reported() -> None:
    class Bad:
        @hookimpl
        def ampwright_methods(self) -> Sequence[ConversionMethod]:
            raise OSError("disk")

    (problem,) = aw.Engine(plugins=[Bad()]).problems
    assert isinstance(problem, aw.PluginContractError)
    assert problem.path == "Bad"


def test_a_misspelt_hook_is_reported() -> None:
    class Typo:
        @hookimpl
        def ampwright_methodes(self) -> Sequence[ConversionMethod]:
            return []

    (problem,) = aw.Engine(plugins=[Typo()]).problems
    assert "ampwright_methodes" in str(problem)
    assert problem.path == "Typo"


def test_an_offer_without_its_parts_is_reported() -> None:
    class Half:
        id = "half"

    (problem,) = aw.Engine(plugins=[House(Half())]).problems  # type: ignore[arg-type] # on purpose
    assert "answer" in str(problem)


def test_strict_raises_the_first_problem() -> None:
    class Bad:
        @hookimpl
        def ampwright_regions(self) -> Sequence[object]:
            raise OSError("disk")

    with pytest.raises(aw.PluginError, match="disk"):
        aw.Engine(plugins=[Bad()], strict=True)


def test_a_problem_is_a_finding_of_every_plan(shop: aw.Shop, plain: aw.Plan) -> None:
    class Bad:
        @hookimpl
        def ampwright_methods(self) -> Sequence[ConversionMethod]:
            raise OSError("disk")

    plan = aw.Engine(plugins=[Bad()]).plan(shop)
    new = [one for one in plan.findings if one not in plain.findings]
    assert [(one.code, one.where) for one in new] == [("plugin.contract", ("Bad",))]
    assert plan.options == plain.options


def test_blocked_entry_points_are_not_asked() -> None:
    engine = aw.Engine(block=["method-rotary"])
    assert "rotary" not in engine.methods()
    assert "drive" in engine.methods()


def test_without_discovery_there_is_nothing_and_the_error_says_why(shop: aw.Shop) -> None:
    with pytest.raises(aw.InputError, match="installed"):
        aw.Engine(discover=False).plan(shop)


def test_a_region_given_as_an_object_works(shop: aw.Shop) -> None:
    region = aw.Engine().regions()["us"]
    engine = aw.Engine(plugins=[region], block=["region-us", "region-iec"])
    assert list(engine.regions()) == ["us"]
    assert engine.plan(shop).region.id == "us"


def test_modules_with_hooks_are_plugins() -> None:
    module = ModuleType("mine")
    module.ampwright_methods = House(Never()).ampwright_methods  # type: ignore[attr-defined]
    engine = aw.Engine(plugins=[module], discover=False)
    assert list(engine.methods()) == ["never"]


class Speaking(Never):
    """A method that says its refusal in words."""

    id = "speaking"
    texts: ClassVar[dict[str, dict[str, str]]] = {
        "findings": {"never.ever": "It never does this.", "supply.undersized": "Mine."}
    }


def test_a_plugin_brings_its_texts_and_takes_none_over(shop: aw.Shop) -> None:
    plan = aw.Engine(plugins=[House(Speaking())]).plan(shop)
    (used,) = [one for one in plan.plugins if one.name == "house"]
    assert ("findings", "never.ever", "It never does this.") in used.texts
    report = str(plan.report("markdown"))
    assert "It never does this." in report
    assert "Mine." not in report


@pytest.mark.parametrize("texts", [["a"], {"findings": ["a"]}, {"findings": {"a.b": 5}}])
def test_texts_of_another_shape_are_their_owners_problem(texts: object) -> None:
    class Odd(Speaking):
        """A method whose texts are none."""

    Odd.texts = texts  # type: ignore[assignment] # on purpose
    (problem,) = aw.Engine(plugins=[House(Odd())]).problems
    assert isinstance(problem, aw.PluginContractError)
    assert problem.path == "house"


def test_every_hook_is_implemented_by_a_test_of_this_folder() -> None:
    hooks = {name for name in vars(hookspecs) if name.startswith("ampwright_")}
    text = "".join(path.read_text(encoding="utf-8") for path in Path(__file__).parent.glob("*.py"))
    assert len(hooks) == 3
    assert not [name for name in hooks if f"def {name}(" not in text]
