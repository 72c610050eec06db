"""A contract is worth something only if it fails: each claim meets a plugin that breaks it."""

import itertools
import sys
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any, ClassVar

import attrs
import pytest
from hypothesis import given, settings

import ampwright as aw
import ampwright.regions.us
from ampwright import testing
from ampwright.conformance.questions import Recorder
from ampwright.methods.drive import Drive
from ampwright.plugin import (
    Case,
    Circuit,
    CircuitAnswer,
    CircuitDemand,
    Decision,
    Finding,
    MachineCase,
    Proposal,
    Refusal,
    Region,
    Site,
    Source,
    Supply,
    Table,
)
from ampwright.testing import (
    EUROPE,
    MARKETS,
    NORTH_AMERICA,
    MethodContract,
    RegionContract,
    ReviewContract,
    ladder,
    random_shop,
    shops,
)

US: Region = ampwright.regions.us.ampwright_regions()[0]


class Broken(Recorder):
    """The region of the United States, broken by each test in one place."""

    def in_edition(self, edition: str) -> Region:
        return type(self)(self.region.in_edition(edition))


def complaint(contract: type, claim: str) -> str:
    """Return what a claim of a contract says when it fails."""
    with pytest.raises(AssertionError) as caught:
        getattr(contract(), claim)()
    return str(caught.value)


def region_contract(cls: type[Recorder]) -> type:
    return type("Contract", (RegionContract,), {"region": cls(US), "shops": 2})


def answering(change: Callable[[CircuitAnswer, CircuitDemand, Site], CircuitAnswer]) -> type:
    """Return the contract of a region whose answers are changed."""

    class Answering(Broken):
        """A region with other answers."""

        def circuit(
            self, demand: CircuitDemand, site: Site, supply: Supply, place: str
        ) -> CircuitAnswer:
            found = super().circuit(demand, site, supply, place)
            return change(found, demand, site)

    return region_contract(Answering)


def test_edition_that_raises_nothing() -> None:
    class EveryEdition(Broken):
        """A region that has every edition."""

        def in_edition(self, edition: str) -> Region:
            return self if edition not in self.editions else super().in_edition(edition)

    said = complaint(
        region_contract(EveryEdition), "test_its_editions_can_be_asked_for_and_no_other"
    )
    assert "no KeyError" in said


def test_word_that_is_missing() -> None:
    class Mute(Broken):
        """A region without a word for a panel."""

        @property
        def terms(self) -> Mapping[str, str]:
            return {key: one for key, one in self.region.terms.items() if key != "panel"}

    claim = "test_it_has_the_words_that_reports_need"
    assert "panel" in complaint(region_contract(Mute), claim)


def test_rule_without_clause() -> None:
    class Bare(Broken):
        """A region with a rule from nowhere."""

        @property
        def rules(self) -> Mapping[str, Source]:
            return {**self.region.rules, "us.bare": Source(document="NFPA 70")}

    assert "us.bare" in complaint(region_contract(Bare), "test_every_rule_says_where_it_stands")


def test_table_without_units() -> None:
    class Unitless(Broken):
        """A region with a table that states no units."""

        @property
        def tables(self) -> Mapping[str, Table]:
            first = next(iter(self.region.tables.values()))
            heads = {key: one for key, one in first.heads.items() if key != "units"}
            return {first.id: attrs.evolve(first, heads=heads)}

    claim = "test_every_table_says_where_it_stands_and_in_which_units"
    assert "units" in complaint(region_contract(Unitless), claim)


def test_answers_that_change() -> None:
    turns = itertools.count()

    def change(found: CircuitAnswer, demand: CircuitDemand, site: Site) -> CircuitAnswer:
        said = Finding(code=f"us.turn-{next(turns)}", severity="info", where=(demand.id,))
        return attrs.evolve(found, findings=(*found.findings, said))

    claim = "test_the_same_question_gets_the_same_answer"
    assert "differ" in complaint(answering(change), claim)


def test_output() -> None:
    def change(found: CircuitAnswer, demand: CircuitDemand, site: Site) -> CircuitAnswer:
        sys.stderr.write("warning\n")
        return found

    claim = "test_it_leaves_question_and_process_as_they_were"
    assert "wrote to errors" in complaint(answering(change), claim)


def test_silent_refusal() -> None:
    def change(found: CircuitAnswer, demand: CircuitDemand, site: Site) -> CircuitAnswer:
        return CircuitAnswer(circuit=None)

    contract = answering(change)
    assert "without a finding" in complaint(contract, "test_a_circuit_that_is_refused_says_why")
    assert "0 of" in complaint(contract, "test_it_sizes_circuits_of_every_kind")


