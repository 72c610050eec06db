"""Each input that cannot be used ends in a message and exit status 2, without a traceback."""

import subprocess
import sys
from pathlib import Path

import pytest

GOOD = """
schema = "ampwright.shop/1"
region = "us"
supply = { arrangement = "split-phase", voltage = "240 V", frequency = "60 Hz", rating = "100 A" }
[[machines]]
id = "saw"
length = "9 m"
motors = [{ power = "5 hp", voltage = "230 V", frequency = "60 Hz" }]
"""


def told(*arguments: str, given: str = "") -> tuple[int, str, str]:
    done = subprocess.run(  # noqa: S603 - our own interpreter
        [sys.executable, "-m", "ampwright", *arguments],
        input=given, check=False, capture_output=True, text=True, timeout=60,
    )  # fmt: skip
    return done.returncode, done.stdout, done.stderr


def refused(text: str | bytes, folder: Path, name: str = "shop.toml", *more: str) -> str:
    """Return what is said of a file that must be refused."""
    file = folder / name
    file.write_bytes(text if isinstance(text, bytes) else text.encode())
    status, out, said = told("plan", str(file), *more)
    assert status == 2
    assert not out
    assert "Traceback" not in said
    assert said.startswith("error: ")
    return said


@pytest.mark.parametrize(
    ("text", "name", "parts"),
    [
        ("[supply\nvoltage = 1", "shop.toml", ["toml.syntax", "line 1"]),
        ('{"supply": ', "shop.json", ["json.syntax", "line 1"]),
        ("", "shop.toml", ["file.empty"]),
        (b"\xff\xfe{\x00}\x00", "shop.json", ["file.encoding", "UTF-8"]),
        (b"\x1f\x8b\x08\x00rest", "shop.json", ["file.compressed"]),
        (".".join(["a"] * 16000) + " = 1", "shop.toml", ["limit.depth", "32"]),
        (GOOD.replace('"us"', '"us-nec-1899"'), "shop.toml", ["region.unknown", "us-nec-1899"]),
        (
            GOOD.split("[[machines]]", maxsplit=1)[0] + "machines = []\n",
            "shop.toml",
            ["field.empty", "machines", "at least one"],
        ),
        (GOOD.replace("motors", "motor"), "shop.toml", ["machines[0].motor", "motors"]),
        (GOOD.replace('"5 hp"', "5"), "shop.toml", ["unit.missing", "machines[0].motors[0].power"]),
        (GOOD.replace("shop/1", "shop/7"), "shop.toml", ["schema", "shop/7"]),
    ],
)
def test_a_file_that_cannot_be_used(
    text: str | bytes, name: str, parts: list[str], tmp_path: Path
) -> None:
    said = refused(text, tmp_path, name)
    for part in parts:
        assert part in said


def test_all_faults_of_a_file_are_told_at_once(tmp_path: Path) -> None:
    wrong = GOOD.replace('"5 hp"', "5").replace('"240 V"', '"240 A"').replace('"9 m"', '"9 s"')
    said = refused(wrong, tmp_path)
    for part in ("supply.voltage", "machines[0].length", "machines[0].motors[0].power"):
        assert part in said
    assert len(said.splitlines()) == 3


def test_a_region_asked_for_on_the_line_is_refused_too(tmp_path: Path) -> None:
    said = refused(GOOD, tmp_path, "shop.toml", "--region", "atlantis")
    assert "atlantis" in said
    assert "us" in said


def test_a_file_that_is_not_there() -> None:
    status, out, said = told("plan", "no-such-file.toml")
    assert status == 2
    assert not out
    assert "no-such-file.toml" in said
    assert "Traceback" not in said


def test_a_folder_is_no_file(tmp_path: Path) -> None:
    status, _, said = told("plan", str(tmp_path))
    assert status == 2
    assert "Traceback" not in said


def test_standard_input_is_read_and_refused_alike() -> None:
    status, out, said = told("plan", "-", given="machines = 5")
    assert status == 2
    assert not out
    assert "Traceback" not in said
    assert "machines" in said


def test_a_report_in_an_unknown_form_is_refused_before_anything_is_planned(tmp_path: Path) -> None:
    report = tmp_path / "report.docx"
    said = refused(GOOD, tmp_path, "shop.toml", "--report", str(report))
    assert "format.unknown" in said
    assert not report.exists()


def test_a_sound_shop_is_planned(tmp_path: Path) -> None:
    """The file that the others are made from is not at fault itself."""
    file = tmp_path / "shop.toml"
    file.write_text(GOOD, encoding="utf-8")
    status, out, said = told("plan", str(file))
    assert status in (0, 3)
    assert out
    assert "error:" not in said
