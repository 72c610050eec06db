"""Residual current devices: where one has to be, of which type, and what is said of faults."""

from collections.abc import Iterator

from ampwright.equipment.device import ProtectiveDevice
from ampwright.verification.iec.faults import Cleared
from ampwright.verification.iec.scene import Scene
from ampwright.verification.iec.seen import RECTIFYING

SOCKET_A = 32.0
ELECTRONIC = "electronic"
RECTIFIED = frozenset({"rectifier-input", "thyristor-input"})
RULE = "iec.531.3.3"


def reason(scene: Scene, fault: Cleared) -> str:
    """Return why a residual current device is needed; ``""``: none is."""
    if scene.corded and (scene.circuit.protective_device.rating_a or 0.0) <= SOCKET_A:
        return "socket"
    if scene.earthing == "tt":
        return "" if scene.circuit.fed_from else "tt"
    if fault.reached is False or (fault.reached is None and scene.made):
        return "fault-current"
    every = scene.book.stated["residual_current"]["every_circuit"]
    return "required" if every and fault.final else ""


def order(scene: Scene, kind: str) -> float:
    """Return the place of a type in the order of types."""
    return scene.ledger.cell("residual_current_types", kind, "order") or 0.0


def waveforms(scene: Scene) -> set[str]:
    """Return what residual currents the circuit can cause: rows of what devices have to see."""
    fed, made = scene.fed_converter, scene.transformer
    if scene.is_drive:
        return {"drive"}
    if fed is not None and fed.method == ELECTRONIC:
        return {"electronic"}
    if scene.made and scene.made_by is not None and scene.made_by.method == ELECTRONIC:
        return {"electronic"}  # a fault behind an inverter lets its direct current out
    if made is not None and made.kind != "auto":
        return {"plain"}  # nothing smooth comes through separate windings
    if _drive_behind(scene):
        return {"drive"}
    found = {"plain"}
    three = scene.circuit.phases == 3 or fed is not None
    for machine in scene.machines:
        inside = any(one.phases == 1 or three for one in machine.motors)
        if inside and RECTIFIED & set(machine.traits):
            found.add("machine-drive")
        if made is not None and any(one.kind in RECTIFYING for one in machine.loads):
            found.add("rectifier")
    if any(one.kind in RECTIFYING for one in scene.loads):
        found.add("rectifier")
    return found


def _drive_behind(scene: Scene) -> bool:
    """Tell whether a drive stands behind the transformer that the circuit feeds."""
    made = scene.transformer
    return made is not None and any(
        one.method == "drive" and set(one.machines) <= set(made.machines)
        for one in scene.option.converters
    )


def types_behind(scene: Scene) -> list[str]:
    """Return the types that suit what the circuit feeds.

    What stands between two lines, or three, can cause smooth direct current where it would not
    between line and neutral; all of it flows through every device ahead as well: 531.3.3. Behind a
    transformer neither conductor is a neutral for certain.
    """
    needs = scene.ledger.table("residual_current_needs") or {}
    column, fed = str(scene.supply.arrangement), scene.fed_converter
    if not scene.is_drive and (fed is not None or scene.circuit.phases == 3):
        column = "line-line"
    if _drive_behind(scene) or (scene.is_drive and scene.circuit.fed_from):
        column = "line-line"
    return [needs.get(one, {}).get(column, "") for one in sorted(waveforms(scene))]


def type_needed(scene: Scene) -> str:
    """Return the smallest type that suits what the circuit feeds."""
    least = str(scene.book.stated["residual_current"]["lowest_type"])
    return max((*types_behind(scene), least), key=lambda one: order(scene, one))


def check_guards(scene: Scene, fault: Cleared) -> None:
    """Check that the circuit has the residual current device that it needs."""
    why = reason(scene, fault)
    if why and not _behind_drive(scene):
        found = next((one for one in scene.circuit.guards if one.kind == "residual-current"), None)
        rule = {"socket": "iec.411.3.3", "tt": "iec.411.5"}.get(why, "iec.411.4")
        if found is None:
            scene.breach(rule, "guards", "a residual current device", "none")
        else:
            _device(scene, fault, found, why)
    for code, rule in _called_for(scene, fault, why):
        if not scene.said(code):
            scene.breach(rule, f"findings/{code}", "a finding", "none")


def _behind_drive(scene: Scene) -> bool:
    return scene.is_drive and scene.fed_converter is None


def _device(scene: Scene, fault: Cleared, found: ProtectiveDevice, why: str) -> None:
    """Check rating, type, sensitivity, delay and poles of a residual current device."""
    book, part = scene.book, f"guards/{found.id}"
    rating = scene.circuit.protective_device.rating_a or 0.0
    right = book.at_least("residual_current_devices", rating)
    if found.rating_a is None or found.rating_a < rating:
        scene.breach(RULE, f"{part}/rating_a", right, found.rating_a or 0.0, "A")
    elif found.rating_a > right:
        path = scene.path(part, "rating_a")
        scene.ledger.larger(RULE, path, right, found.rating_a, "A")
    kind = found.curve.removeprefix("type ").removesuffix(" S")
    if order(scene, kind) < order(scene, type_needed(scene)):
        scene.breach(RULE, f"{part}/type", type_needed(scene), kind)
    # under TT it stands for all that is behind it, and a delayed one is too slow for those
    selective = not fault.final and why == "fault-current"
    if selective != found.curve.endswith(" S"):
        scene.breach("iec.411.5", f"{part}/type", "S" if selective else "no delay", found.curve)
    distributes = not fault.final and why in ("tt", "fault-current")
    name = "residual_distribution_a" if distributes else "residual_final_a"
    if why in ("socket", "required"):
        name = "residual_additional_a"
    most, setting = book.factor(name), found.setting_a or 0.0
    if not 0 < setting <= most * (1 + 1e-9):
        scene.breach("iec.411.5", f"{part}/setting_a", most, setting, "A")
    poles = (3 if scene.circuit.phases == 3 else 2) + scene.neutral
    if found.poles != poles:
        scene.breach(RULE, f"{part}/poles", float(poles), float(found.poles))


def _called_for(scene: Scene, fault: Cleared, why: str) -> Iterator[tuple[str, str]]:
    """Yield what has to be said, with the clause."""
    circuit = scene.circuit
    if _behind_drive(scene):
        return
    if scene.own_source:
        yield "protection.own-source", "iec.411.4"
    if scene.earthing == "it" and not circuit.fed_from:
        yield "protection.insulation-monitor", "iec.411.6"
    if why == "fault-current" and fault.needed is not None:
        yield "protection.fault-not-disconnected", "iec.411.4"
    if scene.earthing == "tn" and fault.reached is None and not scene.made:
        live = any(one > 1.0 for one in circuit.voltage_to_earth_v)
        if live and fault.needed is not None:
            yield "protection.loop-to-measure", "iec.411.4"
    if why and scene.earthing == "tt":
        yield "protection.touch-voltage", "iec.411.5"
    ahead = scene.supply.residual_type
    if ahead is not None and 0 < order(scene, ahead.upper()) < order(scene, type_needed(scene)):
        yield "protection.rcd-type", "iec.531.3.order"
