"""Protective conductors, raceways, voltages to earth, interrupting ratings, faults to earth."""

from ampwright.equipment.circuit import Circuit
from ampwright.verification.ledger import close
from ampwright.verification.nec.conductors import smallest, surroundings
from ampwright.verification.nec.demand import Demand
from ampwright.verification.nec.impedance import from_end_to_end
from ampwright.verification.nec.scene import Scene
from ampwright.verification.neutrals import has_neutral
from ampwright.verification.notation import bare
from ampwright.verification.upstream import (
    converter_ahead,
    converter_current,
    is_stepped,
    through_conductors,
    through_primary,
    winding_ahead,
    winding_ohm,
)

NOMINAL = 0.05
LIVE_V = 1.0  # a leg below it is the grounded one
IDLER_SAID = "protection.idler-fault"
GUARDS = ("residual-current", "voltage-relay")


def check_protective_conductor(scene: Scene, demand: Demand) -> None:
    """Check the equipment grounding conductor: Table 250.122, in proportion, not above the line."""
    ledger, book, circuit = scene.ledger, scene.book, scene.circuit
    found, rating = circuit.protective_conductor, circuit.protective_device.rating_a
    if found is None or rating is None:
        ledger.skipped("nec.250.122(A)", scene.path("protective_conductor"), "the conductor")
        return
    listed = book.grounding(rating, found.material)
    path = scene.path("protective_conductor", "size")
    if listed is None:
        ledger.skipped("nec.250.122(A)", path, "a row of Table 250.122")
        return
    line = bare(circuit.conductor.size)
    least = _by_rules(scene, demand) or line
    mils = book.mils(listed) * max(1.0, book.mils(line) / book.mils(least))
    rule = "nec.250.122(A)" if mils <= book.mils(listed) else "nec.250.122(B)"
    mils = min(mils, book.mils(line))
    sizes = [row["size"] for row in book.rows("conductor_properties")]
    fitting = [one for one in sizes if book.mils(one) >= mils * (1 - 1e-9)]
    right = min(fitting, key=book.mils, default=line)
    size = bare(found.size)
    if book.mils(size) < book.mils(right):
        ledger.breach(rule, path, right, found.size)
    elif book.mils(size) > book.mils(right):
        ledger.larger(rule, path, right, found.size)
    if found.count != 1 and circuit.conductor.count <= scene.beside:
        path = scene.path("protective_conductor", "count")
        ledger.breach("nec.250.122(A)", path, 1.0, float(found.count))


def _by_rules(scene: Scene, demand: Demand) -> str | None:
    """Return the size that the rules of ampacity ask for: what lies above it is an increase."""
    around = surroundings(scene)
    single = scene.circuit.conductor.count <= scene.beside
    return smallest(scene, demand, around) if around is not None and single else None


def check_raceway(scene: Scene) -> None:
    """Check fill and trade size of the raceway: Chapter 9, Tables 1, 4 and 5."""
    ledger, found = scene.ledger, scene.circuit.raceway
    if found is None:
        return
    path = scene.path("raceway")
    row = (ledger.table("raceways") or {}).get(found.kind)
    filling = _filling(scene)
    if row is None or not row["sizes"] or filling is None:
        ledger.skipped("nec.9.1", path, f"sizes of {found.kind}")
        return
    filled, limit = filling
    sizes = [(one["trade"], float(one["area_100"])) for one in scene.book.rows(row["sizes"])]
    inside = dict(sizes).get(found.size)
    right = next((one for one, area in sizes if filled <= limit * area * (1 + 1e-9)), None)
    if inside is None or right is None:
        ledger.breach("nec.9.4", f"{path}/size", right or "a trade size", found.size)
        return
    if not close(found.limit_fraction, limit):
        ledger.breach("nec.9.1", f"{path}/limit_fraction", limit, found.limit_fraction)
    if not close(found.fill_fraction, filled / inside):
        ledger.breach("nec.9.1", f"{path}/fill_fraction", filled / inside, found.fill_fraction)
    if filled > limit * inside * (1 + 1e-9):
        ledger.breach("nec.9.1", f"{path}/size", right, found.size)
    elif right != found.size:
        ledger.larger("nec.9.1", f"{path}/size", right, found.size)


def _filling(scene: Scene) -> tuple[float, float] | None:
    """Return the area of what lies in the raceway [in2], and the share that may be filled."""
    ledger, conductor = scene.ledger, scene.circuit.conductor
    guard = scene.circuit.protective_conductor
    kind = (ledger.table("insulation") or {}).get(conductor.insulation)
    grouped = scene.number("conditions", "grouped_circuits")
    if kind is None or not kind["area"] or grouped is None:
        return None
    column = f"{kind['area']}_area_in2"
    line = ledger.cell("insulated_area", bare(conductor.size), column)
    earth = ledger.cell("insulated_area", bare(guard.size), column) if guard is not None else 0.0
    others = guard.count if guard is not None else 0
    number = grouped * (conductor.count + others)
    name = "1" if number == 1 else "2" if number == 2 else "over_2"
    percent = ledger.cell("raceway_fill", name, "percent")
    if line is None or earth is None or percent is None:
        return None
    return grouped * (conductor.count * line + others * earth), percent / 100


