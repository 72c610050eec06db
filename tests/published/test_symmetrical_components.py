"""A textbook of power systems, chapter 3.3, example 3.3.1, pages 487 to 488.

And the note of a calculator program that prints a worked set of phasors.

Status: both seen, the first in a public set of worked textbook examples that does not show the
title of the book, the second in a public archive of calculator software. The program counts the
phases in the other direction, so B and C are exchanged here.
"""

import cmath
import math
from collections.abc import Callable

from ampwright.kernels.unbalance import sequence_components

Check = Callable[..., None]


def polar(size: float, degrees: float) -> complex:
    return cmath.rect(size, math.radians(degrees))


def test_example_3_3_1(printed: Check) -> None:
    parts = sequence_components(12 + 24j, 16 - 2j, -4 - 6j)
    printed("positive, real", 0.845, parts.positive.real, "", within=6e-4)
    printed("positive, imaginary", 15.1, parts.positive.imag, "", within=0.06)
    printed("negative, real", 3.155, parts.negative.real, "", within=6e-4)
    printed("negative, imaginary", 3.56, parts.negative.imag, "", within=6e-3)
    printed("zero, real", 8.0, parts.zero.real, "", within=0.06)
    printed("zero, imaginary", 5.33, parts.zero.imag, "", within=6e-3)


def test_calculator_program(printed: Check) -> None:
    parts = sequence_components(polar(147, 13), polar(150, 237), polar(154, 129))
    printed("positive, size", 149.285, abs(parts.positive), "", within=6e-4)
    printed(
        "positive, degrees", 6.321, math.degrees(cmath.phase(parts.positive)), "deg", within=6e-4
    )
    printed("negative, size", 10.135, abs(parts.negative), "", within=6e-4)
    printed(
        "negative, degrees", 49.004, math.degrees(cmath.phase(parts.negative)), "deg", within=6e-4
    )
    printed("zero, size", 14.824, abs(parts.zero), "", within=6e-4)
    printed("zero, degrees", 142.704, math.degrees(cmath.phase(parts.zero)), "deg", within=6e-4)
