"""How far the real plate of a converter may lie from the one assumed."""

from typing import NamedTuple

from ampwright.equipment.converter import Window
from ampwright.families.nec.ampacity import Sized
from ampwright.families.nec.book import Book
from ampwright.families.nec.corrections import Corrections
from ampwright.families.nec.draft import Draft
from ampwright.families.nec.ratings import below, write_rating
from ampwright.step import Figure


class Factors(NamedTuple):
    """By what a plate current is multiplied for each part, with the rule that says so.

    Attributes:
        conductor: For the conductor.
        device: For what the device must carry.
        disconnect: For the disconnect.
        device_follows: The ceiling of the device follows the plate current too.
        loads: What fixed loads ask of every part at most, whatever the plate says [A].
    """

    conductor: tuple[float, str]
    device: tuple[float, str]
    disconnect: tuple[float, str]
    device_follows: bool
    loads: Figure | None = None


def plate_window(
    draft: Draft,
    circuit: str,
    factors: Factors,
    corrections: Corrections,
    sized: Sized,
    current: Figure,
    device: Figure,
    switch: Figure,
) -> Window:
    """Return the plate input currents for which this supply circuit stays right.

    Upward, conductor, device and disconnect each carry up to some plate current; a part that
    carries what fixed loads ask for at most never gives way. Downward, the device stays allowed
    while the standard rating below it lies under its ceiling, so the lower edge itself is just
    outside. A conductor that was taken from the column of unmarked terminals above the border of
    100 A would need the lower column below it.

    Args:
        draft: Sheet of the circuit; the steps stand below ``window``.
        circuit: Id of the circuit.
        factors: How each part follows the plate.
        corrections: Of the conductor.
        sized: The conductor.
        current: Current that the conductor must be rated for [A].
        device: Rating of the device [A].
        switch: Rating of the disconnect [A].
    """
    border = draft.book.factor("terminal_border_a")
    part, largest = _upward(draft, factors, sized.ampacity, device, switch)
    lower = _carried(draft.book, corrections, sized.key, corrections.below_c)
    edge = corrections.unmarked and lower < border < current.value
    smallest = _downward(draft, factors, device, edge=edge)
    return Window(
        id=circuit,
        part=part,
        largest_input_current_a=largest.value,
        smallest_input_current_a=smallest.value,
    )


def _carried(book: Book, corrections: Corrections, key: str, column_c: float) -> float:
    """Return what a size carries with terminals of one column [A]."""
    terminal = book.column("ampacity", f"{corrections.metal}_{column_c:.0f}c")[key]
    return min(terminal, corrections.corrected(book, key))


def _upward(
    draft: Draft, factors: Factors, conductor: Figure, device: Figure, switch: Figure
) -> tuple[str, Figure]:
    held = {
        "conductor": (conductor, factors.conductor),
        "device": (device, factors.device),
        "disconnect": (switch, factors.disconnect),
    }
    most = factors.loads.value if factors.loads is not None else float("inf")
    parts = {
        name: draft.work(f"window/{name}_a", "I_np", "A", f"I / {k!r}", rule, I=figure)
        for name, (figure, (k, rule)) in held.items()
        if figure.value < most
    }
    if not parts:
        # nothing gives way before the standard ratings end
        last = write_rating(
            draft, "window/last_rating_a", "I_r", max(draft.book.ratings()), factors.device[1], []
        )
        parts = {
            "device": draft.work(
                "window/device_a", "I_np", "A", f"I / {factors.device[0]!r}", factors.device[1],
                I=last,
            )
        }  # fmt: skip
    part = min(parts, key=lambda name: parts[name].value)
    formula = f"min({', '.join(parts)})" if len(parts) > 1 else part
    largest = draft.work(
        "window/largest_input_current_a", "I_np", "A", formula, held[part][1][1], **parts
    )
    return part, largest


def _downward(draft: Draft, factors: Factors, device: Figure, *, edge: bool) -> Figure:
    bounds: dict[str, Figure] = {}
    k, rule = factors.device
    smaller = below(draft.book, device.value)
    if factors.device_follows and smaller:
        rating = write_rating(draft, "window/smaller_rating_a", "I_r", smaller, rule, [])
        bounds["device"] = draft.work(
            "window/device_least_a", "I_np", "A", f"I_r / {k!r}", rule, I_r=rating
        )
    if edge:
        border = draft.factor("window/border_a", "I", "terminal_border_a", "A")
        bounds["terminals"] = draft.work(
            "window/terminals_least_a", "I_np", "A", f"I / {factors.conductor[0]!r}",
            "nec.110.14(C)", I=border,
        )  # fmt: skip
    formula = f"max({', '.join(bounds)})" if len(bounds) > 1 else next(iter(bounds), "0")
    return draft.work("window/smallest_input_current_a", "I_np", "A", formula, rule, **bounds)
