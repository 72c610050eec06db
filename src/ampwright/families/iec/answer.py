"""One circuit, sized: the rules of the clause groups put together."""

from typing import NamedTuple

import attrs

from ampwright.equipment.circuit import Circuit
from ampwright.equipment.conductor import Conductor
from ampwright.equipment.converter import Window
from ampwright.equipment.device import ProtectiveDevice
from ampwright.families.iec.ampacity import Rule, Sized, choose, sizes
from ampwright.families.iec.book import Book, size_name
from ampwright.families.iec.conditions import Conditions, conditions
from ampwright.families.iec.converter import converter_supply, drive_output, drive_supply
from ampwright.families.iec.cord import cord_and_plug
from ampwright.families.iec.corrections import Corrections, corrections
from ampwright.families.iec.design import Design
from ampwright.families.iec.device import Device, choose_device
from ampwright.families.iec.disturbance import disturbance
from ampwright.families.iec.draft import Draft
from ampwright.families.iec.drop import bearing, binding, drops
from ampwright.families.iec.faults import (
    EARTHED_V,
    breaking,
    disconnection,
    highest_to_earth,
    let_through,
    rated_voltage,
    system,
)
from ampwright.families.iec.harmonics import with_harmonics
from ampwright.families.iec.loads import load_circuit
from ampwright.families.iec.motors import motor_circuit
from ampwright.families.iec.notices import notices
from ampwright.families.iec.protective import (
    adiabatic_row,
    fault_heat,
    protective_conductor,
    protective_size,
)
from ampwright.families.iec.residual import guards
from ampwright.families.iec.switch import switch_disconnector
from ampwright.families.iec.window import plate_window
from ampwright.records.site import Site
from ampwright.records.supply import Supply
from ampwright.region import CircuitAnswer, CircuitDemand
from ampwright.step import Figure, Worksheet


def leaks(demand: CircuitDemand, asked: Design) -> bool:
    """Tell whether more leaks to earth than one small protective conductor may carry alone.

    It does at the input filter of a drive or an electronic converter, and behind a drive.
    """
    return asked.waveform == "drive" or (
        asked.waveform == "electronic" and demand.converter is not None
    )


def answer_circuit(
    book: Book, demand: CircuitDemand, site: Site, supply: Supply, place: str
) -> CircuitAnswer:
    """Size one circuit; its steps stand below *place*."""
    draft = Draft(book, Worksheet(place), (demand.id, *demand.feeds))
    notices(draft, demand)
    if demand.motors or demand.loads or (demand.converter and demand.role == "supply"):
        return draft.answer(*_circuit(draft, demand, site, supply))
    draft.find("circuit.nothing-on-it", "blocks")
    return draft.answer(None)


class Wires(NamedTuple):
    """How many conductors a circuit has.

    Attributes:
        live: Live conductors, a neutral among them.
        loaded: Those that its capacity is counted with: a neutral beside lines has its own factor.
        poles: Those that its device opens.
    """

    live: int
    loaded: int
    poles: int


def wires(book: Book, demand: CircuitDemand, supply: Supply) -> Wires:
    """Return the conductors of a circuit.

    A neutral is opened too where the system of earthing asks for it, and always ahead of a
    converter, for behind it the neutral is one of three lines.
    """
    kind = system(supply, demand, book.usual("earthing"))
    switched = kind in book.manifest["neutral"]["switched"]
    if demand.phases == 3 or demand.neutral:
        lines = 3 if demand.phases == 3 else 2
        return Wires(
            live=lines + demand.neutral,
            loaded=lines,
            poles=lines + (demand.neutral and switched),
        )
    legs = demand.voltage_to_earth
    if legs:
        neutral = any(leg.value < EARTHED_V for leg in legs)
    else:
        neutral = supply.arrangement == "line-neutral"
    alone = neutral and not switched and demand.converter is None
    return Wires(live=2, loaded=2, poles=1 if alone else 2)


def design(draft: Draft, demand: CircuitDemand) -> Design:
    """Return what the clause group of this circuit asks."""
    converter = demand.converter
    if converter is not None and converter.kind == "drive":
        if demand.role == "supply":
            return drive_supply(draft, demand, converter)
        if demand.motors:
            return drive_output(draft, demand, converter)
    if converter is not None and demand.role == "supply":
        return converter_supply(draft, demand, converter)
    return motor_circuit(draft, demand) if demand.motors else load_circuit(draft, demand)


def needed_capacity(draft: Draft, asked: Design, device: Device) -> tuple[Figure, str]:
    """State the capacity that the conductor needs before any factor [A], and the rule."""
    if not asked.protects:
        needed = draft.work("conductor/needed_a", "I_z", "A", "I_b", asked.rule, I_b=asked.current)
        return needed, asked.rule
    k3 = draft.read(
        "conductor/device_factor", "k_3", "", table="device_curves", key=device.curve.row,
        column="cable_factor", rule="iec.433.1",
    )  # fmt: skip
    needed = draft.work(
        "conductor/needed_a", "I_z", "A", "max(k_3 * I_n, I_b)", "iec.433.1",
        k_3=k3, I_n=device.rating, I_b=asked.current,
    )  # fmt: skip
    return needed, "iec.433.1"


