"""Columns with gaps: where a scalar kernel raises, a column holds not-a-number in that row."""

from typing import Any, TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

Column: TypeAlias = NDArray[np.float64]


def together(*values: ArrayLike) -> tuple[Any, ...]:
    """Return *values* as float columns of one shape; typed loosely, to suit scalar formulas."""
    return np.broadcast_arrays(*(np.asarray(value, dtype=np.float64) for value in values))


def kept(values: ArrayLike, valid: ArrayLike) -> Column:
    """Return *values* where *valid*, and not-a-number elsewhere."""
    return np.where(valid, np.asarray(values, dtype=np.float64), np.nan)


def finite(*values: ArrayLike) -> NDArray[np.bool_]:
    """Return where every value is finite and not negative."""
    whole = np.ones((), dtype=np.bool_)
    for value in values:
        column = np.asarray(value)
        whole = whole & (column >= 0.0) & (column < np.inf)
    return np.asarray(whole)
