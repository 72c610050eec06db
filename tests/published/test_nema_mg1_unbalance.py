"""NEMA MG 1, 14.36, voltage unbalance: worked figures of the clause that defines it.

Status: from memory, confidence high; to be read in the standard.
"""

from collections.abc import Callable

from ampwright.kernels.unbalance import deviation_unbalance

Check = Callable[..., None]


def test_14_36_worked_figures(printed: Check) -> None:
    printed("460, 467, 450 V", 0.0196, deviation_unbalance(460, 467, 450), "", within=5e-5)
