"""No field of a statement is without effect: each of them changes something in the plan.

Each case states a shop in which the fact matters, and the values of which at least two have to lead
to different plans. What merely repeats the statement does not count: the shop itself, its id, and
the steps that say what was given.
"""
# ruff: noqa: ANN401 - fields of a record of any kind

import json
from collections.abc import Callable, Mapping
from functools import cache
from typing import Any, get_args

import attrs
import pytest
from tests.unit.planning.shops import motor, supply

import ampwright as aw
from ampwright.records.dwelling import Appliance, Dwelling
from ampwright.records.equipment import (
    OwnedCapacitors,
    OwnedConductor,
    OwnedConverter,
    OwnedDevice,
    OwnedDrive,
    OwnedMotor,
    OwnedOutlet,
)
from ampwright.records.load import Load
from ampwright.records.machine import Machine, Plug, Route, Trait
from ampwright.records.motor import Motor
from ampwright.records.shop import Shop, Tariff
from ampwright.records.site import ConverterPlace, Site
from ampwright.records.supply import (
    Feeder,
    MeasuredDrop,
    Panel,
    Standby,
    Supply,
    ThreePhase,
    Upgrade,
)

#: Fields that name things or carry what is not ours.
NAMES = {
    (Shop, "name"), (Shop, "extra"), (Shop, "locale"), (Shop, "supply"), (Shop, "site"),
    (Machine, "id"), (Machine, "name"), (Machine, "extra"), (Motor, "name"), (Load, "name"),
    (Motor, "ratings"), (Appliance, "name"),
    # the currency of prices, which a price without one would be refused for
    (Shop, "currency"),
}  # fmt: skip
#: Fields of equipment that name it.
OWNED_NAMES = {"id", "kind"}

Make = Callable[..., Shop]


def saw(**changes: Any) -> Machine:
    usual: dict[str, Any] = {"id": "saw", "length": "12 m", "start": "light",
                             "load_torque": "friction"}  # fmt: skip
    if not {"motors", "loads", "plate"} & set(changes):
        usual["motors"] = (motor(),)
    return Machine(**(usual | changes))


def fan(**changes: Any) -> Machine:
    return saw(**({"id": "fan", "load_torque": "fan", "start": "normal"} | changes))


def shop(**changes: Any) -> Shop:
    usual: dict[str, Any] = {"region": "us", "supply": supply(), "machines": (saw(),)}
    return Shop(**(usual | changes))


def of_supply(**fixed: Any) -> Make:
    return lambda **fields: shop(supply=supply(**(fixed | fields)))


def in_supply(name: str, kind: Any, base: Mapping[str, Any], **fixed: Any) -> Make:
    return lambda **fields: shop(supply=supply(**fixed, **{name: kind(**(dict(base) | fields))}))


def of_saw(**fixed: Any) -> Make:
    return lambda **fields: shop(machines=(saw(**(fixed | fields)),))


def of_motor(machine: Mapping[str, Any] | None = None, **fixed: Any) -> Make:
    return lambda **fields: shop(
        machines=(saw(motors=(motor(**(fixed | fields)),), **(machine or {})),)
    )


def of_load(**fixed: Any) -> Make:
    usual: dict[str, Any] = {"kind": "resistive", "power": "6 kW", "voltage": "240 V"}
    return lambda **fields: shop(machines=(saw(loads=(Load(**(usual | fixed | fields)),)),))


def of_site(**fixed: Any) -> Make:
    return lambda **fields: shop(site=Site(**(fixed | fields)))


def of_piece(kind: Any, base: Mapping[str, Any], make: Make = shop) -> Make:
    return lambda **fields: make(equipment=(kind(**({"id": "x"} | dict(base) | fields)),))


def at_home(**fields: Any) -> Shop:
    home = Dwelling(**({"floor_area": "1500 ft2"} | fields))
    return shop(supply=supply(rating="200 A", existing_load=None, dwelling=home))


def with_pump(**fields: Any) -> Shop:
    pump = {"rating": "3 kVA"} if not fields.keys() & {"rating", "current"} else {}
    return at_home(method="general", appliances=(Appliance(**(pump | fields)),))


