"""The scalar and the columnar identification agree over random plates."""

import math
import random
from typing import Any

import numpy as np
import pytest

from ampwright.kernels.columns import identification as columns
from ampwright.kernels.identification import Identified, identify
from ampwright.kernels.rated_point import typical_motor

LANES = 400
STATED = (
    "power_w",
    "voltage_v",
    "frequency_hz",
    "speed_rpm",
    "poles",
    "current_a",
    "power_factor",
    "efficiency",
    "locked_rotor_current_a",
    "locked_rotor_limit_a",
    "locked_rotor_torque_ratio",
    "locked_rotor_torque_minimum_ratio",
    "breakdown_torque_ratio",
    "breakdown_torque_minimum_ratio",
    "no_load_current_a",
)


def plate(chance: random.Random) -> dict[str, Any]:
    """Return a plate that strays from the usual as plates do; each value may be missing."""
    poles, power_w = chance.choice((2, 4, 4, 6, 8)), 75.0 * 1000.0 ** chance.random()
    usual, frequency_hz = typical_motor(power_w, poles // 2), chance.choice((50.0, 60.0))
    voltage_v = chance.choice((115.0, 200.0, 230.0, 400.0, 460.0, 690.0))
    efficiency = min(usual.efficiency * chance.gauss(1.0, 0.02), 0.96)
    power_factor = min(usual.power_factor * chance.gauss(1.0, 0.04), 0.93)
    slip = max(usual.slip * chance.gauss(1.0, 0.2), 0.005)
    current_a = power_w / (math.sqrt(3.0) * voltage_v * efficiency * power_factor)
    locked_a = current_a * usual.locked_rotor_current_ratio * chance.gauss(1.0, 0.1)
    whole: dict[str, Any] = {
        "speed_rpm": float(round(120.0 * frequency_hz / poles * (1.0 - slip))),
        "poles": poles,
        "current_a": round(current_a * chance.gauss(1.0, 0.02), 2),
        "power_factor": round(power_factor, 2),
        "efficiency": round(efficiency, 3),
        "locked_rotor_current_a": round(locked_a, 1),
        "locked_rotor_limit_a": round(1.1 * locked_a, 1),
        "locked_rotor_torque_ratio": usual.locked_rotor_torque_ratio * chance.gauss(1.0, 0.15),
        "locked_rotor_torque_minimum_ratio": 0.8 * usual.locked_rotor_torque_ratio,
        "breakdown_torque_ratio": usual.breakdown_torque_ratio * chance.gauss(1.0, 0.1),
        "breakdown_torque_minimum_ratio": 0.8 * usual.breakdown_torque_ratio,
        "no_load_current_a": round(0.9 * current_a * math.sqrt(1.0 - power_factor**2), 2),
    }
    kept = {name: value for name, value in whole.items() if chance.random() < 0.4}
    return {"power_w": power_w, "voltage_v": voltage_v, "frequency_hz": frequency_hz, **kept}


PLATES = [plate(random.Random(seed)) for seed in range(LANES)]  # noqa: S311 - repeatable, no secret


@pytest.fixture(scope="module")
def many() -> columns.IdentifiedMany:
    return columns.identify(
        **{name: np.array([p.get(name, np.nan) for p in PLATES], float) for name in STATED}
    )


@pytest.fixture(scope="module")
def each() -> list[Identified]:
    return [identify(**stated) for stated in PLATES]


def test_circuits_and_bands(many: columns.IdentifiedMany, each: list[Identified]) -> None:
    for name in ("circuit", "low", "high", "point"):
        np.testing.assert_allclose(
            np.transpose(getattr(many, name)), [getattr(one, name) for one in each], rtol=1e-9
        )
    np.testing.assert_array_equal(
        many.start_torque_spread, [one.start_torque_spread for one in each]
    )


def test_what_was_supposed_and_doubted(
    many: columns.IdentifiedMany, each: list[Identified]
) -> None:
    for i, one in enumerate(each):
        assert {name for name, mask in many.assumed.items() if mask[i]} == set(one.assumed)
        codes = {doubt.code for doubt in one.diagnostics}
        assert {code for code, mask in many.doubted.items() if mask[i]} == codes
    assert any(mask.any() for mask in many.doubted.values())


def test_misses(many: columns.IdentifiedMany, each: list[Identified]) -> None:
    for i, one in enumerate(each):
        known = {name: miss[i] for name, miss in many.misses.items() if not np.isnan(miss[i])}
        assert known == pytest.approx(one.misses, abs=1e-8)
        assert many.residual[i] == pytest.approx(one.residual, abs=1e-8)


def test_a_lane_that_the_scalar_driver_refuses_is_not_a_number() -> None:
    found = columns.identify(
        power_w=[3000.0, 0.0, 3000.0, 3000.0, 3000.0],
        voltage_v=400.0,
        frequency_hz=50.0,
        poles=[4, 4, 3, 4, 4],
        current_a=[6.5, 6.5, 6.5, -1.0, 6.5],
        breakdown_torque_ratio=[2.5, 2.5, 2.5, 2.5, 0.0],
    )
    np.testing.assert_array_equal(found.valid, [True, False, False, False, False])
    for leaf in (*found.circuit, *found.low, *found.point, found.residual):
        np.testing.assert_array_equal(np.isnan(leaf), ~found.valid)
    for mask in (*found.doubted.values(), *found.assumed.values()):
        assert not mask[1:].any()
    alone = identify(
        power_w=3000.0, voltage_v=400.0, frequency_hz=50.0, poles=4, current_a=6.5,
        breakdown_torque_ratio=2.5,
    )  # fmt: skip
    assert [np.asarray(leaf)[0] for leaf in found.circuit] == pytest.approx(alone.circuit, rel=1e-9)


def test_blocks_do_not_show() -> None:
    """More lanes than one block holds, and one lane alone."""
    power_w = np.geomspace(100.0, 50_000.0, columns.BLOCK + 3)
    whole = columns.identify(power_w=power_w, voltage_v=400.0, frequency_hz=50.0)
    assert len(whole.circuit.r1_ohm) == columns.BLOCK + 3  # type: ignore[arg-type] # a column
    for i in (0, columns.BLOCK - 1, columns.BLOCK, columns.BLOCK + 2):
        one = columns.identify(power_w=power_w[i], voltage_v=400.0, frequency_hz=50.0)
        for a, b in zip(one.circuit, whole.circuit, strict=True):
            assert np.asarray(a)[0] == pytest.approx(np.asarray(b)[i], rel=1e-9)
