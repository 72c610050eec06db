"""Lets a judge of shop scenarios ask the library: facts in, the plan's answer out.

The judge and its shops come from elsewhere. Nothing here hangs on which shop it is: each fact is
put into the field that holds it, each plate goes through the plate reader, and what the plan says
is put into the judge's words.
"""

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

import attrs

import ampwright as aw
from ampwright.plugin import Finding, Option
from ampwright.records.equipment import Equipment, OwnedCapacitors, OwnedDrive, OwnedOutlet
from ampwright.records.supply import Feeder, Standby, ThreePhase

Facts = dict[str, Any]

#: Regions of countries that come as plugins: folders of data, named by the country.
PLUGINS = Path(__file__).parents[2] / "plugins"
FOLDERS = sorted(PLUGINS.glob("ampwright-region-*/src/*/tables"))
ENGINE = aw.Engine(FOLDERS)
#: Where a country has no region of its own, the rules of IEC 60364 stand for it.
EVERYWHERE_ELSE = "iec"

ARRANGEMENTS: dict[str, Facts] = {
    "1ph-2w": {"arrangement": "line-neutral"},
    "1ph-3w-split": {"arrangement": "split-phase"},
    "2-lines-with-neutral": {"arrangement": "line-line", "neutral": True},
    "2-lines": {"arrangement": "line-line", "neutral": False},
}
#: Fact, field and unit; a fact without a unit is taken as it is.
SUPPLY = (
    ("volts", "voltage", "V"),
    ("volts_to_neutral", "voltage_to_earth", "V"),
    ("volts_min", "lowest_voltage", "V"),
    ("volts_max", "highest_voltage", "V"),
    ("hz", "frequency", "Hz"),
    ("main_A", "rating", "A"),
    ("existing_A", "existing_load", "A"),
    ("rcd_mA", "residual_current", "mA"),
    ("transformer_sole_use", "transformer_sole_use", ""),
    ("operator_limits_starting", "starting_limited", ""),
    ("largest_direct_start_kW", "largest_motor", "kW"),
)
FEEDER = (
    ("feeder_m", "length", "m"),
    ("feeder_size", "size", ""),
    ("feeder_insulation_degC", "insulation_temperature", "degC"),
    ("feeder_installation", "installation", ""),
)
THREE_PHASE = (
    ("three_phase", "where", ""),
    ("three_phase_A", "current", "A"),
    ("three_phase_kVA", "apparent_power", "kVA"),
    ("three_phase_months", "months", ""),
    ("three_phase_distance_m", "distance", "m"),
)
MACHINE = (
    ("id", "id", ""),
    ("load_torque", "load_torque", ""),
    ("start", "start", ""),
    ("starter", "starter", ""),
    ("unloader", "unloader", ""),
    ("motors_one_at_a_time", "motors_one_at_a_time", ""),
    ("starts_per_hour", "starts_per_hour", ""),
    ("hours_per_day", "hours_per_day", "h"),
    ("variable_speed_wanted", "variable_speed", ""),
    ("rotation_critical", "rotation_critical", ""),
    ("needs_neutral", "needs_neutral", ""),
    ("plate_missing", "plate_lacks", ""),
    ("controls_V", "control_voltage", "V"),
    ("needs", "needs", ""),
    ("fed_from", "fed_from", ""),
    ("stopping_time_limit_s", "stopping_time_limit", "s"),
    ("single_phase_unit", "single_phase_unit", ""),
    ("overload_fitted", "overload_fitted", ""),
    ("disconnect_in_sight", "disconnect_in_sight", ""),
    ("emergency_stop", "emergency_stop", ""),
)
#: Facts that are true or false, and the trait that says the former.
TRAITS = {
    "two_speed": "two-speed",
    "hermetic": "hermetic",
    "wound_rotor": "wound-rotor",
    "high_inertia": "high-inertia",
    "legacy_insulation": "old-insulation",
    "continuous": "continuous",
    "internal_switching": "internal-switching",
    "plug_connected": "plug-connected",
    "restarts_by_itself": "restarts-by-itself",
    "life_safety": "life-safety",
    "finish_critical": "finish-critical",
}
#: Facts of one word, and the trait of each.
WORDS = {
    "reversing": {"from-rest": "reversing", "under-power": "plugging"},
    "braking": {
        "injection": "injection-brake",
        "mechanical": "mechanical-brake",
        "regenerative": "regenerative-brake",
    },
    "electronic_input": {"rectifier": "rectifier-input", "thyristor": "thyristor-input"},
}
CONTROLS = {"line-line": "supply-lines", "line-to-made-leg": "made-leg"}
RELINKABLE = {"yes": True, "no": False, "unknown": None}
#: What kind of load a machine is, where it is none of electronics.
LOADS = {"heater": "resistive", "mixed": "resistive", "transformer": "transformer"}
LOAD = (
    ("volts_3ph", "voltage", "V"),
    ("element_V", "element_voltage", "V"),
    ("heater_kW", "power", "kW"),
)
#: What is known of a motor beside its plate.
MOTOR = ("leads", "connection", "year")


