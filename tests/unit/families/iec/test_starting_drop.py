"""The drop during a start, against the phasors of both voltages."""
# ruff: noqa: ANN401 - the builders take any field of a record

import cmath
import math
from typing import Any

import attrs
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


def test_a_start_that_bears_little_gets_the_smallest_conductor_that_leaves_it_enough(
    iec: Any,
) -> None:
    """By hand, with sqrt(3) 90 A 40 m / 230 V = 27.11 m/ohm, cosine 0.4, sine 0.917, R at 70 C.

    4 mm2: R = 4.61e-3 1.1965 = 5.52e-3 ohm/m; along 27.11 (R 0.4 + 8e-5 0.917) = 0.0618, across
    27.11 (8e-5 0.4 - R 0.917) = -0.136: 1 - (sqrt(1 - 0.136^2) - 0.0618) = 0.071. 1.5 mm2: 0.226.
    """
    demand = iec.demand(
        motors=(iec.motor(3, 11),), length=figure(40), starting_current=figure(90),
        starting_power_factor=figure(0.4), starting_time=figure(0.5),
    )  # fmt: skip
    plain = iec.ask(demand).circuit
    assert plain.starting_drop_fraction == pytest.approx(0.226, abs=0.001)
    bearing = attrs.evolve(demand, starting_drop_limit=figure(0.08))
    thick = iec.ask(bearing).circuit
    assert thick.conductor.size == "4 mm2"
    assert thick.starting_drop_fraction == pytest.approx(0.071, abs=0.001)
    lax = iec.ask(attrs.evolve(demand, starting_drop_limit=figure(0.5))).circuit
    assert lax.conductor == plain.conductor


def test_a_start_that_bears_nothing_has_no_conductor(iec: Any) -> None:
    demand = iec.demand(
        motors=(iec.motor(3, 11),), length=figure(40), starting_current=figure(90),
        starting_power_factor=figure(0.4), starting_drop_limit=figure(1e-6),
    )  # fmt: skip
    answer = iec.ask(demand)
    assert answer.circuit is None
    assert "feeder.undersized" in {one.code for one in answer.findings}
