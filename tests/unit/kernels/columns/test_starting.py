"""What the columnar drivers of starting and balancing refuse."""

from collections.abc import Callable
from typing import cast

import numpy as np
import pytest

from ampwright.kernels.balance import ladder
from ampwright.kernels.columns.capacitor_choice import choose
from ampwright.kernels.columns.run_up import run_up
from ampwright.kernels.columns.starting import curve, locked_rotor
from ampwright.kernels.columns.transient import transient
from ampwright.kernels.duty import DutyState, Limits
from ampwright.kernels.induction import InductionCircuit
from ampwright.kernels.network import Rotor, capacitors, split_phase
from ampwright.kernels.starter import DIRECT, Shaft

FIVE = InductionCircuit(0.5, 0.8, 21.0, 0.42, 1.1, 2.5, 0.5, 500.0, 45.0, 45.0, 13.0, 2, 60.0, 0.8)
SOURCE = split_phase(240.0, 0.06 + 0.05j)
LEGS = capacitors(0.0, 5e-5, 1e-4, 60.0)
SHAFT = Shaft(Rotor(FIVE), 0.06)
THREE = cast("float", np.array([0.05, 0.06, 0.07]))
MANY = SHAFT._replace(inertia_kg_m2=THREE)
LIMITS = Limits(253.0, 370.0, 1.0, 0.02, idler_delta=False, tolerance=0.06)


@pytest.mark.parametrize("driver", [locked_rotor, curve, run_up])
def test_without_any_column(driver: Callable[..., object]) -> None:
    with pytest.raises(ValueError, match="columns of one length"):
        driver(SOURCE, LEGS, (SHAFT,), SHAFT)


def test_bands_stages_and_inertias() -> None:
    with pytest.raises(ValueError, match="a band of starting torque"):
        run_up(SOURCE, LEGS, (SHAFT,), MANY, torque_band=0.1)
    with pytest.raises(ValueError, match="stages that end below 1"):
        run_up(SOURCE, LEGS, (SHAFT,), MANY, stages=(DIRECT, DIRECT))
    with pytest.raises(ValueError, match="inertias above zero"):
        run_up(SOURCE, LEGS, (SHAFT,), MANY._replace(inertia_kg_m2=-THREE))


def test_only_the_starter_may_be_a_column() -> None:
    found = run_up(SOURCE, LEGS, (SHAFT,), MANY)
    assert np.size(found.nominal.time_s) == 3
    assert np.all(np.diff(found.nominal.time_s) > 0.0)
    periods = transient(SOURCE, (0.0, 5e-5, 1e-4), (SHAFT,), MANY, duration_s=0.02).periods
    assert np.size(periods[0].source_a) == 3


def test_a_capacitor_in_some_lanes_only() -> None:
    some = cast("float", np.array([1e-4, 0.0, 1e-4]))
    with pytest.raises(ValueError, match="in all lanes or none"):
        transient(SOURCE, (0.0, 0.0, some), (SHAFT,), MANY, duration_s=0.02)


@pytest.mark.parametrize(("duration", "steps"), [(0.0, 0), (0.1, 41)])
def test_time_and_steps(duration: float, steps: int) -> None:
    with pytest.raises(ValueError, match="duration above zero"):
        transient(
            SOURCE, (0.0, 0.0, 0.0), (SHAFT,), MANY, duration_s=duration, steps_per_period=steps
        )


def test_a_duty_without_states_or_columns() -> None:
    rungs = ladder([1e-5], 2)
    with pytest.raises(ValueError, match="a state of duty at least"):
        choose(SOURCE, SOURCE, (), rungs, LIMITS)
    with pytest.raises(ValueError, match="columns of one length"):
        choose(SOURCE, SOURCE, (DutyState(1.0, (Rotor(FIVE),)),), rungs, LIMITS)


def test_limits_alone_may_be_columns() -> None:
    rungs = ladder([1e-5, 2e-5, 5e-5], 3)
    volts = LIMITS._replace(line_v=cast("float", np.array([300.0, 250.0, 242.0])))
    found = choose(SOURCE, SOURCE, (DutyState(1.0, (Rotor(FIVE),)),), rungs, volts)
    assert found.bc.shape == (3,)
    assert found.kept.all()
