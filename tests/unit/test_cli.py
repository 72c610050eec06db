"""The command line."""

import json
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from ampwright.cli import main
from ampwright.result import Plan

SHOP = """
schema = "ampwright.shop/1"
name = "Weir Street repairs"
region = "us"
together = [["drill"]]

[supply]
arrangement = "split-phase"
voltage = "240 V"
frequency = "60 Hz"
rating = "100 A"
existing_load = "20 A"
transformer = "25 kVA"

[site]
ambient = "30 degC"

[[machines]]
id = "drill"
name = "Column drill"
plate = "2 HP 3PH 60CY 1730 RPM 230/460 V 6.2/3.1 A CODE K DES B"
length = "10 m"
start = "light"
load_torque = "constant"
"""


def run(*arguments: str, stdin: str = "") -> Result:
    """Run the command in this process."""
    return CliRunner().invoke(main, list(arguments), input=stdin)


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """Return the file of a small shop."""
    path = tmp_path / "shop.toml"
    path.write_text(SHOP, encoding="utf-8")
    return path


def test_a_plan_with_its_drawing(shop: Path, tmp_path: Path) -> None:
    drawing = tmp_path / "plan.svg"
    done = run("plan", str(shop), "--diagram", str(drawing))
    assert done.exit_code == 0, done.output
    assert "Column drill" in drawing.read_text(encoding="utf-8")
    refused = run("plan", str(tmp_path / "missing.toml"), "--diagram", str(tmp_path / "plan.png"))
    assert refused.exit_code == 2
    assert "ends in .svg" in refused.output  # before any work


def test_a_plan_with_each_kind_of_drawing(shop: Path, tmp_path: Path) -> None:
    names = {"connection": "Connection diagram", "phasor": "Phasor diagram"}
    asked = [part for kind in names for part in ("--diagram", f"{kind}:{tmp_path / kind}.svg")]
    done = run("plan", str(shop), *asked, "--diagram", str(tmp_path / "plain.svg"))
    assert done.exit_code == 0, done.output
    for kind, head in names.items():
        assert head in (tmp_path / f"{kind}.svg").read_text(encoding="utf-8")
    assert "One-line diagram" in (tmp_path / "plain.svg").read_text(encoding="utf-8")
    # what is no kind is a part of the name
    odd = tmp_path / "phasors:plan.svg"
    assert run("plan", str(shop), "--diagram", str(odd)).exit_code == 0
    assert odd.exists()
    refused = run("plan", str(tmp_path / "missing.toml"), "--diagram", "connection:plan.png")
    assert refused.exit_code == 2
    assert "ends in .svg" in refused.output


def test_a_plan_for_people_in_german(shop: Path, tmp_path: Path) -> None:
    report = tmp_path / "plan.html"
    done = run("plan", str(shop), "--language", "de", "--report", str(report))
    assert done.exit_code == 0, done.output
    assert "Die Antwort" in done.output
    assert "Die Antwort" in report.read_text(encoding="utf-8")
    plan = tmp_path / "plan.json"
    plan.write_text(run("plan", str(shop), "--json", "--language", "de").output, encoding="utf-8")
    assert plan.read_text(encoding="utf-8") == run("plan", str(shop), "--json").output
    checked = run("verify", str(plan), "--language", "fr")
    assert "Vérification indépendante" in checked.output


def test_an_unknown_language_is_an_error_before_any_work(tmp_path: Path) -> None:
    done = run("plan", str(tmp_path / "shop.toml"), "--language", "elvish")
    assert done.exit_code == 2
    assert "one of en, de, es, fr, pt, region" in done.output


def test_a_plan_for_people(shop: Path) -> None:
    done = run("plan", str(shop))
    assert done.exit_code == 0, done.output
    assert "Weir Street repairs" in done.output
    assert "The answer" in done.output
    assert "\x1b" not in done.output


def test_a_plan_for_programs(shop: Path) -> None:
    done = run("plan", str(shop), "--json")
    assert done.exit_code == 0, done.output
    made = Plan.from_json(done.stdout)
    assert made.to_json() + "\n" == done.stdout
    assert made.shop.machines[0].id == "drill"


def test_the_shop_may_come_from_standard_input() -> None:
    assert run("plan", "-", stdin=SHOP).exit_code == 0


def test_reports_go_to_files_by_their_ending(shop: Path, tmp_path: Path) -> None:
    page, text = tmp_path / "plan.html", tmp_path / "plan.md"
    done = run("plan", str(shop), "--report", str(page), "--report", str(text))
    assert done.exit_code == 0, done.output
    assert "<!DOCTYPE html>" in page.read_text(encoding="utf-8")
    assert text.read_text(encoding="utf-8").startswith("# Weir Street repairs")


def test_a_report_of_unknown_ending_is_refused_before_any_work(shop: Path, tmp_path: Path) -> None:
    done = run("plan", str(shop), "--report", str(tmp_path / "plan.docx"))
    assert done.exit_code == 2
    assert ".html" in done.stderr


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "empty"),
        ("this is no shop", "TOML"),
        (SHOP.replace('"us"', '"atlantis"'), "atlantis"),
        (SHOP.split("[[machines]]", maxsplit=1)[0], "machines"),
        ("a." * 16000 + "b = 1", "depth"),
        (SHOP.replace('"10 m"', "10"), "bare number"),
        (SHOP.replace("length", "lenght"), 'did you mean "length"'),
    ],
)
def test_a_fault_is_said_without_a_traceback(tmp_path: Path, text: str, said: str) -> None:
    path = tmp_path / "shop.toml"
    path.write_text(text, encoding="utf-8")
    done = run("plan", str(path))
    assert done.exit_code == 2
    assert said in done.stderr
    assert "Traceback" not in done.output
    assert done.stdout == ""


