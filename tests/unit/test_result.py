"""The plan's ways out."""

import json
import pickle
import re

import attrs
import pint
import pytest

from ampwright.decision import Decision
from ampwright.errors import FormatError, InputError, SchemaVersionError
from ampwright.result import Plan
from ampwright.tabulation import TABLES


@pytest.fixture
def plan(decision: Decision) -> Plan:
    """Return the invented plan."""
    return Plan.of(decision)


def test_json_out_and_in_is_the_same_to_the_byte(plan: Plan) -> None:
    text = plan.to_json()
    again = Plan.from_json(text)
    assert again == plan
    assert again.to_json() == text
    assert Plan.from_dict(plan.to_dict()).to_json() == text


def test_a_plan_has_no_field_beyond_the_decision(plan: Plan) -> None:
    assert set(plan.to_dict()) == {one.name for one in attrs.fields(Decision)}


def test_pickled_and_indented_it_is_the_same_plan(plan: Plan) -> None:
    assert pickle.loads(pickle.dumps(plan)) == plan  # noqa: S301 - its own bytes
    assert Plan.from_json(plan.to_json(indent=2)) == plan


def test_not_a_number_is_never_written(plan: Plan) -> None:
    broken = attrs.evolve(plan.steps[0], value=float("nan"))
    with pytest.raises(Exception, match="finite"):
        attrs.evolve(plan, steps=(broken,)).to_json()


def test_what_a_newer_version_wrote_is_written_back(plan: Plan) -> None:
    data = plan.to_dict()
    data["options"][0]["invented"] = {"a": 1}
    again = Plan.from_dict(data)
    assert again == plan
    assert again.to_dict()["options"][0]["invented"] == {"a": 1}


def test_another_schema_is_refused(plan: Plan) -> None:
    data = plan.to_dict()
    with pytest.raises(SchemaVersionError):
        Plan.from_dict({**data, "schema": "ampwright.plan/2"})
    with pytest.raises(FormatError):
        Plan.from_dict({**data, "schema": "ampwright.shop/1"})
    with pytest.raises(FormatError):
        Plan.from_json("[]")
    with pytest.raises(FormatError):
        Plan.from_json("{")


@pytest.mark.parametrize("name", list(TABLES))
def test_rows_are_flat_and_have_the_keys_of_the_columns(plan: Plan, name: str) -> None:
    rows = plan.rows(name)
    assert rows
    for row in rows:
        assert list(row) == list(plan.columns(name))
        assert all(isinstance(cell, str | float | int | bool | None) for cell in row.values())
    json.dumps(rows, allow_nan=False)


@pytest.mark.parametrize("name", list(TABLES))
def test_a_key_ends_in_its_unit(plan: Plan, name: str) -> None:
    for key, column in plan.columns(name).items():
        assert column.meaning
        if column.unit:
            assert key.endswith(f"_{column.unit.lower()}"), key


def test_rows_say_what_the_plan_says(plan: Plan) -> None:
    saw, dust, kiln = plan.rows("machines")
    assert (saw["method"], kiln["method"]) == ("rotary", "relink")
    assert saw["verdict"] == "feasible-with-conditions"
    assert saw["reasons"] == "control.manufactured-leg"
    assert (dust["start_time_s"], saw["start_time_s"]) == (1.84, None)
    branch = plan.rows("circuits")[1]
    assert (branch["design_current_a"], branch["ampacity_a"]) == (19.0, 30.0)
    assert branch["overloads"] == "saw/0=15.2"
    assert len(plan.rows("steps")) == 6
    items = [row["item"] for row in plan.rows("equipment")]
    assert len(set(items)) == len(items)


def test_rows_of_another_option(plan: Plan) -> None:
    assert [row["method"] for row in plan.rows("machines", option="drives")] == [
        "drive", "drive", None,
    ]  # fmt: skip
    with pytest.raises(InputError, match="rotary, drives"):
        plan.rows("machines", option="magic")


