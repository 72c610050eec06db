"""Shops that the drawings are tried on, invented by us."""

import tomllib
from functools import cache
from pathlib import Path

import ampwright as aw

FOLDER = Path(__file__).parents[3]
PLACES = {
    "tanner-row": FOLDER / "docs" / "examples" / "tanner-row.toml",
    "quarry-lane": FOLDER / "docs" / "examples" / "quarry-lane.toml",
    "mill": FOLDER / "tests" / "scenarios" / "shops" / "mill-for-460-volts.toml",
    "lathe": FOLDER / "tests" / "scenarios" / "shops" / "one-light-lathe.toml",
    "sander": FOLDER / "tests" / "scenarios" / "shops" / "one-sander-with-speeds.toml",
    "saw": FOLDER / "tests" / "scenarios" / "shops" / "one-saw-for-one-phase.toml",
}
ABROAD = """
schema = "ampwright.shop/1"
name = "Werkstatt am Mühlbach"
region = "iec"
[supply]
arrangement = "line-neutral"
voltage = "230 V"
frequency = "50 Hz"
rating = "63 A"
fault_current = "3 kA"
earthing = "tn-s"
[site]
ambient = "30 degC"
[[machines]]
id = "lathe"
name = "Leitspindeldrehmaschine mit langem Namen"
length = "9 m"
start = "light"
load_torque = "friction"
[[machines.motors]]
power = "1.5 kW"
voltage = "230/400 V"
frequency = "50 Hz"
speed = "1420 rpm"
leads = 6
connection = "D/Y"
[[machines]]
id = "mill"
name = "Fräsmaschine"
length = "9 m"
start = "light"
load_torque = "friction"
[[machines.motors]]
power = "1.1 kW"
voltage = "230/400 V"
frequency = "50 Hz"
speed = "1420 rpm"
leads = 6
connection = "D/Y"
"""
#: A motor that no single usual idler starts on this supply.
PAIR = """
schema = "ampwright.shop/1"
name = "Weir Lane grain store"
region = "us"
[supply]
arrangement = "split-phase"
voltage = "240 V"
frequency = "60 Hz"
rating = "400 A"
impedance = "0.03 ohm"
[[machines]]
id = "auger"
name = "Auger"
length = "10 m"
start = "normal"
load_torque = "constant"
average_load = 0.6
controls = "none"
[[machines.motors]]
power = "25 hp"
voltage = "230 V"
frequency = "60 Hz"
speed = "1750 rpm"
"""
#: A machine with a motor and heat, which a drive cannot feed both.
DRYER = """
schema = "ampwright.shop/1"
name = "Fuller's dye house"
region = "us"
[supply]
arrangement = "split-phase"
voltage = "240 V"
frequency = "60 Hz"
rating = "100 A"
[[machines]]
id = "dryer"
name = "Dryer"
length = "10 m"
start = "light"
load_torque = "fan"
variable_speed = true
[[machines.motors]]
power = "2 hp"
voltage = "230 V"
frequency = "60 Hz"
speed = "1740 rpm"
[[machines.loads]]
kind = "resistive"
power = "2 kW"
voltage = "240 V"
phases = 3
relinkable = true
"""


@cache
def planned(name: str) -> aw.Plan:
    """Return the plan of a shop, made once."""
    if name == "dryer":
        return aw.plan(aw.Shop.from_dict(tomllib.loads(DRYER)))
    if name == "pair":
        return aw.plan(aw.Shop.from_dict(tomllib.loads(PAIR)), methods=["rotary"])
    if name == "abroad":
        shop = aw.Shop.from_dict(tomllib.loads(ABROAD))
        return aw.plan(shop, methods=["rotary"])
    return aw.plan(aw.load_shop(PLACES[name]))
