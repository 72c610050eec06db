"""Resistance and reactance of conductors at their temperature in service."""

from ampwright.families.iec.conditions import Conditions
from ampwright.families.iec.draft import Draft
from ampwright.step import Figure

#: Temperature that the table of resistances stands for [C].
TABLE_C = 20.0
#: Frequency that the reactance of annex G stands for [Hz].
REACTANCE_HZ = 50.0


def per_metre(draft: Draft, name: str, installed: Conditions, key: str) -> Figure:
    """State the resistance of one conductor in service, below ``impedance`` [ohm/m]."""
    cold = draft.read(
        f"impedance/{name}_ohm_per_km_20c", "R_20", "ohm/km", table="resistance", key=key,
        column=installed.metal, rule="iec.525",
    )  # fmt: skip
    return draft.work(
        f"impedance/{name}_ohm_per_m", "R", "ohm/m",
        f"R_20 / 1000 * (1 + alpha * (T - {TABLE_C!r}))", "iec.525",
        R_20=cold, alpha=_once(draft, "alpha", "1/K", f"alpha_{installed.material}"),
        T=installed.limit,
    )  # fmt: skip


def reactance(draft: Draft) -> Figure:
    """State the reactance of one conductor at 50 Hz [ohm/m]."""
    return _once(draft, "x_ohm_per_m", "ohm/m", "reactance_ohm_per_m")


def _once(draft: Draft, name: str, unit: str, factor: str) -> Figure:
    """State a factor below ``impedance`` unless it stands there already."""
    path = f"{draft.sheet.prefix}/impedance/{name}"
    for step in draft.sheet.steps:
        if step.path == path and isinstance(step.value, float):
            return Figure(step.value, path)
    return draft.factor(f"impedance/{name}", name.split("_", 1)[0], factor, unit)
