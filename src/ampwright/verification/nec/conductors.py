"""Conductors: 110.14(C), 310.16 with its factors, 240.4, and the smallest size that holds."""

from typing import NamedTuple

from ampwright.verification.ledger import close
from ampwright.verification.nec.book import CIRCULAR_MIL_MM2
from ampwright.verification.nec.demand import Demand, is_resistance
from ampwright.verification.nec.impedance import drop_along, drop_terms
from ampwright.verification.nec.scene import Scene
from ampwright.verification.neutrals import needing
from ampwright.verification.notation import bare

LEAST_PARALLEL = "1/0"


class Surroundings(NamedTuple):
    """What the ampacity of any size here depends on.

    Attributes:
        insulation_c: Temperature rating of the insulation [C].
        terminal_c: Temperature for which the terminals are taken [C].
        factor: Product of the factors for ambient and for conductors together.
        rule: Clause of the factor that is below one.
    """

    insulation_c: float
    terminal_c: float
    factor: float
    rule: str


def surroundings(scene: Scene) -> Surroundings | None:
    """Return what the circuit lies in; ``None``, and an objection, where a table has no answer."""
    ledger, book, conductor = scene.ledger, scene.book, scene.circuit.conductor
    row = (ledger.table("insulation") or {}).get(conductor.insulation)
    if row is None:
        ledger.skipped("nec.310.4", scene.path("conductor"), conductor.insulation)
        return None
    cell = row["wet_c"] if _wet(scene) else row["dry_c"]
    if not cell:
        ledger.breach("nec.310.4", scene.path("conductor"), "dry place", conductor.insulation)
        return None
    insulation = float(cell)
    terminal = min(_terminals(scene), insulation)
    if row["limit_c"]:
        terminal = min(terminal, float(row["limit_c"]))
    ambient = scene.number("conditions", "ambient_c")
    grouped = scene.number("conditions", "grouped_circuits")
    if ambient is None or grouped is None:
        ledger.skipped("nec.310.15(B)", scene.path("conditions"), "ambient or grouping")
        return None
    by_ambient = book.ambient_factor(ambient, insulation)
    loaded = (scene.beside - (scene.neutral and _pure(scene))) * grouped
    by_number = book.adjustment(loaded)
    if by_ambient is None or by_number is None:
        ledger.breach("nec.310.15(B)", scene.path("conductor"), "a factor", ambient, "degC")
        return None
    for name, rule, factor in (
        ("ambient_factor", "nec.310.15(B)", by_ambient),
        ("adjustment_factor", "nec.310.15(C)(1)", by_number),
    ):
        said = scene.number("conductor", name)
        if said is not None and not close(said, factor):
            ledger.breach(rule, scene.path("conductor", name), factor, said)
    return Surroundings(
        insulation_c=insulation,
        terminal_c=terminal,
        factor=by_ambient * by_number,
        rule="nec.310.15(B)" if by_ambient < 1 else "nec.310.15(C)(1)",
    )


def _pure(scene: Scene) -> bool:
    """Tell whether so little returns in the neutral that it does not count: 310.15(E).

    What two lines of a star send back comes through their neutral whatever its shape, (E)(2).
    """
    if scene.circuit.phases == 1 and scene.shop.supply.arrangement == "line-line":
        return False
    shares = [one.third_harmonic for one in needing(scene.statements, scene.circuit)]
    most = scene.book.factor("neutral_harmonic")
    return all(one is not None and float(one) <= most for one in shares)


def _wet(scene: Scene) -> bool:
    kind = scene.shop.site.installation or ""
    row = (scene.ledger.table("installations") or {}).get(kind)
    return bool(row and row["wet"])


def _terminals(scene: Scene) -> float:
    marked = marked_terminals(scene)
    if marked is not None:
        return marked
    disconnect = scene.circuit.disconnect
    return unmarked_terminals(
        scene,
        scene.circuit.design_current_a,
        scene.circuit.protective_device.rating_a,
        disconnect.rating_a if disconnect is not None else None,
    )


