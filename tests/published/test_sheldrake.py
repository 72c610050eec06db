"""A. L. Sheldrake, Handbook of Electrical Engineering, Wiley 2003, tables 9.13 and 9.16.

Resistance of copper cables at 70 C (PVC) and 90 C (XLPE) against the greatest resistance at 20 C
of IEC 60228, class 2. Status: both seen on public pages; check against the standards. From 95 mm2
up the handbook's values hold skin effect.
"""

from collections.abc import Callable

import pytest

from ampwright.kernels.cable import COPPER, resistance_at

Check = Callable[..., None]
# mm2: ohm/km at 20 C (IEC 60228), at 70 C and 90 C (handbook)
ROWS = {
    1.5: (12.1, 14.451, 15.4),
    2.5: (7.41, 8.868, 9.45),
    4: (4.61, 5.518, 5.88),
    6: (3.08, 3.688, 3.93),
    10: (1.83, 2.186, 2.33),
    16: (1.15, 1.38, 1.47),
    25: (0.727, 0.87, 0.927),
    35: (0.524, 0.627, 0.668),
    50: (0.387, 0.464, 0.494),
    70: (0.268, 0.321, 0.342),
}


@pytest.mark.parametrize("area_mm2", ROWS)
def test_resistance_when_hot(area_mm2: float, printed: Check) -> None:
    cold, warm, hot = ROWS[area_mm2]
    for to_c, wanted in ((70, warm), (90, hot)):
        ours = resistance_at(cold, at_c=20, to_c=to_c, metal=COPPER)
        printed(f"{area_mm2:g} mm2 at {to_c} C", wanted, ours, "ohm/km", within=0.004 * wanted)
