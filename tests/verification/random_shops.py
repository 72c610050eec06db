"""Random shops on North American supplies, the same ones for the same seed.

The mix is invented: one to six machines of half to twenty horsepower, plates in the usual forms,
heaters, welders, lengths, ambients, materials, markings.
"""

from random import Random
from typing import Any

import ampwright as aw

HORSEPOWERS = (0.5, 0.75, 1, 1.5, 2, 3, 5, 7.5, 10, 15, 20)
WEIGHTS = (1, 1, 2, 2, 3, 4, 4, 3, 2, 1, 1)
#: Full-load currents at 230 V of ordinary motors, as plates state them; from memory.
PLATES_A = {0.5: 2.0, 0.75: 2.8, 1: 3.6, 1.5: 5.2, 2: 6.2, 3: 9.0, 5: 14.0, 7.5: 21.0,
            10: 27.0, 15: 40.0, 20: 52.0}  # fmt: skip
KILOWATTS = (0.37, 0.55, 0.75, 1.1, 1.5, 2.2, 3.0, 4.0, 5.5, 7.5, 11.0)
AMPERES_PER_KILOWATT = 4.0  # at 230 V, three phases; from memory


def random_shop(seed: int) -> aw.Shop:
    """Return the shop of that *seed*."""
    return aw.Shop.from_dict(_stated(seed))


def rich_shop(seed: int) -> aw.Shop:
    """Return the shop of that *seed* with more in its machines.

    Single-phase motors, lamps and controls stand beside three-phase motors, heaters and welders
    share machines with motors, several motors run together or one at a time.
    """
    stated, random = _stated(seed), Random(f"rich {seed}")  # noqa: S311 - shops, not secrets
    stated["name"] = f"rich {seed}"
    for machine in stated["machines"]:
        _enrich(random, machine, split=stated["supply"]["arrangement"] == "split-phase")
    if random.random() < 0.2:
        volts = random.choice(("208 V", "240 V", "480 V"))
        stated["supply"]["three_phase"] = {
            "where": random.choice(("at-meter", "in-street")), "voltage": volts, "current": "100 A",
        }  # fmt: skip
    return aw.Shop.from_dict(stated)


def shop_at_home(seed: int) -> aw.Shop:
    """Return the shop of that *seed* on the service of a dwelling of any kind."""
    stated, random = _stated(seed), Random(f"home {seed}")  # noqa: S311 - shops, not secrets
    stated["name"] = f"home {seed}"
    stated["supply"]["dwelling"] = _dwelling(random)
    stated["supply"]["rating"] = random.choice(("100 A", "200 A", "400 A"))
    if random.random() < 0.4:
        stated["supply"]["demand_record"] = random.choice(("year", "month", "none"))
    return aw.Shop.from_dict(stated)


def _dwelling(random: Random) -> dict[str, Any]:
    """Return a dwelling with some of what one can hold."""

    def sometimes(share: float, **fields: object) -> dict[str, Any]:
        return fields if random.random() < share else {}

    def kilowatts(low: float, high: float) -> str:
        return f"{random.uniform(low, high):.1f} kW"

    area = random.choice(("750 ft2", "1400 ft2", "95 m2", "2600 ft2", "240 m2"))
    plates = [{"rating": kilowatts(0.3, 6.0)} for _ in range(random.randint(0, 5))]
    pump = {"current": "9.8 A", "voltage": random.choice(("115 V", "230 V")), "motor": True}
    room = {"current": f"{random.uniform(5, 25):.1f} A", "voltage": "240 V"}
    return {
        "floor_area": area,
        "small_appliance_circuits": random.choice((2, 2, 3)),
        "laundry_circuits": random.choice((0, 1, 1)),
        "cooking": [{"rating": kilowatts(1.0, 16.0)} for _ in range(random.randint(0, 3))],
        "appliances": plates + ([pump] if random.random() < 0.4 else []),
        "cooling": [room] * random.randint(0, 3),
        "heating_units": random.choice((1, 2, 4, 6)),
        **sometimes(0.6, dryer=kilowatts(3.0, 7.0)),
        **sometimes(0.3, vehicle=kilowatts(1.4, 11.0)),
        **sometimes(0.5, heating=kilowatts(2.0, 18.0)),
        **sometimes(0.2, heat_pump=kilowatts(2.0, 6.0)),
        **sometimes(0.2, heating_continuous=True),
        **sometimes(0.5, method=random.choice(("existing", "optional", "general"))),
    }


