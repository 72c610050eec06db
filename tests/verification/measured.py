"""Counts how many planted faults the check finds."""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from random import Random
from typing import Any

import attrs
from tests.verification import iec_shops
from tests.verification.planted import Fault, cell_fault, is_found, step_fault
from tests.verification.planted_iec import iec_faults
from tests.verification.planted_nec import size_faults
from tests.verification.random_shops import random_shop

import ampwright as aw
from ampwright.engine import default
from ampwright.tables import Table
from ampwright.verification.verify import verify

Sizes = Callable[[aw.Decision, Mapping[str, Table], Mapping[str, Any]], Iterator[Fault]]


@attrs.frozen
class Family:
    """How plans of one family of codes are made and spoilt.

    Attributes:
        region: Region of the family.
        shop: Makes a random shop from a seed.
        sizes: Yields every fault of one size in a plan.
    """

    region: str
    shop: Callable[[int], aw.Shop]
    sizes: Sizes

    def code(self, plan: aw.Plan) -> tuple[Mapping[str, Table], Mapping[str, Any]]:
        """Return the tables of the code of a plan, and what it states beside them."""
        code = default().regions()[self.region].in_edition(plan.region.edition)
        return code.tables, getattr(code, "stated", {})


NEC = Family("us", random_shop, lambda plan, tables, _: size_faults(plan, tables))
IEC = Family("iec", iec_shops.random_shop, iec_faults)


class Tally:
    """What was planted and what of it was missed, by kind of fault."""

    def __init__(self) -> None:
        self.planted: Counter[str] = Counter()
        self.missed: Counter[str] = Counter()
        self.examples: list[str] = []

    @property
    def share(self) -> float:
        """Share of the faults that were found, each kind of fault weighing as much as another."""
        shares = [1 - self.missed[kind] / count for kind, count in self.planted.items()]
        return sum(shares) / len(shares)

    def count(
        self, fault: Fault, before: set[aw.Finding], stated: Mapping[str, Any] | None = None
    ) -> None:
        """Check the plan with *fault*; what was objected *before* does not count."""
        kind = fault.kind
        self.planted[kind] += 1
        found = tuple(
            one for one in verify(fault.decision, fault.tables, stated) if one not in before
        )
        if not is_found(fault, found):
            self.missed[kind] += 1
            self.examples.append(fault.name)


def faults_of(
    family: Family, seed: int, random: Random, *, sizes: int, steps: int, cells: int
) -> Iterator[tuple[Fault, set[aw.Finding], Mapping[str, Any]]]:
    """Yield faults of each kind in the plan of one random shop, with what it had against it."""
    plan = aw.plan(family.shop(seed), check=False)
    tables, stated = family.code(plan)
    before = set(verify(plan, tables, stated))
    planted = list(family.sizes(plan, tables, stated))
    random.shuffle(planted)
    for fault in planted[:sizes]:
        yield fault, before, stated
    for _ in range(steps):
        yield step_fault(plan, tables, random), before, stated
    for _ in range(cells):
        cell = cell_fault(plan, tables, random)
        if cell is not None:
            yield cell, before, stated


def measured(seeds: range, *, sizes: int, steps: int, cells: int, family: Family = NEC) -> Tally:
    """Plant faults in the plans of random shops and count."""
    tally, random = Tally(), Random(20260)  # noqa: S311 - faults, not secrets
    for seed in seeds:
        made = faults_of(family, seed, random, sizes=sizes, steps=steps, cells=cells)
        for fault, before, stated in made:
            tally.count(fault, before, stated)
    return tally
