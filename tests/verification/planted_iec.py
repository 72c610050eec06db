"""Plants one fault in a sound plan of the IEC family: a size moved by one, record and steps."""

from collections.abc import Callable, Iterator, Mapping
from typing import Any

import attrs
from tests.verification.planted import Fault, Planted, Planter, Values

import ampwright as aw
from ampwright.tables import Table

#: Clauses that may be named where the part of a circuit is wrong.
CAPACITY = frozenset({
    "plan.start", "iec.433.1", "iec.434.5.2", "iec.523", "iec.523.2", "iec.523.5", "iec.523.6",
    "iec.524", "iec.525",
})  # fmt: skip
DEVICE = frozenset({"iec.433.1", "iec.60898-1", "iec.60898-1.hold", "iec.60947-2"})
EARTH = frozenset({"iec.543.1"})
OVERLOAD, CLASS = frozenset({"iec.60204-1.7.3"}), frozenset({"iec.60947-4-1"})
SWITCH = frozenset({"iec.60947-3"})
GUARD = frozenset({"iec.531.3.3", "iec.411.5"})
BREAKING, VOLTAGE = frozenset({"iec.434.5.1"}), frozenset({"iec.60898-1"})


class IecPlanter(Planter):
    """Plants faults in one circuit of the IEC family, which states its sizes beside the tables."""

    def __init__(
        self,
        decision: aw.Decision,
        option: str,
        circuit: aw.Circuit,
        tables: Mapping[str, Table],
        stated: Mapping[str, Any],
    ) -> None:
        super().__init__(decision, option, circuit, tables)
        self.stated = stated

    def parts(self) -> tuple[Callable[[int], Planted], ...]:
        """Return what moves each part of the circuit by one step up or down."""
        return (
            self._conductor,
            self._device,
            self._curve,
            self._protective,
            self._overload,
            self._class,
            self._disconnect,
            self._breaking,
            self._voltage,
            self._guard,
        )

    def _sizes(self) -> list[str]:
        """Return the sizes in use that the table of this circuit has."""
        step = self.steps.get(f"{self.place}/conductor/table_ampacity_a")
        if step is None or step.kind != "table":
            return []
        stem = step.cell[0].rpartition(" ")[0]
        metal = self.steps[f"{self.place}/conductor/size"].cell[1]
        known = [f"{one:g}" for one in self.stated["sizes"]["mm2"]]
        return [
            one for one in known
            if self.tables[step.table].row(f"{stem} {one}")
            and (self.tables["resistance"].row(one) or {}).get(metal)
        ]  # fmt: skip

    def _conductor(self, by: int) -> Planted:
        own = self.circuit.conductor
        size = self.following(self._sizes(), own.size.split()[0], by)
        if size is None:
            return None
        table = self.steps[f"{self.place}/conductor/table_ampacity_a"]
        row = f"{table.cell[0].rpartition(' ')[0]} {size}"
        free = self.tables[table.table].number(row, "iz_a") or 0.0
        held = free * (own.ampacity_a or 0.0) / float(table.value)
        values: Values = {
            "conductor/size": (f"{size} mm2", size),
            "conductor/table_ampacity_a": (free, row),
            "conductor/ampacity_a": (held, ""),
            "conductor/area_mm2": (float(size), size),
        }
        changed = attrs.evolve(own, size=f"{size} mm2", ampacity_a=held, area_mm2=float(size))
        return "conductor/size", CAPACITY, self.changed(values, conductor=changed)

    def _device(self, by: int) -> Planted:
        own = self.circuit.protective_device
        step = self.steps.get(f"{self.place}/protective_device/rating_a")
        if own.rating_a is None or step is None or step.kind != "table":
            return None
        column = step.cell[1]
        listed = [row["rating_a"] for row in self.tables["device_ratings"].rows if row[column]]
        rating = self.following(listed, f"{own.rating_a:g}", by)
        if rating is None or (column == "60898" and float(rating) > 125):
            return None
        values: Values = {"protective_device/rating_a": (float(rating), rating)}
        changed = attrs.evolve(own, rating_a=float(rating))
        part = "protective_device/rating_a"
        return part, DEVICE, self.changed(values, protective_device=changed)

    def _curve(self, by: int) -> Planted:
        own = self.circuit.protective_device
        other = self.following(["B", "C", "D"], own.curve, by)
        if other is None:
            return None
        values: Values = {"protective_device/curve": (other, other)}
        changed = attrs.evolve(own, curve=other)
        return "protective_device", DEVICE, self.changed(values, protective_device=changed)

    def _protective(self, by: int) -> Planted:
        own = self.circuit.protective_conductor
        if own is None:
            return None
        metal = self.steps[f"{self.place}/protective_conductor/size"].cell[1]
        sizes = [
            name for one in self.stated["sizes"]["mm2"]
            if (self.tables["resistance"].row(name := f"{one:g}") or {}).get(metal)
        ]  # fmt: skip
        size = self.following(sizes, own.size.split()[0], by)
        if size is None:
            return None
        values: Values = {
            "protective_conductor/size": (f"{size} mm2", size),
            "protective_conductor/area_mm2": (float(size), size),
        }
        changed = attrs.evolve(own, size=f"{size} mm2", area_mm2=float(size))
        part = "protective_conductor/size"
        return part, EARTH, self.changed(values, protective_conductor=changed)

    def _overload(self, by: int) -> Planted:
        if not self.circuit.overloads:
            return None
        own = self.circuit.overloads[0]
        part = f"overloads/{own.id}"
        setting = (own.setting_a or 0.0) * (1 + 0.05 * by)
        values: Values = {f"{part}/setting_a": (setting, "")}
        overloads = (attrs.evolve(own, setting_a=setting), *self.circuit.overloads[1:])
        return f"{part}/setting_a", OVERLOAD, self.changed(values, overloads=overloads)

    def _class(self, by: int) -> Planted:
        if not self.circuit.overloads:
            return None
        own = self.circuit.overloads[0]
        rows = [row["class"] for row in self.tables["overload_classes"].rows]
        other = self.following(rows, own.curve.removeprefix("class "), by)
        if other is None:
            return None
        part = f"overloads/{own.id}/class"
        values: Values = {part: (other, other)}
        overloads = (attrs.evolve(own, curve=f"class {other}"), *self.circuit.overloads[1:])
        return part, CLASS, self.changed(values, overloads=overloads)

    def _disconnect(self, by: int) -> Planted:
        return self.disconnected("switch_ratings", SWITCH, by)

    def _breaking(self, by: int) -> Planted:
        own = self.circuit.protective_device
        listed = [row["rating_a"] for row in self.tables["breaking_capacities"].rows]
        if own.breaking_capacity_a is None:
            return None
        rating = self.following(listed, f"{own.breaking_capacity_a:g}", by)
        if rating is None:
            return None
        part = "protective_device/breaking_capacity_a"
        values: Values = {part: (float(rating), rating)}
        changed = attrs.evolve(own, breaking_capacity_a=float(rating))
        return part, BREAKING, self.changed(values, protective_device=changed)

    def _voltage(self, by: int) -> Planted:
        own, part = self.circuit.protective_device, "protective_device/rating_v"
        if own.rating_v is None:
            return None
        rows = self.tables["device_voltages"].rows
        marking = self.following(
            [row["marking"] for row in rows],
            next(row["marking"] for row in rows if float(row["to_earth_v"]) == own.rating_v), by,
        )  # fmt: skip
        if marking is None:
            return None
        volts = self.tables["device_voltages"].number(marking, "to_earth_v") or 0.0
        changed = attrs.evolve(own, rating_v=volts)
        return part, VOLTAGE, self.changed({part: (volts, marking)}, protective_device=changed)

    def _guard(self, by: int) -> Planted:
        if not self.circuit.guards:
            return None
        own = self.circuit.guards[0]
        part = f"guards/{own.id}"
        if by < 0:
            kind = {"F": "A", "B": "F", "A": "AC"}.get(own.curve.split()[1])
            if kind is None:
                return None
            curve = own.curve.replace(f"type {own.curve.split()[1]}", f"type {kind}")
            values: Values = {f"{part}/type": (kind, kind)}
            changed = attrs.evolve(own, curve=curve)
            return f"{part}/type", GUARD, self.changed(values, guards=(changed,))
        listed = [row["rating_a"] for row in self.tables["residual_current_devices"].rows]
        rating = self.following(listed, f"{own.rating_a:g}", by)
        if rating is None:
            return None
        values = {f"{part}/rating_a": (float(rating), rating)}
        changed = attrs.evolve(own, rating_a=float(rating))
        return f"{part}/rating_a", GUARD, self.changed(values, guards=(changed,))


def iec_faults(
    decision: aw.Decision, tables: Mapping[str, Table], stated: Mapping[str, Any]
) -> Iterator[Fault]:
    """Yield every fault of one size in every new circuit of the plan."""
    for option in decision.options:
        for circuit in option.circuits:
            if circuit.role != "service":
                planter = IecPlanter(decision, option.id, circuit, tables, stated)
                yield from planter.faults()
