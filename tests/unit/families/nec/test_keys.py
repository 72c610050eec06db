"""Names of sizes, horsepower, voltage columns, standard ratings."""
# ruff: noqa: ANN401 - the builders take any field of a record

from pathlib import Path
from typing import Any

import attrs
import pytest

from ampwright.families.nec.book import Factor, book_of, horsepower, read_book, size_key, size_name
from ampwright.families.nec.motor import voltage_column
from ampwright.families.nec.ratings import ceiling_up, motor_most, next_down, next_up


@pytest.mark.parametrize(
    ("key", "value"), [("7-1/2", 7.5), ("1/2", 0.5), ("10", 10.0), ("1-1/2", 1.5), ("3/4", 0.75)]
)
def test_horsepower_keys(key: str, value: float) -> None:
    assert horsepower(key) == value


@pytest.mark.parametrize(
    ("key", "name"), [("14", "14 AWG"), ("4/0", "4/0 AWG"), ("250", "250 kcmil"), ("1", "1 AWG")]
)
def test_size_names(key: str, name: str) -> None:
    assert size_name(key) == name
    assert size_key(name) == key


@pytest.mark.parametrize("name", ["16 mm2", "4 mm2", "", "4"])
def test_a_metric_size_is_no_gauge(name: str) -> None:
    """4 mm2 is a fifth of 4 AWG."""
    assert size_key(name) == ""


def test_next_sizes(us: Any) -> None:
    book = us.code.book
    assert next_up(book, 60) == 60
    assert next_up(book, 60 * (1 + 1e-12)) == 60
    assert next_up(book, 60.0001) == 70
    assert next_up(book, 6001) == float("inf")
    assert ceiling_up(book, 6001) == 6000
    assert next_down(book, 59.999) == 50
    assert next_down(book, 9.9) == 0
    assert next_up(book, 2, "fuse") == 3


def test_devices_of_motors_round_as_the_code_says(us: Any) -> None:
    """Up here; a code that rounds down takes the rating below, and no less than its least."""
    book = us.code.book
    assert motor_most(book, 61) == 70
    assert motor_most(book, 3, "fuse") == 3
    factors = {**book.factors, "motor_device_rounds_up": Factor(value=0.0, rule=""),
               "motor_device_least_a": Factor(value=15.0, rule="")}  # fmt: skip
    down = attrs.evolve(book, factors=factors)
    assert motor_most(down, 61) == 60
    assert motor_most(down, 70) == 70
    assert motor_most(down, 12) == 15


def test_the_own_folder_of_a_code_is_the_uppermost(us: Any) -> None:
    layers = attrs.evolve(us.code.layers, folders=(Path("family"), Path("country")))
    assert attrs.evolve(us.code, layers=layers).folder == Path("country")


def test_a_manifest_makes_the_drop_binding_and_nothing_else(us: Any) -> None:
    layers = us.code.layers
    manifest = {**layers.manifest, "limits": {"drop_fraction": 0.03}}
    strict = book_of(attrs.evolve(layers, manifest=manifest))
    changed = {
        name: one.value for name, one in strict.factors.items()
        if one.value != us.code.book.factor(name)
    }  # fmt: skip
    assert changed == {"drop_binding": 0.03}
    assert strict.factors.keys() == us.code.book.factors.keys()


def test_an_unknown_edition(us: Any) -> None:
    with pytest.raises(KeyError):
        read_book(us.code.folder, "1897")


@pytest.mark.parametrize(
    ("volts", "column"),
    [
        (115, "v115"), (120, "v115"), (200, "v200"), (208, "v208"), (220, "v230"), (240, "v230"),
        (440, "v460"), (480, "v460"), (575, "v575"), (600, "v575"), (400, None), (380, None),
    ],
)  # fmt: skip
def test_voltage_columns(us: Any, volts: float, column: str | None) -> None:
    assert voltage_column(us.code.book, volts) == column


def test_tables_of_other_standards_keep_their_own_edition(us: Any) -> None:
    book = us.code.book
    assert book.source("breaker_band").edition == "current"
    assert book.source("ampacity").edition == "2023"
    assert book.source("motor_device_percent").clause == "Table 430.52(C)(1)"
    older = us.code.in_edition("2020").book
    assert older.source("motor_device_percent").clause == "Table 430.52"


def test_rows_from_memory_are_known(us: Any) -> None:
    book = us.code.book
    assert not book.from_memory("ampacity", "600")
    assert book.from_memory("ampacity", "700")
    assert book.from_memory("receptacles", "6-30")
    assert not book.from_memory("raceway_rmc", "1")
    assert not book.from_memory("duty_percent", "varying")
    assert not book.from_memory("cord_ampacity", "10")
    assert book.from_memory("cord_ampacity", "4")
