"""What makes a verdict conditional, and how much it sets a way back among the others.

What somebody else has to allow is outside the owner's power: a way that is far above a limit comes
after every way that is not, whatever it costs. So does a way that leaves out what was asked for.
Common practice, no source.
"""

from collections.abc import Iterable
from pathlib import Path

from ampwright.finding import Finding
from ampwright.option import Option
from ampwright.tables import read_table

_TABLE = read_table(Path(__file__).with_name("conditions.csv"))
_ROWS = {row["code"]: row for row in _TABLE.rows}
CONDITIONS = frozenset(code for code, row in _ROWS.items() if row["why"] != "not-yet")
#: What cannot be done as long as it has not come: listed, ranked, and not feasible.
PENDING = frozenset(code for code, row in _ROWS.items() if row["why"] == "not-yet")
CHANGES = frozenset(code for code, row in _ROWS.items() if row["why"] == "change")
CONSENT = frozenset(code for code, row in _ROWS.items() if row["why"] == "consent")
WISHES = frozenset(code for code, row in _ROWS.items() if row["why"] == "wish")
#: By condition, how many times its cost a way counts that brings it.
PREMIUMS = {code: float(row["premium"]) for code, row in _ROWS.items() if row["premium"]}
#: How many times a limit that somebody else sets has to be exceeded to be far above it.
FAR = 2.0


def ratio(finding: Finding) -> float | None:
    """Return how many times its limit the figure of *finding* is; ``None`` where it has none."""
    row = _ROWS[finding.code]
    said = {one.name: one.value for one in finding.parameters}
    figure, limit = said.get(row["figure"]), said.get(row["limit"])
    if figure is None or limit is None or isinstance(figure, str) or isinstance(limit, str):
        return None
    return float(figure) / float(limit) if limit else None


def conditional(finding: Finding) -> bool:
    """Tell whether *finding* is one of the conditions, with the severity and figures it has."""
    if finding.code not in CONDITIONS or _ROWS[finding.code]["not_as"] == finding.severity:
        return False
    return not _ROWS[finding.code]["only_above"] or (ratio(finding) or 0.0) > 1.0


def condition(finding: Finding) -> bool:
    """Tell whether something must come first because of *finding*.

    It does, too, where something that is there already is dangerous as it is.
    """
    return conditional(finding) or finding.severity == "blocks"


def premium(findings: Iterable[Finding]) -> float:
    """Return how many times its cost counts what brings *findings*: 1 without such a condition."""
    return max((PREMIUMS.get(one.code, 1.0) for one in findings if conditional(one)), default=1.0)


def premiums(one: Option) -> dict[str, float]:
    """Return how many times its cost each piece of *one* counts, by its id; 1 is left out."""
    found = {f"{each.method}.{each.id}": premium(each.reasons) for each in one.machines}
    return {name: times for name, times in found.items() if times > 1.0}


def far_above(one: Option) -> bool:
    """Tell whether *one* is far above a limit that somebody else sets."""
    return any(
        reason.code in CONSENT and (ratio(reason) or 0.0) > FAR
        for each in one.machines
        for reason in each.reasons
    )


def unmet(one: Option) -> int:
    """Return how many machines do not get in *one* what was asked for them."""
    return sum(any(reason.code in WISHES for reason in each.reasons) for each in one.machines)


def changes(one: Option) -> bool:
    """Tell whether *one* changes a machine, so that it has to be plainly cheaper."""
    return any(
        reason.code in CHANGES and premium((reason,)) > 1.0
        for each in one.machines
        for reason in each.reasons
    )
