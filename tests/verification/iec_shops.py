"""Random shops on supplies of 230 V and 400 V, the same ones for the same seed.

The mix is invented: one to five machines of 0.25 to 11 kW, plates in the usual forms, heaters,
welders, rectifiers, cords, routes, systems of earthing, cables in air and in the ground.
"""

import math
from random import Random
from typing import Any

import ampwright as aw

KILOWATTS = (0.25, 0.37, 0.55, 0.75, 1.1, 1.5, 2.2, 3.0, 4.0, 5.5, 7.5, 11.0)
WEIGHTS = (1, 2, 2, 3, 3, 4, 4, 4, 3, 3, 2, 1)
INSTALLATIONS = ("conduit", "trunking", "surface", "cable", "in-wall", "tray", "overhead",
                 "buried-conduit", "buried-cable")  # fmt: skip
INSULATIONS = ("PVC", "XLPE", "EPR", "NYM", "NYY", "H07V-K", "H07RN-F")
IN_GROUND = ("PVC", "XLPE", "EPR", "NYY")
TRAITS = ("high-inertia", "old-insulation", "reversing", "plug-connected", "rectifier-input")
REGIONS = ("iec",)


def random_shop(seed: int, regions: tuple[str, ...] = REGIONS) -> aw.Shop:
    """Return the shop of that *seed*, under one of the *regions*."""
    random = Random(f"iec {seed}")  # noqa: S311 - shops, not secrets
    count = random.choices((1, 2, 3, 4, 5), (3, 4, 4, 2, 1))[0]
    supply = _supply(random)
    machines = [_machine(random, f"m{place}", supply) for place in range(count)]
    shop: dict[str, Any] = {
        "schema": "ampwright.shop/1",
        "name": f"random {seed}",
        "region": random.choice(regions),
        "supply": supply,
        "site": _site(random),
        "machines": machines,
    }
    if random.random() < 0.1:
        shop["equipment"] = [_owned(random, supply["voltage"])]
    ids = [one["id"] for one in machines]
    if count > 1 and random.random() < 0.6:
        sets = [sorted(random.sample(ids, random.randint(1, min(3, count)))) for _ in range(2)]
        rest = [one for one in ids if not any(one in of for of in sets)]
        shop["together"] = [*sets, *([one] for one in rest)]
    return aw.Shop.from_dict(shop)


def _owned(random: Random, volts: str) -> dict[str, Any]:
    power = random.choice((3.0, 4.0, 5.5, 7.5, 11.0))
    return {
        "kind": "converter",
        "id": "own",
        "method": "rotary",
        "fate": "keep",
        "rating": f"{power} kW",
        "largest_motor": f"{power / 2:g} kW",
        "idler_power": f"{power} kW",
        "input_voltage": volts,
        "input_current": f"{power * random.uniform(5.6, 7.5):.1f} A",
        "output_voltage": volts,
    }


def _supply(random: Random) -> dict[str, Any]:
    two_lines = random.random() < 0.15
    supply: dict[str, Any] = {
        "arrangement": "line-line" if two_lines else "line-neutral",
        "voltage": "400 V" if two_lines else random.choice(("230 V", "230 V", "230 V", "240 V")),
        "frequency": "50 Hz",
        "rating": f"{random.choice((40, 50, 63, 63, 80, 100, 125))} A",
    }
    if random.random() < 0.85:
        supply["earthing"] = random.choice(("tn-s", "tn-c-s", "tn-c-s", "tt", "tt", "it"))
    if random.random() < 0.6:
        supply["existing_load"] = f"{random.choice((2, 6, 11, 19))} A"
    if random.random() < 0.6:
        supply["fault_current"] = f"{random.choice((0.6, 1, 2, 3, 5, 6.5, 9))} kA"
    elif random.random() < 0.5:
        supply["impedance"] = f"{random.choice((0.08, 0.2, 0.35, 0.7))} ohm"
    _ahead(random, supply)
    return supply


def _ahead(random: Random, supply: dict[str, Any]) -> None:
    """Add what is known of contract, board, feeder and devices ahead of the shop."""
    if random.random() < 0.15:
        supply["contract"] = f"{random.choice((9, 12, 16, 20))} kVA"
    if random.random() < 0.2:
        supply["residual_current"] = random.choice(("30 mA", "300 mA"))
        if random.random() < 0.7:
            supply["residual_type"] = random.choice(("ac", "a", "f", "b"))
    if random.random() < 0.25:
        supply["panel"] = {"free_poles": random.choice((2, 4, 8, 14, 20))}
        if random.random() < 0.5:
            supply["panel"] |= {"bus": "63 A", "largest_branch": "40 A", "fault_rating": "6 kA"}
    if random.random() < 0.12:
        supply["feeder"] = {
            "size": random.choice(("6 mm2", "10 mm2", "16 mm2", "25 mm2", "4 AWG")),
            "length": f"{random.choice((8, 30, 70))} m",
            "material": random.choice(("copper", "copper", "aluminum")),
        }
    if random.random() < 0.08 and supply["voltage"] != "400 V":
        supply["three_phase"] = {"where": "at-meter", "voltage": "400 V", "current": "32 A"}


