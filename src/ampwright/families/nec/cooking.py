"""The demand of household cooking appliances: Table 220.55."""

from collections.abc import Sequence

from ampwright.families.nec.draft import Draft
from ampwright.step import Figure

TABLE = "cooking_demand"
#: Ratings up to which columns A and B stand, and the one above which column A begins [VA].
COLUMN_A_VA, COLUMN_B_VA, LEAST_VA = 3500.0, 8750.0, 1750.0
#: Rating up to which column C stands as it is [kVA].
WHOLE_KVA = 12.0
RULE = "nec.220.55"


def cooking_demand(draft: Draft, ratings: Sequence[Figure]) -> Figure:
    """State the demand of cooking appliances [VA].

    Those of columns A and B count with a share of their ratings, note 3; those of column C with
    its kilowatts, and 5 % more for each kilowatt, or major part of one, by which their mean rating
    is above 12 kW, those below taken as 12 kW: notes 1 and 2. What is not above 1.75 kW stands in
    no column and counts in full.
    """
    named = {f"C{n}": one for n, one in enumerate(ratings)}
    parts: list[str] = []
    terms: dict[str, Figure] = {}
    low = [name for name, one in named.items() if one.value <= LEAST_VA]
    small = [name for name, one in named.items() if LEAST_VA < one.value < COLUMN_A_VA]
    middle = [name for name, one in named.items() if COLUMN_A_VA <= one.value <= COLUMN_B_VA]
    large = [name for name, one in named.items() if one.value > COLUMN_B_VA]
    parts += low
    for group, column in ((small, "a"), (middle, "b")):
        if group:
            terms[f"k_{column}"] = _cell(draft, f"cooking_{column}_share", len(group), column, "")
            parts.append(f"k_{column} * ({' + '.join(group)})")
    if large:
        terms["c"] = _cell(draft, "cooking_c_va", len(large), "c", "VA")
        total = " + ".join(f"max({name}, {1000 * WHOLE_KVA:g})" for name in large)
        formula = f"ceil(max(({total}) / {1000 * len(large)} - {WHOLE_KVA} - 0.5, 0))"
        plates = {name: named[name] for name in large}
        excess = draft.work("cooking_excess", "n", "", formula, RULE, **plates)
        terms["n"] = excess
        parts.append("c * (1 + 0.05 * n)")
    used = {name: one for name, one in named.items() if name not in large}
    return draft.work("cooking_demand_va", "S_r", "VA", " + ".join(parts), RULE, **used, **terms)


def _cell(draft: Draft, name: str, count: int, column: str, unit: str) -> Figure:
    keys = list(draft.book.column(TABLE, f"column_{column}"))
    key = str(min(count, int(keys[-1])))
    return draft.read(name, name, unit, table=TABLE, key=key, column=f"column_{column}", rule=RULE)
