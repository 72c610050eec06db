"""The gist of a plan as plain data: what somebody would notice if it changed."""

from collections.abc import Iterable
from pathlib import Path
from typing import Any

import ampwright as aw
from ampwright.equipment.circuit import Circuit
from ampwright.equipment.device import ProtectiveDevice
from ampwright.finding import Assumption, Finding, Question
from ampwright.option import Option

HERE = Path(__file__).parent
EXAMPLES = Path(__file__).parents[2] / "docs" / "examples"


def shops() -> list[Path]:
    """Return the files of the example shops."""
    return sorted(EXAMPLES.glob("*.toml"))


def pinned(example: Path) -> Path:
    """Return where the gist of an example's plan is kept."""
    return HERE / f"{example.stem}.json"


def digits(value: float | None) -> float | None:
    """Return a number to six digits: the rest differs from machine to machine."""
    return None if value is None else float(f"{value:.6g}")


def device(one: ProtectiveDevice | None) -> str | None:
    """Return kind and rating of a device."""
    if one is None:
        return None
    parts = {
        "": one.id, "A": digits(one.rating_a), "A set": digits(one.setting_a),
        "V": digits(one.rating_v), "W": digits(one.power_w), "poles": one.poles,
    }  # fmt: skip
    said = " ".join(f"{value:g} {unit}" if isinstance(value, float) else f"{value} {unit}".strip()
                    for unit, value in parts.items() if value)  # fmt: skip
    return f"{one.kind} {one.curve} {said}".replace("  ", " ")


def circuit(one: Circuit) -> dict[str, Any]:
    """Return size, rating and currents of a circuit."""
    wires = one.conductor
    earth = one.protective_conductor
    return {
        "design_a": digits(one.design_current_a),
        "wire": f"{wires.count} x {wires.size} {wires.material} {wires.insulation}",
        "ampacity_a": digits(wires.ampacity_a),
        "earth": earth.size if earth else None,
        "device": device(one.protective_device),
        "overloads": [device(each) for each in one.overloads],
        "disconnect": device(one.disconnect),
        "raceway": f"{one.raceway.kind} {one.raceway.size}" if one.raceway else None,
        "drop": digits(one.voltage_drop_fraction),
        "starting_drop": digits(one.starting_drop_fraction),
    }


def counted(said: Iterable[Finding | Assumption | Question]) -> dict[str, int]:
    """Return each code with how often it is said."""
    found: dict[str, int] = {}
    for one in said:
        found[one.code] = found.get(one.code, 0) + 1
    return dict(sorted(found.items()))


def option(one: Option) -> dict[str, Any]:
    """Return the gist of one way to run the shop."""
    kinds = sorted({cost.kind for cost in one.costs})
    return {
        "verdict": one.verdict,
        "machines": {each.id: [each.method, each.verdict] for each in one.machines},
        "converters": {
            each.id: {
                "rating_w": digits(each.rating_w),
                "rating_va": digits(each.rating_va),
                "input_a": digits(each.input_current_a),
                "output_a": digits(each.output_current_a),
                "losses_w": digits(each.losses_w),
                "capacitors_f": {can.id: digits(can.capacitance_f) for can in each.capacitors},
                "window_a": {
                    window.id: [
                        digits(window.smallest_input_current_a),
                        digits(window.largest_input_current_a),
                    ]
                    for window in each.window
                },
            }
            for each in one.converters
        },
        "circuits": {each.id: circuit(each) for each in one.circuits},
        "states": {
            each.id: [digits(each.input_current_a), digits(each.deviation_fraction)]
            for each in one.states
        },
        "starts": {
            each.id: [each.runs_up, digits(each.time_s), digits(each.current_a)]
            for each in one.starts
        },
        "limits": {each.id: digits(each.asks) for each in one.limits},
        "costs": {
            kind: [
                digits(sum(cost.low for cost in one.costs if cost.kind == kind)),
                digits(sum(cost.high for cost in one.costs if cost.kind == kind)),
            ]
            for kind in kinds
        },
        "sequence": list(one.sequence),
        "findings": counted(one.findings),
    }


def gist(plan: aw.Plan) -> dict[str, Any]:
    """Return the gist of a plan."""
    return {
        "region": f"{plan.region.id}@{plan.region.edition}",
        "verdict": plan.verdict,
        "chosen": plan.chosen,
        "options": {one.id: option(one) for one in plan.options},
        "order": [one.id for one in plan.options],
        "findings": counted(plan.findings),
        "questions": counted(plan.questions),
        "assumptions": counted(plan.assumptions),
        "checks": counted(plan.checks or ()),
    }


def changes(old: Any, new: Any, path: str = "") -> list[str]:  # noqa: ANN401 - plain data of any shape
    """Return a line for every place at which two gists differ."""
    if isinstance(old, dict) and isinstance(new, dict):
        return [
            line
            for key in sorted(old.keys() | new.keys())
            for line in changes(old.get(key), new.get(key), f"{path}/{key}")
        ]
    return [] if old == new else [f"{path}: {old!r} -> {new!r}"]
