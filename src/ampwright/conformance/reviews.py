"""What the planner relies on in a house rule, as tests to inherit."""

import re
from typing import ClassVar

from ampwright.conformance.claims import claim, claim_none
from ampwright.conformance.offering import Offering
from ampwright.conformance.shops import NORTH_AMERICA, Market, random_shop
from ampwright.conformance.surroundings import watched
from ampwright.engine import Engine
from ampwright.finding import Finding
from ampwright.records.shop import Shop
from ampwright.result import Plan
from ampwright.review import Review

_CODE = re.compile(r"[a-z0-9-]+\.[a-z0-9-]+")


class ReviewContract:
    """What the planner relies on; set ``house_rule`` in the subclass.

    Attributes:
        house_rule: The house rule.
        market: What shops look like where it holds.
        region: Region of their plans.
        noticed: A shop that it has something to say about; ``None``: none is known.
        shops: How many plans it looks at.
    """

    house_rule: ClassVar[Review]
    market: ClassVar[Market] = NORTH_AMERICA
    region: ClassVar[str] = "us"
    noticed: ClassVar[Shop | None] = None
    shops: ClassVar[int] = 10

    _plans: ClassVar[dict[type, tuple[Plan, ...]]] = {}

    @classmethod
    def _planned(cls) -> tuple[Plan, ...]:
        if cls not in cls._plans:
            ours = [random_shop(seed, cls.market, cls.region) for seed in range(cls.shops)]
            ours += [cls.noticed] if cls.noticed is not None else []
            cls._plans[cls] = tuple(Engine().plan(one, check=False) for one in ours)
        return cls._plans[cls]

    def test_the_door_takes_it(self) -> None:
        """An engine takes it in without a word."""
        plugin = Offering(reviews=(self.house_rule,))
        engine = Engine(plugins=[plugin], block=[f"review-{self.house_rule.id}"])
        own = [one for one in engine.problems if one.path == plugin.name]
        claim_none(own, "the door complains")

    def test_it_answers_with_findings_of_an_area_and_a_severity(self) -> None:
        """Whatever the plan, the answer is a sequence of findings."""
        for plan in self._planned():
            for one in self.house_rule.review(plan):
                claim(isinstance(one, Finding), f"{one!r} is no finding")
                claim(_CODE.fullmatch(one.code), f"the code {one.code!r} is not area.slug")

    def test_the_same_plan_gets_the_same_answer(self) -> None:
        """In any order."""
        first = [tuple(self.house_rule.review(plan)) for plan in self._planned()]
        again = [tuple(self.house_rule.review(plan)) for plan in reversed(self._planned())]
        claim(first == again[::-1], "another answer when asked again")

    def test_it_leaves_plan_and_process_as_they_were(self) -> None:
        """Plans are not changed, nothing is printed, opened, started or set."""
        before = [plan.to_json() for plan in self._planned()]
        with watched() as left:
            for plan in self._planned():
                self.house_rule.review(plan)
        claim_none(left, "it leaves behind")
        claim(before == [plan.to_json() for plan in self._planned()], "it changed a plan")

    def test_it_notices_what_it_is_for(self) -> None:
        """It has something to say about the shop that its author names."""
        if self.noticed is not None:
            claim(self.house_rule.review(self._planned()[-1]), "it says nothing about that shop")
