"""Faults to earth at the end of a circuit: their current, the time allowed, what opens it: 411."""

import attrs

from ampwright.verification.iec.book import Family
from ampwright.verification.iec.impedance import loop
from ampwright.verification.iec.scene import Scene
from ampwright.verification.iec.surroundings import Surroundings, adiabatic
from ampwright.verification.ledger import close
from ampwright.verification.upstream import converter_current, winding_ahead, winding_ohm

#: A nominal value stands for voltages up to this multiple; IEC 60038, from memory.
NOMINAL = 1.1
EARTHED_V = 1.0


@attrs.frozen(kw_only=True)
class Cleared:
    """How a fault at the end of a circuit is disconnected.

    Attributes:
        final: The times of final circuits bind it.
        time: Longest time allowed [s]; ``None``: no voltage to earth is known.
        least: Smallest fault current at its end [A]; ``None``: not known.
        needed: Current with which the device acts at once [A]; ``None``: it has no such part.
    """

    final: bool
    time: float | None
    least: float | None
    needed: float | None

    @property
    def reached(self) -> bool | None:
        """The device acts in time; ``None``: not known."""
        if self.least is None or self.needed is None:
            return None
        return self.least >= self.needed


def is_final(scene: Scene) -> bool:
    """Tell whether the times for final circuits bind: by role, rating and a socket at its end."""
    circuit = scene.circuit
    if circuit.role in ("output", "service"):
        return False
    if scene.fed_converter is not None and not scene.is_drive:
        return False
    most = scene.book.factor("final_cord_a" if scene.corded else "final_fixed_a")
    return (circuit.protective_device.rating_a or 0.0) <= most


def longest(scene: Scene, *, final: bool) -> float | None:
    """Return the longest time that Table 41.1 allows [s]."""
    legs = scene.circuit.voltage_to_earth_v
    system = "tt" if scene.earthing == "tt" else "tn"
    for row in scene.book.rows("disconnection_times"):
        if legs and row["system"] == system and max(legs) <= NOMINAL * float(row["upto_v"]):
            return float(row["final_s" if final else "distribution_s"])
    return None


def source_ohm(scene: Scene, lowest: float) -> float | None:
    """Return the impedance of what feeds the head of the circuit [ohm]; ``None``: not known.

    What an autotransformer lets into a fault to earth is not known.
    """
    made = winding_ahead(scene.option, scene.circuit)
    if made is not None:
        return None if made.kind == "auto" else winding_ohm(scene.ledger, scene.option, made)
    if scene.made and scene.made_by is not None:
        current = converter_current(scene.ledger, scene.option, scene.made_by.id)
        return None if current is None else lowest / current
    if scene.made or scene.circuit.fed_from:
        return None
    if scene.supply.impedance_ohm is not None:
        return float(scene.supply.impedance_ohm)
    largest = scene.circuit.fault_current_a
    return None if largest is None else scene.circuit.voltage_v / largest


def cleared(scene: Scene, family: Family | None) -> Cleared:
    """Return how a fault is disconnected, and compare the smallest current with the plan's."""
    circuit, final = scene.circuit, is_final(scene)
    time = longest(scene, final=final)
    said = scene.number("fault", "longest_s")
    if time is not None and (said is None or not close(said, time)):
        scene.breach("iec.411.3.2", "fault/longest_s", time, said or "none", "s")
    least = _smallest(scene) if scene.earthing != "tt" else None
    found = circuit.fault_current_min_a
    rule = "iec.411.6" if scene.earthing == "it" else "iec.411.4"
    if least is None and found is not None:
        scene.breach(rule, "fault_current_min_a", "none", found, "A")
    elif least is not None and (found is None or not close(found, least)):
        scene.breach(rule, "fault_current_min_a", least, found or "none", "A")
    rating = circuit.protective_device.rating_a
    needed = None
    if family is None or rating is None or time is None:
        return Cleared(final=final, time=time, least=least, needed=needed)
    if family.high is None:
        scene.ledger.skipped("iec.60269-1", scene.path("fault"), "the times of fuses")
        needed = scene.number("fault", "needed_a")
    else:
        needed = family.high * rating
        asked = scene.number("fault", "needed_a")
        if asked is None or not close(asked, needed):
            scene.breach(rule, "fault/needed_a", needed, asked or "none", "A")
    return Cleared(final=final, time=time, least=least, needed=needed)


def _smallest(scene: Scene) -> float | None:
    """Return the smallest fault current to earth at the end of the circuit [A].

    In an isolated system the second fault counts, which goes round two such circuits.
    """
    circuit = scene.circuit
    live = [one for one in circuit.voltage_to_earth_v if one > EARTHED_V]
    if not live or circuit.protective_conductor is None:
        return None
    source = source_ohm(scene, min(live))
    if source is None:
        return None
    ohms = loop(scene, source)
    if ohms is None:
        return None
    rounds = 2.0 if scene.earthing == "it" else 1.0
    return scene.book.factor("voltage_factor") * min(live) / (rounds * ohms)


def check_heat(scene: Scene, around: Surroundings, fault: Cleared, family: Family | None) -> None:
    """Check that a fault which heats a conductor too much is said: 434.5.2.

    It is asked where no instantaneous trip ends the fault.
    """
    back = scene.circuit.protective_conductor
    if fault.least is None or fault.time is None or back is None:
        return
    if family is not None and family.high is not None and fault.reached:
        return
    sizes = [one.size.removesuffix(" mm2") for one in (scene.circuit.conductor, back)]
    smallest = min(sizes, key=float)
    k = adiabatic(scene, around, smallest)
    if k is None or fault.least * fault.time**0.5 / k <= float(smallest) * (1 + 1e-9):
        return
    if not scene.said("protection.conductor-heat"):
        scene.breach("iec.434.5.2", "findings/protection.conductor-heat", "a finding", "none")
