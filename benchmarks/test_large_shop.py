"""Forty machines planned, over the time of one: at most sixty times.

Two shops of forty: one that states nothing of what runs at once, so that everything does and the
supply bears it only in turn; one where two machines run at a time. Each is planned in turn with one
machine alone, in processes of their own, so that nothing is remembered from an earlier plan: the
processor time of ``plan`` is compared, after a small shop of another voltage has made everything be
loaded.
"""

import statistics
import subprocess
import sys

import pytest

MOST = 60.0
ROUNDS = 3
JOB = """
import sys, time
import ampwright as aw
from scipy.optimize import milp

POWERS = ("1 hp", "2 hp", "3 hp", "5 hp", "7.5 hp", "1.5 hp", "0.75 hp", "10 hp")

def shop(count, volts, **more):
    machines = [
        {"id": f"m{n:02}", "length": f"{5 + n} m",
         "motors": [{"power": POWERS[n % 8], "voltage": f"{volts - 10} V", "frequency": "60 Hz"}]}
        for n in range(count)
    ]
    supply = {"arrangement": "split-phase", "voltage": f"{volts} V", "frequency": "60 Hz",
              "rating": "200 A"}
    return aw.Shop.from_dict({"region": "us", "supply": supply, "machines": machines, **more})

pairs = [[f"m{n:02}", f"m{n + 1:02}"] for n in range(0, 40, 2)]
shops = {
    "one": shop(1, 240), "everything": shop(40, 240), "pairs": shop(40, 240, together=pairs),
}
aw.plan(shop(2, 230), check=False)
begin = time.process_time()
plan = aw.plan(shops[sys.argv[1]], check=False)
assert plan.best is not None
print(time.process_time() - begin)
"""


def planned(name: str) -> float:
    """Return the processor time of one plan in a process of its own [s]."""
    found = subprocess.run(  # noqa: S603 - our own code
        [sys.executable, "-c", JOB, name], check=True, capture_output=True, text=True
    )
    return float(found.stdout)


@pytest.mark.parametrize("name", ["everything", "pairs"])
def test_forty_machines_take_at_most_sixty_times_as_long_as_one(name: str) -> None:
    times = []
    for _ in range(ROUNDS):
        one, forty = planned("one"), planned(name)
        times.append(forty / one)
        print(f"{name}: {1e3 * forty:.0f} ms over {1e3 * one:.1f} ms = {forty / one:.1f}")
    assert statistics.median(times) <= MOST
