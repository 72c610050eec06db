"""A plan as flat tables: one dict a row, the unit in the key."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import TYPE_CHECKING

import attrs

from ampwright.decision import Decision
from ampwright.equipment.circuit import Circuit
from ampwright.equipment.device import ProtectiveDevice
from ampwright.errors import InputError
from ampwright.option import Assignment, Option
from ampwright.report.phrases import machines_by_id, wording_of

if TYPE_CHECKING:
    from ampwright.finding import Finding
    from ampwright.step import Step

Cell = str | float | int | bool | None


@attrs.frozen(kw_only=True)
class Column:
    """What one key of a table holds.

    Attributes:
        unit: Unit of its numbers, ``""`` for none.
        meaning: What it is.
    """

    unit: str
    meaning: str


#: key: unit and meaning, for each table; the order is that of the keys in a row.
TABLES: Mapping[str, Mapping[str, tuple[str, str]]] = {
    "machines": {
        "machine": ("", "id of the machine, as the caller gave it"),
        "name": ("", "name of the machine"),
        "quantity": ("", "how many of it"),
        "required": ("", "whether the plan may leave it out"),
        "method": ("", "method that serves it; empty: none"),
        "verdict": ("", "verdict on this machine"),
        "reasons": ("", "codes of the reasons or conditions"),
        "converter": ("", "id of its converter"),
        "circuit": ("", "id of its circuit"),
        "runs_up": ("", "whether it reaches its running speed"),
        "start_time_s": ("s", "run-up time"),
        "start_lowest_voltage_v": ("V", "lowest line voltage at the machine during its start"),
        "start_current_a": ("A", "largest current drawn from the supply during its start"),
        "usable_fraction": (
            "",
            "power that it may give continuously, over rated, in the worst set",
        ),
        "winding_fraction": ("", "largest winding current, over rated, in the worst set"),
    },
    "circuits": {
        "circuit": ("", "id of the circuit inside the option"),
        "role": ("", "what the circuit is for"),
        "feeds": ("", "ids of what it feeds, separated by blanks"),
        "fed_from": ("", "id of the circuit or converter ahead; empty: the panel"),
        "phases": ("", "number of phases"),
        "voltage_v": ("V", "nominal voltage between conductors"),
        "design_current_a": ("A", "current that the conductor must at least be rated for"),
        "conductor_size": ("", "standard size of the current-carrying conductors"),
        "conductor_material": ("", "their material"),
        "conductor_insulation": ("", "their insulation"),
        "conductor_count": ("", "their number"),
        "conductor_area_mm2": ("mm2", "metal area of one of them"),
        "ampacity_a": ("A", "current that they may carry here, all corrections made"),
        "length_m": ("m", "one-way length"),
        "protective_conductor_size": ("", "standard size of the protective conductor"),
        "device_kind": ("", "kind of the protective device"),
        "device_rating_a": ("A", "its rated current"),
        "device_curve": ("", "its curve or class"),
        "device_poles": ("", "its poles"),
        "device_breaking_capacity_a": ("A", "smallest breaking capacity that suffices"),
        "overloads": ("", "motor id and setting in ampere of each overload, separated by blanks"),
        "disconnect_rating_a": ("A", "rated current of the disconnecting means"),
        "disconnect_power_w": ("W", "smallest motor rating of the disconnecting means"),
        "raceway": ("", "kind and trade size of the raceway; empty: a cable"),
        "voltage_drop_fraction": ("", "drop along it while running, over nominal"),
        "starting_drop_fraction": ("", "drop along it during the worst start, over nominal"),
        "fault_current_a": ("A", "largest fault current at its head"),
        "fault_current_min_a": ("A", "smallest earth-fault current at its end"),
    },
    "equipment": {
        "item": ("", "id of the thing inside the option"),
        "kind": ("", "what it is"),
        "serves": ("", "ids of machines or circuits that it serves, separated by blanks"),
        "quantity": ("", "how many of it"),
        "size": ("", "standard size or class"),
        "rating_a": ("A", "rated current"),
        "rating_v": ("V", "rated voltage, or the smallest that suffices"),
        "rating_w": ("W", "rated power"),
        "rating_va": ("VA", "rated apparent power"),
        "setting_a": ("A", "setting"),
        "capacitance_f": ("F", "capacitance"),
        "poles": ("", "poles that open together"),
        "length_m": ("m", "length of each conductor"),
    },
    "findings": {
        "about": ("", "plan, option or check"),
        "code": ("", "code of the finding"),
        "severity": ("", "blocks, caution or info"),
        "where": ("", "ids of what is concerned, separated by blanks"),
        "text": ("", "what it says, in the report's language"),
        "rule": ("", "id of the rule or clause behind it"),
    },
    "steps": {
        "path": ("", "where the number stands in the plan"),
        "kind": ("", "given, table, formula, solved or assumed"),
        "symbol": ("", "symbol, as formulas use it"),
        "value": ("", "the number; its unit stands in the next key"),
        "size": ("", "the value where it is a name of a standard size"),
        "unit": ("", "unit of the value"),
        "formula": ("", "arithmetic on the inputs, or what was solved"),
        "inputs": ("", "name=path of each input, separated by blanks"),
        "rule": ("", "id of the rule that asks for it"),
        "source": ("", "document, clause and edition"),
        "known": ("", "how the source is known"),
        "table": ("", "id of the table that was read"),
        "cell": ("", "row and column that were read"),
        "given": ("", "the caller's own words"),
        "residual": ("", "what a solution left over"),
        "low": ("", "lower edge of the band, in the unit of the value"),
        "high": ("", "upper edge of the band, in the unit of the value"),
    },
}


def columns(name: str) -> Mapping[str, Column]:
    """Return unit and meaning of every key of the table *name*.

    Raises:
        InputError: There is no such table.
    """
    _known(name)
    return {key: Column(unit=unit, meaning=text) for key, (unit, text) in TABLES[name].items()}


def rows(decision: Decision, name: str, option: Option | None) -> Iterator[dict[str, Cell]]:
    """Return the rows of the table *name*, for *option* where it depends on one.

    Raises:
        InputError: There is no such table.
    """
    _known(name)
    makers: dict[str, Callable[[Decision, Option | None], Iterable[tuple[Cell, ...]]]] = {
        "machines": _machines,
        "circuits": _circuits,
        "equipment": _equipment,
        "findings": _findings,
        "steps": _steps,
    }
    keys = tuple(TABLES[name])
    return (dict(zip(keys, cells, strict=True)) for cells in makers[name](decision, option))


def _known(name: str) -> None:
    if name not in TABLES:
        wanted = f"one of {', '.join(TABLES)}"
        raise InputError(name, wanted, "name", code="rows.unknown")


def _joined(parts: Iterable[str]) -> str:
    return " ".join(parts)


def _machines(decision: Decision, option: Option | None) -> Iterator[tuple[Cell, ...]]:
    chosen = {one.id: one for one in option.machines} if option else {}
    starts = {one.id: one for one in option.starts} if option else {}
    for name, record in machines_by_id(decision).items():
        one = chosen.get(name) or Assignment(id=name, method=None, verdict="not-feasible")
        converters = [c.id for c in (option.converters if option else ()) if name in c.machines]
        circuits = [c.id for c in (option.circuits if option else ()) if name in c.feeds]
        start = starts.get(name)
        motors = [
            motor
            for state in (option.states if option else ())
            for motor in state.motors
            if motor.id == name or motor.id.startswith(f"{name}/")
        ]
        yield (
            name,
            str(record.name or record.id),
            record.quantity,
            record.required,
            one.method,
            one.verdict,
            _joined(dict.fromkeys(reason.code for reason in one.reasons)),
            _joined(converters),
            _joined(circuits),
            start.runs_up if start else None,
            start.time_s if start else None,
            start.lowest_voltage_v if start else None,
            start.current_a if start else None,
            min((motor.usable_fraction for motor in motors), default=None),
            max((motor.winding_fraction for motor in motors), default=None),
        )


def _circuits(_decision: Decision, option: Option | None) -> Iterator[tuple[Cell, ...]]:
    for one in option.circuits if option else ():
        device, switch = one.protective_device, one.disconnect
        ground = one.protective_conductor
        yield (
            one.id,
            one.role,
            _joined(one.feeds),
            one.fed_from,
            one.phases,
            one.voltage_v,
            one.design_current_a,
            one.conductor.size,
            one.conductor.material,
            one.conductor.insulation,
            one.conductor.count,
            one.conductor.area_mm2,
            one.conductor.ampacity_a,
            one.conductor.length_m,
            ground.size if ground else None,
            device.kind,
            device.rating_a,
            device.curve,
            device.poles,
            device.breaking_capacity_a,
            _joined(f"{each.id}={each.setting_a or each.rating_a:g}" for each in one.overloads),
            switch.rating_a if switch else None,
            switch.power_w if switch else None,
            f"{one.raceway.kind} {one.raceway.size}" if one.raceway else "",
            one.voltage_drop_fraction,
            one.starting_drop_fraction,
            one.fault_current_a,
            one.fault_current_min_a,
        )


def _item(name: str, kind: str, serves: Iterable[str], **known: Cell) -> tuple[Cell, ...]:
    cells: dict[str, Cell] = {"item": name, "kind": kind, "serves": _joined(serves), "quantity": 1}
    cells |= known
    return tuple(cells.get(key) for key in TABLES["equipment"])


def _equipment(_decision: Decision, option: Option | None) -> Iterator[tuple[Cell, ...]]:
    if option is None:
        return
    for one in option.converters:
        yield _item(
            one.id, f"{one.method} converter", one.machines, rating_w=one.rating_w,
            rating_va=one.rating_va, rating_v=one.output_voltage_v, rating_a=one.output_current_a,
        )  # fmt: skip
        for part in one.capacitors:
            yield _item(
                f"{one.id}/{part.id}", f"{part.purpose} capacitor", [one.id],
                capacitance_f=part.capacitance_f, rating_v=part.voltage_v,
            )  # fmt: skip
    for each in option.transformers:
        yield _item(
            each.id, f"{each.kind} transformer", each.machines, rating_va=each.rating_va,
            rating_v=each.secondary_v,
        )  # fmt: skip
    for circuit in option.circuits:
        yield from _circuit_items(circuit)


def _circuit_items(circuit: Circuit) -> Iterator[tuple[Cell, ...]]:
    wires = (
        ("conductor", circuit.conductor),
        ("protective conductor", circuit.protective_conductor),
    )
    for kind, wire in wires:
        if wire is not None:
            size = f"{wire.size} {wire.material} {wire.insulation}".strip()
            yield _item(
                f"{circuit.id}/{kind.replace(' ', '-')}", kind, [circuit.id],
                quantity=wire.count, size=size, length_m=wire.length_m,
            )  # fmt: skip
    yield _device(circuit, "device", circuit.protective_device)
    for n, one in enumerate(circuit.overloads):
        yield _device(circuit, f"overload-{one.id or n}", one)
    if circuit.disconnect is not None:
        yield _device(circuit, "disconnect", circuit.disconnect)
    if circuit.raceway is not None:
        size = f"{circuit.raceway.kind} {circuit.raceway.size}"
        yield _item(
            f"{circuit.id}/raceway", "raceway", [circuit.id], size=size,
            length_m=circuit.conductor.length_m,
        )  # fmt: skip


def _device(circuit: Circuit, name: str, one: ProtectiveDevice) -> tuple[Cell, ...]:
    return _item(
        f"{circuit.id}/{name}", one.kind, [circuit.id], size=one.curve, rating_a=one.rating_a,
        rating_v=one.rating_v, rating_w=one.power_w, setting_a=one.setting_a, poles=one.poles,
    )  # fmt: skip


def _findings(decision: Decision, option: Option | None) -> Iterator[tuple[Cell, ...]]:
    wording = wording_of(decision)
    groups: list[tuple[str, Iterable[Finding]]] = [("plan", decision.findings)]
    if option is not None:
        groups.append((option.id, option.findings))
        groups += [(option.id, one.reasons) for one in option.machines]
    groups.append(("check", decision.checks or ()))
    for about, findings in groups:
        for one in findings:
            text = wording.finding(one)
            yield about, one.code, one.severity, _joined(one.where), text, one.rule


def _steps(decision: Decision, option: Option | None) -> Iterator[tuple[Cell, ...]]:
    groups: list[Iterable[Step]] = [decision.steps]
    if option is not None:
        groups += [option.steps, *(one.steps for one in option.circuits)]
    for group in groups:
        for one in group:
            named = isinstance(one.value, str)
            yield (
                one.path,
                one.kind,
                one.symbol,
                None if named else one.value,
                one.value if named else None,
                one.unit,
                one.formula,
                _joined(f"{name}={path}" for name, path in one.inputs),
                one.rule,
                str(one.source or ""),
                one.source.known if one.source else "",
                one.table,
                _joined(one.cell),
                one.text,
                one.residual,
                one.low,
                one.high,
            )