def iec(**fields: Any) -> Shop:
    fifty = supply(arrangement="line-neutral", voltage="230 V", frequency="50 Hz", **fields)
    plate = motor(voltage="230/400 V", current="13.2/7.6 A", frequency="50 Hz", speed="1450 rpm")
    return shop(region="iec", supply=fifty, machines=(saw(motors=(plate,)),))


def single(**fields: Any) -> Shop:
    drill = motor(voltage="115 V", current="12 A", power="1 hp", phases=1, speed=None)
    return shop(supply=supply(**fields), machines=(saw(motors=(drill,)),))


SHORT = {"rating": "40 A", "transformer": "5 kVA"}
QUOTE = {"rating": "100 A", "transformer": "25 kVA"}
LYING: dict[str, Any] = {"size": "2 AWG", "length": "30 m"}
AT_METER = {"where": "at-meter"}
ROTARY = {"method": "rotary", "idler_power": "30 hp"}
DRIVE = {"power": "10 hp", "input_phases": 3}
STOCK = {"size": "12 AWG", "length": "40 m"}
OUTLET = {"serves": ("saw",), "poles": 3}
BOX = {"capacitance": "900 uF", "rating": "370 V", "purpose": "start"}
BREAKER = {"device": "breaker", "rating": "30 A"}
WELDER = {"kind": "welder", "power": None, "phases": 1, "current": "30 A"}


