"""The circuits of a set, as the wiring code is asked for them."""

from collections.abc import Sequence

from ampwright.plugin import (
    CircuitDemand,
    Converter,
    Figure,
    LinkedMachine,
    MotorDemand,
    Source,
    Start,
    State,
    Worksheet,
)
from ampwright_method_motor_generator.setup import Setup, usual
from ampwright_method_motor_generator.states import SetMotor, to_earth

PRACTICE = Source(document="common practice", known="practice")
SUM = Source(document="arithmetic sum of currents, on the safe side", known="derived")
REACTANCE = Source(document="short circuit behind the transient reactance", known="derived")
HELD = Source(document="current that the excitation holds in a short circuit", known="practice")


class Wiring:
    """What the circuits of one set have in common."""

    def __init__(
        self,
        setup: Setup,
        motor: SetMotor,
        made: Converter,
        points: Sequence[State],
        begun: Sequence[Start],
        sheet: Worksheet,
    ) -> None:
        self.setup, self.motor, self.made, self.begun = setup, motor, made, begun
        self.sheet, self.part = sheet, sheet.under(f"wiring/{made.id}")
        self.most = max(points, key=lambda one: (one.input_current_a, one.id))
        self.to_earth = to_earth(setup, self.part)
        rated = Figure(made.output_current_a,
                       f"{sheet.prefix}/converters/{made.id}/output_current_a")  # fmt: skip
        self.largest = self.part.formula("fault_largest", "I_f", "A", "I / x", I=rated,
                                         x=usual("transient-reactance", self.part),
                                         source=REACTANCE)  # fmt: skip
        self.lasting = self.part.formula("made_leg_fault", "I_k", "A", "k * I", I=rated,
                                         k=usual("sustained-fault", self.part),
                                         source=HELD)  # fmt: skip

    def beside(self, name: str, usual_m: float) -> Figure:
        """Return a length beside the set, where nobody stated it [m]."""
        return self.part.assumed(name, "l", usual_m, "m", source=PRACTICE, low=0.0,
                                 high=3.0 * usual_m)  # fmt: skip

    def ahead(self) -> Figure:
        """Return the length of cable from the panel to the set [m]."""
        place = self.setup.case.shop.site.converter_place
        if place is not None and place.length_m is not None:
            return Figure(float(place.length_m), "shop/site/converter_place/length_m")
        return self.beside("supply_length", 3.0)

    def at(self, field: str, ids: Sequence[str]) -> Figure | None:
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

    def motor_circuit(self) -> CircuitDemand:
        """Return the circuit from the panel to the motor of the set, which is its idler."""
        supply, name = self.setup.case.supply, self.made.id
        state = f"{self.sheet.prefix}/states/{self.most.id}"
        part = self.sheet.under(f"wiring/idler.{name}")
        plate = f"{self.sheet.prefix}/wiring/{name}/idler"
        demand = MotorDemand(
            id=name,
            machine=name,
            phases=1,
            power=Figure(self.motor.power.value,
                         f"{self.sheet.prefix}/converters/{name}/idler_power_w"),
            voltage=supply.voltage,
            current=Figure(self.motor.current.value, f"{plate}/current"),
            current_known="assumed",
            locked_rotor_current=Figure(self.motor.locked.value, f"{plate}/locked_rotor_current"),
        )  # fmt: skip
        begun = {
            f"I{n}": Figure(one.current_a, f"{self.sheet.prefix}/starts/{one.id}/current_a")
            for n, one in enumerate(self.begun)
        }
        most = f"max({', '.join(begun)})" if len(begun) > 1 else "I0"
        return CircuitDemand(
            id=f"idler.{name}",
            role="idler",
            feeds=(name,),
            phases=1,
            voltage=supply.voltage,
            frequency=supply.frequency,
            length=self.ahead(),
            motors=(demand,),
            voltage_to_earth=supply.voltage_to_earth,
            running_current=Figure(self.most.input_current_a, f"{state}/input_current_a"),
            power_factor=Figure(self.most.input_power_factor, f"{state}/input_power_factor"),
            starting_current=part.formula("starting_current", "I_start", "A", most, begun),
            starting_power_factor=part.assumed(
                "starting_power_factor", "cos phi", self.motor.plate.locked_rotor_power_factor, "",
                source=PRACTICE, low=0.5, high=0.9,
            ),
            starting_time=self.at("time_s", (name,)),
            fault_largest=supply.fault_largest,
        )  # fmt: skip

    def behind(
        self, name: str, role: str, machines: Sequence[LinkedMachine], fed_from: str, length: Figure
    ) -> CircuitDemand:
        """Return a three-phase circuit behind the generator."""
        part = self.sheet.under(f"wiring/{name}")
        running = {
            f"{key}_{n}": figure
            for n, one in enumerate(machines)
            for key, figure in one.drawn.items()
        }
        ids = [one.id for one in machines]
        start = self.at("motor_peak_a", ids)

        def factor(slug: str, value: float, low: float, high: float) -> Figure:
            return part.assumed(slug, "cos phi", value, "", source=PRACTICE, low=low, high=high)

        return CircuitDemand(
            id=name,
            role=role,
            feeds=tuple(ids),
            fed_from=fed_from,
            phases=3,
            voltage=self.setup.output,
            frequency=self.setup.case.supply.frequency,
            length=length,
            motors=tuple(motor.demand for one in machines for motor in one.motors)
            + tuple(demand for one in machines for demand in one.single),
            loads=tuple(load for one in machines for load in one.loads),
            made_leg=True,
            voltage_to_earth=self.to_earth,
            running_current=part.formula("running_current", "I", "A", " + ".join(running), running,
                                         source=SUM),
            power_factor=factor("power_factor", 0.8, 0.6, 1.0),
            starting_current=start,
            starting_power_factor=None
            if start is None
            else factor("starting_power_factor", 0.4, 0.3, 0.6),
            starting_time=self.at("time_s", ids),
            fault_largest=self.largest,
            fault_source=self.lasting,
            sole_machine=len(machines) == 1,
            cord=role == "branch"
            and all("plug-connected" in one.machine.machine.traits for one in machines),
        )  # fmt: skip

    def demands(self) -> tuple[CircuitDemand, ...]:
        """Return every circuit, from the panel outwards."""
        machines = self.setup.machines
        ahead = self.motor_circuit()
        whole = self.behind(f"output.{self.made.id}", "output", machines, ahead.id,
                            self.beside("output_length", 2.0))  # fmt: skip
        branches = tuple(
            self.behind(f"branch.{one.id}", "branch", (one,), whole.id, one.machine.length)
            for one in machines
        )
        return (ahead, whole, *branches)
