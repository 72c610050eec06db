"""The sheet on which one question is answered: steps, findings, assumptions, questions."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, Generic, Protocol, TypeVar

from ampwright.equipment.circuit import Circuit
from ampwright.equipment.converter import Window
from ampwright.finding import Assumption, Finding, Parameter, Question, parameters
from ampwright.region import CircuitAnswer
from ampwright.step import Figure, Worksheet
from ampwright.tables import Source, Table

DERIVED = Source(document="arithmetic", known="derived")


class Factor(Protocol):
    """A factor that stands in the text of a rule."""

    @property
    def rule(self) -> str:
        """The rule."""


class Volume(Protocol):
    """What a family's code states as data, as far as a sheet reads it."""

    @property
    def id(self) -> str:
        """Id of the region."""

    @property
    def edition(self) -> str:
        """Edition in force."""

    @property
    def editions(self) -> tuple[str, ...]:
        """Editions that can be asked for, the default first."""

    @property
    def manifest(self) -> Mapping[str, Any]:
        """What the manifests state."""

    @property
    def tables(self) -> Mapping[str, Table]:
        """Tables by id."""

    @property
    def rules(self) -> Mapping[str, Source]:
        """Source of each rule id."""

    @property
    def factors(self) -> Mapping[str, Factor]:
        """Factors by name."""

    def column(self, table: str, column: str) -> Mapping[str, float]:
        """Return the numbers of one column by key."""

    def source(self, table: str, key: str = "") -> Source:
        """Return where *table*, or one row of it, stands."""

    def from_memory(self, table: str, key: str) -> bool:
        """Tell whether a row was never looked up."""


Kind = TypeVar("Kind", bound=Volume)


class Sheet(Generic[Kind]):
    """Collects what is written down while one circuit, or the service, is answered."""

    def __init__(self, book: Kind, sheet: Worksheet, where: Sequence[str]) -> None:
        self.book = book
        self.sheet = sheet
        self.where = tuple(where)
        self.findings: list[Finding] = []
        self.assumptions: list[Assumption] = []
        self.questions: list[Question] = []
        #: Impedance of line and protective conductor, where other circuits are fed from this one.
        self.in_fault: tuple[Figure, Figure] | None = None
        #: Impedance of line and protective conductor, where the fault at the end was reckoned.
        self.loop: tuple[Figure, ...] = ()
        self._from_memory: set[str] = set()

    def work(
        self, name: str, symbol: str, unit: str, formula: str, rule: str = "", **inputs: Figure
    ) -> Figure:
        """State a *formula* on *inputs* with the source of its *rule*."""
        source = self.book.rules[rule] if rule else DERIVED
        return self.sheet.formula(name, symbol, unit, formula, inputs, rule=rule, source=source)

    def read(
        self,
        name: str,
        symbol: str,
        unit: str,
        *,
        table: str,
        key: str,
        column: str,
        rule: str = "",
        value: float | str | None = None,
        inputs: Iterable[tuple[str, Figure]] = (),
    ) -> Figure:
        """State a cell that was read; *value* where the key itself, or its name, is the answer."""
        if value is None:
            value = self.book.column(table, column)[key]
        if self.book.from_memory(table, key):
            self._from_memory.add(table)
        return self.sheet.table(
            name,
            symbol,
            value,
            unit,
            table=table,
            cell=(key, column),
            source=self.book.source(table, key),
            rule=rule,
            inputs=inputs,
        )

    def factor(self, name: str, symbol: str, factor: str, unit: str = "") -> Figure:
        """State a limit or a factor of a rule as a step of its own."""
        one = self.book.factors[factor]
        return self.read(
            name, symbol, unit, table="factors", key=factor, column="value", rule=one.rule
        )

    def assumed(self, code: str, said: tuple[Parameter, ...] = ()) -> None:
        """Say what was assumed of what is answered."""
        self.assumptions.append(Assumption(code=code, where=self.where, parameters=said))

    def everywhere(self, code: str, units: str = "", **values: Figure | float | str) -> None:
        """Say what was assumed for the whole shop; every circuit says it in the same words."""
        self.assumptions.append(Assumption(code=code, parameters=parameters(units, **values)))

    def find(
        self,
        code: str,
        severity: str,
        rule: str = "",
        units: str = "",
        **values: Figure | float | str,
    ) -> None:
        """Say something about what is answered."""
        self.findings.append(
            Finding(
                code=code,
                severity=severity,
                where=self.where,
                parameters=parameters(units, **values),
                rule=rule,
            )
        )

    def ask(self, code: str, field: str, changes: str, choices: tuple[str, ...] = ()) -> None:
        """Ask something.

        Args:
            code: What is asked.
            field: Field of the shop that would hold the answer.
            changes: ``"method"`` or ``"size"`` only where an answer may prove what is bought too
                small or wrong; where the safe answer was taken, ``"figures"``, and ``"safety"``
                where something besides has to be checked before use.
            choices: Answers to choose from, where they are few.
        """
        self.questions.append(
            Question(code=code, field=field, where=self.where, changes=changes, choices=choices)
        )

    def ask_everywhere(
        self, code: str, field: str, changes: str, choices: tuple[str, ...] = ()
    ) -> None:
        """Ask something of the whole shop; every circuit asks it in the same words."""
        self.questions.append(Question(code=code, field=field, changes=changes, choices=choices))

    def answer(self, circuit: Circuit | None, windows: tuple[Window, ...] = ()) -> CircuitAnswer:
        """Return the answer about a *circuit*; there is none where something blocks it."""
        if any(one.severity == "blocks" for one in self.findings):
            circuit, windows = None, ()
        return CircuitAnswer(
            circuit=circuit,
            windows=windows,
            findings=tuple(self.findings),
            assumptions=(*self.assumptions, *self.remembered()),
            questions=tuple(dict.fromkeys(self.questions)),
            steps=() if circuit is not None else self.sheet.steps,
            line=self.in_fault[0] if self.in_fault and circuit is not None else None,
            protective=self.in_fault[1] if self.in_fault and circuit is not None else None,
        )

    def remembered(self) -> tuple[Assumption, ...]:
        """Return one assumption for each table of which a row from memory was read."""
        return tuple(
            Assumption(
                code="table.from-memory",
                parameters=parameters(table=table, source=str(self.book.source(table))),
            )
            for table in sorted(self._from_memory)
        )
