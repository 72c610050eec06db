"""P. Pillay, M. Manyage, Definitions of voltage unbalance, IEEE Power Engineering Review 21 (2001).

The table that compares the definitions: 2 % by the largest deviation of a line voltage can be 2 to
2.3 % by negative over positive sequence. Status: this row seen on a public page that reproduces
the paper; 5 % against 5 to 5.8 % from memory.
"""

import random
from collections.abc import Callable

import pytest

from ampwright.kernels.unbalance import deviation_unbalance, negative_sequence_unbalance

Check = Callable[..., None]


@pytest.mark.parametrize(
    ("deviation", "least", "greatest"), [(0.02, 0.02, 0.023), (0.05, 0.05, 0.058)]
)
def test_range_of_sequence_ratio(
    deviation: float, least: float, greatest: float, printed: Check
) -> None:
    ratios = []
    chance = random.Random(20010512)  # noqa: S311 - a sample, no secret
    for _ in range(4000):
        # one line is off by the whole deviation, the others share the opposite amount
        off, part = chance.choice((-1.0, 1.0)) * deviation, chance.uniform(0.0, 1.0)
        lines = (1.0 + off, 1.0 - off * part, 1.0 - off * (1.0 - part))
        assert deviation_unbalance(*lines) == pytest.approx(deviation, rel=1e-12)
        ratios.append(negative_sequence_unbalance(*lines))
    printed(f"least ratio at {deviation:.0%}", least, min(ratios), "", within=0.0011)
    printed(f"greatest ratio at {deviation:.0%}", greatest, max(ratios), "", within=0.0006)
