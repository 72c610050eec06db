"""Voltage relays on made lines: below what runs, above what a fault leaves, slower than starts."""

from ampwright.equipment.device import ProtectiveDevice
from ampwright.verification.ledger import close
from ampwright.verification.nec.impedance import from_end_to_end
from ampwright.verification.nec.scene import Scene
from ampwright.verification.upstream import converter_ahead

RULE = "nec.250.4(A)(5)"
BLANKED, ALIKE = "protection.relay-start-blanking", "protection.relay-cannot-tell"
SAME_VOLTAGE = 0.1  # of the converter's output: the lines are its own


def check_relays(scene: Scene) -> None:
    """Check the setting and the delay of every voltage relay on the circuit."""
    for one in scene.circuit.guards:
        if one.kind == "voltage-relay":
            _check(scene, one)


def _check(scene: Scene, relay: ProtectiveDevice) -> None:
    circuit, ledger = scene.circuit, scene.ledger
    name = converter_ahead(scene.option, circuit)
    made = next((one for one in scene.option.converters if one.id == name), None)
    if circuit.role == "idler":
        ledger.breach(RULE, scene.path("guards"), "none where the line is dead", relay.kind)
        return
    path = scene.path("guards", relay.id, "setting_v")
    lines = [
        volts
        for state in scene.option.states
        if state.converter == name
        for volts in state.line_voltage_v
    ]
    near = made is not None and (
        abs(made.output_voltage_v - circuit.voltage_v) <= SAME_VOLTAGE * circuit.voltage_v
    )
    if not lines or not near:
        ledger.skipped(RULE, path, "the voltages of the lines that run")
        return
    said = {one.code for one in scene.option.findings if circuit.id in one.where}
    volts, running = relay.setting_v, min(lines)
    if volts is None or not volts < running:
        ledger.breach(RULE, path, running, "none" if volts is None else volts, "V")
        return
    left = _left(scene)
    if left is not None and not volts > left and ALIKE not in said:
        ledger.breach(RULE, path, left, volts, "V")
    starts = [one for one in scene.option.starts if one.converter == name]
    longest = max((one.time_s for one in starts if one.time_s is not None), default=0.0)
    if relay.delay_s is None or not relay.delay_s > longest:
        found = "none" if relay.delay_s is None else relay.delay_s
        ledger.breach(RULE, scene.path("guards", relay.id, "delay_s"), longest, found, "s")
    dip = min((one.lowest_voltage_v for one in starts), default=volts)
    if dip < volts and not close(dip, volts) and BLANKED not in said:
        ledger.breach(RULE, path, f"{BLANKED} said", "nothing said")


def _left(scene: Scene) -> float | None:
    """Return what stays between the lines at the head while the made leg lies at earth [V]."""
    circuit = scene.circuit
    if not circuit.voltage_to_earth_v:
        return None
    own = from_end_to_end(scene.ledger, circuit, scene.beside)
    fault = circuit.fault_current_min_a
    dropped = fault * sum(own) if fault is not None and own is not None else 0.0
    return min(circuit.voltage_to_earth_v) + dropped
