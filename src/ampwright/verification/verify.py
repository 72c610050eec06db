"""The independent check of a plan, whole."""

from collections.abc import Callable, Mapping, Sequence
from importlib import import_module
from typing import Any

from ampwright.decision import Decision
from ampwright.finding import Finding, Parameter
from ampwright.tables import Table
from ampwright.verification.faults import check_made_leg_faults
from ampwright.verification.figures import check_figures
from ampwright.verification.joining import check_joining
from ampwright.verification.ledger import Ledger
from ampwright.verification.machines import check_machines
from ampwright.verification.margins import check_margins
from ampwright.verification.parts import check_parts
from ampwright.verification.solved import check_operating_points
from ampwright.verification.statements import Statements
from ampwright.verification.steps import check_steps
from ampwright.verification.verdicts import check_verdicts

Check = Callable[[Decision], Sequence[Finding]]
FAMILIES = ("nec", "iec")


def verify(
    decision: Decision,
    tables: Mapping[str, Table],
    stated: Mapping[str, Any] | None = None,
    own: Check | None = None,
) -> tuple[Finding, ...]:
    """Return what there is to object to a plan; empty where all of it could be re-derived.

    Args:
        decision: The plan.
        tables: The tables of its wiring code, by id; without them no cell and no size is checked,
            and the answer says so.
        stated: What the wiring code states beside its tables: sizes in use, usual values.
        own: A check that the wiring code brings for its circuits, in the place of that of its
            family.

    Returns:
        ``check.breach`` for a rule or a sum that does not hold, ``check.not-minimal`` where a
        smaller standard size would do, ``check.not-checked`` for a rule that was passed over; each
        names rule and path.
    """
    ledger = Ledger(decision, tables)
    statements = Statements(decision.shop)
    check_steps(ledger, statements)
    check_figures(ledger)
    check_machines(ledger)
    check_parts(ledger, statements)
    check_operating_points(ledger, statements)
    check_made_leg_faults(ledger)
    check_joining(ledger)
    check_verdicts(ledger)
    check_margins(ledger)
    if own is not None:
        return (*ledger.found, *_by_own(own, decision))
    family = decision.region.family
    if family in FAMILIES:
        # only the family in force is loaded: the others would cost every first check their time
        rules = import_module(f"ampwright.verification.{family}.circuits")
        rules.check_circuits(ledger, statements, stated or {})
        return tuple(ledger.found)
    said = (Parameter(name="region", value=decision.region.id),)
    unchecked = Finding(code="plan.not-independently-checked", severity="info", parameters=said)
    return (*ledger.found, unchecked)


def _by_own(own: Check, decision: Decision) -> tuple[Finding, ...]:
    """Return what the code's own check says; one that fails, or is no check, is said to be so."""
    try:
        found = tuple(own(decision))
        if not all(isinstance(one, Finding) for one in found):
            raise TypeError("answered something that is no finding")
    except Exception as error:  # a stranger's check may raise anything
        said = (Parameter(name="lacking", value=f"{type(error).__name__}: {error}"),)
        return (Finding(code="check.not-checked", severity="caution", parameters=said),)
    return found
