"""Circuits to and from a converter: the supply of a phase converter, a drive on one phase."""

from ampwright.families.iec.design import Design
from ampwright.families.iec.device import Needs, Start
from ampwright.families.iec.draft import Draft
from ampwright.families.iec.loads import waveform_of
from ampwright.families.iec.motors import motor_current, motor_power, start_time
from ampwright.families.iec.overload import overload
from ampwright.region import CircuitDemand, ConverterInput
from ampwright.step import Figure

#: Methods whose input rectifies although they count as phase converters.
ELECTRONIC = ("electronic",)


def _input(draft: Draft, demand: CircuitDemand, converter: ConverterInput, rule: str) -> Figure:
    """State the design current: the plate's, or what flows if more [A]."""
    return draft.work(
        "design_current_a", "I_b", "A", "max(I_np, I_run)", rule,
        I_np=converter.current, I_run=demand.running_current,
    )  # fmt: skip


def converter_supply(draft: Draft, demand: CircuitDemand, converter: ConverterInput) -> Design:
    """Return what the rules ask of the supply circuit of a phase converter."""
    current = _input(draft, demand, converter, "iec.433.1")
    start = None
    if demand.starting_current is not None:
        start = Start(
            current=demand.starting_current,
            before=demand.running_current,
            time=start_time(draft, demand),
        )
    return Design(
        current=current,
        rule="iec.433.1",
        needs=Needs(load=current, rule="iec.433.1", start=start, largest=converter.largest_device),
        switch=True,
        power=motor_power(draft, demand.motors) if demand.motors else None,
        waveform="electronic" if converter.method in ELECTRONIC else waveform_of(demand),
    )


def drive_supply(draft: Draft, demand: CircuitDemand, converter: ConverterInput) -> Design:
    """Return what the rules ask of the circuit that feeds a drive."""
    current = _input(draft, demand, converter, "iec.433.1")
    if converter.largest_device is None:
        draft.ask(
            "authority.drive-input-device", f"equipment.{converter.id}.largest_device", "size"
        )
    return Design(
        current=current,
        rule="iec.433.1",
        needs=_drive_needs(draft, converter, current),
        switch=True,
        power=motor_power(draft, demand.motors) if demand.motors else None,
        waveform="drive",
    )


def drive_output(draft: Draft, demand: CircuitDemand, converter: ConverterInput) -> Design:
    """Return what the rules ask of the conductors between drive and motor.

    The drive limits their current; the device ahead of it is that of its supply circuit.
    """
    currents = {f"M{n}": motor_current(draft, one) for n, one in enumerate(demand.motors)}
    total = draft.work(
        "full_load_sum_a", "I_sum", "A", " + ".join(currents), "iec.433.1", **currents
    )
    current = draft.work(
        "design_current_a", "I_b", "A", "max(I_sum, I_run)", "iec.433.1",
        I_sum=total, I_run=demand.running_current,
    )  # fmt: skip
    ahead = draft.work(
        "protective_device/load_a", "I_in", "A", "I_np", "iec.433.1", I_np=converter.current
    )
    return Design(
        current=current,
        rule="iec.433.1",
        needs=_drive_needs(draft, converter, ahead),
        protects=False,
        device_ahead=True,
        switch=False,
        overloads=tuple(
            overload(draft, one, one.current, Figure(0.0, ""), 3, in_drive=True)
            for one in demand.motors
        ),
        waveform="drive",
    )


def _drive_needs(draft: Draft, converter: ConverterInput, load: Figure) -> Needs:
    k = draft.read(
        "protective_device/inrush_multiple", "k", "", table="inrush", key="drive",
        column="multiple", rule="iec.60898-1.hold",
    )  # fmt: skip
    peak = draft.work(
        "protective_device/inrush_a", "I_peak", "A", "k * I_np", "iec.60898-1.hold",
        k=k, I_np=converter.current,
    )  # fmt: skip
    return Needs(load=load, rule="iec.433.1", peak=peak, largest=converter.largest_device)
