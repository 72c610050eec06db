"""The device at the head of a circuit: needs, ceilings, what is shown of the choice."""
# ruff: noqa: ANN401 - the builders take any field of a record

from typing import Any

import attrs
import pytest

from ampwright.families.nec.answer import answer_circuit
from ampwright.families.nec.device import motor_ceiling
from ampwright.families.nec.draft import Draft
from ampwright.step import Step, Worksheet

PLACE = "options/x/circuits/c"
HERE = f"{PLACE}/protective_device/"


def steps_of(answer: Any) -> dict[str, Step]:
    return {one.path.removeprefix(HERE): one for one in answer.circuit.steps}


def test_each_need_is_shown_alone(us: Any) -> None:
    """10 hp: load 35 A; start 1.4 x 162 / 5 = 45.4 A: 50 A; a second later the heat: 40 A."""
    motor = us.motor(10, 26, locked_rotor_current=us.figure(162))
    found = steps_of(us.ask(us.demand(motors=(motor,), starting_time=us.figure(1))))
    assert found["limits/load/rating_a"].value == 35
    assert found["limits/start_peak/rating_a"].value == 50
    assert found["start/heat_a"].value == pytest.approx(37.3, abs=0.1)
    assert found["limits/start_heat/rating_a"].value == 40
    assert found["rating_a"].value == 50
    assert found["smaller/rating_a"].value == 45


def test_a_single_phase_motor_of_unknown_start_is_let_through_as_the_table_has_it(us: Any) -> None:
    """5 hp, 230 V: Table 430.251(A) has 168 A, a usual motor 134 A; 1.4 x 168 / 5 = 47.04 A.

    A plate of 134 A asks for 1.4 x 134 / 5 = 37.5 A. The table ends at 10 hp.
    """
    usual = us.motor(5, 20, phases=1, locked_rotor_current=us.figure(134))
    unknown = attrs.evolve(usual, locked_rotor_known="assumed")
    ratings = [
        steps_of(us.ask(us.single(motors=(one,), starting_time=us.figure(0.3))))["rating_a"].value
        for one in (usual, unknown, attrs.evolve(unknown, locked_rotor_current=us.figure(190)))
    ]
    assert ratings == [40, 50, 60]
    beyond = attrs.evolve(unknown, power=us.figure(15 * 745.7), current=us.figure(80))
    assert steps_of(us.ask(us.single(motors=(beyond,))))["rating_a"].value >= 80


def test_what_settled_the_choice_is_among_its_inputs(us: Any) -> None:
    """50 A within 70 A; with 350 A locked, 98 A asks for 100 A by the second exception."""
    plain = us.motor(10, 26, locked_rotor_current=us.figure(162))
    quick = {"starting_time": us.figure(1)}
    found = steps_of(us.ask(us.demand(motors=(plain,), **quick)))
    assert [name for name, _ in found["rating_a"].inputs] == ["I_n", "ceiling"]
    heavy = us.motor(10, 26, locked_rotor_current=us.figure(350))
    found = steps_of(us.ask(us.demand(motors=(heavy,), **quick)))
    assert (found["rating_a"].value, found["smaller/rating_a"].value) == (100, 90)
    assert [name for name, _ in found["rating_a"].inputs] == ["I_n", "ceiling", "raised"]
    loads = steps_of(us.ask(us.single(loads=(us.load(10),))))
    assert [name for name, _ in loads["rating_a"].inputs] == ["I_n"]


def test_the_first_rating_has_none_below(us: Any) -> None:
    """10 A is the first of 2023, 15 A of 2020."""
    for edition, first in (("2023", 10), ("2020", 15)):
        asker = type(us)(us.code.in_edition(edition))
        found = steps_of(asker.ask(asker.single(loads=(asker.load(1),))))
        assert found["rating_a"].value == first
        assert "smaller/rating_a" not in found


