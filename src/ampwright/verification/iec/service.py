"""The supply intake: what is added to it, what it bears, the board, an existing feeder: 311."""

import math
from collections.abc import Mapping

from ampwright.equipment.circuit import Circuit
from ampwright.option import Option
from ampwright.verification.iec.book import ROUNDING, Book, plain
from ampwright.verification.ledger import Ledger, close

RULE = "iec.311.1"
ONE_PHASE = "supply.operator-power-limit"
#: Area of one circular mil [mm2].
CIRCULAR_MIL_MM2 = math.pi / 4 * 0.0254**2
#: A plan names an area by six digits.
SAME_AREA = 1e-5


def check_service(ledger: Ledger, option: Option) -> None:
    """Check load and rating of the intake, and that an excess is said and blocks."""
    place, supply = f"options/{option.id}/service", ledger.decision.shop.supply
    _check_dwelling(ledger, place)
    load = ledger.number(f"{place}/load_a")
    if load is None:
        if option.circuits:
            ledger.skipped(RULE, f"{place}/load_a", "the load of the intake")
        return
    existing = supply.existing_load_a or 0.0
    states = [one for one in option.states if one.converter == "" and one.set != "idle"]
    whole = [one for one in states if one.id.startswith("supply/")]
    added = max((one.input_current_a for one in whole), default=0.0)
    for name, wanted in (("existing_a", existing), ("added_a", added),
                         ("load_a", existing + added)):  # fmt: skip
        found = ledger.number(f"{place}/{name}") or 0.0
        if not close(wanted, found):
            ledger.breach(RULE, f"{place}/{name}", wanted, found, "A")
    limits = [supply.rating_a]
    if supply.contract_va is not None:
        limits.append(supply.contract_va / supply.voltage_v)
    known = [float(one) for one in limits if one is not None]
    if not known:
        return
    allowed = ledger.number(f"{place}/allowed_a") or 0.0
    if not close(allowed, min(known)):
        ledger.breach(RULE, f"{place}/allowed_a", min(known), allowed, "A")
    if existing + added > min(known) * (1 + ROUNDING):
        said = [one.code for one in option.findings if one.severity == "blocks"]
        if "supply.undersized" not in said:
            ledger.breach(RULE, f"{place}/load_a", min(known), existing + added, "A")


def check_one_phase(ledger: Ledger, option: Option) -> None:
    """Check that what runs at once on one phase is said where the operator allows less there."""
    supply = ledger.decision.shop.supply
    at_board = [one for one in option.circuits if not one.fed_from and one.role != "service"]
    alone = [one for one in at_board if one.phases == 1]
    if supply.source != "utility" or len(alone) == 1:
        return
    drawn = [one.input_current_a for one in option.states if one.id.startswith("supply/")]
    need = supply.voltage_v * max(drawn, default=0.0) if alone else 0.0
    said = {one.code for one in option.findings if "service" in one.where}
    for row in (ledger.table("utility_limits") or {}).values():
        limit, contract = row["largest_single_phase_va"], row["contract_va"]
        here = bool(limit) and (not contract or float(contract) == supply.contract_va)
        if here and need > float(limit) * (1 + ROUNDING) and ONE_PHASE not in said:
            path = f"options/{option.id}/service/findings/{ONE_PHASE}"
            ledger.breach("iec.operator", path, float(limit), need, "VA")


def _check_dwelling(ledger: Ledger, place: str) -> None:
    """Check that a dwelling is said not to count: the family has no way of calculating one."""
    said = {one.code for one in ledger.decision.findings}
    if ledger.decision.shop.supply.dwelling is not None and "supply.dwelling-not-used" not in said:
        ledger.breach(RULE, place, "supply.dwelling-not-used", "nothing is said")