def test_a_missing_file_is_said(tmp_path: Path) -> None:
    done = run("plan", str(tmp_path / "none.toml"))
    assert done.exit_code == 2
    assert "none.toml" in done.stderr


def test_a_plugin_that_cannot_be_imported_is_named(shop: Path) -> None:
    done = run("plan", str(shop), "--plugin", "no_such_module_here")
    assert done.exit_code == 2
    assert "no_such_module_here" in done.stderr


def test_not_feasible_has_a_status_of_its_own(tmp_path: Path) -> None:
    path = tmp_path / "shop.toml"
    small, large = "2 HP 3PH 60CY 1730 RPM", "200 HP 3PH 60CY 1785 RPM"
    text = SHOP.replace(small, large).replace("6.2/3.1 A CODE K", "480/240 A CODE G")
    path.write_text(text, encoding="utf-8")
    done = run("plan", str(path))
    assert done.exit_code == 3, done.output
    assert "No:" in done.output
    assert "What would make it a yes" in done.output
    assert "Not to be built" in done.output
    assert "Column drill" in done.output


def test_a_plate_for_people() -> None:
    done = run("plate", "5 HP 3PH 60CY 1740 RPM 230/460 V 13.2/6.6 A CODE J")
    assert done.exit_code == 0, done.output
    assert "13.2/6.6 A" in done.output
    assert "code letter" in done.output


def test_a_plate_for_programs() -> None:
    done = run("plate", "7,5 kW 400 V 15,4 A 50 Hz cos phi 0,83", "--locale", "de-DE", "--json")
    assert done.exit_code == 0, done.output
    read = json.loads(done.stdout)
    assert read["motors"][0]["power"] in ("7,5 kW", "7.5 kW")
    assert "".join(token["text"] for token in read["tokens"]) == read["text"]


def test_the_decimal_sign_of_a_table_is_that_of_its_shop_too(tmp_path: Path) -> None:
    shop, rows = tmp_path / "shop.toml", tmp_path / "machines.csv"
    text = SHOP.replace('"240 V"', '"240,0 V"')
    assert text != SHOP
    shop.write_text(text, encoding="utf-8")
    rows.write_text('id,power,voltage\na,"2,2 kW",230 V\n', encoding="utf-8")
    done = run("table", str(rows), "--shop", str(shop), "--locale", "de-DE", "--json")
    assert done.exit_code == 0, done.output
    assert run("table", str(rows), "--shop", str(shop), "--json").exit_code == 2


def test_an_empty_plate_is_refused() -> None:
    assert run("plate", " ").exit_code == 2


def test_help_loads_nothing_heavy() -> None:
    code = (
        "import sys\n"
        "from ampwright.cli import main\n"
        "try:\n    main(['--help'])\nexcept SystemExit as done:\n    assert not done.code\n"
        "heavy = {'numpy', 'pint', 'scipy', 'jinja2'} & set(sys.modules)\n"
        "assert not heavy, heavy\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)  # noqa: S603 - our own code
    assert done.returncode == 0, done.stderr
    assert "plate" in done.stdout


def test_planning_in_a_fresh_process_loads_no_numpy(shop: Path) -> None:
    code = (
        "import sys\n"
        "from ampwright.cli import main\n"
        f"try:\n    main(['plan', {str(shop)!r}])\nexcept SystemExit as done:\n"
        "    assert not done.code, done.code\n"
        "heavy = {'numpy', 'pint', 'scipy', 'jinja2'} & set(sys.modules)\n"
        "assert not heavy, heavy\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)  # noqa: S603 - our own code
    assert done.returncode == 0, done.stderr


def test_the_module_is_the_command() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "ampwright", "--version"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert "ampwright" in done.stdout


def test_two_stored_plans_are_compared(shop: Path, tmp_path: Path) -> None:
    before, after = tmp_path / "before.json", tmp_path / "after.json"
    before.write_text(run("plan", str(shop), "--json").stdout, encoding="utf-8")
    text = shop.read_text(encoding="utf-8")
    assert "10 m" in text
    shop.write_text(text.replace("10 m", "60 m"), encoding="utf-8")
    after.write_text(run("plan", str(shop), "--json").stdout, encoding="utf-8")
    same = run("compare", str(before), str(before), "--json")
    assert same.exit_code == 0
    assert json.loads(same.stdout)["circuits"] == []
    said = json.loads(run("compare", str(before), str(after), "--json").stdout)
    assert "voltage_drop_fraction" in {one["field"] for one in said["circuits"]}
    people = run("compare", str(before), str(after)).stdout
    assert "voltage drop fraction" in people


def test_a_file_that_is_no_plan_is_not_compared(tmp_path: Path) -> None:
    path = tmp_path / "x.json"
    path.write_text("{}", encoding="utf-8")
    result = run("compare", str(path), str(path))
    assert result.exit_code == 2
    assert "schema" in result.stderr
