"""The independent check at length: 2,000 random shops a family without a breach, faults found.

Run with ``pytest benchmarks/test_verification.py -s``. Numbers of runs can be set in the
environment: ``AMPWRIGHT_SHOPS`` and ``AMPWRIGHT_FAULTY_SHOPS``; countries of the IEC family share
the shops of one more run.
"""

import os
import statistics
import time
from collections import Counter
from collections.abc import Iterable

import pytest
from tests.verification import iec_shops
from tests.verification.measured import IEC, NEC, Family, measured
from tests.verification.test_random_shops import COUNTRIES, engine, objections

import ampwright as aw

SHOPS = int(os.environ.get("AMPWRIGHT_SHOPS", "2000"))
FAULTY = int(os.environ.get("AMPWRIGHT_FAULTY_SHOPS", "40"))
#: The countries on the tables of the IEC family whose supplies the random shops have.
EVERY = (*COUNTRIES, "ie", "in", "nz", "za")
LEAST, GOAL, ROUNDS = 0.995, 0.25, 9


def counted(plans: Iterable[aw.Plan]) -> Counter[tuple[object, ...]]:
    """Return what is objected to in plans, by region, code and rule; print the first of each."""
    found: Counter[tuple[object, ...]] = Counter()
    first: dict[tuple[object, ...], tuple[object, ...]] = {}
    number = 0
    for plan in plans:
        number += 1
        for name, region, code, rule, path in objections(plan):
            found[region, code, rule] += 1
            first.setdefault((region, code, rule), (name, path))
    print(f"\n{number} shops, objections: {dict(found)}, first of each: {first}")
    return found


@pytest.mark.parametrize("family", [NEC, IEC], ids=lambda one: one.region)
def test_random_shops_have_no_breach(family: Family) -> None:
    assert not counted(aw.plan(family.shop(seed)) for seed in range(SHOPS))


def test_random_shops_under_countries_of_the_iec_family_have_no_breach() -> None:
    seeds = range(10_000, 10_000 + SHOPS)
    shops = (iec_shops.random_shop(seed, EVERY) for seed in seeds)
    assert not counted(engine(EVERY).plan(one) for one in shops)


@pytest.mark.parametrize("family", [NEC, IEC], ids=lambda one: one.region)
def test_planted_faults_are_found(family: Family) -> None:
    tally = measured(range(5000, 5000 + FAULTY), sizes=80, steps=80, cells=40, family=family)
    for kind, count in sorted(tally.planted.items()):
        print(f"{kind:35} {count:6} planted, {tally.missed[kind]:4} missed")
    print(f"share found: {tally.share:.5f}")
    assert tally.share >= LEAST


@pytest.mark.parametrize(
    ("name", "shop"),
    [
        ("quarry-lane", aw.load_shop("docs/examples/quarry-lane.toml")),
        ("four machines on one phase", iec_shops.random_shop(35)),
    ],
)
def test_the_check_costs_a_part_of_reading_the_plan(name: str, shop: aw.Shop) -> None:
    """Both grow with the plan; they are taken in turn, so that a busy machine hits both."""
    plan = aw.plan(shop, check=False)
    text = plan.to_json()
    parts = {"check": lambda: aw.verify(plan), "read": lambda: aw.Plan.from_json(text)}
    shares = []
    for number in range(ROUNDS + 1):
        spent = {}
        for part, work in parts.items():
            start = time.process_time()
            work()
            spent[part] = time.process_time() - start
        if number:  # the first round loads what both need
            shares.append(spent["check"] / spent["read"])
    low, median, high = statistics.quantiles(shares, n=4)
    print(f"check of {name}: {median:.3f} ({low:.3f} to {high:.3f}) of reading it")
    assert median < GOAL
