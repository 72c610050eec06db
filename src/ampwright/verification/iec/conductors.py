"""Conductors: the smallest size that carries device and load, and bears fault and drop."""

from ampwright.verification.iec.book import ROUNDING, Family
from ampwright.verification.iec.demand import Demand
from ampwright.verification.iec.impedance import drop_allowed, drop_along, terms
from ampwright.verification.iec.scene import Scene
from ampwright.verification.iec.surroundings import Surroundings, adiabatic, held, listed
from ampwright.verification.ledger import close
from ampwright.verification.neutrals import needing


def needed(family: Family, rating: float, demand: Demand) -> float:
    """Return the capacity that device and load ask for [A]: I_b <= I_n <= I_z, 433.1."""
    return max(family.cable * rating, demand.design) if demand.protects else demand.design


def with_neutral(scene: Scene, line: float) -> float:
    """Return the capacity that a cable needs with what its neutral returns [A]: 523.6, annex E."""
    circuit = scene.circuit
    shares = [one.third_harmonic for one in needing(scene.statements, circuit)]
    if not scene.neutral or not shares or None in shares:
        return line
    third = max(float(one) for one in shares if one is not None)
    for row in scene.book.rows("harmonics"):
        if float(row["over_pct"]) < 100.0 * third <= float(row["upto_pct"]) or third == 0.0:
            share = 3.0 * third if row["basis"] == "neutral" else 1.0
            return line * share / float(row["factor"])
    return line


def energy_through(scene: Scene) -> float | None:
    """Return the largest energy that the device lets through [A2 s]; ``None``: none is listed.

    A device behind which a drive limits what flows is not asked.
    """
    device, fault = scene.circuit.protective_device, scene.circuit.fault_current_a
    if fault is None or device.rating_a is None or behind_drive(scene):
        return None
    for row in scene.book.rows("let_through"):
        within = float(row["over_a"]) < device.rating_a <= float(row["upto_a"])
        within = within and fault >= float(row.get("from_a") or 0.0) - 1e-6
        if row["curve"] == device.curve and within and fault <= float(row["fault_a"]) + 1e-6:
            return float(row["let_through_a2s"])
    return None


def behind_drive(scene: Scene) -> bool:
    """Tell whether the circuit runs from a drive to its motor."""
    return scene.is_drive and scene.fed_converter is None


def shortfall(
    scene: Scene, around: Surroundings, want: float, size: str
) -> tuple[str, float | str, float | str] | None:
    """Return clause, what is wanted and what is found where *size* is too small, else ``None``.

    *want* is the capacity that device, load and neutral ask for [A].
    """
    carries = held(scene, around, size)
    if carries is None:
        return "iec.523", "a size of the table", size
    if carries < want * (1 - ROUNDING):
        free = carries / around.factor if around.factor else 0.0
        return (around.rule if free >= want else "iec.433.1"), want, carries
    least = scene.book.factor("smallest_mm2")
    if float(size) < least:
        return "iec.524", f"{least:g} mm2", size
    through, k = energy_through(scene), adiabatic(scene, around, size)
    if through is not None and k is not None and through > (k * float(size)) ** 2 * (1 + ROUNDING):
        return "iec.434.5.2", through, (k * float(size)) ** 2
    most = scene.book.stated.get("limits", {}).get("drop_fraction")
    drawn = terms(scene, "voltage_drop_fraction")
    if most is not None and drawn is not None:
        drop = drop_along(scene, around, size, *drawn)
        allowed = drop_allowed(scene, float(most))
        if drop is not None and drop > allowed + float(most) * ROUNDING:
            return "iec.525", allowed, drop
    return None


def check_conductor(
    scene: Scene, around: Surroundings, demand: Demand, family: Family | None
) -> None:
    """Check design current, number, area, capacity and size of the conductors."""
    circuit, conductor = scene.circuit, scene.circuit.conductor
    design = circuit.design_current_a
    if not close(design, demand.design):
        scene.breach("iec.433.1", "design_current_a", demand.design, design, "A")
    live = (3 if circuit.phases == 3 else 2) + scene.neutral
    if conductor.count != live:
        scene.breach("iec.523", "conductor/count", float(live), float(conductor.count))
    size = conductor.size.removesuffix(" mm2")
    if not close(conductor.area_mm2, float(size)):
        scene.breach("iec.524", "conductor/area_mm2", float(size), conductor.area_mm2, "mm2")
    carries = held(scene, around, size)
    if carries is None or size not in listed(scene, around):
        scene.breach("iec.523", "conductor/size", "a size of the tables", conductor.size)
        return
    if conductor.ampacity_a is None or not close(conductor.ampacity_a, carries):
        found = conductor.ampacity_a or 0.0
        scene.breach("iec.523", "conductor/ampacity_a", carries, found, "A")
    if family is not None:
        _check_size(scene, around, demand, family)


def _check_size(scene: Scene, around: Surroundings, demand: Demand, family: Family) -> None:
    """Check that the size is the smallest that every rule allows."""
    named = scene.circuit.conductor.size
    size = named.removesuffix(" mm2")
    rating = scene.circuit.protective_device.rating_a or 0.0
    want = with_neutral(scene, needed(family, rating, demand))
    short = shortfall(scene, around, want, size)
    if short is not None:
        scene.breach(short[0], "conductor/size", *short[1:])
        return
    rule, path, sizes = "iec.433.1", scene.path("conductor", "size"), listed(scene, around)
    least = size
    for one in sizes:
        short = shortfall(scene, around, want, one)
        if short is None:
            least = one
            break
        rule = short[0]
    larger = [one for one in sizes if float(one) > float(least)]
    right = _for_the_start(scene, around, want, least, larger)
    if right != least:
        rule = "plan.start"
    if float(size) < float(right):
        scene.ledger.breach(rule, path, f"{right} mm2", named)
    elif right != size:
        scene.ledger.larger(rule, path, f"{right} mm2", named)


def _for_the_start(
    scene: Scene, around: Surroundings, want: float, least: str, larger: list[str]
) -> str:
    """Return *least*, or the smallest larger size whose drop leaves a start torque enough.

    The largest drop is stated with the start of each machine; where no size keeps to it, the
    smallest that fits stays.
    """
    if scene.circuit.role != "branch":
        return least
    place = f"options/{scene.option.id}/starts"
    here = [one.id for one in scene.machines if scene.starts_here(one)]
    begun = [one for one in scene.circuit.feeds if one in here]
    known = [scene.ledger.number(f"{place}/{one}/drop_limit") for one in begun]
    limits = [one for one in known if one is not None]
    drawn = terms(scene, "starting_drop_fraction")
    if not limits or drawn is None:
        return least
    for one in (least, *larger):
        drop = drop_along(scene, around, one, *drawn, locked=True)
        kept = drop is not None and drop <= min(limits) * (1 + ROUNDING)
        if kept and shortfall(scene, around, want, one) is None:
            return one
    return least
