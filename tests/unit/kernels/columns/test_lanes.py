"""Trees of columns: lanes out, lanes in."""

from typing import NamedTuple

import numpy as np
import pytest
from numpy.typing import NDArray

from ampwright.kernels.columns.lanes import count, join, lane, put, take, widen


class Pair(NamedTuple):
    """A named tuple of two leaves."""

    one: object
    two: object


def tree(first: NDArray[np.float64]) -> Pair:
    return Pair(first, (2.0, Pair("ab", None)))


COLUMN = np.array([1.0, 2.0, 3.0])


def test_lanes_are_counted_and_must_agree() -> None:
    assert count(tree(COLUMN), 5.0, None) == 3
    with pytest.raises(ValueError, match=r"lengths \[2, 3\]"):
        count(tree(COLUMN), COLUMN[:2])
    with pytest.raises(ValueError, match=r"lengths \[\]"):
        count(1.0, "ab")
    with pytest.raises(ValueError, match=r"shape \(1, 3\)"):
        count(COLUMN[None, :])


def test_taking_lanes_leaves_what_is_shared() -> None:
    taken = take(tree(COLUMN), np.array([2, 0]))
    assert list(taken.one) == [3.0, 1.0]  # type: ignore[call-overload] # a column by now
    assert taken.two == (2.0, Pair("ab", None))


def test_one_lane_is_plain_numbers() -> None:
    alone = lane(Pair(COLUMN, np.float64(4.0)), 1)
    assert alone == Pair(2.0, 4.0)
    assert type(alone.one) is float
    assert type(alone.two) is float
    assert lane(np.array(7.0), 2) == 7.0


def test_widening_makes_columns_of_ones_own() -> None:
    wide = widen(Pair(COLUMN, 2.0 + 1.0j), 3)
    put(wide, np.array([1]), Pair(9.0, 0.0))
    assert list(COLUMN) == [1.0, 2.0, 3.0]
    assert lane(wide, 1) == Pair(9.0, 0.0)
    assert lane(wide, 2) == Pair(3.0, 2.0 + 1.0j)


def test_joining_puts_lanes_end_to_end() -> None:
    joined = join([widen(Pair(COLUMN, 1), 3), widen(Pair(4.0, 0), 1)])
    assert count(joined) == 4
    assert lane(joined, 3) == Pair(4.0, 0)
