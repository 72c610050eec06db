"""Every plate of tests/plates reads as a person reads it.

The plates are invented and the expected readings written by hand. Units are turned into watts by
the definitions of the horsepowers, 550 ft.lbf/s and 75 kgf.m/s.
"""

import tomllib
from pathlib import Path
from typing import Any

import pytest

from ampwright.finding import Finding
from ampwright.nameplate.plate import Plate, read_plate
from ampwright.records.motor import Motor, Rating

FOLDER = Path(__file__).parents[2] / "plates"
METRIC_HP_W = 75 * 9.80665
WATTS = {
    "W": 1.0,
    "kW": 1000.0,
    "hp": 745.6998715822702,
    **dict.fromkeys(("cv", "PS", "ch", "hk", "pk"), METRIC_HP_W),
}
OPEN = {"not-read", "contradicted", "undecided"}
LISTS = {
    "volts": "voltage_v",
    "amps": "current_a",
    "hz": "frequency_hz",
    "rpm": "speed_rpm",
    "links": "connection",
    "begin": "voltage_from_v",
}
SINGLE = ("starter", "short_circuit_rating_a", "control_voltage_v")


def _plates() -> list[Any]:
    found = []
    for path in sorted(FOLDER.glob("*.toml")):
        rows = tomllib.loads(path.read_text(encoding="utf-8"))["plate"]
        found += [pytest.param(row, id=f"{path.stem}-{row['text'][:40]}") for row in rows]
    return found


def _said(finding: Finding) -> str:
    """Return a finding as the corpus writes it, without the area of its code."""
    area, slug = finding.code.split(".")
    assert area == "nameplate"
    if slug in {"ambiguous-unit", "implausible", "missing-field"}:
        return f"{slug}:{finding.parameters[0].value}"
    return slug


def _column(ratings: tuple[Rating, ...], name: str) -> list[Any]:
    return [getattr(rating, name) for rating in ratings]


def _check_motor(motor: Motor, row: dict[str, Any]) -> None:
    count = len(motor.ratings)
    for key, name in LISTS.items():
        if key in row:
            given = row[key] if isinstance(row[key], list) else [row[key]] * count
            wanted = [one or None for one in given]
            assert _column(motor.ratings, name) == (
                wanted if isinstance(wanted[0], str) else pytest.approx(wanted)
            ), key
        elif key in {"volts", "amps", "begin"}:
            assert _column(motor.ratings, name) == [None] * count, key
    if "power" in row:
        numbers, unit = row["power"]
        numbers = numbers if isinstance(numbers, list) else [numbers] * count
        wanted = [number * WATTS[unit] for number in numbers]
        assert _column(motor.ratings, "power_w") == pytest.approx(wanted, rel=1e-9)
    else:
        assert motor.power_w is None
    if "name" in row:
        assert motor.name == row["name"]


def _check_findings(plate: Plate, row: dict[str, Any]) -> None:
    wanted = {f"missing-field:{field}" for field in row.get("lacks", ())}
    if any(token.status == "not-read" for token in plate.tokens):
        wanted.add("unread")
    assert {_said(one) for one in plate.findings} == wanted | set(row.get("findings", ()))
    assert {one.field for one in plate.questions} == set(row.get("asks", ()))
    if "likely" in row:
        (said,) = (f for f in plate.findings if f.code == "nameplate.implausible")
        likely = {one.name: one.value for one in said.parameters}["likely"]
        assert likely == pytest.approx(row["likely"], rel=1e-4)


@pytest.mark.parametrize("row", _plates())
def test_plate_reads_as_a_person_reads_it(row: dict[str, Any]) -> None:
    plate = read_plate(row["text"], locale=row.get("locale"))
    assert "".join(token.text for token in plate.tokens) == row["text"]
    motors = row.get("motors") or row.get("speeds") or ([row["motor"]] if "motor" in row else [])
    assert len(plate.motors) == len(motors)
    for motor, wanted in zip(plate.motors, motors, strict=True):
        _check_motor(motor, wanted)
    for name, value in row.get("also", {}).items():
        assert getattr(plate.motors[0], name) == (
            value if isinstance(value, str) else pytest.approx(value)
        ), name
    for name in row.get("without", ()):
        assert getattr(plate.motors[0], name) is None
    loads = [row["load"]] if "load" in row else []
    assert len(plate.loads) == len(loads)
    for load, wanted in zip(plate.loads, loads, strict=True):
        assert {name: getattr(load, name) for name in wanted} == pytest.approx(wanted)
    _check_findings(plate, row)
    assert plate.one_at_a_time == ("speeds" in row)
    traits = set(row.get("traits", ())) | ({"two-speed"} if "speeds" in row else set())
    assert set(plate.traits) == traits
    assert bool(plate.needs_neutral) == row.get("neutral", False)
    for name in SINGLE:
        assert getattr(plate, name) == row.get(name), name
    usual = "locale" if "locale" in row else "none" if "sign" in row else "plain"
    assert plate.decimal_grounds == row.get("grounds", usual)
    unread = [token.text for token in plate.tokens if token.status in OPEN]
    for text in row.get("unread", ()):
        assert text in unread


def test_the_corpus_is_large_enough_and_says_nothing_twice() -> None:
    rows = [param.values[0] for param in _plates()]
    keys = [(row["text"], row.get("locale")) for row in rows]
    assert len(keys) == len(set(keys)) >= 120
