"""NEMA MG 10, table 2-3, allowable starts and starting intervals, with its worked example.

Status: table and example (25 hp, 4 poles, load Wk2 50 lb ft2: 2.44 starts an hour) seen as
reproduced in a handbook of a repairers' association. Column B of the table is the product of starts
and inertia and equals the load inertia limit of NEMA MG 1, 12.54, whose formula is from memory.
"""

from collections.abc import Callable

import pytest

from ampwright.kernels.start_heating import (
    HP_W,
    LB_FT2_KG_M2,
    load_inertia_limit_kg_m2,
    start_limit,
)

Check = Callable[..., None]

# rating [hp]: column B for 2, 4 and 6 poles, as printed [lb ft2]
COLUMN_B = {
    1: (1.2, 5.8, 15),
    2: (2.4, 11, 30),
    5: (5.7, 27, 71),
    7.5: (8.3, 39, 104),
    10: (11, 51, 137),
    20: (21, 99, 262),
    50: (49, 232, 620),
    100: (92, 441, 1181),
    250: (210, 1017, 2744),
}


@pytest.mark.parametrize("power_hp", COLUMN_B)
def test_column_b(power_hp: float, printed: Check) -> None:
    for poles, wanted in zip((2, 4, 6), COLUMN_B[power_hp], strict=True):
        ours = load_inertia_limit_kg_m2(power_hp * HP_W, 7200 / poles) / LB_FT2_KG_M2
        step = 0.1 if wanted < 10 else 1.0
        printed(f"{power_hp:g} hp, {poles} poles", wanted, ours, "lb ft2", within=0.56 * step)


def test_example_25_hp(printed: Check) -> None:
    limit = start_limit(25 * HP_W, 4, load_inertia_kg_m2=50 * LB_FT2_KG_M2, heat_ratio=1.0)
    assert limit.governing == "inertia"
    printed("25 hp, 4 poles, Wk2 50: starts an hour", 2.44, limit.per_hour, "1/h", within=0.01)
