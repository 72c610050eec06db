"""Listing plugins and holding one to its contract, on the command line."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from ampwright import inspection
from ampwright.cli import main
from ampwright.engine import Engine
from ampwright.inspection import Outcome, run
from ampwright.testing import claim


@pytest.fixture
def country(tmp_path: Path) -> Path:
    folder = tmp_path / "nowhere"
    folder.mkdir()
    (folder / "manifest.toml").write_text(
        'schema = "ampwright.region/1"\nid = "zz"\nfamily = "iec"\n'
        'title = "Rules of nowhere"\neditions = ["1"]\n',
        encoding="utf-8",
    )
    return folder


def invoked(*words: str) -> Result:
    return CliRunner().invoke(main, ["plugins", *words])


def test_list_names_plugin_distribution_and_offer() -> None:
    done = invoked("list")
    assert done.exit_code in (0, 1)
    (line,) = [one for one in done.output.splitlines() if one.startswith("region-us ")]
    assert "ampwright 0" in line
    assert line.endswith("region us")


def test_list_as_data_holds_the_same() -> None:
    data = json.loads(invoked("list", "--json").output)
    assert data["offers"]["region"]["us"] == "region-us"
    assert {"method-drive", "region-iec"} <= {one["name"] for one in data["plugins"]}


def test_a_folder_is_listed_with_what_it_offers(country: Path) -> None:
    done = invoked("list", "--plugin", str(country))
    assert any(line.endswith("region zz") for line in done.output.splitlines())


def test_a_problem_is_listed_and_is_the_exit_status(country: Path) -> None:
    (country / "manifest.toml").write_text("id = 5\n", encoding="utf-8")
    done = invoked("list", "--plugin", str(country))
    assert done.exit_code == 1
    assert "problem: nowhere/manifest.toml" in done.output


def test_check_of_a_folder_says_each_claim_and_its_digest(country: Path) -> None:
    done = invoked("check", str(country), "--shops", "2")
    lines = done.output.splitlines()
    assert any(line.startswith("ok     region zz: tables are in order") for line in lines)
    assert lines[-1].startswith("Digest: ")
    assert done.exit_code == (1 if any(line.startswith("FAILED") for line in lines) else 0)


def test_check_of_a_plugin_that_is_not_there_names_those_that_are() -> None:
    done = invoked("check", "region-atlantis")
    assert done.exit_code == 2
    assert "region-us" in done.output


def test_check_of_an_unsound_folder_says_why(country: Path) -> None:
    (country / "manifest.toml").write_text("id = 5\n", encoding="utf-8")
    done = invoked("check", str(country))
    assert done.exit_code == 2
    assert "manifest.toml" in done.output


def test_a_claim_that_fails_is_said_and_is_the_exit_status(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    outcomes = [Outcome("method x", "it holds", ""), Outcome("method x", "it does not", "it is 5")]
    monkeypatch.setattr("ampwright.cli.inspected", lambda name, shops: outcomes)
    done = invoked("check", "method-x")
    assert done.exit_code == 1
    assert "ok     method x: it holds" in done.output
    assert "FAILED method x: it does not\n         it is 5" in done.output


def test_run_goes_on_after_a_claim_that_raises() -> None:
    class Contract:
        """Three claims."""

        def test_first(self) -> None:
            claim(holds=False, otherwise="wrong")

        def test_second(self) -> None:
            raise ZeroDivisionError("by nought")

        def test_third(self) -> None:
            claim(holds=True, otherwise="right")

    found = list(run("it", Contract))
    assert [one.claim for one in found] == ["first", "second", "third"]
    assert [one.wrong for one in found] == ["wrong", "ZeroDivisionError('by nought')", ""]


def test_planning_with_a_folder(country: Path, tmp_path: Path) -> None:
    shop = tmp_path / "shop.toml"
    shop.write_text(
        'schema = "ampwright.shop/1"\n[supply]\narrangement = "line-neutral"\nvoltage = "230 V"\n'
        'frequency = "50 Hz"\nrating = "63 A"\n[[machines]]\nid = "saw"\nlength = "9 m"\n'
        '[[machines.motors]]\npower = "1.5 kW"\nvoltage = "230/400 V"\ncurrent = "6.2/3.6 A"\n'
        'frequency = "50 Hz"\n',
        encoding="utf-8",
    )
    words = ["plan", str(shop), "--plugin", str(country), "--region", "zz", "--json"]
    done = CliRunner().invoke(main, words)
    assert json.loads(done.output)["region"]["id"] == "zz"


def test_planning_with_a_folder_that_is_unsound_is_an_error(country: Path) -> None:
    (country / "manifest.toml").write_text("id = 5\n", encoding="utf-8")
    shop = str(Path(__file__).parents[2] / "docs" / "examples" / "tanner-row.toml")
    done = CliRunner().invoke(main, ["plan", shop, "--plugin", str(country)])
    assert done.exit_code == 2
    assert "manifest.toml" in done.output


def test_contracts_are_those_of_the_offers() -> None:
    engine = Engine(allow=())
    found = dict(inspection.contracts(engine, "method-drive", 3))
    assert list(found) == ["method drive"]
    assert found["method drive"].shops == 3  # type: ignore[attr-defined] # of every contract
