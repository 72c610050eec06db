"""The drop during a start, against the phasors of both voltages."""
# ruff: noqa: ANN401 - the builders take any field of a record

import cmath
import math
from typing import Any

import pytest
from tests.unit.families.iec.conftest import figure


@pytest.mark.parametrize("phases", [1, 3])
@pytest.mark.parametrize(("amperes", "factor"), [(95, 0.3), (60, 0.6), (60, 1.0)])
def test_the_load_has_what_the_impedance_leaves(
    iec: Any, phases: int, amperes: float, factor: float
) -> None:
    """U_source = U_load + I (R + jX): with the load's voltage, source and drop close the triangle.

    Single-phase lines are reckoned there and back, three-phase ones from phase to star point.
    """
    demand = iec.demand(
        phases=phases, motors=(iec.motor(4, 15, phases=phases),), length=figure(40),
        starting_current=figure(amperes), starting_power_factor=figure(factor),
    )  # fmt: skip
    circuit = iec.ask(demand).circuit
    steps = {one.path: one for one in circuit.steps}
    (stated,) = [one for path, one in steps.items() if path.endswith("/starting_drop_fraction")]
    ohm, ohm_x = (float(steps[path].value) for name, path in stated.inputs if name in "RX")
    loops, source = (2, 230.0) if phases == 1 else (1, 230 / 3**0.5)
    left = (1 - circuit.starting_drop_fraction) * source
    current = cmath.rect(amperes, -math.acos(factor))
    assert abs(left + current * loops * 40 * complex(ohm, ohm_x)) == pytest.approx(source)
