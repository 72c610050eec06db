"""Whole plans kept as they were: this proves nothing but that a change is noticed.

Where a change is meant, write a fragment for ``docs/changelog/`` and run, from the root of the
repository, ``python -m tests.pinned.renew FRAGMENT``; the fragment and the renewed files belong
into one commit.
"""

import json
from pathlib import Path

import pytest
from tests.pinned.extract import changes, gist, pinned, shops

import ampwright as aw

SHOWN = 40


@pytest.mark.parametrize("example", shops(), ids=lambda path: path.stem)
def test_the_plan_of_an_example_is_the_one_that_was_kept(example: Path) -> None:
    stored = json.loads(pinned(example).read_text(encoding="utf-8"))
    found = changes(stored["plan"], gist(aw.plan(aw.load_shop(example))))
    more = f"\n... and {len(found) - SHOWN} more" if len(found) > SHOWN else ""
    assert not found, "\n".join(["", *found[:SHOWN]]) + more + f"\n\n{__doc__}"


def test_every_kept_plan_is_of_an_example() -> None:
    kept = {path.stem for path in Path(__file__).parent.glob("*.json")}
    assert kept == {path.stem for path in shops()}


def test_the_fragment_of_the_last_renewal_is_named() -> None:
    for example in shops():
        stored = json.loads(pinned(example).read_text(encoding="utf-8"))
        assert stored["renewed_for"].split(".")[-2] in ("breaking", "deprecation", "change", "data")


def test_a_moved_number_is_seen() -> None:
    """The comparison itself: a size, a digit, a line gone, a line new."""
    old = {"a": {"b": 1.0, "c": "6 AWG"}, "d": [1, 2]}
    assert changes(old, {"a": {"b": 1.0, "c": "6 AWG"}, "d": [1, 2]}) == []
    new = {"a": {"b": 1.00001, "e": None, "f": 0}, "d": [1]}
    assert changes(old, new) == [
        "/a/b: 1.0 -> 1.00001", "/a/c: '6 AWG' -> None", "/a/f: None -> 0", "/d: [1, 2] -> [1]",
    ]  # fmt: skip
