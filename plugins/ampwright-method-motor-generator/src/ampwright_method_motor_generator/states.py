"""How the set and its machines run and start."""

from collections.abc import Sequence
from typing import NamedTuple

from ampwright.kernels.single_phase_motor import SinglePhasePlate, draw, single_phase_plate
from ampwright.plugin import (
    Figure,
    LinkedMachine,
    MotorState,
    Source,
    Start,
    State,
    Worksheet,
    balanced_motor,
)
from ampwright_method_motor_generator.setup import Setup, usual
from ampwright_method_motor_generator.sizing import Begun, Sizing

MODEL = Source(document="single-phase motor: constant losses and losses by load", known="model")
RUN_UP = Source(document="run-up on lines behind the transient reactance", known="model")
USUAL = Source(document="usual single-phase motors of this size", known="practice")
SUM = Source(document="arithmetic sum of currents, on the safe side", known="derived")
SHAFT = Source(document="balance of powers at the shaft", known="derived")
OHM = Source(document="drop along the supply, magnitudes added", known="derived")
ENERGY = Source(document="energy of turning masses over mean accelerating power", known="derived")
GEOMETRY = Source(document="geometry of three phases", known="derived")
WHOLE = Source(document="rated load", known="derived")


class SetMotor(NamedTuple):
    """The motor of the set.

    Attributes:
        plate: What a usual one draws.
        power: Rated power [W].
        current: Rated current [A].
        locked: Locked-rotor current, upper edge [A].
        efficiency: At rated load.
        power_factor: At rated load.
    """

    plate: SinglePhasePlate
    power: Figure
    current: Figure
    locked: Figure
    efficiency: Figure
    power_factor: Figure


def set_motor(sizing: Sizing, name: str, sheet: Worksheet) -> SetMotor:
    """Return the motor that was chosen, with its usual figures."""
    if sizing.motor is None:
        raise ValueError("no motor was found")
    part, volts = sheet.under(f"wiring/{name}/idler"), sizing.setup.case.supply.voltage
    governing = next(
        one for one in sizing.limits_made if one.governs and one.subject == f"{name}.motor"
    )
    asked = Figure(governing.asks or 0.0, f"{sheet.prefix}/limits/{governing.id}/asks")
    power = part.formula("power_w", "P_n", "W", "P", P=asked)
    plate = single_phase_plate(power_w=power.value, voltage_v=volts.value, kind="two-capacitor")

    def put(field: str, symbol: str, value: float, off: float) -> Figure:
        return part.assumed(field, symbol, value, "", source=USUAL, low=value * (1.0 - off),
                            high=min(value * (1.0 + off), 1e9))  # fmt: skip

    efficiency = put("efficiency", "eta", plate.efficiency, 0.05)
    factor = put("power_factor", "cos phi", plate.power_factor, 0.07)
    current = part.formula("current", "I", "A", "P / (U * e * c)", P=power, U=volts, e=efficiency,
                           c=factor)  # fmt: skip
    ratio = put("locked_rotor_ratio", "k_I", plate.locked_rotor_current_a / plate.current_a, 0.25)
    locked = part.formula("locked_rotor_current", "I_LR", "A", "e * k * I", k=ratio, I=current,
                          e=usual("current-edge", part))  # fmt: skip
    return SetMotor(plate, power, current, locked, efficiency, factor)


def to_earth(setup: Setup, part: Worksheet) -> tuple[Figure, ...]:
    """Return the volts to earth of the lines: of a star with its point earthed [V]."""
    return tuple(
        part.formula(f"leg_to_earth_v/{n}", "U_0", "V", "U / sqrt(3)", U=setup.output,
                     source=GEOMETRY)
        for n in range(3)
    )  # fmt: skip


