"""One circuit, sized: the rules of the clause groups put together."""

from typing import NamedTuple

import attrs

from ampwright.equipment.circuit import Circuit
from ampwright.equipment.conductor import Conductor
from ampwright.equipment.converter import Window
from ampwright.equipment.device import ProtectiveDevice
from ampwright.families.nec.ampacity import Need, Sized, choose, sizes
from ampwright.families.nec.book import Book, size_name
from ampwright.families.nec.conditions import Conditions, conditions
from ampwright.families.nec.converter import converter_supply
from ampwright.families.nec.cord import cord_and_plug
from ampwright.families.nec.corrections import Corrections, corrections
from ampwright.families.nec.design import Design
from ampwright.families.nec.device import choose_device
from ampwright.families.nec.disconnect import disconnect
from ampwright.families.nec.draft import Draft
from ampwright.families.nec.drive import drive_output, drive_supply
from ampwright.families.nec.drop import drops, limited
from ampwright.families.nec.faults import (
    EARTHED_V,
    guards,
    interrupting,
    rated_voltage,
    smallest_fault,
)
from ampwright.families.nec.grounding import grounding_conductor
from ampwright.families.nec.loads import load_circuit
from ampwright.families.nec.motors import motor_circuit
from ampwright.families.nec.notices import notices
from ampwright.families.nec.raceway import raceway
from ampwright.families.nec.welder import say_own_devices
from ampwright.families.nec.window import Factors, plate_window
from ampwright.records.site import Site
from ampwright.records.supply import Supply
from ampwright.region import CircuitAnswer, CircuitDemand
from ampwright.step import Figure, Worksheet


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
        conductors: Conductors beside the protective one.
        carrying: Current-carrying ones, as they are counted for the heat of each other.
        poles: Ungrounded ones.
        unsure: Nobody said how much third harmonic flows in the neutral, which decides on that.
    """

    conductors: int
    carrying: int
    poles: int
    unsure: bool = False


def wires(book: Book, demand: CircuitDemand, supply: Supply) -> Wires:
    """Return the conductors of a circuit: a line and a neutral count two, one of them a pole.

    A neutral beside lines counts for heat where harmonics flow in it: 310.15(E). The code names no
    share of them; where nobody knows it, the neutral counts. Beside two lines of a star it always
    does, for it carries as much as they do.
    """
    if demand.phases == 3 or demand.neutral:
        lines = 3 if demand.phases == 3 else 2
        third = demand.third_harmonic
        pure = third is not None and third.value <= book.factor("neutral_harmonic")
        star = demand.phases == 1 and supply.arrangement == "line-line"
        carrying = lines + (demand.neutral and (star or not pure))
        unsure = demand.neutral and third is None and not star
        return Wires(
            conductors=lines + demand.neutral, carrying=carrying, poles=lines, unsure=unsure
        )
    legs = demand.voltage_to_earth
    if legs:
        grounded = any(leg.value < EARTHED_V for leg in legs)
    else:
        grounded = (
            supply.arrangement == "line-neutral" or demand.voltage.value < 0.6 * supply.voltage_v
        )
    return Wires(conductors=2, carrying=2, poles=1 if grounded else 2)


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


def carrying(draft: Draft, demand: CircuitDemand, count: Wires) -> Figure:
    """State how many conductors there are, and how many of them count for heat."""
    number = draft.work("conductor/count", "n", "", str(count.conductors), "nec.310.15(C)(1)")
    if not demand.neutral:
        return number
    if count.unsure and demand.role == "branch":
        for name in demand.feeds:
            draft.ask("machine.third-harmonic", f"machines.{name}.third_harmonic", "size")
    return draft.work("conductor/carrying", "n_c", "", str(count.carrying), "nec.310.15(E)")


def _circuit(
    draft: Draft, demand: CircuitDemand, site: Site, supply: Supply
) -> tuple[Circuit | None, tuple[Window, ...]]:
    count = wires(draft.book, demand, supply)
    near = demand.role in ("supply", "idler", "output")
    installed = conditions(draft, site, supply, near_converter=near, from_panel=not demand.fed_from)
    asked = design(draft, demand)
    device = choose_device(draft, asked.needs, asked.ceiling)
    if device is None:
        return None, ()
    if asked.own_device is not None:
        say_own_devices(draft, asked.own_device, device)
    ends = {"I_b": asked.current, "I_r": device}
    switch = None
    if asked.disconnect is not None:
        least, rule = asked.disconnect
        found = disconnect(draft, least, rule, count.poles, demand.voltage, asked.horsepower)
        if found is None:
            return None, ()
        switch, ends["I_s"] = found
    corrected = corrections(draft, installed, ends, carrying(draft, demand, count))
    if corrected is None:
        return None, ()
    need = Need(
        terminals=asked.current,
        corrected=asked.corrected,
        rule=asked.rule,
        device=device,
        relation=asked.relation,
    )
    sized = choose(draft, corrected, need, limited(draft.book, installed, demand))
    if sized is None:
        return None, ()
    circuit = _equip(draft, demand, installed, asked, device, corrected, sized, switch, count)
    if circuit is None or demand.role != "supply" or demand.converter is None or switch is None:
        return circuit, ()
    factors = plate_factors(draft.book, demand.converter.kind, asked, device)
    window = plate_window(
        draft, demand.id, factors, corrected, sized, asked.current, device, ends["I_s"]
    )
    return attrs.evolve(circuit, steps=draft.sheet.steps), (window,)


def plate_factors(book: Book, kind: str, asked: Design, device: Figure) -> Factors:
    """Return how conductor, device and disconnect follow the plate of a converter."""
    if kind == "drive":
        bare = device.value < asked.current.value
        return Factors(
            conductor=(book.factor("drive_conductor"), "nec.430.122(A)"),
            device=(1.0 if bare else book.factor("drive_conductor"), "nec.430.130"),
            disconnect=(book.factor("drive_disconnect"), "nec.430.128"),
            device_follows=False,
        )
    return Factors(
        conductor=(book.factor("converter_variable"), "nec.455.6(A)(1)"),
        device=(book.factor("converter_device"), "nec.455.7"),
        disconnect=(book.factor("converter_disconnect"), "nec.455.8(C)"),
        device_follows=True,
        loads=asked.by_loads,
    )


def _equip(
    draft: Draft,
    demand: CircuitDemand,
    installed: Conditions,
    asked: Design,
    device: Figure,
    corrected: Corrections,
    sized: Sized,
    switch: ProtectiveDevice | None,
    count: Wires,
) -> Circuit | None:
    """Add to conductor and device what follows from them."""
    length = draft.work("conductor/length_m", "L", "m", "L", L=demand.length)
    number = Figure(float(count.conductors), f"{draft.sheet.prefix}/conductor/count")
    protective = grounding_conductor(
        draft, installed, device, sized.minimum, sized.key, demand.length
    )
    if protective is None:
        return None
    conductor = Conductor(
        size=size_name(sized.key),
        area_mm2=sized.area.value,
        material=installed.material,
        insulation=installed.insulation,
        count=count.conductors,
        ampacity_a=sized.ampacity.value,
        length_m=length.value,
    )
    tube = raceway(draft, installed, conductor.size, number, protective.size)
    if any(one.severity == "blocks" for one in draft.findings):
        return None
    candidates = tuple(sizes(draft.book, corrected))
    larger = candidates[candidates.index(sized.key) :]
    running, starting = drops(draft, installed, demand, sized.key, larger)
    legs = tuple(
        draft.work(f"voltage_to_earth_v/{n}", "V_e", "V", "V", V=leg)
        for n, leg in enumerate(demand.voltage_to_earth)
    )
    least = smallest_fault(draft, installed, demand, conductor.size, protective.size, legs)
    fault = demand.fault_largest
    if fault is not None:
        fault = draft.work("fault_current_a", "I_k", "A", "I", "nec.110.9", I=fault)
    draft.work("phases", "n", "", str(demand.phases))
    draft.work("voltage_v", "V", "V", "V", V=demand.voltage)
    draft.work("protective_device/poles", "n", "", str(count.poles), "nec.240.15(B)")
    breaking = None if asked.device_ahead else interrupting(draft, demand)
    volts = rated_voltage(draft, demand, legs)
    dropped = () if asked.device_ahead else guards(draft, demand, device, least)
    if demand.cord:
        cord_and_plug(draft, demand, installed, asked.current, device)
    return Circuit(
        id=demand.id,
        role=demand.role,
        feeds=demand.feeds,
        fed_from=demand.fed_from,
        phases=demand.phases,
        voltage_v=demand.voltage.value,
        design_current_a=asked.current.value,
        conductor=conductor,
        protective_conductor=protective,
        protective_device=ProtectiveDevice(
            kind="breaker",
            rating_a=device.value,
            curve="inverse-time",
            poles=count.poles,
            breaking_capacity_a=breaking.value if breaking else None,
            rating_v=volts.value if volts else None,
        ),
        overloads=asked.overloads,
        disconnect=switch,
        raceway=tube,
        voltage_drop_fraction=running.value,
        starting_drop_fraction=starting.value if starting else None,
        fault_current_a=fault.value if fault else None,
        fault_current_min_a=least.value if least else None,
        voltage_to_earth_v=tuple(leg.value for leg in legs),
        guards=dropped,
        steps=draft.sheet.steps,
    )
