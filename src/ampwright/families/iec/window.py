"""How far the real plate of a converter may lie from the one assumed."""

from ampwright.equipment.converter import Window
from ampwright.families.iec.device import Device
from ampwright.families.iec.draft import Draft
from ampwright.step import Figure


def plate_window(
    draft: Draft, circuit: str, device: Device, ampacity: Figure, switch: Figure
) -> Window:
    """Return the plate input currents for which a supply circuit stays right; steps: ``window``.

    Upward the device gives way first, for conductor and switch are chosen by it. Downward nothing
    does: a smaller current is carried as well.

    Args:
        draft: Sheet of the circuit.
        circuit: Id of the circuit.
        device: Device at its head.
        ampacity: What its conductor carries [A].
        switch: Rating of its switch [A].
    """
    parts = {"device": device.rating, "conductor": ampacity, "disconnect": switch}
    part = min(parts, key=lambda name: parts[name].value)
    largest = draft.work(
        "window/largest_input_current_a", "I_np", "A", "min(I_n, I_z, I_s)", "iec.433.1",
        I_n=device.rating, I_z=ampacity, I_s=switch,
    )  # fmt: skip
    smallest = draft.work("window/smallest_input_current_a", "I_np", "A", "0", "iec.433.1")
    return Window(
        id=circuit,
        part=part,
        largest_input_current_a=largest.value,
        smallest_input_current_a=smallest.value,
    )
