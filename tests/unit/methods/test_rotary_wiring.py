"""The circuits that a rotary converter asks for: who feeds whom, with which currents."""

from collections.abc import Mapping

import pytest
from tests.unit.methods.rotaries import asked, proposed
from tests.unit.planning.shops import case_of, machine, motor, supply

from ampwright.case import Case
from ampwright.kernels.faults import fault_current
from ampwright.kernels.identification import identify
from ampwright.kernels.legs import capacitors
from ampwright.kernels.network import Rotor
from ampwright.kernels.torque_curve import locked_rotor
from ampwright.method import Proposal
from ampwright.records.load import Load
from ampwright.records.site import ConverterPlace, Site
from ampwright.region import CircuitDemand

CHAIN = ["supply.rotary", "idler.rotary", "output.rotary", "branch.a", "branch.b"]


@pytest.fixture(scope="module")
def case() -> Case:
    return case_of(
        machine("a", start="light", length="12 m", motors=(motor(code_letter="J"),)),
        machine("b", start="light", motors=(motor(power="3 hp", current="8.4/4.2 A"),),
                loads=(Load(kind="resistive", power="2 kW", voltage="240 V"),), length="7 m"),
        together=(("a",), ("b",), ("a", "b")), supply=supply(fault_current="5 kA"),
    )  # fmt: skip


@pytest.fixture(scope="module")
def found(case: Case) -> Proposal:
    return asked(case)


@pytest.fixture(scope="module")
def demands(found: Proposal) -> Mapping[str, CircuitDemand]:
    return {one.id: one for one in found.demands}


def test_the_circuits_run_from_the_panel_to_the_machines(
    demands: Mapping[str, CircuitDemand],
) -> None:
    assert list(demands) == CHAIN
    ways = [(one.role, one.fed_from, one.feeds, one.phases) for one in demands.values()]
    assert ways == [
        ("supply", "", ("rotary",), 1),
        ("idler", "supply.rotary", ("rotary",), 3),
        ("output", "supply.rotary", ("a", "b"), 3),
        ("branch", "output.rotary", ("a",), 3),
        ("branch", "output.rotary", ("b",), 3),
    ]
    assert [one.made_leg for one in demands.values()] == [False, True, True, True, True]
    assert [one.sole_machine for one in list(demands.values())[2:]] == [False, True, True]


def test_lengths_are_the_machines_and_short_ones_beside_the_converter(
    demands: Mapping[str, CircuitDemand],
) -> None:
    assert demands["branch.a"].length == (12.0, "shop/machines/a/length_m")
    assert demands["branch.b"].length == (7.0, "shop/machines/b/length_m")
    assert demands["supply.rotary"].length.value == 3.0
    assert demands["idler.rotary"].length.value == demands["output.rotary"].length.value == 2.0


def test_a_stated_place_of_the_converter_is_the_length_to_it() -> None:
    site = Site(converter_place=ConverterPlace(length="21 m"))
    one = proposed(machine("a", start="light"), site=site)
    supply_circuit = one.demands[0]
    assert supply_circuit.length == (21.0, "shop/site/converter_place/length_m")


def test_every_motor_is_on_its_branch_and_all_are_behind_the_converter(
    demands: Mapping[str, CircuitDemand],
) -> None:
    assert [one.id for one in demands["branch.a"].motors] == ["a/0"]
    assert [one.id for one in demands["branch.b"].motors] == ["b/0"]
    assert [one.id for one in demands["branch.b"].loads] == ["b/load0"]
    for name in ("supply.rotary", "output.rotary"):
        assert [one.id for one in demands[name].motors] == ["a/0", "b/0"]
        assert [one.id for one in demands[name].loads] == ["b/load0"]
    assert [one.id for one in demands["idler.rotary"].motors] == ["rotary"]


def test_the_largest_leg_of_each_motor_over_all_states_goes_along(
    found: Proposal, demands: Mapping[str, CircuitDemand]
) -> None:
    for one in demands["output.rotary"].motors:
        legs = [
            leg
            for state in found.states
            for each in state.motors
            if each.id == one.id
            for leg in each.current_a
        ]
        assert one.largest_leg is not None
        assert one.largest_leg.value == max(legs)
    (idler,) = demands["idler.rotary"].motors
    assert idler.largest_leg is not None
    assert idler.largest_leg.value == max(max(one.motors[0].current_a) for one in found.states)
    assert demands["idler.rotary"].running_current.value == idler.largest_leg.value


def test_a_branch_carries_its_motors_and_loads(demands: Mapping[str, CircuitDemand]) -> None:
    """2 kW at 240 V on three lines are 4.811 A."""
    branch = demands["branch.b"]
    leg = branch.motors[0].largest_leg
    assert leg is not None
    assert branch.running_current.value == pytest.approx(leg.value + 4.8113, rel=1e-4)
    output = demands["output.rotary"]
    branches = demands["branch.a"].running_current.value + branch.running_current.value
    assert output.running_current.value == pytest.approx(branches)


