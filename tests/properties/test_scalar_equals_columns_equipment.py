"""Scalar and columnar drivers agree to 1e-9 on what surrounds a machine, and refuse the same rows.

Each case draws its arguments a little beyond the valid range, so that refusals are met too: where
the scalar kernel raises, the column holds not-a-number.
"""

import cmath
import math
import random
from collections.abc import Callable, Sequence
from typing import Any, NamedTuple

import numpy as np
import pytest

from ampwright.kernels import (
    cable,
    energy,
    inrush,
    protection,
    rectifier,
    start_heating,
    thermal,
    unbalance,
)
from ampwright.kernels.columns import cable as cable_columns
from ampwright.kernels.columns import energy as energy_columns
from ampwright.kernels.columns import inrush as inrush_columns
from ampwright.kernels.columns import protection as protection_columns
from ampwright.kernels.columns import rectifier as rectifier_columns
from ampwright.kernels.columns import start_heating as start_heating_columns
from ampwright.kernels.columns import thermal as thermal_columns
from ampwright.kernels.columns import unbalance as unbalance_columns
from ampwright.kernels.induction import InductionCircuit

COUNT = 1500
FLAGS = [True, False]
MOTOR = InductionCircuit(
    0.3, 0.6, 14.0, 0.25, 0.7, 1.4, 0.35, 400.0, 60.0, 60.0, 13.6, 2, 60.0, 0.8
)  # fmt: skip


class Case(NamedTuple):
    """Two drivers of one kernel, and the range that each argument is drawn from."""

    scalar: Callable[..., object]
    columns: Callable[..., object]
    positional: Sequence[tuple[float, float]]
    named: dict[str, tuple[float, float] | Sequence[object]]
    fixed: dict[str, object]


def one_of(*values: object) -> list[object]:
    """Return choices, which a list stands for."""
    return list(values)