def _stated(seed: int) -> dict[str, Any]:
    random = Random(seed)  # noqa: S311 - shops, not secrets
    count = random.choices((1, 2, 3, 4, 5, 6), (3, 4, 4, 3, 2, 1))[0]
    machines = [_machine(random, f"m{place}") for place in range(count)]
    shop: dict[str, Any] = {
        "schema": "ampwright.shop/1",
        "name": f"random {seed}",
        "region": random.choice(("us", "us", "us@2020")),
        "supply": _supply(random),
        "site": _site(random),
        "machines": machines,
    }
    if random.random() < 0.12:
        shop["equipment"] = [_owned(random)]
    ids = [one["id"] for one in machines]
    if count > 1 and random.random() < 0.6:
        sets = [sorted(random.sample(ids, random.randint(1, min(3, count)))) for _ in range(2)]
        rest = [one for one in ids if not any(one in of for of in sets)]
        shop["together"] = [*sets, *([one] for one in rest)]
    return shop


def _enrich(random: Random, machine: dict[str, Any], *, split: bool) -> None:
    """Add parts to *machine*: more motors, single-phase ones, loads of one and of three phases."""
    if "plate" in machine:
        return
    motors, loads = machine.setdefault("motors", []), machine.setdefault("loads", [])
    if motors and random.random() < 0.35:
        motors += [_motor(random, largest=random.choice((1, 5, 20)))
                   for _ in range(random.choice((1, 1, 2, 3)))]  # fmt: skip
    if random.random() < 0.35:
        motors += [_single_phase(random, random.choice((0.5, 0.5, 1)))
                   for _ in range(random.choice((1, 1, 2)))]  # fmt: skip
    loads += _small_loads(random, split=split)
    if motors and random.random() < 0.2:
        loads.append(_heater(random))
    if random.random() < 0.12:
        loads += [_welder(random) | random.choice(({}, {}, {"phases": 3}))
                  for _ in range(random.choice((1, 1, 2, 3)))]  # fmt: skip
    if len(motors) > 1 and random.random() < 0.3:
        machine["motors_one_at_a_time"] = True
    for name in ("motors", "loads"):
        if not machine[name]:
            del machine[name]


def _small_loads(random: Random, *, split: bool) -> list[dict[str, Any]]:
    """Return a lamp, a control circuit, both or neither, for the voltages that there are."""
    made = []
    for kind, share, watts in (("lamp", 0.3, (40, 60, 300)), ("control", 0.25, (80, 250, 600))):
        if random.random() < share:
            volts = random.choice(("120 V", "240 V")) if split else "208 V"
            power = f"{random.choice(watts)} W"
            made.append({"kind": kind, "power": power, "voltage": volts, "phases": 1})
    return made


def _heater(random: Random) -> dict[str, Any]:
    heater: dict[str, Any] = {
        "kind": "resistive",
        "power": f"{random.choice((2, 4, 9))} kW",
        "voltage": random.choice(("240 V", "240 V", "480 V")),
    }
    if random.random() < 0.7:
        heater["relinkable"] = random.choice((True, False))
    return heater


def _owned(random: Random) -> dict[str, Any]:
    power = random.choice((5, 7.5, 10, 15, 20, 30))
    return {
        "kind": "converter",
        "id": "own",
        "method": "rotary",
        "fate": "keep",
        "rating": f"{power} hp",
        "largest_motor": f"{power / 2:g} hp",
        "idler_power": f"{power} hp",
        "input_voltage": "240 V",
        "input_current": f"{power * random.uniform(4.2, 6.0):.1f} A",
        "output_voltage": "240 V",
    }


