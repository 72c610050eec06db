"""The box: its size, what it draws, how its motor starts, its circuits."""

from pathlib import Path
from typing import NamedTuple

from ampwright.plugin import (
    Case,
    CircuitDemand,
    Converter,
    ConverterInput,
    Figure,
    Limit,
    MachineCase,
    MotorCase,
    Source,
    Start,
    State,
    Worksheet,
    balanced_motor,
    read_table,
)

SIZES = read_table(Path(__file__).with_name("sizes.csv"))
FIGURES = read_table(Path(__file__).with_name("figures.csv"))
PRACTICE = Source(document="common practice", known="practice")
POWER = Source(document="power over efficiency and power factor", known="derived")


class Size(NamedTuple):
    """A size of the series: the key of its row, and its power with its step."""

    name: str
    power: Figure


def usual(name: str, sheet: Worksheet) -> Figure:
    """Return a planning value as a figure with its step."""
    row = FIGURES.row(name)
    if row is None:
        raise KeyError(name)
    return sheet.assumed(
        name, name, float(row["value"]), row["unit"], source=FIGURES.source(),
        low=float(row["low"]), high=float(row["high"]),
    )  # fmt: skip


def chosen(motor: MotorCase, sheet: Worksheet) -> Size | None:
    """Return the smallest size that carries *motor*; ``None``: none does."""
    for name, watts in SIZES.numbers("power_w"):
        if watts >= motor.demand.power.value * 0.999:
            asks = sheet.under(f"limits/bench.{motor.demand.machine}/motor-power").table(
                "asks", "P", watts, "W", table=SIZES.id, cell=(name, "power_w"),
                source=SIZES.source(), inputs=[("P", motor.demand.power)],
            )  # fmt: skip
            return Size(name, asks)
    return None