CASES = {
    "deviation_unbalance": Case(
        unbalance.deviation_unbalance, unbalance_columns.deviation_unbalance,
        [(-20, 300)] * 3, {}, {},
    ),
    "negative_sequence_unbalance": Case(
        unbalance.negative_sequence_unbalance, unbalance_columns.negative_sequence_unbalance,
        [(-20, 300)] * 3, {}, {},
    ),
    "resistance_at": Case(
        cable.resistance_at, cable_columns.resistance_at, [(-0.1, 5)],
        {"at_c": (-60, 360), "to_c": (-60, 360)}, {"metal": cable.COPPER},
    ),
    "drop_v": Case(
        cable.drop_v, cable_columns.drop_v, [(-1, 100), (-1, 100)],
        {"r_ohm_per_m": (-0.001, 0.02), "x_ohm_per_m": (0, 0.001), "power_factor": (-0.05, 1.05),
         "phases": one_of(1, 3, 3, 2), "leading": FLAGS}, {},
    ),
    "load_voltage_v": Case(
        cable.load_voltage_v, cable_columns.load_voltage_v, [(100, 250), (-5, 300)],
        {"r_ohm": (-0.02, 1), "x_ohm": (0, 1), "power_factor": (-0.05, 1.05),
         "leading": FLAGS}, {},
    ),
    "conductor_temperature_c": Case(
        cable.conductor_temperature_c, cable_columns.conductor_temperature_c, [(-2, 60)],
        {"ampacity_a": (-1, 60), "ambient_c": (-10, 50), "limit_c": (20, 90),
         "rated_ambient_c": (20, 40)}, {},
    ),
    "ambient_factor": Case(
        cable.ambient_factor, cable_columns.ambient_factor, [(-10, 95)],
        {"limit_c": (20, 90), "rated_ambient_c": (20, 40)}, {},
    ),
    "adiabatic_k": Case(
        cable.adiabatic_k, cable_columns.adiabatic_k, [(-60, 200), (0, 360)], {},
        {"metal": cable.ALUMINIUM},
    ),
    "adiabatic_area_mm2": Case(
        cable.adiabatic_area_mm2, cable_columns.adiabatic_area_mm2,
        [(-100, 10000), (-0.2, 5.5), (-10, 150)], {}, {},
    ),
    "fault_temperature_c": Case(
        cable.fault_temperature_c, cable_columns.fault_temperature_c, [(-100, 9000), (-0.2, 5.5)],
        {"area_mm2": (-1, 50), "initial_c": (-60, 400)}, {"metal": cable.COPPER},
    ),
    "fault_current_a": Case(
        cable.fault_current_a, cable_columns.fault_current_a, [(-10, 300), (0.01, 2)],
        {"voltage_factor": (0.88, 1.12)}, {},
    ),
    "code_letter_current_a": Case(
        inrush.code_letter_current_a, inrush_columns.code_letter_current_a,
        [(-1, 50), (-1, 22), (-10, 600)], {"phases": one_of(1, 3, 2)}, {},
    ),
    "asymmetry_factor": Case(
        inrush.asymmetry_factor, inrush_columns.asymmetry_factor, [(-0.1, 1.1)], {}, {}
    ),
    "rectifier_input": Case(
        rectifier.rectifier_input, rectifier_columns.rectifier_input, [(500, 8000), (200, 250)],
        {"frequency_hz": (50, 60), "resistance_ohm": (-0.01, 1), "reactance_ohm": (-0.01, 1),
         "capacitance_f": (2e-4, 8e-3)}, {},
    ),
    "reflected_peak_v": Case(
        rectifier.reflected_peak_v, rectifier_columns.reflected_peak_v, [(-10, 700)],
        {"cable_m": (-2, 50), "rise_s": (-1e-8, 5e-7), "reflection": (-0.1, 1.1)}, {},
    ),
    "unbalance_derating": Case(
        thermal.unbalance_derating, thermal_columns.unbalance_derating, [(-0.01, 0.06)], {},
        {"curve": "iec"},
    ),
    "circuit_heating_weight": Case(
        lambda slip: thermal.circuit_heating_weight(MOTOR, slip),
        lambda slip: thermal_columns.circuit_heating_weight(MOTOR, slip), [(-0.1, 0.4)], {}, {},
    ),
    "drive_altitude_factor": Case(
        thermal.drive_altitude_factor, thermal_columns.drive_altitude_factor, [(-200, 4400)], {}, {}
    ),
    "motor_site_factor": Case(
        thermal.motor_site_factor, thermal_columns.motor_site_factor, [],
        {"ambient_c": (-25, 65), "altitude_m": (-100, 4200), "limit_c": (35, 160)}, {},
    ),
    "drive_ambient_factor": Case(
        thermal.drive_ambient_factor, thermal_columns.drive_ambient_factor, [(-25, 65)],
        {"loss_per_k": (0.009, 0.026)}, {},
    ),
    "self_ventilated_torque": Case(
        thermal.self_ventilated_torque, thermal_columns.self_ventilated_torque, [(0, 1.1)], {}, {}
    ),
    "load_inertia_limit_kg_m2": Case(
        start_heating.load_inertia_limit_kg_m2, start_heating_columns.load_inertia_limit_kg_m2,
        [(500, 200000), (400, 3800)], {}, {},
    ),
    "part_load": Case(
        lambda volt, watt: energy.part_load(MOTOR, volt, watt),
        lambda volt, watt: energy_columns.part_load(MOTOR, volt, watt),
        [(-20, 260), (-500, 12000)], {}, {},
    ),
    "efficiency_at_load": Case(
        energy.efficiency_at_load, energy_columns.efficiency_at_load, [(0.25, 1.05), (-0.1, 1.3)],
        {"best_load": (0.35, 1.25)}, {},
    ),
    "idler_loss_w": Case(
        energy.idler_loss_w, energy_columns.idler_loss_w, [(300, 80000), (-0.01, 0.16)], {}, {}
    ),
}  # fmt: skip


def drawn(chance: random.Random, extent: tuple[float, float] | Sequence[object]) -> object:
    """Return a number of a range, or one of a list."""
    if isinstance(extent, list):
        return chance.choice(extent)
    low, high = extent
    assert isinstance(low, int | float)
    assert isinstance(high, int | float)
    return chance.uniform(low, high)


def fields(answer: object) -> tuple[Any, ...]:
    """Return an answer as a tuple of numbers or columns."""
    return tuple(answer) if isinstance(answer, tuple) else (answer,)


