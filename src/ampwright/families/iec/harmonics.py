"""Third harmonics in a neutral: which current then selects the size of a cable."""

from ampwright.families.iec.draft import Draft
from ampwright.region import CircuitDemand
from ampwright.step import Figure

TABLE = "harmonics"


def required_capacity(draft: Draft, line: Figure, third: Figure) -> Figure:
    """State the capacity that a loaded neutral makes a cable need [A]; its steps: ``harmonics``.

    Args:
        draft: Sheet of the circuit.
        line: Design current of the lines [A].
        third: Third harmonic of the line current, as a fraction of it.
    """
    percent = third.value * 100.0
    rows = draft.book.tables[TABLE].rows
    key = next((row["row"] for row in rows if percent <= float(row["upto_pct"])), rows[-1]["row"])
    factor = draft.read(
        "harmonics/factor", "f_h", "", table=TABLE, key=key, column="factor",
        rule="iec.523.6", inputs=[("h_3", third)],
    )  # fmt: skip
    neutral = draft.book.row(TABLE, key)["basis"] == "neutral"
    formula = "3 * h_3 * I_b / f_h" if neutral else "I_b / f_h"
    inputs = {"I_b": line, "f_h": factor} | ({"h_3": third} if neutral else {})
    return draft.work("harmonics/required_a", "I_z", "A", formula, "iec.523.6", **inputs)


def with_harmonics(
    draft: Draft, demand: CircuitDemand, needed: Figure, rule: str
) -> tuple[Figure, str]:
    """Return the capacity that a cable needs with what its neutral carries [A], and the rule.

    The device is the measure: with its rating in the lines the neutral has three times the third
    harmonic of it, and no device watches the neutral. Where nobody knows the harmonic it is asked.

    Args:
        draft: Sheet of the circuit.
        demand: What was asked.
        needed: Capacity without a loaded neutral [A].
        rule: Rule behind it.
    """
    if not demand.neutral:
        return needed, rule
    if demand.third_harmonic is None:
        for name in demand.feeds if demand.role == "branch" else ():
            draft.ask("machine.third-harmonic", f"machines.{name}.third_harmonic", "size")
        return needed, rule
    loaded = required_capacity(draft, needed, demand.third_harmonic)
    return loaded, "iec.523.6"
