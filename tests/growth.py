"""How the work of a call grows with its input, told by processor time, never by a clock."""

import time
from collections.abc import Callable

ROUNDS = 5


def growth(small: Callable[[], object], large: Callable[[], object]) -> float:
    """Return how many times the work of *small* the work of *large* is.

    Both are done in turn, several times, and the least of each counts, so that a busy machine hits
    neither more than the other.
    """
    least = [float("inf"), float("inf")]
    for _ in range(ROUNDS):
        for place, work in enumerate((small, large)):
            begin = time.process_time_ns()
            work()
            least[place] = min(least[place], time.process_time_ns() - begin)
    return least[1] / least[0]