def answer(scenario: Facts) -> Facts:
    """Plan one shop, and say in the judge's words what the plan advises."""
    shop, said = shop_of(scenario)
    plan = ENGINE.plan(shop)
    advised = plan.best or (plan.options[0] if plan.options else None)
    found = {one.code for one in (*said, *plan.findings)}
    found |= {one.code for one in spoken(advised)}
    return {
        "overall": plan.verdict,
        "methods": methods(advised) if advised else {},
        "findings": sorted(found),
        "numbers": {"running_A_low": running(plan, scenario["running_set"])},
    }


def methods(option: Option) -> dict[str, str | None]:
    """Return the method of each machine; one whose heat is parted from its motor is ``relink``.

    The judge has one word for a machine, and for such a one names what becomes of the heat.
    """
    heat = {
        name
        for one in option.findings
        if one.code == "machine.resistive-load-no-conversion"
        for name in one.where
    }
    return {
        name: "relink" if name in heat and method is not None else method
        for name, method in option.assignment.items()
    }


def spoken(option: Option | None) -> Iterator[Finding]:
    """Yield everything that the advised option says: of itself, of machines, of what it refused."""
    if option is not None:
        yield from option.findings
        yield from (reason for one in option.machines for reason in one.reasons)
        yield from (reason for one in option.refusals for reason in one.reasons)


def running(plan: aw.Plan, machines: Sequence[str]) -> float:
    """Return the sum of the equal-power currents that the plan states for *machines* [A]."""
    stated = {step.path: step.value for step in plan.steps}
    return sum(float(stated[f"machines/{name}/equal_kva"]) for name in machines)


def put(facts: Mapping[str, Any], rows: Sequence[tuple[str, str, str]]) -> Facts:
    """Return the fields of *rows* whose facts are known, numbers with their unit."""
    return {
        field: f"{facts[fact]} {unit}" if unit else facts[fact]
        for fact, field, unit in rows
        if fact in facts
    }


def region_of(country: str) -> str:
    """Return the region of a country: its own, or the one that stands for those without."""
    own = country.lower()
    return own if own in ENGINE.regions() else EVERYWHERE_ELSE


def shop_of(scenario: Facts) -> tuple[aw.Shop, list[Finding]]:
    """Return the library's own shop, and what the plate reader had to say of the plates."""
    supply, locale = scenario["supply"], scenario["locale"]
    machines, said = [], []
    for facts in scenario["machine"]:
        plates = [read(text, locale) for text in facts.get("motor_plates", [facts["nameplate"]])]
        machines.append(machine_of(facts, plates, supply))
        said += [finding for plate in plates for finding in plate.findings]
    site = scenario.get("site", {})
    known = {name: site[name] for name in ("detached_building", "future_machines") if name in site}
    shop = aw.Shop(
        region=region_of(scenario["country"]),
        locale=locale,
        supply=supply_of(supply),
        site=aw.Site(**known),
        machines=machines,
        together=[scenario["running_set"]],
        equipment=list(equipment_of(site)),
    )
    return shop, said


def read(text: str, locale: str) -> aw.Plate:
    """Return what a plate says: by itself, or where it leaves a comma open, as its shop writes."""
    alone = aw.read_plate(text)
    return aw.read_plate(text, locale=locale) if alone.decimal_sign == "refused" else alone


