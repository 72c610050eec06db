"""The set is drawn like what is built in."""

import tomllib

import ampwright_method_motor_generator as motor_generator

import ampwright as aw
from ampwright.plugin import Option

SHOP = """
schema = "ampwright.shop/1"
name = "Mill Street turnery"
region = "us"
[supply]
arrangement = "split-phase"
voltage = "240 V"
frequency = "60 Hz"
rating = "150 A"
[[machines]]
id = "lathe"
name = "Facing lathe"
length = "9 m"
start = "light"
load_torque = "friction"
[[machines.motors]]
power = "3 hp"
voltage = "230/460 V"
current = "9.0/4.5 A"
frequency = "60 Hz"
"""


def _option(plan: aw.Plan) -> Option:
    return next(one for one in plan.options if one.converters)


def test_its_connections_are_drawn_from_the_motor_to_the_machine() -> None:
    plan = aw.Engine([motor_generator]).plan(
        aw.Shop.from_dict(tomllib.loads(SHOP)), methods=["motor-generator"]
    )
    option = _option(plan)
    svg = plan.diagram("connection", option=option.id).svg
    for name, parts in (("circuit", option.circuits), ("converter", option.converters)):
        for part in parts:
            assert svg.count(f'data-{name}="{part.id}"') == 1
    assert svg.count('data-machine="lathe"') == 1
    assert "Output contactor" in svg
    # nothing of the supply goes on behind the set: it ends there, and other lines begin
    box = svg[svg.index("data-converter") :]
    for terminal in ("L1", "L2", "U", "V", "W"):
        assert f">{terminal}</text>" in box


def test_its_phasors_are_even_and_its_motors_lag() -> None:
    plan = aw.Engine([motor_generator]).plan(
        aw.Shop.from_dict(tomllib.loads(SHOP)), methods=["motor-generator"]
    )
    option = _option(plan)
    svg = plan.diagram("phasor", option=option.id).svg
    shown = [one for one in option.states if one.line_voltage_v and one.load == "full"]
    assert shown
    for state in shown:
        assert f'data-state="{state.id}"' in svg
    assert "−120.0°" in svg
    assert "No angle" not in svg


def test_the_set_and_all_its_circuits_are_drawn() -> None:
    shop = aw.Shop.from_dict(tomllib.loads(SHOP))
    plan = aw.Engine([motor_generator]).plan(shop, methods=["motor-generator"])
    option = next(one for one in plan.options if one.converters)
    svg = plan.diagram(option=option.id).svg
    for name in ("circuit", "converter"):
        for part in option.circuits if name == "circuit" else option.converters:
            assert svg.count(f'data-{name}="{part.id}"') == 1
    order = [svg.index(mark) for mark in ('data-circuit="idler', "data-converter", "data-machine")]
    assert order == sorted(order)  # the set stands behind the circuit of its motor
    assert "Motor-generator set" in svg
    assert svg.count('data-machine="lathe"') == 1
