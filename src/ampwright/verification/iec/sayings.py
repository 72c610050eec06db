"""What a plan has to say of a circuit when the rules or its own figures call for it."""

from collections.abc import Iterator, Mapping

from ampwright.verification.iec.scene import Scene
from ampwright.verification.ledger import close


def check_sayings(scene: Scene) -> None:
    """Check that each of these is said where it is so."""
    for code, rule in _called_for(scene):
        if not scene.said(code):
            scene.breach(rule, f"findings/{code}", "a finding", "none")


def _called_for(scene: Scene) -> Iterator[tuple[str, str]]:
    circuit, converter = scene.circuit, scene.fed_converter
    if scene.made:
        yield "converter.made-leg-marking", "iec.514.3"
        if circuit.role == "output":
            yield "converter.all-lines-live", "iec.551"
    if converter is not None:
        yield "plan.equipment-approval", "iec.60204-1.4.3"
        yield "protection.disconnect-in-sight", "iec.60204-1.5.3"
    elif scene.is_drive:
        yield "protection.supplementary-bonding", "iec.419.2"
    rating = circuit.protective_device.rating_v
    lowest = next((float(one["to_earth_v"]) for one in scene.book.rows("device_voltages")), 0.0)
    if scene.made and rating is not None and rating > lowest:
        yield "supply.leg-voltage-to-earth", "iec.60898-1"
    if not circuit.fed_from and circuit.role != "service" and scene.supply.source == "utility":
        yield from _on_the_network(scene)


def _on_the_network(scene: Scene) -> Iterator[tuple[str, str]]:
    """Yield what a start, a power or a motor at the board calls for."""
    circuit, book = scene.circuit, scene.book
    starting = scene.term("starting_drop_fraction", "I")
    if starting is not None:
        stated = scene.supply.impedance_ohm
        ohms = book.factor("reference_impedance_ohm") if stated is None else float(stated)
        # a motor at rest draws nothing: all of its start is change
        change = starting * ohms / circuit.voltage_v
        found = scene.number("disturbance", "change_fraction")
        if found is None or not close(change, found):
            path = "disturbance/change_fraction"
            scene.breach("iec.61000-3-3", path, change, "none" if found is None else found)
        if change > book.factor("voltage_change"):
            yield "supply.voltage-change", "iec.61000-3-3"
    for row in book.rows("utility_limits"):
        contract = row["contract_va"]
        if not contract or float(contract) == scene.supply.contract_va:
            yield from _by_operator(scene, row, starting)


def _by_operator(
    scene: Scene, row: Mapping[str, str], starting: float | None
) -> Iterator[tuple[str, str]]:
    rule, motors = "iec.operator", scene.motors
    if row["largest_start_a"] and starting is not None:
        most = float(row["largest_start_a"])
        if row["start_a_per_kw"] and motors:
            over = max(one.power for one in motors) / 1e3 - float(row["start_over_kw"])
            most += float(row["start_a_per_kw"]) * max(over, 0.0)
        if starting > most * (1 + 1e-9):
            yield "supply.operator-start-limit", rule
    if row["largest_single_phase_va"] and scene.circuit.phases == 1:
        need = scene.circuit.voltage_v * scene.circuit.design_current_a
        if need > float(row["largest_single_phase_va"]) * (1 + 1e-9):
            yield "supply.operator-power-limit", rule
    if row["largest_single_phase_motor_w"]:
        largest = max((one.power for one in motors if one.phases == 1), default=0.0)
        if largest > float(row["largest_single_phase_motor_w"]) * (1 + 1e-9):
            yield "supply.operator-motor-limit", rule


def check_discharge(scene: Scene) -> None:
    """Check that capacitors behind the circuit are said to keep their charge."""
    converter = scene.fed_converter
    if converter is None or not converter.capacitors:
        return
    code = "converter.capacitor-discharge"
    if not any(one.code == code and converter.id in one.where for one in scene.option.findings):
        scene.breach("plan.capacitors", f"findings/{code}", "a finding", "none")
