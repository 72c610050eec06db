"""What the supply has left for the next machine, by each thing that limits it."""

from ampwright.finding import Finding, parameters
from ampwright.option import Option
from ampwright.planning.alternatives import Said
from ampwright.planning.burden import Burden
from ampwright.records.supply import Panel
from ampwright.step import Figure, Worksheet


def headroom(asks: Burden, best: Option | None, panel: Panel | None = None) -> Said:
    """Return what each limit of the supply has left beside the set that draws most.

    Args:
        asks: What limits the current, and what is left beside the load already there.
        best: The way that was chosen; without one nothing is left to be said.
        panel: The panel, for the poles that the circuits of this way leave free.
    """
    totals = [one for one in (best.states if best else ()) if one.converter == ""]
    if best is None or not totals or not asks.left:
        return Said((), ())
    most = max(totals, key=lambda one: (one.input_current_a, one.id))
    drawn = Figure(most.input_current_a, f"options/{best.id}/states/{most.id}/input_current_a")
    sheet = Worksheet("headroom")
    left = {
        one.name: sheet.formula(
            f"{one.name}_a", "I_spare", "A", "max(L - I, 0)", L=one.left, I=drawn
        )
        for one in asks.left
    }
    units = " ".join(f"{name}=A" for name in left)
    said = parameters(units, set=most.set, **left, **poles(best, panel, sheet))
    return Said((Finding(code="plan.headroom", severity="info", where=("supply",),
                         parameters=said),), sheet.steps)  # fmt: skip


def poles(best: Option, panel: Panel | None, sheet: Worksheet) -> dict[str, Figure]:
    """Return the poles that the circuits fed from the panel leave free; nothing where not known.

    A single-phase panel cannot take a circuit of three lines that no converter feeds: that one
    hangs on a connection of its own.
    """
    if panel is None or panel.free_poles is None:
        return {}
    terms = {
        f"P{n}": Figure(
            float(one.protective_device.poles),
            f"options/{best.id}/circuits/{one.id}/protective_device/poles",
        )
        for n, one in enumerate(best.circuits)
        if not one.fed_from and one.role != "service" and one.phases == 1
    }
    free = Figure(float(panel.free_poles), "shop/supply/panel/free_poles")
    formula = " - ".join(["max(N", *terms]) + ", 0)"
    return {"poles": sheet.formula("poles", "n_spare", "", formula, terms, N=free)}
