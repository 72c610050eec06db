"""The tables of region `iec`: whole, rising where they must rise, and right against a second way.

Second ways are: the formula of annex D for ampacities; the heat balance for ambient factors;
resistivity for conductors; the formula of annex A for adiabatic constants; the kernels' own bands
for curves and trip classes; power, voltage and a band of efficiency for motor currents.
"""

import itertools
import math
import tomllib
from pathlib import Path

import pytest

import ampwright
import ampwright.regions.iec
from ampwright.families.iec.book import Book, Column, book_of
from ampwright.families.layered import read_layers
from ampwright.kernels.cable import ALUMINIUM, COPPER, adiabatic_k, ambient_factor
from ampwright.kernels.protection import ThermalCurve, breaker_band, fuse_band, overload_band
from ampwright.tables import Table

FOLDER = Path(ampwright.regions.iec.__file__).parent
BOOK: Book = book_of(read_layers(FOLDER))
SOURCE = Path(ampwright.__file__).parent / "families" / "iec"
#: Higher method first: what is cooler by its place carries more at every size in common.
COOLER = (("A1", "A2"), ("B1", "A1"), ("B1", "B2"), ("B2", "A2"), ("C", "B2"), ("E", "C"))


def rising(values: list[float]) -> bool:
    return all(a < b for a, b in itertools.pairwise(values))


@pytest.mark.parametrize("table", BOOK.tables.values(), ids=lambda table: table.id)
def test_states_its_source_and_has_no_hole(table: Table) -> None:
    assert table.heads["source"]
    assert len(table.heads["status"]) > 10
    assert table.heads["edition"]
    assert table.rows
    for row in table.rows:
        assert row[table.key]
        if "known" in table.columns:
            assert row["known"] in {"seen", "memory", "practice"}
        if "rule" in table.columns:
            assert row["rule"] in BOOK.rules


def test_every_rule_says_where_it_stands() -> None:
    for rule, source in BOOK.rules.items():
        assert rule.startswith("iec.")
        assert source.document
        assert source.clause or rule == "iec.operator"


def test_every_rule_that_the_code_names_has_a_source_and_every_source_a_use() -> None:
    text = "".join(path.read_text(encoding="utf-8") for path in SOURCE.glob("*.py"))
    named = {part.split('"')[0] for part in text.split('"iec.')[1:]}
    named = {f"iec.{part}" for part in named}
    assert named <= BOOK.rules.keys()
    by_tables = {
        row["rule"]
        for name, table in BOOK.tables.items()
        if name != "rules" and "rule" in table.columns
        for row in table.rows
    }
    # clauses that a country may need, and that no rule of ours asks for yet
    spare = {"iec.60038", "iec.60204-1.12.4", "iec.60204-1.12.5", "iec.60445", "iec.444",
             "iec.61000-3-12", "iec.61800-5-1", "iec.435.1"}  # fmt: skip
    assert BOOK.rules.keys() - named - by_tables == spare


def test_every_factor_is_used() -> None:
    text = "".join(path.read_text(encoding="utf-8") for path in SOURCE.glob("*.py"))
    for name in BOOK.factors:
        stem = name.replace("copper", "{").replace("aluminum", "{").split("{")[0]
        assert stem in text, name


# ampacities


def test_ampacities_are_complete_and_rise_with_size() -> None:
    for insulation, loaded, method in itertools.product(
        ("pvc", "xlpe"), (2, 3), ("A1", "A2", "B1", "B2", "C", "D1", "D2", "E")
    ):
        column = Column(insulation, loaded, "copper", method)
        cells = [BOOK.capacity(column, size) for size in BOOK.sizes]
        known = [cell for cell in cells if cell is not None]
        assert len(known) >= 12, column
        assert cells[: len(known)] == known, column
        assert rising(known), column


@pytest.mark.parametrize(("cooler", "warmer"), COOLER)
def test_a_cooler_method_carries_more(cooler: str, warmer: str) -> None:
    for insulation, loaded, size in itertools.product(("pvc", "xlpe"), (2, 3), BOOK.sizes):
        high = BOOK.capacity(Column(insulation, loaded, "copper", cooler), size)
        low = BOOK.capacity(Column(insulation, loaded, "copper", warmer), size)
        if high is not None and low is not None:
            assert high >= low, (insulation, loaded, size)


