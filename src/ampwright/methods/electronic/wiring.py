"""The circuits of an electronic converter, as the wiring code is asked for them."""

from collections.abc import Sequence

from ampwright.methods.electronic.setup import Setup, usual
from ampwright.methods.electronic.states import legs_to_earth
from ampwright.plugin import (
    CircuitDemand,
    Converter,
    ConverterInput,
    Figure,
    LinkedMachine,
    LoadDemand,
    MotorDemand,
    Source,
    Start,
    State,
    Worksheet,
    with_own_start,
)

PRACTICE = Source(document="common practice", known="practice")
SUM = Source(document="arithmetic sum of currents, on the safe side", known="derived")
HELD = Source(document="the converter holds its current at its overload", known="practice")


class Wiring:
    """What the circuits of one converter have in common."""

    def __init__(
        self,
        setup: Setup,
        made: Converter,
        points: Sequence[State],
        begun: Sequence[Start],
        sheet: Worksheet,
    ) -> None:
        self.setup, self.made, self.begun, self.sheet = setup, made, begun, sheet
        self.most = max(points, key=lambda one: (one.input_current_a, one.id))
        self.part = sheet.under(f"wiring/{made.id}")
        self.to_earth = legs_to_earth(setup, self.part)
        place = f"{sheet.prefix}/converters/{made.id}"
        self.fault = self.part.formula(
            "fault_current", "I_f", "A", "k * I", k=usual("overload", self.part),
            I=Figure(made.output_current_a, f"{place}/output_current_a"), source=HELD,
        )  # fmt: skip
        self.plate = ConverterInput(
            id=made.id,
            method=made.method,
            kind="phase-converter",
            current=Figure(made.input_current_a, f"{place}/input_current_a"),
            given=made.given,
            output_voltage=Figure(made.output_voltage_v, f"{place}/output_voltage_v"),
            fixed_loads=not setup.case.shop.site.future_machines,
        )

    def beside(self, name: str, usual_m: float) -> Figure:
        """Return a length beside the converter, where nobody stated it [m]."""
        return self.part.assumed(name, "l", usual_m, "m", source=PRACTICE, low=0.0,
                                 high=3 * usual_m)  # fmt: skip

    def ahead(self) -> Figure:
        """Return the length of cable from the panel to the converter [m]."""
        place = self.setup.case.shop.site.converter_place
        if place is not None and place.length_m is not None:
            return Figure(float(place.length_m), "shop/site/converter_place/length_m")
        return self.beside("supply_length", 3.0)

    def of_start(self, field: str, ids: Sequence[str]) -> Figure | None:
        """Return the largest value of a field of the starts of *ids*."""
        known = [
            (float(value), one.id)
            for one in self.begun
            if one.id in ids and (value := getattr(one, field)) is not None
        ]
        if not known:
            return None
        value, name = max(known)
        return Figure(value, f"{self.sheet.prefix}/starts/{name}/{field}")

    def factor(self, part: Worksheet, name: str, value: float) -> Figure:
        """Return a usual power factor."""
        return part.assumed(name, "cos phi", value, "", source=PRACTICE, low=value - 0.2,
                            high=min(value + 0.2, 1.0))  # fmt: skip

    def supply(
        self, motors: tuple[MotorDemand, ...], loads: tuple[LoadDemand, ...]
    ) -> CircuitDemand:
        """Return the circuit from the panel to the converter."""
        supply, most = self.setup.case.supply, self.most
        place = f"{self.sheet.prefix}/states/{most.id}"
        cosine = Figure(most.input_power_factor, f"{place}/input_power_factor")
        start = self.of_start("current_a", self.made.machines)
        return CircuitDemand(
            id=f"supply.{self.made.id}",
            role="supply",
            feeds=(self.made.id,),
            phases=1,
            voltage=supply.voltage,
            frequency=supply.frequency,
            length=self.ahead(),
            motors=motors,
            loads=loads,
            converter=self.plate,
            voltage_to_earth=supply.voltage_to_earth,
            running_current=Figure(most.input_current_a, f"{place}/input_current_a"),
            power_factor=cosine,
            starting_current=start,
            starting_power_factor=cosine if start is not None else None,
            starting_time=self.of_start("time_s", self.made.machines),
            fault_largest=supply.fault_largest,
        )

    def output(
        self, name: str, role: str, machines: Sequence[LinkedMachine], fed_from: str, length: Figure
    ) -> CircuitDemand:
        """Return a three-phase circuit behind the converter."""
        part = self.sheet.under(f"wiring/{name}")
        running = {
            f"{key}_{n}": figure
            for n, one in enumerate(machines)
            for key, figure in one.drawn.items()
        }
        ids = [one.id for one in machines]
        start = self.of_start("motor_peak_a", ids)
        return CircuitDemand(
            id=name,
            role=role,
            feeds=tuple(ids),
            fed_from=fed_from,
            phases=3,
            voltage=self.setup.output,
            frequency=self.setup.case.supply.frequency,
            length=length,
            motors=tuple(
                with_own_start(motor.demand, self.begun, self.sheet.prefix)
                for one in machines
                for motor in one.motors
            )
            + tuple(single for one in machines for single in one.single),
            loads=tuple(load for one in machines for load in one.loads),
            made_leg=True,
            inverted=True,
            voltage_to_earth=self.to_earth,
            running_current=part.formula("running_current", "I", "A", " + ".join(running), running,
                                         source=SUM),
            power_factor=self.factor(part, "power_factor", 0.8),
            starting_current=start,
            starting_power_factor=None
            if start is None
            else self.factor(part, "starting_power_factor", 0.4),
            starting_time=self.of_start("time_s", ids),
            fault_largest=self.fault,
            fault_source=self.fault,
            sole_machine=len(machines) == 1,
            cord=role == "branch"
            and all("plug-connected" in one.machine.machine.traits for one in machines),
        )  # fmt: skip

    def demands(self) -> tuple[CircuitDemand, ...]:
        """Return every circuit, from the panel outwards."""
        machines = self.setup.machines
        motors = tuple(motor.demand for one in machines for motor in one.motors)
        motors += tuple(single for one in machines for single in one.single)
        loads = tuple(load for one in machines for load in one.loads)
        ahead = self.supply(motors, loads)
        whole = self.output(f"output.{self.made.id}", "output", machines, ahead.id,
                            self.beside("output_length", 2.0))  # fmt: skip
        branches = tuple(
            self.output(f"branch.{one.id}", "branch", (one,), whole.id, one.machine.length)
            for one in machines
        )
        return (ahead, whole, *branches)
