"""What a plan states, by path, and the objections against it."""

import math
from collections.abc import Iterator, Mapping

from ampwright.decision import Decision
from ampwright.finding import Finding, Parameter
from ampwright.step import Step
from ampwright.tables import Table

CLOSE = 1e-9  # relative; a plan prints every figure of a float, so what is left is rounding


def close(one: float, other: float, share: float = CLOSE) -> bool:
    """Tell whether two numbers are the same but for rounding."""
    return one == other or abs(one - other) <= share * max(abs(one), abs(other), 1e-12)


class Ledger:
    """Steps of a plan by path, the tables of its code, and what was objected so far."""

    def __init__(self, decision: Decision, tables: Mapping[str, Table]) -> None:
        self.decision = decision
        self.tables = tables
        self.edition = decision.region.edition
        self.steps: dict[str, Step] = {}
        self.found: list[Finding] = []
        self._said: set[tuple[str, str, str]] = set()
        self._rows: dict[str, dict[str, Mapping[str, str]] | None] = {}
        for step in _steps(decision):
            if step.path in self.steps:
                self.breach("plan.unique-path", step.path, "one step", "several")
            self.steps[step.path] = step

    def number(self, path: str) -> float | None:
        """Return the number of the step at *path*; ``None`` where there is none."""
        step = self.steps.get(path)
        if step is None or isinstance(step.value, str):
            return None
        return step.value

    def text(self, path: str) -> str:
        """Return the text of the step at *path*, or ``""``."""
        step = self.steps.get(path)
        return step.value if step is not None and isinstance(step.value, str) else ""

    def under(self, prefix: str) -> Iterator[Step]:
        """Yield the steps whose path begins with *prefix* and a slash, in their order."""
        start = f"{prefix}/"
        return (step for path, step in self.steps.items() if path.startswith(start))

    def table(self, name: str) -> dict[str, Mapping[str, str]] | None:
        """Return the rows of a table of the region by their key; ``None`` if it has no such."""
        if name not in self._rows:
            held = self.tables.get(name)
            rows: dict[str, Mapping[str, str]] | None = None
            if held is not None:
                rows = {}
                for row in held.rows:
                    rows.setdefault(row[held.key], row)
            self._rows[name] = rows
        return self._rows[name]

    def cell(self, table: str, key: str, column: str) -> float | None:
        """Return a cell of the region's own *table*; ``None`` where it has none."""
        row = (self.table(table) or {}).get(key)
        return float(row[column]) if row and row.get(column) else None

    def breach(
        self, rule: str, path: str, wanted: float | str, found: float | str, unit: str = ""
    ) -> None:
        """Object: *rule* asks for *wanted* at *path*, the plan has *found*."""
        self._object("check.breach", "blocks", rule, path, wanted, found, unit)

    def flaw(self, rule: str, path: str, wanted: float | str, found: float | str) -> None:
        """Object as `breach` does, where nothing that is built depends on it."""
        self._object("check.breach", "caution", rule, path, wanted, found, "")

    def larger(
        self, rule: str, path: str, wanted: float | str, found: float | str, unit: str = ""
    ) -> None:
        """Object: a smaller standard size, *wanted*, satisfies every rule checked."""
        self._object("check.not-minimal", "caution", rule, path, wanted, found, unit)

    def skipped(self, rule: str, path: str, lacking: str) -> None:
        """Say that *rule* was not checked, once a rule, and what was *lacking*."""
        key = ("check.not-checked", rule, lacking)
        if key not in self._said:
            self._said.add(key)
            said = (
                Parameter(name="rule", value=rule),
                Parameter(name="path", value=path),
                Parameter(name="lacking", value=lacking),
            )
            where = _where(path)
            self.found.append(
                Finding(
                    code="check.not-checked",
                    severity="info",
                    where=where,
                    parameters=said,
                    rule=rule,
                )
            )

    def _object(
        self,
        code: str,
        severity: str,
        rule: str,
        path: str,
        wanted: float | str,
        found: float | str,
        unit: str,
    ) -> None:
        key = (code, rule, path)
        if key in self._said:
            return
        self._said.add(key)
        said = (
            Parameter(name="rule", value=rule),
            Parameter(name="path", value=path),
            _parameter("wanted", wanted, unit),
            _parameter("found", found, unit),
        )
        self.found.append(
            Finding(code=code, severity=severity, where=_where(path), parameters=said, rule=rule)
        )


def _parameter(name: str, value: float | str, unit: str) -> Parameter:
    if isinstance(value, str):
        return Parameter(name=name, value=value)
    if not math.isfinite(value):
        return Parameter(name=name, value=str(value))
    return Parameter(name=name, value=float(value), unit=unit)


def _where(path: str) -> tuple[str, ...]:
    """Return the ids that *path* names: option and part of it, machine, or the first word."""
    parts = path.split("/")
    if parts[0] == "options":
        return tuple(parts[1:2] + parts[3:4])
    if parts[0] == "shop" and len(parts) > 2 and parts[1] == "machines":
        return (parts[2],)
    return (parts[1],) if parts[0] == "machines" and len(parts) > 1 else (parts[0],)


def _steps(decision: Decision) -> Iterator[Step]:
    yield from decision.steps
    for option in decision.options:
        yield from option.steps
        for circuit in option.circuits:
            yield from circuit.steps
