"""What the planner relies on in a conversion method, as tests to inherit."""

import pickle
import time
from collections.abc import Iterator, Sequence
from itertools import pairwise
from statistics import median
from typing import Any, ClassVar

from ampwright.case import Case, MachineCase
from ampwright.conformance.claims import claim, claim_none
from ampwright.conformance.offering import Offering
from ampwright.conformance.shops import NORTH_AMERICA, Market, ladder, random_shop
from ampwright.conformance.surroundings import watched
from ampwright.conformance.walking import numbers, unsound_steps, without_step
from ampwright.engine import Engine
from ampwright.guard.answers import impossible
from ampwright.method import ConversionMethod, Proposal, Refusal
from ampwright.planning.bounds import bounded
from ampwright.planning.intake import intake
from ampwright.records.shop import Shop
from ampwright.report.wording import mistranslated
from ampwright.result import Plan
from ampwright.step import HERE


class MethodContract:
    """What the planner relies on; set ``method`` in the subclass.

    Attributes:
        method: The method.
        market: What shops look like where the method is asked.
        region: Region that whole plans are made under.
        served: Machines, as a shop file states them, of which it serves each alone; by default
            machines with one motor each, from small to large.
        cases: How many random shops it is asked about.
        shops: How many whole plans are made and checked.
        budget_s: Time that one answer may take, as the median of many [s].
    """

    method: ClassVar[ConversionMethod]
    market: ClassVar[Market] = NORTH_AMERICA
    region: ClassVar[str] = "us"
    served: ClassVar[Sequence[dict[str, Any]] | None] = None
    cases: ClassVar[int] = 10
    shops: ClassVar[int] = 12
    budget_s: ClassVar[float] = 0.5

    _cases: ClassVar[dict[type, tuple[Case, ...]]] = {}
    _plans: ClassVar[dict[type, tuple[Plan, ...]]] = {}

    # what the tests below share

    @classmethod
    def _ladder(cls) -> Sequence[dict[str, Any]]:
        if cls.served is not None:
            return cls.served
        return ladder(cls.market)

    @classmethod
    def _shop(cls, *machines: dict[str, Any]) -> Shop:
        supply = {"rating": "200 A", "fault_current": "4 kA", **cls.market.supply}
        return Shop.from_dict({"region": cls.region, "supply": supply, "machines": list(machines)})

    @classmethod
    def _alone(cls) -> Sequence[tuple[Case, MachineCase]]:
        """Return each machine that it serves, in a shop of its own."""
        made = [intake(cls._shop(one), bounded(None)) for one in cls._ladder()]
        return [(case, case.machines[0]) for case in made]

    @classmethod
    def _random(cls) -> tuple[Case, ...]:
        if cls not in cls._cases:
            ours = (random_shop(seed, cls.market, cls.region) for seed in range(cls.cases))
            cls._cases[cls] = tuple(intake(one, bounded(None)) for one in ours)
        return cls._cases[cls]

    @classmethod
    def _engine(cls) -> Engine:
        """Return an engine that has the method, in the place of an installed one of the same id."""
        plugin = Offering(methods=(cls.method,))
        return Engine(plugins=[plugin], block=[f"method-{cls.method.id}"])

    @classmethod
    def _planned(cls) -> tuple[Plan, ...]:
        """Return checked plans of the machines that it serves, alone and together."""
        if cls not in cls._plans:
            engine = cls._engine()
            rungs = list(cls._ladder())[: cls.shops]
            ours = [cls._shop(one) for one in rungs]
            ours += [cls._shop(*pair) for pair in pairwise(rungs)]
            plans = (engine.plan(one, methods=[cls.method.id]) for one in ours[: cls.shops])
            cls._plans[cls] = tuple(plans)
        return cls._plans[cls]

    @classmethod
    def _answers(cls) -> Iterator[tuple[Case, Sequence[MachineCase], Proposal | Refusal]]:
        """Yield what it answers about every machine of the random shops and about those served."""
        for case in cls._random():
            for one in case.machines:
                yield case, (one,), cls.method.answer(case, (one,))
            if cls.method.shared:
                yield case, case.machines, cls.method.answer(case, case.machines)
        for case, one in cls._alone():
            yield case, (one,), cls.method.answer(case, (one,))

    @classmethod
    def _proposals(cls) -> Iterator[tuple[Case, Proposal]]:
        for case, _, answer in cls._answers():
            if isinstance(answer, Proposal):
                yield case, answer

    # structure

    def test_the_door_takes_it(self) -> None:
        """An engine takes it in without a word."""
        engine = self._engine()
        claim(self.method.id in engine.methods(), f"no {self.method.id} in {engine.problems}")
        own = [one for one in engine.problems if one.path == Offering().__name__]
        claim_none(own, "the door complains")

    def test_its_translations_have_the_parameters_of_its_english_texts(self) -> None:
        """A text in another language says the same figures, and translates one that is there."""
        texts = getattr(self.method, "texts", None) or {}
        claim_none(mistranslated(texts), "texts that want other parameters than the English ones")

    # answers

    def test_no_machines_are_refused(self) -> None:
        """Asked about nothing, it refuses."""
        case = self._random()[0]
        claim(isinstance(self.method.answer(case, ()), Refusal), "it proposes for no machine")

    def test_a_method_for_one_machine_refuses_two(self) -> None:
        """What is not shared serves one machine at a time."""
        if self.method.shared:
            return
        for case in self._random():
            if len(case.machines) > 1:
                answer = self.method.answer(case, case.machines[:2])
                claim(isinstance(answer, Refusal), "it is not shared and serves two machines")

    def test_it_serves_each_machine_of_its_ladder(self) -> None:
        """There are machines that it is for: all that are stated, else one at least."""
        refused = [
            f"{one.id}: {[reason.code for reason in answer.reasons]}"
            for case, one in self._alone()
            if isinstance(answer := self.method.answer(case, (one,)), Refusal)
        ]
        if self.served is None and len(refused) < len(self._ladder()):
            return
        claim_none(refused, "machines that it should serve and refuses")

    def test_answers_are_about_what_was_asked_and_refusals_have_reasons(self) -> None:
        """Ids come back as they were asked, and no refusal is silent."""
        claim_none(self._beside(), "answers beside the question")

    def _beside(self) -> Iterator[str]:
        for case, machines, answer in self._answers():
            names = tuple(one.id for one in machines)
            if answer.method != self.method.id or answer.machines != names:
                yield f"{case.shop.name} {names}: answer of {answer.method} for {answer.machines}"
            if isinstance(answer, Refusal):
                if not answer.reasons:
                    yield f"{case.shop.name} {names}: refused without a reason"
                for reason in answer.reasons:
                    if not set(reason.where) & set(names):
                        yield f"{case.shop.name} {names}: {reason.code} names none of them"

    def test_the_same_question_gets_the_same_answer(self) -> None:
        """In any order."""
        first = list(self._answers())
        for case, machines, answer in reversed(first):
            again = self.method.answer(case, machines)
            claim(again == answer, f"{case.shop.name}: another answer when asked again")

    def test_it_leaves_question_and_process_as_they_were(self) -> None:
        """Cases are not changed, nothing is printed, opened, started or set."""
        before = [repr(case) for case in self._random()]
        with watched() as left:
            for case in self._random():
                for one in case.machines:
                    self.method.answer(case, (one,))
        claim_none(left, "it leaves behind")
        claim(before == [repr(case) for case in self._random()], "it changed what it was asked")

    def test_method_and_answers_survive_pickling(self) -> None:
        """They can be sent between processes."""
        sent = pickle.loads(pickle.dumps(self.method))  # noqa: S301 - our own bytes
        claim(sent.id == self.method.id, "the method is another one after pickling")
        for case, one in self._alone():
            answer = self.method.answer(case, (one,))
            again = pickle.loads(pickle.dumps(answer))  # noqa: S301 - our own bytes
            claim(again == answer, "an answer is another one after pickling")
            claim(sent.answer(case, (one,)) == answer, "the pickled method answers otherwise")

    def test_it_answers_in_time(self) -> None:
        """The median answer is within the budget."""
        times = []
        for case, one in self._alone():
            begun = time.perf_counter()
            self.method.answer(case, (one,))
            times.append(time.perf_counter() - begun)
        took = median(times)
        claim(took <= self.budget_s, f"an answer takes {took:.3f} s, {self.budget_s} s are allowed")

    # numbers

    def test_every_number_has_its_step(self) -> None:
        """What a proposal states can be followed."""
        claim_none(self._unargued(), "numbers without an argument")

    def _unargued(self) -> Iterator[str]:
        for case, one in self._proposals():
            known = {step.path for step in case.steps}
            stated = (
                (path, value)
                for path, value in numbers(one, HERE)
                if not path.startswith(f"{HERE}/demands/")
            )  # what is asked is not yet said
            yield from without_step(stated, one.steps)
            yield from unsound_steps(one.steps)
            for step in one.steps:
                yield from (f"{step.path} builds on {path}, which is no step of the shop"
                            for _, path in step.inputs
                            if path.startswith("shop/") and path not in known)  # fmt: skip

    def test_no_more_comes_out_than_goes_in(self) -> None:
        """Power drawn covers shafts and losses; factors and unbalance are within their bounds."""
        wrong = [
            f"{case.shop.name}, {state.id}: {fault}"
            for case, one in self._proposals()
            for state in one.states
            for fault in impossible(state, {machine.id for machine in case.machines})
        ]
        claim_none(wrong, "states that cannot be")

    def test_a_larger_machine_never_needs_a_smaller_converter(self) -> None:
        """Ratings and currents rise with the machines of the ladder."""
        last: tuple[float, float] = (0.0, 0.0)
        for case, one in self._alone():
            answer = self.method.answer(case, (one,))
            if isinstance(answer, Refusal) or not answer.converters:
                continue
            made = answer.converters[0]
            size = (made.rating_w or made.rating_va or 0.0, made.input_current_a)
            claim(size >= last, f"{one.id} needs {size}, the smaller one before it {last}")
            last = size

    # whole plans

    def test_it_reaches_ranking_and_report_like_a_built_in(self) -> None:
        """Plans use it, name it, and survive being stored."""
        used = 0
        for plan in self._planned():
            stored = Plan.from_json(plan.to_json())
            claim(stored == plan, f"{plan.id} is another plan after it was stored")
            if plan.options and self.method.id in plan.options[0].assignment.values():
                used += 1
                plan.report("markdown")
        claim(used, "no plan uses the method")

    def test_plans_hold_when_checked_a_second_time(self) -> None:
        """The independent check finds no breach."""
        breaches = [
            f"{[one.id for one in plan.shop.machines]}: {one.code} {one.rule} "
            + ", ".join(f"{part.name}={part.value}" for part in one.parameters)
            for plan in self._planned()
            for one in plan.checks or ()
            if one.severity != "info"
        ]
        claim_none(breaches, "the independent check objects")

    def test_it_never_fails_behind_a_refusal(self) -> None:
        """No finding of a whole plan says that the method raised."""
        failed = [
            str(one.parameters)
            for plan in self._planned()
            for one in plan.findings
            if one.code == "plugin.failed"
        ]
        claim_none(failed, "the method raised")
