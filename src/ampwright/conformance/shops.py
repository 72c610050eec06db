"""Random shops, the same ones for the same seed, for whatever supply a country has.

The mix is invented: one to five machines of usual sizes, plates in the usual forms, heaters,
welders, machines of several motors and of three-phase and single-phase parts, lengths, ambients,
materials. Plate currents follow from power, voltage and an invented product of
efficiency and power factor, so they are plausible and nothing more.
"""

import math
from collections.abc import Mapping, Sequence
from random import Random
from typing import TYPE_CHECKING, Any

import attrs

from ampwright.records.shop import Shop

if TYPE_CHECKING:
    from hypothesis.strategies import SearchStrategy

HORSEPOWER_W = 745.6998715822702
COUNTS = ((1, 3), (2, 4), (3, 4), (4, 2), (5, 1))
STARTS = ("none", "light", "light", "normal", "hard")
TORQUES = ("fan", "constant", "friction", "constant-power")
TRAITS = ("high-inertia", "old-insulation", "reversing")


@attrs.frozen(kw_only=True)
class Market:
    """What shops look like where a region is in force.

    Attributes:
        name: Name of the shops.
        supply: The supply as a shop file states it, its rating left out.
        ratings: Ratings of main devices, as texts.
        powers: Powers of motors as plates state them, from small to large.
        plates: Voltages of motors as plates state them; the first figure suits the supply.
        frequency: Frequency of supply and plates.
        insulations: Designations of insulation.
        installations: Ways of laying cable.
        raceways: Kinds of raceway; empty where nobody states one.
        ambients: Ambient temperatures.
        fault_currents: Fault currents at the panel.
        speed_rpm: Synchronous speed of a two-pole motor [1/min].
        earthings: Systems of earthing of its supplies; empty where the supply states it, or nobody.
        dwellings: Dwellings on the same supply, as a shop file states them; empty where the load
            that is there already is not calculated from them.
        plug: Rated current of a usual plug, as a text; ``""``: machines are connected fast.
    """

    name: str
    supply: Mapping[str, Any]
    ratings: Sequence[str]
    powers: Sequence[str]
    plates: Sequence[str]
    frequency: str
    insulations: Sequence[str]
    installations: Sequence[str]
    raceways: Sequence[str] = ()
    ambients: Sequence[str] = ("10 degC", "21 degC", "26 degC", "30 degC", "33 degC", "38 degC",
                               "47 degC")  # fmt: skip
    fault_currents: Sequence[str] = ("1 kA", "2 kA", "3 kA", "4 kA", "5 kA")
    speed_rpm: float = 3000.0
    earthings: Sequence[str] = ()
    dwellings: Sequence[Mapping[str, Any]] = ()
    plug: str = ""

    @property
    def voltage_v(self) -> float:
        """Voltage of the supply [V]."""
        return float(str(self.supply["voltage"]).split()[0])


NORTH_AMERICA = Market(
    name="Split-phase",
    supply={"arrangement": "split-phase", "voltage": "240 V", "frequency": "60 Hz"},
    ratings=("100 A", "125 A", "150 A", "200 A", "400 A"),
    powers=("0.5 hp", "0.75 hp", "1 hp", "1.5 hp", "2 hp", "3 hp", "5 hp", "7.5 hp", "10 hp",
            "15 hp"),
    plates=("230/460 V", "208-230/460 V", "230 V", "220/440 V"),
    frequency="60 Hz",
    insulations=("THHN", "THWN", "THWN-2", "XHHW-2"),
    installations=("conduit",),
    raceways=("EMT", "PVC-40", "RMC"),
    fault_currents=("2 kA", "4 kA", "7 kA", "9.5 kA", "15 kA"),
    speed_rpm=3600.0,
    dwellings=(
        {"floor_area": "1100 ft2"},
        {"floor_area": "1850 ft2", "small_appliance_circuits": 3, "dryer": "5.5 kW",
         "cooking": [{"name": "Range", "rating": "11.5 kW"}], "heating": "6 kW", "heating_units": 4,
         "appliances": [{"name": "Water heater", "rating": "4.5 kW"},
                        {"name": "Dishwasher", "rating": "1.1 kW", "voltage": "120 V"},
                        {"name": "Well pump", "current": "9.8 A", "voltage": "230 V",
                         "motor": True}]},
        {"floor_area": "140 m2", "method": "general", "vehicle": "3.8 kW", "heat_pump": "4.2 kVA",
         "cooking": [{"rating": "4 kW"}, {"rating": "7.2 kW"}]},
        {"floor_area": "900 ft2", "method": "optional", "heating": "3 kW",
         "cooling": [{"current": "7 A", "voltage": "240 V"}]},
    ),
)  # fmt: skip
EUROPE = Market(
    name="One phase of 230 V",
    supply={"arrangement": "line-neutral", "voltage": "230 V", "frequency": "50 Hz",
            "earthing": "tn-s"},
    ratings=("50 A", "63 A", "80 A", "100 A"),
    powers=("0.37 kW", "0.55 kW", "0.75 kW", "1.1 kW", "1.5 kW", "2.2 kW", "3 kW", "4 kW",
            "5.5 kW", "7.5 kW"),
    plates=("230/400 V", "230 V", "220/380 V", "240/415 V"),
    frequency="50 Hz",
    insulations=("PVC", "XLPE"),
    installations=("conduit", "trunking", "surface", "tray", "in-wall", "buried-conduit"),
    earthings=("tn-s", "tn-c-s", "tt", "it"),
    plug="16 A",
)  # fmt: skip
MARKETS: Mapping[str, Market] = {"nec": NORTH_AMERICA, "iec": EUROPE}


