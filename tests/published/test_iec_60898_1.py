"""IEC 60898-1, time-current operating characteristics of circuit-breakers, table 7.

Status: 1.13, 1.45 and the instantaneous bands seen on a public web page; 2.55 times (1 to 60 s up
to 32 A, 1 to 120 s above) from memory, high; check against the standard.
"""

import math
from collections.abc import Callable

import pytest

from ampwright.kernels.protection import breaker_band, trip_time_s

Check = Callable[..., None]


@pytest.mark.parametrize(
    ("rating_a", "slowest_s", "hours"), [(16, 60, 1), (40, 120, 1), (80, 120, 2)]
)
@pytest.mark.parametrize(("curve", "low", "high"), [("B", 3, 5), ("C", 5, 10), ("D", 10, 20)])
def test_points(
    curve: str,
    low: float,
    high: float,
    rating_a: float,
    slowest_s: float,
    hours: int,
    printed: Check,
) -> None:
    band = breaker_band(curve, rating_a)
    where = f"{curve}{rating_a}"
    assert (band.instant_low, band.instant_high) == (low, high)
    assert trip_time_s(band.early, 1.13, 0.0) == math.inf
    printed(f"{where}, 2.55 x, earliest", 1.0, trip_time_s(band.early, 2.55, 0.0), "s", within=1e-9)
    printed(
        f"{where}, 2.55 x, latest", slowest_s, trip_time_s(band.late, 2.55, 0.0), "s", within=1e-6
    )
    printed(f"{where}, 1.45 x", hours, trip_time_s(band.late, 1.45, 0.0) / 3600, "", within=1e-4)
