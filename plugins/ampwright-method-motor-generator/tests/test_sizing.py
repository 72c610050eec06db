"""Sizes against arithmetic done by hand, and what is refused."""

import math
from typing import Any

import ampwright_method_motor_generator as plugin
import pytest

import ampwright as aw
from ampwright.kernels.balanced_start import Lines, balanced_start
from ampwright.kernels.identification import identify
from ampwright.kernels.network import LoadLaw, Rotor
from ampwright.kernels.starter import Shaft

METHOD = "motor-generator"
MOTOR = {
    "power": "3 hp",
    "voltage": "240 V",
    "current": "8 A",
    "frequency": "60 Hz",
    "efficiency": 0.85,
    "locked_rotor_current": "40 A",
}


def planned(*machines: dict[str, Any], **supply: str) -> aw.Plan:
    stated = {"arrangement": "split-phase", "voltage": "240 V", "frequency": "60 Hz",
              "rating": "200 A", **supply}  # fmt: skip
    shop = aw.Shop.from_dict({"region": "us", "supply": stated, "machines": list(machines)})
    engine = aw.Engine([plugin], block=[f"method-{METHOD}"])
    return engine.plan(shop, methods=[METHOD])


def machine(name: str = "saw", **changed: object) -> dict[str, Any]:
    return {"id": name, "length": "9 m", "start": "light", "motors": [{**MOTOR, **changed}]}


def asks(plan: aw.Plan, constraint: str) -> float:
    assert plan.best is not None
    (found,) = [one for one in plan.best.limits if one.constraint == constraint]
    assert found.asks is not None
    return found.asks


def step(plan: aw.Plan, ending: str) -> float:
    assert plan.best is not None
    (found,) = [one for one in plan.best.steps if one.path.endswith(ending)]
    return float(found.value)


def test_generator_by_what_runs_and_by_the_dip_of_the_start() -> None:
    """By hand: sqrt(3) x 240 V x 8 A = 3325.5 VA, so 5 kVA would run the motor.

    The start takes sqrt(3) x 240 V x 40 A = 16 628 VA at full voltage. A dip of 30 % behind
    0.22 per unit asks for 16 628 x 0.22 x 0.7 / 0.3 = 8535.5 VA, so 10 kVA.
    """
    plan = planned(machine())
    assert step(plan, "/asked/saw/apparent_va") == pytest.approx(3325.54, rel=1e-5)
    assert step(plan, "/asked/dip/all/saw/asked_va") == pytest.approx(8535.5, rel=1e-4)
    assert asks(plan, "running-current") == 5000.0
    assert asks(plan, "start-dip") == 10000.0
    assert plan.best is not None
    assert plan.best.converters[0].rating_va == 10000.0


def test_motor_by_the_power_at_the_shaft() -> None:
    """By hand: 2237.1 W / 0.85 = 2631.9 W of output, and two losses make 3209.3 W at the shaft.

    Standing loss 0.05 x 10 kVA = 500 W; by load 0.07 x 3325.5^2 / 10 000 = 77.4 W. A reserve of a
    tenth makes 3530 W: 5 hp.
    """
    plan = planned(machine())
    assert step(plan, "/asked/shaft/all/shaft_w") == pytest.approx(3209.3, rel=1e-4)
    assert asks(plan, "shaft-power") == pytest.approx(5 * 745.6999, rel=1e-5)


def test_the_dip_of_the_model_is_near_that_of_the_formula() -> None:
    """The formula adds magnitudes, so the model, which adds phasors, dips a little less."""
    found = identify(power_w=2237.1, voltage_v=240.0, frequency_hz=60.0, poles=4)
    base = 240.0**2 / 10000.0
    shaft = Shaft(Rotor(found.circuit, LoadLaw(1.0, 0.0, 0.0)), 0.02)
    start = balanced_start(Lines(240.0, 0.22j * base), shaft)
    stiff = balanced_start(Lines(240.0), shaft)
    taken_va = math.sqrt(3.0) * 240.0 * stiff.largest_line_a
    formula = 0.22 * taken_va / (10000.0 + 0.22 * taken_va)
    model = 1.0 - start.lowest_line_v / 240.0
    assert 0.75 * formula < model <= formula * (1.0 + 1e-9)


def test_star_delta_asks_for_a_third() -> None:
    plan = planned({**machine(), "starter": "star-delta", "start": "none"})
    assert step(plan, "/asked/dip/all/saw/asked_va") == pytest.approx(8535.5 / 3.0, rel=1e-4)


def test_another_voltage_than_the_supplys_is_had_where_machines_need_it() -> None:
    plan = planned(machine(voltage="460 V", current="4 A", locked_rotor_current="20 A"))
    assert plan.best is not None
    assert plan.best.converters[0].output_voltage_v == 480.0
    said = {one.code for one in plan.best.findings}
    assert "motor-generator.raises-voltage" in said


def test_lines_behind_the_set_are_those_of_an_earthed_star() -> None:
    plan = planned(machine())
    assert plan.best is not None
    branch = next(one for one in plan.best.circuits if one.id == "branch.saw")
    assert branch.voltage_to_earth_v == pytest.approx((138.564,) * 3, rel=1e-5)


@pytest.mark.parametrize(
    ("stated", "code"),
    [
        ({"id": "a", "loads": [{"kind": "resistive", "power": "3 kW", "voltage": "240 V"}]},
         "motor-generator.heat-needs-no-set"),
        ({"id": "a", "motors": [{**MOTOR, "voltage": "690 V", "current": "3 A"}]},
         "motor-generator.voltage"),
        ({"id": "a", "motors": [{"power": "30 hp", "voltage": "240 V", "frequency": "60 Hz"}]},
         "motor-generator.too-large"),
    ],
    ids=["heater", "no such voltage", "too large"],
)  # fmt: skip
def test_what_no_set_serves_is_refused_with_the_reason(stated: dict[str, Any], code: str) -> None:
    plan = planned(stated)
    refused = {reason.code for one in plan.options for each in one.refusals
               for reason in each.reasons if each.method == METHOD}  # fmt: skip
    assert code in refused
    assert plan.verdict == "not-feasible"


def test_every_code_of_the_method_has_a_text_and_every_text_its_code() -> None:
    said = set()
    for stated in (machine(), machine(voltage="460 V", current="4 A", locked_rotor_current="20 A")):
        plan = planned(stated)
        assert plan.best is not None
        said |= {one.code for one in plan.best.findings if one.code.startswith(METHOD)}
    refusals = {"motor-generator.too-large", "motor-generator.heat-needs-no-set",
                "motor-generator.voltage"}  # fmt: skip
    assert said | refusals == set(plugin.MotorGenerator.texts["findings"])


def test_the_report_speaks_in_the_words_of_the_plugin_wherever_it_is_read() -> None:
    plan = planned(machine())
    stored = aw.Plan.from_json(plan.to_json())
    for one in (plan, stored):
        text = " ".join(str(one.report("markdown")).split())
        assert "otor-generator set" in text
        assert "turns a three-phase generator of 10 kVA" in text
        assert "star point has to be connected to ground" in text


def test_reasons_of_a_refusal_are_read_as_sentences() -> None:
    stated = {"id": "oven", "loads": [{"kind": "resistive", "power": "3 kW", "voltage": "240 V"}]}
    assert "heat needs no three-phase" in str(planned(stated).report("markdown"))
