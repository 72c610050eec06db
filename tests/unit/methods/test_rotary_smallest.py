"""The idler is the smallest that would do: every rating tried in every way it may be built."""

import itertools
import random
from typing import Any

import pytest
from tests.unit.planning.shops import case_of, machine, motor, supply

from ampwright.case import Case
from ampwright.methods.rotary.setup import set_up
from ampwright.methods.rotary.sizing import Sizing, enough_torque, meets, quick_enough
from ampwright.methods.rotary.trial import balanced_alone, best_pair, switched

PLATES = {"1 hp": "3.4/1.7 A", "3 hp": "8.4/4.2 A", "7.5 hp": "20/10 A", "15 hp": "38/19 A"}
STRONG = supply(rating="400 A", impedance="0.03 ohm")
WEAK = supply(rating="400 A", impedance="0.2 ohm")
LOADS = list(itertools.product(PLATES, ("light", "normal"), (0.6, 0.8, 0.94)))


def saw(name: str, power: str, **changes: Any) -> Any:  # noqa: ANN401 - any field of a machine
    usual: dict[str, Any] = {
        "start": "light", "load_torque": "friction",
        "motors": (motor(power=power, current=PLATES[power]),),
    }  # fmt: skip
    return machine(name, **(usual | changes))


def smallest_by_trying_all(case: Case) -> float | None:
    """Return the smallest rating with which a build meets everything [W]; ``None``: none does."""
    setup = set_up(case, case.machines)
    builds = (balanced_alone, best_pair, switched)
    return next(
        (
            idler.power_w
            for idler in Sizing(setup).sizes
            if any(meets(build(setup, idler)) for build in builds)
        ),
        None,
    )


def chosen(case: Case) -> float | None:
    sizing = Sizing(set_up(case, case.machines))
    found = sizing.smallest()
    return None if found is None else sizing.sizes[found[0]].power_w


@pytest.mark.parametrize(("power", "start", "load"), LOADS)
def test_of_one_machine(power: str, start: str, load: float) -> None:
    case = case_of(saw("a", power, start=start, average_load=load), supply=STRONG)
    assert chosen(case) == smallest_by_trying_all(case)


@pytest.mark.parametrize("at", [STRONG, WEAK], ids=["strong", "weak"])
@pytest.mark.parametrize("together", [None, (("a",), ("b",)), (("a", "b"), ("b",))], ids=str)
def test_of_two_machines(at: Any, together: Any) -> None:  # noqa: ANN401 - a table's cells
    first, second = saw("a", "7.5 hp", average_load=0.9), saw("b", "3 hp", start="normal")
    case = case_of(first, second, supply=at, together=together)
    assert chosen(case) == smallest_by_trying_all(case)


@pytest.mark.parametrize("load", [0.94, 0.95])
def test_a_machine_that_runs_nearly_full_is_not_refused(load: float) -> None:
    """Capacitors that follow the load do with an idler of the motor's own size."""
    case = case_of(saw("a", "3 hp", average_load=load), supply=STRONG)
    size = chosen(case)
    assert size is not None
    assert size == smallest_by_trying_all(case)


@pytest.mark.parametrize("seed", range(4))
def test_of_many_sets(seed: int) -> None:
    """Sizes are passed over for which the heaviest set alone falls short; none of them would do."""
    draw = random.Random(seed)  # noqa: S311 - drawn examples, no secrets
    saws = [
        saw(f"m{n}", draw.choice(list(PLATES)), average_load=draw.choice((0.5, 0.7, 0.9)))
        for n in range(5)
    ]
    names = [one.id for one in saws]
    together = tuple(tuple(draw.sample(names, draw.randint(1, 5))) for _ in range(4))
    case = case_of(*saws, supply=STRONG, together=together)
    assert chosen(case) == smallest_by_trying_all(case)
    sizing = Sizing(set_up(case, case.machines))
    short = [n for n in range(len(sizing.sizes)) if sizing.falls_short(n)]
    builds = (balanced_alone, best_pair, switched)
    assert not any(meets(build(sizing.setup, sizing.sizes[n])) for n in short for build in builds)