def supply_of(facts: Facts) -> aw.Supply:
    """Return the supply."""
    made = {**put(facts, SUPPLY), **ARRANGEMENTS[facts["system"]]}
    made["earthing"] = facts["earthing"].lower()
    if "source_kVA" in facts:
        made[facts["source_kind"]] = f"{facts['source_kVA']} kVA"
    if "feeder_size" in facts:
        lying = put(facts, FEEDER)
        if "feeder_material" in facts:
            lying["material"] = facts["feeder_material"].replace("aluminium", "aluminum")
        made["feeder"] = Feeder(**lying)
    real = put(facts, THREE_PHASE)
    if "three_phase_price" in facts:
        real["price"] = f"{facts['three_phase_price']} {facts['three_phase_currency']}"
    made["three_phase"] = ThreePhase(**real)
    if "standby" in facts:
        made["standby"] = Standby(kind=facts["standby"], connection=facts.get("standby_connection"))
    return aw.Supply(**made)


def equipment_of(site: Facts) -> Iterator[Equipment]:
    """Yield what is already there or owned."""
    if "existing_outlets_unswitched" in site:
        switched = not site["existing_outlets_unswitched"]
        yield OwnedOutlet(id="outlets", on_converter=True, switched=switched)
    if "capacitors_without_bleeders" in site:
        fitted = not site["capacitors_without_bleeders"]
        yield OwnedCapacitors(id="capacitors", discharge_resistors=fitted)
    if "drive_to_be_shared" in site:
        yield OwnedDrive(id="drive", shared=site["drive_to_be_shared"])


def traits_of(facts: Facts, plates: Sequence[aw.Plate]) -> list[Any]:
    """Return the traits that the facts state and the plates prove, each once."""
    found = [word for fact, word in TRAITS.items() if facts.get(fact)]
    found += [words[facts[fact]] for fact, words in WORDS.items() if facts.get(fact) in words]
    found += facts.get("area", [])
    found += [trait for plate in plates for trait in plate.traits]
    return list(dict.fromkeys(found))


def use_of(facts: Facts, plates: Sequence[aw.Plate], supply: Facts) -> Facts:
    """Return how one machine is used and fed: as the facts state it, then as its plates do."""
    made = put(facts, MACHINE)
    if "controls_supply" in facts:
        made["controls"] = CONTROLS.get(facts["controls_supply"], facts["controls_supply"])
    if "unbalance_limit_pct" in facts:
        made["unbalance_limit"] = f"{facts['unbalance_limit_pct']} %"
    if "distance_m" in facts:
        made["length"] = f"{facts['distance_m']} m"
    elif "feeder_m" in supply and "feeder_size" not in supply:
        made["length"] = f"{supply['feeder_m']} m"  # the run that is still to be chosen
    for plate in plates:
        for field, value in (
            ("starter", plate.starter),
            ("needs_neutral", plate.needs_neutral),
            ("motors_one_at_a_time", plate.one_at_a_time or None),
        ):
            if value is not None:
                made.setdefault(field, value)
    return made


def machine_of(facts: Facts, plates: Sequence[aw.Plate], supply: Facts) -> aw.Machine:
    """Return one machine.

    Its plates were read before, because what a person knows beside them, as the leads brought out,
    belongs to the motor that they describe.
    """
    made = use_of(facts, plates, supply)
    beside = {name: facts[name] for name in MOTOR if name in facts}
    if facts["kind"] in ("motor", "mixed", "single-phase"):
        made["motors"] = [attrs.evolve(one, **beside) for plate in plates for one in plate.motors]
    if facts["kind"] == "single-phase":
        made["loads"] = [one for plate in plates for one in plate.loads]
    elif facts["kind"] != "motor":
        made["loads"] = [load_of(facts)]
    return aw.Machine(traits=traits_of(facts, plates), **made)


def load_of(facts: Facts) -> aw.Load:
    """Return what is no motor: heat, electronics, a transformer."""
    made = put(facts, LOAD)
    if "power" not in made:
        made["current"] = f"{facts['amps_3ph']} A"
    made["kind"] = LOADS.get(facts["kind"], facts.get("electronic_input", "rectifier"))
    return aw.Load(relinkable=RELINKABLE[facts.get("relinkable", "unknown")], **made)
