"""The set is drawn like what is built in."""

import tomllib

import ampwright_method_motor_generator as motor_generator

import ampwright as aw

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
