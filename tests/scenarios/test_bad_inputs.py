"""Wrong, odd and hostile inputs meet the outcome that they must have.

The inputs and their judge are kept apart from this repository; the environment variable
``AMPWRIGHT_SCENARIOS`` names the folder that holds ``bad-inputs.toml`` and ``judge_bad_inputs.py``.
Without it the tests are skipped, and say so.
"""

import json
import os
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Any

import pytest

FOLDER = os.environ.get("AMPWRIGHT_SCENARIOS")
ADAPTER = Path(__file__).with_name("bad_inputs_adapter.py")
TRIES = 2

pytestmark = pytest.mark.skipif(not FOLDER, reason="AMPWRIGHT_SCENARIOS names no folder")


def cases() -> list[dict[str, Any]]:
    if not FOLDER:
        return [{"id": "none"}]
    text = (Path(FOLDER) / "bad-inputs.toml").read_text(encoding="utf-8")
    found: list[dict[str, Any]] = tomllib.loads(text)["case"]
    return found


def judged(out: Path, *only: str) -> dict[str, Any]:
    """Return the scores of the inputs named, or of all, by their ids."""
    folder = Path(str(FOLDER))
    judge, data = folder / "judge_bad_inputs.py", folder / "bad-inputs.toml"
    wanted = [part for name in only for part in ("--only", name)]
    done = subprocess.run(  # noqa: S603 - our own interpreter, the judge that the caller names
        [sys.executable, judge, data, "--adapter", ADAPTER, "--json", out, *wanted],
        check=False,
        capture_output=True,
        text=True,
    )
    assert out.exists(), done.stderr
    found = json.loads(out.read_text(encoding="utf-8"))["scores"]
    return {one["id"]: one for one in found}


@pytest.fixture(scope="module")
def scores(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """Judge all inputs once, and again, at most twice, those that were right but late.

    The judge reads a clock. What a thread waits for a core is left out, but a busy machine can make
    an answer late in other ways; an input that is slow to refuse is late each time.
    """
    folder = tmp_path_factory.mktemp("bad-inputs")
    found = judged(folder / "scores.json")
    for number in range(TRIES):
        late = [name for name, one in found.items() if lacks_only_time(one["checks"])]
        if late:
            found |= judged(folder / f"again-{number}.json", *late)
    return found


def lacks_only_time(checks: dict[str, bool]) -> bool:
    return [name for name, passed in checks.items() if not passed] == ["time"]


@pytest.mark.parametrize("case", cases(), ids=lambda one: one["id"])
def test_outcome(case: dict[str, Any], scores: dict[str, Any]) -> None:
    score = scores[case["id"]]
    assert all(score["checks"].values()), score["remarks"]
