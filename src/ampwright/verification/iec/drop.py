"""Voltage drop while running and during a start, and what has to be said of it: 525."""

from ampwright.verification.iec.impedance import drop_ahead, drop_along, terms
from ampwright.verification.iec.scene import Scene
from ampwright.verification.iec.surroundings import Surroundings
from ampwright.verification.ledger import close

RULE = "iec.525"


def check_drop(scene: Scene, around: Surroundings) -> None:
    """Check both drops, and that a large one is said."""
    circuit = scene.circuit
    _check(scene, around, "voltage_drop_fraction", circuit.voltage_drop_fraction, locked=False)
    if circuit.starting_drop_fraction is not None:
        _check(scene, around, "starting_drop_fraction", circuit.starting_drop_fraction, locked=True)
    book, length = scene.book, circuit.conductor.length_m
    extra = max(length - book.factor("drop_from_m"), 0.0) * book.factor("drop_per_m")
    most = book.factor("drop_recommended") + min(extra, book.factor("drop_extra_most"))
    total = circuit.voltage_drop_fraction + drop_ahead(scene)
    starting = circuit.starting_drop_fraction or 0.0
    for code, over in (
        ("feeder.voltage-drop", total > most * (1 + 1e-9)),
        (
            "feeder.starting-drop",
            starting > book.factor("drop_start_recommended") * (1 + 1e-9),
        ),
    ):
        if over and not scene.said(code):
            scene.breach(RULE, f"findings/{code}", "a finding", "none")


def _check(scene: Scene, around: Surroundings, name: str, found: float, *, locked: bool) -> None:
    drawn = terms(scene, name)
    size = scene.circuit.conductor.size.removesuffix(" mm2")
    locked = name == "starting_drop_fraction"
    drop = None if drawn is None else drop_along(scene, around, size, *drawn, locked=locked)
    if drop is None:
        scene.ledger.skipped(RULE, scene.path(name), "current or resistance of the conductors")
    elif not close(drop, found):
        scene.breach(RULE, name, drop, found)
