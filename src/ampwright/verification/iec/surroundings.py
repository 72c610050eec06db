"""How a circuit is laid, from what site and supply state, and the factors that follow: 523."""

import math
from collections.abc import Mapping

import attrs

from ampwright.records.machine import Route
from ampwright.verification.iec.book import ROUNDING
from ampwright.verification.iec.scene import Scene
from ampwright.verification.ledger import close
from ampwright.verification.statements import every_machine

NEAR = ("supply", "idler", "output")
RUBBER = "rubber"


@attrs.frozen(kw_only=True)
class Surroundings:
    """What the capacity of any size here depends on.

    Attributes:
        material: ``"copper"`` or ``"aluminum"``.
        insulation: Designation, a row of the table of insulations.
        group: Class of the insulation: ``"pvc"``, ``"xlpe"`` or ``"rubber"``.
        limit_c: Highest temperature of the conductor [degC].
        metal: Column of the table of resistances.
        column: Column of the tables of capacities.
        factor: Product of the factors for heat, grouping and soil.
        rule: Clause of the factor that is smallest.
    """

    material: str
    insulation: str
    group: str
    limit_c: float
    metal: str
    column: tuple[str, int, str, str]
    factor: float
    rule: str


def route_of(scene: Scene) -> Route | None:
    """Return the stated route that the circuit follows: that of the machine whose length it has."""
    step = scene.ledger.steps.get(scene.path("conductor", "length_m"))
    length = "" if step is None else dict(step.inputs).get("L", "")
    words = length.split("/")
    if words[0] == "shop":
        words = words[1:]
    if words[0] != "machines" or len(words) < 2:
        return None
    known = every_machine(scene.shop)
    return next((one.route for one in known if one.id == words[1]), None)


def surroundings(scene: Scene) -> Surroundings | None:
    """Return what the circuit lies in; ``None``, and an objection, where a table has no answer."""
    book, site, route = scene.book, scene.shop.site, route_of(scene)
    word = str((route and route.installation) or site.installation or book.usual("installation"))
    way = (scene.ledger.table("installations") or {}).get(word)
    if way is None:
        scene.ledger.skipped("iec.523", scene.path("conductor"), f"installation {word}")
        return None
    material = str(site.conductor_material or book.usual("material"))
    insulation = str(site.insulation or way.get("insulation") or book.usual("insulation"))
    kind = (scene.ledger.table("insulation") or {}).get(insulation)
    conductor, ground = scene.circuit.conductor, bool(way.get("ground"))
    if conductor.material != material:
        scene.breach("iec.523", "conductor/material", material, conductor.material)
    if kind is None or conductor.insulation != insulation:
        scene.breach("iec.523", "conductor/insulation", insulation, conductor.insulation)
        return None
    if ground and not kind.get("ground"):
        scene.breach("iec.523", "conductor/insulation", "one for wet places", insulation)
    loaded = 3 if scene.circuit.phases == 3 else 2
    rubber = kind["class"] == RUBBER
    method = (way.get("method_three") if loaded == 3 else None) or way["method"]
    column = ("pvc" if rubber else kind["class"], loaded, material, method)
    factors = _factors(scene, way, kind, route)
    if factors is None:
        return None
    product = 1.0
    for _, value in factors:
        product *= value
    return Surroundings(
        material=material,
        insulation=insulation,
        group=kind["class"],
        limit_c=float(kind["limit_c"]),
        metal="flexible" if kind.get("flexible") else material,
        column=column,
        factor=product,
        rule=min(factors, key=lambda one: one[1])[0],
    )


