"""The clauses that the check derives again; what a plan names beside them is said, not checked."""

from ampwright.verification.ledger import Ledger

COVERED = frozenset({
    "iec.311.1", "iec.411.3.2", "iec.411.3.3", "iec.411.4", "iec.411.5", "iec.411.6", "iec.419.2",
    "iec.433.1", "iec.434.5.1", "iec.434.5.2", "iec.461.2", "iec.514.3", "iec.523", "iec.523.2",
    "iec.523.5", "iec.523.6", "iec.523.annex-d", "iec.524", "iec.525", "iec.531.3.3",
    "iec.531.3.order", "iec.537.3", "iec.543.1", "iec.543.7", "iec.551", "iec.552",
    "iec.60204-1.4.3", "iec.60204-1.5.3", "iec.60204-1.7.3", "iec.60269-2.let-through",
    "iec.60309-2", "iec.60898-1", "iec.60898-1.hold", "iec.60898-1.let-through", "iec.60947-2",
    "iec.60947-3", "iec.60947-4-1", "iec.61000-3-3", "iec.operator",
})  # fmt: skip


def say_the_rest(ledger: Ledger) -> None:
    """Say which clauses the plan reckons by that were not derived again."""
    for step in ledger.steps.values():
        if step.rule and step.rule not in COVERED and step.rule.startswith("iec."):
            ledger.skipped(step.rule, step.path, "a second derivation")