def _supply(random: Random) -> dict[str, Any]:
    two_lines = random.random() < 0.1
    supply: dict[str, Any] = {
        "arrangement": "line-line" if two_lines else "split-phase",
        "voltage": "208 V" if two_lines else "240 V",
        "frequency": "60 Hz",
        "rating": f"{random.choice((100, 125, 150, 200, 200, 400))} A",
    }
    if random.random() < 0.6:
        supply["existing_load"] = f"{random.choice((8, 14, 30, 55))} A"
    if random.random() < 0.6:
        supply["fault_current"] = f"{random.choice((2, 4, 7, 9.5, 15))} kA"
    if random.random() < 0.25:
        supply["panel"] = _panel(random)
    if random.random() < 0.4:
        supply["transformer"] = f"{random.choice((15, 25, 37.5, 50))} kVA"
    return supply


def _panel(random: Random) -> dict[str, Any]:
    panel: dict[str, Any] = {
        "bus": f"{random.choice((125, 200, 225))} A",
        "free_poles": random.choice((4, 8, 14, 20)),
    }
    if random.random() < 0.5:
        panel["terminals"] = random.choice(("60 degC", "75 degC"))
    if random.random() < 0.5:
        panel["slash_rating"] = "120/240 V"
    return panel


def _site(random: Random) -> dict[str, Any]:
    site: dict[str, Any] = {}
    if random.random() < 0.7:
        site["ambient"] = f"{random.choice((10, 21, 26, 30, 33, 38, 41, 47, 52))} degC"
    if random.random() < 0.5:
        site["conductor_material"] = random.choice(("copper", "copper", "aluminum"))
    if random.random() < 0.4:
        site["insulation"] = random.choice(("THHN", "THWN", "THWN-2", "XHHW-2", "THW"))
    if random.random() < 0.3:
        site["raceway"] = random.choice(("EMT", "PVC-40", "RMC", "IMC", "PVC-80", "FMC"))
    if random.random() < 0.4:
        site["grouped_circuits"] = random.choice((1, 1, 2, 3))
    if random.random() < 0.5:
        site["terminals"] = random.choice(("60 degC", "75 degC", "75 degC"))
    if random.random() < 0.15:
        site["converter_place"] = {"length": f"{random.choice((5, 18))} m", "ambient": "36 degC"}
    if random.random() < 0.3:
        site["future_machines"] = random.choice((0, 1, 2))
    return site


def _machine(random: Random, name: str) -> dict[str, Any]:
    machine: dict[str, Any] = {"id": name, "length": f"{random.choice((4, 9, 15, 24, 40, 75))} m"}
    kind = random.random()
    if kind < 0.1:
        machine["loads"] = [
            {
                "kind": "resistive",
                "power": f"{random.choice((2, 3, 4.5, 6, 9))} kW",
                "voltage": "240 V",
                "relinkable": random.choice((True, False)),
            }
        ]
        return machine
    if kind < 0.15:
        machine["loads"] = [_welder(random)]
        return machine
    motors = [_motor(random)]
    if random.random() < 0.15:
        motors.append(_motor(random, largest=3))
    if kind < 0.4 and len(motors) == 1 and motors[0]["power"].endswith("hp"):
        machine["plate"] = _plate(random, motors[0])
    else:
        machine["motors"] = motors
    if random.random() < 0.08:
        load = {"kind": "resistive", "power": "1.5 kW", "voltage": "240 V"}
        machine["loads"] = [load] if "motors" in machine else []
    _oddities(random, machine)
    machine["start"] = random.choice(("none", "light", "light", "normal", "hard"))
    machine["load_torque"] = random.choice(("fan", "constant", "friction", "constant-power"))
    if random.random() < 0.2:
        machine.setdefault("traits", []).append(
            random.choice(("high-inertia", "old-insulation", "reversing"))
        )
    return machine


def _oddities(random: Random, machine: dict[str, Any]) -> None:
    """Add what is rarer: a second speed, a duty, one phase, a plug, a route, an owned overload."""
    motors = machine.get("motors", [])
    if len(motors) == 1 and random.random() < 0.08:
        slow = {**motors[0], "power": "1 hp", "voltage": "230 V", "current": "3.9 A"}
        slow["speed"] = "865 rpm"
        machine["motors"] = [motors[0], slow]
        machine["traits"] = ["two-speed"]
        machine["motors_one_at_a_time"] = True
    elif motors and random.random() < 0.08:
        motors[0]["duty"] = random.choice(("S2 30 min", "S3 40 %", "S6 40 %"))
    if len(motors) == 1 and random.random() < 0.06:
        power = random.choice((0.5, 1, 2, 3))
        machine["motors"] = [_single_phase(random, power)]
    if random.random() < 0.1:
        machine["plug"] = {"poles": 3, "current": "30 A", "voltage": "250 V"}
    if random.random() < 0.12:
        machine["route"] = {"length": f"{random.choice((6, 14, 30))} m", "grouping": 2}
    if random.random() < 0.2:
        machine["overload_fitted"] = random.choice((True, False))


