"""NEC chapter 9, table 8, conductor properties at 75 C, and its note on other temperatures.

Status: table seen on a public page, check against the code; the coefficients of its note (0.00323
copper, 0.00330 aluminium, at 75 C) from memory. Annealed copper of 100 % conductivity has
17.241 ohm mm2/km at 20 C, aluminium of 61 % 28.264 (IEC 60028 and ASTM B 258, from memory, high).
"""

import math
from collections.abc import Callable

import pytest

from ampwright.kernels.cable import ALUMINIUM, COPPER, Metal, resistance_at

Check = Callable[..., None]
MM2_PER_CMIL = math.pi / 4 * 0.0254**2
# size: circular mils, ohm/kft of solid uncoated copper and of aluminium
SOLID = {"14": (4110, 3.07, 5.06), "12": (6530, 1.93, 3.18), "10": (10380, 1.21, 2.0),
         "8": (16510, 0.764, 1.26)}  # fmt: skip


@pytest.mark.parametrize("size", SOLID)
def test_table_8_solid(size: str, printed: Check) -> None:
    area_mm2 = SOLID[size][0] * MM2_PER_CMIL
    for metal, resistivity, wanted in (
        (COPPER, 17.241, SOLID[size][1]),
        (ALUMINIUM, 28.264, SOLID[size][2]),
    ):
        cold = resistivity / area_mm2 * 0.3048
        ours = resistance_at(cold, at_c=20, to_c=75, metal=metal)
        printed(f"{size} AWG {metal.name}", wanted, ours, "ohm/kft", within=0.005 * wanted)


@pytest.mark.parametrize(("metal", "coefficient"), [(COPPER, 0.00323), (ALUMINIUM, 0.00330)])
def test_note_2(metal: Metal, coefficient: float, printed: Check) -> None:
    ours = resistance_at(1.0, at_c=75, to_c=85, metal=metal) - 1.0
    printed(f"{metal.name}, ten kelvin", 10 * coefficient, ours, "", within=6e-5)
