"""The scalar and the columnar choice of capacitors are the same over random duties."""

from random import Random

import pytest
from tests.properties.random_networks import Drawn
from tests.properties.test_scalar_equals_columns_network import (
    assert_same,
    drawn_lanes,
    in_columns,
)

from ampwright.kernels import capacitor_choice
from ampwright.kernels.balance import balancing_pair, ladder
from ampwright.kernels.columns import capacitor_choice as columns
from ampwright.kernels.columns.lanes import join, lane, widen
from ampwright.kernels.duty import DutyState, Limits
from ampwright.kernels.legs import Legs
from ampwright.kernels.network import Source

RUNGS = ladder([c * 1e-6 for c in (2.0, 5.0, 8.0, 15.0, 30.0, 60.0, 120.0)], 3)


def raised(source: Source) -> Source:
    """Return a supply six percent above its nominal voltage."""
    return source._replace(e_a_v=1.06 * source.e_a_v, e_b_v=1.06 * source.e_b_v)


def duty_of(one: Drawn) -> tuple[DutyState, ...]:
    """Return the idler alone, then with its motor, without the drawn capacitors."""
    resistors = Legs(*(y.real + 0.0j for y in one.legs))
    return (
        DutyState(0.3, one.rotors[:1], resistors),
        DutyState(0.7, one.rotors, resistors, one.loads),
    )


def limits_of(one: Drawn, seed: int) -> Limits:
    """Return limits that are close for some lanes and far for others."""
    random = Random(seed)  # noqa: S311 - no secret
    volt = abs(one.source.e_a_v - one.source.e_b_v)
    return Limits(
        line_v=volt * random.uniform(1.0, 1.3),
        capacitor_v=volt * 1.6,
        idler_current=random.uniform(0.5, 1.2),
        vuf=0.03,
        idler_delta=False,
        tolerance=0.06,
    )


@pytest.mark.slow
def test_random_duties() -> None:
    lanes = drawn_lanes(2, 1, 200)
    wide = in_columns(lanes)
    limits = [limits_of(one, k) for k, one in enumerate(lanes)]
    together = join([widen(one, 1) for one in limits])._replace(idler_delta=False)
    found = columns.choose(wide.source, raised(wide.source), duty_of(wide), RUNGS, together)
    broken = 0
    for k, one in enumerate(lanes):
        alone = capacitor_choice.choose(
            one.source, raised(one.source), duty_of(one), RUNGS, limits[k]
        )
        own = lane(found, k)
        assert tuple(own.pair) == tuple(alone.steps[0].pair), k
        assert [own.kept, own.vuf_met] == [alone.kept, alone.vuf_met], k
        for state, low, high in zip(alone.states, own.nominal, own.highest, strict=True):
            assert_same(state.nominal, low)
            assert_same(state.highest, high)
        broken += not alone.kept
    assert 0 < broken < len(lanes)


def test_the_closed_form_takes_columns() -> None:
    y1 = [0.01 - 0.05j, 0.08 - 0.05j]
    together = balancing_pair(join([widen(y, 1) for y in y1]), 60.0)
    for k, y in enumerate(y1):
        assert tuple(lane(together, k)) == pytest.approx(tuple(balancing_pair(y, 60.0)), rel=1e-12)
