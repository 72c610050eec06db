"""Starts behind the converter, the idler's own among them, as records with their steps."""

from collections.abc import Sequence

from ampwright.kernels.network import Rotor, capacitors
from ampwright.kernels.run_up import RunUp
from ampwright.kernels.starter import Shaft, capacitor_start
from ampwright.methods.rotary import pony
from ampwright.methods.rotary.idlers import Idler
from ampwright.methods.rotary.pony import Pony
from ampwright.methods.rotary.setup import HORSEPOWER_W, Setup, figure
from ampwright.methods.rotary.trial import Trial, inertia, once_run_up
from ampwright.plugin import (
    Figure,
    MachineCase,
    MotorCase,
    Source,
    Start,
    Worksheet,
    motor_start,
)

MODEL = Source(document="quasi-steady run-up beside the idler", known="model")


def start_capacitance(trial: Trial) -> float:
    """Return the start capacitor of one idler [F]: the trade's figure, scaled to the supply."""
    return start_capacitance_of(trial.setup, trial.idler.of(1))


def start_capacitance_of(setup: Setup, idler: Idler) -> float:
    """Return the start capacitor of a single *idler* [F]."""
    at_240 = figure("start_capacitor") * 1e-6 * idler.power_w / HORSEPOWER_W
    return at_240 * (240.0 / setup.voltage_v) ** 2 * 60.0 / setup.frequency_hz


def idler_run_up(trial: Trial) -> RunUp:
    """Return the run-up of the unloaded idler on its start capacitor.

    Several start one after the other, each with its share of the run capacitors; returned is the
    largest of each figure.
    """
    setup, count = trial.setup, trial.idler.abreast
    extra = capacitors(0.0, 0.0, start_capacitance(trial), setup.frequency_hz)
    one = trial.idler.of(1)
    still = Shaft(Rotor(one.found.circuit), inertia(one))
    stages = capacitor_start(extra, figure("cut_out"))
    if count == 1:
        return once_run_up(setup.source, trial.legs, (), still, stages=stages)
    found = []
    for before in range(count):
        bc, ca = (part * (before + 1) / count for part in trial.legs_f)
        legs = capacitors(0.0, bc, ca, setup.frequency_hz)
        found.append(once_run_up(setup.source, legs, trial.first(before), still, stages=stages))
    return hardest_of(found)


def hardest_of(found: Sequence[RunUp]) -> RunUp:
    """Return run-ups as one: its longest course, lowest voltages and largest currents."""
    slowest = max(found, key=lambda one: (not one.starts, one.low.time_s))
    weakest = min(found, key=lambda one: min(one.lowest_line_v))
    return slowest._replace(
        lowest_line_v=weakest.lowest_line_v,
        lowest_made_leg_v=min(one.lowest_made_leg_v for one in found),
        largest_line_a=max(one.largest_line_a for one in found),
        largest_source_a=max(one.largest_source_a for one in found),
        start_torque_low_nm=min(one.start_torque_low_nm for one in found),
    )


def record(
    found: RunUp,
    name: str,
    converter: str,
    needed: Figure | None,
    sheet: Worksheet,
    ratio: Figure | None = None,
    several: Sequence[tuple[str, RunUp]] = (),
) -> Start:
    """Return a run-up as a record.

    Args:
        found: The run-up.
        name: Id of what starts.
        converter: Id of the converter, ``""`` for its own idler.
        needed: Torque that the load asks for [N m].
        sheet: Where the steps stand.
        ratio: Ratio of a transformer in front of the motor.
        several: Id and run-up of each motor, where the machine has several.
    """
    part = sheet.under(f"starts/{name}")
    inputs = [("T_b", needed)] if needed else []
    inputs += [("k", ratio)] if ratio else []
    times = ratio.value if ratio else 1.0

    def put(field: str, symbol: str, value: float, unit: str) -> float:
        return part.solved(
            field, symbol, value, unit, model="run-up", source=MODEL, residual=0.0, inputs=inputs
        ).value

    time = put("time_s", "t", found.low.time_s, "s") if found.starts else None
    return Start(
        id=name,
        converter=converter,
        runs_up=found.starts,
        time_s=time,
        lowest_voltage_v=put("lowest_voltage_v", "U_min", min(found.lowest_line_v) / times, "V"),
        current_a=put("current_a", "I", found.largest_source_a, "A"),
        motor_current_a=put("motor_current_a", "I_m", found.low.rms_current_a * times, "A")
        if found.starts
        else None,
        motor_peak_a=put("motor_peak_a", "I_p", found.largest_line_a * times, "A"),
        torque_nm=put("torque_nm", "T", found.start_torque_low_nm, "N m"),
        needed_torque_nm=put("needed_torque_nm", "T_b", found.breakaway_nm, "N m"),
        motors=tuple(motor_start(motor, own, put, times) for motor, own in several),
    )


def hardest(machine: MachineCase, setup: Setup) -> MotorCase:
    """Return the motor of *machine* that is hardest to start."""
    return next(motor for one, motor in setup.starters if one.id == machine.id)


def pony_start(trial: Trial) -> Pony | None:
    """Return the start of the idler by a pony motor, where its own is too much for the supply."""
    return pony.asked(trial, idler_run_up(trial).largest_source_a)


def starts(trial: Trial, name: str, sheet: Worksheet, led: Pony | None = None) -> tuple[Start, ...]:
    """Return the start of the idler, then that of each machine with only the idler turning.

    The idler starts on its capacitor, or *led* by a pony motor.
    """
    setup = trial.setup
    if led is None:
        made = [record(idler_run_up(trial), name, "", None, sheet)]
    else:
        made = [pony.record(trial, led, name, sheet)]
    if trial.more_start is not None:
        made.append(record(trial.more_start, trial.second_of(name), "", None, sheet))
    for machine in setup.machines:
        if machine.motors:
            motor = hardest(machine, setup)
            found = trial.run_up(motor)
            several = [
                (one.demand.id, trial.run_up(one))
                for one in (machine.motors if len(machine.motors) > 1 else ())
            ]
            needed = motor.breakaway
            made.append(record(found, machine.id, name, needed, sheet, motor.ratio, several))
    return tuple(made)
