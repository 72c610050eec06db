"""Loads that are no motors: continuous loads, heaters, and how they enter the sum with motors."""

from ampwright.families.nec.design import Design
from ampwright.families.nec.draft import Draft
from ampwright.families.nec.transformer import primary
from ampwright.families.nec.welder import effective, welder_circuit
from ampwright.region import CircuitDemand, LoadDemand
from ampwright.step import Figure


def weighted(draft: Draft, load: LoadDemand) -> Figure:
    """State what a load counts for: 125 % where it runs three hours or more [A]."""
    if load.kind == "welder":
        return effective(draft, load)
    path = f"loads/{load.id}/counted_a"
    factor = draft.book.factor("continuous_load")
    formula = f"{factor!r} * I" if load.continuous else "I"
    return draft.work(path, "I", "A", formula, "nec.210.19(A)", I=load.current)


def load_circuit(draft: Draft, demand: CircuitDemand) -> Design:
    """Return what the rules ask of a circuit with loads alone on it."""
    if all(one.kind == "welder" for one in demand.loads):
        return welder_circuit(draft, demand)
    counted = {f"L{n}": weighted(draft, one) for n, one in enumerate(demand.loads)}
    plain = {f"L{n}": one.current for n, one in enumerate(demand.loads)}
    feeder = demand.role in ("output", "service")
    rule = "nec.215.2(A)" if feeder else "nec.210.19(A)"
    device_rule = "nec.215.3" if feeder else "nec.210.20(A)"
    current = draft.work("design_current_a", "I_b", "A", " + ".join(counted), rule, **counted)
    total = draft.work("full_load_sum_a", "I_sum", "A", " + ".join(plain), rule, **plain)
    needs, ceiling = {"load": (current, device_rule)}, None
    if [one.kind for one in demand.loads] == ["transformer"]:
        ceiling, inrush = primary(draft, total, auto=demand.loads[0].construction == "auto")
        if ceiling is not None:
            needs["inrush"] = (inrush, ceiling.rule)
    return Design(
        current=current,
        corrected=total,
        rule=rule,
        needs=needs,
        ceiling=ceiling,
        disconnect=(current, rule) if demand.role == "branch" else None,
    )
