"""Loads that are no motors: what they count for, their inrush, their residual current."""

from collections.abc import Sequence

from ampwright.families.iec.design import Design
from ampwright.families.iec.device import Needs
from ampwright.families.iec.draft import Draft
from ampwright.region import CircuitDemand, LoadDemand
from ampwright.step import Figure

#: Kinds whose residual current is not sinusoidal.
RECTIFYING = ("rectifier", "thyristor", "welder")


def counted(draft: Draft, load: LoadDemand) -> Figure:
    """State the current that heats a conductor as a load does [A].

    A welder counts with its effective current, or with the root of its duty cycle.
    """
    path = f"loads/{load.id}/counted_a"
    if load.kind == "welder" and load.effective_current is not None:
        return draft.work(path, "I_L", "A", "I", "iec.433.1", I=load.effective_current)
    if load.kind == "welder" and load.duty_cycle is not None:
        return draft.work(
            path, "I_L", "A", "I * sqrt(d)", "iec.433.1", I=load.current, d=load.duty_cycle
        )
    return draft.work(path, "I_L", "A", "I", "iec.433.1", I=load.current)


def inrush(draft: Draft, loads: Sequence[LoadDemand]) -> Figure | None:
    """State the largest first half-wave of the loads, the others running [A]; ``None``: none."""
    if not loads:
        return None
    multiples = draft.book.column("inrush", "multiple")
    surges = {}
    for n, one in enumerate(loads):
        key = one.kind if one.kind in multiples else "control"
        k = draft.read(
            f"loads/{one.id}/inrush_multiple", f"k{n}", "", table="inrush", key=key,
            column="multiple", rule="iec.60898-1.hold",
        )  # fmt: skip
        surges[f"k{n}"] = k
    terms = []
    for n in range(len(loads)):
        others = [f"L{m}" for m in range(len(loads)) if m != n]
        terms.append(" + ".join([f"k{n} * L{n}", *others]))
    inputs = surges | {f"L{n}": one.current for n, one in enumerate(loads)}
    formula = f"max({', '.join(terms)})" if len(terms) > 1 else terms[0]
    return draft.work(
        "protective_device/inrush_a", "I_peak", "A", formula, "iec.60898-1.hold", **inputs
    )


def waveform_of(demand: CircuitDemand) -> str:
    """Return the row of ``residual_current_needs`` for what a circuit of plain conductors feeds."""
    if demand.inverted:
        return "electronic"
    if demand.rectified or any(one.rectified for one in demand.motors):
        return "machine-drive"
    return "rectifier" if any(one.kind in RECTIFYING for one in demand.loads) else "plain"


def load_circuit(draft: Draft, demand: CircuitDemand) -> Design:
    """Return what the rules ask of a circuit with loads alone on it."""
    parts = {f"L{n}": counted(draft, one) for n, one in enumerate(demand.loads)}
    total = draft.work("full_load_sum_a", "I_sum", "A", " + ".join(parts), "iec.433.1", **parts)
    inputs, formula = {"I_sum": total}, "I_sum"
    if not any(one.kind == "welder" for one in demand.loads):
        inputs["I_run"] = demand.running_current
        formula = "max(I_sum, I_run)"
    current = draft.work("design_current_a", "I_b", "A", formula, "iec.433.1", **inputs)
    return Design(
        current=current,
        rule="iec.433.1",
        needs=Needs(load=current, rule="iec.433.1", peak=inrush(draft, demand.loads)),
        switch=demand.role == "branch",
        waveform=waveform_of(demand),
    )