def test_number_without_its_step() -> None:
    def change(found: CircuitAnswer, demand: CircuitDemand, site: Site) -> CircuitAnswer:
        if found.circuit is None:
            return found
        more = attrs.evolve(found.circuit, design_current_a=found.circuit.design_current_a + 1.0)
        return attrs.evolve(found, circuit=more)

    contract = answering(change)
    assert "design_current_a" in complaint(contract, "test_every_number_has_its_step")


def test_weak_conductor() -> None:
    def change(found: CircuitAnswer, demand: CircuitDemand, site: Site) -> CircuitAnswer:
        if found.circuit is None:
            return found
        weak = attrs.evolve(found.circuit.conductor, ampacity_a=1.0)
        return attrs.evolve(found, circuit=attrs.evolve(found.circuit, conductor=weak))

    claim = "test_conductors_bear_what_they_are_sized_for"
    assert "below their design current" in complaint(answering(change), claim)


@pytest.mark.parametrize("change_of", ["longer", "hotter"])
def test_conductor_that_becomes_thinner(change_of: str) -> None:
    def change(found: CircuitAnswer, demand: CircuitDemand, site: Site) -> CircuitAnswer:
        hot = site.ambient_c is not None and site.ambient_c > 50.0
        long = demand.length.value > 20.0
        if found.circuit is None or not (hot if change_of == "hotter" else long):
            return found
        thin = attrs.evolve(found.circuit.conductor, area_mm2=0.1)
        return attrs.evolve(found, circuit=attrs.evolve(found.circuit, conductor=thin))

    claim = f"test_a_{change_of}_circuit_is_never_thinner"
    assert f"thinner when {change_of}" in complaint(answering(change), claim)


def test_drop_that_is_called_binding_and_is_not_kept() -> None:
    class Lax(Broken):
        """A region that states a limit and does not size by it."""

        stated: ClassVar[Mapping[str, Any]] = {"limits": {"drop_fraction": 0.03}}

    claim = "test_a_drop_that_it_makes_binding_is_kept"
    assert "8 times as long" in complaint(region_contract(Lax), claim)


def test_rule_of_a_finding_that_it_does_not_have() -> None:
    def change(found: CircuitAnswer, demand: CircuitDemand, site: Site) -> CircuitAnswer:
        said = Finding(code="us.odd", severity="info", where=(demand.id,), rule="us.nowhere")
        return attrs.evolve(found, findings=(said,))

    claim = "test_findings_name_rules_that_it_has"
    assert "us.nowhere" in complaint(answering(change), claim)


def test_golden_shop_that_comes_out_otherwise(tmp_path_factory: pytest.TempPathFactory) -> None:
    path = tmp_path_factory.mktemp("gold") / "shop.toml"
    path.write_text(random_shop(1, NORTH_AMERICA, "us").to_toml(), encoding="utf-8")
    golden = {path: {"verdict": "perfect"}}
    contract = type("Contract", (RegionContract,), {"region": US, "golden": golden})
    assert "not 'perfect'" in complaint(contract, "test_golden_shops")


# methods


class Copy:
    """A drive, broken by each test in one place."""

    id = "copy"
    shared = False
    converts = True

    def __init__(self, change: Callable[[Proposal], Any]) -> None:
        self.change = change

    def answer(self, case: Case, machines: Sequence[MachineCase]) -> Proposal | Refusal:
        found = Drive().answer(case, machines)
        if isinstance(found, Refusal):
            return attrs.evolve(found, method=self.id)
        changed: Proposal = self.change(attrs.evolve(found, method=self.id))
        return changed

    def settle(self, case: Case, proposal: Proposal, circuits: Sequence[Circuit]) -> Proposal:
        del case, circuits
        return proposal


class Silent(Copy):
    """A drive that refuses without a word."""

    def __init__(self) -> None:
        super().__init__(lambda one: one)

    def answer(self, case: Case, machines: Sequence[MachineCase]) -> Proposal | Refusal:
        names = tuple(one.id for one in machines)
        return Refusal(method=self.id, machines=names, reasons=())


def method_contract(method: object) -> type:
    served = ladder(NORTH_AMERICA, 4)
    own = {"method": method, "cases": 2, "shops": 2, "served": served}
    return type("Contract", (MethodContract,), own)


def test_method_that_refuses_what_it_is_for() -> None:
    contract = method_contract(Silent())
    assert "refuses" in complaint(contract, "test_it_serves_each_machine_of_its_ladder")
    claim = "test_answers_are_about_what_was_asked_and_refusals_have_reasons"
    assert "without a reason" in complaint(contract, claim)


