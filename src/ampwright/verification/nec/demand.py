"""What a circuit must carry, from the text of the rules: 430.22, 430.24, 430.122, 455.6, 210.19."""

import math
from typing import NamedTuple

from ampwright.verification.nec.scene import Scene
from ampwright.verification.nec.seen import SeenLoad, SeenMotor


class Demand(NamedTuple):
    """Smallest currents that the parts of a circuit must be made for.

    Attributes:
        rule: Clause that asks for the conductor.
        conductor: Ampacity before corrections, at the terminals [A].
        corrected: Ampacity after corrections [A].
        full_load: Sum of full-load currents [A].
        other_article: The device is governed by article 430, 455 or 630, 240.4(G).
        by_plate: Of a converter: what its plate asks for [A].
        by_loads: Of a converter with specific loads: what these ask for [A]; infinite otherwise.
    """

    rule: str
    conductor: float
    corrected: float
    full_load: float
    other_article: bool
    by_plate: float = math.inf
    by_loads: float = math.inf


def demand_of(scene: Scene) -> Demand | None:
    """Return what *scene* must carry; ``None`` where the rules have no answer."""
    if scene.circuit.role == "service":
        return None
    if scene.fed_converter is not None:
        return _drive_input(scene) if scene.is_drive else _converter(scene)
    if scene.is_drive:
        return _drive_output(scene)
    if scene.transformer is not None:
        return _transformer(scene)
    if scene.motors:
        return _motors(scene)
    return _loads(scene) if scene.loads else None


def full_load_sum(scene: Scene) -> float:
    """Return the sum of what runs together: motors by their tables, loads as they are [A]."""
    return sum(one.current for one in together(scene.motors)) + sum(
        one.current for one in scene.loads
    )


def together(motors: tuple[SeenMotor, ...]) -> list[SeenMotor]:
    """Return the motors that run at once: of a machine with one at a time, its largest."""
    kept: dict[str, SeenMotor] = {}
    for one in motors:
        key = one.machine if one.one_at_a_time else one.id
        if key not in kept or kept[key].current < one.current:
            kept[key] = one
    return list(kept.values())


def needing(scene: Scene) -> list[SeenMotor]:
    """Return the motors that run at once, of those one at a time the one that needs most copper."""
    kept: dict[str, SeenMotor] = {}
    for one in scene.motors:
        key = one.machine if one.one_at_a_time else one.id
        if key not in kept or single_motor(scene, kept[key]) < single_motor(scene, one):
            kept[key] = one
    return list(kept.values())


def single_motor(scene: Scene, motor: SeenMotor) -> float:
    """Return what the conductors of one motor must carry: 430.22 and 430.22(E) [A]."""
    share = duty_share(scene, motor)
    if share is not None and motor.plates:
        stated = scene.number("motors", *motor.id.split("/"), "conductor_current_a")
        asked = [share * one for one in motor.plates]
        fitting = [one for one in asked if stated is not None and abs(one - stated) < 1e-9 * one]
        return fitting[0] if fitting else max(asked)
    factor = "hermetic_conductor" if _hermetic(scene, motor) else "motor_conductor"
    return scene.book.factor(factor) * motor.current


def duty_share(scene: Scene, motor: SeenMotor) -> float | None:
    """Return the share of the plate current for a duty that is not continuous, 430.22(E).

    The column is the time for which the motor is rated; only S2 states one.
    """
    duty = motor.record.duty if motor.record is not None else "S1"
    kind, _, rest = duty.partition(" ")
    row = (scene.ledger.table("duty_classes") or {}).get(kind)
    service = row["service"] if row else ""
    if not service:
        return None
    column = "rated_continuous"
    if kind == "S2" and rest.endswith("min"):
        minutes = float(rest.removesuffix("min"))
        column = next((name for most, name in _COLUMNS if minutes <= most), column)
    percent = scene.ledger.cell("duty_percent", service, column)
    return None if percent is None else percent / 100


_COLUMNS = ((5, "rated_5min"), (15, "rated_15min"), (60, "rated_30_or_60min"))


def _hermetic(scene: Scene, motor: SeenMotor) -> bool:
    traits = next((one.traits for one in scene.machines if one.id == motor.machine), ())
    return "hermetic" in traits


def _motors(scene: Scene) -> Demand:
    running = needing(scene)
    full_load = full_load_sum(scene)
    if len(running) == 1 and not scene.loads:
        need = single_motor(scene, running[0])
        rule = "nec.430.22"
        if duty_share(scene, running[0]) is not None:
            rule = "nec.430.22(E)"
        return Demand(
            rule=rule, conductor=need, corrected=need, full_load=full_load, other_article=True
        )
    need = sum(_alone(scene, one) for one in running) + _for_the_largest(scene, running)
    need += sum(counted(scene, one) for one in scene.loads)
    return Demand(
        rule="nec.430.24", conductor=need, corrected=need, full_load=full_load, other_article=True
    )


def _for_the_largest(scene: Scene, running: list[SeenMotor]) -> float:
    """Return what 430.24 adds for the highest rated motor, with its Exception 1 [A].

    Its term is the larger of the largest value by duty, 430.22(E), and 1.25 times the largest motor
    for continuous duty; only the latter adds to the plain sum.
    """
    continuous = [one for one in running if duty_share(scene, one) is None]
    by_duty = [single_motor(scene, one) for one in running if duty_share(scene, one) is not None]
    largest = max((single_motor(scene, one) for one in continuous), default=0.0)
    if largest <= max(by_duty, default=0.0) * (1 + 1e-9):
        return 0.0
    return largest - max((one.current for one in continuous), default=0.0)


