"""The page that sets the trade's rules beside the model says what the numbers say."""

from itertools import pairwise
from pathlib import Path

import pytest
from docs.making import PAGES, thumb

from ampwright.kernels.network import Rotor
from ampwright.kernels.starter import Shaft
from ampwright.kernels.starting import locked_rotor
from ampwright.methods.rotary.setup import set_up
from ampwright.methods.rotary.sizing import Sizing
from ampwright.planning.bounds import bounded
from ampwright.planning.intake import intake

TEXT = (Path(__file__).parents[2] / "docs/explanation/rules-of-thumb.md").read_text("utf-8")


@pytest.fixture(scope="module")
def rows() -> tuple[thumb.Row, ...]:
    return thumb.rows()


def least(name: str) -> float:
    """Return an idler as a number; where none is large enough, more than any."""
    return float(name) if name else float("inf")


def test_the_tables_are_in_the_page_and_each_is_labelled() -> None:
    assert PAGES["rules-of-thumb.md"] is thumb.page
    assert "generated/rules-of-thumb.md" in TEXT
    page = thumb.page()
    assert page.count("Common practice, no source") == 4
    for power in thumb.POWERS_HP:
        assert page.count(f"\n| {power:g} hp |") == 4
    assert (thumb.POWERS_HP[0], thumb.POWERS_HP[-1]) == (1, 50)


def hard_start(power_hp: float, idler: str) -> tuple[float, float, float]:
    """Return the middle, its edge by the plate, and the edge of both, over rated torque."""
    case = intake(thumb.shop(power_hp, "hard"), bounded(None))
    sizing = Sizing(set_up(case, case.machines))
    trial = sizing.trial(next(n for n, one in enumerate(sizing.sizes) if one.name == idler))
    (motor,) = case.machines[0].motors
    usual = Shaft(Rotor(motor.circuit, motor.run_up), motor.inertia.value)
    network = trial.setup.source, trial.legs, (trial.turning,)
    starts = locked_rotor(*network, usual), trial.standstill(motor)
    middles = [(one.torque_low_nm + one.torque_high_nm) / 2.0 for one in starts]
    found = (*middles, starts[1].torque_low_nm)
    middle, edge, both = (one / motor.rated_torque.value for one in found)
    return middle, edge, both


def test_two_doubts_lie_between_a_hard_start_and_the_middle() -> None:
    """By the middle 5 hp start on four times their power; at the edge 75 hp do not start 3 hp."""
    middle, edge, both = hard_start(5, "20 hp")
    assert middle >= 1.2 > both
    assert edge / middle == pytest.approx(5 / 6, abs=0.05)
    assert both / edge == pytest.approx(0.65)
    assert 0.5 < both / middle < 0.6
    assert hard_start(3, "75 hp")[2] < 1.2 < hard_start(2, "75 hp")[2]


def test_a_harder_start_asks_for_a_larger_idler(rows: tuple[thumb.Row, ...]) -> None:
    """Generous for small motors that start light, too small for hard starts of any size."""
    for one in rows:
        light, normal, hard = map(least, one.idlers)
        assert light <= normal <= hard
        assert hard > thumb.IDLER * one.power_hp
    assert all(least(one.idlers[0]) <= thumb.IDLER * one.power_hp for one in rows[:6])
    assert all(least(one.idlers[0]) > thumb.IDLER * one.power_hp for one in rows[-4:])
    assert sum(one.idlers[2] == "" for one in rows) >= len(rows) - 2


def test_the_starting_torque_on_twice_the_motor_falls_with_size(
    rows: tuple[thumb.Row, ...],
) -> None:
    """A second model of ours has 0.71 to 0.99, another 0.58 of rated for 5 hp on 10 hp."""
    assert all(one.torque_low > two.torque_low for one, two in pairwise(rows))
    five = next(one for one in rows if one.power_hp == 5)
    assert five.torque_low < 0.58
    assert five.torque > 0.94


def test_the_capacitors_agree_in_sum_and_differ_in_their_split(rows: tuple[thumb.Row, ...]) -> None:
    for one in rows:
        idler_hp = thumb.IDLER * one.power_hp
        idle, loaded = (1e6 * sum(pair) / idler_hp for pair in (one.idle, one.loaded))
        assert idle < 2 * thumb.CAPACITOR_UF_HP
        assert loaded > idle
        assert loaded == pytest.approx(2 * thumb.CAPACITOR_UF_HP, rel=0.45)
        assert one.loaded.ca_f > 5 * one.loaded.bc_f
        assert one.vuf_practice > 0.05
    assert [one.vuf_idle for one in rows] == sorted(one.vuf_idle for one in rows)
    assert [one.loaded.bc_f < 0 for one in rows] == [one.power_hp >= 5 for one in rows]


def test_half_and_not_two_thirds_is_left_on_two_lines(rows: tuple[thumb.Row, ...]) -> None:
    """About 0.47 to 0.50 at 3 to 10 hp; there 1.41 of the line current, 1.47 to 1.75 of losses."""
    for one in rows:
        assert one.share < 0.6 < thumb.STATIC
        assert one.line > 1.3
        assert one.loss > 1.45
    middle = [one for one in rows if 3 <= one.power_hp <= 10]
    assert all(0.42 <= one.share <= 0.52 for one in middle)
    assert rows[0].share < min(one.share for one in middle)


def test_a_rectifier_draws_about_twice_the_motors_current(rows: tuple[thumb.Row, ...]) -> None:
    for one in rows:
        assert one.root == pytest.approx(3**0.5 * 230 / 240)
        assert one.root < one.rectified
        assert 1.75 < one.rectified < 2.15
        within = one.power_hp <= 3
        asked = one.power_hp if within else one.power_hp / thumb.DRIVE
        assert asked <= one.drive_hp <= 1.26 * asked
