"""The tables of region `us`: whole, rising where they must rise, and right against a second way.

Second ways are: the equation of 310.15(B) and the heat balance behind 310.16; power, voltage and
bands of efficiency and power factor for motor currents; resistivity and geometry for conductors and
raceways; the square root of the duty cycle for welders. A ratio between columns is a derivation
too where the code itself prints one column as a multiple of another.
"""

import itertools
import math
from pathlib import Path

import pytest

import ampwright.regions.us
from ampwright.families.nec.book import horsepower, read_book
from ampwright.tables import Table

FOLDER = Path(ampwright.regions.us.__file__).parent
BOOKS = {edition: read_book(FOLDER, edition) for edition in ("2023", "2020")}
BOOK = BOOKS["2023"]
AWG = ("14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0")
KCMIL = ("250", "300", "350", "400", "500", "600", "700", "750", "800", "900", "1000")
COPPER_60C, COPPER_75C, COPPER_90C = "cu_60c", "cu_75c", "cu_90c"
METALS = ("cu", "al")


def column(table: str, name: str) -> dict[str, float]:
    return dict(BOOK.column(table, name))


def rising(values: list[float], *, strictly: bool = True) -> bool:
    pairs = itertools.pairwise(values)
    return all(a < b if strictly else a <= b for a, b in pairs)


@pytest.mark.parametrize("table", BOOK.tables.values(), ids=lambda table: table.id)
def test_states_its_source_and_has_no_hole(table: Table) -> None:
    assert table.heads["source"]
    assert len(table.heads["status"]) > 10
    assert table.heads["edition"]
    assert table.rows
    for row in table.rows:
        assert row[table.key]
        if "known" in table.columns:
            assert row["known"] in {"", "seen", "memory", "practice"}


def test_rules_are_named_in_both_editions() -> None:
    assert BOOKS["2020"].rules.keys() == BOOK.rules.keys()
    for edition, book in BOOKS.items():
        for rule, source in book.rules.items():
            assert source.clause, rule
            assert source.edition == edition
    for factor in BOOK.factors.values():
        assert factor.rule in BOOK.rules
    for row in BOOK.tables["dwelling_load"].rows:
        assert row["rule"] in BOOK.rules


# 310.16


@pytest.mark.parametrize("metal", METALS)
@pytest.mark.parametrize("temperature", [60, 75, 90])
def test_ampacity_is_complete_and_rises_with_size(metal: str, temperature: int) -> None:
    cells = column("ampacity", f"{metal}_{temperature}c")
    first = 0 if metal == "cu" else 1
    assert set(AWG[first:] + KCMIL) <= cells.keys()
    assert rising(list(cells.values()))


@pytest.mark.parametrize("metal", METALS)
def test_ampacity_rises_with_temperature(metal: str) -> None:
    for key in column("ampacity", f"{metal}_75c"):
        cells = [BOOK.cell("ampacity", key, f"{metal}_{t}c") for t in (60, 75, 90)]
        assert rising([cell for cell in cells if cell is not None])


@pytest.mark.parametrize("metal", METALS)
@pytest.mark.parametrize(("cooler", "hotter"), [(60, 75), (75, 90), (60, 90)])
def test_ampacity_columns_against_the_heat_balance(metal: str, cooler: int, hotter: int) -> None:
    """I^2 R(T) = (T - 30)/thermal resistance, R at T: the ratio of two columns of one size.

    Within 1 % and what rounding to steps of 5 A leaves, at first and second value.
    """
    zero_c = 234.5 if metal == "cu" else 228.0  # temperature of no resistance, IEC 60949
    expected = math.sqrt((hotter - 30) / (cooler - 30) * (zero_c + cooler) / (zero_c + hotter))
    low, high = (column("ampacity", f"{metal}_{t}c") for t in (cooler, hotter))
    for key, amps in low.items():
        tolerance = 0.01 + 2.5 / amps + 2.5 / high[key]
        assert high[key] / amps == pytest.approx(expected, rel=tolerance), key


