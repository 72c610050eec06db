"""Relations between two supplies, two idlers, two starts: what is harder never comes out easier."""

import math
from collections.abc import Iterator
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from tests.properties.drawn_shops import FEW, SUPPLY, machines, of_all, planned, shops, supplied

import ampwright as aw
from ampwright.kernels.induction import InductionCircuit
from ampwright.kernels.legs import Legs, Source, split_phase
from ampwright.kernels.network import LoadLaw, Rotor, State, solve
from ampwright.kernels.starter import Shaft
from ampwright.kernels.starting import LockedRotor, locked_rotor
from ampwright.methods.rotary.idlers import idlers
from ampwright.methods.rotary.trial import IDLE_SLIP, inertia

CLOSE = 1e-9
IDLERS = idlers(240.0, 60.0)
PLACES = st.integers(0, len(IDLERS) - 1)
MOTORS = st.integers(0, 5)  # places among the idlers: motors of 2 to 15 hp
OHMS = st.floats(0.005, 0.3)


def supply(ohms: float) -> Source:
    """Return 120/240 V behind an impedance with as much reactance as resistance."""
    return split_phase(240.0, complex(ohms, ohms) / 2**0.5)


def turning(place: int) -> Shaft:
    return Shaft(Rotor(IDLERS[place].found.circuit), inertia(IDLERS[place]), IDLE_SLIP)


def several(place: int, count: int) -> Shaft:
    """Return so many like motors that start at the same moment, as one of their size together."""
    one = IDLERS[place].found.circuit
    fields = {
        name: value / count if name.endswith("_ohm") else value * count
        for name, value in one._asdict().items()
        if name.endswith(("_ohm", "_w", "_a"))
    }
    return Shaft(Rotor(InductionCircuit(**{**one._asdict(), **fields})), inertia(IDLERS[place]))


def dip(found: LockedRotor) -> float:
    """Return how far the two legs of the supply give way [V]."""
    return 240.0 - found.at.line_v[0]


def falls(values: list[float]) -> bool:
    return any(two < one - CLOSE * max(abs(one), 1.0) for one, two in pairwise(values))


def begun(ohms: float, idler: int, motor: int, count: int = 1) -> LockedRotor:
    return locked_rotor(supply(ohms), Legs(), (turning(idler),), several(motor, count))


@given(OHMS, OHMS, PLACES, MOTORS)
def test_mr_31_a_weaker_supply_never_dips_less(a: float, b: float, idler: int, motor: int) -> None:
    """With the same equipment; a plan may answer a weaker supply with thicker conductors."""
    assert not falls([dip(begun(ohms, idler, motor)) for ohms in sorted((a, b))])


def loaded(idler: Rotor, motor: int, share: float) -> State:
    """Return one motor at a share of about its rated torque behind an idler without capacitors."""
    law = LoadLaw(constant_nm=share * 0.97 * IDLERS[motor].power_w / (math.pi * 60))
    rotors = (idler, Rotor(IDLERS[motor].found.circuit, law))
    return solve(supply(0.03), Legs(), rotors)


@given(MOTORS, st.floats(0.1, 0.9), st.sets(st.integers(1, 8), min_size=2, max_size=3))
def test_mr_32_a_larger_idler_never_leaves_more_unbalance(
    motor: int, share: float, times: set[int]
) -> None:
    """Without capacitors; idlers of one design, so many times as large as the motor."""
    sizes = sorted(times, reverse=True)
    found = [loaded(several(motor, count).rotor, motor, share) for count in sizes]
    assert not any(any(rotor.stalled for rotor in one.rotors) for one in found)
    assert not falls([one.vuf for one in found])


@given(MOTORS, st.floats(0.1, 0.9), st.data())
def test_mr_32_nor_do_usual_ratings_but_for_their_designs(
    motor: int, share: float, data: st.DataObject
) -> None:
    """Usual motors differ from size to size; that moves a light load's unbalance by a fiftieth."""
    places = data.draw(
        st.lists(st.integers(motor, len(IDLERS) - 1), min_size=2, max_size=2, unique=True)
    )
    small, large = (
        loaded(Rotor(IDLERS[place].found.circuit), motor, share).vuf for place in sorted(places)
    )
    assert large <= small * 1.02


@given(st.sets(PLACES, min_size=2, max_size=3), OHMS)
def test_mr_32_a_larger_idler_never_loses_less_while_it_idles(
    places: set[int], ohms: float
) -> None:
    found = [solve(supply(ohms), Legs(), (turning(n).rotor,)) for n in sorted(places)]
    assert not falls([one.loss_w - one.source_loss_w for one in found])


def first_start(plan: aw.Plan, machine: str) -> Iterator[Any]:
    for option in plan.options:
        yield from (one for one in option.starts if one.id == machine)


LETTERS = ("F", "G", "H", "J", "K", "L")


def with_motor(shop: dict[str, Any], **changes: Any) -> dict[str, Any]:  # noqa: ANN401 - any field
    (one,) = shop["machines"]
    return of_all(shop, motors=[{**motor, **changes} for motor in one["motors"]])


