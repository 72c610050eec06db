"""How far the real plate of a converter may lie from the one assumed."""

import attrs

from ampwright.equipment.converter import Window
from ampwright.families.nec.ampacity import Sized
from ampwright.families.nec.corrections import Corrections
from ampwright.families.nec.draft import Draft
from ampwright.families.nec.ratings import next_down, write_rating
from ampwright.step import Figure


@attrs.frozen(kw_only=True)
class Factors:
    """By what a plate current is multiplied for each part, with the rule that says so.

    Attributes:
        conductor: For the conductor.
        device: For what the device must carry.
        disconnect: For the disconnect.
        device_follows: The ceiling of the device follows the plate current too.
        by_loads: Fixed loads size conductor and disconnect, whatever the plate says.
    """

    conductor: tuple[float, str]
    device: tuple[float, str]
    disconnect: tuple[float, str]
    device_follows: bool
    by_loads: bool


def plate_window(
    draft: Draft,
    circuit: str,
    factors: Factors,
    corrections: Corrections,
    sized: Sized,
    device: Figure,
    switch: Figure,
) -> Window:
    """Return the plate input currents for which this supply circuit stays right.

    Upward, conductor, device and disconnect each carry up to some plate current. Downward, the
    device stays allowed while the standard rating below it lies under its ceiling, so the lower
    edge itself is just outside. A conductor that was taken from the column of unmarked terminals
    above the border of 100 A would need the lower column below it.

    Args:
        draft: Sheet of the circuit; the steps stand below ``window``.
        circuit: Id of the circuit.
        factors: How each part follows the plate.
        corrections: Of the conductor.
        sized: The conductor.
        device: Rating of the device [A].
        switch: Rating of the disconnect [A].
    """
    part, largest = _upward(draft, factors, sized, device, switch)
    smallest = _downward(draft, factors, corrections, sized, device)
    return Window(
        id=circuit,
        part=part,
        largest_input_current_a=largest.value,
        smallest_input_current_a=smallest.value,
    )


def _upward(
    draft: Draft, factors: Factors, sized: Sized, device: Figure, switch: Figure
) -> tuple[str, Figure]:
    if factors.by_loads:
        end = max(draft.book.ratings())
        last = write_rating(draft, "window/last_rating_a", "I_r", end, "nec.455.7", [])
        k, rule = factors.device
        largest = draft.work(
            "window/largest_input_current_a", "I_np", "A", f"I_r / {k!r}", rule, I_r=last
        )
        return "device", largest
    held = {
        "conductor": (sized.ampacity, factors.conductor),
        "device": (device, factors.device),
        "disconnect": (switch, factors.disconnect),
    }
    parts = {
        name: draft.work(f"window/{name}_a", "I_np", "A", f"I / {k!r}", rule, I=figure)
        for name, (figure, (k, rule)) in held.items()
    }
    part = min(parts, key=lambda name: parts[name].value)
    largest = draft.work(
        "window/largest_input_current_a", "I_np", "A", f"min({', '.join(parts)})",
        held[part][1][1], **parts,
    )  # fmt: skip
    return part, largest


def _downward(
    draft: Draft, factors: Factors, corrections: Corrections, sized: Sized, device: Figure
) -> Figure:
    book = draft.book
    bounds: dict[str, Figure] = {}
    if factors.device_follows:
        below = next_down(book, device.value - 0.5)
        k, rule = factors.device
        if below:
            rating = write_rating(draft, "window/smaller_rating_a", "I_r", below, rule, [])
            bounds["device"] = draft.work(
                "window/device_least_a", "I_np", "A", f"I_r / {k!r}", rule, I_r=rating
            )
    border = book.factor("terminal_border_a")
    lower = f"{corrections.metal}_{book.factor('terminal_below_c'):.0f}c"
    in_lower = book.cell("ampacity", sized.key, lower) or 0.0
    if corrections.unmarked_above and in_lower < border:
        k, rule = factors.conductor
        edge = draft.factor("window/border_a", "I", "terminal_border_a", "A")
        bounds["terminals"] = draft.work(
            "window/terminals_least_a", "I_np", "A", f"I / {k!r}", "nec.110.14(C)", I=edge
        )
    formula = f"max({', '.join(bounds)})" if len(bounds) > 1 else next(iter(bounds), "0")
    return draft.work(
        "window/smallest_input_current_a", "I_np", "A", formula, factors.device[1], **bounds
    )
