"""The device at the head of a circuit: what each curve asks for, and the smallest that does."""

import math

from ampwright.verification.iec.book import ROUNDING, Family
from ampwright.verification.iec.demand import Demand
from ampwright.verification.iec.scene import Scene


def asked(scene: Scene, family: Family, demand: Demand) -> tuple[float, str]:
    """Return the smallest rating that a breaker of a family needs [A], and the clause behind it.

    It carries the load; what flows in the first half-wave of a start, or when something is
    switched on, stays below its instantaneous trip; the heat of the start does not open it.
    """
    needs = [(demand.load, "iec.433.1")]
    if family.low is not None:
        needs.append((demand.inrush / family.low, "iec.60898-1.hold"))
        if demand.start > 0:
            peak = scene.book.factor("first_half_cycle") * demand.start
            needs.append((peak / family.low, family.rule))
            kept = math.exp(-demand.time / family.tau)
            heat = math.sqrt(demand.start**2 * (1 - kept) + demand.before**2 * kept)
            needs.append((heat / family.hold, "iec.60898-1.hold"))
    return max(needs, key=lambda one: one[0])


def fitting(scene: Scene, family: Family, demand: Demand) -> float:
    """Return the smallest standard rating of a family that suffices [A]; infinite if none."""
    least = asked(scene, family, demand)[0]
    rated = (one for one in family.ratings if one >= least * (1 - ROUNDING))
    return next(rated, math.inf)


def check_device(scene: Scene, demand: Demand) -> Family | None:
    """Check curve and rating of the device; return its family."""
    device, path = scene.circuit.protective_device, scene.path("protective_device", "rating_a")
    rating, book, ledger = device.rating_a, scene.book, scene.ledger
    own = None if rating is None else book.family(device.curve, rating)
    if rating is None or own is None or own.kind != device.kind:
        ledger.breach("iec.60898-1", path, "a standard rating", rating or 0.0, "A")
        return None
    if rating < demand.load * (1 - ROUNDING):
        ledger.breach("iec.433.1", path, demand.load, rating, "A")
        return own
    if any(one.kind == "fuse" for one in book.families):
        ledger.skipped("iec.60269-1", path, "the times of fuses")
        return own
    best = [(fitting(scene, one, demand), place) for place, one in enumerate(book.families)]
    right, place = min(best)
    least, rule = asked(scene, own, demand)
    if math.isinf(right):
        ledger.breach(rule, path, "no standard device suffices", rating, "A")
    elif rating < least * (1 - ROUNDING):
        ledger.breach(rule, path, fitting(scene, own, demand), rating, "A")
    elif rating > right:
        ledger.larger(rule, path, right, rating, "A")
    elif book.families[place].curve != own.curve:
        path = scene.path("protective_device", "curve")
        ledger.larger(rule, path, book.families[place].curve, own.curve)
    _check_curve(scene)
    return own


def _check_curve(scene: Scene) -> None:
    device = scene.circuit.protective_device
    said = scene.ledger.text(scene.path("protective_device", "curve"))
    if said != device.curve:
        scene.breach("iec.60898-1", "protective_device/curve", said or "a step", device.curve)
