"""Voltage drops worked by others.

A trade magazine's basics of voltage drop (three-phase, 480 V, 20 A, 200 ft, 1.1 and 1.7 ohm/kft:
7.62 V and 11.78 V, the text has 7.7 and 11.8); a revision quiz on BS 7671 (18 mV/A/m, 20 A, 30 m:
10.8 V); a note on the older wiring regulations (1.1 mV/A/m, 100 A, 150 m: 16.5 V). Status: seen on
public pages.
"""

import math
from collections.abc import Callable

import pytest

from ampwright.kernels.cable import drop_v

Check = Callable[..., None]
FOOT_M = 0.3048


@pytest.mark.parametrize(("ohm_per_kft", "wanted"), [(1.1, 7.62), (1.7, 11.78)])
def test_trade_magazine(ohm_per_kft: float, wanted: float, printed: Check) -> None:
    ours = drop_v(
        20,
        200 * FOOT_M,
        r_ohm_per_m=ohm_per_kft / 1000 / FOOT_M,
        x_ohm_per_m=0.0,
        power_factor=1.0,
        phases=3,
    )
    printed(f"20 A, 200 ft, {ohm_per_kft} ohm/kft", wanted, ours, "V", within=0.006)


def test_revision_quiz(printed: Check) -> None:
    ours = drop_v(20, 30, r_ohm_per_m=18e-3 / 2, x_ohm_per_m=0.0, power_factor=1.0, phases=1)
    printed("20 A, 30 m, 18 mV/A/m", 10.8, ours, "V", within=1e-9)


def test_older_regulations(printed: Check) -> None:
    ohm_per_m = 1.1e-3 / math.sqrt(3.0)
    ours = drop_v(100, 150, r_ohm_per_m=ohm_per_m, x_ohm_per_m=0.0, power_factor=1.0, phases=3)
    printed("100 A, 150 m, 1.1 mV/A/m", 16.5, ours, "V", within=1e-9)