def test_a_device_at_its_ceiling_carries_the_load(us: Any) -> None:
    """Plate of 64 A: 80 A of load and of ceiling; a start of 140 A may open it, and is said."""
    demand = us.single(
        role="supply", converter=us.converter(64), starting_current=us.figure(500),
        starting_time=us.figure(0.1),
    )  # fmt: skip
    answer = us.ask(demand)
    assert answer.circuit.protective_device.rating_a == 80
    assert "protection.trips-at-start" in us.codes(answer)


@pytest.mark.parametrize(("amps", "percent"), [(100, 400), (100.5, 300)])
def test_the_raised_percentage_changes_at_100_a(us: Any, amps: float, percent: float) -> None:
    motor = us.motor(50, amps, voltage=us.figure(400))
    found = steps_of(us.ask(us.demand(motors=(motor,))))
    assert found["ceiling/raised_percent"].value == percent
    assert found["ceiling/raised_calculated_a"].value == pytest.approx(percent / 100 * amps)


def test_a_hermetic_motor_has_15_a_in_any_case(us: Any) -> None:
    """4 A: 1.75 x 4 = 7 A and 2.25 x 4 = 9 A: 15 A both times."""
    found = steps_of(us.ask(us.demand(motors=(us.motor(1, 4, hermetic=True),))))
    assert found["ceiling/calculated_a"].value == pytest.approx(7)
    assert found["ceiling/raised_calculated_a"].value == pytest.approx(9)
    assert (found["ceiling/rating_a"].value, found["ceiling/raised_a"].value) == (15, 15)


def test_a_hermetic_motor_that_may_trip_names_its_article(us: Any) -> None:
    """22 A: raised to 45 A at most; 900 A locked ask for 252 A."""
    motor = us.motor(5, 22, hermetic=True, locked_rotor_current=us.figure(900))
    answer = us.ask(us.demand(motors=(motor,), starting_time=us.figure(0.1)))
    (said,) = [one for one in answer.findings if one.code == "protection.trips-at-start"]
    assert said.rule == "nec.440.22"
    assert answer.circuit.protective_device.rating_a == 45


@pytest.mark.parametrize(
    ("current", "device", "rating", "raised"),
    [
        (34, "dual_element_fuse", 60, 70),  # 59.5 up to 60 A; 76.5 down to 70 A
        (1.7, "dual_element_fuse", 3, None),  # 2.975 up to 3 A; 3.825 down to 3 A: no more
        (10, "nontime_delay_fuse", 30, 40),
    ],
)
def test_ceilings_of_fuses(
    us: Any, current: float, device: str, rating: float, raised: float | None
) -> None:
    """Fuses have standard ratings of their own below 15 A."""
    draft = Draft(us.code.book, Worksheet("x"), ())
    found = motor_ceiling(draft, us.figure(current), "polyphase_other_than_wound_rotor", device)
    assert found.rating.value == rating
    assert (found.raised.value if found.raised else None) == raised


def test_units_of_the_start(us: Any) -> None:
    found = steps_of(us.ask(us.demand(motors=(us.motor(10, 26),))))
    for name, unit in (("heating_time_constant_s", "s"), ("time_s", "s"), ("hold", ""),
                       ("instantaneous_lower", ""), ("heat_a", "A"), ("peak_a", "A")):  # fmt: skip
        assert found[f"start/{name}"].unit == unit, name


def test_what_a_breaker_holds_for_ever_divides_the_heat(us: Any) -> None:
    """A band that holds 1.25 times the rating asks for four fifths of the rating."""
    book = us.code.book
    band = book.tables["breaker_band"]
    rows = [
        dict(one) | ({"value": "1.25"} if one["quantity"] == "hold" else {}) for one in band.rows
    ]
    tables = {**book.tables, "breaker_band": attrs.evolve(band, rows=rows)}
    demand = us.demand(motors=(us.motor(10, 26),), starting_time=us.figure(20))
    usual = us.step(us.ask(demand), "protective_device/start/heat_a")
    answer = answer_circuit(
        attrs.evolve(book, tables=tables, columns={}), demand, us.site(), us.supply(), PLACE
    )
    assert us.step(answer, "protective_device/start/heat_a") == pytest.approx(usual / 1.25)