def check_ratings(scene: Scene) -> None:
    """Check poles, voltage and interrupting rating of the device: 240.4, 240.85, 110.9."""
    ledger, circuit = scene.ledger, scene.circuit
    device = circuit.protective_device
    path = scene.path("protective_device")
    if device.poles != scene.lines:
        ledger.breach("nec.240.15(B)", f"{path}/poles", float(scene.lines), float(device.poles))
    if device.rating_v is not None and circuit.voltage_to_earth_v:
        _check_voltage(scene, device.rating_v, f"{path}/rating_v")
    fault = circuit.fault_current_a
    if fault is None:
        return
    right = scene.book.listed("interrupting_ratings", fault)
    found = device.breaking_capacity_a
    if found is None or found < fault * (1 - 1e-9):
        place = f"{path}/breaking_capacity_a"
        ledger.breach("nec.110.9", place, right, found if found is not None else "none", "A")
    elif found > right:
        ledger.larger("nec.110.9", f"{path}/breaking_capacity_a", right, found, "A")


def _check_voltage(scene: Scene, rating: float, path: str) -> None:
    highest = max(scene.circuit.voltage_to_earth_v)
    for row in scene.book.rows("breaker_voltages"):
        to_earth, between = float(row["to_earth_v"]), float(row["between_v"])
        # a rating covers its nominal voltage, which a supply keeps to 5 %
        if highest <= to_earth * (1 + NOMINAL) and scene.circuit.voltage_v <= between * (1 + 1e-9):
            if rating < to_earth:
                scene.ledger.breach("nec.240.85", path, to_earth, rating, "V")
            elif rating > to_earth:
                scene.ledger.larger("nec.240.85", path, to_earth, rating, "V")
            return
    scene.ledger.skipped("nec.240.85", path, "a marking for this voltage")


def check_earth_fault(scene: Scene) -> None:
    """Check that a fault to earth on a made leg, or behind a transformer, is cleared: 250.4(A)(5).

    The device of a drive's motor stands ahead of the drive.
    """
    circuit, ledger, book = scene.circuit, scene.ledger, scene.book
    least, again = circuit.fault_current_min_a, _fault(scene)
    path = scene.path("fault_current_min_a")
    stepped = is_stepped(scene.option, circuit)
    made = scene.made_by is not None and not scene.is_drive and circuit.phases == 3
    if (least is None) != (again is None) or (
        least is not None and again is not None and not close(again, least)
    ):
        ledger.breach("nec.250.4(A)(5)", path, again or "none", least or "none", "A")
    if scene.is_drive and scene.fed_converter is None:
        return
    rating = circuit.protective_device.rating_a or 0.0
    needed = book.band("instantaneous_upper") * rating
    opens = least is not None and least >= needed * (1 - 1e-9)
    said = [one for one in scene.option.findings if circuit.id in one.where]
    if made and circuit.role == "idler" and not opens:
        if not any(one.code == IDLER_SAID for one in said):
            ledger.breach("nec.250.4(A)(5)", scene.path("guards"), f"{IDLER_SAID} said", "none")
        return
    guarded = any(one.kind in GUARDS for one in circuit.guards) or any(
        one.code == "protection.made-leg-fault" and one.severity == "blocks" for one in said
    )
    if (made or stepped) and not opens and not guarded:
        found = "none" if least is None else least
        ledger.breach("nec.250.4(A)(5)", scene.path("guards"), needed, found, "A")


def _fault(scene: Scene) -> float | None:
    """Return the smallest fault current to earth at the end of the circuit [A]."""
    circuit, ledger, option = scene.circuit, scene.ledger, scene.option
    own = from_end_to_end(ledger, circuit, scene.beside)
    live = [one for one in circuit.voltage_to_earth_v if one >= LIVE_V]
    if own is None or not live:
        return None
    line, earth = own
    volts = min(live)
    made = winding_ahead(option, circuit)

    def ohms(other: Circuit) -> tuple[float, float] | None:
        lines = 3 if other.phases == 3 else 2
        return from_end_to_end(ledger, other, lines + has_neutral(scene.statements, option, other))

    if made is not None:
        source = None if made.kind == "auto" else winding_ohm(ledger, option, made)
        between = through_primary(ledger, option, circuit, made, ohms)
    elif name := converter_ahead(option, circuit):
        current = converter_current(ledger, option, name)
        source = volts / current if current else None
        between = through_conductors(option, circuit, ohms)
        line *= 2.0 if circuit.role == "idler" else 1.0
    else:
        return None
    if source is None or between is None:
        return None
    return volts / (source + between + line + earth)
