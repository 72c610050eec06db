"""The supply at the panel: the best that is known of its impedance, and its volts to earth."""
# ruff: noqa: ANN401 - fields of a record of any kind

import math
from typing import Any

import pytest
from tests.unit.planning.shops import recomputed, step, supply

from ampwright.case import SupplyCase
from ampwright.kernels.legs import Source, line_neutral, split_phase
from ampwright.planning.supply import FIGURES, Reading, area, feeder, supply_case
from ampwright.records.supply import Feeder, MeasuredDrop
from ampwright.step import Step, Worksheet


def usual(name: str) -> float:
    """Return a planning value of the table."""
    value = FIGURES.number(name, "value")
    assert value is not None
    return value


def read(**changes: Any) -> tuple[SupplyCase, Reading]:
    return supply_case(supply(**changes))


def steps_of(reading: Reading) -> dict[str, Step]:
    return {one.path: one for one in reading.sheet.steps}


def asked(reading: Reading) -> set[str]:
    return {one.code for one in reading.questions}


def assumed(reading: Reading) -> list[str]:
    return [one.code for one in reading.assumptions]


@pytest.mark.parametrize(
    ("size", "mm2"),
    [
        # circular mils of ASTM B258 as printed in NEC chapter 9, table 8, in mm2; from memory
        ("14 AWG", 2.08),
        ("10 AWG", 5.261),
        ("4 AWG", 21.15),
        ("1 AWG", 42.41),
        ("1/0 AWG", 53.49),
        ("4/0 AWG", 107.2),
        ("250 kcmil", 127.0),
        ("500 kcmil", 253.0),
        ("10 mm2", 10.0),
        ("2.5 mm2", 2.5),
    ],
)
def test_the_area_of_a_standard_size(size: str, mm2: float) -> None:
    reading = Reading(supply(), Worksheet("supply"))
    assert area(reading, size).value == pytest.approx(mm2, rel=4e-3)
    assert any(one.text == size for one in reading.sheet.steps)


def test_a_feeder_is_two_conductors_of_hot_copper() -> None:
    """2 x 0.0217 x 30 / 21.15 = 0.06156 ohm; 2 x 0.00015 x 30 = 0.009 ohm."""
    reading = Reading(supply(feeder=Feeder(size="4 AWG", length="30 m")), Worksheet("supply"))
    loop = feeder(reading)
    assert loop is not None
    assert loop[0].value == pytest.approx(2 * usual("rho") * 30 / 21.15, rel=1e-3)
    assert loop[1].value == pytest.approx(2 * usual("x_feeder") * 30)


def loop_of(**feeder_fields: Any) -> tuple[float, float]:
    stated = supply(feeder=Feeder(**feeder_fields))
    loop = feeder(Reading(stated, Worksheet("supply")))
    assert loop is not None
    return loop[0].value, loop[1].value


def test_a_longer_feeder_raises_its_loop_in_proportion() -> None:
    short, long = (loop_of(size="4 AWG", length=one) for one in ("10 m", "25 m"))
    assert long == pytest.approx([2.5 * one for one in short])


def test_sets_in_parallel_share_the_current() -> None:
    one, two = loop_of(size="4 AWG", length="30 m"), loop_of(
        size="4 AWG", length="30 m", parallel_sets=2
    )  # fmt: skip
    assert two == pytest.approx([part / 2 for part in one])


def test_aluminum_resists_more_by_the_ratio_of_the_metals() -> None:
    """1.64 by the table's own words; reactance is that of the same geometry."""
    copper = loop_of(size="4 AWG", length="30 m")
    aluminum = loop_of(size="4 AWG", length="30 m", material="aluminum")
    assert aluminum[0] / copper[0] == pytest.approx(1.64, rel=2e-3)
    assert aluminum[1] == copper[1]


@pytest.mark.parametrize("known", [{"size": "4 AWG"}, {"length": "30 m"}])
def test_half_a_feeder_is_none(known: dict[str, str]) -> None:
    assert feeder(Reading(supply(feeder=Feeder(**known)), Worksheet("supply"))) is None  # type: ignore[arg-type] # one field each


