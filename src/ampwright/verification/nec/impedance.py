"""Resistance, reactance and drop of conductors, from Chapter 9 Table 9."""

import math

from ampwright.equipment.circuit import Circuit
from ampwright.verification.ledger import Ledger
from ampwright.verification.nec.scene import Scene
from ampwright.verification.notation import bare

THOUSAND_FEET_M = 304.8


def columns(scene: Scene, material: str) -> tuple[str, str] | None:
    """Return the columns of Chapter 9 Table 9 for resistance and reactance here."""
    return _columns(scene.ledger, scene.circuit, material)


def _columns(ledger: Ledger, circuit: Circuit, material: str) -> tuple[str, str] | None:
    metal = "cu" if material == "copper" else "al"
    if circuit.raceway is None:
        return f"r_{metal}_pvc", "xl_pvc_al"
    row = (ledger.table("raceways") or {}).get(circuit.raceway.kind)
    return None if row is None else (f"r_{metal}_{row['resistance']}", row["reactance"])


def from_end_to_end(ledger: Ledger, circuit: Circuit, beside: int) -> tuple[float, float] | None:
    """Return the impedance of a phase of a circuit and of its grounding conductor [ohm].

    *beside* is the number of conductors of one set beside the latter.
    """
    guard = circuit.protective_conductor
    if guard is None:
        return None
    found = []
    for one in (circuit.conductor, guard):
        names = _columns(ledger, circuit, one.material) or ()
        cells = [ledger.cell("conductor_impedance", bare(one.size), name) for name in names]
        parts = [cell for cell in cells if cell is not None]
        if len(parts) != len(("R", "X")):
            return None
        found.append(sum(parts) * circuit.conductor.length_m / THOUSAND_FEET_M)
    return found[0] / max(1, circuit.conductor.count // beside), found[1]


def drop_along(
    scene: Scene, size: str, amperes: float, power_factor: float, *, locked: bool = False
) -> float | None:
    """Return the drop along the circuit with conductors of *size*, over its voltage.

    Args:
        scene: The circuit.
        size: Size of its conductors.
        amperes: Current [A].
        power_factor: Of the current, at the load.
        locked: A rotor is locked: the drop is the difference of the two voltages, not its usual
            approximation.
    """
    circuit = scene.circuit
    names = columns(scene, circuit.conductor.material)
    if names is None:
        return None
    found = [scene.ledger.cell("conductor_impedance", bare(size), name) for name in names]
    resistance_ohm, reactance_ohm = found
    if resistance_ohm is None or reactance_ohm is None:
        return None
    lines = math.sqrt(3) if circuit.phases == 3 else 2.0
    sets = max(1, circuit.conductor.count // (3 if circuit.phases == 3 else 2))
    turned = reactance_ohm * scene.shop.supply.frequency_hz / 60
    length = circuit.conductor.length_m / THOUSAND_FEET_M
    # conductor impedance times current, over the voltage, seen along the current
    taken = complex(resistance_ohm, turned) * lines * amperes * length / sets / circuit.voltage_v
    # turned by the angle of the current, its real part lies along the voltage of the load
    seen = taken * complex(power_factor, -math.sqrt(max(0.0, 1 - power_factor**2)))
    if not locked:
        return seen.real
    left = math.sqrt(max(0.0, 1 - seen.imag**2)) - seen.real
    return 1 - max(0.0, left)


def drop_terms(scene: Scene, name: str) -> tuple[float, float] | None:
    """Return current and power factor that the step *name* reckons a drop with."""
    step = scene.ledger.steps.get(scene.path(name))
    if step is None:
        return None
    inputs = dict(step.inputs)
    amperes = scene.ledger.number(inputs.get("I", ""))
    factor = scene.ledger.number(inputs.get("pf", ""))
    return None if amperes is None or factor is None else (amperes, factor)
