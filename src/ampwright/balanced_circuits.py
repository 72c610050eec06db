"""Circuits of a converter whose output is balanced, as the wiring code is asked for them."""

from collections.abc import Sequence

import attrs

from ampwright.case import Case
from ampwright.linked import LinkedMachine
from ampwright.method import Start
from ampwright.own_start import with_own_start
from ampwright.record import Record
from ampwright.region import CircuitDemand, LoadDemand, MotorDemand
from ampwright.step import Figure, Worksheet
from ampwright.tables import Source

PRACTICE = Source(document="common practice", known="practice")
SUM = Source(document="arithmetic sum of currents, on the safe side", known="derived")
#: Usual lengths of cable beside a converter, where nobody stated them [m].
SUPPLY_M, OUTPUT_M = 3.0, 2.0


@attrs.frozen(kw_only=True, eq=False, repr=False)
class BalancedCircuits(Record):
    """What the circuits of one such converter have in common.

    Attributes:
        case: The whole shop.
        sheet: Where the steps of the proposal stand.
        converter: Id of the converter.
        machines: The machines behind it, at its output voltage.
        voltage: Output voltage between two lines [V].
        to_earth: Volts to earth of its lines [V].
        starts: The starts of the proposal.
        fault_largest: Largest fault current that it gives [A].
        fault_source: Smallest that it keeps up in an earth fault [A].
        inverted: Its lines are made by switching from direct current.
    """

    case: Case
    sheet: Worksheet
    converter: str
    machines: tuple[LinkedMachine, ...]
    voltage: Figure
    to_earth: tuple[Figure, ...]
    starts: Sequence[Start]
    fault_largest: Figure
    fault_source: Figure
    inverted: bool = False

    @property
    def motors(self) -> tuple[MotorDemand, ...]:
        """Every motor behind it."""
        return _motors(self.machines)

    @property
    def loads(self) -> tuple[LoadDemand, ...]:
        """Every other load behind it."""
        return tuple(load for one in self.machines for load in one.loads)

    def ahead(self) -> Figure:
        """Return the length of cable from the panel to the converter [m]."""
        place = self.case.shop.site.converter_place
        if place is not None and place.length_m is not None:
            return Figure(float(place.length_m), "shop/site/converter_place/length_m")
        return self._beside("supply_length", SUPPLY_M)

    def of_start(self, field: str, ids: Sequence[str]) -> Figure | None:
        """Return the largest value of a field of the starts of *ids*."""
        known = [
            (float(value), one.id)
            for one in self.starts
            if one.id in ids and (value := getattr(one, field)) is not None
        ]
        if not known:
            return None
        value, name = max(known)
        return Figure(value, f"{self.sheet.prefix}/starts/{name}/{field}")

    def behind(self, fed_from: str) -> tuple[CircuitDemand, ...]:
        """Return every circuit behind the converter, whose own circuit has the id *fed_from*."""
        whole = self._circuit(f"output.{self.converter}", "output", self.machines, fed_from,
                              self._beside("output_length", OUTPUT_M))  # fmt: skip
        branches = tuple(
            self._circuit(f"branch.{one.id}", "branch", (one,), whole.id, one.machine.length)
            for one in self.machines
        )
        return (whole, *branches)

    def _beside(self, name: str, usual_m: float) -> Figure:
        """Return a length beside the converter, where nobody stated it [m]."""
        part = self.sheet.under(f"wiring/{self.converter}")
        return part.assumed(name, "l", usual_m, "m", source=PRACTICE, low=0.0, high=3.0 * usual_m)

    def _circuit(
        self, name: str, role: str, machines: Sequence[LinkedMachine], fed_from: str, length: Figure
    ) -> CircuitDemand:
        """Return one three-phase circuit behind the converter."""
        part = self.sheet.under(f"wiring/{name}")
        running = {
            f"{key}_{n}": figure
            for n, one in enumerate(machines)
            for key, figure in one.drawn.items()
        }
        ids = [one.id for one in machines]
        start = self.of_start("motor_peak_a", ids)
        own = tuple(
            with_own_start(motor, self.starts, self.sheet.prefix) for motor in _motors(machines)
        )
        return CircuitDemand(
            id=name,
            role=role,
            feeds=tuple(ids),
            fed_from=fed_from,
            phases=3,
            voltage=self.voltage,
            frequency=self.case.supply.frequency,
            length=length,
            motors=own,
            loads=tuple(load for one in machines for load in one.loads),
            made_leg=True,
            inverted=self.inverted,
            voltage_to_earth=self.to_earth,
            running_current=part.formula("running_current", "I", "A", " + ".join(running), running,
                                         source=SUM),
            power_factor=_factor(part, "power_factor", 0.8, (0.6, 1.0)),
            starting_current=start,
            starting_power_factor=None
            if start is None
            else _factor(part, "starting_power_factor", 0.4, (0.2, 0.6)),
            starting_time=self.of_start("time_s", ids),
            fault_largest=self.fault_largest,
            fault_source=self.fault_source,
            sole_machine=len(machines) == 1,
            cord=role == "branch"
            and all("plug-connected" in one.machine.machine.traits for one in machines),
        )  # fmt: skip


def _motors(machines: Sequence[LinkedMachine]) -> tuple[MotorDemand, ...]:
    return (
        *(motor.demand for one in machines for motor in one.motors),
        *(single for one in machines for single in one.single),
    )


def _factor(part: Worksheet, name: str, value: float, band: tuple[float, float]) -> Figure:
    """Return a usual power factor."""
    low, high = band
    return part.assumed(name, "cos phi", value, "", source=PRACTICE, low=low, high=high)
