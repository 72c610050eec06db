"""Protective devices: what they must carry, what they may not exceed, the standard rating."""

import math
from typing import NamedTuple

from ampwright.verification.nec.demand import (
    Demand,
    counted,
    full_load_sum,
    is_resistance,
    together,
)
from ampwright.verification.nec.scene import Scene
from ampwright.verification.nec.seen import SeenMotor

KIND = "inverse_time_breaker"
ORDINARY_PRIMARY_A, SMALL_PRIMARY_A = 9.0, 2.0
HERMETIC_LEAST_A = 15.0


class Bounds(NamedTuple):
    """What a device may and must be.

    Attributes:
        rule: Clause of the ceiling, or of the load where there is none.
        load: Smallest rating that carries the load [A].
        start: Smallest rating that carries the start [A].
        ceiling: Largest rating allowed [A].
        raised: Largest rating allowed where the motor does not start otherwise [A].
        fallback: Load that has to be carried where the ceiling is below *load* [A].
    """

    rule: str
    load: float
    start: float = 0.0
    ceiling: float = math.inf
    raised: float = 0.0
    fallback: float | None = None


def bounds_of(scene: Scene, demand: Demand) -> Bounds:
    """Return what the rules ask of the device ahead of the circuit."""
    book = scene.book
    if scene.is_drive:
        return _drive(scene)
    if scene.fed_converter is not None:
        plate = scene.fed_converter.input_current_a
        ceiling = book.rating_up(book.factor("converter_device") * plate)
        return Bounds(
            rule="nec.455.7",
            load=demand.conductor,
            start=_converter_start(scene),
            ceiling=ceiling,
        )
    if scene.primary:
        return _primary(scene, demand)
    if scene.motors:
        return _motors(scene, demand)
    if demand.rule.startswith("nec.630"):
        return _welders(scene, demand)
    rule = "nec.215.3" if scene.circuit.role == "output" else "nec.210.20(A)"
    return Bounds(rule=rule, load=demand.conductor)


def transformer_ceiling(scene: Scene, demand: Demand) -> float:
    """Return the largest breaker on the primary alone: 450.3(B), 450.4 [A]; nought for none."""
    book, rated = scene.book, demand.full_load
    if rated >= ORDINARY_PRIMARY_A:
        name = "autotransformer" if scene.primary == "auto" else "transformer_primary"
        return book.rating_up(book.factor(name) * rated)
    return book.rating_down(small_primary(scene, demand))


def _primary(scene: Scene, demand: Demand) -> Bounds:
    """Return what the device ahead of a transformer may be, and what magnetising it asks for."""
    book, band = scene.book, scene.book.band
    ceiling = transformer_ceiling(scene, demand)
    rule = primary_rule(scene)
    if not ceiling:
        # where no breaker is small enough, a fuse has to keep the ceiling behind the smallest one
        return Bounds(rule=rule, load=demand.conductor, ceiling=book.rating_up(demand.conductor))
    peak = band("transformer_inrush") * demand.full_load / band("instantaneous_lower")
    return Bounds(rule=rule, load=demand.conductor, start=peak, ceiling=ceiling)


def primary_rule(scene: Scene) -> str:
    """Return the clause on the device of a transformer."""
    return "nec.450.4" if scene.primary == "auto" else "nec.450.3(B)"


def small_primary(scene: Scene, demand: Demand) -> float:
    """Return the largest current of a device on a primary below 9 A: 450.3(B), 450.4 [A]."""
    if scene.primary == "auto":
        return scene.book.factor("autotransformer_small") * demand.full_load
    small = demand.full_load >= SMALL_PRIMARY_A
    factor = "transformer_primary_small" if small else "transformer_primary_least"
    return scene.book.factor(factor) * demand.full_load


