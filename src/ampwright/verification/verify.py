"""The independent check of a plan, whole."""

from collections.abc import Mapping

from ampwright.decision import Decision
from ampwright.finding import Finding, Parameter
from ampwright.tables import Table
from ampwright.verification.faults import check_made_leg_faults
from ampwright.verification.figures import check_figures
from ampwright.verification.ledger import Ledger
from ampwright.verification.machines import check_machines
from ampwright.verification.margins import check_margins
from ampwright.verification.nec.circuits import check_circuits
from ampwright.verification.solved import check_operating_points
from ampwright.verification.statements import Statements
from ampwright.verification.steps import check_steps
from ampwright.verification.verdicts import check_verdicts


def verify(decision: Decision, tables: Mapping[str, Table]) -> tuple[Finding, ...]:
    """Return what there is to object to a plan; empty where all of it could be re-derived.

    Args:
        decision: The plan.
        tables: The tables of its wiring code, by id; without them no cell and no size is checked,
            and the answer says so.

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
    check_operating_points(ledger)
    check_made_leg_faults(ledger)
    check_verdicts(ledger)
    check_margins(ledger)
    if decision.region.family == "nec":
        check_circuits(ledger, statements)
        return tuple(ledger.found)
    said = (Parameter(name="region", value=decision.region.id),)
    unchecked = Finding(code="plan.not-independently-checked", severity="info", parameters=said)
    return (*ledger.found, unchecked)
