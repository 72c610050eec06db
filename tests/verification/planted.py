"""Plants one fault in a sound plan: one step's value, one table cell, or what a family moves."""

from collections.abc import Callable, Iterator, Mapping
from random import Random
from typing import Any

import attrs

import ampwright as aw
from ampwright.tables import Table

#: Path of a part, the clauses that may be named, and the circuit with the part moved; ``None``: no.
Planted = tuple[str, frozenset[str], aw.Circuit] | None
#: Values of steps with the rows of the tables that they stand in; ``""``: the row is the same.
Values = dict[str, tuple[float | str, str]]


@attrs.frozen
class Fault:
    """One fault, and what an objection to it has to name.

    Attributes:
        name: What was planted.
        decision: The plan with it.
        path: Path that the objection is about.
        rules: Clauses, one of which it names; empty for any.
        tables: Tables to check against, where one of them carries the fault.
        code: Code of the objection; empty for any.
        also: Further paths that it may be about: numbers that follow from it.
    """

    name: str
    decision: aw.Decision
    path: str
    rules: frozenset[str]
    tables: Mapping[str, Table]
    code: str = ""
    also: tuple[str, ...] = ()

    @property
    def kind(self) -> str:
        """Kind of fault, without the place."""
        first, *rest = self.name.split()
        return first if first in ("step", "cell") else f"{first.split('/')[0]} {rest[-1]}"


def is_found(fault: Fault, found: tuple[aw.Finding, ...]) -> bool:
    """Tell whether an objection names place and rule of the fault."""
    for one in found:
        said = {part.name: part.value for part in one.parameters}
        right = not fault.rules or one.rule in fault.rules
        if one.code.startswith("check.") and one.severity != "info" and right:
            path = str(said.get("path", ""))
            here = path.startswith(fault.path) or path in fault.also
            if here and fault.code in ("", one.code):
                return True
    return False


def with_circuit(decision: aw.Decision, option: str, circuit: aw.Circuit) -> aw.Decision:
    """Return *decision* with one circuit replaced."""
    options = tuple(
        attrs.evolve(
            one,
            circuits=tuple(circuit if own.id == circuit.id else own for own in one.circuits),
        )
        if one.id == option
        else one
        for one in decision.options
    )
    return attrs.evolve(decision, options=options)


class Planter:
    """Plants faults in one circuit, record and steps alike, so that only the rules can object.

    A family says in `parts` what can be moved by one: each yields the path of the part, the clauses
    that may be named, and the circuit with the fault.
    """

    smaller_is_a_breach = False

    def __init__(
        self, decision: aw.Decision, option: str, circuit: aw.Circuit, tables: Mapping[str, Table]
    ) -> None:
        self.decision, self.option, self.circuit, self.tables = decision, option, circuit, tables
        self.place = f"options/{option}/circuits/{circuit.id}"
        self.steps = {step.path: step for step in circuit.steps}

    def parts(self) -> tuple[Callable[[int], Planted], ...]:
        """Return what moves each part of the circuit by one step up or down."""
        raise NotImplementedError

    def faults(self) -> Iterator[Fault]:
        """Yield every fault of one step up or down in a part of the circuit."""
        for by, word in ((-1, "smaller"), (1, "larger")):
            for moved in self.parts():
                made = moved(by)
                if made is not None:
                    part, rules, circuit = made
                    yield Fault(
                        f"{part} {word}",
                        with_circuit(self.decision, self.option, circuit),
                        f"{self.place}/{part}",
                        rules,
                        self.tables,
                        "check.breach" if self.smaller_is_a_breach and by < 0 else "",
                    )

    def following(self, names: list[str], name: str, by: int) -> str | None:
        """Return the name *by* places after *name*, if both are there."""
        if name not in names:
            return None
        at = names.index(name) + by
        return names[at] if 0 <= at < len(names) else None

    def changed(self, values: Values, **parts: Any) -> aw.Circuit:  # noqa: ANN401 - parts of a record
        """Return the circuit with record parts replaced, and steps by value and table row."""
        steps = []
        for step in self.circuit.steps:
            name = step.path.removeprefix(f"{self.place}/")
            if name in values:
                value, row = values[name]
                cell = (row, *step.cell[1:]) if row else step.cell
                steps.append(attrs.evolve(step, value=value, cell=cell))
            else:
                steps.append(step)
        return attrs.evolve(self.circuit, steps=tuple(steps), **parts)

    def number(self, name: str) -> float:
        """Return the value of a step of the circuit."""
        return float(self.steps[f"{self.place}/{name}"].value)

    def listed(self, table: str, column: str, name: str, by: int) -> str | None:
        """Return what a table lists *by* rows after *name*."""
        return self.following([row[column] for row in self.tables[table].rows], name, by)

    def disconnected(self, table: str, rules: frozenset[str], by: int) -> Planted:
        """Return the circuit with the next rating of its disconnect that *table* lists."""
        own = self.circuit.disconnect
        if own is None or own.rating_a is None:
            return None
        rating = self.listed(table, "rating_a", f"{own.rating_a:g}", by)
        if rating is None:
            return None
        values: Values = {"disconnect/rating_a": (float(rating), rating)}
        changed = attrs.evolve(own, rating_a=float(rating))
        return "disconnect/rating_a", rules, self.changed(values, disconnect=changed)