@pytest.mark.parametrize("temperature", [60, 75, 90])
def test_aluminum_against_copper(temperature: int) -> None:
    """Same size: about the root of the conductivity ratio 0.61, which is 0.78."""
    copper, aluminum = (column("ampacity", f"{m}_{temperature}c") for m in METALS)
    for key, amps in aluminum.items():
        assert 0.71 < amps / copper[key] < 0.91, key


# ambient and grouping


@pytest.mark.parametrize("temperature", [60, 75, 90])
def test_ambient_factors_against_their_equation(temperature: int) -> None:
    """310.15(B): sqrt((Tc - ta) / (Tc - 30)) at the upper edge of the row."""
    for row in BOOK.tables["ambient_factors"].rows:
        cell = row[f"f_{temperature}c"]
        at = float(row["to_c"])
        if cell:
            wanted = math.sqrt((temperature - at) / (temperature - 30))
            assert float(cell) == pytest.approx(wanted, abs=0.0051)
        else:
            assert at >= temperature


def test_ambient_bands_touch() -> None:
    for a, b in itertools.pairwise(BOOK.tables["ambient_factors"].rows):
        assert float(b["from_c"]) == float(a["to_c"]) + 1


def test_adjustment_falls_and_its_bands_touch() -> None:
    rows = BOOK.tables["adjustment_factors"].rows
    for a, b in itertools.pairwise(rows):
        assert float(b["from_n"]) == float(a["to_n"]) + 1
        assert float(b["factor"]) < float(a["factor"])
    assert rows[0]["factor"] == "1.0"


# devices and grounding


def test_standard_ratings_rise_and_gained_10_a_in_2023() -> None:
    for kind in ("breaker", "fuse"):
        for book in BOOKS.values():
            assert rising(list(book.ratings(kind)))
    assert set(BOOK.ratings()) - set(BOOKS["2020"].ratings()) == {10.0}
    assert set(BOOKS["2020"].ratings("fuse")) - set(BOOKS["2020"].ratings()) == {1, 3, 6, 10, 601}


def test_grounding_conductor_rises_and_aluminum_is_larger() -> None:
    areas = column("conductor_properties", "circular_mils")
    rows = BOOK.tables["grounding_conductor"].rows
    for metal in METALS:
        assert rising([areas[row[metal]] for row in rows], strictly=False)
    for row in rows:
        ratio = areas[row["al"]] / areas[row["cu"]]
        assert 1.19 < ratio < 1.8, row  # conductivity ratio 1.64, in steps of the sizes


def test_grounding_conductor_carries_a_quarter_of_the_device() -> None:
    """A second way, rough: the share of the device falls from 133 % at 15 A to 17 % at 1200 A."""
    ampacity = column("ampacity", COPPER_75C)
    rows = BOOK.tables["grounding_conductor"].rows
    shares = [
        ampacity[row["cu"]] / float(row["ocpd_max_a"]) for row in rows if row["cu"] in ampacity
    ]
    assert rising(list(reversed(shares)))
    assert 1.0 < shares[0] < 1.4


# motor currents

EXACT = {"v208": 1.10, "v200": 1.15, "v115": 2.0, "v460": 0.5, "v575": 0.4}


@pytest.mark.parametrize("table", ["motor_current_three_phase", "motor_current_single_phase"])
def test_motor_current_columns_are_multiples_of_230_v(table: str) -> None:
    """208 V = 1.10, 200 V = 1.15, 115 V = 2, 460 V = 0.5, 575 V = 0.4 times, within rounding."""
    base = column(table, "v230")
    for name, ratio in EXACT.items():
        if name in BOOK.tables[table].columns:
            for key, amps in column(table, name).items():
                if key in base:
                    whole = amps >= 9 and amps == round(amps)  # rounded to whole amperes
                    limit = 0.61 if whole else 0.061
                    assert amps == pytest.approx(base[key] * ratio, abs=limit), (key, name)


@pytest.mark.parametrize("table", ["motor_current_three_phase", "motor_current_single_phase"])
def test_motor_currents_rise_with_power(table: str) -> None:
    for name in BOOK.tables[table].columns[1:]:
        if name.startswith("v"):
            cells = column(table, name)
            assert rising(list(cells.values()), strictly=name != "v575")
            assert rising([horsepower(key) for key in cells])


