"""Every step of a plan on its own: inputs, kind, unit, source, and its number once more."""

import math
from functools import cache

from ampwright.step import Step
from ampwright.verification.arithmetic import UnreadableError, reckoned
from ampwright.verification.ledger import Ledger, close
from ampwright.verification.notation import horsepower, watts
from ampwright.verification.statements import UNKNOWN, Statements

ARITHMETIC, CELL, GIVEN = "plan.arithmetic", "plan.table-cell", "plan.given"
INPUTS, UNIT, BAND, SOURCE = "plan.inputs", "plan.unit", "plan.band", "plan.source"
RESIDUAL = "plan.residual"
#: Left over when a model's solution is put back, over what it stands for; a circuit that is fitted
#: to more figures of a plate than it has freedom keeps what they disagree by.
LARGEST_RESIDUAL, LARGEST_MISFIT = 1e-6, 0.5
_FITTED = frozenset({"identified circuit", "locked rotor", "rated point"})

#: Units that the last word of a path settles.
_UNITS = {
    "a": "A",
    "v": "V",
    "w": "W",
    "va": "VA",
    "ohm": "ohm",
    "m": "m",
    "mm2": "mm2",
    "hz": "Hz",
    "s": "s",
    "c": "degC",
    "f": "F",
    "nm": "N m",
    "hp": "hp",
    "in2": "in2",
    "fraction": "",
}


def check_steps(ledger: Ledger, statements: Statements) -> None:
    """Check each step of the plan by itself."""
    known = ledger.steps
    for path, step in known.items():
        for _, asked in step.inputs:
            if asked not in known:
                ledger.breach(INPUTS, path, asked, "no such step")
        if not isinstance(step.value, str) and not math.isfinite(step.value):
            ledger.breach(ARITHMETIC, path, "a number", str(step.value))
            continue
        _unit(ledger, step)
        if step.source is None and step.kind not in ("formula", "solved"):
            ledger.breach(SOURCE, path, "a source", "none")
        if step.kind == "formula":
            _formula(ledger, step)
        elif step.kind == "table":
            _table(ledger, step)
        elif step.kind == "given":
            _given(ledger, statements, step)
        else:
            _modelled(ledger, step)


def _unit(ledger: Ledger, step: Step) -> None:
    unit = _unit_of(step.path.rpartition("/")[2])
    if unit is not None and step.unit != unit and not isinstance(step.value, str):
        ledger.breach(UNIT, step.path, unit or "no unit", step.unit or "no unit")


@cache
def _unit_of(name: str) -> str | None:
    """Return the unit that the ending of a *name* settles; ``None`` where it settles none."""
    stem, bar, ending = name.rpartition("_")
    return _UNITS.get(ending) if bar and stem and "_per_" not in name else None


def _formula(ledger: Ledger, step: Step) -> None:
    steps = ledger.steps
    values: dict[str, float] = {}
    for name, path in step.inputs:
        one = steps.get(path)
        if one is not None:
            values[name] = 0.0 if isinstance(one.value, str) else one.value
    try:
        value = reckoned(step.formula, values)
    except (UnreadableError, ArithmeticError, ValueError) as error:
        ledger.breach(step.rule or ARITHMETIC, step.path, step.formula, str(error))
        return
    if isinstance(step.value, str) or not close(value, step.value):
        ledger.breach(step.rule or ARITHMETIC, step.path, value, step.value, step.unit)


def _table(ledger: Ledger, step: Step) -> None:
    held = ledger.table(step.table)
    if held is None:
        _named_by_power(ledger, step)
        return
    if len(step.cell) < 2:
        ledger.breach(CELL, step.path, "row and column", ", ".join(step.cell))
        return
    key, column = step.cell[0], step.cell[1]
    row = held.get(key)
    if row is None or column not in row:
        ledger.breach(CELL, step.path, f"a cell of {step.table}", f"{key}, {column}")
        return
    cell = row[column]
    if isinstance(step.value, str):
        size = step.value.removesuffix(" AWG").removesuffix(" kcmil").removesuffix(" mm2")
        right = size in (key, cell)
    elif step.unit == "hp":
        right = close(horsepower(key), step.value)
    else:
        right = bool(cell) and close(float(cell), step.value)
    if not right:
        ledger.breach(step.rule or CELL, step.path, cell or "no value", step.value, step.unit)


def _named_by_power(ledger: Ledger, step: Step) -> None:
    """Check a row of a table that is not at hand, where its name states its power."""
    power = None
    if step.cell and step.unit == "W":
        power = watts(step.cell[0]) or watts(" ".join(step.cell))
    if power is None or isinstance(step.value, str):
        ledger.skipped(CELL, step.path, f"table {step.table}")
    elif not close(power, step.value):
        ledger.breach(step.rule or CELL, step.path, power, step.value, step.unit)


def _given(ledger: Ledger, statements: Statements, step: Step) -> None:
    stated = statements.at(step.path)
    if stated is UNKNOWN:
        ledger.skipped(GIVEN, step.path, "the field that it was stated in")
        return
    right = any(
        one is not None and not isinstance(one, str) and close(float(one), float(step.value))
        for one in stated
    )
    if isinstance(step.value, str) or not right:
        wanted = next((float(one) for one in stated if isinstance(one, float | int)), "not stated")
        ledger.breach(GIVEN, step.path, wanted, step.value, step.unit)


def _modelled(ledger: Ledger, step: Step) -> None:
    _band(ledger, step)
    if step.kind == "assumed":
        return
    most = LARGEST_MISFIT if step.formula in _FITTED else LARGEST_RESIDUAL
    if step.residual is None or not abs(step.residual) <= most:
        found = "none" if step.residual is None else step.residual
        ledger.breach(RESIDUAL, step.path, most, found)
    elif step.symbol == "r" and step.unknowns and step.value != step.residual:
        ledger.breach(RESIDUAL, step.path, step.residual, step.value)


def _band(ledger: Ledger, step: Step) -> None:
    value, low, high = step.value, step.low, step.high
    if isinstance(value, str):
        return
    slack = 1e-9 * max(abs(value), 1e-12)
    if low is not None and value < low - slack:
        ledger.breach(BAND, step.path, low, value, step.unit)
    if high is not None and value > high + slack:
        ledger.breach(BAND, step.path, high, value, step.unit)
