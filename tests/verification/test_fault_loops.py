"""The loop of an earth fault from end to end: through transformer, feeder, converter and supply.

All figures are worked out here from what the plan lays (sizes, lengths, ratings) and from published
resistances: NEC Chapter 9, Table 9 (uncoated copper in steel conduit), IEC 60228.
"""

import math
from functools import cache
from typing import Any

import attrs
import pytest
from tests.verification.planted import with_circuit

import ampwright as aw
from ampwright.engine import default
from ampwright.verification.verify import verify

#: Of 1000 ft, R and X in steel conduit [ohm]: Chapter 9, Table 9.
TABLE_9 = {"14 AWG": (3.1, 0.073), "12 AWG": (2.0, 0.068), "10 AWG": (1.2, 0.063),
           "8 AWG": (0.78, 0.065)}  # fmt: skip
#: Of 1 km at 20 C, class 2 [ohm]: IEC 60228, Table 2.
IEC_60228 = {"1.5 mm2": 12.1, "2.5 mm2": 7.41, "4 mm2": 4.61, "6 mm2": 3.08, "10 mm2": 1.83,
             "16 mm2": 1.15, "25 mm2": 0.727, "35 mm2": 0.524}  # fmt: skip
LARGEST_SHARE = 0.06  # upper edge of the short-circuit voltage; common practice, no source

US = {
    "arrangement": "split-phase", "voltage": "240 V", "frequency": "60 Hz", "rating": "200 A",
    "existing_load": "5 A", "fault_current": "5 kA",
    "three_phase": {"where": "at-meter", "current": "100 A"},
}  # fmt: skip
IEC = {
    "arrangement": "line-neutral", "voltage": "230 V", "frequency": "50 Hz", "rating": "80 A",
    "existing_load": "5 A", "fault_current": "3 kA", "earthing": "tn-s",
}  # fmt: skip


def machine(region: str, length: str, *, fits: bool = False) -> dict[str, Any]:
    us = {"power": "3 hp", "voltage": "230/460 V" if fits else "460 V", "frequency": "60 Hz",
          "current": "8.4/4.2 A" if fits else "4.2 A", "speed": "1740 rpm"}  # fmt: skip
    iec = {"power": "3 kW", "voltage": "230/400 V" if fits else "400 V", "frequency": "50 Hz",
           "current": "11.3/6.5 A" if fits else "6.5 A", "speed": "1440 rpm"}  # fmt: skip
    motor = us if region == "us" else iec
    return {"id": "press", "length": length, "start": "light", "motors": [motor]}


@cache
def planned(region: str, method: str, length: str, *, fits: bool = False) -> aw.Plan:
    shop = {
        "region": region,
        "supply": US if region == "us" else IEC,
        "machines": [machine(region, length, fits=fits)],
        "site": {"converter_place": {"length": "30 m"}},
    }
    plan = aw.plan(aw.Shop.from_dict(shop), methods=[method])
    assert plan.options
    assert {one.code for one in plan.checks or ()} <= {"check.not-checked"}
    return plan


def circuits(plan: aw.Plan) -> dict[str, aw.Circuit]:
    return {one.id: one for one in plan.options[0].circuits}


def step(plan: aw.Plan, path: str) -> float:
    (found,) = [one for one in plan.options[0].steps if one.path == f"options/{path}"]
    return float(found.value)


def ohms(one: aw.Circuit) -> tuple[float, float]:
    """Return the impedance of line and protective conductor of a circuit [ohm]."""
    assert one.protective_conductor is not None
    wires = (one.conductor, one.protective_conductor)
    length = one.conductor.length_m
    if one.conductor.size.endswith("AWG"):
        line, back = (sum(TABLE_9[wire.size]) * length / 304.8 for wire in wires)
    else:
        line, back = (
            (IEC_60228[wire.size] * (1 + 0.00393 * 50) + 0.08) * length / 1000 for wire in wires
        )
    return line, back


def lowest(one: aw.Circuit) -> float:
    return min(volts for volts in one.voltage_to_earth_v if volts > 1.0)


@pytest.mark.parametrize(("region", "volts"), [("us", 480.0), ("iec", 400.0)])
@pytest.mark.parametrize("length", ["10 m", "100 m", "250 m"])
def test_behind_a_drives_transformer_the_feeder_is_in_the_loop(
    region: str, volts: float, length: str
) -> None:
    """U / (z U^2 / S + (U / U_1)^2 (Z_supply + 2 Z_feeder) + Z_line + Z_protective).

    Z_supply = 240 V / 5 kA = 0.048 ohm, or 230 V / 3 kA = 0.0767 ohm.
    """
    plan = planned(region, "drive", length)
    found = circuits(plan)
    feeder, one = found["feeder.press"], found["supply.drive.press"]
    (made,) = plan.options[0].transformers
    assert made.kind == "isolating"
    first, supply = (240.0, 240.0 / 5000) if region == "us" else (230.0, 230.0 / 3000)
    winding = LARGEST_SHARE * volts**2 / made.rating_va
    primary = (volts / first) ** 2 * (supply + 2 * ohms(feeder)[0])
    expected = volts / (winding + primary + sum(ohms(one)))
    assert one.fault_current_min_a == pytest.approx(expected, rel=1e-6)


