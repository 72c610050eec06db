"""Choice of capacitors over a duty, against a search of all pairs by full solutions."""

import math
from itertools import product

import pytest

from ampwright.kernels.balance import Pair, Rung, ladder
from ampwright.kernels.capacitor_choice import Choice, choose
from ampwright.kernels.duty import DutyState, Limits, solved
from ampwright.kernels.induction import InductionCircuit
from ampwright.kernels.network import LoadLaw, Rotor, Source, main_flux, split_phase

TEN = InductionCircuit(0.25, 0.45, 11.2, 0.22, 0.6, 1.5, 0.3, 300.0, 90.0, 90.0, 25.0, 2, 60.0, 0.8)
FIVE = InductionCircuit(0.5, 0.8, 21.0, 0.42, 1.1, 2.5, 0.5, 500.0, 45.0, 45.0, 13.0, 2, 60.0, 0.8)
SOURCE = split_phase(240.0, 0.06 + 0.05j)
RUNGS = ladder([c * 1e-6 for c in (7.5, 15.0, 30.0, 60.0)], 4)
FREE = Limits(
    line_v=1e3, capacitor_v=1e3, idler_current=9.0, vuf=0.02, idler_delta=False, tolerance=0.06
)


def duty(full_nm: float = 20.0, idler: Rotor | None = None) -> list[DutyState]:
    """Return the idler alone, then with its motor at a quarter, half and full load."""
    own = idler or Rotor(TEN)
    loads = [(0.3, 0.25), (0.4, 0.5), (0.3, 1.0)]
    return [
        DutyState(0.1, (own,)),
        *(DutyState(w, (own, Rotor(FIVE, LoadLaw(constant_nm=x * full_nm)))) for w, x in loads),
    ]


def figures(pair: Pair, states: list[DutyState], highest: Source, limits: Limits) -> list[float]:
    """Return excess over limits and weighted squared unbalance, from full solutions."""
    excess = total = 0.0
    for state in states:
        low, high = solved(SOURCE, state, pair), solved(highest, state, pair)
        winding = low.rotors[0].winding_star_a / state.rotors[0].circuit.rated_current_a
        excess += max(0.0, max(high.line_v) / limits.line_v - 1.0)
        excess += max(0.0, winding / limits.idler_current - 1.0)
        total += state.weight * low.vuf**2
    return [round(excess, 9), total]


def best_of_all(
    states: list[DutyState], highest: Source, limits: Limits, rungs: list[Rung]
) -> list[float]:
    pairs = (Pair(bc.total_f, ca.total_f) for bc, ca in product(rungs, rungs))
    return min(figures(pair, states, highest, limits) for pair in pairs)


@pytest.mark.slow
@pytest.mark.parametrize("line_v", [1e3, 262.0, 254.0, 241.0])
@pytest.mark.parametrize("full_nm", [8.0, 20.0])
def test_no_other_pair_of_the_ladder_is_better(line_v: float, full_nm: float) -> None:
    states, highest = duty(full_nm), split_phase(250.0, 0.06 + 0.05j)
    limits = FREE._replace(line_v=line_v)
    coarse = list(RUNGS[::3])
    found = choose(SOURCE, highest, states, coarse, limits)
    assert found.kept == (line_v > 250.0)
    ours = figures(found.steps[0].pair, states, highest, limits)
    best = best_of_all(states, highest, limits, coarse)
    assert ours[0] == pytest.approx(best[0], abs=2e-9)
    assert ours[1] <= 1.02 * best[1]


def reported(choice: Choice) -> list[int]:
    return [place for step in choice.steps for place in step.states]


def test_every_state_is_reported_with_its_band() -> None:
    highest = split_phase(252.0, 0.06 + 0.05j)
    found = choose(SOURCE, highest, duty(), RUNGS, FREE)
    assert reported(found) == [0, 1, 2, 3]
    for state in found.states:
        assert state.vuf_low <= state.nominal.vuf * (1.0 + 1e-9)
        assert state.vuf_high >= state.nominal.vuf * (1.0 - 1e-9)
        assert state.highest_line_v >= max(state.highest.line_v) * (1.0 - 1e-9)
        own = state.nominal.rotors[0].winding_star_a / TEN.rated_current_a
        assert state.idler_current == pytest.approx(own, rel=1e-6)
    cans = found.steps[0].ca
    assert math.fsum(cans.cans_f) == pytest.approx(cans.total_f)
    assert len(cans.cans_f) <= 4


def test_steps_are_switched_only_where_one_pair_does_not_serve() -> None:
    highest = split_phase(252.0, 0.06 + 0.05j)
    limits = FREE._replace(line_v=253.0, vuf=0.03)
    one = choose(SOURCE, highest, duty(), RUNGS, limits)
    assert one.kept
    assert not one.vuf_met
    more = choose(SOURCE, highest, duty(), RUNGS, limits, most_steps=4)
    assert more.kept
    assert more.vuf_met
    assert 1 < len(more.steps) < 4
    assert reported(more) == [0, 1, 2, 3]
    easy = choose(SOURCE, SOURCE, duty()[:2], RUNGS, FREE._replace(vuf=0.05), most_steps=4)
    assert len(easy.steps) == 1


def test_a_delta_winding_is_judged_by_its_own_current() -> None:
    star = choose(SOURCE, SOURCE, duty(), RUNGS, FREE)
    delta = choose(SOURCE, SOURCE, duty(), RUNGS, FREE._replace(idler_delta=True))
    at = delta.states[3]
    own = at.nominal.rotors[0].winding_delta_a * math.sqrt(3.0) / TEN.rated_current_a
    assert at.idler_current == pytest.approx(own, rel=1e-6)
    assert at.idler_current != pytest.approx(star.states[3].idler_current, rel=1e-3)


def test_main_flux_saturation_lets_more_capacitance_in() -> None:
    iron = Rotor(TEN, LoadLaw(), main_flux(0.97 * 230.0 / math.sqrt(3.0), 1.30, 1.75))
    limits = FREE._replace(line_v=253.0)
    highest = split_phase(252.0, 0.06 + 0.05j)
    straight = choose(SOURCE, highest, duty(), RUNGS, limits).steps[0].pair
    bent = choose(SOURCE, highest, duty(idler=iron), RUNGS, limits).steps[0].pair
    assert sum(bent) > sum(straight)


@pytest.mark.parametrize(("states", "steps"), [([], 1), (duty(), 0), ([DutyState(1.0, ())], 1)])
def test_a_duty_that_is_none(states: list[DutyState], steps: int) -> None:
    with pytest.raises(ValueError, match="a state of duty at least"):
        choose(SOURCE, SOURCE, states, RUNGS, FREE, most_steps=steps)
