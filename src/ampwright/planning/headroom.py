"""What the supply has left for the next machine, by each thing that limits it."""

from ampwright.finding import Finding, parameters
from ampwright.option import Option
from ampwright.planning.alternatives import Said
from ampwright.planning.burden import Burden
from ampwright.step import Figure, Worksheet


def headroom(asks: Burden, best: Option | None) -> Said:
    """Return what each limit of the supply has left beside the set that draws most.

    Args:
        asks: What limits the current, and what is left beside the load already there.
        best: The way that was chosen; without one nothing is left to be said.
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
    said = parameters(units, set=most.set, **left)
    return Said((Finding(code="plan.headroom", severity="info", where=("supply",),
                         parameters=said),), sheet.steps)  # fmt: skip