def marked_terminals(scene: Scene) -> float | None:
    """Return the temperature that the worse terminals are marked for, if they are [C]."""
    panel = scene.shop.supply.panel
    marks = [scene.shop.site.terminals_c]
    if panel is not None and not scene.circuit.fed_from:
        marks.append(panel.terminals_c)
    return min((one for one in marks if one is not None), default=None)


def unmarked_terminals(scene: Scene, *ends: float | None) -> float:
    """Return the temperature for terminals without a marking, 110.14(C)(1) [C].

    The lower rated end governs: device, disconnect, or what the circuit is for.
    """
    small = min(one for one in ends if one is not None) <= scene.book.factor("terminal_border_a")
    return scene.book.factor("terminal_below_c" if small else "terminal_above_c")


def ampacity(scene: Scene, around: Surroundings, size: str, sets: int = 1) -> float | None:
    """Return what *size* may carry here, all limits heeded [A]; ``None`` if not tabulated."""
    material = scene.circuit.conductor.material
    terminal = scene.book.ampacity(size, material, around.terminal_c)
    free = scene.book.ampacity(size, material, around.insulation_c)
    if terminal is None or free is None:
        return None
    return sets * min(terminal, free * around.factor)


def shortfall(
    scene: Scene, demand: Demand, around: Surroundings, size: str, sets: int = 1
) -> tuple[str, float, float] | None:
    """Return rule, ampacity wanted and ampacity found where *size* is too small, else ``None``."""
    book, conductor = scene.book, scene.circuit.conductor
    terminal = book.ampacity(size, conductor.material, around.terminal_c)
    free = book.ampacity(size, conductor.material, around.insulation_c)
    if terminal is None or free is None:
        return "nec.310.16", demand.conductor, 0.0
    corrected = sets * free * around.factor
    if sets * terminal < demand.conductor * (1 - 1e-9):
        enough = sets * free >= demand.conductor
        return "nec.110.14(C)" if enough else demand.rule, demand.conductor, sets * terminal
    if corrected < demand.corrected * (1 - 1e-9):
        enough = sets * free >= demand.corrected
        return around.rule if enough else demand.rule, demand.corrected, corrected
    return _device(scene, demand, size, min(sets * terminal, corrected))


def _device(
    scene: Scene, demand: Demand, size: str, held: float
) -> tuple[str, float, float] | None:
    """Check the device against a conductor that may carry *held*: 240.4, 455.7(B), 630.12(B)."""
    rating = scene.circuit.protective_device.rating_a
    book = scene.book
    if rating is None:
        return None
    if scene.loads and demand.rule.startswith("nec.630"):
        kind = "resistance_welder" if is_resistance(scene) else "welder"
        most = book.rating_up(book.factor(f"{kind}_conductor_device") * held)
        rule = "nec.630.32(B)" if is_resistance(scene) else "nec.630.12(B)"
        return (rule, rating, most) if rating > most else None
    by_loads = demand.by_loads < demand.by_plate
    if demand.other_article and not by_loads:
        return None
    rule = "nec.455.7" if by_loads else "nec.240.4"
    most = held if held > book.factor("round_up_largest_a") else book.rating_up(held)
    if rating > most * (1 + 1e-9):
        return rule, rating, most
    if not demand.other_article:
        metal = "cu" if scene.circuit.conductor.material == "copper" else "al"
        cap = scene.ledger.cell("small_conductors", size, metal)
        if cap is not None and rating > cap:
            return "nec.240.4(D)", rating, cap
    return None


def smallest(scene: Scene, demand: Demand, around: Surroundings) -> str | None:
    """Return the smallest single size that satisfies every rule here."""
    for size in scene.book.sizes():
        if shortfall(scene, demand, around, size) is None:
            return size
    return None


