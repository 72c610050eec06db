"""A neutral beside the lines: conductors, poles and fill, in plans and in their check.

A residual current device sums the currents of the conductors that pass through it, so one that
leaves out the neutral trips as soon as the neutral carries anything: IEC 60364-5-53, 531.2.1.
"""
# ruff: noqa: ANN401 - the builders take any field of a record

from typing import Any

import attrs
import pytest
from tests.verification.planted import with_circuit

import ampwright as aw
from ampwright.engine import default
from ampwright.verification.verify import verify

IEC_SUPPLY = {
    "arrangement": "line-neutral", "voltage": "230 V", "frequency": "50 Hz", "rating": "80 A",
    "existing_load": "5 A", "fault_current": "3 kA", "impedance": "0.1 ohm",
    "three_phase": {"where": "at-meter", "current": "63 A"},
}  # fmt: skip
US_SUPPLY = {
    "arrangement": "split-phase", "voltage": "240 V", "frequency": "60 Hz", "rating": "200 A",
    "existing_load": "5 A", "fault_current": "5 kA",
    "three_phase": {"where": "at-meter", "current": "100 A"},
}  # fmt: skip
IEC_SAW = {
    "id": "saw", "length": "15 m", "start": "light",
    "motors": [{"power": "3 kW", "voltage": "230/400 V", "current": "11.3/6.5 A",
                "frequency": "50 Hz", "speed": "1440 rpm"}],
}  # fmt: skip
US_SAW = {
    "id": "saw", "length": "50 ft", "start": "light",
    "motors": [{"power": "5 hp", "voltage": "208-230/460 V", "frequency": "60 Hz",
                "speed": "1740 rpm"}],
}  # fmt: skip
OVEN = {"kind": "resistive", "power": "5 kW", "phases": 1}
WHY = [
    {"needs_neutral": True},
    {"controls": "line-neutral"},
    {"motors": (), "plate": "3N~ 400 V 50 Hz 3 kW 6.5 A 1440 rpm cos phi 0.82"},
]


def planned(method: str, machine: Any, supply: Any, region: str = "iec", **site: Any) -> aw.Plan:
    shop = {"region": region, "supply": supply, "machines": [machine], "site": site}
    plan = aw.plan(aw.Shop.from_dict(shop), methods=[method])
    assert plan.options
    assert {one.code for one in plan.checks or ()} <= {"check.not-checked"}
    return plan


def circuits(plan: aw.Plan) -> dict[str, aw.Circuit]:
    return {one.id: one for one in plan.options[0].circuits}


@pytest.mark.parametrize(("earthing", "poles"), [("tn-s", 3), ("tt", 4), ("it", 4)])
@pytest.mark.parametrize("why", WHY)
def test_behind_an_electronic_converter_the_neutral_is_a_fourth_conductor(
    why: dict[str, Any], earthing: str, poles: int
) -> None:
    plan = planned("electronic", IEC_SAW | why, IEC_SUPPLY | {"earthing": earthing})
    found = circuits(plan)
    for name in ("output.electronic", "branch.saw"):
        one = found[name]
        assert one.conductor.count == 4
        # 431.2: the neutral is opened where the system of earthing asks for it
        assert one.protective_device.poles == poles
        assert all(guard.poles == 4 for guard in one.guards)
    guarded = [one for one in found.values() if one.phases == 3 and one.guards]
    assert guarded or earthing == "tt"
    # annex B counts three loaded conductors, table E.52.1 has the factor for the neutral
    plain = circuits(planned("electronic", IEC_SAW, IEC_SUPPLY | {"earthing": earthing}))
    assert plain["branch.saw"].conductor.count == 3
    assert found["branch.saw"].conductor.ampacity_a == plain["branch.saw"].conductor.ampacity_a


@pytest.mark.parametrize(("earthing", "count"), [("tn-s", 4), ("tt", 4)])
def test_behind_three_lines_of_a_supply_too(earthing: str, count: int) -> None:
    plan = planned("utility", IEC_SAW | {"needs_neutral": True},
                   IEC_SUPPLY | {"earthing": earthing})  # fmt: skip
    for one in circuits(plan).values():
        assert one.conductor.count == count
        assert all(guard.poles == 4 for guard in one.guards)


@pytest.mark.parametrize(("earthing", "poles"), [("tn-s", 2), ("tt", 3)])
def test_a_machine_of_one_phase_takes_two_lines_and_their_neutral(
    earthing: str, poles: int
) -> None:
    supply = IEC_SUPPLY | {"arrangement": "split-phase", "voltage": "480 V", "earthing": earthing}
    machine = {"id": "range", "length": "9 m", "loads": [OVEN | {"voltage": "480 V"}]}
    one = circuits(planned("direct", machine | {"needs_neutral": True}, supply))["branch.range"]
    assert (one.conductor.count, one.protective_device.poles) == (3, poles)
    assert all(guard.poles == 3 for guard in one.guards)
    assert circuits(planned("direct", machine, supply))["branch.range"].conductor.count == 2


def test_a_plug_of_such_a_machine_has_a_pole_for_the_neutral() -> None:
    plan = planned("utility", IEC_SAW | {"needs_neutral": True, "traits": ["plug-connected"]},
                   IEC_SUPPLY | {"earthing": "tn-s"})  # fmt: skip
    (said,) = [one for one in plan.options[0].findings if one.code == "protection.plug-rating"]
    words = {part.name: part.value for part in said.parameters}
    assert words["receptacle"] == "3-phase and neutral 16 A"


