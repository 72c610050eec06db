"""IEC 60364-5-52, annex G: drop u = b (rho L / S cos phi + lambda L sin phi) I of a circuit.

Between phases b is the root of three, of a circuit of two conductors 2; rho is 0.0225 ohm mm2/m for
copper and 0.036 for aluminium, a quarter more than at 20 C; lambda is 0.08 milliohm/m. Status: the
equation and copper seen on public pages, lambda and aluminium from memory. The drops are our own
arithmetic from these figures:

- 35 mm2 copper, 50 m, 100 A at 0.8: resistance 0.032143, reactance 0.004 ohm; 2.5714 and 0.24 V,
  together 2.8114 V, times 1.7321 4.8695 V.
- the same with 500 A at 0.35, of which the sine is 0.93675: 5.6250 and 1.8735 V, times 1.7321
  12.988 V.
- 2.5 mm2 copper, 20 m, 20 A at 1, two conductors: 0.18 ohm, 3.6 V, times two 7.2 V.
- 70 mm2 aluminium, 80 m, 120 A at 0.9, of which the sine is 0.43589: resistance 0.041143,
  reactance 0.0064 ohm; 4.4434 and 0.33476 V, times 1.7321 8.2761 V.
"""

from collections.abc import Callable

import pytest

from ampwright.kernels.cable import drop_v

Check = Callable[..., None]
COPPER, ALUMINIUM = 0.0225, 0.036
LAMBDA_OHM_PER_M = 0.08e-3


@pytest.mark.parametrize(
    ("rho", "area_mm2", "length_m", "amperes", "power_factor", "phases", "wanted"),
    [
        (COPPER, 35, 50, 100, 0.8, 3, 4.8695),
        (COPPER, 35, 50, 500, 0.35, 3, 12.988),
        (COPPER, 2.5, 20, 20, 1.0, 1, 7.2),
        (ALUMINIUM, 70, 80, 120, 0.9, 3, 8.2761),
    ],
)
def test_annex_g(
    rho: float, area_mm2: float, length_m: float, amperes: float, power_factor: float, phases: int,
    wanted: float, printed: Check,
) -> None:  # fmt: skip
    ours = drop_v(
        amperes,
        length_m,
        r_ohm_per_m=rho / area_mm2,
        x_ohm_per_m=LAMBDA_OHM_PER_M,
        power_factor=power_factor,
        phases=phases,
    )
    printed(f"{area_mm2} mm2, {amperes} A at {power_factor}", wanted, ours, "V", within=0.001)