def test_the_supply_carries_the_state_that_draws_most(
    found: Proposal, demands: Mapping[str, CircuitDemand]
) -> None:
    most = max(found.states, key=lambda one: one.input_current_a)
    circuit = demands["supply.rotary"]
    assert circuit.running_current.value == most.input_current_a
    assert circuit.power_factor is not None
    assert circuit.power_factor.value == most.input_power_factor
    assert circuit.converter is not None
    assert circuit.converter.current.value == found.converters[0].input_current_a
    assert circuit.converter.fixed_loads


def test_machines_to_come_keep_the_supply_to_the_plate() -> None:
    one = proposed(machine("a", start="light"), site=Site(future_machines=1))
    converter = one.demands[0].converter
    assert converter is not None
    assert not converter.fixed_loads


def test_starts_are_the_ones_that_were_reckoned(
    found: Proposal, demands: Mapping[str, CircuitDemand]
) -> None:
    starts = {one.id: one for one in found.starts}
    worst = max(starts.values(), key=lambda one: one.current_a)
    supply_circuit = demands["supply.rotary"]
    assert supply_circuit.starting_current is not None
    assert supply_circuit.starting_current.value == worst.current_a
    assert supply_circuit.starting_time is not None
    assert supply_circuit.starting_time.value == max(one.time_s or 0.0 for one in starts.values())
    idler = demands["idler.rotary"]
    assert idler.starting_current is not None
    assert idler.starting_current.value == starts["rotary"].current_a
    assert idler.starting_time is not None
    assert idler.starting_time.value == starts["rotary"].time_s
    branch = demands["branch.a"]
    assert branch.starting_time is not None
    assert branch.starting_time.value == starts["a"].time_s


def test_behind_the_converter_the_largest_locked_rotor_current_starts(
    case: Case, demands: Mapping[str, CircuitDemand]
) -> None:
    locked = [one.motors[0].demand.locked_rotor_current for one in case.machines]
    values = [one.value for one in locked if one]
    branch, output = demands["branch.a"].starting_current, demands["output.rotary"].starting_current
    assert branch is not None
    assert output is not None
    assert branch.value == values[0]
    assert output.value == max(values)


def test_the_idler_is_a_usual_motor_whose_start_is_the_edge_of_its_band(
    found: Proposal, demands: Mapping[str, CircuitDemand]
) -> None:
    power = found.converters[0].idler_power_w
    assert power is not None
    alone = identify(power_w=power, voltage_v=240.0, frequency_hz=60.0, poles=4)
    (idler,) = demands["idler.rotary"].motors
    assert idler.current.value == pytest.approx(alone.circuit.rated_current_a)
    assert idler.current_known == "assumed"
    assert idler.locked_rotor_current is not None
    assert idler.locked_rotor_current.value == pytest.approx(
        locked_rotor(alone.high, 240.0).current_a
    )


def test_volts_to_earth_are_the_supplys_and_the_made_legs_highest(
    found: Proposal, demands: Mapping[str, CircuitDemand]
) -> None:
    highest = max(one.leg_to_earth_v[2] for one in found.states)
    assert [one.value for one in demands["supply.rotary"].voltage_to_earth] == [120.0, 120.0]
    for name in CHAIN[1:]:
        volts = [one.value for one in demands[name].voltage_to_earth]
        assert volts == [120.0, 120.0, highest]


def test_a_fault_on_the_made_leg_is_fed_by_the_idler_alone_at_the_lowest_voltage(
    case: Case, found: Proposal, demands: Mapping[str, CircuitDemand]
) -> None:
    power = found.converters[0].idler_power_w
    assert power is not None
    idler = identify(power_w=power, voltage_v=240.0, frequency_hz=60.0, poles=4).low
    farads = {"bc": 0.0, "ca": 0.0}
    for one in found.converters[0].capacitors:
        if one.purpose == "run" and (not one.sets or "idle" in one.sets):
            farads[one.between] += one.capacitance_f
    legs = capacitors(0.0, farads["bc"], farads["ca"], 60.0)
    share = case.supply.lowest.value / 240.0
    source = case.supply.source
    weak = source._replace(e_a_v=source.e_a_v * share, e_b_v=source.e_b_v * share)
    alone = fault_current(weak, legs, (Rotor(idler),), "c", 0j)
    for name in CHAIN[1:]:
        given = demands[name].fault_source
        assert given is not None
        assert given.value == pytest.approx(alone.smallest_a)
    assert demands["supply.rotary"].fault_source is None


def test_the_largest_fault_is_the_panels(demands: Mapping[str, CircuitDemand]) -> None:
    for one in demands.values():
        assert one.fault_largest is not None
        assert one.fault_largest.value == 5000.0