@pytest.mark.parametrize("name", CASES)
def test_same_numbers_and_same_refusals(name: str) -> None:
    case, chance = CASES[name], random.Random(name)  # noqa: S311 - a sample, no secret
    rows = [
        (
            [drawn(chance, extent) for extent in case.positional],
            {key: drawn(chance, extent) for key, extent in case.named.items()},
        )
        for _ in range(COUNT)
    ]
    positional = [np.array(values) for values in zip(*(row for row, _ in rows), strict=True)]
    named = {key: np.array([row[key] for _, row in rows]) for key in case.named}
    columns = fields(case.columns(*positional, **named, **case.fixed))
    refused = 0
    for number, (arguments, keywords) in enumerate(rows):
        ours = [column[number] for column in columns]
        try:
            wanted = fields(case.scalar(*arguments, **keywords, **case.fixed))
        except ValueError:
            refused += 1
            assert all(math.isnan(value) for value in ours), (arguments, keywords)
            continue
        for value, other in zip(ours, wanted, strict=True):
            assert value == pytest.approx(other, rel=1e-9, abs=1e-9), (arguments, keywords)
    assert 0 < refused < 0.9 * COUNT


def test_phasor_unbalance() -> None:
    chance = random.Random(7)  # noqa: S311 - a sample, no secret
    phasors = [
        [cmath.rect(chance.uniform(50, 250), chance.uniform(0, 6.3)) for _ in range(COUNT)]
        for _ in "abc"
    ]
    columns = unbalance_columns.phasor_unbalance(*phasors)
    for number, abc in enumerate(zip(*phasors, strict=True)):
        assert columns[number] == pytest.approx(unbalance.phasor_unbalance(*abc), rel=1e-9)


def test_usable_output() -> None:
    chance = random.Random(8)  # noqa: S311 - a sample, no secret
    extents = {
        "unbalance": (-0.01, 0.12), "negative_current": (0, 0.8), "alignment": (0.48, 1.02),
        "no_load_current": (0.1, 0.8), "weight": (0, 6), "leg_limit": (0.88, 1.27),
    }  # fmt: skip
    rows = [{key: chance.uniform(*extent) for key, extent in extents.items()} for _ in range(COUNT)]
    columns = thermal_columns.usable_output(
        curve="nema", **{key: np.array([row[key] for row in rows]) for key in extents}
    )
    seen = set()
    for number, row in enumerate(rows):
        try:
            one = thermal.usable_output(curve="nema", **row)
        except ValueError:
            assert math.isnan(columns.fraction[number])
            assert columns.governing[number] == -1
            continue
        seen.add(one.governing)
        assert columns.fraction[number] == pytest.approx(one.fraction, rel=1e-9, abs=1e-12)
        assert columns.by_largest_leg[number] == pytest.approx(one.by_largest_leg, rel=1e-9)
        assert columns.by_heating[number] == pytest.approx(one.by_heating, rel=1e-9)
        assert thermal_columns.GOVERNING[columns.governing[number]] == one.governing
        assert bool(columns.beyond_curve[number]) is one.beyond_curve
        assert math.isnan(columns.by_curve[number]) is (one.by_curve is None)
    assert seen == {"plate", "largest-leg", "heating", "curve"}


def test_start_limit() -> None:
    chance = random.Random(9)  # noqa: S311 - a sample, no secret
    rows = [
        (chance.uniform(600, 190000), chance.choice((2, 4, 6, 8)), chance.uniform(-0.1, 30),
         chance.uniform(0.95, 4))
        for _ in range(COUNT)
    ]  # fmt: skip
    power, poles, inertia, heat = (np.array(one) for one in zip(*rows, strict=True))
    columns = start_heating_columns.start_limit(
        power, poles, load_inertia_kg_m2=inertia, heat_ratio=heat
    )
    for number, (w, p, j, h) in enumerate(rows):
        try:
            one = start_heating.start_limit(w, p, load_inertia_kg_m2=j, heat_ratio=h)
        except ValueError:
            assert math.isnan(columns.per_hour[number])
            continue
        assert columns.per_hour[number] == pytest.approx(one.per_hour, rel=1e-9)
        assert columns.rest_s[number] == pytest.approx(one.rest_s, rel=1e-9)
        assert columns.inertia_share[number] == pytest.approx(one.inertia_share, rel=1e-9)
        assert bool(columns.by_inertia[number]) is (one.governing == "inertia")


BANDS = [
    *(protection.overload_band(name) for name in ("10A", "10", "20", "nema-30")),
    *(protection.breaker_band(name, 32.0) for name in ("B", "C", "D", "ul-489")),
]
FUSES = [protection.fuse_band("gG", 32.0), protection.fuse_band("time-delay", 30.0)]


