"""The raceway: the smallest trade size that is not filled beyond the allowed share."""

from ampwright.equipment.conductor import Raceway
from ampwright.families.nec.book import size_key
from ampwright.families.nec.conditions import Conditions
from ampwright.families.nec.draft import Draft
from ampwright.families.nec.ratings import reaches
from ampwright.step import Figure

HERE = "raceway"


def insulated(
    draft: Draft, phase: str, protective: str, family: str, rule: str
) -> dict[str, Figure]:
    """State the areas of phase and grounding conductors with their insulation, by symbol [in2]."""
    return {
        symbol: draft.read(
            f"{HERE}/{name}_area_in2", symbol, "in2", table="insulated_area",
            key=size_key(size), column=f"{family}_area_in2", rule=rule,
        )
        for symbol, name, size in (("a_p", "phase", phase), ("a_g", "protective", protective))
    }  # fmt: skip


def wireway(
    draft: Draft,
    conditions: Conditions,
    phase: str,
    count: Figure,
    protective: str,
    family: str,
) -> None:
    """Say how large a wireway has to be inside: its conductors fill a fifth of it at most."""
    areas = insulated(draft, phase, protective, family, "nec.376.22")
    needed = draft.work(
        f"{HERE}/needed_in2", "a", "in2", "circuits * (n * a_p + a_g) / 0.2", "nec.376.22",
        circuits=conditions.circuits, n=count, **areas,
    )  # fmt: skip
    draft.find("raceway.wireway-area", "info", "nec.376.22", "area=in2", area=needed)


def raceway(
    draft: Draft, conditions: Conditions, phase: str, count: Figure, protective: str
) -> Raceway | None:
    """Return the raceway of a circuit; its steps stand below ``raceway``.

    Args:
        draft: Sheet of the circuit.
        conditions: How the circuit is installed.
        phase: Name of the size of the current-carrying conductors.
        count: Their number.
        protective: Name of the size of the equipment grounding conductor.

    Returns:
        The raceway; ``None`` for a cable, and where its table or the area of the insulation is not
        at hand, which is said.
    """
    book = draft.book
    if not conditions.raceway:
        return None
    kind = book.tables["raceways"].row(conditions.raceway)
    family = (book.tables["insulation"].row(conditions.insulation) or {}).get("area", "")
    if kind is None or not family:
        draft.find(
            "plan.rule-not-checked", "caution", "nec.9.1",
            raceway=conditions.raceway, insulation=conditions.insulation,
        )  # fmt: skip
        return None
    if not kind["sizes"]:
        wireway(draft, conditions, phase, count, protective, family)
        return None
    areas = insulated(draft, phase, protective, family, "nec.9.1")
    filled = draft.work(
        f"{HERE}/filled_in2", "a", "in2", "circuits * (n * a_p + a_g)", "nec.9.1",
        circuits=conditions.circuits, n=count, **areas,
    )  # fmt: skip
    conductors = draft.work(
        f"{HERE}/conductors", "n", "", "circuits * (n + 1)", "nec.9.1",
        circuits=conditions.circuits, n=count,
    )  # fmt: skip
    # two live conductors and the grounding conductor are more than two in any case
    percent = draft.read(
        f"{HERE}/percent", "p", "%", table="raceway_fill", key="over_2", column="percent",
        rule="nec.9.1", inputs=[("n", conductors)],
    )  # fmt: skip
    limit = draft.work(f"{HERE}/limit_fraction", "f", "", "p / 100", "nec.9.1", p=percent)
    totals = book.column(kind["sizes"], "area_100")
    fits = (key for key, all_ in totals.items() if reaches(limit.value, filled.value / all_))
    trade = next(fits, None)
    if trade is None:
        draft.find("raceway.none-large-enough", "blocks", "nec.9.1", "area=in2", area=filled)
        return None
    total = draft.read(
        f"{HERE}/total_in2", "A", "in2", table=kind["sizes"], key=trade, column="area_100",
        rule="nec.9.4",
    )  # fmt: skip
    fill = draft.work(f"{HERE}/fill_fraction", "f", "", "a / A", "nec.9.1", a=filled, A=total)
    draft.read(
        f"{HERE}/size", "size", "in", table=kind["sizes"], key=trade, column="area_100",
        value=trade, rule="nec.9.4", inputs=[("a", filled), ("limit", limit)],
    )  # fmt: skip
    below = list(totals).index(trade) - 1
    if below >= 0:
        smaller = draft.read(
            f"{HERE}/smaller/total_in2", "A", "in2", table=kind["sizes"],
            key=list(totals)[below], column="area_100", rule="nec.9.4",
        )  # fmt: skip
        draft.work(
            f"{HERE}/smaller/fill_fraction", "f", "", "a / A", "nec.9.1", a=filled, A=smaller
        )
    return Raceway(
        kind=conditions.raceway,
        size=trade,
        fill_fraction=fill.value,
        limit_fraction=limit.value,
    )
