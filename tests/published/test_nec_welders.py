"""Resistance welders, part III of article 630, each figure reckoned by hand beside the test.

NFPA 70, 630.31 to 630.33 with Table 630.31(A)(2): read in a copy of the text of 2017 in a public
repository, 630.32 and 630.33 in a reprint of 2008 too; later editions the same from memory.
"""

import pytest
from tests.published.test_nec_clauses import ask, circuit, figure, load, step

from ampwright.region import LoadDemand


def spot_welder(primary_a: float, duty: float | None = None, name: str = "w/0") -> LoadDemand:
    stated = None if duty is None else figure(duty)
    return load(
        primary_a, id=name, kind="welder", duty_cycle=stated, construction="resistance",
        continuous=False,
    )  # fmt: skip


def test_630_31_a_resistance_welder_of_changing_operations() -> None:
    """100 A rated primary, automatic: 0.70 x 100 = 70 A, 4 AWG at 75 C; device up to 300 A."""
    answer = ask(circuit(1, loads=(spot_welder(100),)))
    assert step(answer, "design_current_a") == 70
    assert answer.circuit is not None
    assert answer.circuit.conductor.size == "4 AWG"  # 85 A; 6 AWG has 65 A
    assert step(answer, "protective_device/ceiling/rating_a") == 300
    assert answer.circuit.protective_device.rating_a == 100
    assert answer.circuit.disconnect is not None
    assert answer.circuit.disconnect.rating_a == 100  # 630.33: 70 A at least; of 30, 60, 100


def test_630_31_a_2_the_table_asks_for_more_at_half_of_the_time() -> None:
    """A seam welder, 2 cycles on and 2 off, 50 %: 0.71 x 100 = 71 A, above 0.70 x 100."""
    assert step(ask(circuit(1, loads=(spot_welder(100, 0.5),))), "design_current_a") == 71
    # 400 welds an hour of 15 cycles are 2.8 %: 0.22, so that the 70 % of changing work governs
    short = ask(circuit(1, loads=(spot_welder(100, 400 * 15 / 216000),)))
    assert step(short, "loads/w/0/resistance_multiplier") == 0.22
    assert step(short, "design_current_a") == 70


def test_630_31_b_group_of_resistance_welders() -> None:
    """100, 60 and 40 A at 70 %: 70 + 0.6 x (42 + 28) = 112 A."""
    three = tuple(spot_welder(amps, name=f"w{amps}/0") for amps in (60, 100, 40))
    assert step(ask(circuit(1, loads=three)), "design_current_a") == pytest.approx(112, rel=1e-12)


def test_630_32_b_a_device_of_three_times_the_ampacity() -> None:
    """20 A rated: 0.70 x 20 = 14 A, 14 AWG (20 A at 75 C) behind 20 A; 3 x 20 = 60 A at most.

    An arc welder of 20 A without a pause takes the same device, and 40 A at most.
    """
    spot = ask(circuit(1, loads=(spot_welder(20),)))
    assert spot.circuit is not None
    assert (spot.circuit.conductor.size, step(spot, "protective_device/ceiling/rating_a")) == (
        "14 AWG",
        60,
    )
    arc = ask(circuit(1, loads=(load(20, kind="welder", construction="arc"),)))
    assert step(arc, "protective_device/ceiling/rating_a") == 40


def test_630_of_a_welder_of_unknown_kind_the_part_that_asks_for_more() -> None:
    """50 A, 20 %: part II 0.45 x 50 = 22.5 A, part III 0.70 x 50 = 35 A; 2 x 50 = 100 A."""
    answer = ask(circuit(1, loads=(load(50, kind="welder", duty_cycle=figure(0.2)),)))
    assert step(answer, "design_current_a") == 35
    assert step(answer, "protective_device/ceiling/rating_a") == 100
    assert "machine.welder-kind" in {one.code for one in answer.questions}
    assert "machine.welder-kind" in {one.code for one in answer.assumptions}
    for made, amps in (("arc", 22.5), ("resistance", 35)):
        known = load(50, kind="welder", duty_cycle=figure(0.2), construction=made)
        told = ask(circuit(1, loads=(known,)))
        assert step(told, "design_current_a") == amps
        assert "machine.welder-kind" not in {one.code for one in told.questions}