STARTS_BY_ITS_CAPACITORS = [
    ("0.35 ohm", (("3 hp", "normal", "constant", 0.92), ("1 hp", "hard", "friction", 0.6))),
    ("0.01 ohm", (("3 hp", "hard", "friction", 0.3),)),
]  # fmt: skip


@pytest.mark.parametrize(("impedance", "loads"), STARTS_BY_ITS_CAPACITORS)
def test_what_only_capacitors_for_the_load_start_is_not_refused(impedance: str, loads: Any) -> None:  # noqa: ANN401 - rows of a table
    """No idler balanced alone starts them, not even the largest; one built for the load does."""
    saws = [
        saw(name, power, start=start, load_torque=torque, average_load=load, length="5 m")
        for name, (power, start, torque, load) in zip("ab", loads, strict=False)
    ]
    together = (tuple(one.id for one in saws),)
    volts = "230 V" if len(saws) > 1 else "240 V"
    at = supply(rating="400 A", impedance=impedance, voltage=volts)
    case = case_of(*saws, supply=at, together=together)
    sizing = Sizing(set_up(case, case.machines))
    assert not any(enough_torque(sizing.trial(place)) for place in range(len(sizing.sizes)))
    size = chosen(case)
    assert size is not None
    assert size == smallest_by_trying_all(case)


def test_a_size_between_sizes_that_do_not_is_found() -> None:
    """Above 15 hp no capacitors in stock suit, and 15 hp start it with those for the load only."""
    saws = [
        saw("a", "7.5 hp", start="normal", average_load=0.95),
        saw("b", "1 hp", start="hard", average_load=0.95, length="5 m"),
    ]
    at = supply(rating="400 A", impedance="0.1 ohm", voltage="230 V")
    case = case_of(*saws, supply=at, together=(("a",), ("b",)))
    size = chosen(case)
    assert size is not None
    assert size == smallest_by_trying_all(case)


def fans(*plates: tuple[str, float]) -> list[Any]:
    """Return fans that start normally, each by power and average load."""
    return [
        saw(name, power, start="normal", load_torque="fan", average_load=load, length="5 m")
        for name, (power, load) in zip("ab", plates, strict=True)
    ]


def test_a_part_of_a_pair_starts_what_neither_whole_pair_does() -> None:
    """40 hp: 10.6 s with what balances it alone, 10.2 s with one pair, 10.0 s with a part of two.

    The longest run-up is 10 s. No independent source has these times; trying all sizes has.
    """
    at = supply(rating="400 A", impedance="0.2 ohm", voltage="240 V")
    case = case_of(*fans(("3 hp", 0.2), ("15 hp", 0.94)), supply=at, together=(("a",), ("b",)))
    sizing = Sizing(set_up(case, case.machines))
    place = next(n for n, one in enumerate(sizing.sizes) if one.name == "40 hp")
    setup, idler = sizing.setup, sizing.sizes[place]
    whole = [balanced_alone(setup, idler), best_pair(setup, idler)]
    assert not any(quick_enough(one) for one in whole)
    assert meets(switched(setup, idler))
    assert sizing.made(place) is not None


def test_a_smaller_size_below_one_that_does_not_is_found() -> None:
    """Only some sizes have a part of a pair that suits both sets, and 10 hp is one of them."""
    saws = [
        saw("a", "1 hp", start="light", load_torque="constant", average_load=0.9, length="5 m"),
        saw("b", "7.5 hp", start="normal", load_torque="fan", average_load=0.85, length="60 m"),
    ]
    at = supply(rating="400 A", impedance="0.2 ohm", voltage="230 V")
    case = case_of(*saws, supply=at, together=(("a",), ("b",)))
    size = chosen(case)
    assert size is not None
    assert size == smallest_by_trying_all(case)


def test_a_larger_idler_may_do_less() -> None:
    """Why no halving finds it: above some size stock has no capacitors that suit."""
    case = case_of(saw("a", "3 hp", average_load=0.94), supply=STRONG)
    setup = set_up(case, case.machines)
    answers = [meets(switched(setup, idler)) for idler in Sizing(setup).sizes]
    assert sorted(answers) != answers
    assert sorted(answers, reverse=True) != answers
