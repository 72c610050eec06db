"""Disconnects and overloads: 430.110, 430.128, 455.8(C), 630.13, 430.32, 430.37."""

import math

from ampwright.verification.ledger import close
from ampwright.verification.nec.demand import Demand, is_resistance, together
from ampwright.verification.nec.devices import bounds_of
from ampwright.verification.nec.scene import Scene
from ampwright.verification.nec.seen import SeenMotor
from ampwright.verification.notation import HORSEPOWER_W


def check_disconnect(scene: Scene, demand: Demand) -> None:
    """Check the rating in amperes and in horsepower, poles and voltage of the disconnect."""
    ledger, circuit = scene.ledger, scene.circuit
    found = circuit.disconnect
    if found is None:
        if circuit.role in ("supply", "idler", "branch"):
            ledger.breach("nec.430.102(B)", scene.path("disconnect"), "a disconnect", "none")
        return
    least, rule = _least(scene, demand)
    path = scene.path("disconnect", "rating_a")
    if found.rating_a is not None:
        right = scene.book.listed("disconnect_ratings", least)
        if found.rating_a < least * (1 - 1e-9) or found.rating_a not in _listed(scene):
            ledger.breach(rule, path, right, found.rating_a, "A")
        elif found.rating_a > right:
            ledger.larger(rule, path, right, found.rating_a, "A")
    if found.poles != scene.lines:
        path = scene.path("disconnect", "poles")
        ledger.breach("nec.430.102(B)", path, float(scene.lines), float(found.poles))
    if found.rating_v is not None and found.rating_v < circuit.voltage_v * (1 - 1e-9):
        path = scene.path("disconnect", "rating_v")
        ledger.breach("nec.110.3(B)", path, circuit.voltage_v, found.rating_v, "V")
    _check_power(scene, demand)


def _listed(scene: Scene) -> list[float]:
    return [float(row["rating_a"]) for row in scene.book.rows("disconnect_ratings")]


def _least(scene: Scene, demand: Demand) -> tuple[float, str]:
    """Return the smallest rating in amperes, and the clause that asks for it."""
    book, circuit = scene.book, scene.circuit
    converter = scene.fed_converter
    if converter is not None and scene.is_drive:
        return book.factor("drive_disconnect") * converter.input_current_a, "nec.430.128"
    if converter is not None:
        by_plate = book.factor("converter_disconnect") * converter.input_current_a
        of_loads = demand.by_loads, "nec.455.8(C)(1)"
        return of_loads if demand.by_loads < by_plate else (by_plate, "nec.455.8(C)")
    if scene.motors:
        rule = "nec.430.110(A)" if _alone(scene) else "nec.430.110(C)"
        return book.factor("motor_disconnect") * demand.full_load, rule
    if not demand.rule.startswith("nec.630"):
        return circuit.design_current_a, "nec.210.19(A)"
    if is_resistance(scene):
        return demand.conductor, "nec.630.33"
    return bounds_of(scene, demand).load, "nec.630.13"


def _alone(scene: Scene) -> bool:
    return len(together(scene.motors)) == 1 and not scene.loads


def _check_power(scene: Scene, demand: Demand) -> None:
    found = scene.circuit.disconnect
    power = None if found is None else found.power_w
    wanted, rule = _horsepower(scene, demand)
    path = scene.path("disconnect", "power_w")
    if wanted is None:
        return
    if power is None:
        if scene.motors and scene.fed_converter is None:
            scene.ledger.breach("nec.430.109", path, wanted * HORSEPOWER_W, "none", "W")
        return
    if power < wanted * HORSEPOWER_W * (1 - 1e-6):
        scene.ledger.breach(rule, path, wanted * HORSEPOWER_W, power, "W")
    elif power > wanted * HORSEPOWER_W * (1 + 1e-6):
        scene.ledger.larger(rule, path, wanted * HORSEPOWER_W, power, "W")