class Running:
    """The set with its motor, while this and that runs behind it."""

    def __init__(self, sizing: Sizing, motor: SetMotor, name: str, sheet: Worksheet) -> None:
        self.sizing, self.motor, self.name, self.sheet = sizing, motor, name, sheet
        self.setup = sizing.setup

    def state(self, running: str, inside: Sequence[LinkedMachine], load: str) -> State:
        """Return an operating point; nothing inside: the set idles, excited."""
        setup = self.setup
        where = f"{self.name}/{running}/{load}" if inside else f"{self.name}/idle"
        part = self.sheet.under(f"states/{where}")
        whole = part.assumed("load", "x", 1.0, "", source=WHOLE) if load == "full" else None
        powers: dict[str, Figure] = {}
        useful: dict[str, Figure] = {}
        apparent: dict[str, Figure] = {}
        motors: list[MotorState] = []
        for n, one in enumerate(inside):
            for motor in one.running:
                share = whole or one.machine.average_load
                found, input_w = balanced_motor(motor, setup.output, share, part)
                key = f"M{len(motors)}"
                motors.append(found)
                powers[key] = input_w
                place = f"{part.prefix}/motors/{found.id}"
                useful[key] = Figure(found.shaft_w, f"{place}/shaft_w")
                apparent[f"I{key}"] = Figure(found.current_a[0], f"{place}/current_a/0")
            for m, watts in enumerate(one.watts):
                powers[f"L{n}_{m}"] = useful[f"L{n}_{m}"] = watts
            for m, demand in enumerate(one.single):
                powers[f"S{n}_{m}"] = useful[f"S{n}_{m}"] = part.formula(
                    f"single_w/{demand.id}", "P", "W", "U * I", U=demand.voltage, I=demand.current
                )
        output = part.formula("output_w", "P_out", "W", " + ".join(powers) or "0", powers)
        drawn = part.formula(
            "output_va",
            "S_out",
            "VA",
            f"max(sqrt(3) * U * ({' + '.join(apparent) or '0'}), P)",
            apparent | {"U": setup.output, "P": output},
        )
        shaft = part.formula(
            "shaft_w", "P_s", "W", "P + k_0 * S_n + k_l * S ** 2 / S_n", P=output, S=drawn,
            S_n=self.sizing.rating, k_0=usual("generator-standing-loss", part),
            k_l=usual("generator-load-loss", part), source=SHAFT,
        )  # fmt: skip
        return self._drawn(where, running if inside else "idle", load, inside, part=part,
                           shaft=shaft, useful=useful, motors=motors)  # fmt: skip

    def _drawn(
        self, where: str, running: str, load: str, inside: Sequence[LinkedMachine], *,
        part: Worksheet, shaft: Figure, useful: dict[str, Figure], motors: list[MotorState],
    ) -> State:  # fmt: skip
        """Return the operating point with what the motor of the set takes from the supply."""
        setup, plate = self.setup, self.motor.plate
        found = draw(plate, shaft.value / plate.power_w)
        inputs = [("P_s", shaft), ("P_n", self.motor.power), ("I_n", self.motor.current)]

        def put(field: str, symbol: str, value: float, unit: str) -> Figure:
            return part.solved(field, symbol, value, unit, model="single-phase motor",
                               source=MODEL, residual=0.0, inputs=inputs)  # fmt: skip

        current = put("input_current_a", "I", found.current_a, "A")
        power = put("input_power_w", "P", found.input_w, "W")
        cosine = part.formula("input_power_factor", "lambda", "", "min(P / (U * I), 1)", P=power,
                              U=setup.case.supply.voltage, I=current)  # fmt: skip
        lost = part.formula("losses_w", "P_loss", "W", f"P - ({' + '.join(useful) or '0'})",
                            useful | {"P": power})  # fmt: skip
        equal = {f"I{n}": one.machine.equal_kva for n, one in enumerate(inside)}
        alike = part.formula("equal_kva_current_a", "I_eq", "A", " + ".join(equal) or "0", equal)
        off = usual("output-unbalance", part)
        volts = [part.formula(f"line_voltage_v/{n}", "U", "V", "U", U=setup.output)
                 for n in range(3)]  # fmt: skip
        return State(
            id=where,
            set=running,
            load=load,
            converter=self.name,
            running=tuple(one.id for one in inside),
            line_voltage_v=tuple(one.value for one in volts),
            leg_to_earth_v=tuple(one.value for one in to_earth(setup, part)),
            negative_sequence_fraction=part.formula("negative_sequence_fraction", "u_2", "", "u",
                                                    u=off).value,
            deviation_fraction=part.formula("deviation_fraction", "u", "", "u", u=off).value,
            input_current_a=current.value,
            input_power_w=power.value,
            input_power_factor=cosine.value,
            losses_w=lost.value,
            equal_kva_current_a=alike.value,
            motors=tuple(motors),
        )  # fmt: skip

    def states(self) -> tuple[State, ...]:
        """Return every operating point: idling, then each set at average and at full load."""
        made = [self.state("idle", (), "full")]
        made += [
            self.state(running, inside, load)
            for load in ("average", "full")
            for running, inside in self.setup.sets
        ]
        return tuple(made)

    def own_start(self) -> Start:
        """Return the start of the set itself, its generator unexcited."""
        part, supply = self.sheet.under(f"starts/{self.name}"), self.setup.case.supply
        volts = part.formula("lowest_voltage_v", "U_min", "V", "max(U - Z * I, 0)",
                             U=supply.voltage, Z=supply.impedance, I=self.motor.locked,
                             source=OHM)  # fmt: skip
        time = part.formula(
            "time_s", "t", "s", "2 * h * S / (k * P * (V / U) ** 2)",
            h=usual("stored-time", part), S=self.sizing.rating, k=usual("start-torque", part),
            P=self.motor.power, V=volts, U=supply.voltage, source=ENERGY,
        )  # fmt: skip
        current = part.formula("current_a", "I", "A", "I", I=self.motor.locked)
        return Start(id=self.name, converter=self.name, runs_up=True, time_s=time.value,
                     lowest_voltage_v=volts.value, current_a=current.value)  # fmt: skip

    def start(self, begun: Begun) -> Start:
        """Return the start of a machine behind the set."""
        one, setup = begun.machine, self.setup
        part = self.sheet.under(f"starts/{one.id}")
        found = self.sizing.begun(begun, self.sizing.rating.value)
        inputs = [("U", setup.output), ("S_n", self.sizing.rating), ("T_b", begun.motor.breakaway),
                  ("J", begun.motor.inertia)]  # fmt: skip

        def put(field: str, symbol: str, value: float, unit: str) -> Figure:
            return part.solved(field, symbol, value, unit, model="run-up", source=RUN_UP,
                               residual=0.0, inputs=inputs)  # fmt: skip

        shaft = put("shaft_w", "P_s", self.sizing.pulled(begun), "W")
        current = part.formula(
            "current_a", "I", "A", "P / (U * e * c)", P=shaft, U=setup.case.supply.voltage,
            e=self.motor.efficiency, c=self.motor.power_factor, source=SHAFT,
        )  # fmt: skip
        return Start(
            id=one.id,
            converter=self.name,
            runs_up=found.starts,
            time_s=put("time_s", "t", found.low.time_s, "s").value if found.starts else None,
            lowest_voltage_v=put("lowest_voltage_v", "U_min", found.lowest_line_v, "V").value,
            current_a=current.value,
            motor_current_a=put("motor_current_a", "I_m", found.low.rms_current_a, "A").value
            if found.starts
            else None,
            motor_peak_a=put("motor_peak_a", "I_p", found.largest_line_a, "A").value,
            torque_nm=put("torque_nm", "T", found.torque_low_nm, "N m").value,
            needed_torque_nm=put("needed_torque_nm", "T_b", found.breakaway_nm, "N m").value,
        )

    def starts(self) -> tuple[Start, ...]:
        """Return the start of the set, and of each machine beside what draws most with it."""
        hardest: dict[str, Begun] = {}
        for _, begun in self.sizing.starts():
            known = hardest.get(begun.machine.id)
            if known is None or self.sizing.pulled(begun) > self.sizing.pulled(known):
                hardest[begun.machine.id] = begun
        return (self.own_start(), *(self.start(one) for one in hardest.values()))
