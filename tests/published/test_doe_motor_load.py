"""U.S. Department of Energy, Determining Electric Motor Load and Efficiency, DOE/GO-10097-517.

Greatest efficiency near 75 % of rated load, an acceptable range of 50 to 100 %; and the slip
method: 1800 synchronous, 1750 on the plate, 1770 measured, 25 hp give 60 %, 15 hp. Status: the
first seen on public copies of the fact sheet, the example from memory, high.
"""

from collections.abc import Callable

import pytest

from ampwright.kernels.energy import BEST_LOAD, efficiency_at_load, load_from_speed

Check = Callable[..., None]


@pytest.mark.parametrize("rated", [0.75, 0.86, 0.93])
def test_greatest_efficiency(rated: float, printed: Check) -> None:
    steps = [n / 100 for n in range(30, 121)]
    peak = max(steps, key=lambda load: efficiency_at_load(rated, load, best_load=BEST_LOAD))
    printed(f"load of greatest efficiency, rated {rated}", 0.75, peak, "", within=0.011)
    for load in (0.5, 1.0):
        efficiency = efficiency_at_load(rated, load, best_load=BEST_LOAD)
        assert efficiency > 0.96 * efficiency_at_load(rated, peak, best_load=BEST_LOAD)


def test_slip_method(printed: Check) -> None:
    load = load_from_speed(1770, synchronous_rpm=1800, rated_rpm=1750)
    printed("load", 0.60, load, "", within=1e-12)
    printed("output", 15, 25 * load, "hp", within=1e-9)
