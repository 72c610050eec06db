"""What a plan has to say about a circuit when the rules or its own figures call for it."""

from collections.abc import Iterator

from ampwright.option import Option
from ampwright.verification.ledger import Ledger
from ampwright.verification.nec.demand import Demand
from ampwright.verification.nec.devices import (
    bounds_of,
    own_limit,
    primaries,
    primary_rule,
    small_primary,
    transformer_ceiling,
)
from ampwright.verification.nec.scene import Scene

DROP = 0.03  # recommended in the notes to 210.19(A) and 215.2(A)
_SAID = "a finding"
OWN_DEVICES = "machine.welders-share"


def check_sayings(scene: Scene, demand: Demand) -> None:
    """Check that each of these is said where it is so."""
    for code, rule in _called_for(scene, demand):
        here = (finding for finding in scene.option.findings if scene.circuit.id in finding.where)
        if not any(one.code == code for one in here):
            scene.ledger.breach(rule, scene.path("findings", code), _SAID, "none")
    if not _needs_own_devices(scene, demand):
        here = (one for one in scene.option.findings if scene.circuit.id in one.where)
        for finding in here:
            if finding.code == OWN_DEVICES:
                path = scene.path("findings", OWN_DEVICES)
                scene.ledger.breach(finding.rule, path, "none", _SAID)


def _needs_own_devices(scene: Scene, demand: Demand) -> bool:
    """Tell whether the device of several welders is too large for the smallest of them."""
    if not demand.rule.startswith("nec.630") or len(scene.loads) < 2:
        return False
    rating = scene.circuit.protective_device.rating_a or 0.0
    return rating > own_limit(scene, min(primaries(scene)))


def _called_for(scene: Scene, demand: Demand) -> Iterator[tuple[str, str]]:
    circuit = scene.circuit
    made = scene.made_by is not None and not scene.is_drive and circuit.phases == 3
    if made and scene.made_by is not None and scene.made_by.method == "rotary":
        yield "converter.made-leg-marking", "nec.455.6(B)"
    if scene.fed_converter is not None and not scene.is_drive:
        yield "converter.capacitor-conductors", "nec.460.8"
        yield "protection.disconnect-in-sight", "nec.455.8(A)"
    if scene.motors and circuit.role == "branch":
        yield "protection.disconnect-in-sight", "nec.430.102(B)"
    solid = scene.made_by is None or scene.made_by.method in ("rotary", "static")
    if circuit.fault_current_a is None and solid:  # electronics limit what flows behind them
        yield "protection.fault-level", "nec.110.9"
    if circuit.voltage_drop_fraction > DROP * (1 + 1e-9):
        yield "feeder.voltage-drop", "nec.210.19(A)"
    rating = circuit.protective_device.rating_a
    if _needs_own_devices(scene, demand):
        yield OWN_DEVICES, bounds_of(scene, demand).rule
    start = bounds_of(scene, demand).start
    if rating is not None and start > rating * (1 + 1e-9):
        if scene.primary:
            yield "transformer.trips-on-energising", primary_rule(scene)
        else:
            yield "protection.trips-at-start", "nec.430.52"


def check_fuse(scene: Scene, demand: Demand) -> None:
    """Check the fuse on a primary that no breaker is small enough for: 450.3(B)."""
    rating = scene.circuit.protective_device.rating_a
    if not scene.primary or rating is None:
        return
    said = {
        part.name: part.value
        for finding in scene.option.findings
        if finding.code == "transformer.primary-fuse" and scene.circuit.id in finding.where
        for part in finding.parameters
    }
    needed = not transformer_ceiling(scene, demand)
    path = scene.path("findings", "transformer.primary-fuse")
    if needed and not said:
        scene.ledger.breach(primary_rule(scene), path, _SAID, "none")
    if not said:
        return
    most, fuse = small_primary(scene, demand), said.get("fuse", 0.0)
    if not needed or isinstance(fuse, str) or not demand.conductor <= fuse <= most * (1 + 1e-9):
        scene.ledger.breach(primary_rule(scene), path, most if needed else "none", fuse, "A")


def check_panel(ledger: Ledger, option: Option) -> None:
    """Check that a panel without room enough is said: 408.54."""
    panel = ledger.decision.shop.supply.panel
    if panel is None or panel.free_poles is None:
        return
    # what has three lines without a converter ahead hangs on a connection of its own
    first = [one for one in option.circuits if not one.fed_from and one.role != "service"]
    on_panel = [one for one in first if one.phases == 1]
    poles = sum(one.protective_device.poles for one in on_panel)
    said = any(one.code == "supply.panel-full" for one in option.findings)
    if (poles > panel.free_poles) != said:
        path = f"options/{option.id}/service/panel/poles"
        wanted = float(panel.free_poles)
        ledger.breach("nec.408.54", path, wanted, float(poles))