@pytest.mark.parametrize("band", [*BANDS, *FUSES], ids=lambda band: str(band.name))
def test_trip_time(band: protection.Band) -> None:
    chance = random.Random(band.name)  # noqa: S311 - a sample, no secret
    loads = [chance.uniform(-0.05, 25) for _ in range(COUNT)]
    before = [chance.uniform(-0.05, 1.3) for _ in range(COUNT)]
    for curve in (band.early, band.late):
        columns = protection_columns.trip_time_s(curve, loads, before)
        for number, (load, ahead) in enumerate(zip(loads, before, strict=True)):
            try:
                one = protection.trip_time_s(curve, load, ahead)
            except ValueError:
                assert math.isnan(columns[number])
            else:
                assert columns[number] == pytest.approx(one, rel=1e-9)


def profiles(chance: random.Random, count: int) -> tuple[np.ndarray, np.ndarray]:
    """Return times and currents of run-ups, the first row now and then switched half-way."""
    steps = np.array([[chance.choice((0.0, chance.uniform(0, 3))) for _ in range(count)]
                      for _ in range(11)])  # fmt: skip
    times = np.vstack([np.zeros(count), np.cumsum(steps, axis=0)])
    currents = np.array([[chance.uniform(0, 400) for _ in range(count)] for _ in range(12)])
    return times, currents


@pytest.mark.parametrize("band", [None, *FUSES], ids=lambda band: band.name if band else "stacked")
def test_passage(band: protection.Band | None) -> None:
    chance, count = random.Random(11), 400  # noqa: S311 - a sample, no secret
    times, currents = profiles(chance, count)
    chosen = [band or chance.choice(BANDS) for _ in range(count)]
    rating = np.array([chance.uniform(-1, 60) for _ in range(count)])
    preload = np.array([chance.uniform(-0.5, 30) for _ in range(count)])
    asymmetry = np.array([chance.uniform(0.98, 2.02) for _ in range(count)])
    then = np.array([chance.choice((0.0, chance.uniform(0, 60))) for _ in range(count)])
    columns = protection_columns.passage(
        band or protection_columns.stacked(chosen), rating, times, currents,
        preload_a=preload, asymmetry=asymmetry, then_a=then,
    )  # fmt: skip
    kinds: set[object] = set()
    for number, one in enumerate(chosen):
        try:
            found = protection.passage(
                one, float(rating[number]), times[:, number].tolist(), currents[:, number].tolist(),
                preload_a=float(preload[number]), asymmetry=float(asymmetry[number]),
                then_a=float(then[number]),
            )  # fmt: skip
        except ValueError:
            assert math.isnan(np.asarray(columns.earliest_s)[number])
            kinds.add("refused")
            continue
        for field in ("earliest_s", "latest_s", "used"):
            ours = np.asarray(getattr(columns, field))[number]
            assert ours == pytest.approx(getattr(found, field), rel=1e-9, abs=1e-9), field
        assert bool(np.asarray(columns.instant)[number]) is found.instant
        kinds.add((found.instant, math.isinf(found.earliest_s)))
    assert len(kinds) >= 3


def test_stacking_refuses_fuses() -> None:
    with pytest.raises(ValueError, match="heated bodies"):
        protection_columns.stacked(FUSES)


def test_stall_share_and_yearly_energy() -> None:
    chance = random.Random(12)  # noqa: S311 - a sample, no secret
    times, currents = profiles(chance, 200)
    shares = start_heating_columns.stall_share(
        times, currents, locked_rotor_a=90.0, stall_limit_s=12.0
    )
    powers = currents * 10.0
    hours = currents * chance.uniform(1, 5)
    energies = energy_columns.yearly_energy_kwh(hours, powers)
    for number in range(200):
        one = start_heating.stall_share(
            times[:, number].tolist(), currents[:, number].tolist(),
            locked_rotor_a=90.0, stall_limit_s=12.0,
        )  # fmt: skip
        assert shares[number] == pytest.approx(one, rel=1e-9)
        try:
            kwh = energy.yearly_energy_kwh(hours[:, number].tolist(), powers[:, number].tolist())
        except ValueError:
            assert math.isnan(energies[number])
        else:
            assert energies[number] == pytest.approx(kwh, rel=1e-9)
