"""Renews the pinned plans and answers: ``python -m tests.pinned.renew 0012.change.md``.

Run it from the root of the repository, with the fragment of ``docs/changelog/`` that tells readers
what moved. It prints every change; read them before they are kept.
"""

import json
import sys
from difflib import unified_diff
from pathlib import Path

from tests.pinned.answers import FILE, answers, kept
from tests.pinned.extract import changes, gist, pinned, shops

import ampwright as aw

CHANGELOG = Path(__file__).parents[2] / "docs" / "changelog"


def renew(fragment: str) -> int:
    """Write the gist of every example's plan; return how many places changed."""
    moved = 0
    for example in shops():
        place = pinned(example)
        stored = json.loads(place.read_text(encoding="utf-8")) if place.exists() else {}
        fresh = gist(aw.plan(aw.load_shop(example)))
        lines = changes(stored.get("plan", {}), fresh)
        moved += len(lines)
        sys.stdout.write("".join(f"{example.stem}{line}\n" for line in lines))
        if lines:
            data = {"renewed_for": fragment, "plan": fresh}
            place.write_text(json.dumps(data, indent=1, sort_keys=True) + "\n", encoding="utf-8")
    return moved + renew_answers(fragment)


def renew_answers(fragment: str) -> int:
    """Write the answers of the NEC family; return how many lines changed."""
    fresh = answers()
    lines = list(unified_diff(kept()[1], fresh, "kept", "now", lineterm="", n=0))
    sys.stdout.write("".join(f"{line}\n" for line in lines))
    if lines:
        FILE.write_text("\n".join([f"renewed for {fragment}", *fresh]) + "\n", encoding="utf-8")
    return len(lines)


if __name__ == "__main__":
    if len(sys.argv) != 2 or not (CHANGELOG / sys.argv[1]).is_file():
        sys.exit("name a fragment in docs/changelog that tells what moved")
    sys.stdout.write(f"{renew(sys.argv[1])} places changed\n")
