"""BS 7671, table 41.3 (greatest loop impedance) and tables 4D2B and 4E2B (drop per ampere, metre).

Status: 41.3, type B of 6, 10, 16, 20 and 32 A and the cold reading 1.10 ohm, seen in public study
pages; 18 (2.5 mm2) and 4.4 (10 mm2) mV/A/m seen on two; the other drops from memory, medium.
Resistance and reactance are those of Sheldrake's handbook (see ``test_sheldrake``).
"""

from collections.abc import Callable

import pytest

from ampwright.kernels.cable import drop_v, largest_loop_ohm

Check = Callable[..., None]
# mm2: ohm/km at 70 C and reactance, then mV/A/m single-phase and three-phase, PVC
DROPS = {
    1.5: (14.451, 0.104, 29, 25),
    2.5: (8.868, 0.101, 18, 15),
    4: (5.518, 0.099, 11, 9.5),
    6: (3.688, 0.094, 7.3, 6.4),
    10: (2.186, 0.09, 4.4, 3.8),
    16: (1.38, 0.087, 2.8, 2.4),
}


@pytest.mark.parametrize(
    ("rating_a", "wanted"), [(6, 7.28), (10, 4.37), (16, 2.73), (20, 2.19), (32, 1.37)]
)
def test_41_3_type_b(rating_a: float, wanted: float, printed: Check) -> None:
    ours = largest_loop_ohm(230.0, 5.0 * rating_a, voltage_factor=0.95)
    printed(f"B{rating_a}", wanted, ours, "ohm", within=0.0051)


def test_cold_reading(printed: Check) -> None:
    ours = 0.8 * largest_loop_ohm(230.0, 160.0, voltage_factor=0.95)
    printed("B32 measured cold", 1.10, ours, "ohm", within=0.008)


@pytest.mark.parametrize("area_mm2", DROPS)
def test_4d2b(area_mm2: float, printed: Check) -> None:
    r, x, single, three = DROPS[area_mm2]
    size = (r * r + x * x) ** 0.5
    for phases, wanted in ((1, single), (3, three)):
        ours = drop_v(
            1.0,
            1.0,
            r_ohm_per_m=r / 1000,
            x_ohm_per_m=x / 1000,
            power_factor=r / size,  # of the cable itself: the drop is then the whole impedance's
            phases=phases,
        )
        what = f"{area_mm2:g} mm2, {phases} phases"
        printed(what, wanted, 1000 * ours, "mV/A/m", within=0.026 * wanted)
