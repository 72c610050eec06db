"""Resistance welders beside arc welders: conductors, groups, disconnects, and what tells them."""
# ruff: noqa: ANN401 - the builders take any field of a record

from typing import Any

import pytest


def spot(us: Any, amps: float, name: str = "w/0", **changes: Any) -> Any:
    return us.load(amps, id=name, kind="welder", construction="resistance", **changes)


def rules(answer: Any) -> dict[str, str]:
    return {one.path.rpartition("/circuits/c/")[2]: one.rule for one in answer.circuit.steps}


def test_a_group_of_resistance_welders_names_its_clauses(us: Any) -> None:
    """Of 40 and 30 A: 0.7 x 40 + 0.6 x 0.7 x 30 = 40.6 A; among others part II governs the group.

    An arc welder of 20 A without a pause beside them: 28 + 21 + 0.85 x 20 = 66 A.
    """
    two = (spot(us, 40), spot(us, 30, "w/1"))
    alike = us.ask(us.single(loads=two))
    assert us.step(alike, "design_current_a") == pytest.approx(40.6)
    assert rules(alike)["design_current_a"] == "nec.630.31(B)"
    assert rules(alike)["disconnect/rating_a"] == "nec.630.33"
    mixed = us.ask(
        us.single(loads=(*two, us.load(20, id="a/0", kind="welder", construction="arc")))
    )
    assert us.step(mixed, "design_current_a") == pytest.approx(66)
    assert rules(mixed)["design_current_a"] == "nec.630.11(B)"
    assert rules(mixed)["disconnect/rating_a"] == "nec.630.13"


def test_the_disconnect_of_a_welder_by_its_part(us: Any) -> None:
    """80 A: 630.33 asks for 56 A, 60 A; 630.13 for what the device of an arc welder carries."""
    own = us.ask(us.single(loads=(spot(us, 80),)))
    assert own.circuit.disconnect.rating_a == 60
    arc = us.load(80, kind="welder", construction="arc", duty_cycle=us.figure(0.2))
    assert us.ask(us.single(loads=(arc,))).circuit.disconnect.rating_a == 100


def test_a_resistance_welder_past_its_table_counts_in_full(us: Any) -> None:
    """Table 630.31(A)(2) ends at half of the time; at 55 % all of the current counts."""
    past = us.ask(us.single(loads=(spot(us, 40, duty_cycle=us.figure(0.55)),)))
    assert us.step(past, "design_current_a") == 40
    at = us.ask(us.single(loads=(spot(us, 40, duty_cycle=us.figure(0.5)),)))
    assert us.step(at, "design_current_a") == pytest.approx(28.4)
    formulas = {one.path.rpartition("/c/")[2]: one.formula for one in at.circuit.steps}
    assert formulas["loads/w/0/counted_a"] == "max(m_v, m_r) * I_1"


def test_one_mark_tells_an_arc_welder(us: Any) -> None:
    marked = us.load(40, kind="welder", largest_current=us.figure(45), duty_cycle=us.figure(0.2))
    answer = us.ask(us.single(loads=(marked,)))
    assert us.step(answer, "design_current_a") == pytest.approx(0.45 * 40)
    assert "machine.welder-kind" not in us.assumed(answer)
