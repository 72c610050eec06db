"""A neutral beside the lines: a conductor more, which counts for heat where harmonics flow in it.

NFPA 70, 310.15(E): a neutral that carries only what does not cancel is not counted; where the major
portion of the load is not linear it is. Table 310.15(C)(1): four to six together carry 80 %. The
border between them, 15 % of third harmonic, is common practice, no source.
"""
# ruff: noqa: ANN401 - the asker builds records

from typing import Any

import attrs
import pytest

ASKED = "machine.third-harmonic"


def questions(answer: Any) -> list[tuple[str, str, str]]:
    return [(one.code, one.field, one.changes) for one in answer.questions if one.code == ASKED]


@pytest.mark.parametrize(
    ("third", "carrying", "factor"),
    [(None, 4, 0.8), (0.16, 4, 0.8), (0.15, 3, 1.0), (0.0, 3, 1.0)],
)
def test_beside_three_lines(us: Any, third: float | None, carrying: int, factor: float) -> None:
    share = None if third is None else us.figure(third)
    demand = us.demand(motors=(us.motor(3, 9),), neutral=True, third_harmonic=share)
    answer = us.ask(demand)
    assert us.step(answer, "conductor/count") == 4
    assert us.step(answer, "conductor/carrying") == carrying
    assert us.step(answer, "conductor/adjustment_factor") == factor
    assert us.step(answer, "protective_device/poles") == 3
    rules = {one.path.rpartition("circuits/c/")[2]: one.rule for one in answer.circuit.steps}
    assert rules["conductor/carrying"] == "nec.310.15(E)"
    assert rules["conductor/count"] == "nec.310.15(C)(1)"


@pytest.mark.parametrize(("third", "carrying"), [(None, 3), (0.2, 3), (0.1, 2)])
def test_beside_two_lines(us: Any, third: float | None, carrying: int) -> None:
    share = None if third is None else us.figure(third)
    legs = (us.figure(120), us.figure(120))
    answer = us.ask(
        us.demand(
            phases=1, loads=(us.load(12),), neutral=True, third_harmonic=share,
            voltage_to_earth=legs,
        )
    )  # fmt: skip
    assert us.step(answer, "conductor/count") == 3
    assert us.step(answer, "conductor/carrying") == carrying
    assert us.step(answer, "conductor/adjustment_factor") == 1.0
    assert us.step(answer, "protective_device/poles") == 2


@pytest.mark.parametrize(("arrangement", "volts", "carrying"), [
    ("split-phase", 240, 2), ("line-line", 208, 3),
])  # fmt: skip
def test_beside_two_lines_of_a_star_it_always_counts(
    us: Any, arrangement: str, volts: float, carrying: int
) -> None:
    """310.15(E)(2), from memory: it carries about what the lines do. Three such: 9 at 70 %."""
    legs = (us.figure(120), us.figure(120))
    demand = us.demand(phases=1, voltage=us.figure(volts), loads=(us.load(12),), neutral=True,
                       third_harmonic=us.figure(0), voltage_to_earth=legs)  # fmt: skip
    supply = us.supply(arrangement=arrangement, voltage=f"{volts} V", neutral=True)
    answer = us.ask(demand, site=us.site(grouped_circuits=3), supply=supply)
    assert us.step(answer, "conductor/carrying") == carrying
    assert us.step(answer, "conductor/adjustment_factor") == {2: 0.8, 3: 0.7}[carrying]
    unknown = us.ask(attrs.evolve(demand, third_harmonic=None), supply=supply)
    assert bool(questions(unknown)) is (carrying == 2)  # beside a star no answer changes anything


def test_who_does_not_know_the_harmonics_is_asked_for_each_machine(us: Any) -> None:
    motors = (us.motor(3, 9),)
    unknown = us.ask(us.demand(motors=motors, neutral=True, feeds=("saw", "mill")))
    assert questions(unknown) == [
        (ASKED, "machines.saw.third_harmonic", "size"),
        (ASKED, "machines.mill.third_harmonic", "size"),
    ]
    known = us.demand(motors=motors, neutral=True, third_harmonic=us.figure(0.3))
    assert questions(us.ask(known)) == []
    assert questions(us.ask(us.demand(motors=motors))) == []
    line = us.demand(role="output", motors=motors, neutral=True)  # its branches ask
    assert questions(us.ask(line)) == []


def test_without_a_neutral_every_conductor_counts(us: Any) -> None:
    paths = {
        one.path.rpartition("circuits/c/")[2]: one.value
        for one in us.ask(us.demand(motors=(us.motor(3, 9),))).circuit.steps
    }
    assert paths["conductor/count"] == 3
    assert "conductor/carrying" not in paths
