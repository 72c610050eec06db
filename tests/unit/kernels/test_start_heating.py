"""Starts an hour and the stall limit."""

import pytest

from ampwright.kernels.start_heating import (
    HP_W,
    load_inertia_limit_kg_m2,
    stall_share,
    start_limit,
)


def test_a_light_load_is_limited_by_the_motor() -> None:
    found = start_limit(5 * HP_W, 4, load_inertia_kg_m2=0.0, heat_ratio=1.0)
    assert (found.per_hour, found.rest_s, found.governing) == (16.3, 42.0, "motor")


def test_at_the_inertia_limit_one_start_an_hour_is_left() -> None:
    limit = load_inertia_limit_kg_m2(5 * HP_W, 1800)
    found = start_limit(5 * HP_W, 4, load_inertia_kg_m2=limit, heat_ratio=1.0)
    assert found.per_hour == pytest.approx(1.0)
    assert found.governing == "inertia"


def test_hotter_starts_are_rarer() -> None:
    cool = start_limit(5 * HP_W, 4, load_inertia_kg_m2=0.2, heat_ratio=1.0)
    hot = start_limit(5 * HP_W, 4, load_inertia_kg_m2=0.2, heat_ratio=2.0)
    assert hot.per_hour == pytest.approx(cool.per_hour / 2)
    assert hot.rest_s == pytest.approx(2 * cool.rest_s)


def test_between_ratings_the_larger_one_counts() -> None:
    between = start_limit(4000.0, 4, load_inertia_kg_m2=0.0, heat_ratio=1.0)  # 5.36 hp
    assert between.per_hour == 13.9


@pytest.mark.parametrize(
    ("watts", "poles", "inertia", "heat"),
    [(300.0, 4, 0.1, 1.0), (4000.0, 8, 0.1, 1.0), (4000.0, 4, -0.1, 1.0), (4000.0, 4, 0.1, 0.5)],
)
def test_outside_the_table_is_refused(
    watts: float, poles: int, inertia: float, heat: float
) -> None:
    with pytest.raises(ValueError, match="wanted"):
        start_limit(watts, poles, load_inertia_kg_m2=inertia, heat_ratio=heat)
    with pytest.raises(ValueError, match="rpm"):
        load_inertia_limit_kg_m2(4000.0, 4000.0)


def test_stall_share() -> None:
    limits = {"locked_rotor_a": 90.0, "stall_limit_s": 12.0}
    assert stall_share([0, 12], [90, 90], **limits) == pytest.approx(1.0)
    assert stall_share([0, 12], [45, 45], **limits) == pytest.approx(0.25)
    assert stall_share([0, 12], [90, 0], **limits) == pytest.approx(1 / 3)
    for times, currents in (([0], [90]), ([1, 0], [90, 90]), ([0, 1], [-1, 90])):
        with pytest.raises(ValueError, match="wanted"):
            stall_share(times, currents, **limits)
