"""What the planner relies on in a region, as tests to inherit."""

import pickle
import time
from collections.abc import Iterator, Mapping
from pathlib import Path
from statistics import median
from typing import Any, ClassVar

from ampwright.conformance.claims import claim, claim_none
from ampwright.conformance.questions import Question, engine_with, questions
from ampwright.conformance.shops import MARKETS, Market, random_shop
from ampwright.conformance.surroundings import watched
from ampwright.conformance.walking import numbers, unsound_steps, without_step
from ampwright.families.folder import region_from_folder
from ampwright.records.shop import load_shop
from ampwright.records.supply import Supply
from ampwright.region import CircuitAnswer, Region
from ampwright.result import Plan
from ampwright.table_order import region_faults, unsorted

#: Words that reports ask every region for.
TERMS = ("circuit", "service", "feeder", "protective-conductor", "earth", "earthing",
         "earth-fault", "protective-device", "breaker", "disconnect", "raceway", "made-leg",
         "residual-current", "line-conductor", "neutral", "breaking-capacity", "overload", "panel",
         "authority", "color-neutral", "color-protective-conductor",
         "color-made-leg")  # fmt: skip


class RegionContract:
    """What the planner relies on; set ``region`` or ``folder`` in the subclass.

    Attributes:
        region: The region.
        folder: Folder of a region that is data only, in its place.
        market: What shops look like there; by default that of its family.
        golden: Shop files, and what their plans must say; see `stated_at`. The entry ``methods``
            names the methods that are weighed.
        shops: How many random shops are planned and checked.
        budget_s: Time that one circuit may take, as the median of many [s].
    """

    region: ClassVar[Region]
    folder: ClassVar[Path | str | None] = None
    market: ClassVar[Market | None] = None
    golden: ClassVar[Mapping[str | Path, Mapping[str, Any]]] = {}
    shops: ClassVar[int] = 50
    budget_s: ClassVar[float] = 0.05

    _asked: ClassVar[dict[type, tuple[Question, ...]]] = {}
    _plans: ClassVar[dict[type, tuple[Plan, ...]]] = {}

    # what the tests below share

    @classmethod
    def subject(cls) -> Region:
        """Return the region under test."""
        if cls.folder is not None and not hasattr(cls, "region"):
            cls.region = region_from_folder(cls.folder)
        return cls.region

    @classmethod
    def shops_there(cls) -> Market:
        """Return what shops look like there."""
        return cls.market or MARKETS[cls.subject().family]

    @classmethod
    def asked(cls) -> tuple[Question, ...]:
        """Return what plans of a few random shops ask it; asked once."""
        if cls not in cls._asked:
            cls._asked[cls] = questions(cls.subject(), cls.shops_there())
        return cls._asked[cls]

    @classmethod
    def plans(cls) -> tuple[Plan, ...]:
        """Return checked plans of random shops; planned once."""
        if cls not in cls._plans:
            engine, market = engine_with(cls.subject()), cls.shops_there()
            ours = (random_shop(seed, market, cls.subject().id) for seed in range(cls.shops))
            cls._plans[cls] = tuple(engine.plan(one) for one in ours)
        return cls._plans[cls]

    # structure

    def test_the_door_takes_it(self) -> None:
        """An engine takes it in without a word."""
        problems = engine_with(self.subject()).problems
        own = [one for one in problems if self.subject().id in one.path]
        claim_none(own, "the door refuses it")

    def test_its_editions_can_be_asked_for_and_no_other(self) -> None:
        """Each edition is to be had; another is a KeyError."""
        region = self.subject()
        claim(region.editions, "it names no edition")
        claim(region.edition in region.editions, f"{region.edition} is not among its editions")
        for edition in region.editions:
            found = region.in_edition(edition)
            claim(found.edition == edition, f"asked for {edition}, got {found.edition}")
            claim(found.id == region.id, f"edition {edition} has the id {found.id}")
            claim(edition in found.title, f"the title of {edition} is {found.title!r}")
        try:
            region.in_edition("no such edition")
        except KeyError:
            return
        claim(holds=False, otherwise="an edition that it has not is no KeyError")

    def test_it_has_the_words_that_reports_need(self) -> None:
        """Every term is stated, and is text."""
        terms = self.subject().terms
        claim_none([one for one in TERMS if not terms.get(one)], "terms that are missing")

    def test_supplies_of_its_market_exist_under_it_and_absurd_ones_do_not(self) -> None:
        """It knows the supplies of its country, and no other."""
        region, market = self.subject(), self.shops_there()
        stated = {"rating": "100 A", **market.supply}
        claim(region.includes(Supply(**stated)), f"it does not know {stated}")
        stated |= {"voltage": "900 V"}
        claim(not region.includes(Supply(**stated)), "it claims to know supplies of 900 V")

    # sources and tables

    def test_every_rule_says_where_it_stands(self) -> None:
        """Each rule has a document, and a clause unless it is mere practice."""
        rules = self.subject().rules
        claim(rules, "it has no rules")
        bare = [
            name
            for name, one in rules.items()
            if not one.document or not (one.clause or one.known == "practice")
        ]
        claim_none(bare, "rules without document or clause")
        clauses = getattr(self.subject(), "clauses", {}).values()
        claim_none(sorted(set(clauses) - set(rules)), "clauses that are none of its rules")

    def test_every_table_says_where_it_stands_and_in_which_units(self) -> None:
        """Each table states source, status and units."""
        lacking = [
            f"{table.id}: {head}"
            for table in self.subject().tables.values()
            for head in ("source", "status", "units")
            if not table.heads.get(head)
        ]
        claim_none(lacking, "heads that are missing")

    def test_tables_are_in_order(self) -> None:
        """Ampacities rise with size, factors fall with heat, nothing is missing or twice there."""
        region = self.subject()
        claim_none(region_faults(region), "tables that are not in order")
        claim_none([one.id for one in region.tables.values() if unsorted(one)], "unsorted rows")

    # answers

    def test_the_same_question_gets_the_same_answer(self) -> None:
        """In any order, asked of a fresh object too."""
        region = self.subject()
        fresh = region.in_edition(region.edition)
        wrong = [one.place for one in reversed(self.asked()) if one.again(region) != one.answer]
        claim_none(wrong, "answers that differ when asked again")
        wrong = [one.place for one in self.asked()[:40] if one.again(fresh) != one.answer]
        claim_none(wrong, "answers that differ from those of a fresh region")

    def test_it_leaves_question_and_process_as_they_were(self) -> None:
        """Questions are not changed, nothing is printed, opened, started or set."""
        before = [pickle.dumps(one[:4]) for one in self.asked()[:30]]
        with watched() as left:
            for one in self.asked()[:30]:
                one.again(self.subject())
        claim_none(left, "it leaves behind")
        after = [pickle.dumps(one[:4]) for one in self.asked()[:30]]
        claim(before == after, "it changed what it was asked")

    def test_answers_survive_pickling(self) -> None:
        """Answers can be sent between processes."""
        for one in self.asked()[:30]:
            sent = pickle.loads(pickle.dumps(one.answer))  # noqa: S301 - our own bytes
            claim(sent == one.answer, f"{one.place} is another one after pickling")

    def test_it_answers_in_time(self) -> None:
        """The median circuit is within the budget."""
        times = []
        for one in self.asked()[:60]:
            begun = time.perf_counter()
            one.again(self.subject())
            times.append(time.perf_counter() - begun)
        took = median(times)
        claim(took <= self.budget_s, f"a circuit takes {took:.3f} s, {self.budget_s} s are allowed")

    def test_it_sizes_circuits_of_every_kind(self) -> None:
        """Random shops lead to circuits, not to refusals alone."""
        sized = [one for one in self.asked() if one.answer.circuit is not None]
        claim(len(sized) * 2 > len(self.asked()), f"{len(sized)} of {len(self.asked())} are sized")
        roles = {one.demand.role for one in sized}
        claim({"branch", "supply"} <= roles, f"only these roles are sized: {sorted(roles)}")

    def test_a_circuit_that_is_refused_says_why(self) -> None:
        """No circuit, no silence."""
        silent = [
            one.place
            for one in self.asked()
            if one.answer.circuit is None
            and not any(finding.severity == "blocks" for finding in one.answer.findings)
        ]
        claim_none(silent, "refused without a finding that blocks")

    def test_every_number_has_its_step(self) -> None:
        """What a circuit states can be followed, back to tables and rules."""
        claim_none(self._unargued(), "numbers without an argument")

    def _unargued(self) -> Iterator[str]:
        region = self.subject()
        for one in self.asked():
            circuit = one.answer.circuit
            if circuit is None:
                continue
            yield from without_step(numbers(circuit, one.place), circuit.steps, one.place)
            yield from unsound_steps(circuit.steps, one.place)
            for step in circuit.steps:
                if step.rule and step.rule not in region.rules:
                    yield f"{step.path} names the rule {step.rule}, which it does not have"
                if step.table and step.table not in region.tables:
                    yield f"{step.path} reads the table {step.table}, which it does not have"

    def test_findings_name_rules_that_it_has(self) -> None:
        """A rule in a finding can be looked up."""
        region = self.subject()
        unknown = {
            f"{finding.code}: {finding.rule}"
            for one in self.asked()
            for finding in one.answer.findings
            if finding.rule and finding.rule not in region.rules
        }
        claim_none(sorted(unknown), "rules that it does not have")

    def test_conductors_bear_what_they_are_sized_for(self) -> None:
        """The ampacity here is at least the design current."""
        weak = [
            one.place
            for one in self.asked()
            if (circuit := one.answer.circuit) is not None
            and circuit.conductor.ampacity_a is not None
            and circuit.conductor.ampacity_a < circuit.design_current_a * (1.0 - 1e-9)
        ]
        claim_none(weak, "conductors below their design current")

    def test_a_longer_circuit_is_never_thinner(self) -> None:
        """Nothing becomes smaller by more length."""
        claim_none(self._thinner("longer", 2.5), "thinner when longer")

    def test_a_hotter_circuit_is_never_thinner(self) -> None:
        """Nothing becomes smaller by more heat."""
        claim_none(self._thinner("hotter", "55 degC"), "thinner when hotter")

    def test_a_drop_that_it_makes_binding_is_kept(self) -> None:
        """Where it states the largest drop, no circuit drops more, however long it is."""
        limits = getattr(self.subject(), "stated", {}).get("limits", {})
        most = limits.get("drop_fraction")
        claim_none([] if most is None else self._dropping(most), "drops above what is binding")

    def _dropping(self, most: float) -> Iterator[str]:
        for one in self.asked():
            for times in (1.0, 8.0):
                circuit = one.longer(self.subject(), times).circuit
                drop = None if circuit is None else circuit.voltage_drop_fraction
                if drop is not None and drop > most * (1.0 + 1e-9):
                    yield f"{one.place}, {times:g} times as long: {drop:.1%}"

    def _thinner(self, change: str, amount: object) -> Iterator[str]:
        for one in self.asked():
            changed: CircuitAnswer = getattr(one, change)(self.subject(), amount)
            if changed.circuit is None or one.answer.circuit is None:
                continue
            before = one.answer.circuit.conductor
            after = changed.circuit.conductor
            if after.count * after.area_mm2 < before.count * before.area_mm2 * (1.0 - 1e-9):
                yield f"{one.place}: {before.size} becomes {after.size}"

    def test_it_answers_whatever_it_is_asked(self) -> None:
        """Odd lengths and temperatures are refused or sized, never raised."""
        for one in self.asked()[:30]:
            for times in (0.0, 1e-6, 1e3):
                one.longer(self.subject(), times)
            for ambient in ("-40 degC", "59.5 degC", "89 degC"):
                one.hotter(self.subject(), ambient)

    # whole plans

    def test_plans_hold_when_checked_a_second_time(self) -> None:
        """The independent check finds no breach in random shops."""
        breaches = [
            f"{plan.shop.name}: {one.code} {one.rule} {said(one)}"
            for plan in self.plans()
            for one in plan.checks or ()
            if one.severity != "info"
        ]
        claim_none(breaches, "the independent check objects")

    def test_some_random_shops_can_be_done(self) -> None:
        """A region that refuses every shop sizes nothing."""
        done = sum(plan.verdict != "not-feasible" for plan in self.plans())
        claim(done * 4 >= len(self.plans()), f"{done} of {len(self.plans())} shops can be done")

    def test_a_code_on_tables_of_its_family_says_so_in_every_plan(self) -> None:
        """What is not the standard itself is never taken for it."""
        if not lies_on_its_family(self.subject()):
            return
        silent = [
            plan.shop.name
            for plan in self.plans()
            if any(option.circuits for option in plan.options)
            and not any(one.code == "region.rebased" for one in plan.assumptions)
        ]
        claim_none(silent, "plans that do not say that the tables are those of the family")

    def test_reports_use_its_name(self) -> None:
        """The report of a plan names code and edition."""
        plan = self.plans()[0]
        claim(self.subject().title in plan.report("text"), "the report does not name the code")

    def test_golden_shops(self) -> None:
        """Plans of stated shops say what their author worked out.

        Planned in every way there is, too, they hold when checked a second time, and their reports
        name the code.
        """
        claim_none(self._off_gold(), "golden shops")

    def _off_gold(self) -> Iterator[str]:
        engine = engine_with(self.subject())
        for path, expected in self.golden.items():
            ways = expected.get("methods")
            plan = engine.plan(load_shop(path), region=self.subject().id, methods=ways)
            for place, wanted in expected.items():
                if place == "methods":
                    continue
                found = stated_at(plan, place)
                if found != wanted:
                    yield f"{Path(path).name}: {place} is {found!r}, not {wanted!r}"
            whole = engine.plan(load_shop(path), region=self.subject().id)
            for one in whole.checks or ():
                if one.severity != "info":
                    yield f"{Path(path).name}: {one.code} {said(one)}"
            if self.subject().title not in whole.report("text"):
                yield f"{Path(path).name}: the report does not name the code"


def lies_on_its_family(region: Region) -> bool:
    """Tell whether a region takes tables from its family."""
    layers = getattr(region, "layers", None)
    return bool(getattr(layers, "said", ()))


def said(finding: Any) -> str:  # noqa: ANN401 - a finding of any kind
    """Return the parameters of a finding on one line."""
    return ", ".join(f"{one.name}={one.value}" for one in finding.parameters)


def stated_at(plan: Plan, place: str) -> object:
    """Return what *plan* says at a *place*.

    Args:
        plan: The plan.
        place: ``verdict``, ``best``, ``findings`` (the codes), ``machine <id>`` (its method), or
            ``circuit <id> <attribute path>`` of the best option.
    """
    words = place.split()
    best = plan.best
    if words[0] == "verdict":
        return plan.verdict
    if words[0] == "findings":
        every = [*plan.findings, *(best.findings if best else ())]
        return sorted({one.code for one in every})
    if best is None:
        return None
    if words[0] == "best":
        return best.id
    if words[0] == "machine":
        return best.assignment.get(words[1])
    value: object = next((one for one in best.circuits if one.id == words[1]), None)
    for name in words[2].split("."):
        value = value[int(name)] if isinstance(value, tuple) else getattr(value, name, None)
    return value
