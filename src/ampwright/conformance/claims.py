"""Saying what should hold, and failing with the words for it."""

from collections.abc import Iterable

LONGEST_LIST = 8


def claim(holds: object, otherwise: str) -> None:
    """Fail as a test fails, with the text *otherwise*, unless *holds*.

    Raises:
        AssertionError: It does not hold.
    """
    if not holds:
        raise AssertionError(otherwise)


def claim_none(amiss: Iterable[object], heading: str) -> None:
    """Fail unless *amiss* is empty; the first few of what is amiss stand in the text.

    Raises:
        AssertionError: There is something in it.
    """
    found = list(amiss)
    shown = "".join(f"\n  {one}" for one in found[:LONGEST_LIST])
    rest = f"\n  and {len(found) - LONGEST_LIST} more" if len(found) > LONGEST_LIST else ""
    claim(not found, f"{heading}:{shown}{rest}")