def check_conductor(scene: Scene, demand: Demand) -> None:
    """Check size, area, number and ampacity of the circuit's conductors."""
    ledger, conductor, path = scene.ledger, scene.circuit.conductor, scene.path("conductor")
    size = bare(conductor.size)
    _area(scene)
    if not close(scene.circuit.design_current_a, demand.conductor):
        ledger.breach(
            demand.rule,
            scene.path("design_current_a"),
            demand.conductor,
            scene.circuit.design_current_a,
            "A",
        )
    sets, left = divmod(conductor.count, scene.beside)
    if left or not sets:
        wanted = float(scene.beside)
        ledger.breach("nec.300.3(B)", f"{path}/count", wanted, float(conductor.count))
        return
    if sets > 1 and scene.book.mils(size) < scene.book.mils(LEAST_PARALLEL):
        ledger.breach("nec.310.10(G)", f"{path}/size", f"{LEAST_PARALLEL} AWG", conductor.size)
    around = surroundings(scene)
    if around is None:
        return
    held = ampacity(scene, around, size, sets)
    if held is None:
        ledger.breach("nec.310.16", f"{path}/size", "a size of the table", conductor.size)
        return
    if conductor.ampacity_a is None or not close(conductor.ampacity_a, held):
        ledger.breach("nec.310.16", f"{path}/ampacity_a", held, conductor.ampacity_a or 0.0, "A")
    short = shortfall(scene, demand, around, size, sets)
    if short is not None:
        rule, wanted, found = short
        ledger.breach(rule, f"{path}/size", wanted, found, "A")
        return
    if sets == 1:
        _check_smallest(scene, demand, around)


def _check_smallest(scene: Scene, demand: Demand, around: Surroundings) -> None:
    """Check that the conductors are the smallest that the rules and the start allow."""
    ledger, book, path = scene.ledger, scene.book, scene.path("conductor", "size")
    size, named = bare(scene.circuit.conductor.size), scene.circuit.conductor.size
    least = smallest(scene, demand, around)
    if least is None:
        return
    right = for_the_start(scene, for_the_drop(scene, least))
    if book.mils(right) > book.mils(size):
        ledger.breach("plan.start", path, right, named)
    elif right != size:
        ledger.larger(demand.rule if right == least else "plan.start", path, right, named)


def for_the_drop(scene: Scene, least: str) -> str:
    """Return *least*, or the smallest larger size that keeps the drop where the code binds it."""
    limit = scene.book.factor("drop_binding")
    terms = drop_terms(scene, "voltage_drop_fraction")
    if not limit > 0 or terms is None:
        return least
    sizes = scene.book.sizes()
    for size in sizes[sizes.index(least) :]:
        drop = drop_along(scene, size, *terms)
        if drop is not None and drop <= limit * (1 + 1e-9):
            return size
    return least


def for_the_start(scene: Scene, least: str) -> str:
    """Return *least*, or the smallest larger size whose drop leaves a start torque enough.

    The largest drop is stated with the start of each machine; where no size keeps to it, the size
    stays.
    """
    place = f"options/{scene.option.id}/starts"
    begun = [one.id for one in scene.starts]
    limits = [scene.ledger.number(f"{place}/{one}/drop_limit") for one in begun]
    known = [one for one in limits if one is not None]
    terms = drop_terms(scene, "starting_drop_fraction")
    if scene.circuit.role != "branch" or not known or terms is None:
        return least
    sizes = scene.book.sizes()
    for size in sizes[sizes.index(least) :]:
        drop = drop_along(scene, size, *terms, locked=True)
        if drop is not None and drop <= min(known) * (1 + 1e-9):
            return size
    return least


def _area(scene: Scene) -> None:
    circuit = scene.circuit
    for part, one in (
        ("conductor", circuit.conductor),
        ("protective_conductor", circuit.protective_conductor),
    ):
        if one is None:
            continue
        area = scene.book.mils(bare(one.size)) * CIRCULAR_MIL_MM2
        if not close(area, one.area_mm2):
            path = scene.path(part, "area_mm2")
            scene.ledger.breach("nec.9.8", path, area, one.area_mm2, "mm2")
