"""A current stated once beside two voltages belongs to the one that it agrees with."""

import pytest
from tests.unit.planning.shops import case_of, machine, motor, supply

from ampwright.case import Case

#: 5 hp at 230 V draw about 13 A and at 460 V half of it (NEC 2023, table 430.250: 15.2 and 7.6 A).
STATED = {"power": "5 hp", "voltage": "230/460 V", "current": "13 A", "frequency": "60 Hz"}


def planned(volts: str) -> Case:
    return case_of(machine("saw", motors=(motor(**STATED),)), supply=supply(voltage=volts))


def test_no_contradiction_is_said_where_it_agrees_with_the_voltage_in_use() -> None:
    case = planned("240 V")
    (one,) = case.machines[0].motors
    assert one.demand.current.value == pytest.approx(13.0)
    assert "nameplate.implausible" not in {found.code for found in case.findings}


def test_it_does_not_count_at_the_other_voltage() -> None:
    (one,) = planned("240 V").machines[0].motors
    currents = {made.voltage.value: made.current for made in one.linkings}
    assert currents[230.0] is not None
    assert currents[230.0].value == 13.0
    assert currents[460.0] is None
