"""Flexible cable and socket-outlet at the end of a circuit: IEC 60309-2 and 523."""

from ampwright.verification.iec.book import ROUNDING
from ampwright.verification.iec.scene import Scene
from ampwright.verification.iec.surroundings import cord_factor, route_of, temperature

CODE = "protection.plug-rating"


def check_cord(scene: Scene) -> None:
    """Check that what is said of plug and cord is what device and surroundings ask for."""
    if not scene.corded:
        return
    said = next(
        (
            {part.name: part.value for part in one.parameters}
            for one in scene.option.findings
            if one.code == CODE and scene.circuit.id in one.where
        ),
        None,
    )
    if said is None:
        scene.breach("iec.60309-2", f"findings/{CODE}", "a finding", "none")
        return
    socket, cord = _socket(scene), _cord(scene)
    if said.get("receptacle") != socket:
        found = str(said.get("receptacle"))
        scene.breach("iec.60309-2", "cord/socket_a", socket or "none is large enough", found)
    if cord is not None and said.get("cord") != cord:
        scene.breach("iec.523", "cord/cable", cord or "none is large enough", str(said.get("cord")))


def _socket(scene: Scene) -> str:
    """Return the smallest socket-outlet that is rated at least like the device."""
    rating = scene.circuit.protective_device.rating_a or 0.0
    phases = scene.circuit.phases
    pins = (phases, (3 if phases == 3 else 2) + scene.neutral)
    rows = [
        row for row in scene.book.rows("sockets") if (int(row["phases"]), int(row["poles"])) == pins
    ]
    fitting = [row for row in rows if float(row["rating_a"]) >= rating]
    return min(fitting, key=lambda row: float(row["rating_a"]))["row"] if fitting else ""


def _cord(scene: Scene) -> str | None:
    """Return the smallest cord that carries what the device allows; ``None``: no answer."""
    way = (scene.ledger.table("installations") or {}).get("cord", {})
    kind = (scene.ledger.table("insulation") or {}).get(way.get("insulation", ""))
    if kind is None:
        scene.ledger.skipped("iec.523", scene.path("cord"), "the insulation of cords")
        return None
    # where the circuit itself lies in the ground, its cord has the temperature of the ground
    route = route_of(scene)
    site = scene.shop.site
    word = str(
        (route and route.installation) or site.installation or scene.book.usual("installation")
    )
    laid = (scene.ledger.table("installations") or {}).get(word, {})
    around = temperature(scene, route, ground=bool(laid.get("ground")))
    heat = cord_factor(scene, float(kind["limit_c"]), around)
    group = scene.book.upto("grouping", 1.0, way["grouping"])
    if heat is None or group is None:
        return ""
    loaded = 3 if scene.circuit.phases == 3 else 2
    rating = scene.circuit.protective_device.rating_a or 0.0
    for size in scene.book.sizes:
        free = scene.book.capacity(("pvc", loaded, "copper", way["method"]), size)
        there = scene.book.resistance(size, "flexible")
        if free is not None and there and free * heat * group >= rating * (1 - ROUNDING):
            return f"{size} mm2"
    return ""