def test_a_long_feeder_leaves_little_and_the_plan_says_so() -> None:
    """250 m of 14 AWG ahead of 4 kVA, 240 to 480 V, delta to star, at three lines of the supply.

    By hand: R + X of 14 AWG = 3.173 ohm a 1000 ft, so 250 m are 2.603 ohm. A turn ratio of 240 to
    277 V refers (0.048 + 2 x (2.603 + output 2 m)) ohm to x 4/3; the winding has 0.06 x 480^2 /
    4000 = 3.456 ohm; 3 m of 14 AWG out and back 0.062 ohm. 277 V / (3.456 + 7.01 + 0.06) = 26 A;
    2 m more of the output circuit leave a little less. Its device of 10 A opens at once from 100 A.
    """
    plan = planned("us", "utility", "250 m")
    found = circuits(plan)
    one = found["branch.press"]
    assert [found["feeder.press"].conductor.size, one.conductor.size] == ["14 AWG", "14 AWG"]
    assert plan.options[0].transformers[0].rating_va == 4000.0
    assert one.fault_current_min_a is not None
    assert 24.0 < one.fault_current_min_a < 26.3
    assert [guard.kind for guard in one.guards] == ["residual-current"]
    said = {each.code for each in plan.options[0].findings if one.id in each.where}
    assert "protection.ground-fault-device" in said
    near = circuits(planned("us", "utility", "10 m"))["branch.press"]
    assert near.fault_current_min_a is not None
    assert near.fault_current_min_a > 2 * one.fault_current_min_a


@pytest.mark.parametrize("region", ["us", "iec"])
def test_on_a_made_leg_supply_output_and_idler_lines_are_in_the_loop(region: str) -> None:
    """U / (U / I + 2 Z_supply line + 3 Z_idler line + Z_output line + every protective + own)."""
    plan = planned(region, "rotary", "40 m", fits=True)
    found = circuits(plan)
    supply, idler = ohms(found["supply.rotary"]), ohms(found["idler.rotary"])
    output, branch = ohms(found["output.rotary"]), ohms(found["branch.press"])
    bolted = step(plan, "rotary/wiring/rotary/made_leg_fault")
    for name, loop in (
        ("idler.rotary", 2 * supply[0] + supply[1] + 2 * idler[0] + idler[1]),
        ("output.rotary", 2 * supply[0] + supply[1] + 3 * idler[0] + sum(output)),
        ("branch.press", 2 * supply[0] + supply[1] + 3 * idler[0] + sum(output) + sum(branch)),
    ):
        volts = lowest(found[name])
        expected = volts / (volts / bolted + loop)
        assert found[name].fault_current_min_a == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize("region", ["us", "iec"])
def test_behind_a_transformer_on_a_made_leg_all_of_it_is_in_the_loop(region: str) -> None:
    plan = planned(region, "rotary", "40 m")
    found = circuits(plan)
    supply, idler = ohms(found["supply.rotary"])[0], ohms(found["idler.rotary"])[0]
    output, feeder = ohms(found["output.rotary"])[0], ohms(found["feeder.press"])[0]
    (made,) = plan.options[0].transformers
    bolted = step(plan, "rotary/wiring/rotary/made_leg_fault")
    primary = made.primary_v / bolted + 2 * (supply + output + feeder) + 3 * idler
    # a winding of the star has U_2 / sqrt(3), that of the delta U_1
    turns = made.primary_v / (made.secondary_v / math.sqrt(3))
    winding = LARGEST_SHARE * made.secondary_v**2 / made.rating_va
    volts = made.secondary_v / math.sqrt(3)
    one = found["branch.press"]
    expected = volts / (winding + primary / turns**2 + sum(ohms(one)))
    assert one.fault_current_min_a == pytest.approx(expected, rel=1e-6)
    assert one.guards, "so little opens no device at once"


@pytest.mark.parametrize("region", ["us", "iec"])
@pytest.mark.parametrize(("method", "name"), [
    ("drive", "supply.drive.press"), ("rotary", "branch.press"), ("rotary", "output.rotary"),
])  # fmt: skip
def test_the_check_objects_to_a_loop_without_its_beginning(
    region: str, method: str, name: str
) -> None:
    plan = planned(region, method, "40 m")
    own = circuits(plan)[name]
    assert own.fault_current_min_a is not None
    code: Any = default().regions()[region]
    stated = code.stated if region == "iec" else {}
    for spoiled in (
        attrs.evolve(own, fault_current_min_a=1.3 * own.fault_current_min_a),
        attrs.evolve(own, fault_current_min_a=None),
        *((attrs.evolve(own, guards=()),) if own.guards else ()),
    ):
        found = verify(with_circuit(plan, plan.options[0].id, spoiled), code.tables, stated)
        rules = {one.rule for one in found if one.code == "check.breach"}
        assert rules & {"nec.250.4(A)(5)", "iec.411.4"}


@pytest.mark.parametrize("region", ["us", "iec"])
def test_what_an_autotransformer_lets_through_is_not_known(region: str) -> None:
    """A rise of a fifth: 400 to 480 V, and 400 to 500 V."""
    volts, hertz = ("480 V", "60 Hz") if region == "us" else ("500 V", "50 Hz")
    supply = (US | {"arrangement": "line-line"}) if region == "us" else IEC
    motor = {"power": "3 kW", "voltage": volts, "current": "5.4 A", "frequency": hertz,
             "speed": "1440 rpm"}  # fmt: skip
    shop = {
        "region": "iec",
        "supply": supply | {"arrangement": "line-line", "voltage": "400 V", "frequency": hertz,
                            "earthing": "tn-s"},
        "machines": [{"id": "press", "length": "9 m", "start": "light", "motors": [motor]}],
    }  # fmt: skip
    plan = aw.plan(aw.Shop.from_dict(shop), methods=["rotary"])
    assert plan.options[0].transformers[0].kind == "auto"
    assert circuits(plan)["branch.press"].fault_current_min_a is None
    said = {one.code for one in plan.options[0].findings if "branch.press" in one.where}
    assert "protection.loop-to-measure" in said
    assert {one.code for one in plan.checks or ()} <= {"check.not-checked"}
