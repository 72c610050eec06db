"""A motor protection relay's instruction manual, figure 5-14: derating for unbalanced voltage.

With an inrush of six times rated current and a negative-sequence impedance of 0.167, 1 to 5 %
unbalance give 6 to 30 % of unbalanced current, and the curve of its heating current
I sqrt(1 + k (I2 / I1)^2) with k = 8 "is almost identical to the NEMA derating curve". Status: seen
on a public page that reproduces the manual.
"""

import math
from collections.abc import Callable

import pytest

from ampwright.kernels.thermal import unbalance_derating

Check = Callable[..., None]


@pytest.mark.parametrize("percent", [1, 2, 3, 4, 5])
def test_figure_5_14(percent: int, printed: Check) -> None:
    theirs = 1.0 / math.sqrt(1.0 + 8.0 * (percent * 0.06) ** 2)
    ours = unbalance_derating(percent / 100, "nema")
    printed(f"derating at {percent} %", theirs, ours, "", within=0.016)
