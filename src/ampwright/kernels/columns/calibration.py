"""Calibration of many idlers at once: the columnar driver of ``kernels.calibration``."""

import numpy as np
from numpy.typing import NDArray

from ampwright.kernels.calibration import LARGEST_MISFIT, PLAUSIBLE, Doubt, Fitted, Readings, fit
from ampwright.kernels.columns.network import solve
from ampwright.kernels.legs import Legs, Source
from ampwright.kernels.operating_point import Rotor


def calibrate(
    source: Source, legs: Legs, idler: Rotor, readings: Readings, doubt: Doubt
) -> tuple[Fitted, NDArray[np.bool_]]:
    """Return factors for many idlers, and which of them are accepted.

    Args:
        source: The single-phase supplies.
        legs: The capacitors that were connected.
        idler: The circuits believed so far.
        readings: Columns of readings; the current for all lanes or for none.
        doubt: How far to trust the readings, and what was believed.

    Returns:
        The fit, every leaf a column, and the mask of accepted lanes; refused factors are not to
        be used.

    Raises:
        ValueError: A reading or a doubt is not above zero.

    Accuracy:
        As the scalar driver, with which it agrees to 1e-9.

    Source:
        As ``kernels.calibration``.
    """
    checked = (*readings, *doubt)
    if not all(np.all(np.asarray(value) > 0.0) for value in checked if value is not None):
        raise ValueError("readings and doubts are above zero")
    found = fit(solve, source, legs, idler, readings, doubt)
    low, high = PLAUSIBLE
    accepted = np.asarray(found.misfit) <= LARGEST_MISFIT
    for factor in found.factors[:2]:
        accepted &= (np.asarray(factor) >= low) & (np.asarray(factor) <= high)
    return found, accepted
