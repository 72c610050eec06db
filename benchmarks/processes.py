"""Whole processes side by side: their times, each over that of a yardstick run in turn with it."""

import os
import statistics
import subprocess
import sys
import time
from collections.abc import Mapping

import attrs

YARDSTICK = "import attrs, pluggy"
ROUNDS = 11


@attrs.frozen
class Spread:
    """Median and quartiles."""

    low: float
    median: float
    high: float

    def __str__(self) -> str:
        return f"{self.median:7.2f} ({self.low:.2f} to {self.high:.2f})"


def spread(values: list[float]) -> Spread:
    """Return median and quartiles of *values*."""
    return Spread(*statistics.quantiles(values, n=4))


def run(code: str) -> float:
    """Return how long a fresh process takes that runs *code* [s], byte code on disk allowed."""
    around = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    begin = time.perf_counter()
    subprocess.run([sys.executable, "-c", code], env=around, check=True)  # noqa: S603 - our own code
    return time.perf_counter() - begin


def compared(jobs: Mapping[str, str]) -> dict[str, Spread]:
    """Return for each job the times over those of the yardstick, and print them.

    Every round runs the yardstick and each job once, so that a disturbed machine hits all of them;
    a round before, which writes byte code and warms the file cache, does not count.
    """
    spent: dict[str, list[float]] = {name: [] for name in ("yardstick", *jobs)}
    for number in range(ROUNDS + 1):
        for name, code in (("yardstick", YARDSTICK), *jobs.items()):
            seconds = run(code)
            if number:
                spent[name].append(seconds)
    base = spent["yardstick"]
    print(f"\n{YARDSTICK}: {spread([1e3 * one for one in base])} ms")
    found = {}
    for name in jobs:
        found[name] = spread([one / yard for one, yard in zip(spent[name], base, strict=True)])
        print(f"{name}: {spread([1e3 * one for one in spent[name]])} ms, {found[name]} times")
    return found
