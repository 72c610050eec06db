"""Overload protection of motors: setting, class, lines watched: IEC 60204-1, 7.3."""

import math

from ampwright.equipment.device import ProtectiveDevice
from ampwright.verification.iec.demand import Demand
from ampwright.verification.iec.scene import Scene
from ampwright.verification.iec.seen import SeenMotor
from ampwright.verification.ledger import close

RULE, CLASS = "iec.60204-1.7.3", "iec.60947-4-1"
AT_MOTOR = ("branch", "idler", "control")


def check_overloads(scene: Scene, demand: Demand) -> None:
    """Check that every motor has its overload, set to its plate, of a class that lets it start."""
    own = {one.id: one for one in scene.circuit.overloads}
    in_drive = scene.is_drive and scene.fed_converter is None
    motors = scene.motors if scene.circuit.role in AT_MOTOR or in_drive else ()
    for motor in motors:
        found = own.pop(motor.id, None)
        part = f"overloads/{motor.id}"
        if found is None or found.setting_a is None:
            scene.breach(RULE, f"{part}/setting_a", "an overload", "none")
            continue
        if not any(close(found.setting_a, one) for one in motor.plates):
            wanted = motor.plates[0] if motor.plates else "the current on the plate"
            scene.breach(RULE, f"{part}/setting_a", wanted, found.setting_a, "A")
        lines = 3 if scene.circuit.phases == 3 else 2
        if found.poles != lines:
            scene.breach(RULE, f"{part}/poles", float(lines), float(found.poles))
        if not in_drive:
            _check_class(scene, demand, motor, found)
            _check_running(scene, motor, found.setting_a)
    for one in own:
        scene.breach(RULE, f"overloads/{one}", "a motor", "none")


def _check_class(scene: Scene, demand: Demand, motor: SeenMotor, found: ProtectiveDevice) -> None:
    """Check that the class is the first one whose quickest relay lets the start pass from cold."""
    setting = found.setting_a or math.nan
    machine = motor.id.rpartition("/")[0]
    own = f"options/{scene.option.id}/starts/{machine}/motors/{motor.id}/time_s"
    seconds = scene.ledger.number(own) or demand.time
    rows = sorted(scene.book.rows("overload_classes"), key=lambda row: float(row["order"]))
    right = None
    for row in rows:
        tau = float(row["time_constant_s"])
        warmth = motor.locked / setting * math.sqrt(1 - math.exp(-seconds / tau))
        if warmth <= float(row["hold"]) * (1 + 1e-12):
            right = row["class"]
            break
    if right is None:
        right = rows[-1]["class"]
        code = "protection.overload-trips-at-start"
        if not scene.said(code):
            scene.breach(CLASS, f"findings/{code}", "a finding", "none")
    if found.curve != f"class {right}":
        path = f"overloads/{motor.id}/class"
        scene.breach(CLASS, path, f"class {right}", found.curve)


def _check_running(scene: Scene, motor: SeenMotor, setting: float) -> None:
    """Check that a leg which carries more than the setting is said."""
    made_by = scene.made_by
    if scene.circuit.role == "idler" or made_by is None or made_by.regulates:
        return  # an idler's legs are judged with its converter, regulated lines are alike
    legs = [
        max(one.current_a)
        for state in scene.option.states
        for one in state.motors
        if one.id == motor.id and state.converter
    ]
    through = scene.number("overloads", motor.id, "setting_a")
    code = "protection.overload-trips-running"
    over = scene.made and through is not None and max(legs, default=0.0) > setting * (1 + 1e-9)
    if over and not scene.said(code):
        scene.breach(CLASS, f"findings/{code}", "a finding", "none")