def _horsepower(scene: Scene, demand: Demand) -> tuple[float | None, str]:
    """Return the smallest horsepower of the switch: 430.109, 430.110(C), 455.8(C)(2)."""
    if scene.fed_converter is not None:
        if scene.is_drive or math.isinf(demand.by_loads):
            return None, ""
        return _converter_switch(scene), "nec.455.8(C)(2)"
    if not scene.motors:
        return None, ""
    if _alone(scene):
        return max(one.hp for one in scene.motors), "nec.430.110(A)"
    return _of_several(scene, demand), "nec.430.110(C)"


def _of_several(scene: Scene, demand: Demand) -> float | None:
    """Return the horsepower of all motors and loads together, by both of their currents."""
    book, volts, phases = scene.book, scene.circuit.voltage_v, scene.circuit.phases
    by_full_load = book.full_load_hp(demand.full_load, volts, phases)
    total = sum(one.current for one in scene.loads)
    for one in together(scene.motors):
        locked = _locked(scene, one)
        if locked is None:
            total = math.inf
            break
        total += locked
    by_locked = book.locked_rotor_hp(total, volts, phases)
    if by_full_load is None or by_locked is None:
        scene.ledger.skipped("nec.430.110(C)", scene.path("disconnect"), "a row of Table 430.251")
        return None
    return max(by_full_load, by_locked)


def _locked(scene: Scene, motor: SeenMotor) -> float | None:
    return scene.book.locked_rotor_current(motor.hp, motor.volts, motor.phases)


def _converter_switch(scene: Scene) -> float | None:
    converter = scene.fed_converter
    running = together(scene.motors)
    if converter is None or not running:
        return None
    largest = max(running, key=lambda one: one.current)
    locked = _locked(scene, largest)
    if locked is None:
        return None
    rest = sum(one.current for one in running if one.id != largest.id)
    rest += sum(one.current for one in scene.loads)
    ratio = converter.output_voltage_v / scene.circuit.voltage_v
    asked = scene.book.factor("converter_switch_locked_rotor") * (locked + rest) * ratio
    return scene.book.locked_rotor_hp(asked, scene.circuit.voltage_v, 1)


def check_overloads(scene: Scene) -> None:
    """Check that each motor has its overload, and that none lies above its plate limit."""
    circuit, ledger = scene.circuit, scene.ledger
    own = {one.id: one for one in circuit.overloads}
    ends = scene.fed_converter is None and (
        circuit.role in ("branch", "idler") or (circuit.role == "output" and scene.is_drive)
    )
    for motor in scene.motors if ends else ():
        path = scene.path("overloads", motor.id, "setting_a")
        found = own.pop(motor.id, None)
        if found is None:
            ledger.breach("nec.430.32(A)(1)", path, "an overload", "none")
            continue
        if found.setting_a is None or not motor.plates:
            ledger.skipped("nec.430.32(A)(1)", path, "the current on the plate")
            continue
        limit = _share(scene, motor) * motor.plates[0]
        if not close(found.setting_a, limit):
            if any(close(found.setting_a, _share(scene, motor) * one) for one in motor.plates):
                continue
            ledger.breach("nec.430.32(A)(1)", path, limit, found.setting_a, "A")
        units = 3 if motor.phases == 3 else 1
        if found.poles != units:
            path = scene.path("overloads", motor.id, "poles")
            ledger.breach("nec.430.37", path, float(units), float(found.poles))
    for one in own:
        ledger.breach("nec.430.32(A)(1)", scene.path("overloads", one), "a motor", "none")


def _share(scene: Scene, motor: SeenMotor) -> float:
    """Return what 430.32(A)(1) allows over the plate current."""
    book, record = scene.book, motor.record
    factor = record.service_factor if record is not None else None
    rise = record.temperature_rise_k if record is not None else None
    high = factor is not None and factor >= book.factor("overload_service_factor_least")
    high = high or (rise is not None and rise <= book.factor("overload_temperature_rise_most_k"))
    return book.factor("overload_high" if high else "overload_low")