def _circuit(
    draft: Draft, demand: CircuitDemand, site: Site, supply: Supply
) -> tuple[Circuit | None, tuple[Window, ...]]:
    near = demand.role in ("supply", "idler", "output")
    installed = conditions(draft, site, near_converter=near)
    if installed is None:
        return None, ()
    count = wires(draft.book, demand, supply)
    asked = design(draft, demand)
    device = choose_device(draft, asked.needs)
    corrected = corrections(draft, installed, count.loaded)
    if device is None or corrected is None:
        return None, ()
    energy = None if asked.device_ahead else let_through(draft, demand, device)
    needed, rule = with_harmonics(draft, demand, *needed_capacity(draft, asked, device))
    others = _rules(draft, installed, demand, energy)
    sized = choose(draft, installed, corrected, needed, others, rule)
    if sized is None:
        return None, ()
    switch = None
    if asked.switch:
        switch = switch_disconnector(draft, device, count.poles, demand.voltage, asked.power)
    if any(one.severity == "blocks" for one in draft.findings):
        return None, ()
    circuit = _equip(draft, demand, supply, installed, asked, device, corrected, sized, energy,
                     switch, count)  # fmt: skip
    if demand.role != "supply" or demand.converter is None or switch is None:
        return circuit, ()
    window = plate_window(
        draft, demand.id, device, sized.ampacity,
        Figure(switch.rating_a or 0.0, f"{draft.sheet.prefix}/disconnect/rating_a"),
    )  # fmt: skip
    return attrs.evolve(circuit, steps=draft.sheet.steps), (window,)


def _rules(
    draft: Draft, installed: Conditions, demand: CircuitDemand, energy: Figure | None
) -> dict[str, Rule]:
    """Return the rules on the size beside its capacity."""
    rules: dict[str, Rule] = {}
    if energy is not None:
        ks = draft.book.column("adiabatic", "k")
        rules["fault-energy"] = lambda key: (
            energy.value <= (ks[adiabatic_row(installed, key)] * float(key)) ** 2
        )
    for name, rule in (("voltage-drop", binding), ("start", bearing)):
        drop = rule(draft.book, installed, demand)
        if drop is not None:
            rules[name] = drop
    return rules


def _equip(
    draft: Draft,
    demand: CircuitDemand,
    supply: Supply,
    installed: Conditions,
    asked: Design,
    device: Device,
    corrected: Corrections,
    sized: Sized,
    energy: Figure | None,
    switch: ProtectiveDevice | None,
    count: Wires,
) -> Circuit:
    """Add to conductor and device what follows from them."""
    draft.work("conductor/count", "n", "", str(count.live), "iec.523")
    length = draft.work("conductor/length_m", "L", "m", "L", L=demand.length)
    back = protective_size(draft, installed, sized.key, energy)
    protective = protective_conductor(
        draft, installed, back, demand.length, reinforced=leaks(demand, asked)
    )
    candidates = tuple(
        key for key in sizes(draft.book, installed, corrected) if float(key) >= float(sized.key)
    )
    running, starting = drops(draft, installed, demand, sized.key, candidates)
    legs = tuple(
        draft.work(f"voltage_to_earth_v/{n}", "U_0", "V", "V", V=leg)
        for n, leg in enumerate(demand.voltage_to_earth)
    )
    highest = highest_to_earth(draft, legs)
    fault = disconnection(draft, installed, demand, supply, device, (sized.key, back), highest)
    if device.curve.instant_high is None or not fault.reached:
        fault_heat(draft, installed, (sized.key, back), fault.least, fault.time)
    largest = demand.fault_largest
    if largest is not None:
        largest = draft.work("fault_current_a", "I_k", "A", "I", "iec.434.5.1", I=largest)
    draft.work("phases", "n", "", str(demand.phases))
    draft.work("voltage_v", "U", "V", "U", U=demand.voltage)
    draft.work("protective_device/poles", "n", "", str(count.poles), "iec.461.2")
    capacity = None if asked.device_ahead else breaking(draft, demand)
    volts = rated_voltage(draft, demand, highest)
    residual = () if asked.device_ahead else guards(
        draft, demand, supply, device, fault, asked.waveform
    )  # fmt: skip
    if demand.cord:
        cord_and_plug(draft, demand, installed, asked.current, device.rating)
    disturbance(draft, demand, supply, asked.current)
    return Circuit(
        id=demand.id,
        role=demand.role,
        feeds=demand.feeds,
        fed_from=demand.fed_from,
        phases=demand.phases,
        voltage_v=demand.voltage.value,
        design_current_a=asked.current.value,
        conductor=Conductor(
            size=size_name(sized.key),
            area_mm2=sized.area.value,
            material=installed.material,
            insulation=installed.insulation,
            count=count.live,
            ampacity_a=sized.ampacity.value,
            length_m=length.value,
        ),
        protective_conductor=protective,
        protective_device=ProtectiveDevice(
            kind=device.curve.kind,
            rating_a=device.rating.value,
            curve=device.curve.name,
            poles=count.poles,
            breaking_capacity_a=capacity.value if capacity else None,
            rating_v=volts.value if volts else None,
        ),
        overloads=asked.overloads,
        disconnect=switch,
        voltage_drop_fraction=running.value,
        starting_drop_fraction=starting.value if starting else None,
        fault_current_a=largest.value if largest else None,
        fault_current_min_a=fault.least.value if fault.least else None,
        voltage_to_earth_v=tuple(leg.value for leg in legs),
        guards=residual,
        steps=draft.sheet.steps,
    )