def test_an_unknown_table_names_those_that_exist(plan: Plan) -> None:
    with pytest.raises(InputError, match="machines, circuits"):
        plan.rows("circuit")
    with pytest.raises(InputError, match="machines, circuits"):
        plan.columns("circuit")


@pytest.mark.parametrize(
    ("path", "value", "unit"),
    [
        ("options[0].circuits[0].design_current", 19.0, "ampere"),
        ("options[0].circuits[0].design_current_a", 19.0, "ampere"),
        ("best.circuits[1].voltage_drop", 0.01234, "dimensionless"),
        ("best.states[0].line_voltage[2]", 239.9, "volt"),
        ("best.converters[0].capacitors[0].capacitance", 120e-6, "farad"),
        ("best.starts[0].torque", 31.2, "newton * meter"),
        ("shop.machines[1].motors[0].current", 12.8, "ampere"),
        ("shop.site.ambient", 30.0, "degree_Celsius"),
        ("best.steps[0].high", 7.9 * 745.69987, "watt"),
        ("best.circuits[1].protective_device.poles", 3.0, "dimensionless"),
    ],
)
def test_a_quantity_by_its_path(plan: Plan, path: str, value: float, unit: str) -> None:
    found = plan.quantity(path)
    assert isinstance(found, pint.Quantity)
    assert found.m_as(unit) == pytest.approx(value, rel=1e-12)
    assert found.dimensionality == pint.application_registry.Quantity(1, unit).dimensionality


def test_a_quantity_is_of_the_callers_registry(plan: Plan) -> None:
    before = pint.application_registry.get()  # type: ignore[no-untyped-call]
    mine: pint.UnitRegistry[float] = pint.UnitRegistry()
    pint.set_application_registry(mine)  # type: ignore[no-untyped-call]
    try:
        found = plan.quantity("best.circuits[0].design_current")
        assert isinstance(found, mine.Quantity)
    finally:
        pint.set_application_registry(before)  # type: ignore[no-untyped-call]


@pytest.mark.parametrize(
    ("path", "code"),
    [
        ("options[9].circuits", "path.unknown"),
        ("best.costs[0].low", "path.no-number"),
        ("best.id", "path.no-number"),
        ("best.feasible", "path.no-number"),
        ("best.circuits[0].desing_current", "path.unknown"),
        ("best..circuits", "path.syntax"),
        ("__class__", "path.syntax"),
        ("best.to_json", "path.unknown"),
        ("best.circuits[1].fault_current_min", "path.no-number"),
    ],
)
def test_a_path_that_leads_nowhere_says_so(plan: Plan, path: str, code: str) -> None:
    with pytest.raises(InputError) as caught:
        plan.quantity(path)
    assert caught.value.code == code


def test_a_misspelt_name_gets_the_nearest(plan: Plan) -> None:
    with pytest.raises(InputError, match="design_current_a"):
        plan.quantity("best.circuits[0].desing_current")


@pytest.mark.parametrize(("kind", "begin"), [("html", "<!DOCTYPE html>"), ("markdown", "# Alder")])
def test_reports_by_format(plan: Plan, kind: str, begin: str) -> None:
    text = plan.report(kind)
    assert isinstance(text, str)
    assert text.lstrip().startswith(begin)
    assert text == Plan.from_json(plan.to_json()).report(kind)


def test_a_report_in_another_language_leaves_the_plan_as_it_is(plan: Plan) -> None:
    before = plan.to_json()
    text = plan.report("text", language="de")
    assert "Die Antwort" in text
    assert re.search(r"[0-9],[0-9]+ (A|kW)", text)
    assert plan.to_json() == before
    assert "Antwort" not in plan.report("text")


def test_an_unknown_language_names_those_that_exist(plan: Plan) -> None:
    with pytest.raises(InputError, match="one of en, de, es, fr, pt, region") as caught:
        plan.report("text", language="nl")
    assert caught.value.code == "language.unknown"


def test_an_unknown_format_names_those_that_exist(plan: Plan) -> None:
    with pytest.raises(InputError, match="html, markdown, text, pdf"):
        plan.report("docx")