def _site(random: Random) -> dict[str, Any]:
    site: dict[str, Any] = {}
    if random.random() < 0.7:
        site["ambient"] = f"{random.choice((10, 22, 25, 28, 30, 34, 40, 45, 52))} degC"
    if random.random() < 0.4:
        site["conductor_material"] = random.choice(("copper", "copper", "aluminum"))
    if random.random() < 0.6:
        site["installation"] = random.choice(INSTALLATIONS)
    if random.random() < 0.45:
        buried = str(site.get("installation", "")).startswith("buried")
        known = IN_GROUND if buried else INSULATIONS
        site["insulation"] = random.choice(known)
    if random.random() < 0.3:
        site["soil_resistivity"] = f"{random.choice((0.8, 1.2, 2.5))} K m/W"
    if random.random() < 0.3:
        site["soil_temperature"] = f"{random.choice((8, 15, 20, 24))} degC"
    if random.random() < 0.4:
        site["grouped_circuits"] = random.choice((1, 1, 2, 3, 5))
    if random.random() < 0.15:
        site["converter_place"] = {"length": f"{random.choice((5, 18))} m", "ambient": "36 degC"}
    if random.random() < 0.2:
        site["future_machines"] = random.choice((0, 1, 2))
    return site


def _machine(random: Random, name: str, supply: dict[str, Any]) -> dict[str, Any]:
    machine: dict[str, Any] = {"id": name, "length": f"{random.choice((4, 9, 15, 24, 40, 75))} m"}
    volts = supply["voltage"]
    kind = random.random()
    if kind < 0.1:
        machine["loads"] = [
            {
                "kind": "resistive",
                "power": f"{random.choice((1.5, 2, 3, 4.5, 6))} kW",
                "voltage": volts,
                "relinkable": random.choice((True, False)),
            }
        ]
    elif kind < 0.16:
        machine["loads"] = [_welder(random, volts)]
    else:
        machine["motors"] = [_motor(random, volts)]
        if random.random() < 0.15:
            machine["motors"].append(_motor(random, volts, largest=2.2))
        if random.random() < 0.08:
            load = random.choice(("resistive", "rectifier", "control"))
            machine["loads"] = [{"kind": load, "power": "1.2 kW", "voltage": volts}]
        _oddities(random, machine, volts)
        machine["start"] = random.choice(("none", "light", "light", "normal", "hard"))
        machine["load_torque"] = random.choice(("fan", "constant", "friction", "constant-power"))
        if random.random() < 0.35:
            machine["average_load"] = random.choice((0.3, 0.45, 0.6))
    if random.random() < 0.12:
        machine["plug"] = {"poles": 3, "current": "16 A", "voltage": volts}
    if random.random() < 0.12:
        machine["route"] = {"length": f"{random.choice((6, 14, 30))} m", "grouping": 2}
        if random.random() < 0.5:
            machine["route"] |= {"installation": "tray", "ambient": "35 degC"}
    return machine


def _oddities(random: Random, machine: dict[str, Any], volts: str) -> None:
    """Add what is rarer: a second speed, a duty, one phase, traits."""
    motors = machine["motors"]
    if len(motors) == 1 and random.random() < 0.08:
        slow = {**motors[0], "power": "0.55 kW", "speed": "690 rpm"}
        slow.pop("current", None)
        machine["motors"] = [motors[0], slow]
        machine["traits"] = ["two-speed"]
        machine["motors_one_at_a_time"] = True
    elif random.random() < 0.08:
        motors[0]["duty"] = random.choice(("S2 30 min", "S3 40 %", "S6 40 %"))
    if len(motors) == 1 and random.random() < 0.07 and volts != "400 V":
        power = random.choice((0.55, 1.1, 2.2))
        machine["motors"] = [
            {
                "power": f"{power:g} kW",
                "voltage": "230 V",
                "current": f"{power * random.uniform(6.1, 6.9):.1f} A",
                "phases": 1,
                "frequency": "50 Hz",
                "speed": "1420 rpm",
            }
        ]
    if random.random() < 0.2:
        machine.setdefault("traits", []).append(random.choice(TRAITS))


def _welder(random: Random, volts: str) -> dict[str, Any]:
    current = random.choice((14, 20, 27))
    welder = {
        "kind": "welder",
        "current": f"{current} A",
        "voltage": volts,
        "phases": random.choice((1, 1, 3)),
        "duty_cycle": f"{random.choice((20, 35, 60))} %",
    }
    if random.random() < 0.3:
        welder["effective_current"] = f"{current * 0.6:.1f} A"
    return welder


def _motor(random: Random, volts: str, largest: float = 11.0) -> dict[str, Any]:
    pairs = [(kw, w) for kw, w in zip(KILOWATTS, WEIGHTS, strict=True) if kw <= largest]
    power = random.choices([kw for kw, _ in pairs], [w for _, w in pairs])[0]
    motor: dict[str, Any] = {"frequency": "50 Hz", "power": f"{power:g} kW"}
    if volts == "400 V":
        plate = random.choice(("400/690 V", "400 V", "380/660 V"))
    else:
        plate = random.choice(("230/400 V", "230/400 V", "220/380 V", "240/415 V", "230 V",
                               "400 V"))  # fmt: skip
    motor["voltage"] = plate
    if random.random() < 0.9:
        product = min(max(0.66 + 0.05 * math.log(power), 0.55), 0.8) * random.uniform(0.95, 1.05)
        listed = plate.removesuffix(" V").split("/")
        amperes = [power * 1e3 / (math.sqrt(3) * float(one) * product) for one in listed]
        motor["current"] = "/".join(f"{one:.1f}" for one in amperes) + " A"
    if random.random() < 0.7:
        poles = random.choice((2, 4, 4, 4, 6))
        motor["speed"] = f"{int(6000 / poles * random.uniform(0.945, 0.97))} rpm"
    if random.random() < 0.2:
        motor["efficiency_class"] = random.choice(("IE1", "IE2", "IE3"))
    return motor