KNOWN: tuple[tuple[dict[str, Any], float], ...] = (
    ({"impedance": "0.11 ohm"}, 0.11),
    # 6 V at 40 A
    ({"measured_drop": MeasuredDrop(voltage="6 V", current="40 A")}, 0.15),
    # 240 V / 1200 A
    ({"fault_current": "1.2 kA"}, 0.2),
    # 0.025 x 240^2 / 25 kVA
    ({"transformer": "25 kVA"}, 0.0576),
    # 3 % of 240 V at 100 A
    ({"rating": "100 A"}, 0.072),
)


@pytest.mark.parametrize(("stated", "ohm"), KNOWN)
def test_impedance_from_each_thing_that_may_be_known(stated: dict[str, Any], ohm: float) -> None:
    case, _ = read(**({"rating": None} | stated))
    assert case.impedance.value == pytest.approx(ohm)
    # the angle is assumed: resistance 1.2 times reactance
    assert case.resistance.value / case.reactance.value == pytest.approx(usual("angle"))
    assert math.hypot(case.resistance.value, case.reactance.value) == pytest.approx(ohm)


def test_what_is_known_best_goes_first() -> None:
    """Each line of the list above beats all below it."""
    for n, (stated, ohm) in enumerate(KNOWN):
        everything = {key: value for one, _ in KNOWN[n:] for key, value in one.items()} | stated
        assert read(**everything)[0].impedance.value == pytest.approx(ohm)


def test_nothing_known_is_asked_and_assumed() -> None:
    case, reading = read(rating=None)
    assert case.impedance.value == pytest.approx(usual("drop") * 240 / usual("rating"))
    assert "supply.impedance" in asked(reading)
    assert {"supply.rating-assumed", "supply.impedance-assumed"} <= set(assumed(reading))


def test_a_rating_is_no_impedance_so_it_is_still_asked() -> None:
    _, reading = read()
    assert "supply.impedance" in asked(reading)
    assert "supply.rating-assumed" not in assumed(reading)
    for stated, _ in KNOWN[:4]:
        assert "supply.impedance" not in asked(read(**stated)[1])


def test_an_existing_feeder_comes_on_top_of_what_is_ahead_of_it() -> None:
    """The transformer's 0.0576 ohm is ahead; 4 AWG, 30 m add 0.0616 and 0.009 ohm."""
    long = Feeder(size="4 AWG", length="30 m")
    ahead, _ = read(transformer="25 kVA")
    behind, _ = read(transformer="25 kVA", feeder=long)
    r, x = loop_of(size="4 AWG", length="30 m")
    assert behind.resistance.value - ahead.resistance.value == pytest.approx(r)
    assert behind.reactance.value - ahead.reactance.value == pytest.approx(x)


@pytest.mark.parametrize("stated", [one for one, _ in KNOWN[:3]])
def test_what_is_known_at_the_panel_holds_the_feeder_already(stated: dict[str, Any]) -> None:
    with_feeder = read(**stated, feeder=Feeder(size="4 AWG", length="30 m"))[0]
    assert with_feeder.impedance.value == pytest.approx(read(**stated)[0].impedance.value)


@pytest.mark.parametrize(
    ("changes", "volts"),
    [
        ({}, (120.0, 120.0)),
        ({"arrangement": "line-neutral", "voltage": "230 V"}, (230.0, 0.0)),
        ({"arrangement": "line-line", "voltage": "208 V"}, (120.089, 120.089)),
        ({"arrangement": "line-line", "voltage": "230 V", "earthing": "it"}, (230.0, 230.0)),
        ({"arrangement": "line-line", "voltage": "208 V", "voltage_to_earth": "120 V"}, (120, 120)),
        (
            {"arrangement": "line-neutral", "voltage": "230 V", "voltage_to_earth": "231 V"},
            (231.0, 0.0),
        ),
    ],
)
def test_volts_to_earth_by_arrangement(changes: dict[str, Any], volts: tuple[float, float]) -> None:
    case, _ = read(**changes)
    assert [one.value for one in case.voltage_to_earth] == pytest.approx(volts, rel=1e-5)


