"""IEC 60269-1, gates for pre-arcing times of gG fuse-links, and its rule of selectivity.

Status: gates from memory, high. The standard intends fuses 1.6 to 1 in rating to be selective:
what one carries for 0.1 s is what the next smaller one in that ratio certainly clears in 0.1 s.
"""

from collections.abc import Callable

import pytest

from ampwright.kernels.protection import PointCurve, fuse_band, trip_time_s

Check = Callable[..., None]

# rating, and the rating 1.6 times larger
STEPS = [(16, 25), (20, 32), (25, 40), (32, 50), (40, 63), (50, 80), (63, 100), (80, 125),
         (100, 160), (125, 200), (160, 250), (200, 315), (250, 400)]  # fmt: skip
# rating: amperes carried 10 s, cleared in 5 s, carried 0.1 s, cleared in 0.1 s
GATES = {16: (33, 65, 85, 150), 32: (75, 150, 200, 350), 63: (160, 320, 450, 820),
         100: (290, 580, 820, 1450)}  # fmt: skip


@pytest.mark.parametrize(("small", "large"), STEPS)
def test_selectivity_of_1_6_to_1(small: int, large: int, printed: Check) -> None:
    clears, carries = fuse_band("gG", small).late, fuse_band("gG", large).early
    assert isinstance(clears, PointCurve)
    assert isinstance(carries, PointCurve)
    ours, wanted = clears.multiples[-1] * small, carries.multiples[-1] * large
    printed(f"{small} A clears what {large} A carries", wanted, ours, "A", within=1e-9 * wanted)


@pytest.mark.parametrize("rating", GATES)
def test_gates(rating: int, printed: Check) -> None:
    band = fuse_band("gG", rating)
    carried, cleared, short_carried, short_cleared = GATES[rating]
    for edge, current, seconds in (
        (band.early, carried, 10.0),
        (band.late, cleared, 5.0),
        (band.early, short_carried, 0.1),
        (band.late, short_cleared, 0.1),
    ):
        ours = trip_time_s(edge, current / rating, 0.0)
        printed(f"{rating} A fuse at {current} A", seconds, ours, "s", within=1e-9)


def test_conventional_currents(printed: Check) -> None:
    band, larger = fuse_band("gG", 32), fuse_band("gG", 100)
    printed("32 A, 1.6 x, h", 1.0, trip_time_s(band.late, 1.6, 0.0) / 3600, "h", within=1e-9)
    printed("32 A, 1.25 x, h", 1.0, trip_time_s(band.early, 1.25, 0.0) / 3600, "h", within=1e-9)
    printed(
        "100 A, 1.6 x, h",
        2,
        trip_time_s(larger.late, 1.6, 0) / 3600,
        "h",
        within=1e-9,
    )
