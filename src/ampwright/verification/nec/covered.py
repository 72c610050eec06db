"""The clauses that the check derives again; what a plan names beside them is said, not checked."""

from ampwright.verification.ledger import Ledger

COVERED = frozenset({
    "nec.110.9", "nec.110.14(C)", "nec.210.19(A)", "nec.210.20(A)", "nec.210.21(B)", "nec.215.2(A)",
    "nec.215.3", "nec.220.40", "nec.220.41", "nec.220.42", "nec.220.50", "nec.220.52", "nec.220.53",
    "nec.220.54", "nec.220.55", "nec.220.57", "nec.220.60", "nec.220.61", "nec.220.82",
    "nec.220.83", "nec.220.87", "nec.240.4", "nec.240.4(D)", "nec.240.6(A)", "nec.240.15(B)",
    "nec.240.85", "nec.250.4(A)(5)", "nec.250.122(A)", "nec.250.122(B)", "nec.300.3(B)",
    "nec.310.4", "nec.310.10(G)", "nec.310.15(B)", "nec.310.15(C)(1)", "nec.310.16", "nec.400.5",
    "nec.408.54", "nec.430.6(A)(1)", "nec.430.22", "nec.430.22(E)", "nec.430.24",
    "nec.430.32(A)(1)", "nec.430.37", "nec.430.52", "nec.430.52(C)(1)", "nec.430.52(C)(1)X1",
    "nec.430.52(C)(1)X2", "nec.430.62(A)", "nec.430.63", "nec.430.109", "nec.430.110(A)",
    "nec.430.110(C)", "nec.430.122(A)", "nec.430.122(B)", "nec.430.128", "nec.430.130",
    "nec.430.251", "nec.440.22", "nec.440.32", "nec.450.3(B)", "nec.450.4", "nec.455.6(A)(1)",
    "nec.455.6(A)(2)", "nec.455.6(B)", "nec.460.8", "nec.455.7", "nec.455.8(C)", "nec.455.8(C)(1)",
    "nec.455.8(C)(2)", "nec.630.11(A)", "nec.630.11(B)", "nec.630.12(A)", "nec.630.12(B)",
    "nec.630.13", "nec.630.31(A)", "nec.630.31(B)", "nec.630.32(A)", "nec.630.32(B)", "nec.630.33",
    "nec.9.1", "nec.9.4", "nec.9.8", "nec.9.9",
})  # fmt: skip


def say_the_rest(ledger: Ledger) -> None:
    """Say which clauses the plan reckons by that were not derived again."""
    for step in ledger.steps.values():
        if step.rule and step.rule not in COVERED and step.rule.startswith("nec."):
            ledger.skipped(step.rule, step.path, "a second derivation")
