"""What supply, site and what is there already give cause to say, whichever way is taken."""

from collections.abc import Iterator
from pathlib import Path

from ampwright.case import VOLTAGE_TOLERANCE, Case
from ampwright.finding import Finding, Question, parameters
from ampwright.records.equipment import OwnedCapacitors, OwnedDrive, OwnedOutlet
from ampwright.step import Figure
from ampwright.tables import read_table

CONNECTIONS = read_table(Path(__file__).with_name("standby_connections.csv"))
THIN_AIR_M = 1000.0  # up to which motors and drives give their rating: IEC 60034-1, from memory
AT_HAND = ("at-meter", "in-building", "in-street")


def circumstances(case: Case) -> tuple[Finding, ...]:
    """Return the findings of the supply, of a second source, of the site, and of what is there."""
    return (*of_supply(case), *of_standby(case), *of_equipment(case), *of_site(case))


def of_supply(case: Case) -> Iterator[Finding]:
    """Yield what the supply calls for."""
    supply = case.shop.supply
    three_phase = supply.three_phase
    if three_phase is not None and three_phase.where in AT_HAND:
        yield Finding(
            code="supply.three-phase-already-available",
            severity="info",
            where=("supply",),
            parameters=parameters(place=three_phase.where),
        )
        yield Finding(code="plan.cheaper-alternative", severity="info", where=("supply",),
                      parameters=parameters(alternative="three-phase"))  # fmt: skip
    if supply.arrangement == "line-line":
        yield Finding(code="supply.two-live-conductors", severity="info", where=("supply",))
    if supply.source == "inverter":
        yield Finding(code="supply.inverter-source", severity="caution", where=("supply",))
    if supply.source == "generator":
        yield Finding(code="supply.generator-source", severity="caution", where=("supply",))
    if supply.earthing == "tn-c-s" and case.shop.site.detached_building:
        yield Finding(code="supply.earthing-export", severity="caution", where=("supply",))
    if supply.residual_current_a is not None and supply.residual_type is None:
        yield Finding(code="protection.rcd-type", severity="info", where=("supply",))
    lowest, highest = supply.lowest_voltage_v, supply.highest_voltage_v
    ends = [end for end in (lowest, highest) if end is not None]
    if any(abs(end / supply.voltage_v - 1.0) > VOLTAGE_TOLERANCE + 1e-9 for end in ends):
        yield Finding(
            code="supply.wide-voltage-range", severity="caution", where=("supply",),
            parameters=parameters("lowest=V highest=V", lowest=case.supply.lowest,
                                  highest=case.supply.highest),
        )  # fmt: skip


def of_standby(case: Case) -> Iterator[Finding]:
    """Yield what the way in which a second source is connected calls for."""
    standby = case.shop.supply.standby
    if standby is None:
        return
    if standby.kind == "inverter":
        yield Finding(code="supply.inverter-source", severity="caution", where=("supply",))
    for row in CONNECTIONS.rows:
        if row["connection"] == (standby.connection or "unknown"):
            yield Finding(code=row["code"], severity=row["severity"], where=("supply",),
                          parameters=parameters(connection=row["connection"]))  # fmt: skip


def of_equipment(case: Case) -> Iterator[Finding]:
    """Yield what is wrong with equipment that is there, or with what it is meant for."""
    for one in case.shop.equipment:
        where = (one.id, *one.serves)
        if isinstance(one, OwnedOutlet) and one.on_converter and one.switched is False:
            yield Finding(code="converter.output-live-on-two-legs", severity="blocks", where=where)
        if isinstance(one, OwnedCapacitors) and one.discharge_resistors is False:
            yield Finding(code="converter.capacitor-discharge", severity="blocks", where=where)
        if isinstance(one, OwnedDrive) and one.shared:
            for code in ("converter.drive-one-motor", "converter.drive-output-switching"):
                yield Finding(code=code, severity="blocks", where=where)


def of_site(case: Case) -> Iterator[Finding]:
    """Yield what holds for every shop, and what this site calls for."""
    yield Finding(code="plan.permit-inspection", severity="info", where=("shop",))
    height = case.shop.site.altitude_m
    if height is not None and height > THIN_AIR_M:
        there = Figure(float(height), "shop/site/altitude_m")
        yield Finding(code="site.thin-air", severity="caution", where=("shop",),
                      parameters=parameters("altitude=m", altitude=there))  # fmt: skip
    if case.shop.site.future_machines:
        yield Finding(
            code="plan.future-machine-margin",
            severity="info",
            where=("shop",),
            parameters=parameters(count=str(case.shop.site.future_machines)),
        )


def questions(case: Case) -> tuple[Question, ...]:
    """Return what should be asked about supply, site and what is there."""
    found = []
    if case.shop.supply.source != "utility" and case.shop.supply.surge_va is None:
        found.append(
            Question(code="supply.surge", field="supply.surge", where=("supply",), changes="size")
        )
    standby = case.shop.supply.standby
    if standby is not None and standby.connection in (None, "unknown"):
        found.append(
            Question(code="supply.standby-connection", field="supply.standby.connection",
                     where=("supply",), changes="safety",
                     choices=("transfer-switch", "interlock", "lead-with-two-plugs"))
        )  # fmt: skip
    found += [
        Question(code="equipment.discharge-resistors", where=(one.id,), changes="safety",
                 field=f"equipment.{one.id}.discharge_resistors", choices=("true", "false"))
        for one in case.shop.equipment
        if isinstance(one, OwnedCapacitors) and one.discharge_resistors is None
    ]  # fmt: skip
    return tuple(found)