Case = tuple[type, Make, dict[str, list[Any]]]
CASES: tuple[Case, ...] = (
    (Supply, of_supply(), {
        "source": ["utility", "generator", "inverter"], "arrangement": ["split-phase", "line-line"],
        "voltage": ["240 V", "230 V"], "voltage_to_earth": [None, "125 V"],
        "frequency": ["60 Hz", "50 Hz"], "rating": ["100 A", "200 A"],
        "existing_load": ["10 A", "20 A"], "fault_current": [None, "8 kA"],
        "transformer": [None, "25 kVA"], "impedance": [None, "0.1 ohm"],
        "measured_drop": [None, MeasuredDrop(voltage="3 V", current="30 A")],
        "lowest_voltage": [None, "210 V"], "highest_voltage": [None, "255 V"],
        "starting_limited": [None, True], "starting_limit": [None, "60 A"],
        "largest_motor": [None, "2 kW"], "residual_current": [None, "30 mA"],
        "three_phase": [None, ThreePhase(where="at-meter")], "contract": [None, "9 kVA"],
        "standby": [None, Standby(kind="generator")],
        "feeder": [None, Feeder(**LYING)], "panel": [None, Panel(free_poles=1)],
        "upgrade": [None, Upgrade(rating="200 A")],
    }),
    (Supply, of_supply(source="generator"), {"surge": [None, "5 kVA"]}),
    (Supply, of_supply(transformer="30 kVA"), {"transformer_sole_use": [True, False]}),
    (Supply, of_supply(residual_current="30 mA"), {"residual_type": [None, "b"]}),
    (Supply, single, {"neutral": [None, False]}),
    (Supply, iec, {"earthing": ["tn-s", "tt"]}),
    (Feeder, in_supply("feeder", Feeder, LYING), {
        "size": ["2 AWG", "4 AWG"], "material": [None, "aluminum"], "length": ["30 m", "60 m"],
        "installation": [None, "buried-cable"], "insulation": [None, "TW"],
        "insulation_temperature": [None, "60 degC"], "parallel_sets": [1, 2],
        "neutral_size": [None, "10 AWG"], "protective_size": [None, "10 AWG"],
    }),
    (MeasuredDrop, in_supply("measured_drop", MeasuredDrop, {"voltage": "3 V", "current": "30 A"}),
     {"voltage": ["3 V", "6 V"], "current": ["30 A", "50 A"]}),
    (ThreePhase, in_supply("three_phase", ThreePhase, AT_METER), {
        "where": ["at-meter", "in-street"], "voltage": [None, "208 V"], "current": [None, "60 A"],
        "apparent_power": [None, "40 kVA"], "price": [None, "900 USD"], "months": [None, 3],
        "yearly_charge": [None, "100 USD"], "distance": [None, "50 m"],
    }),
    (Panel, in_supply("panel", Panel, {}, fault_current="8 kA"), {
        "bus": [None, "60 A"], "free_poles": [None, 1], "largest_branch": [None, "20 A"],
        "fault_rating": [None, "5 kA"], "terminals": [None, "75 degC"],
    }),
    (Panel, in_supply("panel", Panel, {}, arrangement="line-line", earthing="it"),
     {"slash_rating": [None, "120/240 V"]}),
    (Upgrade, in_supply("upgrade", Upgrade, QUOTE, **SHORT), {
        "what": ["service", "feeder"], "rating": ["41 A", "100 A"],
        "transformer": ["6 kVA", "25 kVA"], "price": [None, "900 USD"], "months": [None, 2],
        "yearly_charge": [None, "90 USD"],
    }),
    (Upgrade, in_supply("upgrade", Upgrade, {"rating": "200 A"}, contract="5 kVA"),
     {"contract": [None, "40 kVA"]}),
    (Upgrade, in_supply("upgrade", Upgrade, {"rating": "100 A"}, rating="100 A",
                        feeder=Feeder(size="14 AWG", length="30 m")),
     {"feeder": [None, Feeder(size="1/0 AWG", length="30 m")]}),
    (Supply, of_supply(rating="200 A"), {
        "dwelling": [None, Dwelling(floor_area="1500 ft2")],
        "demand_record": [None, "year", "none"],
    }),
    (Dwelling, at_home, {
        "floor_area": ["1500 ft2", "1600 ft2"], "small_appliance_circuits": [2, 3],
        "laundry_circuits": [1, 2], "cooking": [(), (Appliance(rating="12 kW"),)],
        "dryer": [None, "5 kW"], "appliances": [(), (Appliance(rating="4.5 kW"),)],
        "vehicle": [None, "7 kW"], "heating": [None, "9 kW"], "heat_pump": [None, "4 kVA"],
        "cooling": [(), (Appliance(rating="4 kVA"),)], "method": [None, "optional", "general"],
    }),
    (Dwelling, lambda **fields: at_home(heating="9 kW", **fields), {"heating_units": [1, 5]}),
    (Dwelling, lambda **fields: at_home(heating="9 kW", heating_units=5, **fields),
     {"heating_continuous": [False, True]}),
    (Appliance, with_pump, {
        "rating": ["3 kVA", "4 kVA"], "motor": [False, True], "voltage": [None, "120 V"],
    }),
    (Appliance, lambda **fields: with_pump(voltage="230 V", **fields),
     {"current": ["10 A", "20 A"]}),
    (Standby, in_supply("standby", Standby, {"kind": "generator",
                                             "connection": "transfer-switch"}), {
        "kind": ["generator", "inverter"], "connection": ["transfer-switch", "lead-with-two-plugs"],
        "apparent_power": [None, "5 kVA"], "voltage": [None, "120 V"],
    }),
    (Site, of_site(), {
        "ambient": [None, "40 degC"], "altitude": [None, "2500 m"],
        "conductor_material": [None, "aluminum"], "insulation": [None, "TW"],
        "installation": [None, "buried-cable"], "raceway": [None, "PVC-40"],
        "grouped_circuits": [None, 4], "terminals": [None, "75 degC"],
        "detached_building": [None, True], "future_machines": [None, 2],
        "converter_place": [None, ConverterPlace(room="cellar")],
    }),
    (Site, lambda **fields: attrs.evolve(iec(), site=Site(installation="buried-cable", **fields)),
     {"soil_resistivity": [None, "2.5 K m/W"], "soil_temperature": [None, "35 degC"],
      "burial_depth": [None, "1.2 m"]}),
    (ConverterPlace, lambda **fields: shop(site=Site(converter_place=ConverterPlace(**fields))), {
        "length": [None, "20 m"], "room": [None, "lean-to"], "ventilation": [None, "closed"],
        "dust": [None, "combustible"], "noise": [None, "60 dB"], "ambient": [None, "45 degC"],
    }),
    (Shop, shop, {
        "region": ["us", "us@2020"], "machines": [(saw(),), (saw(), fan())],
        "energy_price": [None, "0.3 USD/kWh"], "tariff": [None, Tariff(demand_charge="9 USD/kW")],
        "equipment": [(), (OwnedDrive(id="x", shared=True),)],
    }),
    (Shop, lambda **fields: shop(machines=(saw(), fan()), **fields),
     {"together": [None, [["saw"], ["fan"]]], "operators": [None, 1]}),
    (Shop, lambda **fields: shop(
        energy_price="0.2 USD/kWh", machines=(saw(), fan()), **fields
    ), {"hours_open": [None, "3000 h"], "years_of_use": [None, 3]}),
    (Tariff, lambda **fields: shop(
        tariff=Tariff(**({"standing_charge": "20 USD"} | fields)),
        supply=supply(three_phase="at-meter"),
    ), {"name": ["", "night"], "demand_charge": [None, "9 USD/kW"],
        "standing_charge": ["20 USD", "30 USD"]}),
    (Machine, of_saw(), {
        "length": ["12 m", "30 m"], "controls": [None, "made-leg"], "value": [None, "100 USD"],
        "start": ["light", "hard"], "starter": [None, "star-delta"], "unloader": [None, False],
        "load_torque": ["friction", "pulsating"], "load_inertia": [None, "3 kg m2"],
        "starts_per_hour": [None, 40], "hours_per_year": [None, "100 h"],
        "hours_per_day": [None, "8 h"], "average_load": [None, 0.9],
        "voltage_tolerance": [None, 0.02], "unbalance_limit": [None, 0.02],
        "variable_speed": [None, True], "rotation_critical": [None, True],
        "needs_neutral": [None, True], "plate_lacks": [(), ("short-circuit-rating",)],
        "full_load_current": [None, "30 A"], "stopping_time_limit": [None, "10 s"],
        "single_phase_unit": [None, True], "overload_fitted": [None, False],
        "disconnect_in_sight": [None, False], "emergency_stop": [None, False], "quantity": [1, 2],
        "plug": [None, Plug(current="5 A")],
        "motors": [(motor(),), (motor(), motor())],
    }),
    (Machine, lambda **fields: shop(
        region="iec", machines=(saw(
            needs_neutral=True,
            loads=(Load(kind="resistive", power="15 kW", voltage="400 V", phases=3),), **fields
        ),),
        supply=supply(arrangement="line-neutral", voltage="230 V", frequency="50 Hz",
                      three_phase="at-meter"),
    ), {"third_harmonic": [None, 0.4]}),
    (Machine, lambda **fields: shop(machines=(saw(**fields), fan()), together=[["saw"]]),
     {"needs": [(), ("fan",)], "fed_from": [None, "fan"]}),
    (Machine, of_saw(motors=(motor(),)),
     {"loads": [(), (Load(kind="lamp", power="60 W", voltage="120 V", phases=1),)]}),
    (Machine, of_saw(length=None), {"route": [None, Route(length="30 m")]}),
    (Machine, lambda **fields: shop(machines=(
        saw(**({"motors": (motor(),)} if fields["plate"] is None else {}), **fields),
    )), {"plate": [None, "10 HP 230/460 V 26/13 A 1750 RPM 60 HZ"]}),
    (Machine, of_saw(controls="made-leg"), {"control_power": [None, "100 VA"]}),
    (Machine, of_saw(controls="supply-lines"), {"control_voltage": [None, "120 V"]}),
    (Machine, of_saw(motors=(motor(), motor(power="3 hp", current="8.6/4.3 A"))),
     {"motors_one_at_a_time": [None, True]}),
    (Machine, of_saw(motors=(motor(voltage="800 V", current=None),)), {"required": [True, False]}),
    (Machine, lambda **fields: shop(
        machines=(saw(**fields),), supply=supply(fault_current="8 kA")
    ), {"short_circuit_rating": [None, "5 kA"]}),
    (Route, lambda **fields: shop(machines=(
        saw(length=None, route=Route(**({"length": "10 m"} | fields))),
    )), {"length": ["10 m", "30 m"], "installation": [None, "cord"], "ambient": [None, "45 degC"],
         "grouping": [None, 6]}),
    (Plug, lambda **fields: shop(machines=(saw(plug=Plug(**fields)),)), {
        "poles": [None, 2], "current": [None, "5 A"], "voltage": [None, "125 V"],
        "motor_rating": [None, "2 kW"],
    }),
    (Motor, of_motor(), {
        "power": ["5 hp", "7.5 hp"], "voltage": ["230/460 V", "460 V"],
        "current": ["13.2/6.6 A", "14/7 A"], "frequency": ["60 Hz", "50 Hz"],
        "speed": ["1740 rpm", "3450 rpm"], "phases": [3, 1], "poles": [None, 2],
        "linked_for": [None, "230 V"], "overload_range": [None, "7-10 A"],
        "insulation_resistance": [None, "0.5 Mohm"], "winding_resistance": [None, "30 ohm"],
        "power_factor": [None, 0.8], "efficiency": [None, 0.85], "efficiency_class": [None, "IE4"],
        "service_factor": [None, 1.15], "service_factor_current": [None, "30 A"],
        "code_letter": [None, "J"], "design": [None, "D"], "locked_rotor_current": [None, "90 A"],
        "locked_rotor_current_ratio": [None, 7.0], "locked_rotor_torque": [None, "50 N m"],
        "locked_rotor_torque_ratio": [None, 2.5], "breakdown_torque": [None, "60 N m"],
        "breakdown_torque_ratio": [None, 2.2], "no_load_current": [None, "5 A"],
        "rotor_voltage": [None, "200 V"], "rotor_current": [None, "10 A"],
        "current_kind": ["full-load", "rated-load"], "minimum_circuit_current": [None, "18 A"],
        "largest_protective_device": [None, "30 A"], "input_power": [None, "4.4 kW"],
        "inertia": [None, "0.1 kg m2"], "duty": ["S1", "S3 40 %"],
        "temperature_rise": [None, "40 K"], "insulation_class": [None, "A"], "year": [None, 1950],
    }),
    (Motor, of_motor(voltage="415 V", current="7.6 A", connection="star"), {"leads": [3, 6]}),
    (Motor, of_motor(voltage="415 V", current="7.6 A", leads=6), {"connection": [None, "star"]}),
    (Motor, lambda **fields: shop(
        site=Site(ambient="45 degC"), machines=(saw(motors=(motor(**fields),)),)
    ), {"ambient": [None, "50 degC"]}),
    (Motor, of_motor({"traits": ("wash-down",)}), {"enclosure": [None, "ODP"]}),
    (Load, of_load(), {
        "kind": ["resistive", "rectifier"], "power": ["6 kW", "8 kW"],
        "voltage": ["240 V", "208 V"],
        "element_voltage": [None, "139 V"], "frequency": [None, "50 Hz"], "phases": [3, 1],
        "power_factor": [None, 0.9], "relinkable": [None, False], "regenerates": [None, True],
        "apparent_power": [None, "7 kVA"],
    }),
    (Load, of_load(kind="rectifier", power=None), {"current": ["10 A", "20 A"]}),
    (Load, of_load(**WELDER), {
        "duty_cycle": [None, 0.4], "largest_current": [None, "40 A"],
        "effective_current": [None, "12 A"],
    }),
    (OwnedConverter, of_piece(OwnedConverter, ROTARY), {
        "method": ["rotary", "static"], "idler_power": ["30 hp", "1 hp"],
        "fate": ["keep", "must-go"],
        "name": ["", "grey one"], "input_current": [None, "120 A"],
        "output_voltage": [None, "480 V"], "input_voltage": [None, "480 V"],
        "output_current": [None, "5 A"], "largest_motor": [None, "1 hp"],
    }),
    (OwnedConverter, of_piece(OwnedConverter, {"method": "static", "fate": "keep"}),
     {"serves": [(), ("saw",)]}),
    (OwnedConverter, of_piece(OwnedConverter, {"method": "rotary"}), {"rating": [None, "30 hp"]}),
    (OwnedConverter, of_piece(OwnedConverter, {"method": "electronic"}),
     {"apparent_power": [None, "60 kVA"]}),
    (OwnedDrive, of_piece(OwnedDrive, DRIVE), {
        "power": ["10 hp", "1 hp"], "input_phases": [3, 1], "input_voltage": [None, "480 V"],
        "output_current": [None, "1 A"], "output_voltage": [None, "120 V"],
        "shared": [None, True], "count": [1, 2],
    }),
    (OwnedDrive, of_piece(OwnedDrive, {"power": "5 hp"}), {"input_phases": [3, 1]}),
    (OwnedMotor, of_piece(OwnedMotor, {}),
     {"motor": [motor(power="30 hp", current=None), motor(power="1 hp", current=None)]}),
    (OwnedConductor, of_piece(OwnedConductor, STOCK), {
        "size": ["12 AWG", "4/0 AWG"], "material": [None, "aluminum"], "length": ["40 m", "1 m"],
        "insulation": [None, "TW"], "conductors": [None, 1], "installation": [None, "tray"],
    }),
    (OwnedDevice, of_piece(OwnedDevice, BREAKER), {
        "device": ["breaker", "fuse"], "rating": ["30 A", "400 A"], "poles": [None, 1],
        "curve": [None, "D"],
    }),
    (OwnedDevice, of_piece(
        OwnedDevice, BREAKER, lambda **fields: shop(supply=supply(fault_current="8 kA"), **fields)
    ),
     {"breaking_capacity": [None, "1 kA"]}),
    (OwnedDevice, of_piece(OwnedDevice, {"device": "overload"}), {"range": [None, "12-18 A"]}),
    (OwnedDevice, of_piece(
        OwnedDevice, {"device": "residual-current", "rating": "40 A"},
        lambda **fields: attrs.evolve(iec(earthing="tt"), **fields),
    ),
     {"residual_type": [None, "b"]}),
    (OwnedOutlet, of_piece(OwnedOutlet, OUTLET), {
        "poles": [3, 2], "current": [None, "5 A"], "voltage": [None, "125 V"], "phases": [None, 1],
    }),
    (OwnedOutlet, of_piece(OwnedOutlet, {"switched": False}), {"on_converter": [True, False]}),
    (OwnedOutlet, of_piece(OwnedOutlet, {"on_converter": True}), {"switched": [True, False]}),
    (OwnedCapacitors, of_piece(OwnedCapacitors, BOX), {
        "capacitance": ["900 uF", "1 uF"], "rating": ["370 V", "120 V"],
        "purpose": ["start", "run"], "discharge_resistors": [None, False],
    }),
)  # fmt: skip

