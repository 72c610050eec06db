"""A resistor between two legs made a balanced load by a capacitor and a coil.

P. Vaske, Berechnung von Drehstromschaltungen, Teubner, 1973, page 43, example 23: a resistor R, and
a capacitor and a coil of reactance root 3 times R, in delta on a symmetrical supply, draw three
equal line currents. Status: seen as reproduced by the example of a balanced delta in a public
component library; the book itself has not been seen. The book's point is that the currents are
equal; 5.7735 A is ten over root three, by Ohm's law, for the example's 100 V and 10 ohm.
"""

import math
from collections.abc import Callable

from ampwright.kernels.balance import single_phase_balance

Check = Callable[..., None]
TURN = complex(-0.5, math.sqrt(0.75))
R_OHM, LINE_V = 10.0, 100.0


def line_currents(y_ab: complex, y_bc: complex, y_ca: complex) -> list[float]:
    """Return the line currents of a delta on a symmetrical supply A-B-C, by Ohm's law."""
    v_ab = complex(LINE_V)
    v_bc, v_ca = v_ab * TURN**2, v_ab * TURN
    i_ab, i_bc, i_ca = v_ab * y_ab, v_bc * y_bc, v_ca * y_ca
    return [abs(i_ab - i_ca), abs(i_bc - i_ab), abs(i_ca - i_bc)]


def test_page_43_example_23_reactances(printed: Check) -> None:
    capacitor, coil = single_phase_balance(1.0 / R_OHM)
    printed(
        "reactance of the capacitor", R_OHM * math.sqrt(3.0), 1.0 / capacitor, "ohm", within=1e-9
    )
    printed("reactance of the coil", R_OHM * math.sqrt(3.0), -1.0 / coil, "ohm", within=1e-9)


def test_page_43_example_23_equal_currents(printed: Check) -> None:
    capacitor, coil = single_phase_balance(1.0 / R_OHM)
    for leg, current in zip(
        "ABC", line_currents(1 / R_OHM, 1j * capacitor, 1j * coil), strict=True
    ):
        printed(f"current of line {leg}", 5.7735, current, "A", within=5e-5)


def test_exchanged_reactances_do_not_balance() -> None:
    """The direction matters: on the other sequence the currents are as unequal as can be."""
    capacitor, coil = single_phase_balance(1.0 / R_OHM)
    currents = line_currents(1.0 / R_OHM, 1j * coil, 1j * capacitor)
    assert max(currents) > 2.0 * min(currents)
