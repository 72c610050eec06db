"""Plants one fault in a sound plan: a size moved by one, one step's value, one table cell."""

from collections.abc import Iterator, Mapping
from random import Random
from typing import Any

import attrs

import ampwright as aw
from ampwright.tables import Table

#: Clauses that may be named where the part of a circuit is wrong.
AMPACITY = frozenset({
    "plan.start",
    "nec.110.14(C)", "nec.310.15(B)", "nec.310.15(C)(1)", "nec.310.16", "nec.240.4", "nec.240.4(D)",
    "nec.430.22", "nec.430.22(E)", "nec.430.24", "nec.430.122(A)", "nec.430.122(B)",
    "nec.455.6(A)(1)", "nec.455.6(A)(2)", "nec.455.7", "nec.210.19(A)", "nec.215.2(A)",
    "nec.630.11(A)",
    "nec.630.11(B)", "nec.630.12(B)", "nec.310.10(G)", "nec.630.31(A)", "nec.630.31(B)",
    "nec.630.32(B)",
})  # fmt: skip
DEVICE = frozenset({
    "nec.430.52", "nec.430.52(C)(1)", "nec.430.52(C)(1)X2", "nec.430.62(A)", "nec.430.63",
    "nec.430.130", "nec.455.7", "nec.210.20(A)", "nec.215.3", "nec.450.3(B)", "nec.630.12(A)",
    "nec.450.4", "nec.630.32(A)",
    "nec.240.6(A)",
})  # fmt: skip
EARTH = frozenset({"nec.250.122(A)", "nec.250.122(B)"})
OVERLOAD = frozenset({"nec.430.32(A)(1)"})
SWITCH = frozenset({
    "nec.430.110(A)", "nec.430.110(C)", "nec.430.128", "nec.455.8(C)", "nec.455.8(C)(1)",
    "nec.630.13", "nec.630.33", "nec.210.19(A)",
})  # fmt: skip
FILL = frozenset({"nec.9.1", "nec.9.4"})


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
    """Plants faults in one circuit, record and steps alike, so that only the rules can object."""

    def __init__(
        self, decision: aw.Decision, option: str, circuit: aw.Circuit, tables: Mapping[str, Table]
    ) -> None:
        self.decision, self.option, self.circuit, self.tables = decision, option, circuit, tables
        self.place = f"options/{option}/circuits/{circuit.id}"

    def faults(self) -> Iterator[Fault]:
        """Yield every fault of one step up or down in a part of the circuit."""
        for by, word in ((-1, "smaller"), (1, "larger")):
            for made in (
                self._conductor(by),
                self._device(by),
                self._protective(by),
                self._overload(by),
                self._disconnect(by),
                self._raceway(by),
            ):
                if made is not None:
                    part, rules, circuit = made
                    yield Fault(
                        f"{part} {word}",
                        with_circuit(self.decision, self.option, circuit),
                        f"{self.place}/{part}",
                        rules,
                        self.tables,
                        "check.breach" if by < 0 else "",
                    )

    def _next(self, names: list[str], name: str, by: int) -> str | None:
        at = names.index(name) + by
        return names[at] if 0 <= at < len(names) else None

    def _changed(self, values: Mapping[str, tuple[float | str, str]], **parts: Any) -> aw.Circuit:  # noqa: ANN401 - parts of a record
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

    def _number(self, name: str) -> float:
        path = f"{self.place}/{name}"
        return next(float(one.value) for one in self.circuit.steps if one.path == path)

    def _cell(self, name: str, row: str) -> float | None:
        path = f"{self.place}/{name}"
        step = next(one for one in self.circuit.steps if one.path == path)
        return self.tables[step.table].number(row, step.cell[1])

    def _conductor(self, by: int) -> tuple[str, frozenset[str], aw.Circuit] | None:
        own = self.circuit.conductor
        known = {row["size"] for row in self.tables["conductor_impedance"].rows}
        sizes = [row["size"] for row in self.tables["ampacity"].rows if row["size"] in known]
        size = self._next(sizes, own.size.split()[0], by)
        if size is None:
            return None
        terminal = self._cell("conductor/terminal_ampacity_a", size)
        free = self._cell("conductor/table_ampacity_a", size)
        mils = self.tables["conductor_properties"].number(size, "circular_mils")
        if terminal is None or free is None or mils is None:
            return None
        factor = self._number("conductor/ambient_factor")
        factor *= self._number("conductor/adjustment_factor")
        sets = own.count // (3 if self.circuit.phases == 3 else 2)
        held = sets * min(terminal, free * factor)
        area = mils * own.area_mm2 / self._number("conductor/circular_mils")
        name = f"{size} {'AWG' if mils < 250000 else 'kcmil'}"
        values: dict[str, tuple[float | str, str]] = {
            "conductor/size": (name, size),
            "conductor/terminal_ampacity_a": (terminal, size),
            "conductor/table_ampacity_a": (free, size),
            "conductor/ampacity_a": (held, ""),
            "conductor/circular_mils": (mils, size),
            "conductor/area_mm2": (area, ""),
        }
        changed = attrs.evolve(own, size=name, ampacity_a=held, area_mm2=area)
        return "conductor/size", AMPACITY, self._changed(values, conductor=changed)

    def _device(self, by: int) -> tuple[str, frozenset[str], aw.Circuit] | None:
        own = self.circuit.protective_device
        if own.rating_a is None:
            return None
        rows = self.tables["standard_ratings"].rows
        edition = int(self.decision.region.edition)
        listed = [
            row["rating_a"]
            for row in rows
            if row["breaker_since"] and int(row["breaker_since"]) <= edition
        ]
        rating = self._next(listed, f"{own.rating_a:g}", by)
        if rating is None:
            return None
        values: dict[str, tuple[float | str, str]] = {
            "protective_device/rating_a": (float(rating), rating)
        }
        changed = attrs.evolve(own, rating_a=float(rating))
        part = "protective_device/rating_a"
        return part, DEVICE, self._changed(values, protective_device=changed)

    def _protective(self, by: int) -> tuple[str, frozenset[str], aw.Circuit] | None:
        own = self.circuit.protective_conductor
        if own is None:
            return None
        sizes = [row["size"] for row in self.tables["conductor_properties"].rows]
        size = self._next(sizes, own.size.split()[0], by)
        if size is None:
            return None
        mils = self.tables["conductor_properties"].number(size, "circular_mils") or 0.0
        area = mils * own.area_mm2 / self._number("protective_conductor/circular_mils")
        name = f"{size} {'AWG' if mils < 250000 else 'kcmil'}"
        values: dict[str, tuple[float | str, str]] = {
            "protective_conductor/size": (name, size),
            "protective_conductor/circular_mils": (mils, size),
            "protective_conductor/area_mm2": (area, ""),
        }
        changed = attrs.evolve(own, size=name, area_mm2=area)
        part = "protective_conductor/size"
        return part, EARTH, self._changed(values, protective_conductor=changed)

    def _overload(self, by: int) -> tuple[str, frozenset[str], aw.Circuit] | None:
        if not self.circuit.overloads:
            return None
        own = self.circuit.overloads[0]
        part = f"overloads/{own.id}"
        low, high = (
            self.tables["factors"].number(name, "value")
            for name in ("overload_low", "overload_high")
        )
        factor = self._number(f"{part}/factor")
        if low is None or high is None or own.setting_a is None:
            return None
        if by > 0 and factor == low:
            other, row = high, "overload_high"
        elif by < 0 and factor == high:
            other, row = low, "overload_low"
        else:
            return None
        setting = own.setting_a * other / factor
        values: dict[str, tuple[float | str, str]] = {
            f"{part}/factor": (other, row),
            f"{part}/setting_a": (setting, ""),
        }
        overloads = (attrs.evolve(own, setting_a=setting), *self.circuit.overloads[1:])
        return f"{part}/setting_a", OVERLOAD, self._changed(values, overloads=overloads)

    def _disconnect(self, by: int) -> tuple[str, frozenset[str], aw.Circuit] | None:
        own = self.circuit.disconnect
        if own is None or own.rating_a is None:
            return None
        listed = [row["rating_a"] for row in self.tables["disconnect_ratings"].rows]
        rating = self._next(listed, f"{own.rating_a:g}", by)
        if rating is None:
            return None
        values: dict[str, tuple[float | str, str]] = {
            "disconnect/rating_a": (float(rating), rating)
        }
        changed = attrs.evolve(own, rating_a=float(rating))
        return "disconnect/rating_a", SWITCH, self._changed(values, disconnect=changed)

    def _raceway(self, by: int) -> tuple[str, frozenset[str], aw.Circuit] | None:
        own = self.circuit.raceway
        row = None if own is None else self.tables["raceways"].row(own.kind)
        if own is None or row is None or not row["sizes"]:
            return None
        table = self.tables[row["sizes"]]
        trade = self._next([one["trade"] for one in table.rows], own.size, by)
        if trade is None:
            return None
        total = table.number(trade, "area_100") or 0.0
        fill = self._number("raceway/filled_in2") / total
        values: dict[str, tuple[float | str, str]] = {
            "raceway/size": (trade, trade),
            "raceway/total_in2": (total, trade),
            "raceway/fill_fraction": (fill, ""),
        }
        changed = attrs.evolve(own, size=trade, fill_fraction=fill)
        return "raceway/size", FILL, self._changed(values, raceway=changed)


def size_faults(decision: aw.Decision, tables: Mapping[str, Table]) -> Iterator[Fault]:
    """Yield every fault of one size in every circuit of the plan."""
    for option in decision.options:
        for circuit in option.circuits:
            yield from Planter(decision, option.id, circuit, tables).faults()


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
