"""Drop along a circuit and the loop of an earth fault, from resistance and reactance: annex G."""

import math

from ampwright.equipment.circuit import Circuit
from ampwright.verification.iec.scene import Scene
from ampwright.verification.iec.surroundings import Surroundings, ohms_per_metre
from ampwright.verification.upstream import (
    through_conductors,
    through_primary,
    winding_ahead,
)

REACTANCE_HZ = 50.0


def drop_along(
    scene: Scene,
    around: Surroundings,
    size: str,
    amperes: float,
    factor: float,
    *,
    locked: bool = False,
) -> float | None:
    """Return the drop with conductors of *size* over the voltage of the circuit.

    Where a rotor is *locked* it is the difference of the two voltages, not its usual approximation.
    """
    ohms = ohms_per_metre(scene, around, size)
    if ohms is None:
        return None
    circuit = scene.circuit
    lines = math.sqrt(3) if circuit.phases == 3 else 2.0
    turned = scene.book.factor("reactance_ohm_per_m") * frequency(scene) / REACTANCE_HZ
    # conductor impedance times current over the voltage, then seen along the voltage of the load
    taken = complex(ohms, turned) * lines * amperes * circuit.conductor.length_m / circuit.voltage_v
    seen = taken * complex(factor, -math.sqrt(max(1 - factor**2, 0.0)))
    if not locked:
        return seen.real
    return 1 - max(0.0, math.sqrt(max(0.0, 1 - seen.imag**2)) - seen.real)


def frequency(scene: Scene) -> float:
    """Return the frequency of the circuit: of the supply, behind a drive of the motor [Hz]."""
    taken = scene.term("voltage_drop_fraction", "f")
    if scene.is_drive and scene.made_by is not None and taken is not None:
        return taken
    return scene.supply.frequency_hz


def terms(scene: Scene, name: str) -> tuple[float, float] | None:
    """Return current and power factor with which the step *name* reckons a drop."""
    amperes, factor = scene.term(name, "I"), scene.term(name, "pf")
    return None if amperes is None or factor is None else (amperes, factor)


def drop_ahead(scene: Scene) -> float:
    """Return the drop of all circuits ahead, each over its own voltage; up to a generator."""
    total, one = 0.0, scene.ahead()
    while one is not None and one.role != "idler":
        total += one.voltage_drop_fraction
        one = scene.by_id.get(one.fed_from)
    return total


def drop_allowed(scene: Scene, most: float) -> float:
    """Return what a circuit may take of the drop *most* that binds from the board to a machine.

    What feeds a phase converter, its output or a transformer leaves a share to what is behind.
    """
    left = most - drop_ahead(scene)
    circuit = scene.circuit
    passes_on = circuit.role in ("supply", "output") and not scene.is_drive
    if passes_on or (scene.transformer is not None and circuit.role != "idler"):
        return left * scene.book.factor("drop_share")
    return left


def from_end_to_end(scene: Scene, circuit: Circuit) -> tuple[float, float] | None:
    """Return the impedance of line and protective conductor of a circuit, hot [ohm].

    *scene* is that of any circuit of the option.
    """
    guard, wire = circuit.protective_conductor, circuit.conductor
    kind = (scene.ledger.table("insulation") or {}).get(wire.insulation)
    if guard is None or kind is None:
        return None
    metal = "flexible" if kind.get("flexible") else wire.material
    heated = 1 + scene.book.factor(f"alpha_{wire.material}") * (float(kind["limit_c"]) - 20)
    turned = scene.book.factor("reactance_ohm_per_m") * scene.supply.frequency_hz / REACTANCE_HZ
    found = []
    for size in (wire.size, guard.size):
        cold = scene.book.resistance(size.removesuffix(" mm2"), metal)
        if cold is None:
            return None
        found.append((cold / 1e3 * heated + turned) * wire.length_m)
    return found[0], found[1]


def loop(scene: Scene, source: float) -> float | None:
    """Return the impedance of the loop of an earth fault at the end of the circuit [ohm].

    *source* is that of what feeds it [ohm]; all that lies between is added. A made line is fed
    through the two others at the idler itself.
    """
    option, circuit = scene.option, scene.circuit
    own = from_end_to_end(scene, circuit)
    if own is None:
        return None

    def ohms(other: Circuit) -> tuple[float, float] | None:
        return from_end_to_end(scene, other)

    line, back = own
    made = winding_ahead(option, circuit)
    between: float | None = 0.0
    if made is not None:
        between = through_primary(scene.ledger, option, circuit, made, ohms)
    elif scene.made:
        between = through_conductors(option, circuit, ohms)
        line *= 2.0 if circuit.role == "idler" else 1.0
    return None if between is None else source + between + line + back
