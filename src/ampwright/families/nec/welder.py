"""Welders: their conductors by duty cycle, their devices by a multiple of the primary current.

Parts II and III of article 630 differ: an arc welder counts by its effective current and takes a
device of twice its primary current, a resistance welder counts by a fixed share of its primary
current and takes three times. Where nothing tells which one it is, the part that asks for more
rules in each question.
"""

from collections.abc import Sequence

import attrs

from ampwright.families.nec.design import Design
from ampwright.families.nec.device import Ceiling
from ampwright.families.nec.draft import Draft
from ampwright.families.nec.ratings import ceiling_up, write_rating
from ampwright.finding import parameters
from ampwright.region import CircuitDemand, LoadDemand
from ampwright.step import Figure

#: Duty cycle above which the table of resistance welders ends [%].
RESISTANCE_MOST = 50.0


@attrs.frozen(kw_only=True)
class Part:
    """What one part of the article asks for.

    Attributes:
        one: Rule on the conductors of one welder.
        group: Rule on the conductors of several.
        shares: Shares of the largest, the second and so on of a group.
        rest: Share of all others.
        factor: Device over primary current, a name in the table of factors.
        device: Rule behind it.
        relation: How device and conductor are tied.
        disconnect: Rule on the disconnect.
    """

    one: str
    group: str
    shares: tuple[str, ...]
    rest: str
    factor: str
    device: str
    relation: str
    disconnect: str


ARC = Part(
    one="nec.630.11(A)", group="nec.630.11(B)", shares=("1.0", "1.0", "0.85", "0.7"), rest="0.6",
    factor="welder_device", device="nec.630.12(A)", relation="welder",
    disconnect="nec.630.13",
)  # fmt: skip
RESISTANCE = Part(
    one="nec.630.31(A)", group="nec.630.31(B)", shares=("1.0",), rest="0.6",
    factor="resistance_welder_device", device="nec.630.32(A)", relation="resistance-welder",
    disconnect="nec.630.33",
)  # fmt: skip


def construction(load: LoadDemand) -> str:
    """Return ``"arc"`` or ``"resistance"``, ``""`` where nothing tells."""
    # only arc welders are marked with these: 630.14 and 630.34
    marked = load.effective_current is not None or load.largest_current is not None
    return load.construction or ("arc" if marked else "")


def effective(draft: Draft, load: LoadDemand) -> Figure:
    """State the current by which a welder counts for conductors [A]."""
    here, made = f"loads/{load.id}", construction(load)
    if load.effective_current is not None:
        return draft.work(
            f"{here}/counted_a", "I_1eff", "A", "I", ARC.one, I=load.effective_current
        )
    if not made:
        draft.assumed("machine.welder-kind", parameters(load=load.id))
        draft.ask(
            "machine.welder-kind", f"machines.{load.machine}.loads.name", "figures",
            ("arc welder", "resistance welder"),
        )  # fmt: skip
    terms: dict[str, Figure] = {}
    if made != "resistance":
        terms["m"] = arc_multiplier(draft, load)
    if made != "arc":
        terms |= resistance_multipliers(draft, load)
    most = max(terms, key=lambda name: terms[name].value)
    formula = f"max({', '.join(terms)}) * I_1" if len(terms) > 1 else f"{most} * I_1"
    rule = ARC.one if most == "m" else RESISTANCE.one
    return draft.work(f"{here}/counted_a", "I", "A", formula, rule, **terms, I_1=load.current)


def arc_multiplier(draft: Draft, load: LoadDemand) -> Figure:
    """State the share of its primary current by which an arc welder counts."""
    percent = 100.0 if load.duty_cycle is None else 100.0 * load.duty_cycle.value
    if load.duty_cycle is None:
        # it was taken to draw its current without a pause: the answer can only ask for less
        draft.ask("plan.data-needed", f"machines.{load.machine}.loads.duty_cycle", "figures")
    inputs = [("X", load.duty_cycle)] if load.duty_cycle is not None else []
    return draft.read(
        f"loads/{load.id}/multiplier", "m", "", table="arc_welder",
        key=duty_row(draft, "arc_welder", "nonmotor_generator", percent),
        column="nonmotor_generator", rule=ARC.one, inputs=inputs,
    )  # fmt: skip


