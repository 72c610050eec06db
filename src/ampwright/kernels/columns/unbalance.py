"""Unbalance over columns; a row that the scalar kernel refuses is not-a-number."""

import numpy as np
from numpy.typing import ArrayLike

from ampwright.kernels.columns.valid import Column, finite, kept, together
from ampwright.kernels.unbalance import (
    negative_sequence_formula,
    sequence_components,
    spread_formula,
)


def deviation_unbalance(v_ab: ArrayLike, v_bc: ArrayLike, v_ca: ArrayLike) -> Column:
    """Return ``unbalance.deviation_unbalance`` of each row."""
    values = np.stack(together(v_ab, v_bc, v_ca))
    with np.errstate(all="ignore"):
        mean = values.sum(axis=0) / 3.0
        ratio = np.abs(values - mean).max(axis=0) / mean
        return kept(ratio, finite(*values) & (mean > 0.0) & (mean < np.inf))


def negative_sequence_unbalance(v_ab: ArrayLike, v_bc: ArrayLike, v_ca: ArrayLike) -> Column:
    """Return ``unbalance.negative_sequence_unbalance`` of each row."""
    ab, bc, ca = together(v_ab, v_bc, v_ca)
    with np.errstate(all="ignore"):
        spread = spread_formula(ab, bc, ca)
        valid = finite(ab, bc, ca) & (np.minimum(np.minimum(ab, bc), ca) > 0.0)
        return kept(negative_sequence_formula(spread), valid & np.less_equal(spread, 1.0))


def phasor_unbalance(a: ArrayLike, b: ArrayLike, c: ArrayLike) -> Column:
    """Return ``unbalance.phasor_unbalance`` of each row of three complex columns."""
    parts = sequence_components(*_phasors(a, b, c))
    positive, negative = np.abs(parts.positive), np.abs(parts.negative)
    with np.errstate(all="ignore"):
        return kept(negative / positive, positive > 0.0)


def _phasors(*values: ArrayLike) -> tuple[complex, complex, complex]:
    a, b, c = (np.asarray(value, dtype=np.complex128) for value in values)
    return a, b, c  # type: ignore[return-value] # the formula takes numbers or columns
