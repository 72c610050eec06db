"""UL 489, calibration of inverse-time molded-case breakers: 135 and 200 per cent of rating.

Status: from memory, confidence medium; check against the standard.
"""

import math
from collections.abc import Callable

import pytest

from ampwright.kernels.protection import breaker_band, trip_time_s

Check = Callable[..., None]


@pytest.mark.parametrize(
    ("rating_a", "hours", "minutes"), [(20, 1, 2), (30, 1, 2), (40, 1, 4), (60, 2, 6), (125, 2, 8)]
)
def test_calibration(rating_a: float, hours: int, minutes: int, printed: Check) -> None:
    band = breaker_band("ul-489", rating_a)
    assert trip_time_s(band.early, 1.0, 0.0) == math.inf
    late = trip_time_s(band.late, 2.0, 0.0)
    printed(f"{rating_a} A, 200 %, minutes", minutes, late / 60, "min", within=1e-6)
    printed(
        f"{rating_a} A, 135 %, h", hours, trip_time_s(band.late, 1.35, 0.0) / 3600, "h", within=1e-4
    )
