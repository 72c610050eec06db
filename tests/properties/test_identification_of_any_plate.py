"""No plausible plate, however contradictory, is refused, and each circuit meets its point."""

import math
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from ampwright.kernels.identification import identify
from ampwright.kernels.rated_point import DIAGNOSTICS
from ampwright.kernels.torque_curve import breakdown, locked_rotor

VOLTS = (100.0, 115.0, 200.0, 230.0, 380.0, 400.0, 415.0, 460.0, 575.0, 690.0)


def maybe(strategy: st.SearchStrategy[float]) -> st.SearchStrategy[float | None]:
    return st.one_of(st.none(), strategy)


@settings(max_examples=300, deadline=None)
@given(
    power_w=st.floats(75.0, 75_000.0),
    voltage_v=st.sampled_from(VOLTS),
    frequency_hz=st.sampled_from((50.0, 60.0)),
    poles=st.sampled_from((2, 4, 6, 8)),
    slip=maybe(st.floats(0.0, 0.2)),
    over=maybe(st.floats(0.3, 2.0)),
    power_factor=maybe(st.floats(0.3, 1.0)),
    efficiency=maybe(st.floats(0.2, 1.0)),
    locked=maybe(st.floats(2.0, 12.0)),
    start=maybe(st.floats(0.5, 4.0)),
    peak=maybe(st.floats(1.5, 5.0)),
    idle=maybe(st.floats(0.1, 1.0)),
)
def test_any_plate(
    power_w: float,
    voltage_v: float,
    frequency_hz: float,
    poles: int,
    slip: float | None,
    over: float | None,
    power_factor: float | None,
    efficiency: float | None,
    locked: float | None,
    start: float | None,
    peak: float | None,
    idle: float | None,
) -> None:
    usual_a = power_w / (math.sqrt(3.0) * voltage_v * 0.65)
    stated: dict[str, Any] = {
        "speed_rpm": None if slip is None else 120.0 * frequency_hz / poles * (1.0 - slip),
        "current_a": over and over * usual_a,
        "locked_rotor_current_a": locked and locked * usual_a,
        "no_load_current_a": idle and idle * usual_a,
    }
    found = identify(
        power_w=power_w,
        voltage_v=voltage_v,
        frequency_hz=frequency_hz,
        poles=poles,
        power_factor=power_factor,
        efficiency=efficiency,
        locked_rotor_torque_ratio=start,
        breakdown_torque_ratio=peak,
        **stated,
    )
    codes = {doubt.code for doubt in found.diagnostics}
    assert codes <= set(DIAGNOSTICS)
    for circuit in (found.circuit, found.low, found.high):
        *parts, series_ohm = circuit
        assert all(math.isfinite(value) and value > 0.0 for value in parts)
        assert series_ohm == circuit.series_ohm == 0.0  # a plate knows no transformer
        assert locked_rotor(circuit, voltage_v).torque_nm > 0.0
        assert breakdown(circuit, voltage_v).torque_nm > 0.0
    rated = ("power_w", "current_a", "power_factor", "efficiency")
    if "rated-point" not in codes:
        assert max(abs(found.misses[name]) for name in rated) <= 0.01
    assert found.circuit.pole_pairs == poles // 2
