"""Welders: their conductors by duty cycle, their devices by a multiple of the primary current."""

from ampwright.families.nec.design import Design
from ampwright.families.nec.device import Ceiling
from ampwright.families.nec.draft import Draft
from ampwright.families.nec.ratings import ceiling_up, write_rating
from ampwright.finding import parameters
from ampwright.region import CircuitDemand, LoadDemand
from ampwright.step import Figure

#: Shares of the largest, the second and so on of a group of arc welders, and of all others.
GROUP_SHARES, REST_SHARE = ("1.0", "1.0", "0.85", "0.7"), "0.6"


def effective(draft: Draft, load: LoadDemand) -> Figure:
    """State the current by which an arc welder counts for conductors [A]."""
    here = f"loads/{load.id}"
    draft.assumed("machine.arc-welder", parameters(load=load.id))
    if load.effective_current is not None:
        return draft.work(
            f"{here}/counted_a", "I_1eff", "A", "I", "nec.630.11(A)", I=load.effective_current
        )
    cells = draft.book.column("arc_welder", "nonmotor_generator")
    percent = 100.0 if load.duty_cycle is None else 100.0 * load.duty_cycle.value
    if load.duty_cycle is None:
        # it was taken to draw its current without a pause: the answer can only ask for less
        draft.ask("plan.data-needed", f"machines.{load.machine}.loads.duty_cycle", "figures")
    # the row at or above the duty cycle: what is not tabulated counts as the next longer duty
    key = min((key for key in cells if float(key) >= percent - 1e-9), key=float)
    inputs = [("X", load.duty_cycle)] if load.duty_cycle is not None else []
    multiplier = draft.read(
        f"{here}/multiplier", "m", "", table="arc_welder", key=key, column="nonmotor_generator",
        rule="nec.630.11(A)", inputs=inputs,
    )  # fmt: skip
    return draft.work(
        f"{here}/counted_a", "I", "A", "m * I_1", "nec.630.11(A)", m=multiplier, I_1=load.current
    )


def welder_circuit(draft: Draft, demand: CircuitDemand) -> Design:
    """Return what the rules ask of a circuit with arc welders alone on it."""
    counted = sorted(
        ((one, effective(draft, one)) for one in demand.loads),
        key=lambda pair: (-pair[1].value, pair[0].id),
    )
    shares = [*GROUP_SHARES, *[REST_SHARE] * len(counted)]
    formula = " + ".join(f"{share} * W{n}" for n, share in enumerate(shares[: len(counted)]))
    rule = "nec.630.11(A)" if len(counted) == 1 else "nec.630.11(B)"
    inputs = {f"W{n}": figure for n, (_, figure) in enumerate(counted)}
    current = draft.work("design_current_a", "I_b", "A", formula, rule, **inputs)
    largest = max(demand.loads, key=lambda one: one.current.value)
    ceiling = None
    if len(counted) == 1:
        calculated = draft.work(
            "protective_device/ceiling/calculated_a", "I_max", "A",
            f"{draft.book.factor('welder_device')!r} * I_1", "nec.630.12(A)",
            I_1=largest.largest_current or largest.current,
        )  # fmt: skip
        ceiling = Ceiling(
            rating=write_rating(
                draft, "protective_device/ceiling/rating_a", "I_max",
                ceiling_up(draft.book, calculated.value), "nec.630.12(A)", [("I_max", calculated)],
            ),
            rule="nec.630.12(A)",
        )  # fmt: skip
    carried = draft.work(
        "protective_device/load_a", "I_load", "A", "max(I_1, I_b)", "nec.630.12(A)",
        I_1=largest.current, I_b=current,
    )  # fmt: skip
    draft.find("machine.welder-duty", "caution", rule, "current=A", current=current)
    return Design(
        current=current,
        corrected=current,
        rule=rule,
        needs={"load": (carried, "nec.630.12(A)")},
        ceiling=ceiling,
        relation="welder",
        disconnect=(carried, "nec.630.13"),
    )