@FEW
@given(shops(most=1), st.sets(st.sampled_from(LETTERS), min_size=2, max_size=3))
def test_mr_33_a_higher_code_letter_never_starts_with_less(
    shop: dict[str, Any], letters: set[str]
) -> None:
    """Behind an electronic converter that starts it at full voltage; and its rating."""
    currents, ratings = [], []
    for letter in sorted(letters):
        plan = planned(with_motor(shop, code_letter=letter), methods=["electronic"])
        (option,) = plan.options
        currents += [one.motor_peak_a for one in option.starts]
        ratings += [one.rating_va for one in option.converters]
    assert not falls(ratings)
    assert len(currents) == len(letters)
    softly = len(set(ratings)) == 1  # a current limit holds both starts to the same
    assert softly or not falls(currents)


@FEW
@given(shops(most=1), st.sets(st.sampled_from((0.01, 0.1, 0.4, 1.0)), min_size=2))
def test_mr_33_more_inertia_never_asks_for_less(shop: dict[str, Any], inertias: set[float]) -> None:
    plans = [
        planned(of_all(shop, load_inertia=f"{one} kg.m2"), methods=["rotary", "electronic"])
        for one in sorted(inertias)
    ]
    for method, size in (("rotary", "idler_power_w"), ("electronic", "rating_va")):
        sizes = []
        for plan in plans:
            made = [
                getattr(piece, size)
                for option in plan.options
                for piece in option.converters
                if piece.method == method
            ]
            sizes.append(max(made, default=float("inf")))
        assert not falls(sizes)


@FEW
@given(machines(most=1), st.sampled_from(("star-delta", "soft")))
def test_mr_34_no_other_start_draws_more_than_the_direct_one(
    made: list[dict[str, Any]], starter: str
) -> None:
    """On three-phase lines, where the start is the machine's own."""
    there = {"where": "at-meter", "current": "200 A"}
    shop = {"region": "us", "supply": {**SUPPLY, "three_phase": there}, "machines": made}
    peaks = []
    for kind in (starter, "direct"):
        plan = planned(of_all(shop, starter=kind), methods=["utility"])
        (one,) = first_start(plan, "m0")
        peaks.append(one.motor_peak_a)
    assert not falls(peaks)


@FEW
@given(shops(most=1))
def test_mr_34_no_drive_draws_more_at_the_start_than_the_motor_direct(shop: dict[str, Any]) -> None:
    """Seen from the supply: the same motor through a drive, and on one phase as it would be."""
    drive, direct = (
        next(first_start(planned(shop, methods=[method]), "m0"))
        for method in ("drive", "motor-swap")
    )
    assert drive.current_a <= direct.current_a


@given(OHMS, PLACES, MOTORS, st.sets(st.integers(1, 6), min_size=2, max_size=3))
def test_mr_35_a_larger_group_that_starts_at_once_never_dips_less(
    ohms: float, idler: int, motor: int, counts: set[int]
) -> None:
    assert not falls([dip(begun(ohms, idler, motor, count)) for count in sorted(counts)])


@FEW
@given(shops(most=1), st.sampled_from(("drive", "electronic", "rotary")))
def test_mr_30_twice_the_voltage_never_draws_more(shop: dict[str, Any], method: str) -> None:
    """The motors are linked for it, and the impedance of the supply is that of as large a one."""
    low = planned(shop, methods=[method])
    high = planned(supplied(shop, voltage="480 V", impedance="0.16 ohm"), methods=[method])
    pairs = [
        (one, two)
        for one, two in zip(low.options, high.options, strict=True)
        if None not in (*one.assignment.values(), *two.assignment.values())
    ]
    assume(pairs)
    for one, two in pairs:
        drawn, less = (
            {
                each.set: each.input_current_a
                for each in option.states
                if each.converter == "" and each.set != "idle"
            }
            for option in (one, two)
        )
        assert drawn.keys() == less.keys()
        assert all(less[name] <= drawn[name] * (1 + CLOSE) for name in drawn)


SITES = {"altitude": ("0 m", "1500 m", "3500 m"),
         "ambient": ("20 degC", "38 degC", "55 degC")}  # fmt: skip


@pytest.mark.parametrize("field", SITES)
@FEW
@given(shops(most=2))
def test_mr_36_height_and_heat_never_permit_more(field: str, shop: dict[str, Any]) -> None:
    """Neither of a converter, whose rating has to grow, nor of a size of conductor."""
    ratings: dict[str, list[float]] = {}
    carried: dict[tuple[str, str, float], list[float]] = {}
    for value in SITES[field]:
        for option in planned({**shop, "site": {field: value}}).options:
            for one in option.converters:
                size = one.rating_va or one.rating_w or 0.0
                ratings.setdefault(f"{option.id}/{one.id}", []).append(size)
            for circuit in option.circuits:
                wire = circuit.conductor
                if wire is not None:
                    key = (f"{option.id}/{circuit.id}", wire.size, wire.count)
                    carried.setdefault(key, []).append(-wire.ampacity_a)
    assert ratings
    assert carried
    for values in (*ratings.values(), *carried.values()):
        assert not falls(values)
