"""The clauses behind what the planner itself says of machines, as the wiring code names them."""

from collections.abc import Iterable, Mapping

import attrs

from ampwright.case import Case
from ampwright.finding import Finding
from ampwright.region import Region


def with_clauses(findings: Iterable[Finding], case: Case, region: Region) -> tuple[Finding, ...]:
    """Return *findings* with the rule of *region* behind each that has none; see `Region`.

    The clauses are on motors and what they drive, so that a machine without a motor has none.
    """
    clauses: Mapping[str, str] = getattr(region, "clauses", {})
    known = {code: rule for code, rule in clauses.items() if rule in region.rules}
    driven = {one.id for one in case.machines if one.motors or one.single_phase}
    return tuple(
        attrs.evolve(one, rule=known[one.code])
        if not one.rule and one.code in known and not driven.isdisjoint(one.where)
        else one
        for one in findings
    )