def check_device(scene: Scene, demand: Demand) -> None:
    """Check the rating of the device at the head of the circuit."""
    ledger, book = scene.ledger, scene.book
    device, path = scene.circuit.protective_device, scene.path("protective_device", "rating_a")
    if device.kind != "breaker" or device.rating_a is None:
        ledger.skipped("nec.240.6(A)", path, f"rules of a device of the kind {device.kind}")
        return
    rating = device.rating_a
    if rating not in book.ratings():
        ledger.breach("nec.240.6(A)", path, book.rating_up(rating), rating, "A")
        return
    bounds = bounds_of(scene, demand)
    right, rule = _right(scene, bounds)
    if math.isinf(right):
        ledger.skipped(bounds.rule, path, "a standard rating large enough")
        return
    if rating > right:
        over = rating > max(bounds.ceiling, bounds.raised)
        if over or math.isinf(bounds.ceiling):
            ledger.breach(bounds.rule if over else rule, path, right, rating, "A")
        else:
            ledger.larger(rule, path, right, rating, "A")
    elif rating < right:
        ledger.breach(rule, path, right, rating, "A")


def _right(scene: Scene, bounds: Bounds) -> tuple[float, str]:
    """Return the one right rating, and the clause that settles it."""
    book = scene.book
    load = bounds.load
    if bounds.fallback is not None and book.rating_up(load) > bounds.ceiling:
        load = bounds.fallback
    for_load = book.rating_up(load)
    right = book.rating_up(max(load, bounds.start))
    rule = "nec.430.52" if right > for_load else bounds.rule
    if right <= bounds.ceiling:
        return right, rule
    if for_load < right <= bounds.raised:
        return right, "nec.430.52(C)(1)X2"
    most = max(bounds.ceiling, bounds.raised if bounds.start > bounds.ceiling else 0.0)
    return most, bounds.rule


def _percent(scene: Scene, motor: SeenMotor) -> float:
    kind = "single_phase" if motor.phases == 1 else "polyphase_other_than_wound_rotor"
    traits = next((one.traits for one in scene.machines if one.id == motor.machine), ())
    if "wound-rotor" in traits:
        kind = "wound_rotor"
    elif motor.phases == 3 and any(
        one.starter == "star-delta" for one in scene.machines if one.id == motor.machine
    ):
        kind = "star_delta"
    found = scene.ledger.cell("motor_device_percent", kind, KIND)
    return math.nan if found is None else found


def motor_ceiling(scene: Scene, motor: SeenMotor) -> float:
    """Return the largest device of a single motor by 430.52(C)(1), rounded by the code [A]."""
    book = scene.book
    traits = next((one.traits for one in scene.machines if one.id == motor.machine), ())
    if "hermetic" in traits:
        return _hermetic_ceiling(scene, motor)
    most = _percent(scene, motor) / 100 * motor.current
    if book.factor("motor_device_rounds_up") > 0:
        return book.rating_up(most)
    return max(book.factor("motor_device_least_a"), book.rating_down(most))


def _hermetic_ceiling(scene: Scene, motor: SeenMotor) -> float:
    """Return the largest device of a hermetic motor-compressor: 440.22(A), 2023 rounds up [A]."""
    book = scene.book
    most = book.factor("hermetic_device") * motor.current
    newer = int(scene.ledger.edition or 9999) >= book.factor("hermetic_device_rounds_up_since")
    return max(HERMETIC_LEAST_A, book.rating_up(most) if newer else book.rating_down(most))


def _raised(scene: Scene, motor: SeenMotor) -> float:
    """Return the largest device where the motor does not start: 430.52(C)(1) X2, 440.22(A) [A]."""
    traits = next((one.traits for one in scene.machines if one.id == motor.machine), ())
    if "hermetic" in traits:
        most = scene.book.factor("hermetic_device_raised") * motor.current
        return max(HERMETIC_LEAST_A, scene.book.rating_down(most))
    for row in scene.book.rows("motor_device_ceiling"):
        if row["kind"] == KIND and motor.current <= float(row["flc_max_a"]):
            return scene.book.rating_down(float(row["percent"]) / 100 * motor.current)
    return 0.0


def _largest(scene: Scene) -> SeenMotor:
    return max(together(scene.motors), key=lambda one: one.current)


def _motors(scene: Scene, demand: Demand) -> Bounds:
    book, largest = scene.book, _largest(scene)
    start = _motor_start(scene)
    if len(together(scene.motors)) == 1 and not scene.loads:
        return Bounds(
            rule="nec.430.52(C)(1)",
            load=book.factor("motor_conductor") * largest.current,
            start=start,
            ceiling=motor_ceiling(scene, largest),
            raised=_raised(scene, largest),
        )
    running = together(scene.motors)
    by_device = max(motor_ceiling(scene, one) for one in running)
    lead = max(running, key=lambda one: (motor_ceiling(scene, one), one.current))
    rest = sum(one.current for one in running if one.id != lead.id)
    rest += sum(counted(scene, one) for one in scene.loads)
    ceiling = book.rating_down(by_device + rest)
    rule = "nec.430.63" if scene.loads else "nec.430.62(A)"
    return Bounds(rule=rule, load=demand.conductor, start=start, ceiling=ceiling)


