"""IEC 60364-4-43 table 43A and IEC 60364-5-54 tables A.54.2 to A.54.5: adiabatic constant k.

Status: 115 and 143 seen on public pages, the others from memory, high; check against the standards.
The printed values are whole numbers.
"""

from collections.abc import Callable

import pytest

from ampwright.kernels.cable import (
    ALUMINIUM,
    COPPER,
    STEEL,
    Metal,
    adiabatic_area_mm2,
    adiabatic_k,
    fault_temperature_c,
)

Check = Callable[..., None]
PRINTED = [
    (COPPER, 70, 160, 115, "PVC up to 300 mm2"),
    (COPPER, 70, 140, 103, "PVC above 300 mm2"),
    (COPPER, 90, 250, 143, "XLPE"),
    (COPPER, 60, 200, 141, "rubber"),
    (COPPER, 30, 160, 143, "PVC, separate protective conductor"),
    (COPPER, 30, 250, 176, "XLPE, separate protective conductor"),
    (ALUMINIUM, 70, 160, 76, "PVC up to 300 mm2"),
    (ALUMINIUM, 90, 250, 94, "XLPE"),
    (ALUMINIUM, 30, 160, 95, "PVC, separate protective conductor"),
    (ALUMINIUM, 30, 250, 116, "XLPE, separate protective conductor"),
    (STEEL, 30, 160, 52, "PVC, separate protective conductor"),
    (STEEL, 60, 200, 51, "armour of PVC cable"),
]


@pytest.mark.parametrize(("metal", "initial_c", "final_c", "k", "use"), PRINTED)
def test_k(
    metal: Metal, initial_c: float, final_c: float, k: int, use: str, printed: Check
) -> None:
    ours = adiabatic_k(initial_c, final_c, metal)
    printed(f"{metal.name}, {use}", k, ours, "A s^0.5/mm2", within=0.55)


def test_a_conductor_of_the_least_area_just_reaches_its_final_temperature() -> None:
    area = adiabatic_area_mm2(3000.0, 0.4, adiabatic_k(70, 160, COPPER))
    hot = fault_temperature_c(3000.0, 0.4, area_mm2=area, initial_c=70, metal=COPPER)
    assert hot == pytest.approx(160.0, abs=1e-9)