@pytest.mark.parametrize("method", ["electronic", "utility"])
@pytest.mark.parametrize(("share", "factor"), [(None, 0.8), ("20 %", 0.8), ("15 %", 1.0)])
def test_a_neutral_lies_in_the_raceway_and_counts_where_harmonics_flow_in_it(
    method: str, share: str | None, factor: float
) -> None:
    """NEC 310.15(E): with harmonics the neutral carries current; Table 310.15(C)(1): 4 are 80 %.

    The code says "major portion of the load" and no share; 15 % is the border of IEC 60364-5-52,
    annex E, taken as common practice.

    By hand for 12 AWG THWN-2, 0.0133 in2 (Chapter 9, Table 5): five of them fill 0.0665 in2; 1/2
    in EMT has 0.304 in2 (Table 4), so 0.0665 / 0.304 = 0.219 of it is filled.
    """
    machine = US_SAW | {"needs_neutral": True, "third_harmonic": share}
    plan = planned(method, machine, US_SUPPLY, "us", raceway="EMT", insulation="THWN-2")
    one = circuits(plan)["branch.saw"]
    assert one.conductor.count == 4
    assert one.protective_device.poles == 3
    (step,) = [s for s in one.steps if s.path.endswith("conductor/adjustment_factor")]
    assert step.value == factor
    assert one.conductor.size == "12 AWG"
    assert one.protective_conductor is not None
    assert one.protective_conductor.size == "12 AWG"
    assert one.raceway is not None
    assert one.raceway.fill_fraction == pytest.approx(5 * 0.0133 / 0.304, abs=1e-4)
    asked = {each.code for each in plan.questions}
    assert ("machine.third-harmonic" in asked) is (share is None)


def test_a_range_between_two_lines_has_its_neutral() -> None:
    machine = {"id": "range", "length": "30 ft", "needs_neutral": True,
               "loads": [OVEN | {"voltage": "240 V"}]}  # fmt: skip
    one = circuits(planned("direct", machine, US_SUPPLY, "us"))["branch.range"]
    assert (one.conductor.count, one.protective_device.poles) == (3, 2)


@pytest.mark.parametrize(
    ("part", "rule"),
    [("conductor", "iec.523"), ("protective_device", "iec.461.2"), ("guard", "iec.531.3.3")],
)
def test_the_check_objects_where_the_neutral_is_left_out(part: str, rule: str) -> None:
    plan = planned("electronic", IEC_SAW | {"needs_neutral": True},
                   IEC_SUPPLY | {"earthing": "it"})  # fmt: skip
    own = circuits(plan)["branch.saw"]
    (guard,) = own.guards
    less: dict[str, Any] = {
        "conductor": {"conductor": attrs.evolve(own.conductor, count=3)},
        "protective_device": {"protective_device": attrs.evolve(own.protective_device, poles=3)},
        "guard": {"guards": (attrs.evolve(guard, poles=3),)},
    }
    region: Any = default().regions()["iec"]
    spoiled = with_circuit(plan, plan.options[0].id, attrs.evolve(own, **less[part]))
    found = verify(spoiled, region.tables, region.stated)
    assert rule in {one.rule for one in found if one.code == "check.breach"}


def test_the_check_of_the_american_family_objects_too() -> None:
    plan = planned("electronic", US_SAW | {"needs_neutral": True}, US_SUPPLY, "us", raceway="EMT")
    own = circuits(plan)["branch.saw"]
    three = attrs.evolve(own.conductor, count=3)
    spoiled = with_circuit(plan, plan.options[0].id, attrs.evolve(own, conductor=three))
    found = verify(spoiled, default().regions()["us"].tables, {})
    assert "nec.300.3(B)" in {one.rule for one in found if one.code == "check.breach"}


@pytest.mark.parametrize(("supply", "carrying"), [
    ({"arrangement": "split-phase", "voltage": "240 V"}, 2),
    ({"arrangement": "line-line", "voltage": "208 V", "neutral": True}, 3),
])  # fmt: skip
def test_beside_two_lines_of_a_star_the_neutral_counts_for_heat(
    supply: dict[str, Any], carrying: int
) -> None:
    """NEC 310.15(E)(2), from memory; a plan that does not count it there is found."""
    machine = {"id": "range", "length": "30 ft", "needs_neutral": True, "third_harmonic": "5 %",
               "loads": [OVEN | {"voltage": supply["voltage"]}]}  # fmt: skip
    plan = planned("direct", machine, US_SUPPLY | supply, "us", grouped_circuits=3)
    steps = {one.path: one.value for one in circuits(plan)["branch.range"].steps}
    place = f"options/{plan.options[0].id}/circuits/branch.range/conductor"
    assert steps[f"{place}/carrying"] == carrying
    assert steps[f"{place}/adjustment_factor"] == {2: 0.8, 3: 0.7}[carrying]
    other = {"split-phase": "line-line", "line-line": "split-phase"}[supply["arrangement"]]
    shop = attrs.evolve(
        plan.shop, supply=attrs.evolve(plan.shop.supply, arrangement=other, neutral=True)
    )
    found = verify(attrs.evolve(plan, shop=shop), default().regions()["us"].tables)
    paths = {str(part.value) for one in found for part in one.parameters if part.name == "path"}
    assert f"{place}/adjustment_factor" in paths
