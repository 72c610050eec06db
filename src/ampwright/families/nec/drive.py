"""Adjustable-speed drives on a single-phase input: the circuit ahead and the one behind."""

from ampwright.families.nec.design import Design
from ampwright.families.nec.device import Ceiling, motor_ceiling
from ampwright.families.nec.draft import Draft
from ampwright.families.nec.motor import RatedMotor, device_row, rated
from ampwright.families.nec.motors import leading
from ampwright.families.nec.overload import overload
from ampwright.families.nec.ratings import next_down, next_up, write_rating
from ampwright.region import CircuitDemand, ConverterInput
from ampwright.step import Figure


def drive_supply(draft: Draft, demand: CircuitDemand, converter: ConverterInput) -> Design:
    """Return what the rules ask of the circuit that feeds a drive."""
    book = draft.book
    current = draft.work(
        "design_current_a", "I_b", "A", f"{book.factor('drive_conductor')!r} * I_in",
        "nec.430.122(A)", I_in=converter.current,
    )  # fmt: skip
    least = draft.work(
        "disconnect/least_a", "I", "A", f"{book.factor('drive_disconnect')!r} * I_in",
        "nec.430.128", I_in=converter.current,
    )  # fmt: skip
    motors = [rated(draft, one) for one in demand.motors]
    ceiling = drive_ceiling(draft, converter, motors)
    if converter.largest_device is None:
        # the smallest device that carries the input was taken: instructions rarely allow less
        draft.ask(
            "authority.drive-input-device", f"equipment.{converter.id}.largest_device", "safety"
        )
    return Design(
        current=current,
        corrected=current,
        rule="nec.430.122(A)",
        needs={"load": carried(draft, converter, ceiling)},
        ceiling=ceiling,
        relation="exempt",
        disconnect=(least, "nec.430.128"),
    )


def drive_output(draft: Draft, demand: CircuitDemand, converter: ConverterInput) -> Design:
    """Return what the rules ask of the conductors between drive and motor.

    The device ahead of the drive protects the whole branch circuit, these conductors included.
    """
    motors = [rated(draft, one) for one in demand.motors]
    inputs = {f"M{n}": one.current for n, one in enumerate(motors)}
    largest = max(inputs, key=lambda name: inputs[name].value)
    factor = draft.book.factor("drive_output_conductor")
    terms = [f"{factor!r} * {name}" if name == largest else name for name in inputs]
    current = draft.work(
        "design_current_a", "I_b", "A", " + ".join(terms), "nec.430.122(B)", **inputs
    )
    switch = draft.work(
        "disconnect/least_a", "I", "A",
        f"{draft.book.factor('motor_disconnect')!r} * ({' + '.join(inputs)})",
        "nec.430.110(A)", **inputs,
    )  # fmt: skip
    ceiling = drive_ceiling(draft, converter, motors)
    return Design(
        current=current,
        corrected=current,
        rule="nec.430.122(B)",
        needs={"load": carried(draft, converter, ceiling)},
        ceiling=ceiling,
        relation="exempt",
        disconnect=(switch, "nec.430.110(A)"),
        horsepower=motors[0].horsepower if len(motors) == 1 else None,
        overloads=tuple(overload(draft, one.demand, 3, in_drive=True) for one in motors),
        device_ahead=True,
    )


def drive_ceiling(
    draft: Draft, converter: ConverterInput, motors: list[RatedMotor]
) -> Ceiling | None:
    """State the largest device ahead of a drive: by its motor, and by its instructions."""
    place = "protective_device/ceiling"
    bounds: dict[str, Figure] = {}
    if motors:
        largest = leading(draft.book, motors)
        bounds["motor"] = motor_ceiling(
            draft, motors[largest].current, device_row(motors[largest].demand)
        ).rating
    if len(motors) > 1:
        inputs = {"I_max": bounds["motor"]}
        inputs |= {f"M{n}": one.current for n, one in enumerate(motors) if n != largest}
        total = draft.work(
            f"{place}/sum_a", "I_max", "A", " + ".join(inputs), "nec.430.62(A)", **inputs
        )
        bounds["motor"] = write_rating(
            draft, f"{place}/several_a", "I_max", next_down(draft.book, total.value),
            "nec.430.62(A)", [("I_max", total)],
        )  # fmt: skip
    if converter.largest_device is not None:
        bounds["instructions"] = converter.largest_device
    if not bounds:
        return None
    formula = f"min({', '.join(bounds)})" if len(bounds) > 1 else next(iter(bounds))
    rating = draft.work(f"{place}/drive_a", "I_max", "A", formula, "nec.430.130", **bounds)
    return Ceiling(rating=rating, rule="nec.430.130")


def carried(draft: Draft, converter: ConverterInput, ceiling: Ceiling | None) -> tuple[Figure, str]:
    """State what the device ahead of a drive must carry [A].

    Where 125 % of the input current lies above the ceiling, the input current alone; the drive's
    instructions decide, and both are said.
    """
    factor = draft.book.factor("drive_conductor")
    full = draft.work(
        "protective_device/load_a", "I_load", "A", f"{factor!r} * I_in", "nec.430.130",
        I_in=converter.current,
    )  # fmt: skip
    if ceiling is None or next_up(draft.book, full.value) <= ceiling.rating.value:
        return full, "nec.430.130"
    draft.find(
        "drive.device-below-margin", "caution", "nec.430.130", "wanted=A largest=A",
        wanted=full, largest=ceiling.rating,
    )  # fmt: skip
    bare = draft.work(
        "protective_device/input_a", "I_load", "A", "I_in", "nec.430.130", I_in=converter.current
    )
    return bare, "nec.430.130"
