"""What the repository as a whole looks like."""

import re
import subprocess
from pathlib import Path

ROOT = Path(__file__).parents[2]
TOP = {"README.md", "DEVELOPERS.md", "pyproject.toml", "src", "plugins", "docs", "tests",
       "benchmarks"}  # fmt: skip
LONGEST = 450
FORBIDDEN = re.compile(r"(^|/)(util|utils|helper|helpers|common|misc|base|manager|types)\.py$")


def tracked() -> list[str]:
    """Return every file under version control."""
    listed = subprocess.run(
        ["git", "ls-files"],  # noqa: S607 - whatever git is there
        cwd=ROOT,
        check=True,
        capture_output=True,
        text=True,
    )
    return listed.stdout.splitlines()


def test_the_top_level_holds_what_it_should_and_nothing_else() -> None:
    top = {name.split("/")[0] for name in tracked()}
    assert {name for name in top if not name.startswith(".")} <= TOP
    assert {"README.md", "DEVELOPERS.md", "pyproject.toml", "src", "docs", "tests"} <= top


def test_every_file_can_be_read_in_one_sitting() -> None:
    long = {
        name: lines
        for name in tracked()
        if name.endswith(".py")
        and (lines := len((ROOT / name).read_text(encoding="utf-8").splitlines())) > LONGEST
    }
    assert not long


def test_no_module_is_named_after_programming() -> None:
    assert not [name for name in tracked() if FORBIDDEN.search(name)]


def test_no_file_names_a_package_registry_or_a_place_on_a_machine() -> None:
    words = re.compile("|".join(["python" + "hosted", "npm" + "js\\.", "//py" + "pi\\.",
                                 "(^|[^a-z.])/wo" + "rk/", "(^|[^a-z.])/ho" + "me/"]))  # fmt: skip
    found = []
    for name in tracked():
        path = ROOT / name
        if path.suffix in {".py", ".md", ".toml", ".csv", ".txt", ".html", ".cfg", ".css"}:
            for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
                if words.search(line):
                    found.append(f"{name}:{number}")
    assert not found


def test_the_readme_names_every_plugin() -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    section = text.split("## Other countries")[1].split("## ")[0]
    named = set(re.findall(r"`([a-z]{2}|motor-generator)`", section)) - {"us"}
    there = {
        one.name.removeprefix("ampwright-region-").removeprefix("ampwright-method-")
        for one in (ROOT / "plugins").glob("ampwright-*")
    }
    assert named == there


def test_the_readme_opens_with_the_job() -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    title, first, *_ = [part for part in text.split("\n\n") if part.strip()]
    assert title.startswith("# ampwright")
    assert len(first.split()) > 30
    assert "three-phase" in first
    assert "single-phase" in first
