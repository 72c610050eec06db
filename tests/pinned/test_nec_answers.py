"""Answers of the NEC family kept as they were: this proves nothing but that a change is noticed.

They come from the code under test. Where a change is meant, write a fragment for
``docs/changelog/`` and run, from the root of the repository,
``python -m tests.pinned.renew FRAGMENT``; it prints every line that moved.
"""

from difflib import unified_diff

from tests.pinned.answers import answers, kept

SHOWN = 40


def test_the_answers_are_the_ones_that_were_kept() -> None:
    found = list(unified_diff(kept()[1], answers(), "kept", "now", lineterm="", n=0))
    assert not found, "\n".join(["", *found[:SHOWN], "", str(__doc__)])


def test_the_fragment_of_the_last_renewal_is_named() -> None:
    assert kept()[0].split(".")[-2] in ("breaking", "deprecation", "change", "data")