def step_fault(
    decision: aw.Decision, tables: Mapping[str, Table], random: Random, kind: str = ""
) -> Fault:
    """Return the plan with the value of one step moved by a hundredth."""
    places: list[tuple[int, int, int]] = [(-1, -1, n) for n in range(len(decision.steps))]
    for at, option in enumerate(decision.options):
        places += [(at, -1, n) for n in range(len(option.steps))]
        for on, circuit in enumerate(option.circuits):
            places += [(at, on, n) for n in range(len(circuit.steps))]
    while True:
        at, on, n = random.choice(places)
        holder: Any = decision if at < 0 else decision.options[at]
        holder = holder if on < 0 else holder.circuits[on]
        step = holder.steps[n]
        if not isinstance(step.value, str) and kind in ("", step.kind):
            break
    value = step.value * 1.01 if step.value else 1.0
    steps = (*holder.steps[:n], attrs.evolve(step, value=value), *holder.steps[n + 1 :])
    changed = attrs.evolve(holder, steps=steps)
    if at < 0:
        planted = changed
    else:
        option = decision.options[at]
        if on >= 0:
            circuits = (*option.circuits[:on], changed, *option.circuits[on + 1 :])
            changed = attrs.evolve(option, circuits=circuits)
        options = (*decision.options[:at], changed, *decision.options[at + 1 :])
        planted = attrs.evolve(decision, options=options)
    return Fault(
        f"step {step.kind} {step.path}", planted, step.path, frozenset(), tables,
        also=tuple(_following(decision, step.path)),
    )  # fmt: skip


def _following(decision: aw.Decision, path: str) -> Iterator[str]:
    """Yield the paths at which a wrong value of the step at *path* may show."""
    every = [*decision.steps]
    for option in decision.options:
        every += option.steps
        for circuit in option.circuits:
            every += circuit.steps
    direct = {one.path for one in every if path in {asked for _, asked in one.inputs}}
    yield from direct
    # what rests on a circuit or a solved network shows in the numbers of the solution
    for one in every:
        if direct & {asked for _, asked in one.inputs}:
            yield one.path
    for place in ("findings", "assumptions", "questions"):
        for n, one_said in enumerate(getattr(decision, place)):
            yield from (
                f"{place}/{n}/{part.name}" for part in one_said.parameters if part.step == path
            )
    place = path.rpartition("/circuit/")[0]
    if place:
        yield from (f"{place}/{name}" for name in ("rated_speed", "start_torque"))


def cell_fault(decision: aw.Decision, tables: Mapping[str, Table], random: Random) -> Fault | None:
    """Return the plan with one cell of a table that it read altered in the table's file."""
    read = [
        step
        for option in decision.options
        for circuit in option.circuits
        for step in circuit.steps
        if step.kind == "table" and step.table in tables and not isinstance(step.value, str)
    ]
    if not read:
        return None
    step = random.choice(read)
    table = tables[step.table]
    row, column = step.cell
    own = table.row(row)
    if own is None or step.cell[1] == table.key or step.unit == "hp" or column == table.key:
        return None
    try:
        value = float(own[column]) * 1.02 or 1.0
    except ValueError:
        return None
    rows = tuple(
        {**one, column: f"{value:.6g}"} if one[table.key] == row else one for one in table.rows
    )
    altered = {**tables, table.id: attrs.evolve(table, rows=rows)}
    rules = frozenset({step.rule}) if step.rule else frozenset[str]()
    return Fault(f"cell {table.id} {row} {column}", decision, step.path, rules, altered)