@pytest.mark.parametrize("volts", [115, 200, 208, 230, 460, 575, 2300])
def test_three_phase_currents_against_power(volts: int) -> None:
    """P / (sqrt(3) V I) is efficiency times power factor: 0.4 to 0.6 below 2 hp, 0.5 to 0.85."""
    products = []
    for key, amps in column("motor_current_three_phase", f"v{volts}").items():
        power = horsepower(key) * 745.7
        product = power / (math.sqrt(3) * volts * amps)
        assert (0.4 if power < 1200 else 0.5) < product < (0.6 if power < 1200 else 0.85), key
        products.append(product)
    for a, b in itertools.pairwise(products):
        assert b > 0.95 * a, "larger motors are not worse"


@pytest.mark.parametrize("volts", [115, 200, 208, 230])
def test_single_phase_currents_against_power(volts: int) -> None:
    """P / (V I): 0.20 to 0.70, rising with power, for efficiency times power factor."""
    for key, amps in column("motor_current_single_phase", f"v{volts}").items():
        assert 0.2 < horsepower(key) * 745.7 / (volts * amps) < 0.7, key


def test_single_over_three_phase_currents() -> None:
    """The same horsepower at 230 V: about the root of three, 1.7 to 2.3."""
    three, single = (column(f"motor_current_{p}_phase", "v230") for p in ("three", "single"))
    for key in ("2", "3", "5", "7-1/2", "10"):
        assert 1.7 < single[key] / three[key] < 1.95


# locked rotor


def test_single_phase_locked_rotor_is_six_times_full_load() -> None:
    full = column("motor_current_single_phase", "v230")
    for volts, ratio in ((115, 2.0), (230, 1.0), (208, 230 / 208)):
        for key, amps in column("locked_rotor_single_phase", f"v{volts}").items():
            assert amps == pytest.approx(6 * full[key] * ratio, abs=0.6), (key, volts)


def test_three_phase_locked_rotor_columns() -> None:
    """230 V value times 230/V; 115 V twice and 575 V 0.4 times, within rounding.

    The 230 V column against the limits of NEMA MG 1, 12.35, from memory.
    """
    base = column("locked_rotor_three_phase", "v230")
    limits = (
        20, 25, 30, 40, 50, 64, 92, 127, 162, 232, 290, 365, 435, 580, 725, 870, 1085, 1450, 1815,
        2170, 2900,
    )  # fmt: skip
    assert list(base.values()) == list(limits)
    for volts in (115, 200, 208, 460, 575):
        for key, amps in column("locked_rotor_three_phase", f"v{volts}").items():
            if key in base:
                assert amps == pytest.approx(base[key] * 230 / volts, rel=0.01, abs=0.6), key


def test_locked_rotor_over_full_load() -> None:
    full, locked = (
        column("motor_current_three_phase", "v230"),
        column("locked_rotor_three_phase", "v230"),
    )
    for key, amps in locked.items():
        assert 5.2 < amps / full[key] < 9.2, key


def test_code_letters_join() -> None:
    rows = BOOK.tables["code_letters"].rows
    assert [row["letter"] for row in rows] == list("ABCDEFGHJKLMNPRSTUV")
    for a, b in itertools.pairwise(rows):
        assert float(b["kva_per_hp_min"]) - float(a["kva_per_hp_max"]) == pytest.approx(0.01)


# percentages


def test_motor_device_percentages() -> None:
    for row in BOOK.tables["motor_device_percent"].rows:
        fuse, slow = float(row["nontime_delay_fuse"]), float(row["dual_element_fuse"])
        assert slow <= float(row["inverse_time_breaker"]) <= fuse
    for row in BOOK.tables["motor_device_ceiling"].rows:
        allowed = BOOK.cell("motor_device_percent", "single_phase", row["kind"])
        assert allowed is not None
        assert float(row["percent"]) > allowed


def test_welder_multipliers_are_the_root_of_the_duty() -> None:
    for key, multiplier in column("arc_welder", "nonmotor_generator").items():
        assert multiplier == pytest.approx(math.sqrt(float(key) / 100), abs=0.0065)


