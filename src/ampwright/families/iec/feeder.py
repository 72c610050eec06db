"""An existing feeder: what it carries as it lies, against its device and what is to be added."""

from typing import NamedTuple

from ampwright.equipment.circuit import Circuit
from ampwright.equipment.conductor import Conductor
from ampwright.equipment.device import ProtectiveDevice
from ampwright.families.iec.ampacity import carried
from ampwright.families.iec.book import size_text
from ampwright.families.iec.conditions import Conditions, conditions, feeder_site
from ampwright.families.iec.corrections import Corrections, corrections
from ampwright.families.iec.draft import Draft
from ampwright.families.iec.drop import formula
from ampwright.families.iec.resistance import per_metre, reactance
from ampwright.records.site import Site
from ampwright.records.supply import Feeder, Supply
from ampwright.step import Figure, Worksheet

#: Area of one circular mil, pi/4 times (0.001 in)^2 [mm2].
CIRCULAR_MIL_MM2 = 5.067074790974977e-4


class Laid(NamedTuple):
    """A feeder as it lies.

    Attributes:
        feeder: What is stated of it.
        name: Its size as stated.
        key: Its area as the tables would name it.
        installed: How it lies.
        corrected: Factors on its capacity.
        rating: Rating of its device [A].
        length: One-way length [m].
    """

    feeder: Feeder
    name: str
    key: str
    installed: Conditions
    corrected: Corrections
    rating: Figure
    length: Figure


def area_key(size: str) -> str:
    """Return the area of a stated size as a key of the tables [mm2]."""
    number, _, unit = size.partition(" ")
    if unit == "mm2":
        return size_text(float(number))
    if unit == "kcmil":
        return size_text(1000.0 * float(number) * CIRCULAR_MIL_MM2)
    gauge = 1.0 - float(number[0]) if number.endswith("/0") else float(number)
    mils = 5.0 * 92.0 ** ((36.0 - gauge) / 39.0)
    return size_text(mils * mils * CIRCULAR_MIL_MM2)


def check_feeder(
    draft: Draft, load: Figure, voltage: Figure, site: Site, supply: Supply
) -> Circuit | None:
    """Check a feeder that is there already; its steps stand below ``circuits/service``.

    Args:
        draft: Sheet of the service.
        load: Calculated load, existing load included [A].
        voltage: Nominal voltage [V].
        site: Where it lies.
        supply: What is known of it.

    Returns:
        The feeder with what it carries; ``None`` where size, length or main device are not known.
    """
    feeder = supply.feeder
    if feeder is None or supply.rating_a is None:
        return None
    if feeder.size is None or feeder.length_m is None:
        field = "length" if feeder.length_m is None else "size"
        draft.ask_everywhere("plan.data-needed", f"supply.feeder.{field}", "size")
        return None
    place = f"{draft.sheet.prefix.rpartition('/')[0]}/circuits/service"
    own = Draft(draft.book, Worksheet(place), ("service",))
    circuit = None
    laid = _laid(own, feeder, feeder.size, site, supply)
    if laid is not None:
        circuit = _as_it_lies(own, laid, load, voltage)
    for step in own.sheet.steps if circuit is None else ():
        draft.sheet.put(step)
    draft.findings += own.findings
    draft.assumptions += [*own.assumptions, *own.remembered()]
    draft.questions += own.questions
    return circuit


def _laid(own: Draft, feeder: Feeder, size: str, site: Site, supply: Supply) -> Laid | None:
    installed = conditions(own, feeder_site(site, supply), alone=True)
    if installed is None:
        return None
    corrected = corrections(own, installed, 2)
    key = area_key(size)
    if corrected is None or own.book.capacity(corrected.column, key) is None:
        own.find("plan.rule-not-checked", "caution", "iec.523", insulation=installed.insulation)
        return None
    return Laid(
        feeder=feeder,
        name=size,
        key=key,
        installed=installed,
        corrected=corrected,
        rating=own.sheet.given("protective_device/rating_a", "I_n", supply.rating_a or 0.0, "A"),
        length=own.sheet.given("conductor/length_m", "L", feeder.length_m or 0.0, "m"),
    )


def _ohms(own: Draft, laid: Laid) -> Figure:
    """State the resistance of one conductor in service [ohm/m]."""
    metal = laid.installed.metal
    if own.book.cell("resistance", laid.key, metal) is not None:
        return per_metre(own, "line", laid.installed, laid.key)
    rho = own.factor(
        "impedance/rho", "rho", f"annex_g_{laid.installed.material}_ohm_mm2_per_m", "ohm mm2/m"
    )
    return own.work(
        "impedance/line_ohm_per_m", "R", "ohm/m", f"rho / {float(laid.key)!r}", "iec.525", rho=rho
    )


def _as_it_lies(own: Draft, laid: Laid, load: Figure, voltage: Figure) -> Circuit:
    sets = laid.feeder.parallel_sets
    single = carried(own, "conductor/one", laid.corrected, laid.key)
    ampacity = own.work("conductor/ampacity_a", "I_z", "A", f"{sets} * I", "iec.433.1", I=single)
    needed = own.work("design_current_a", "I_b", "A", "I_load", "iec.311.1", I_load=load)
    if ampacity.value < needed.value or ampacity.value < laid.rating.value:
        own.find(
            "feeder.undersized", "blocks", "iec.433.1", "ampacity=A load=A rating=A",
            ampacity=ampacity, load=needed, rating=laid.rating, size=laid.name,
        )  # fmt: skip
    factor = own.factor("power_factor", "cos phi", "feeder_power_factor")
    hertz = own.work("frequency_hz", "f", "Hz", "50", "iec.525")
    drop = own.work(
        "voltage_drop_fraction", "u", "", f"({formula(1)}) / {sets}", "iec.525",
        I=needed, L=laid.length, V=voltage, pf=factor, f=hertz, R=_ohms(own, laid),
        X=reactance(own),
    )  # fmt: skip
    recommended = own.factor("drop/recommended", "u_max", "drop_recommended")
    if drop.value > recommended.value:
        own.find("feeder.voltage-drop", "caution", "iec.525", drop=drop, recommended=recommended)
    own.work("phases", "n", "", "1")
    own.work("voltage_v", "U", "V", "U", U=voltage)
    own.work("protective_device/poles", "n", "", "2", "iec.461.2")
    own.work("conductor/count", "n", "", f"2 * {sets}", "iec.433.1")
    metal = own.work("conductor/area_mm2", "S", "mm2", repr(float(laid.key)), "iec.524")
    return Circuit(
        id="service",
        role="service",
        feeds=(),
        phases=1,
        voltage_v=voltage.value,
        design_current_a=needed.value,
        conductor=Conductor(
            size=laid.name,
            area_mm2=metal.value,
            material=laid.installed.material,
            insulation=laid.installed.insulation,
            count=2 * sets,
            ampacity_a=ampacity.value,
            length_m=laid.length.value,
        ),
        protective_conductor=None,
        protective_device=ProtectiveDevice(
            kind="breaker", rating_a=laid.rating.value, curve="", poles=2
        ),
        voltage_drop_fraction=drop.value,
        steps=own.sheet.steps,
    )
