"""Plants one fault in a sound plan of the NEC family: a size moved by one, record and steps."""

from collections.abc import Callable, Iterator, Mapping

import attrs
from tests.verification.planted import Fault, Planted, Planter, Values

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


class NecPlanter(Planter):
    """Plants faults in one circuit of the NEC family."""

    smaller_is_a_breach = True

    def parts(self) -> tuple[Callable[[int], Planted], ...]:
        """Return what moves each part of the circuit by one step up or down."""
        return (
            self._conductor,
            self._device,
            self._protective,
            self._overload,
            self._disconnect,
            self._raceway,
        )

    def _cell(self, name: str, row: str) -> float | None:
        step = self.steps[f"{self.place}/{name}"]
        return self.tables[step.table].number(row, step.cell[1])

    def _conductor(self, by: int) -> Planted:
        own = self.circuit.conductor
        known = {row["size"] for row in self.tables["conductor_impedance"].rows}
        sizes = [row["size"] for row in self.tables["ampacity"].rows if row["size"] in known]
        size = self.following(sizes, own.size.split()[0], by)
        if size is None:
            return None
        terminal = self._cell("conductor/terminal_ampacity_a", size)
        free = self._cell("conductor/table_ampacity_a", size)
        mils = self.tables["conductor_properties"].number(size, "circular_mils")
        if terminal is None or free is None or mils is None:
            return None
        factor = self.number("conductor/ambient_factor")
        factor *= self.number("conductor/adjustment_factor")
        sets = own.count // (3 if self.circuit.phases == 3 else 2)
        held = sets * min(terminal, free * factor)
        area = mils * own.area_mm2 / self.number("conductor/circular_mils")
        name = f"{size} {'AWG' if mils < 250000 else 'kcmil'}"
        values: Values = {
            "conductor/size": (name, size),
            "conductor/terminal_ampacity_a": (terminal, size),
            "conductor/table_ampacity_a": (free, size),
            "conductor/ampacity_a": (held, ""),
            "conductor/circular_mils": (mils, size),
            "conductor/area_mm2": (area, ""),
        }
        changed = attrs.evolve(own, size=name, ampacity_a=held, area_mm2=area)
        return "conductor/size", AMPACITY, self.changed(values, conductor=changed)

    def _device(self, by: int) -> Planted:
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
        rating = self.following(listed, f"{own.rating_a:g}", by)
        if rating is None:
            return None
        values: Values = {"protective_device/rating_a": (float(rating), rating)}
        changed = attrs.evolve(own, rating_a=float(rating))
        part = "protective_device/rating_a"
        return part, DEVICE, self.changed(values, protective_device=changed)

    def _protective(self, by: int) -> Planted:
        own = self.circuit.protective_conductor
        if own is None:
            return None
        sizes = [row["size"] for row in self.tables["conductor_properties"].rows]
        size = self.following(sizes, own.size.split()[0], by)
        if size is None:
            return None
        mils = self.tables["conductor_properties"].number(size, "circular_mils") or 0.0
        area = mils * own.area_mm2 / self.number("protective_conductor/circular_mils")
        name = f"{size} {'AWG' if mils < 250000 else 'kcmil'}"
        values: Values = {
            "protective_conductor/size": (name, size),
            "protective_conductor/circular_mils": (mils, size),
            "protective_conductor/area_mm2": (area, ""),
        }
        changed = attrs.evolve(own, size=name, area_mm2=area)
        part = "protective_conductor/size"
        return part, EARTH, self.changed(values, protective_conductor=changed)

    def _overload(self, by: int) -> Planted:
        if not self.circuit.overloads:
            return None
        own = self.circuit.overloads[0]
        part = f"overloads/{own.id}"
        low, high = (
            self.tables["factors"].number(name, "value")
            for name in ("overload_low", "overload_high")
        )
        factor = self.number(f"{part}/factor")
        if low is None or high is None or own.setting_a is None:
            return None
        if by > 0 and factor == low:
            other, row = high, "overload_high"
        elif by < 0 and factor == high:
            other, row = low, "overload_low"
        else:
            return None
        setting = own.setting_a * other / factor
        values: Values = {
            f"{part}/factor": (other, row),
            f"{part}/setting_a": (setting, ""),
        }
        overloads = (attrs.evolve(own, setting_a=setting), *self.circuit.overloads[1:])
        return f"{part}/setting_a", OVERLOAD, self.changed(values, overloads=overloads)

    def _disconnect(self, by: int) -> Planted:
        return self.disconnected("disconnect_ratings", SWITCH, by)

    def _raceway(self, by: int) -> Planted:
        own = self.circuit.raceway
        row = None if own is None else self.tables["raceways"].row(own.kind)
        if own is None or row is None or not row["sizes"]:
            return None
        table = self.tables[row["sizes"]]
        trade = self.following([one["trade"] for one in table.rows], own.size, by)
        if trade is None:
            return None
        total = table.number(trade, "area_100") or 0.0
        fill = self.number("raceway/filled_in2") / total
        values: Values = {
            "raceway/size": (trade, trade),
            "raceway/total_in2": (total, trade),
            "raceway/fill_fraction": (fill, ""),
        }
        changed = attrs.evolve(own, size=trade, fill_fraction=fill)
        return "raceway/size", FILL, self.changed(values, raceway=changed)


def size_faults(decision: aw.Decision, tables: Mapping[str, Table]) -> Iterator[Fault]:
    """Yield every fault of one size in every circuit of the plan."""
    for option in decision.options:
        for circuit in option.circuits:
            yield from NecPlanter(decision, option.id, circuit, tables).faults()
