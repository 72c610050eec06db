"""What a circuit must carry: design current, start and inrush, in the words of the rules."""

import math
from collections.abc import Sequence

import attrs

from ampwright.verification.iec.scene import Scene
from ampwright.verification.iec.seen import SeenMotor, together


@attrs.frozen(kw_only=True)
class Demand:
    """What device and conductor of a circuit have to carry.

    Attributes:
        design: Design current I_b [A].
        load: What the device carries [A]; of a circuit behind a drive, the drive's input.
        start: Largest current during a start [A]; nought: none.
        before: Current long before it [A].
        time: How long it lasts [s].
        inrush: First half-wave after switching on, as an rms value [A]; nought: none.
        protects: The device protects the conductor from overload.
    """

    design: float
    load: float
    start: float = 0.0
    before: float = 0.0
    time: float = 0.0
    inrush: float = 0.0
    protects: bool = True


def running_current(scene: Scene) -> float:
    """Return what flows along the circuit while everything on it runs [A].

    It is what the drop is reckoned with; ahead of a converter no operating point may draw more.
    """
    taken = scene.term("voltage_drop_fraction", "I") or 0.0
    floor = 0.0
    fed = scene.fed_converter
    if fed is not None:
        drawn = [one.input_current_a for one in scene.option.states if one.converter == fed.id]
        floor = max(drawn, default=0.0) * scene.stepped
    elif scene.circuit.role == "idler" and scene.made_by is not None:
        floor = _idler_current(scene, scene.motors)
    if floor > taken * (1 + 1e-9):
        scene.breach("iec.525", "voltage_drop_fraction", floor, taken, "A")
    return max(taken, floor)


def _idler_current(scene: Scene, idlers: Sequence[SeenMotor]) -> float:
    ids = {one.id for one in idlers}
    currents = [
        max(motor.current_a)
        for state in scene.option.states
        for motor in state.motors
        if motor.id in ids
    ]
    return max(currents, default=0.0)


def demand_of(scene: Scene) -> Demand | None:
    """Return what *scene* must carry; ``None`` where the rules have no answer."""
    if scene.circuit.role == "service":
        return None
    running = running_current(scene)
    converter = scene.fed_converter
    if converter is not None:
        plate = converter.input_current_a
        current = max(plate, running)
        if scene.is_drive:
            return Demand(design=current, load=current, inrush=_drive_inrush(scene, plate))
        return Demand(
            design=current,
            load=current,
            start=starting_current(scene),
            before=running,
            time=starting_time(scene),
        )
    if scene.is_drive and scene.made_by is not None:
        plate = scene.made_by.input_current_a
        total = sum(one.current for one in scene.motors)
        return Demand(
            design=max(total, running),
            load=plate,
            inrush=_drive_inrush(scene, plate),
            protects=False,
        )
    if scene.motors:
        return _motors(scene, running)
    return _loads(scene, running) if scene.loads else None


def _drive_inrush(scene: Scene, plate: float) -> float:
    multiple = scene.ledger.cell("inrush", "drive", "multiple")
    return math.nan if multiple is None else multiple * plate


def starting_current(scene: Scene) -> float:
    """Return the current of the worst start that the plan reckoned [A]; nought: none.

    Ahead of a converter no start of the plan may draw more.
    """
    taken = scene.term("starting_drop_fraction", "I") or 0.0
    fed = scene.fed_converter
    if fed is None or scene.is_drive:
        return taken
    ids = (fed.id, *fed.machines)
    floor = max((one.current_a for one in scene.option.starts if one.id in ids), default=0.0)
    if floor > taken * (1 + 1e-9):
        scene.breach("iec.552", "starting_drop_fraction", floor, taken, "A")
    return max(taken, floor)


def starting_time(scene: Scene) -> float:
    """Return how long the longest start on the circuit lasts [s]; a usual time where none is known.

    A start whose end was not reckoned counts with the others of its circuit.
    """
    ids = {one.id for one in scene.machines if scene.starts_here(one)}
    if scene.circuit.role == "idler":
        ids = set(scene.circuit.feeds)
    elif scene.fed_converter is not None:
        ids.add(scene.fed_converter.id)
    place = f"options/{scene.option.id}/starts"
    known = [
        time
        for one in scene.option.starts
        if one.id in ids and (time := scene.ledger.number(f"{place}/{one.id}/time_s")) is not None
    ]
    return max(known) if known else scene.book.factor("start_time_s")


def _motors(scene: Scene, running: float) -> Demand:
    at_once = together(scene.motors)
    others = sum(one.counted for one in scene.loads)
    total = sum(one.current for one in at_once) + others
    worst = 0.0
    for one in scene.motors:
        beside = together(tuple(
            other for other in scene.motors
            if other.id != one.id
            and not (other.machine == one.machine and not other.at_once and not one.at_once)
        ))  # fmt: skip
        worst = max(worst, one.locked + sum(other.current for other in beside) + others)
    return Demand(
        design=max(total, running),
        load=max(total, running),
        start=max(worst, starting_current(scene)),
        before=total,
        time=starting_time(scene),
        inrush=_inrush(scene),
    )


def _loads(scene: Scene, running: float) -> Demand:
    total = sum(one.counted for one in scene.loads)
    if not any(one.kind == "welder" for one in scene.loads):
        total = max(total, running)
    return Demand(design=total, load=total, inrush=_inrush(scene))


def _inrush(scene: Scene) -> float:
    """Return the largest first half-wave of the loads, the others of them running [A]."""
    worst, total = 0.0, sum(one.current for one in scene.loads)
    for one in scene.loads:
        multiple = scene.ledger.cell("inrush", one.kind, "multiple")
        if multiple is None:
            multiple = scene.ledger.cell("inrush", "control", "multiple") or math.nan
        worst = max(worst, multiple * one.current + total - one.current)
    return worst