def _single_phase(random: Random, power: float) -> dict[str, Any]:
    currents = {0.5: 4.7, 1: 7.6, 2: 11.5, 3: 16.0}  # at 230 V; from memory
    half = power <= 1 and random.random() < 0.4
    current = currents[power] * random.uniform(0.95, 1.05) * (2 if half else 1)
    return {
        "power": f"{power:g} hp",
        "voltage": "115 V" if half else "230 V",
        "current": f"{current:.1f} A",
        "phases": 1,
        "frequency": "60 Hz",
        "speed": "1725 rpm",
    }


def _welder(random: Random) -> dict[str, Any]:
    current = random.choice((24, 33, 40, 52))
    welder = {
        "kind": "welder",
        "current": f"{current} A",
        "voltage": "240 V",
        "phases": 1,
        "duty_cycle": f"{random.choice((20, 40, 50, 60))} %",
    }
    if random.random() < 0.3:
        welder["effective_current"] = f"{current * 0.6:.1f} A"
    named = {33: "MIG welder", 40: "Spot welder", 52: "Seam welder"}
    return welder | ({"name": named[current]} if current in named else {})


def _motor(random: Random, largest: float = 20) -> dict[str, Any]:
    pairs = [(hp, w) for hp, w in zip(HORSEPOWERS, WEIGHTS, strict=True) if hp <= largest]
    motor: dict[str, Any] = {"frequency": "60 Hz"}
    if random.random() < 0.85:
        power = random.choices([hp for hp, _ in pairs], [w for _, w in pairs])[0]
        current = PLATES_A[power] * random.uniform(0.95, 1.06)
        motor["power"] = f"{power:g} hp"
    else:
        kilowatts = random.choice([one for one in KILOWATTS if one <= largest * 0.75])
        current = kilowatts * AMPERES_PER_KILOWATT * random.uniform(0.97, 1.1)
        motor["power"] = f"{kilowatts:g} kW"
    _voltage(random, motor, current)
    if random.random() < 0.7:
        poles = random.choice((2, 4, 4, 4, 6))
        motor["speed"] = f"{int(7200 / poles * random.uniform(0.955, 0.975))} rpm"
    if random.random() < 0.4:
        motor["service_factor"] = random.choice((1.0, 1.15, 1.15, 1.25))
    if random.random() < 0.15:
        motor["temperature_rise"] = f"{random.choice((40, 55))} K"
    if random.random() < 0.35:
        motor["code_letter"] = random.choice(("G", "H", "J", "K", "L"))
    if random.random() < 0.3:
        motor["design"] = "B"
    return motor


def _voltage(random: Random, motor: dict[str, Any], current: float) -> None:
    form = random.random()
    if form < 0.45:
        motor["voltage"] = "230/460 V"
        motor["current"] = f"{current:.1f}/{current / 2:.1f} A"
    elif form < 0.7:
        motor["voltage"] = "208-230/460 V"
        motor["current"] = f"{current * 1.07:.1f}-{current:.1f}/{current / 2:.1f} A"
    elif form < 0.85:
        motor["voltage"] = "230 V"
        motor["current"] = f"{current:.1f} A"
    else:
        motor["voltage"] = "220/440 V"
        motor["current"] = f"{current * 1.04:.1f}/{current * 0.52:.1f} A"


def _plate(random: Random, motor: dict[str, Any]) -> str:
    words = [motor["power"].upper(), f"{motor['voltage']}", f"{motor['current']}", "60 HZ", "3PH"]
    if "speed" in motor:
        words.append(motor["speed"].upper())
    if "service_factor" in motor:
        words.append(f"SF {motor['service_factor']:g}")
    if "code_letter" in motor:
        words.append(f"CODE {motor['code_letter']}")
    rest = words[1:]
    random.shuffle(rest)
    return " ".join([words[0], *rest])