def test_resistance_welder_multipliers_are_the_root_of_the_duty() -> None:
    """Heat goes with the square of the current: the same root, and 1 / sqrt(2) at half the time."""
    cells = column("resistance_welder", "multiplier")
    for key, multiplier in cells.items():
        assert multiplier == pytest.approx(math.sqrt(float(key) / 100), abs=0.0055), key
    assert list(cells) == ["50", "40", "30", "25", "20", "15", "10", "7.5", "5"]
    arc = column("arc_welder", "nonmotor_generator")
    assert {key: cells[key] for key in ("50", "40", "30", "20")} == {
        key: arc[key] for key in ("50", "40", "30", "20")
    }


def test_motor_generator_welders_need_more() -> None:
    """A share of the input does not follow the duty: the multiplier lies above the root."""
    plain = column("arc_welder", "nonmotor_generator")
    for key, multiplier in column("arc_welder", "motor_generator").items():
        assert multiplier >= plain[key]
        rotating = math.sqrt(0.11 * (1 - float(key) / 100) + float(key) / 100)
        assert multiplier == pytest.approx(rotating, abs=0.04)


# conductors


def test_areas_of_gauges() -> None:
    """AWG: diameter 0.005 in x 92^((36 - n)/39); the area in circular mils within 0.1 %."""
    gauges = {str(n): n for n in (18, 16, 14, 12, 10, 8, 6, 4, 3, 2, 1)}
    gauges |= {"1/0": 0, "2/0": -1, "3/0": -2, "4/0": -3}
    areas = column("conductor_properties", "circular_mils")
    for key, n in gauges.items():
        exact = (5.0 * 92 ** ((36 - n) / 39)) ** 2
        assert areas[key] == pytest.approx(exact, rel=0.003), key
    assert rising(list(areas.values()))


@pytest.mark.parametrize(
    ("name", "siemens", "zero_c"),
    [("cu_uncoated_ohm_kft", 58.0, 234.5), ("al_ohm_kft", 35.38, 228.1)],
)
def test_resistance_against_resistivity(name: str, siemens: float, zero_c: float) -> None:
    """rho/A at 75 C, 100 % and 61 % IACS at 20 C, 2 % more for the lay of the strands."""
    for key, ohms in column("conductor_properties", name).items():
        area = BOOK.cell("conductor_properties", key, "circular_mils")
        assert area is not None
        metal_mm2 = area * 5.067074790974977e-4
        expected = 1.02 * 304.8 / (siemens * metal_mm2) * (zero_c + 75) / (zero_c + 20)
        assert ohms == pytest.approx(expected, rel=0.008, abs=0.00005), key


def test_coated_copper_resists_more() -> None:
    plain = column("conductor_properties", "cu_uncoated_ohm_kft")
    for key, ohms in column("conductor_properties", "cu_coated_ohm_kft").items():
        assert 1.01 < ohms / plain[key] < 1.07, key


@pytest.mark.parametrize("metal", METALS)
@pytest.mark.parametrize("raceway", ["pvc", "al", "steel"])
def test_impedance_against_direct_current(metal: str, raceway: str) -> None:
    """Alternating-current resistance lies at direct current's, or above for large sizes."""
    dc = column("conductor_properties", "cu_uncoated_ohm_kft" if metal == "cu" else "al_ohm_kft")
    ac = column("conductor_impedance", f"r_{metal}_{raceway}")
    for key, ohms in ac.items():
        assert 0.95 < ohms / dc[key] < 1.5, key
        if key in AWG[:9]:
            assert ohms == pytest.approx(dc[key], rel=0.06), key
    assert rising(list(reversed(ac.values())))


def test_reactance_in_steel_is_a_quarter_more() -> None:
    plastic, steel = (column("conductor_impedance", n) for n in ("xl_pvc_al", "xl_steel"))
    for key, ohms in plastic.items():
        assert steel[key] / ohms == pytest.approx(1.25, abs=0.04), key