def test_two_loaded_carry_more_than_three_and_xlpe_more_than_pvc() -> None:
    for column, sizes in BOOK.ampacities.items():
        for size, cell in sizes.items():
            if column.loaded == 3 and column.method in ("A1", "A2", "B1", "B2", "C", "D1", "E"):
                two = BOOK.capacity(column._replace(loaded=2), size)
                assert two is not None or column.insulation == "xlpe"
                assert two is None or two > cell.amperes
            if column.insulation == "pvc":
                better = BOOK.capacity(column._replace(insulation="xlpe"), size)
                assert better is None or better > cell.amperes


def test_aluminum_carries_three_quarters_of_copper() -> None:
    for column, sizes in BOOK.ampacities.items():
        for size, cell in sizes.items() if column.material == "aluminum" else ():
            copper = BOOK.capacity(column._replace(material="copper"), size)
            assert copper is not None
            assert 0.72 <= cell.amperes / copper <= 0.83, (column, size)


def test_machine_wiring_at_40_c_follows_from_the_building_wiring() -> None:
    for method in ("B1", "B2", "C", "E"):
        for size, amperes in BOOK.column("machine_wiring", method).items():
            base = BOOK.capacity(Column("pvc", 3, "copper", method), size)
            if base is not None and float(size) >= 1.5:
                assert 0.85 <= amperes / base <= 0.90, (method, size)


# factors


@pytest.mark.parametrize(("table", "reference"), [("ambient_air", 30), ("ambient_ground", 20)])
@pytest.mark.parametrize(("column", "limit"), [("pvc", 70), ("xlpe", 90)])
def test_ambient_factors_are_the_heat_balance(
    table: str, reference: int, column: str, limit: int
) -> None:
    cells = BOOK.column(table, column)
    assert rising([-value for value in cells.values()])
    for ambient, factor in cells.items():
        closed = ambient_factor(float(ambient), limit_c=limit, rated_ambient_c=reference)
        assert factor == pytest.approx(closed, abs=0.005)


@pytest.mark.parametrize(
    ("table", "columns"),
    [
        ("grouping", ("bunched", "wall", "ceiling", "tray", "ladder")),
        ("grouping_ground", ("duct", "direct")),
    ],
)
def test_more_circuits_together_carry_less(table: str, columns: tuple[str, ...]) -> None:
    for name in columns:
        values = list(BOOK.column(table, name).values())
        assert values[0] <= 1.0
        assert all(a >= b > 0 for a, b in itertools.pairwise(values))


def test_drier_soil_carries_less() -> None:
    for name in ("d1", "d2"):
        cells = BOOK.column("soil", name)
        assert cells["2.5"] == 1.0
        assert rising([-value for value in cells.values()])


# conductors


def test_resistance_is_near_resistivity_over_area() -> None:
    ideal = {"copper": 17.241, "flexible": 17.241, "aluminum": 28.264}
    for metal, rho in ideal.items():
        for size, ohms in BOOK.column("resistance", metal).items():
            assert 1.03 <= ohms * float(size) / rho <= 1.16, (metal, size)


def test_every_size_in_use_has_a_resistance() -> None:
    assert set(BOOK.sizes) <= BOOK.column("resistance", "copper").keys()
    assert rising([float(size) for size in BOOK.sizes])


def test_adiabatic_constants_follow_from_annex_a() -> None:
    metals = {"copper": COPPER, "aluminum": ALUMINIUM}
    for row in BOOK.tables["adiabatic"].rows:
        metal = row["row"].split()[0]
        if metal in metals:
            ours = adiabatic_k(float(row["initial_c"]), float(row["final_c"]), metals[metal])
            assert float(row["k"]) == pytest.approx(ours, rel=0.006), row["row"]


# devices


@pytest.mark.parametrize("curve", ["B", "C", "D"])
def test_curves_agree_with_the_band_of_the_kernel(curve: str) -> None:
    row = BOOK.row("device_curves", curve)
    band = breaker_band(curve, 32)
    sold = breaker_band(f"{curve}-as-sold", 32)
    assert float(row["instant_low"]) == band.instant_low
    assert float(row["instant_high"]) == band.instant_high
    assert isinstance(sold.early, ThermalCurve)
    assert float(row["hold"]) == sold.early.pickup
    assert float(row["time_constant_s"]) == pytest.approx(sold.early.tau_s, rel=1e-4)


def test_trip_classes_agree_with_the_band_of_the_kernel() -> None:
    for row in BOOK.tables["overload_classes"].rows:
        early = overload_band(row["class"]).early
        assert isinstance(early, ThermalCurve)
        assert float(row["hold"]) == early.pickup
        assert float(row["time_constant_s"]) == pytest.approx(early.tau_s, rel=1e-4)


