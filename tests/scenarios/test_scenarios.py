"""Seventeen shops, judged as an experienced electrician would judge them.

The shops and their judge are kept apart from this repository; the environment variable
``AMPWRIGHT_SCENARIOS`` names the folder that holds ``scenarios.toml`` and ``judge.py``. Without it
the tests are skipped, and say so. The verdicts are that electrician's: common practice, no source.
"""

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

FOLDER = os.environ.get("AMPWRIGHT_SCENARIOS")
ADAPTER = Path(__file__).with_name("adapter.py")

#: Shares that must be reached.
LEAST = {
    "overall_right_share": 16 / 17,
    "machines_best_or_acceptable_share": 0.95,
    "findings_required_share": 0.97,
    "running_A_right_share": 1.0,
}
#: What may not happen at all.
NEVER = {"rejected_proposals": 0, "findings_forbidden_raised": 0, "adapter_errors": []}

pytestmark = pytest.mark.skipif(not FOLDER, reason="AMPWRIGHT_SCENARIOS names no folder")


class Judged:
    """What the judge wrote and printed."""

    def __init__(self, folder: Path, out: Path) -> None:
        done = subprocess.run(  # noqa: S603 - our own interpreter, the judge that the caller names
            [sys.executable, str(folder / "judge.py"), str(folder / "scenarios.toml"),
             "--adapter", str(ADAPTER), "--json", str(out)],
            check=False, capture_output=True, text=True,
        )  # fmt: skip
        assert out.exists(), done.stderr
        self.printed = done.stdout
        self.totals: dict[str, Any] = json.loads(out.read_text(encoding="utf-8"))["totals"]


@pytest.fixture(scope="module")
def judged(tmp_path_factory: pytest.TempPathFactory) -> Judged:
    return Judged(Path(str(FOLDER)), tmp_path_factory.mktemp("shops") / "scores.json")


def test_the_score_is_printed(judged: Judged, capsys: pytest.CaptureFixture[str]) -> None:
    with capsys.disabled():
        print("", judged.printed, sep="\n")  # noqa: T201 - the run is to show the score
    assert judged.totals["scenarios"] > 0


@pytest.mark.parametrize("name", LEAST)
def test_share_is_reached(name: str, judged: Judged) -> None:
    assert judged.totals[name] >= LEAST[name]


@pytest.mark.parametrize("name", NEVER)
def test_never(name: str, judged: Judged) -> None:
    assert judged.totals[name] == NEVER[name]