@pytest.mark.parametrize("family", ["thhn", "xhhw", "thw"])
def test_insulated_areas_are_circles(family: str) -> None:
    diameters = column("insulated_area", f"{family}_diam_in")
    for key, area in column("insulated_area", f"{family}_area_in2").items():
        assert area == pytest.approx(math.pi / 4 * diameters[key] ** 2, rel=0.006), key
        bare = BOOK.cell("conductor_properties", key, "overall_diam_in")
        assert bare is not None
        assert diameters[key] > bare
    assert rising(list(diameters.values()))


RACEWAYS = [row["sizes"] for row in BOOK.tables["raceways"].rows if row["sizes"]]


@pytest.mark.parametrize("table", RACEWAYS)
def test_raceway_areas(table: str) -> None:
    """Area of a circle; 60, 53, 31 and 40 % of it."""
    total = column(table, "area_100")
    for key, diameter in column(table, "id_in").items():
        assert total[key] == pytest.approx(math.pi / 4 * diameter**2, abs=0.0017), key
        for percent in (60, 53, 31, 40):
            cell = BOOK.cell(table, key, f"area_{percent}")
            assert cell == pytest.approx(total[key] * percent / 100, abs=0.0016), (key, percent)
    assert rising(list(total.values()))


def test_fill_percentages() -> None:
    assert column("raceway_fill", "percent") == {
        "1": 53,
        "2": 31,
        "over_2": 40,
        "nipple_up_to_24in": 60,
    }


def test_grounding_electrode_conductor_rises() -> None:
    """Each bound is the area of a size; a fifth to an eighth of the area suffices, less above."""
    areas = column("conductor_properties", "circular_mils")
    rows = BOOK.tables["grounding_electrode_conductor"].rows
    for metal in METALS:
        assert rising([areas[row[metal]] for row in rows])
        assert rising([float(row[f"{metal}_to_cmil"]) for row in rows])
        for row in rows[:-1]:
            bound = float(row[f"{metal}_to_cmil"])
            assert bound in areas.values() or bound % 50000 == 0
            assert 0.1 < areas[row[metal]] / bound < 0.35


def test_cords_rise_and_two_conductors_carry_more() -> None:
    three, two = (column("cord_ampacity", name) for name in ("a_three", "b_two"))
    assert rising(list(three.values()))
    assert rising(list(two.values()))
    for key, amps in two.items():
        assert amps > three[key]
        if key in column("ampacity", COPPER_60C):
            assert three[key] <= 1.0 * (BOOK.cell("ampacity", key, COPPER_60C) or 0), key


@pytest.mark.parametrize(
    ("table", "name"),
    [
        ("disconnect_ratings", "rating_a"),
        ("interrupting_ratings", "rating_a"),
    ],
)
def test_ratings_rise(table: str, name: str) -> None:
    assert rising(list(column(table, name).values()))


def test_breaker_band_agrees_with_the_curve_of_the_kernel() -> None:
    """The same breaker in the planner's curve: pickup, time constant, instantaneous band."""
    from ampwright.kernels.protection import ThermalCurve, breaker_band  # noqa: PLC0415 - beside its use

    band = breaker_band("ul-489", 30)
    assert isinstance(band.early, ThermalCurve)
    ours = column("breaker_band", "value")
    assert ours["hold"] == band.early.pickup
    assert ours["heating_time_constant_s"] == pytest.approx(band.early.tau_s, rel=1e-4)
    assert ours["instantaneous_lower"] == band.instant_low
    assert ours["instantaneous_upper"] == band.instant_high


def test_small_conductors_stay_below_their_ampacity() -> None:
    for metal in METALS:
        for key, amps in column("small_conductors", metal).items():
            if key in AWG:
                assert amps <= (BOOK.cell("ampacity", key, f"{metal}_60c") or 0)


def test_duty_percentages_rise_with_the_time_rating() -> None:
    for row in BOOK.tables["duty_percent"].rows:
        names = [name for name in BOOK.tables["duty_percent"].columns if name.startswith("rated")]
        cells = [float(row[name]) for name in names if row[name]]
        assert rising(cells, strictly=False)
