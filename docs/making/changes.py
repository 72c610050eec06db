"""What changed, from the fragments of the changelog."""

from pathlib import Path
from typing import NamedTuple

from docs.making.markup import section

FOLDER = Path(__file__).parents[1] / "changelog"
KINDS = {
    "breaking": "Breaks what was there",
    "deprecation": "Will go",
    "data": "Corrected values",
    "change": "New and changed",
}


class Fragment(NamedTuple):
    """One change: its number, its kind and its text."""

    number: int
    kind: str
    text: str


def fragments() -> tuple[Fragment, ...]:
    """Return every change, in the order of its number."""
    found = []
    for path in sorted(FOLDER.glob("*.md")):
        number, kind, _ = path.name.split(".")
        found.append(Fragment(int(number), kind, path.read_text(encoding="utf-8").strip()))
    return tuple(sorted(found))


def page() -> str:
    """Return the changes by kind."""
    found = fragments()
    return "\n".join(
        section(title, *(f"- {' '.join(one.text.split())}" for one in found if one.kind == kind))
        for kind, title in KINDS.items()
        if any(one.kind == kind for one in found)
    )
