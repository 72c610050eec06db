"""The command that checks a stored plan."""

from pathlib import Path

import pytest
from click.testing import CliRunner

import ampwright as aw
from ampwright.cli import main


@pytest.fixture(scope="module")
def stored(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("plans") / "plan.json"
    plan = aw.plan(aw.load_shop("docs/examples/quarry-lane.toml"))
    path.write_text(plan.to_json(), encoding="utf-8")
    return path


def test_a_sound_plan_has_no_objection(stored: Path) -> None:
    answer = CliRunner().invoke(main, ["verify", str(stored)])
    assert answer.exit_code == 0, answer.output
    assert "Independent check" in answer.output


def test_a_changed_size_is_named_with_rule_and_place(stored: Path, tmp_path: Path) -> None:
    text = stored.read_text(encoding="utf-8")
    changed = tmp_path / "changed.json"
    changed.write_text(text.replace('"size":"8 AWG"', '"size":"10 AWG"', 1), encoding="utf-8")
    answer = CliRunner().invoke(main, ["verify", str(changed), "--json"])
    assert answer.exit_code == 1
    assert '"check.breach"' in answer.output
    assert '"nec.' in answer.output


def test_a_plan_may_come_from_standard_input(stored: Path) -> None:
    text = stored.read_text(encoding="utf-8")
    answer = CliRunner().invoke(main, ["verify", "-"], input=text)
    assert answer.exit_code == 0, answer.output


def test_something_else_is_refused(tmp_path: Path) -> None:
    other = tmp_path / "other.json"
    other.write_text('{"schema": "ampwright.shop/1"}', encoding="utf-8")
    assert CliRunner().invoke(main, ["verify", str(other)]).exit_code == 2
