"""What a start does to the public supply: IEC 61000-3-3 (from memory).

The change is the one from before the start, when a motor draws nothing, not from what it draws
once it runs. By hand: |0.4 + j0.25| = 0.4717 ohm; 4 % of 230 V are 9.2 V, so 19.50 A.
"""
# ruff: noqa: ANN401 - the answer is that of a builder that takes any field

from typing import Any

import pytest
from tests.unit.families.iec.conftest import PLACE, Asker, figure


def started(iec: Asker, amperes: float, **supplied: Any) -> Any:
    demand = iec.single(
        motors=(iec.motor(0.75, 5.0, phases=1, locked_rotor_current=figure(amperes)),),
        running_current=figure(5.0), starting_current=figure(amperes), starting_time=figure(1.0),
    )  # fmt: skip
    return iec.ask(demand, supply=iec.supply(**supplied))


@pytest.mark.parametrize(("amperes", "said"), [(19.4, False), (19.6, True)])
def test_a_start_from_rest_counts_in_full(iec: Asker, amperes: float, said: bool) -> None:  # noqa: FBT001 - a column
    answer = started(iec, amperes)
    steps = {one.path: one.value for one in answer.circuit.steps}
    change = steps[f"{PLACE}/disturbance/change_fraction"]
    assert change == pytest.approx(amperes * 0.4717 / 230, rel=1e-9)
    assert said == ("supply.voltage-change" in {one.code for one in answer.findings})


def test_a_stated_impedance_stands_for_the_reference(iec: Asker) -> None:
    """0.2 ohm x 45 A = 9.0 V are 3.9 %; 47 A are 4.1 %."""
    assert "supply.voltage-change" not in {
        one.code for one in started(iec, 45.0, impedance="0.2 ohm").findings
    }
    assert "supply.voltage-change" in {
        one.code for one in started(iec, 47.0, impedance="0.2 ohm").findings
    }
