"""What parts are rated for beside their current: voltage, poles, breaking capacity, power."""

from ampwright.verification.iec.demand import Demand
from ampwright.verification.iec.faults import EARTHED_V, NOMINAL
from ampwright.verification.iec.scene import Scene
from ampwright.verification.iec.seen import together
from ampwright.verification.ledger import close

SWITCH, ISOLATE = "iec.60947-3", "iec.60204-1.5.3"


def poles(scene: Scene) -> int:
    """Return how many conductors the device opens: 461.2.

    A neutral is opened too where the system of earthing asks for it, and ahead of a converter,
    behind which it is one of three lines.
    """
    circuit, supply = scene.circuit, scene.supply
    opened = scene.earthing in scene.book.stated["neutral"]["switched"]
    if scene.neutral or circuit.phases == 3:
        return (3 if circuit.phases == 3 else 2) + (scene.neutral and opened)
    legs = circuit.voltage_to_earth_v
    neutral = supply.arrangement == "line-neutral"
    if legs:
        neutral = any(one < EARTHED_V for one in legs)
    return 1 if neutral and not opened and scene.fed_converter is None else 2


def check_ratings(scene: Scene) -> None:
    """Check poles, rated voltage and breaking capacity of the device."""
    circuit, device = scene.circuit, scene.circuit.protective_device
    wanted = poles(scene)
    if device.poles != wanted:
        scene.breach("iec.461.2", "protective_device/poles", float(wanted), float(device.poles))
    if circuit.voltage_to_earth_v:
        _check_voltage(scene)
    if scene.fed_converter is not None or not scene.is_drive:
        _check_breaking(scene)  # the device of a drive's motor stands ahead of the drive


def _check_voltage(scene: Scene) -> None:
    circuit, found = scene.circuit, scene.circuit.protective_device.rating_v
    highest = max(circuit.voltage_to_earth_v)
    for row in scene.book.rows("device_voltages"):
        to_earth, between = float(row["to_earth_v"]), float(row["between_v"])
        if highest <= NOMINAL * to_earth and circuit.voltage_v <= NOMINAL * between:
            if found is None or found < to_earth:
                scene.breach(
                    "iec.60898-1", "protective_device/rating_v", to_earth, found or 0.0, "V"
                )
            elif found > to_earth:
                path = scene.path("protective_device", "rating_v")
                scene.ledger.larger("iec.60898-1", path, to_earth, found, "V")
            return
    scene.breach("iec.60898-1", "protective_device/rating_v", "no device", found or 0.0, "V")


def _check_breaking(scene: Scene) -> None:
    fault, found = scene.circuit.fault_current_a, scene.circuit.protective_device
    rule, part = "iec.434.5.1", "protective_device/breaking_capacity_a"
    stated = scene.supply.fault_current_a
    if fault is None:
        if not scene.said("protection.fault-level"):
            scene.breach(rule, "findings/protection.fault-level", "a finding", "none")
        return
    on_panel = not scene.circuit.fed_from
    if stated is not None and on_panel and not close(fault, stated):
        scene.breach(rule, "fault_current_a", stated, fault, "A")
    right = scene.book.at_least("breaking_capacities", fault)
    own = found.breaking_capacity_a
    if own is None or own < fault * (1 - 1e-9):
        scene.breach(rule, part, right, "none" if own is None else own, "A")
    elif own > right:
        scene.ledger.larger(rule, scene.path(part), right, own, "A")


def check_switch(scene: Scene, demand: Demand) -> None:
    """Check rating, poles, voltage and power of the switch-disconnector."""
    circuit, found = scene.circuit, scene.circuit.disconnect
    if found is None:
        if circuit.role in ("supply", "idler", "branch"):
            scene.breach(ISOLATE, "disconnect", "a switch-disconnector", "none")
        return
    del demand
    rating = circuit.protective_device.rating_a or 0.0
    right, path = scene.book.at_least("switch_ratings", rating), scene.path("disconnect/rating_a")
    if found.rating_a is None or found.rating_a < rating:
        scene.ledger.breach(SWITCH, path, right, found.rating_a or 0.0, "A")
    elif found.rating_a != right:
        scene.ledger.larger(SWITCH, path, right, found.rating_a, "A")
    wanted = poles(scene)
    if found.poles != wanted:
        scene.breach("iec.537.3", "disconnect/poles", float(wanted), float(found.poles))
    if found.rating_v is None or found.rating_v < circuit.voltage_v * (1 - 1e-9):
        scene.breach(ISOLATE, "disconnect/rating_v", circuit.voltage_v, found.rating_v or 0.0, "V")
    _check_power(scene, found.power_w)


def _check_power(scene: Scene, found: float | None) -> None:
    """Check that the switch may break what the motors behind it draw together."""
    motors = scene.motors if scene.fed_converter is not None else together(scene.motors)
    wanted = sum(one.power for one in motors)
    if not wanted:
        return
    if found is None or found < wanted * (1 - 1e-6):
        scene.breach(SWITCH, "disconnect/power_w", wanted, found or "none", "W")
    elif found > wanted * (1 + 1e-6):
        scene.ledger.larger(SWITCH, scene.path("disconnect/power_w"), wanted, found, "W")


def check_window(scene: Scene) -> None:
    """Check both ends of the plate currents for which the circuit of a converter stays right."""
    converter, circuit = scene.fed_converter, scene.circuit
    if converter is None:
        return
    rule, place = "iec.433.1", f"options/{scene.option.id}/converters/{converter.id}/window"
    window = next((one for one in converter.window if one.id == circuit.id), None)
    if window is None:
        scene.breach(rule, "window", "a window", "none")
        return
    parts = [circuit.protective_device.rating_a, circuit.conductor.ampacity_a]
    if circuit.disconnect is not None:
        parts.append(circuit.disconnect.rating_a)
    largest = min(one for one in parts if one is not None)
    for name, wanted, found in (
        ("largest_input_current_a", largest, window.largest_input_current_a),
        ("smallest_input_current_a", 0.0, window.smallest_input_current_a),
    ):
        if not close(wanted, found):
            scene.ledger.breach(rule, f"{place}/{circuit.id}/{name}", wanted, found, "A")