def check_board(ledger: Ledger, option: Option) -> None:
    """Check that a board which does not take the circuits is said to be so: 537.3, 433.1."""
    supply = ledger.decision.shop.supply
    panel, said = supply.panel, {one.code for one in option.findings}
    if panel is None:
        return
    fed = [one for one in option.circuits if not one.fed_from and one.role != "service"]
    apart = {"utility"} & {one.method or "" for one in option.machines}
    path = f"options/{option.id}/service/panel"
    if panel.free_poles is not None and not apart:
        poles = sum(one.protective_device.poles for one in fed)
        if (poles > panel.free_poles) != ("supply.panel-full" in said):
            ledger.breach("iec.537.3", f"{path}/poles", float(panel.free_poles), float(poles))
    unfit = []
    largest, bus, bears = panel.largest_branch_a, panel.bus_a, panel.fault_rating_a
    if largest is not None and not apart:
        unfit += [("iec.433.1", largest, one.protective_device.rating_a) for one in fed]
    if bus is not None:
        unfit.append(("iec.433.1", bus, supply.rating_a))
    if bears is not None:
        unfit.append(("iec.434.5.1", bears, supply.fault_current_a))
    for rule, most, found in unfit:
        if found is not None and found > most and "supply.panel-unfit" not in said:
            ledger.breach(rule, f"{path}/unfit", float(most), float(found), "A")


def area_of(size: str) -> float:
    """Return the area of a stated size [mm2]."""
    number, _, unit = size.partition(" ")
    if unit == "mm2":
        return float(number)
    if unit == "kcmil":
        return 1e3 * float(number) * CIRCULAR_MIL_MM2
    gauge = 1 - int(number[0]) if number.endswith("/0") else int(number)
    inches = 0.005 * 92 ** ((36 - gauge) / 39)
    return float((1e3 * inches) ** 2 * CIRCULAR_MIL_MM2)


def check_feeder(ledger: Ledger, book: Book, option: Option, circuit: Circuit) -> None:
    """Check what an existing feeder carries as it lies, and that too little is said."""
    shop = ledger.decision.shop
    feeder, site, place = shop.supply.feeder, shop.site, f"options/{option.id}/circuits/service"
    if feeder is None or feeder.size is None:
        ledger.breach("iec.433.1", place, "no feeder is stated", circuit.conductor.size)
        return
    word = str(feeder.installation or site.installation or book.usual("installation"))
    way = (ledger.table("installations") or {}).get(word)
    material = str(feeder.material or site.conductor_material or book.usual("material"))
    usual = (way or {}).get("insulation") or book.usual("insulation")
    insulation = str(feeder.insulation or site.insulation or usual)
    kind = (ledger.table("insulation") or {}).get(insulation)
    if way is None or kind is None or kind["class"] == "rubber":
        ledger.skipped("iec.523", place, f"insulation {insulation} in {word}")
        return
    area = area_of(feeder.size)
    free = book.capacity((kind["class"], 2, material, way["method"]), plain(area))
    if free is None:
        free = book.between((kind["class"], 2, material, way["method"]), area)
    factor = _factor(ledger, book, way, kind["class"])
    if free is None or factor is None:
        ledger.skipped("iec.523", place, f"the capacity of {feeder.size}")
        return
    carries = feeder.parallel_sets * free * factor
    found = circuit.conductor.ampacity_a or 0.0
    if not close(carries, found, SAME_AREA):
        ledger.breach("iec.523", f"{place}/conductor/ampacity_a", carries, found, "A")
    if not close(circuit.conductor.area_mm2, float(plain(area))):
        path = f"{place}/conductor/area_mm2"
        ledger.breach("iec.524", path, area, circuit.conductor.area_mm2, "mm2")
    asked = max(circuit.design_current_a, circuit.protective_device.rating_a or 0.0)
    blocks = {one.code for one in option.findings if one.severity == "blocks"}
    if carries < asked * (1 - ROUNDING) and "feeder.undersized" not in blocks:
        ledger.breach("iec.433.1", f"{place}/conductor/size", asked, carries, "A")


def _factor(ledger: Ledger, book: Book, way: Mapping[str, str], group: str) -> float | None:
    """Return the factor for heat and soil around a feeder that lies by itself."""
    site, ground = ledger.decision.shop.site, bool(way.get("ground"))
    if not ground:
        stated = site.ambient_c
        around = float(book.usual("ambient_c") if stated is None else stated)
        return book.upto("ambient_air", around, group)
    stated = site.soil_temperature_c
    around = float(book.usual("ground_c") if stated is None else stated)
    heat = book.upto("ambient_ground", around, group)
    dry = site.soil_resistivity_k_m_per_w
    soil = book.upto(
        "soil", float(book.usual("soil_k_m_per_w") if dry is None else dry), way["method"].lower()
    )
    return None if heat is None or soil is None else heat * soil
