"""Counts how many planted faults the check finds."""

from collections import Counter
from collections.abc import Iterator
from random import Random

from tests.verification.planted import Fault, cell_fault, is_found, size_faults, step_fault
from tests.verification.random_shops import random_shop

import ampwright as aw
from ampwright.engine import default
from ampwright.verification.verify import verify


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

    def count(self, fault: Fault, before: set[aw.Finding]) -> None:
        """Check the plan with *fault*; what was objected *before* does not count."""
        kind = fault.kind
        self.planted[kind] += 1
        found = tuple(one for one in verify(fault.decision, fault.tables) if one not in before)
        if not is_found(fault, found):
            self.missed[kind] += 1
            self.examples.append(fault.name)


def faults_of(seed: int, random: Random, *, sizes: int, steps: int, cells: int) -> Iterator[
    tuple[Fault, set[aw.Finding]]
]:  # fmt: skip
    """Yield faults of each kind in the plan of one random shop, with what it had against it."""
    plan = aw.plan(random_shop(seed), check=False)
    tables = default().regions()["us"].in_edition(plan.region.edition).tables
    before = set(verify(plan, tables))
    planted = list(size_faults(plan, tables))
    random.shuffle(planted)
    for fault in planted[:sizes]:
        yield fault, before
    for _ in range(steps):
        yield step_fault(plan, tables, random), before
    for _ in range(cells):
        cell = cell_fault(plan, tables, random)
        if cell is not None:
            yield cell, before


def measured(seeds: range, *, sizes: int, steps: int, cells: int) -> Tally:
    """Plant faults in the plans of random shops and count."""
    tally, random = Tally(), Random(20260)  # noqa: S311 - faults, not secrets
    for seed in seeds:
        for fault, before in faults_of(seed, random, sizes=sizes, steps=steps, cells=cells):
            tally.count(fault, before)
    return tally