def random_shop(seed: int, market: Market, region: str | None = None) -> Shop:
    """Return the shop of that *seed* on a *market*, under *region* if one is named."""
    return drawn_shop(Random(seed), market, region, f"{market.name} {seed}")  # noqa: S311 - shops, not secrets


def drawn_shop(
    random: Random, market: Market, region: str | None = None, name: str = "drawn"
) -> Shop:
    """Return a shop with every choice made by *random*."""
    counts, weights = zip(*COUNTS, strict=True)
    count = random.choices(counts, weights)[0]
    machines = [_machine(random, market, f"m{place}") for place in range(count)]
    stated: dict[str, Any] = {
        "schema": "ampwright.shop/1",
        "name": name,
        "supply": _supply(random, market),
        "site": _site(random, market),
        "machines": machines,
    }
    if region is not None:
        stated["region"] = region
    ids = [one["id"] for one in machines]
    if count > 1 and random.random() < 0.6:
        first = sorted(random.sample(ids, min(2, count)))
        stated["together"] = [first, *([one] for one in ids if one not in first)]
    if market.dwellings and random.random() < 0.15:
        stated["supply"]["dwelling"] = random.choice(market.dwellings)
        stated["supply"]["demand_record"] = random.choice(("year", "month", "none"))
    return Shop.from_dict(stated)


