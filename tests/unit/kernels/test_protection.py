"""Time-current bands and what a start does to them."""

import math
from functools import partial
from itertools import pairwise

import pytest

from ampwright.kernels.protection import (
    Band,
    breaker_band,
    fuse_band,
    overload_band,
    passage,
    phase_loss_answer,
    trip_time_s,
)

BANDS = [
    *(overload_band(name) for name in ("5", "10A", "10", "20", "30", "40", "nema-10", "nema-30")),
    *(breaker_band(name, 40.0) for name in ("B", "C", "D", "ul-489")),
    *(fuse_band("gG", rating) for rating in (2.0, 10.0, 32.0, 100.0, 400.0)),
    *(fuse_band("time-delay", rating) for rating in (30.0, 60.0, 600.0)),
    fuse_band("aM", 25.0),
]
quiet = partial(passage, preload_a=0.0, asymmetry=1.0, then_a=0.0)


@pytest.mark.parametrize("band", BANDS, ids=lambda band: str(band.name))
def test_more_current_trips_sooner_and_the_early_edge_first(band: Band) -> None:
    loads = [1.01 * 1.04**n for n in range(90)]
    for preload in (0.0, 0.7, 1.0):
        early = [trip_time_s(band.early, load, preload) for load in loads]
        late = [trip_time_s(band.late, load, preload) for load in loads]
        for times in (early, late):
            assert all(a >= b for a, b in pairwise(times))
        assert all(a <= b for a, b in zip(early, late, strict=True))
        assert late[-1] < math.inf


def test_a_load_before_brings_the_trip_forward() -> None:
    early = overload_band("10").early
    times = [trip_time_s(early, 4.0, preload) for preload in (0.0, 0.5, 1.0, 1.2)]
    assert times == sorted(times, reverse=True)
    assert times[-1] == 0.0
    fuse = fuse_band("gG", 32.0).early
    assert trip_time_s(fuse, 3.0, 1.0) == pytest.approx(0.8 * trip_time_s(fuse, 3.0, 0.0))


@pytest.mark.parametrize("band", BANDS, ids=lambda band: str(band.name))
def test_a_steady_current_passes_like_its_trip_time(band: Band) -> None:
    load = 4.9  # below every instantaneous part but that of B
    early = trip_time_s(band.early, load, 0.0)
    calm = band._replace(instant_low=math.inf, instant_high=math.inf)
    times = [n * early / 7 for n in range(20)]
    found = quiet(calm, 1.0, times, [load] * 20)
    assert found.earliest_s == pytest.approx(early, rel=1e-9)
    assert found.used >= 1.0
    whole = passage(calm, 1.0, times[:2], [load] * 2, preload_a=0, asymmetry=1, then_a=load)
    assert whole.earliest_s == pytest.approx(early, rel=1e-9)
    assert whole.latest_s == pytest.approx(trip_time_s(calm.late, load, 0.0), rel=1e-9)


def test_twenty_points_of_a_run_up_are_enough() -> None:
    band = overload_band("10")

    def used(count: int) -> float:
        times = [2.0 * n / count for n in range(count + 1)]
        currents = [90 / (1 + math.exp(6 * (time - 1.5))) + 10 for time in times]
        return quiet(band, 15.0, times, currents).used

    assert used(20) == pytest.approx(used(5000), rel=0.01)


def test_a_body_cools_between_two_starts() -> None:
    band = overload_band("10")
    start = ([0, 2, 2, 600, 600, 602], [90, 90, 0, 0, 90, 90])
    twice = quiet(band, 15.0, *start).used
    once = quiet(band, 15.0, [0, 2], [90, 90]).used
    at_once = quiet(band, 15.0, [0, 4], [90, 90]).used
    assert once < twice < at_once