class Bench:
    """One box for one machine, and the sheet that its steps stand on."""

    def __init__(self, case: Case, machine: MachineCase, size: Size, sheet: Worksheet) -> None:
        self.case, self.machine, self.size, self.sheet = case, machine, size, sheet
        self.motor = machine.motors[0]
        self.name = f"bench.{machine.id}"
        self.volts = case.supply.voltage

    def limits(self) -> tuple[Limit, ...]:
        """Return the one constraint that there is."""
        return (
            Limit(id=f"{self.name}/motor-power", subject=self.name, constraint="motor-power",
                  asks=self.size.power.value, unit="W", governs=True),
        )  # fmt: skip

    def states(self) -> tuple[State, ...]:
        """Return one operating point for each set in which the machine runs."""
        sets = [one.id for one in self.case.sets if self.machine.id in one.machines]
        return tuple(self.state(running) for running in sets)

    def state(self, running: str) -> State:
        """Return what the box draws while its motor gives its rated power."""
        where = f"{self.name}/{running}"
        part = self.sheet.under(f"states/{where}")
        whole = part.assumed("load", "x", 1.0, "", source=PRACTICE)
        motor, taken = balanced_motor(self.motor, self.volts, whole, part)
        shaft = Figure(motor.shaft_w, f"{part.prefix}/motors/{motor.id}/shaft_w")
        power = part.formula("input_power_w", "P", "W", "P / e", P=taken,
                             e=usual("efficiency", part), source=POWER)  # fmt: skip
        factor = part.formula("input_power_factor", "lambda", "", "c",
                              c=usual("power-factor", part))  # fmt: skip
        current = part.formula("input_current_a", "I", "A", "P / (U * c)", P=power, U=self.volts,
                               c=factor, source=POWER)  # fmt: skip
        lost = part.formula("losses_w", "P_loss", "W", "P - S", P=power, S=shaft)
        alike = part.formula("equal_kva_current_a", "I_eq", "A", "I", I=self.machine.equal_kva)
        off = part.formula("deviation_fraction", "u", "", "u", u=usual("unbalance", part))
        return State(
            id=where, set=running, converter=self.name, running=(self.machine.id,),
            deviation_fraction=off.value, input_current_a=current.value,
            input_power_w=power.value, input_power_factor=factor.value, losses_w=lost.value,
            equal_kva_current_a=alike.value, motors=(motor,),
        )  # fmt: skip

    def start(self) -> Start | None:
        """Return the start; ``None`` where the box cannot break the machine away."""
        part = self.sheet.under(f"starts/{self.machine.id}")
        times = usual("overload", part)
        torque = part.formula("torque_nm", "T", "N m", "k * T", k=times,
                              T=self.motor.rated_torque)  # fmt: skip
        needed = part.formula("needed_torque_nm", "T_b", "N m", "T", T=self.motor.breakaway)
        if torque.value < needed.value:
            return None
        drawn = part.formula("current_a", "I", "A", "k * sqrt(3) * I", k=times,
                             I=self.motor.demand.current)  # fmt: skip
        low = part.formula("lowest_voltage_v", "U_min", "V", "U", U=self.volts)
        return Start(
            id=self.machine.id, converter=self.name, runs_up=True, time_s=None,
            lowest_voltage_v=low.value, current_a=drawn.value, torque_nm=torque.value,
            needed_torque_nm=needed.value, device_trips=False, overload_trips=False,
        )  # fmt: skip

    def converter(self) -> Converter:
        """Return the box with the plate that the plan expects."""
        part = self.sheet.under(f"converters/{self.name}")
        drawn = part.formula(
            "input_current_a", "I_in", "A", "P / (U * e * c)", P=self.size.power, U=self.volts,
            e=usual("efficiency", part), c=usual("power-factor", part), source=POWER,
        )  # fmt: skip
        return Converter(
            id=self.name, method="bench", machines=(self.machine.id,),
            rating_w=part.formula("rating_w", "P", "W", "P", P=self.size.power).value,
            input_voltage_v=part.formula("input_voltage_v", "U_1", "V", "U", U=self.volts).value,
            output_voltage_v=part.formula("output_voltage_v", "U_2", "V", "U", U=self.volts).value,
            input_current_a=drawn.value,
            output_current_a=part.formula("output_current_a", "I_2", "A", "I",
                                          I=self.motor.demand.current).value,
            losses_w=part.formula("losses_w", "P_0", "W", "P", P=usual("standby", part)).value,
            protective_features=("phase-loss", "no-restart-after-outage"),
            regulates=True,
        )  # fmt: skip

    def demands(
        self, made: Converter, states: tuple[State, ...], start: Start
    ) -> tuple[CircuitDemand, CircuitDemand]:
        """Return the circuit from the panel to the box, and the one from there to the machine."""
        supply, part = self.case.supply, self.sheet.under(f"wiring/{self.name}")
        plate, begun = f"~/converters/{self.name}", f"~/starts/{self.machine.id}/current_a"
        most = max(states, key=lambda one: one.input_current_a)
        factor = Figure(most.input_power_factor, f"~/states/{most.id}/input_power_factor")
        fault = part.formula("made_leg_fault", "I_f", "A", "k * I", k=usual("overload", part),
                             I=Figure(made.output_current_a, f"{plate}/output_current_a"),
                             source=PRACTICE)  # fmt: skip
        to_earth = tuple(
            part.formula(f"to_earth/{n}", "U_0", "V", "U", U=self.volts) for n in range(3)
        )
        ahead = CircuitDemand(
            id=f"supply.{self.name}", role="supply", feeds=(self.name,), phases=1,
            voltage=self.volts, frequency=supply.frequency,
            length=part.assumed("supply_length", "l", 3.0, "m", source=PRACTICE, low=1.0,
                                high=9.0),
            motors=(self.motor.demand,),
            converter=ConverterInput(
                id=self.name, method="bench", kind="phase-converter", given=False,
                current=Figure(made.input_current_a, f"{plate}/input_current_a"),
                output_voltage=Figure(made.output_voltage_v, f"{plate}/output_voltage_v"),
                fixed_loads=True,
            ),
            voltage_to_earth=supply.voltage_to_earth,
            running_current=Figure(most.input_current_a, f"~/states/{most.id}/input_current_a"),
            power_factor=factor, starting_current=Figure(start.current_a, begun),
            starting_power_factor=factor, fault_largest=supply.fault_largest,
        )  # fmt: skip
        behind = CircuitDemand(
            id=f"branch.{self.machine.id}", role="branch", feeds=(self.machine.id,),
            fed_from=ahead.id, phases=3, voltage=self.volts, frequency=supply.frequency,
            length=self.machine.length, motors=(self.motor.demand,), made_leg=True,
            voltage_to_earth=to_earth, running_current=self.motor.demand.current,
            power_factor=self.motor.power_factor, fault_largest=fault, fault_source=fault,
        )  # fmt: skip
        return ahead, behind