def _welders(scene: Scene, demand: Demand) -> Bounds:
    rated = primaries(scene)
    # of several each has its own limit, which a device of its own may keep: 630.12(A)
    ceiling = own_limit(scene, rated[0]) if len(rated) == 1 else math.inf
    # while one of them welds, the device carries all that it draws
    load = max(demand.conductor, *(one.current for one in scene.loads))
    rule = "nec.630.32(A)" if is_resistance(scene) else "nec.630.12(A)"
    return Bounds(rule=rule, load=load, ceiling=ceiling)


def primaries(scene: Scene) -> list[float]:
    """Return the primary current of each welder by which its device is limited [A]."""
    phases = scene.circuit.phases
    marks = [one.record.largest_current_a if one.record.phases == phases else None
             for one in scene.loads]  # fmt: skip
    return [mark or one.current for mark, one in zip(marks, scene.loads, strict=True)]


def own_limit(scene: Scene, primary: float) -> float:
    """Return the largest device that protects one welder: 630.12(A), 630.32(A) [A]."""
    factor = "resistance_welder_device" if is_resistance(scene) else "welder_device"
    return scene.book.rating_up(scene.book.factor(factor) * primary)


def _drive(scene: Scene) -> Bounds:
    book = scene.book
    converter = scene.fed_converter or scene.made_by
    plate = converter.input_current_a if converter is not None else 0.0
    ceiling = math.inf
    if scene.motors:
        ceiling = max(motor_ceiling(scene, one) for one in together(scene.motors))
    marked = scene.number("protective_device", "ceiling", "marked_a")
    if marked is not None:
        ceiling = min(ceiling, marked)
    return Bounds(
        rule="nec.430.130",
        load=book.factor("drive_conductor") * plate,
        ceiling=ceiling,
        fallback=plate,
    )


def _motor_start(scene: Scene) -> float:
    running = together(scene.motors)
    full = full_load_sum(scene)
    worst = 0.0
    for one in scene.motors:
        # of motors that run one at a time each starts while the rest of its machine stands still
        instead = next((other for other in running if other.machine == one.machine), one)
        still = instead if one.one_at_a_time else one
        if one.locked is not None:
            worst = max(worst, one.locked + full - still.current)
    if scene.circuit.role == "idler":
        worst = max([worst, *(one.current_a for one in scene.starts)])
    stated = scene.ledger.number(f"{scene.wiring}/starting_current")
    worst = max(worst, stated or 0.0)
    return held_through(scene, worst, full, _longest(scene))


def _converter_start(scene: Scene) -> float:
    converter = scene.fed_converter
    starts = scene.starts
    if converter is None or not starts:
        return 0.0
    before = [
        one.input_current_a
        for one in scene.option.states
        if one.converter == converter.id and one.load == "full"
    ]
    worst = max(one.current_a for one in starts)
    return held_through(scene, worst, max(before, default=0.0), _longest(scene))


def _longest(scene: Scene) -> float:
    """Return the longest start; one that comes to nothing lasts until it is seen not to [s]."""
    place = f"options/{scene.option.id}/starts"
    times = [scene.ledger.number(f"{place}/{one.id}/time_s") for one in scene.starts]
    known = [one for one in times if one is not None]
    return max(known) if known else scene.book.band("start_time_s")


def held_through(scene: Scene, start: float, before: float, seconds: float) -> float:
    """Return the smallest rating that holds a start at the lower edge of the band [A].

    The first half cycle stays below the instantaneous trip; the heat of start and running before
    it stays below that of the rating, which the breaker bears for ever.
    """
    if start <= 0:
        return 0.0
    band = scene.book.band
    peak = band("first_half_cycle") * start / band("instantaneous_lower")
    kept = math.exp(-seconds / band("heating_time_constant_s"))
    heat = math.sqrt(start**2 * (1 - kept) + before**2 * kept) / band("hold")
    return max(peak, heat)
