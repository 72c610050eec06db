"""The single-phase supply of a phase converter: by its plate, or by the loads that it serves."""

from typing import NamedTuple

from ampwright.families.nec.design import Design
from ampwright.families.nec.device import Ceiling, start_needs
from ampwright.families.nec.draft import Draft
from ampwright.families.nec.motor import RatedMotor, rated, tabulated, together, voltage_column
from ampwright.families.nec.ratings import ceiling_up, write_rating
from ampwright.families.nec.switch import rated_for
from ampwright.finding import parameters
from ampwright.region import CircuitDemand, ConverterInput
from ampwright.step import Figure


class ByLoads(NamedTuple):
    """What specific fixed loads ask for, in amperes of the supply.

    Attributes:
        conductor: For the conductors [A].
        disconnect: For a disconnect rated in amperes [A].
        horsepower: Motor rating of a switch; ``None``: past the tables [hp].
    """

    conductor: Figure
    disconnect: Figure
    horsepower: Figure | None


def converter_supply(draft: Draft, demand: CircuitDemand, converter: ConverterInput) -> Design:
    """Return what the rules ask of the supply circuit of a phase converter."""
    book = draft.book
    plate = draft.work(
        "design/by_plate_a", "I_plate", "A",
        f"{book.factor('converter_variable')!r} * I_np", "nec.455.6(A)(1)", I_np=converter.current,
    )  # fmt: skip
    least = draft.work(
        "disconnect/by_plate_a", "I", "A",
        f"{book.factor('converter_disconnect')!r} * I_np", "nec.455.8(C)", I_np=converter.current,
    )  # fmt: skip
    rule, asks, relation, horsepower = "nec.455.6(A)(1)", "nec.455.8(C)", "exempt", None
    loads = by_loads(draft, demand, converter) if converter.fixed_loads else None
    if loads is not None and loads.conductor.value < plate.value:
        rule, relation = "nec.455.6(A)(2)", "by-ampacity"
        asks = "nec.455.8(C)(1)"
        horsepower = loads.horsepower
        current = draft.work(
            "design_current_a", "I_b", "A", "min(P, S)", rule, P=plate, S=loads.conductor
        )
        least = draft.work(
            "disconnect/least_a", "I", "A", "min(P, S)", asks, P=least, S=loads.disconnect
        )
        draft.assumed("converter.fixed-loads", parameters("current=A", current=current))
    else:
        current = draft.work("design_current_a", "I_b", "A", "P", rule, P=plate)
    calculated = draft.work(
        "protective_device/ceiling/calculated_a", "I_max", "A",
        f"{book.factor('converter_device')!r} * I_np", "nec.455.7", I_np=converter.current,
    )  # fmt: skip
    ceiling = Ceiling(
        rating=write_rating(
            draft, "protective_device/ceiling/rating_a", "I_max",
            ceiling_up(book, calculated.value), "nec.455.7", [("I_max", calculated)],
        ),
        rule="nec.455.7",
    )  # fmt: skip
    needs = {"load": (current, "nec.455.7")}
    if demand.starting_current is not None:
        needs |= start_needs(
            draft, demand.starting_current, demand.running_current, demand.starting_time
        )
    return Design(
        current=current,
        corrected=current,
        rule=rule,
        needs=needs,
        ceiling=ceiling,
        relation=relation,
        disconnect=(least, asks),
        horsepower=horsepower,
        by_loads=loads.conductor if loads is not None else None,
    )


def by_loads(draft: Draft, demand: CircuitDemand, converter: ConverterInput) -> ByLoads | None:
    """State what the loads themselves ask for; ``None`` where none are known."""
    motors = together([rated(draft, one) for one in demand.motors])
    if not motors and not demand.loads:
        return None
    book = draft.book
    inputs = {f"M{n}": one.current for n, one in enumerate(motors)}
    inputs |= {f"L{n}": one.current for n, one in enumerate(demand.loads)}
    total = draft.work(
        "design/loads_a", "I_sum", "A", " + ".join(inputs), "nec.455.6(A)(2)", **inputs
    )
    volts = {"V_out": converter.output_voltage, "V_in": demand.voltage}
    conductor = draft.work(
        "design/by_loads_a", "I_loads", "A",
        f"{book.factor('converter_fixed')!r} * I_sum * V_out / V_in", "nec.455.6(A)(2)",
        I_sum=total, **volts,
    )  # fmt: skip
    disconnect = draft.work(
        "disconnect/by_loads_a", "I", "A",
        f"{book.factor('converter_disconnect_fixed')!r} * I_sum * V_out / V_in",
        "nec.455.8(C)(1)", I_sum=total, **volts,
    )  # fmt: skip
    return ByLoads(
        conductor=conductor,
        disconnect=disconnect,
        horsepower=_switch(draft, demand, motors, volts),
    )


def _switch(
    draft: Draft, demand: CircuitDemand, motors: list[RatedMotor], volts: dict[str, Figure]
) -> Figure | None:
    """State the horsepower of a single-phase switch by locked-rotor currents."""
    if not motors:
        return None
    largest = max(range(len(motors)), key=lambda n: motors[n].current.value)
    motor = motors[largest]
    locked = tabulated(draft, motor, f"disconnect/{motor.demand.id}/locked_rotor_a")
    if locked is None:
        return None
    inputs = {"LRC": locked}
    inputs |= {f"M{n}": one.current for n, one in enumerate(motors) if n != largest}
    inputs |= {f"L{n}": one.current for n, one in enumerate(demand.loads)}
    factor = draft.book.factor("converter_switch_locked_rotor")
    needed = draft.work(
        "disconnect/switch_locked_rotor_a", "LRC_s", "A",
        f"{factor!r} * ({' + '.join(inputs)}) * V_out / V_in", "nec.455.8(C)(2)",
        **inputs, **volts,
    )  # fmt: skip
    return rated_for(
        draft, "switch", "locked_rotor_single_phase",
        voltage_column(draft.book, demand.voltage.value), needed, "nec.455.8(C)(2)",
    )  # fmt: skip