def test_where_nothing_is_earthed_the_whole_voltage_is_assumed() -> None:
    floating = {"arrangement": "line-line", "voltage": "230 V", "earthing": "it"}
    assert "supply.earth-floating" in assumed(read(**floating)[1])
    assert "supply.earth-floating" not in assumed(read(**floating, voltage_to_earth="133 V")[1])


def led(volts: float, angle: complex) -> Source:
    """Return two lines of a star in the star's own order, by geometry: mid-point opposite to C."""
    height = -1j * volts / (2.0 * 3**0.5)
    return Source(volts / 2.0 + height, -volts / 2.0 + height, angle / 2.0, angle / 2.0)


def test_the_made_leg_of_two_lines_stands_near_the_missing_phase() -> None:
    source = read(arrangement="line-line", voltage="208 V")[0].source
    # the third corner of the triangle, ahead of A by a third of a turn: C - mid = j sqrt(3)/2 U
    made = (source.e_a_v + source.e_b_v) / 2.0 + 1j * 3**0.5 / 2.0 * 208.0
    assert abs(made) == pytest.approx(208.0 / 3**0.5, rel=1e-12)


def test_the_model_gets_the_same_supply() -> None:
    z = complex(0.06, 0.05)
    stated = {"impedance": f"{abs(z):.12f} ohm"}
    scale = usual("angle")
    angle = complex(scale, 1.0) / abs(complex(scale, 1.0)) * abs(z)
    cases: tuple[tuple[dict[str, str], Source], ...] = (
        ({}, split_phase(240.0, angle)),
        (
            {"arrangement": "line-neutral", "voltage": "230 V"},
            line_neutral(230.0, angle / 2, angle / 2),
        ),
        # of the two lines the one that leads is called A, so that leg C comes near the third phase
        ({"arrangement": "line-line", "voltage": "208 V"}, led(208.0, angle)),
    )
    for changes, expected in cases:
        found = read(**stated, **changes)[0].source
        assert all(abs(one - other) < 1e-9 for one, other in zip(found, expected, strict=True)), (
            changes
        )
        assert abs(found.e_a_v - found.e_b_v) == pytest.approx(
            float(str(changes.get("voltage", "240 V")).split()[0])
        )


def test_highest_and_lowest_are_measured_or_a_usual_share() -> None:
    case, reading = read()
    assert case.highest.value == pytest.approx(240 * usual("V_high"))
    assert case.lowest.value == pytest.approx(240 * usual("V_low"))
    assert {"supply.highest-assumed", "supply.lowest-assumed"} <= set(assumed(reading))
    case, reading = read(highest_voltage="251 V", lowest_voltage="229 V")
    assert (case.highest.value, case.lowest.value) == (251.0, 229.0)
    assert case.highest.path == "shop/supply/highest_voltage_v"
    assert not {"supply.highest-assumed", "supply.lowest-assumed"} & set(assumed(reading))


def test_an_unknown_fault_current_is_asked_for_safety() -> None:
    case, reading = read()
    assert case.fault_largest is None
    (one,) = [one for one in reading.questions if one.code == "supply.fault-current"]
    assert (one.changes, one.field) == ("safety", "supply.fault_current")
    case, reading = read(fault_current="8 kA")
    assert case.fault_largest is not None
    assert (case.fault_largest.value, case.fault_largest.path) == (
        8000.0, "shop/supply/fault_current_a",
    )  # fmt: skip
    assert "supply.fault-current" not in asked(reading)


def test_every_assumption_carries_its_step_and_band() -> None:
    _, reading = read()
    by_path = steps_of(reading)
    for one in reading.assumptions:
        for part in one.parameters:
            found = by_path[part.step]
            assert (found.kind, found.value) == ("assumed", part.value)
            assert found.low is not None
            assert found.high is not None
            assert found.low <= float(found.value) <= found.high


def test_formulas_are_those_of_the_page() -> None:
    """The formula of a feeder on numbers of another feeder: 50 m of 10 mm2."""
    _, reading = read(feeder=Feeder(size="4 AWG", length="30 m"))
    found = recomputed(reading.sheet.steps, "feeder/resistance", rho=0.02, l=50, A=10, n=1)
    assert found == pytest.approx(0.2)
    assert step(reading.sheet.steps, "feeder/resistance").unit == "ohm"
