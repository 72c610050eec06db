"""Electrical Installation Guide, chapter G, calculation of voltage drop, example 1.

35 mm2 copper, 50 m, 400 V: 100 A at power factor 0.8 running, 500 A at 0.35 starting; 1.0 and
0.52 V/A/km between phases, 10 V lost upstream: 15 V running, 27 V (less than the 13 V of the cable
and 14 V of the board) starting. Status: from memory, confidence high. The guide takes 22.5 ohm
mm2/km and 0.08 ohm/km and rounds to two digits.
"""

from collections.abc import Callable

import pytest

from ampwright.kernels.cable import drop_v

Check = Callable[..., None]


@pytest.mark.parametrize(
    ("power_factor", "amps", "per_a_km", "wanted"), [(0.8, 100, 1.0, 5.0), (0.35, 500, 0.52, 13.0)]
)
def test_example_1(
    power_factor: float, amps: float, per_a_km: float, wanted: float, printed: Check
) -> None:
    ours = drop_v(
        amps,
        50,
        r_ohm_per_m=22.5 / 35 / 1000,
        x_ohm_per_m=0.08e-3,
        power_factor=power_factor,
        phases=3,
    )
    printed(f"{amps} A, drop per A and km", per_a_km, ours / amps / 0.05, "V", within=0.03)
    printed(f"{amps} A, drop", wanted, ours, "V", within=0.03 * wanted)