def test_the_fuse_factor_keeps_the_conventional_current_below_145_per_cent() -> None:
    for row in BOOK.tables["device_curves"].rows:
        assert float(row["trip"]) / float(row["cable_factor"]) <= 1.45 * 1.005, row["row"]


def test_every_fuse_rating_has_gates_or_is_left_out() -> None:
    for key in BOOK.column("device_ratings", "gG"):
        assert fuse_band("gG", float(key)).late


def test_ratings_are_their_own_keys() -> None:
    for series in ("60898", "60947-2", "gG"):
        for key, rating in BOOK.column("device_ratings", series).items():
            assert float(key) == rating
    for table in ("breaking_capacities", "switch_ratings", "residual_current_devices"):
        cells = BOOK.column(table, "rating_a")
        assert rising(list(cells.values()))
        assert all(float(key) == value for key, value in cells.items())


def test_let_through_rises_with_fault_and_rating() -> None:
    rows = BOOK.tables["let_through"].rows
    for one, two in itertools.pairwise(rows):
        if (one["curve"], one["over_a"]) == (two["curve"], two["over_a"]):
            assert float(one["fault_a"]) < float(two["fault_a"])
            assert float(one["let_through_a2s"]) < float(two["let_through_a2s"])
    for row in rows:  # less than a whole half-wave of the prospective current lets through
        assert float(row["let_through_a2s"]) < float(row["fault_a"]) ** 2 * 0.01


def test_fuses_let_through_what_melts_them_in_four_milliseconds() -> None:
    """IEC 60269-2, from memory: the limit of operating I2t is that of its test current for 4 ms.

    The currents rise by the step of ratings: that of 1.6 times a rating operates at more.
    """
    rows = [row for row in BOOK.tables["let_through"].rows if row["curve"] == "gG"]
    assert len(rows) > 15
    for row in rows:
        from_a, energy = float(row["from_a"]), float(row["let_through_a2s"])
        assert energy == pytest.approx(from_a**2 * 0.004, rel=0.025)
        assert from_a > 20 * float(row["upto_a"])
    assert rising([float(row["let_through_a2s"]) for row in rows])
    assert all(row["rule"] in BOOK.rules for row in BOOK.tables["let_through"].rows)


def test_disconnection_is_quicker_at_higher_voltage_and_in_tt() -> None:
    for kind in ("tn", "tt"):
        times = [
            float(row["final_s"])
            for row in BOOK.tables["disconnection_times"].rows
            if row["system"] == kind
        ]
        assert rising([-value for value in times])
    final = BOOK.column("disconnection_times", "final_s")
    for voltage in ("to 120 V", "to 230 V", "to 400 V", "above 400 V"):
        assert final[f"tt {voltage}"] < final[f"tn {voltage}"]


def test_the_order_of_residual_current_types_is_that_of_what_they_bear() -> None:
    order = BOOK.column("residual_current_types", "order")
    assert sorted(order, key=lambda one: order[one]) == ["AC", "A", "F", "B"]
    smooth = BOOK.column("residual_current_types", "smooth_dc_a")
    assert smooth["AC"] < smooth["A"] < smooth["F"]
    for row in BOOK.tables["residual_current_needs"].rows:
        for arrangement in ("line-neutral", "line-line", "split-phase"):
            assert row[arrangement] in order


# motors


def test_motor_currents_follow_from_power_and_voltage() -> None:
    for volts, column in ((230.0, "i_230v"), (400.0, "i_400v")):
        cells = BOOK.column("motor_currents", column)
        assert rising(list(cells.values()))
        for kw, amperes in cells.items():
            product = 1000 * float(kw) / (math.sqrt(3) * volts * amperes)
            low = 0.38 if float(kw) < 0.75 else 0.55
            assert low <= product <= 0.92, (kw, column)  # efficiency times power factor


# the manifest


def test_the_manifest_names_what_the_tables_have() -> None:
    manifest = tomllib.loads((FOLDER / "manifest.toml").read_text(encoding="utf-8"))
    usual = manifest["usual"]
    assert BOOK.row("insulation", usual["insulation"])
    assert BOOK.row("installations", usual["installation"])
    for row in BOOK.tables["installations"].rows:
        if row["insulation"]:
            assert BOOK.row("insulation", row["insulation"])
        table = "grouping_ground" if row["ground"] else "grouping"
        assert row["grouping"] in BOOK.tables[table].columns
        assert BOOK.capacity(Column("pvc", 3, "copper", row["method_three"] or row["method"]), "25")
    for supply in manifest["supplies"]:
        assert supply["lowest_v"] < supply["highest_v"]
