"""Voltage drop, and the window of real plates inside which a circuit stays right."""

import math

from ampwright.equipment.converter import Window
from ampwright.verification.ledger import close
from ampwright.verification.nec.conductors import (
    ampacity,
    marked_terminals,
    surroundings,
    unmarked_terminals,
)
from ampwright.verification.nec.demand import Demand
from ampwright.verification.nec.impedance import drop_along, drop_terms
from ampwright.verification.nec.scene import Scene
from ampwright.verification.notation import bare

RULE = "nec.9.9"


def check_drop(scene: Scene) -> None:
    """Check the drop while running and during the start."""
    circuit = scene.circuit
    _check_drop(scene, "voltage_drop_fraction", circuit.voltage_drop_fraction)
    if circuit.starting_drop_fraction is not None:
        _check_drop(scene, "starting_drop_fraction", circuit.starting_drop_fraction)


def _check_drop(scene: Scene, name: str, found: float) -> None:
    terms = drop_terms(scene, name)
    locked = name == "starting_drop_fraction"
    size = scene.circuit.conductor.size
    drop = None if terms is None else drop_along(scene, size, *terms, locked=locked)
    if drop is None:
        scene.ledger.skipped(RULE, scene.path(name), "current or impedance of the conductors")
    elif not close(drop, found):
        scene.ledger.breach(RULE, scene.path(name), drop, found)


def check_window(scene: Scene, demand: Demand) -> None:
    """Check both ends of the plate values for which the circuit stays right."""
    converter = scene.fed_converter
    if converter is None:
        return
    window = next((one for one in converter.window if one.id == scene.circuit.id), None)
    if window is None:
        scene.ledger.breach("nec.455.4", scene.path("window"), "a window", "none")
        return
    place = f"options/{scene.option.id}/converters/{converter.id}/window/{window.id}"
    if not window.smallest_input_current_a <= converter.input_current_a * (1 + 1e-9):
        scene.ledger.breach(
            "nec.455.4",
            f"{place}/smallest_input_current_a",
            converter.input_current_a,
            window.smallest_input_current_a,
            "A",
        )
    _check_ends(scene, demand, window, place)


def _check_ends(scene: Scene, demand: Demand, window: Window, place: str) -> None:
    ledger = scene.ledger
    nudge = 1e-6
    largest, smallest = window.largest_input_current_a, window.smallest_input_current_a
    top = scene.book.ratings()[-1]
    if not holds(scene, demand, largest * (1 - nudge)):
        ledger.breach("nec.455.4", f"{place}/largest_input_current_a", "less", largest, "A")
    elif largest < top / 1.25 * (1 - nudge) and holds(scene, demand, largest * (1 + nudge)):
        ledger.breach("nec.455.4", f"{place}/largest_input_current_a", "more", largest, "A")
    if smallest > 0:
        if not holds(scene, demand, smallest * (1 + nudge) + nudge):
            ledger.breach("nec.455.4", f"{place}/smallest_input_current_a", "more", smallest, "A")
        elif holds(scene, demand, smallest * (1 - nudge)):
            ledger.breach("nec.455.4", f"{place}/smallest_input_current_a", "less", smallest, "A")


def holds(scene: Scene, demand: Demand, plate: float) -> bool:
    """Tell whether conductor, device and disconnect stay right behind a plate of *plate* A."""
    book, circuit = scene.book, scene.circuit
    rating = circuit.protective_device.rating_a or 0.0
    if scene.is_drive:
        need = book.factor("drive_conductor") * plate
        least_switch = book.factor("drive_disconnect") * plate
        least, most = need if rating >= demand.conductor * (1 - 1e-9) else plate, math.inf
    else:
        need = min(book.factor("converter_variable") * plate, demand.by_loads)
        least_switch = min(book.factor("converter_disconnect") * plate, demand.by_loads)
        least, most = need, book.rating_up(book.factor("converter_device") * plate)
    disconnect = circuit.disconnect
    switch = None if disconnect is None else disconnect.rating_a
    held = _held(scene, need, rating, switch)
    return held >= need and (switch or math.inf) >= least_switch and least <= rating <= most


def _held(scene: Scene, need: float, rating: float, switch: float | None) -> float:
    """Return what the conductors may carry where the circuit is for *need* A."""
    around = surroundings(scene)
    if around is None:
        return scene.circuit.conductor.ampacity_a or 0.0
    if marked_terminals(scene) is None:
        terminal = min(unmarked_terminals(scene, need, rating, switch), around.insulation_c)
        around = around._replace(terminal_c=terminal)
    sets = max(1, scene.circuit.conductor.count // 2)
    return ampacity(scene, around, bare(scene.circuit.conductor.size), sets) or 0.0
