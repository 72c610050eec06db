"""Cords and receptacles at the end of a branch circuit: 400.5(A)(1), 210.21(B)."""

import math

from ampwright.verification.nec.scene import Scene
from ampwright.verification.notation import bare

CORD_COLUMN_C = 60.0
LEAST_AWG = 14
SMALLEST_ODD_AWG = 4  # common practice, no source: even sizes are made, and from 4 AWG up all


def check_cord(scene: Scene) -> None:
    """Check the size of the cord and the rating of the receptacle, where the plan has them."""
    ledger, circuit = scene.ledger, scene.circuit
    path = scene.path("cord")
    if f"{path}/size" not in ledger.steps:
        return
    ambient = scene.number("conditions", "ambient_c")
    factor = None if ambient is None else scene.book.ambient_factor(ambient, CORD_COLUMN_C)
    if factor is None:
        ledger.skipped("nec.400.5", f"{path}/size", "a factor for the ambient")
        return
    column = "a_three" if circuit.phases == 3 else "b_two"
    need = _need(scene)
    right = next(
        (
            row["size"]
            for row in scene.book.rows("cord_ampacity")
            if _sold(row["size"]) and float(row[column]) * factor >= need * (1 - 1e-9)
        ),
        None,
    )
    found = bare(ledger.text(f"{path}/size"))
    if right is None:
        ledger.breach("nec.400.5", f"{path}/size", "no cord is large enough", found)
    elif found != right:
        held = (ledger.cell("cord_ampacity", found, column) or 0.0) * factor
        if held < need * (1 - 1e-9):
            ledger.breach("nec.400.5", f"{path}/size", right, found)
        else:
            ledger.larger("nec.400.5", f"{path}/size", right, found)
    _receptacle(scene, f"{path}/receptacle")


def _sold(size: str) -> bool:
    """Tell whether cord of *size* is to be had, and none below the least of a branch circuit."""
    number = int(size)
    return (number % 2 == 0 or number < SMALLEST_ODD_AWG) and number <= LEAST_AWG


def _need(scene: Scene) -> float:
    """Return what cord and receptacle must be made for [A].

    They follow the circuit's rating, 210.21(B)(1), save behind the larger device of a motor or
    welder.
    """
    circuit = scene.circuit
    kinds = {one.record.kind for one in scene.loads}
    if scene.motors or "welder" in kinds:
        return circuit.design_current_a
    return max(circuit.design_current_a, circuit.protective_device.rating_a or 0.0)


def _receptacle(scene: Scene, path: str) -> None:
    ledger = scene.ledger
    found = ledger.text(path)
    if not found:
        return
    need, phases = _need(scene), str(scene.circuit.phases)
    kind = (phases, "1" if scene.neutral else "")
    rows = [
        row
        for row in scene.book.rows("receptacles")
        if (row["phases"], row.get("neutral") or "") == kind
    ]
    fitting = [row for row in rows if float(row["rating_a"]) >= need * (1 - 1e-9)]
    right = min(fitting, key=lambda row: float(row["rating_a"]), default=None)
    if right is None or right["marking"] == found:
        return
    rating = ledger.cell("receptacles", found, "rating_a") or math.nan
    if rating > float(right["rating_a"]):
        ledger.larger("nec.210.21(B)", path, right["marking"], found)
    else:
        ledger.breach("nec.210.21(B)", path, right["marking"], found)
