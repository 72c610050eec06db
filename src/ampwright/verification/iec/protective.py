"""The protective conductor: Table 54.2, the heat of a fault, and 543.7 where much leaks."""

from ampwright.verification.iec.book import ROUNDING
from ampwright.verification.iec.conductors import energy_through
from ampwright.verification.iec.scene import Scene
from ampwright.verification.iec.surroundings import Surroundings, adiabatic
from ampwright.verification.ledger import close

RULE = "iec.543.1"


def by_table(scene: Scene, line: float) -> float:
    """Return the area that Table 54.2 asks for beside a line conductor [mm2]."""
    for row in scene.book.rows("protective_conductor"):
        if float(row["over_mm2"]) < line <= float(row["upto_mm2"]):
            return float(row["fixed_mm2"]) + float(row["share"]) * line
    return line


def check_protective_conductor(scene: Scene, around: Surroundings) -> None:
    """Check size, area, number and length of the protective conductor."""
    found, conductor = scene.circuit.protective_conductor, scene.circuit.conductor
    if found is None:
        scene.breach(RULE, "protective_conductor", "a conductor", "none")
        return
    line = conductor.size.removesuffix(" mm2")
    wanted = by_table(scene, float(line))
    through, k = energy_through(scene), adiabatic(scene, around, line)
    if through is not None and k is not None:
        wanted = max(wanted, through**0.5 / k)
    sizes = [one for one in scene.book.sizes if scene.book.resistance(one, around.metal)]
    fitting = [one for one in sizes if float(one) >= wanted * (1 - ROUNDING)]
    right = fitting[0] if fitting else sizes[-1]
    size = found.size.removesuffix(" mm2")
    if float(size) < float(right):
        scene.breach(RULE, "protective_conductor/size", f"{right} mm2", found.size)
    elif size != right:
        path = scene.path("protective_conductor", "size")
        scene.ledger.larger(RULE, path, f"{right} mm2", found.size)
    if not close(found.area_mm2, float(size)):
        scene.breach("iec.524", "protective_conductor/area_mm2", float(size), found.area_mm2, "mm2")
    if not close(found.length_m, conductor.length_m):
        scene.breach(RULE, "protective_conductor/length_m", conductor.length_m, found.length_m, "m")
    _check_number(scene, found.material, float(size), found.count)


def _check_number(scene: Scene, material: str, size: float, count: int) -> None:
    """Check that what leaks much has a large protective conductor, or two: 543.7."""
    least = scene.book.factor(f"reinforced_{material}_mm2")
    fed = scene.fed_converter
    leaks = scene.is_drive or (fed is not None and fed.method == "electronic")
    second = leaks and size < least
    wanted = 2 if second else 1
    if count < wanted:
        scene.breach("iec.543.7", "protective_conductor/count", float(wanted), float(count))
    elif count > wanted:
        path = scene.path("protective_conductor", "count")
        scene.ledger.larger("iec.543.7", path, float(wanted), float(count))
    if second and not scene.said("protection.reinforced-earth"):
        scene.breach("iec.543.7", "findings/protection.reinforced-earth", "a finding", "none")