ENGINE = aw.Engine()


def stripped(thing: Any) -> Any:
    """Return plain data without the steps that repeat what was given."""
    if isinstance(thing, dict):
        return {
            name: [stripped(one) for one in value if name != "steps" or one.get("kind") != "given"]
            if isinstance(value, list)
            else stripped(value)
            for name, value in thing.items()
        }
    if isinstance(thing, list):
        return [stripped(one) for one in thing]
    return thing


@cache
def essence(text: str) -> str:
    """Return what the plan of a shop says beyond what was stated."""
    plan = ENGINE.plan(Shop.from_dict(json.loads(text)), check=False).to_dict()
    return json.dumps(
        {name: stripped(part) for name, part in plan.items() if name not in ("shop", "id")},
        sort_keys=True,
    )


def said(one: Shop) -> str:
    return essence(json.dumps(one.to_dict(), sort_keys=True))


FACTS = [
    pytest.param(make, field, values, id=f"{record.__name__}-{field}")
    for record, make, fields in CASES
    for field, values in fields.items()
]


@pytest.mark.parametrize(("make", "field", "values"), FACTS)
def test_a_fact_changes_the_plan(make: Make, field: str, values: list[Any]) -> None:
    assert len({said(make(**{field: value})) for value in values}) > 1


def test_every_field_of_every_record_is_looked_at() -> None:
    looked_at = {(record, field) for record, _, fields in CASES for field in fields}
    traits = {(Machine, "traits")}
    for record in {record for record, _, _ in CASES}:
        owned = hasattr(record, "fate")
        for field in attrs.fields(record):
            one = (record, field.alias or field.name)
            if field.name.startswith("_") or one in NAMES | traits | looked_at:
                continue
            shared = {name for kind, name in looked_at if hasattr(kind, "fate")}
            assert owned, one
            assert field.name in OWNED_NAMES | shared, one


@pytest.mark.parametrize("trait", get_args(Trait))
def test_each_trait_changes_the_plan(trait: str) -> None:
    """Of a motor or, as for what runs three hours and more, of a load that is none."""
    electronics = (Load(kind="rectifier", current="20 A", voltage="240 V"),)
    of_either = (of_saw(), of_saw(loads=electronics))
    assert any(said(make(traits=(trait,))) != said(make()) for make in of_either)