def test_method_whose_converter_shrinks() -> None:
    def change(one: Proposal) -> Proposal:
        (made,) = one.converters
        small = attrs.evolve(made, rating_w=1e9 / (made.rating_w or 1.0))
        return attrs.evolve(one, converters=(small,))

    claim = "test_a_larger_machine_never_needs_a_smaller_converter"
    assert "needs" in complaint(method_contract(Copy(change)), claim)


def test_method_whose_numbers_have_no_steps() -> None:
    contract = method_contract(Copy(lambda one: attrs.evolve(one, steps=())))
    assert "has no step" in complaint(contract, "test_every_number_has_its_step")


def test_method_that_gives_more_than_it_takes() -> None:
    def change(one: Proposal) -> Proposal:
        states = tuple(attrs.evolve(each, losses_w=-500.0) for each in one.states)
        return attrs.evolve(one, states=states)

    claim = "test_no_more_comes_out_than_goes_in"
    assert "losses of -500.0 W" in complaint(method_contract(Copy(change)), claim)


def test_method_whose_translation_says_other_figures() -> None:
    class Translated(Copy):
        """A drive with words in two languages."""

        texts: ClassVar[dict[str, dict[str, str]]] = {
            "findings": {"copy.hot": "{heat|up} at {place} beside the {@earth}."},
            "findings@de": {"copy.hot": "{heat|down} bei {place}.", "copy.gone": "Fort."},
            "findings@fr": {"copy.hot": "À {place}, {heat|up} près de la {@earth}."},
        }

    claim = "test_its_translations_have_the_parameters_of_its_english_texts"
    said = complaint(method_contract(Translated(lambda one: one)), claim)
    assert "copy.hot in findings@de" in said
    assert "findings@fr" not in said


def test_method_that_cannot_be_sent() -> None:
    class Local(Copy):
        """A method of a class that no other process finds."""

    contract = method_contract(Local(lambda one: one))()
    with pytest.raises((AssertionError, AttributeError, TypeError)):
        contract.test_method_and_answers_survive_pickling()


# house rules


class Rule:
    """A house rule, broken by each test in one place."""

    id = "house"

    def __init__(self, *found: object) -> None:
        self.found = found

    def review(self, decision: Decision) -> Sequence[Finding]:
        del decision
        return self.found  # type: ignore[return-value] # on purpose


def rule_contract(rule: object, **own: object) -> type:
    return type("Contract", (ReviewContract,), {"house_rule": rule, "shops": 2, **own})


class TestSoundRule(ReviewContract):
    house_rule = Rule(Finding(code="house.seen", severity="info"))
    noticed = random_shop(0, NORTH_AMERICA, "us")
    shops = 2


def test_house_rule_that_answers_no_findings() -> None:
    claim = "test_it_answers_with_findings_of_an_area_and_a_severity"
    assert "no finding" in complaint(rule_contract(Rule("seen")), claim)
    loud = Finding(code="SEEN", severity="info")
    assert "area.slug" in complaint(rule_contract(Rule(loud)), claim)


def test_house_rule_that_does_not_notice_what_it_is_for() -> None:
    contract = rule_contract(Rule(), noticed=random_shop(0, NORTH_AMERICA, "us"))
    assert "says nothing" in complaint(contract, "test_it_notices_what_it_is_for")


# shops


@pytest.mark.parametrize("family", sorted(MARKETS))
def test_random_shops_differ_and_are_the_same_for_the_same_seed(family: str) -> None:
    market = MARKETS[family]
    assert random_shop(3, market) == random_shop(3, market)
    assert len({random_shop(seed, market).to_toml() for seed in range(30)}) == 30


def test_shops_come_as_a_strategy() -> None:
    seen: list[aw.Shop] = []

    @settings(max_examples=15, deadline=None, database=None)
    @given(shops(EUROPE, "iec"))
    def collect(shop: aw.Shop) -> None:
        seen.append(shop)
        assert shop.region == "iec"
        assert shop.machines

    collect()
    assert len(seen) >= 15
    assert len({one.to_toml() for one in seen}) > 5


def test_every_name_for_tests_is_in_the_reference() -> None:
    page = Path(__file__).parents[3] / "docs" / "reference" / "testing.md"
    text = page.read_text(encoding="utf-8")
    missing = [one for one in testing.__all__
               if f"ampwright.testing.{one}\n" not in text and f"`{one}`" not in text]  # fmt: skip
    assert not missing