def test_the_running_current_is_asked_too() -> None:
    band = overload_band("10")
    calm = passage(band, 15.0, [0, 1], [90, 90], preload_a=0, asymmetry=1, then_a=15.0)
    assert calm.earliest_s == calm.latest_s == math.inf
    over = passage(band, 15.0, [0, 1], [90, 90], preload_a=0, asymmetry=1, then_a=20.0)
    assert 1.0 < over.earliest_s < over.latest_s < math.inf
    between = passage(band, 15.0, [0, 1], [90, 90], preload_a=0, asymmetry=1, then_a=17.0)
    assert between.earliest_s < math.inf
    assert between.latest_s == math.inf


def test_only_the_first_wave_and_a_switching_are_asymmetric() -> None:
    band = breaker_band("C", 32.0)  # never below 160 A at once, always from 320 A
    ask = partial(passage, band, 32.0, preload_a=0.0, then_a=0.0)
    high = ask([0, 0.02], [120, 120], asymmetry=1.5)
    assert high.instant
    assert high.earliest_s == 0.0
    assert high.latest_s == math.inf
    rising = ask([0, 0.02], [100, 120], asymmetry=1.5)
    assert not rising.instant
    switched = ask([5, 5.1, 5.1, 5.2], [60, 60, 120, 120], asymmetry=1.5)
    assert switched.instant
    assert switched.earliest_s == pytest.approx(0.1)
    down = ask([0, 0.1, 0.1, 0.2], [100, 150, 120, 120], asymmetry=1.5)
    assert not down.instant
    sure = ask([0, 0.02], [330, 330], asymmetry=1.0)
    assert sure.latest_s == pytest.approx(0.1)


def test_a_load_that_had_tripped_it_before_trips_at_the_beginning() -> None:
    found = passage(
        overload_band("10"), 15.0, [0, 1], [0, 0], preload_a=20.0, asymmetry=1, then_a=0
    )
    assert found.earliest_s == 0.0
    assert found.used > 1.0


def test_fuse_wears_by_shares() -> None:
    band = fuse_band("gG", 32.0)
    half = 0.5 * trip_time_s(band.early, 3.0, 0.0)
    found = quiet(band, 32.0, [0, half], [96, 96])
    assert found.used == pytest.approx(0.5)
    assert found.earliest_s == math.inf


@pytest.mark.parametrize(
    ("currents", "sensitive", "answer"),
    [((10, 10, 10), True, "holds"), ((10, 10, 9), True, "holds"), ((10, 10, 6), True, "may-trip"),
     ((11.5, 11.5, 0), True, "trips"), ((11.5, 11.5, 0), False, "may-trip"),
     ((13.2, 13.2, 0), False, "trips"), ((10, 10, 0), False, "holds"),
     ((12, 12, 12), False, "trips"), ((11, 11, 11), True, "may-trip")],
)  # fmt: skip
def test_phase_loss(currents: tuple[float, ...], sensitive: bool, answer: str) -> None:  # noqa: FBT001 - a column of the table
    a, b, c = currents
    for order in ((a, b, c), (b, c, a), (c, b, a)):
        assert phase_loss_answer(*order, setting_a=10, sensitive=sensitive) == answer


def test_what_is_not_known_is_refused() -> None:
    with pytest.raises(ValueError, match="10A"):
        overload_band("11")
    with pytest.raises(ValueError, match="no breaker"):
        breaker_band("C", 160.0)
    with pytest.raises(ValueError, match="no fuse"):
        fuse_band("gG", 33.0)
    with pytest.raises(ValueError, match="multiples"):
        trip_time_s(overload_band("10").early, -1.0, 0.0)
    with pytest.raises(ValueError, match="currents"):
        phase_loss_answer(-1, 1, 1, setting_a=1, sensitive=True)
    band = overload_band("10")
    with pytest.raises(ValueError, match="two points"):
        quiet(band, 10, [0], [1])
    with pytest.raises(ValueError, match="backwards"):
        quiet(band, 10, [0, -1], [1, 1])
    with pytest.raises(ValueError, match="rating"):
        quiet(band, 0, [0, 1], [1, 1])
    with pytest.raises(ValueError, match="asymmetry"):
        passage(band, 10, [0, 1], [1, 1], preload_a=0, asymmetry=2.5, then_a=0)
