"""What supply and converters have left for the next machine, by each thing that limits them."""

from collections.abc import Collection

from ampwright.equipment.converter import Converter
from ampwright.finding import Finding, parameters
from ampwright.option import Option
from ampwright.planning.alternatives import Said
from ampwright.planning.burden import Burden
from ampwright.records.supply import Panel
from ampwright.step import Figure, Worksheet

#: Constraints on a converter that come from a start; all others are those of running for long.
STARTING = frozenset(("start-torque", "run-up-time", "start-current"))


def headroom(asks: Burden, best: Option | None, panel: Panel | None = None) -> Said:
    """Return what each limit of the supply has left beside the set that draws most.

    The main device has no more than the wiring code leaves it: its load of the service may count
    more than what is drawn, as a measured load with a quarter more.

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
    sheet, left = Worksheet("headroom"), {}
    path = f"options/{best.id}/service/spare_a"
    by_code = next((Figure(float(one.value), path) for one in best.steps if one.path == path), None)
    for one in asks.left:
        terms, formula = {"L": one.left, "I": drawn}, "max(L - I, 0)"
        if one.name == "main" and by_code is not None:
            terms["S"], formula = by_code, "max(min(L - I, S), 0)"
        left[one.name] = sheet.formula(f"{one.name}_a", "I_spare", "A", formula, terms)
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


def of_converters(best: Option | None, shared: Collection[str]) -> Said:
    """Return what each converter that others may join has left of its rating.

    It is its rating less the smallest standard size that the constraints of running, or those of a
    start, alone ask for: no more than there is, as that size may be larger than what they need.

    Args:
        best: The way that was chosen; without one nothing is left to be said.
        shared: The methods whose converters serve any number of machines.
    """
    sheet, found = Worksheet("headroom"), []
    if best is None:
        return Said((), ())
    for one in best.converters:
        said = spare(best, one, sheet) if one.method in shared and one.joins is None else {}
        if said:
            unit = "W" if one.rating_w is not None else "VA"
            units = " ".join(f"{name}={unit}" for name in said)
            found.append(
                Finding(code="converter.headroom", severity="info", where=(one.id,),
                        parameters=parameters(units, **said))
            )  # fmt: skip
    return Said(tuple(found), sheet.steps)


def spare(best: Option, one: Converter, sheet: Worksheet) -> dict[str, Figure]:
    """Return what *one* has left of its rating while all runs, and for a start, as far as known."""
    name = "rating_w" if one.rating_w is not None else "rating_va"
    value = getattr(one, name)
    if value is None:
        return {}
    rating = Figure(value, f"options/{best.id}/converters/{one.id}/{name}")
    unit, part, left = "W" if name == "rating_w" else "VA", sheet.under(one.id), {}
    for key, starts in (("running", False), ("starting", True)):
        asks = {
            f"a{n}": Figure(limit.asks, f"options/{best.id}/limits/{limit.id}/asks")
            for n, limit in enumerate(best.limits)
            if limit.subject == one.id
            and limit.asks is not None
            and limit.unit == unit
            and not limit.cross_check
            and (limit.constraint in STARTING) is starts
        }
        if asks:
            least = f"max({', '.join(asks)})" if len(asks) > 1 else next(iter(asks))
            symbol = "P_spare" if unit == "W" else "S_spare"
            left[key] = part.formula(key, symbol, unit, f"max(P - {least}, 0)", asks, P=rating)
    return left