def ladder(market: Market, most: int | None = None) -> list[dict[str, Any]]:
    """Return machines with one motor each, from small to large, as a shop file states them.

    Args:
        market: Where the powers come from.
        most: How many of them; ``None``: all.
    """
    powers = market.powers[len(market.powers) // 4 :]
    return [
        {
            "id": f"m{n}",
            "length": "12 m",
            "start": "light",
            "load_torque": "friction",
            "average_load": 0.5,
            "motors": [{"power": one, "frequency": market.frequency}],
        }
        for n, one in enumerate(powers[:most])
    ]


def shops(market: Market, region: str | None = None) -> "SearchStrategy[Shop]":
    """Return a hypothesis strategy for shops on a *market*; needs hypothesis installed."""
    from hypothesis import strategies  # noqa: PLC0415 - an optional dependency

    dice = strategies.randoms(use_true_random=False)
    return strategies.builds(lambda random: drawn_shop(random, market, region), dice)


def _supply(random: Random, market: Market) -> dict[str, Any]:
    supply = {**market.supply, "rating": random.choice(market.ratings)}
    if market.earthings:
        supply["earthing"] = random.choice(market.earthings)
    if random.random() < 0.6:
        supply["existing_load"] = random.choice(("4 A", "8 A", "14 A", "22 A"))
    if random.random() < 0.6:
        supply["fault_current"] = random.choice(market.fault_currents)
    return supply


def _site(random: Random, market: Market) -> dict[str, Any]:
    site: dict[str, Any] = {}
    if random.random() < 0.7:
        site["ambient"] = random.choice(market.ambients)
    if random.random() < 0.3:
        site["conductor_material"] = random.choice(("copper", "aluminum"))
    if random.random() < 0.4:
        site["insulation"] = random.choice(market.insulations)
    if random.random() < 0.5:
        site["installation"] = random.choice(market.installations)
    if market.raceways and random.random() < 0.3:
        site["raceway"] = random.choice(market.raceways)
    if random.random() < 0.4:
        site["grouped_circuits"] = random.choice((1, 1, 2, 3))
    return site


def _machine(random: Random, market: Market, name: str) -> dict[str, Any]:
    length = random.choice(("4 m", "9 m", "15 m", "24 m", "40 m"))
    machine: dict[str, Any] = {"id": name, "length": length}
    if market.plug and random.random() < 0.15:
        volts = market.supply["voltage"]
        machine["plug"] = {"poles": 3, "current": market.plug, "voltage": volts}
    if random.random() < 0.1:
        machine["loads"] = [
            {
                "kind": "resistive",
                "power": random.choice(("1.5 kW", "2 kW", "3 kW", "4.5 kW")),
                "voltage": market.supply["voltage"],
                "relinkable": random.choice((True, False)),
            }
        ]
        return machine
    if random.random() < 0.06:
        machine["loads"] = [_welder(random, market)]
        return machine
    more = random.choice((0, 0, 0, 0, 0, 0, 1, 1, 2, 3))
    machine["motors"] = [_motor(random, market)]
    machine["motors"] += [_motor(random, market, small=True) for _ in range(more)]
    if random.random() < 0.12:
        machine["motors"].append(_single_phase(random, market))
    if random.random() < 0.15:
        machine["loads"] = [_small_load(random, market)]
    if len(machine["motors"]) > 1 and random.random() < 0.25:
        machine["motors_one_at_a_time"] = True
    machine["start"] = random.choice(STARTS)
    machine["load_torque"] = random.choice(TORQUES)
    if random.random() < 0.2:
        machine["traits"] = [random.choice(TRAITS)]
    return machine


def _motor(random: Random, market: Market, *, small: bool = False) -> dict[str, Any]:
    powers = market.powers[: len(market.powers) // 2] if small else market.powers
    power = random.choice(powers)
    volts = random.choice(market.plates)
    motor = {"power": power, "voltage": volts, "frequency": market.frequency}
    motor["current"] = _current(power, volts, random.uniform(0.95, 1.08))
    if random.random() < 0.7:
        poles = random.choice((2, 4, 4, 4, 6))
        speed = market.speed_rpm * 2.0 / poles * random.uniform(0.945, 0.97)
        motor["speed"] = f"{speed:.0f} rpm"
    return motor


def _single_phase(random: Random, market: Market) -> dict[str, Any]:
    """Return a small motor for one phase, as a coolant pump or a fan has it."""
    power = random.choice(market.powers[:3])
    number, unit = power.split()
    watts = float(number) * (HORSEPOWER_W if unit == "hp" else 1000.0)
    drawn = watts / (market.voltage_v * random.uniform(0.5, 0.6))
    return {
        "power": power,
        "voltage": market.supply["voltage"],
        "phases": 1,
        "current": f"{drawn:.1f} A",
        "frequency": market.frequency,
    }


def _small_load(random: Random, market: Market) -> dict[str, Any]:
    """Return what stands beside a motor: a lamp, a control circuit, or a heater of three phases."""
    volts = market.supply["voltage"]
    kind = random.choice(("lamp", "control", "resistive"))
    if kind == "resistive":
        return {"kind": kind, "power": "1.5 kW", "voltage": volts,
                "relinkable": random.choice((True, False))}  # fmt: skip
    return {"kind": kind, "power": random.choice(("60 W", "200 W")), "voltage": volts, "phases": 1}


def _welder(random: Random, market: Market) -> dict[str, Any]:
    """Return an arc welder for one phase."""
    return {
        "kind": "welder",
        "current": random.choice(("14 A", "20 A", "27 A")),
        "voltage": market.supply["voltage"],
        "phases": 1,
        "duty_cycle": random.choice(("20 %", "35 %", "60 %")),
    }


def _current(power: str, volts: str, off: float) -> str:
    """Return the currents that stand beside *volts* on a plate."""
    number, unit = power.split()
    watts = float(number) * (HORSEPOWER_W if unit == "hp" else 1000.0)
    yields = min(max(0.66 + 0.05 * math.log(watts / 1000.0), 0.55), 0.8)
    found = []
    for alternative in volts.removesuffix(" V").split("/"):
        ends = [watts / (math.sqrt(3.0) * float(one) * yields) for one in alternative.split("-")]
        found.append("-".join(f"{off * one:.1f}" for one in ends))
    return f"{'/'.join(found)} A"