def _factors(
    scene: Scene, way: Mapping[str, str], kind: Mapping[str, str], route: Route | None
) -> list[tuple[str, float]] | None:
    """Return the factors with their clauses, compared with those of the plan."""
    book, ground = scene.book, bool(way.get("ground"))
    around = temperature(scene, route, ground=ground)
    together = number_together(scene, route)
    if kind["class"] == RUBBER:
        heat = cord_factor(scene, float(kind["limit_c"]), around)
    else:
        heat = book.upto("ambient_ground" if ground else "ambient_air", around, kind["class"])
    group = book.upto("grouping_ground" if ground else "grouping", together, way["grouping"])
    found = [
        ("ambient_factor", "iec.523.2", heat),
        ("grouping_factor", "iec.523.5", group),
    ]
    if ground:
        found.append(("soil_factor", "iec.523.2", _soil(scene, way["method"].lower())))
    factors = []
    for name, rule, value in found:
        if value is None:
            scene.breach(rule, f"conductor/{name}", "no circuit here", "one")
            return None
        said = scene.number("conductor", name)
        if said is None or not close(said, value):
            scene.breach(rule, f"conductor/{name}", value, "none" if said is None else said)
        factors.append((rule, value))
    return factors


def cord_factor(scene: Scene, limit: float, around: float) -> float | None:
    """Return the factor of a conductor with a lower limit than that of its column, by its heat."""
    book = scene.book
    if around >= limit:
        return None
    table_k = book.factor("cord_table_limit_c") - book.factor("cord_reference_c")
    return min(math.sqrt((limit - around) / table_k), 1.0)


def temperature(scene: Scene, route: Route | None, *, ground: bool) -> float:
    """Return the temperature around the circuit [degC], and compare it with the plan's."""
    site = scene.shop.site
    if ground:
        name, known = "ground_c", [site.soil_temperature_c]
    else:
        name = "ambient_c"
        stated = route.ambient_c if route is not None and route.ambient_c is not None else None
        known = [site.ambient_c if stated is None else stated]
        if scene.circuit.role in NEAR and site.converter_place is not None:
            known.append(site.converter_place.ambient_c)
    listed = [float(one) for one in known if one is not None]
    return _same(scene, name, max(listed) if listed else float(scene.book.usual(name)))


def number_together(scene: Scene, route: Route | None) -> float:
    """Return how many loaded circuits lie together, and compare it with the plan's."""
    site = scene.shop.site
    stated = route.grouping if route is not None else None
    known = site.grouped_circuits if stated is None else stated
    if scene.circuit.role == "service":
        known = 1
    return _same(scene, "grouped_circuits", 1.0 if known is None else float(known))


def _soil(scene: Scene, column: str) -> float | None:
    stated = scene.shop.site.soil_resistivity_k_m_per_w
    value = float(scene.book.usual("soil_k_m_per_w") if stated is None else stated)
    return scene.book.upto("soil", _same(scene, "soil", value), column)


def _same(scene: Scene, name: str, value: float) -> float:
    said = scene.number("conditions", name)
    if said is None or not close(said, value):
        found = "none" if said is None else said
        rule = "iec.523.5" if name == "grouped_circuits" else "iec.523.2"
        scene.breach(rule, f"conditions/{name}", value, found)
    return value


def held(scene: Scene, around: Surroundings, size: str) -> float | None:
    """Return what a size may carry here [A]; ``None``: it is not tabulated."""
    free = scene.book.capacity(around.column, size)
    if free is None or scene.book.resistance(size, around.metal) is None:
        return None
    return free * around.factor


def listed(scene: Scene, around: Surroundings) -> tuple[str, ...]:
    """Return the sizes that there are for such a circuit, rising."""
    return tuple(one for one in scene.book.sizes if held(scene, around, one) is not None)


def ohms_per_metre(scene: Scene, around: Surroundings, size: str) -> float | None:
    """Return the resistance of one conductor in service [ohm/m]."""
    cold = scene.book.resistance(size, around.metal)
    if cold is None:
        return None
    alpha = scene.book.factor(f"alpha_{around.material}")
    return cold / 1e3 * (1 + alpha * (around.limit_c - 20))


def adiabatic(scene: Scene, around: Surroundings, size: str) -> float | None:
    """Return the constant k of a core of a cable: Table 43A [A s^0.5/mm2]."""
    name = f"{around.material} {around.group} line"
    if around.group == "pvc" and around.material == "copper" and float(size) > 300 + ROUNDING:
        name += " above 300"
    return scene.ledger.cell("adiabatic", name, "k")