def resistance_multipliers(draft: Draft, load: LoadDemand) -> dict[str, Figure]:
    """State the shares of which the larger counts a resistance welder.

    Nothing tells whether one operation is all it will ever do, so that what holds for changing
    operations, of automatic welders, is the least; the table by duty cycle may ask for more.
    """
    here = f"loads/{load.id}"
    shares = {"m_v": draft.factor(f"{here}/varying", "m_v", "welder_varying")}
    if load.duty_cycle is None:
        return shares
    percent = 100.0 * load.duty_cycle.value
    if percent > RESISTANCE_MOST + 1e-9:
        return {"m_c": draft.work(f"{here}/whole", "m_c", "", "1.0", RESISTANCE.one)}
    shares["m_r"] = draft.read(
        f"{here}/resistance_multiplier", "m_r", "", table="resistance_welder",
        key=duty_row(draft, "resistance_welder", "multiplier", percent), column="multiplier",
        rule=RESISTANCE.one, inputs=[("X", load.duty_cycle)],
    )  # fmt: skip
    return shares


def duty_row(draft: Draft, table: str, column: str, percent: float) -> str:
    """Return the row at or above a duty cycle: what is not tabulated counts as the next longer."""
    rows = draft.book.column(table, column)
    return min((key for key in rows if float(key) >= percent - 1e-9), key=float)


def own_device(draft: Draft, welders: Sequence[LoadDemand], part: Part) -> Figure:
    """State the largest device that the smallest of several welders may have [A]."""
    smallest = min(welders, key=lambda one: (one.largest_current or one.current).value)
    here = f"loads/{smallest.id}/own_device"
    most = draft.work(
        f"{here}/calculated_a", "I_max", "A", f"{draft.book.factor(part.factor)!r} * I_1",
        part.device, I_1=smallest.largest_current or smallest.current,
    )  # fmt: skip
    return write_rating(draft, f"{here}/rating_a", "I_max", ceiling_up(draft.book, most.value),
                        part.device, [("I_max", most)])  # fmt: skip


def say_own_devices(draft: Draft, own: tuple[Figure, str], device: Figure) -> None:
    """Say that welders that share a circuit need devices of their own, where its is too large.

    A device is not asked for where that of the conductors is no larger: 630.12(A), 630.32(A).
    """
    largest, rule = own
    if device.value > largest.value:
        draft.find("machine.welders-share", "caution", rule, "largest=A", largest=largest)


def welder_circuit(draft: Draft, demand: CircuitDemand) -> Design:
    """Return what the rules ask of a circuit with welders alone on it."""
    counted = sorted(
        ((one, effective(draft, one)) for one in demand.loads),
        key=lambda pair: (-pair[1].value, pair[0].id),
    )
    part = RESISTANCE if all(construction(one) == "resistance" for one in demand.loads) else ARC
    shares = [*part.shares, *[part.rest] * len(counted)]
    formula = " + ".join(f"{share} * W{n}" for n, share in enumerate(shares[: len(counted)]))
    rule = part.one if len(counted) == 1 else part.group
    inputs = {f"W{n}": figure for n, (_, figure) in enumerate(counted)}
    current = draft.work("design_current_a", "I_b", "A", formula, rule, **inputs)
    largest = max(demand.loads, key=lambda one: one.current.value)
    ceiling = own = None
    if len(counted) == 1:
        calculated = draft.work(
            "protective_device/ceiling/calculated_a", "I_max", "A",
            f"{draft.book.factor(part.factor)!r} * I_1", part.device,
            I_1=largest.largest_current or largest.current,
        )  # fmt: skip
        ceiling = Ceiling(
            rating=write_rating(
                draft, "protective_device/ceiling/rating_a", "I_max",
                ceiling_up(draft.book, calculated.value), part.device, [("I_max", calculated)],
            ),
            rule=part.device,
        )  # fmt: skip
    else:
        own = (own_device(draft, demand.loads, part), part.device)
    carried = draft.work(
        "protective_device/load_a", "I_load", "A", "max(I_1, I_b)", part.device,
        I_1=largest.current, I_b=current,
    )  # fmt: skip
    draft.find("machine.welder-duty", "caution", rule, "current=A", current=current)
    return Design(
        current=current,
        corrected=current,
        rule=rule,
        needs={"load": (carried, part.device)},
        ceiling=ceiling,
        own_device=own,
        relation=part.relation,
        disconnect=(carried if part is ARC else current, part.disconnect),
    )