def _alone(scene: Scene, motor: SeenMotor) -> float:
    """Return a motor as one of several enters 430.24: full load, or its share by duty."""
    if duty_share(scene, motor) is not None:
        return single_motor(scene, motor)
    return motor.current


def counted(scene: Scene, load: SeenLoad) -> float:
    """Return a load as it enters a sum of conductors: continuous ones 1.25 times [A]."""
    if load.record.kind == "welder":
        return welder_current(scene, load)
    factor = scene.book.factor("continuous_load") if load.continuous else 1.0
    return factor * load.current


def welder_current(scene: Scene, load: SeenLoad) -> float:
    """Return the current for the conductors of a welder: 630.11(A), 630.31(A) [A].

    Where nothing tells an arc from a resistance welder, the larger of both.
    """
    record = load.record
    marked = record.effective_current_a
    if marked is not None and record.phases == scene.circuit.phases:
        return marked
    if marked is not None and record.phases == 3 and scene.circuit.phases == 1:
        return math.sqrt(3) * marked  # of the same power, on one phase
    percent = None if record.duty_cycle is None else record.duty_cycle * 100
    arc = _by_duty(scene, "arc_welder", "nonmotor_generator", percent)
    resistance = _by_duty(scene, "resistance_welder", "multiplier", percent)
    if percent is None:
        resistance = 0.0  # of changing operations the share below is asked for alone
    resistance = max(resistance, scene.book.factor("welder_varying"))
    shares = {"arc": arc, "resistance": resistance}
    return shares.get(load.welding, max(arc, resistance)) * load.current


def _by_duty(scene: Scene, table: str, column: str, percent: float | None) -> float:
    """Return the share of the row at or above a duty cycle; all of it past the table's end."""
    rows = sorted(scene.book.rows(table), key=lambda row: float(row["duty_percent"]))
    for row in rows:
        if percent is not None and percent <= float(row["duty_percent"]) * (1 + 1e-9):
            return float(row[column])
    return 1.0


def is_resistance(scene: Scene) -> bool:
    """Tell whether all on the circuit are resistance welders, so that part III governs it."""
    return bool(scene.loads) and all(one.welding == "resistance" for one in scene.loads)


def _loads(scene: Scene) -> Demand:
    full_load = full_load_sum(scene)
    welders = [one for one in scene.loads if one.record.kind == "welder"]
    if len(welders) == len(scene.loads):
        part_three = is_resistance(scene)
        shares = (1.0,) if part_three else (1.0, 1.0, 0.85, 0.7)  # 630.31(B), 630.11(B): then 0.6
        falling = sorted((welder_current(scene, one) for one in welders), reverse=True)
        need = sum(
            (shares[at] if at < len(shares) else 0.6) * one for at, one in enumerate(falling)
        )
        rule = "nec.630.31" if part_three else "nec.630.11"
        rule += "(A)" if len(welders) == 1 else "(B)"
        return Demand(
            rule=rule, conductor=need, corrected=need, full_load=full_load, other_article=True
        )
    need = sum(counted(scene, one) for one in scene.loads)
    return Demand(
        rule="nec.215.2(A)" if scene.circuit.role == "output" else "nec.210.19(A)",
        conductor=need,
        corrected=full_load,
        full_load=full_load,
        other_article=False,
    )


def _transformer(scene: Scene) -> Demand:
    """Return what the primary of a transformer draws at its rating."""
    made = scene.transformer
    assert made is not None  # noqa: S101 - asked for transformers only
    lines = math.sqrt(3) if made.phases == 3 else 1.0
    rated = made.rating_va / (lines * made.primary_v)
    return Demand(
        rule="nec.210.19(A)",
        conductor=rated,
        corrected=rated,
        full_load=rated,
        other_article=False,
    )


def _drive_input(scene: Scene) -> Demand:
    converter = scene.fed_converter
    plate = converter.input_current_a if converter is not None else 0.0
    need = scene.book.factor("drive_conductor") * plate
    return Demand(
        rule="nec.430.122(A)",
        conductor=need,
        corrected=need,
        full_load=full_load_sum(scene),
        other_article=True,
        by_plate=need,
    )


def _drive_output(scene: Scene) -> Demand:
    running = together(scene.motors)
    largest = max((one.current for one in running), default=0.0)
    factor = scene.book.factor("drive_output_conductor")
    need = factor * largest + sum(one.current for one in running) - largest
    need += sum(counted(scene, one) for one in scene.loads)
    return Demand(
        rule="nec.430.122(B)",
        conductor=need,
        corrected=need,
        full_load=full_load_sum(scene),
        other_article=True,
    )


def _converter(scene: Scene) -> Demand:
    converter = scene.fed_converter
    assert converter is not None  # noqa: S101 - asked for converters only
    book = scene.book
    by_plate = book.factor("converter_variable") * converter.input_current_a
    full_load = full_load_sum(scene)
    by_loads = math.inf
    # who expects more machines has no specific loads, but a static converter takes no other; the
    # relief may be left unused
    taken = scene.number("design", "by_loads_a") is not None
    if not scene.shop.site.future_machines or (converter.method == "static" and taken):
        ratio = converter.output_voltage_v / scene.circuit.voltage_v
        by_loads = book.factor("converter_fixed") * full_load * ratio
    need = min(by_plate, by_loads)
    return Demand(
        rule="nec.455.6(A)(1)" if by_plate <= by_loads else "nec.455.6(A)(2)",
        conductor=need,
        corrected=need,
        full_load=full_load,
        other_article=True,
        by_plate=by_plate,
        by_loads=by_loads,
    )
