"""The independent check at length: 2,000 random shops without a breach, planted faults found.

Run with ``pytest benchmarks/test_verification.py -s``. Numbers of runs can be set in the
environment: ``AMPWRIGHT_SHOPS`` and ``AMPWRIGHT_FAULTY_SHOPS``.
"""

import os
import statistics
import time
from collections import Counter

from tests.verification.measured import measured
from tests.verification.random_shops import random_shop

import ampwright as aw

SHOPS = int(os.environ.get("AMPWRIGHT_SHOPS", "2000"))
FAULTY = int(os.environ.get("AMPWRIGHT_FAULTY_SHOPS", "40"))
LEAST, GOAL_S = 0.995, 0.040


def test_random_shops_have_no_breach() -> None:
    objections: Counter[tuple[str, str]] = Counter()
    examples: dict[tuple[str, str], tuple[int, object]] = {}
    for seed in range(SHOPS):
        for one in aw.plan(random_shop(seed)).checks or ():
            if one.severity != "info":
                said = {part.name: part.value for part in one.parameters}
                objections[one.code, one.rule] += 1
                examples.setdefault((one.code, one.rule), (seed, said.get("path")))
    print(f"\n{SHOPS} shops, objections: {dict(objections)}, first of each: {examples}")
    assert not objections


def test_planted_faults_are_found() -> None:
    tally = measured(range(5000, 5000 + FAULTY), sizes=80, steps=80, cells=40)
    for kind, count in sorted(tally.planted.items()):
        print(f"{kind:35} {count:6} planted, {tally.missed[kind]:4} missed")
    print(f"share found: {tally.share:.5f}")
    assert tally.share >= LEAST


def test_the_check_is_fast() -> None:
    shop = aw.load_shop("docs/examples/quarry-lane.toml")
    plan = aw.plan(shop)
    times = []
    for _ in range(15):
        start = time.process_time()
        aw.verify(plan)
        times.append(time.process_time() - start)
    median = statistics.median(times)
    print(f"verify: {median * 1e3:.1f} ms of one core")
    assert median < GOAL_S
