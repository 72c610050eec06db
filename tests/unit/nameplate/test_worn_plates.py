"""A number that is worn off must not move another one to a word that is not its own."""

import re
import tomllib
from pathlib import Path

import pytest

from ampwright.nameplate.plate import Plate, read_plate

FOLDER = Path(__file__).parents[2] / "plates"
NUMBER = re.compile(r"(?<!\S)[0-9][0-9.,/-]*(?!\S)")
# dropping the half of a mixed number leaves a sound plate of something else
MIXED = re.compile(r"[0-9] [1-7]/[2348](?![0-9])")


def _plates() -> list[str]:
    found = []
    for name in ("north_america", "international", "machines"):
        text = (FOLDER / f"{name}.toml").read_text(encoding="utf-8")
        rows = tomllib.loads(text)["plate"]
        found += [row["text"] for row in rows if "motor" in row and not MIXED.search(row["text"])]
    return found


def _figures(plate: Plate) -> dict[str, set[float]]:
    """Return the figures of the motors by kind, as they stand on the plate."""
    found: dict[str, set[float]] = {}
    for token in plate.tokens:
        if token.status in {"stated", "inferred"} and len(token.fields) == 1:
            found.setdefault(token.fields[0], set()).update(token.values)
    return found


@pytest.mark.parametrize("text", _plates())
def test_a_worn_number_leaves_the_others_where_they_are(text: str) -> None:
    whole = _figures(read_plate(text))
    for worn in NUMBER.finditer(text):
        rest = _figures(read_plate(f"{text[: worn.start()]} {text[worn.end() :]}"))
        for field in ("power", "voltage", "current", "frequency", "speed"):
            assert rest.get(field, set()) <= whole.get(field, set()), (worn[0], field)
