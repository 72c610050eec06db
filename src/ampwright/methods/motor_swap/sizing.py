"""The new motor: its size from the table, by power, starting torque and run-up time."""

from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

from ampwright.kernels.single_phase_motor import SinglePhasePlate, single_phase_plate
from ampwright.plugin import (
    Case,
    Figure,
    Limit,
    MotorCase,
    MotorDemand,
    Source,
    Worksheet,
    read_table,
)

SIZES = read_table(Path(__file__).with_name("sizes.csv"))
FIGURES = read_table(Path(__file__).with_name("figures.csv"))
USUAL = Source(document="usual single-phase motors of this size", known="practice")
POWERS = Source(document="torque is power over speed", known="derived")
OHM = Source(document="drop along the supply, magnitudes added", known="derived")
TORQUE = Source(document="starting torque goes with the square of voltage", known="derived")
MOTION = Source(document="equation of motion with mean torques", known="derived")
WATTS = {"hp": 745.69987158227022, "kW": 1000.0}


class Size(NamedTuple):
    """One size of the series: name, power [W], and how it starts."""

    name: str
    power_w: float
    kind: str


class NewMotor(NamedTuple):
    """A motor that takes the place of another.

    Attributes:
        old: The motor that it replaces.
        plate: What a usual one draws and gives.
        demand: It, as a wiring rule looks at it.
        efficiency: At rated load.
        power_factor: At rated load.
        start: Its start.
    """

    old: MotorCase
    plate: SinglePhasePlate
    demand: MotorDemand
    efficiency: Figure
    power_factor: Figure
    start: "Startup"


class Startup(NamedTuple):
    """A start of the new motor.

    Attributes:
        voltage: Voltage left at the panel [V].
        current: Locked-rotor current, upper edge [A].
        torque: Torque at standstill there, lower edge [N m].
        time: Run-up time [s]; ``None`` where it does not come up.
        power_factor: Of the current.
    """

    voltage: Figure
    current: Figure
    torque: Figure
    time: Figure | None
    power_factor: Figure


def planning(name: str, column: str = "value") -> float:
    """Return one planning value."""
    value = FIGURES.number(name, column)
    if value is None:
        raise KeyError(name)
    return value


def usual(name: str, sheet: Worksheet) -> Figure:
    """Return a planning value of single-phase motors as a figure."""
    row = FIGURES.row(name)
    if row is None:
        raise KeyError(name)
    return sheet.assumed(
        name, name, float(row["value"]), row["unit"], source=FIGURES.source(),
        low=float(row["low"]), high=float(row["high"]),
    )  # fmt: skip


def sizes(hertz: float) -> list[Size]:
    """Return the series at a frequency, smallest first."""
    rows = [row for row in SIZES.rows if float(row["frequency_hz"]) == round(hertz)]
    return [Size(row["id"], float(row["rating"]) * WATTS[row["unit"]], row["kind"]) for row in rows]


def largest(hertz: float) -> float:
    """Return the power of the largest size [W]; nought where there is no series."""
    return max((one.power_w for one in sizes(hertz)), default=0.0)


def rated(size: Size, case: Case, motor: MotorCase, power: Figure, sheet: Worksheet) -> NewMotor:
    """Return a usual motor of *size* in the place of *motor*, with its start."""
    volts = case.supply.voltage
    plate = single_phase_plate(power_w=power.value, voltage_v=volts.value, kind=size.kind)

    def put(name: str, symbol: str, value: float, off: float, most: float = 1e9) -> Figure:
        return sheet.assumed(
            name, symbol, value, "", source=USUAL, low=value * (1 - off),
            high=min(value * (1 + off), most),
        )  # fmt: skip

    efficiency = put("efficiency", "eta", plate.efficiency, 0.05, 1.0)
    factor = put("power_factor", "cos phi", plate.power_factor, 0.07, 1.0)
    current = sheet.formula("current", "I", "A", "P / (U * e * c)", P=power, U=volts,
                            e=efficiency, c=factor)  # fmt: skip
    ratio = put("locked_rotor_ratio", "k_I", plate.locked_rotor_current_a / plate.current_a, 0.25)
    locked = sheet.formula("locked_rotor_current", "I_LR", "A", "e * k * I", k=ratio, I=current,
                           e=usual("current-edge", sheet))  # fmt: skip
    demand = MotorDemand(
        id=motor.demand.id,
        machine=motor.demand.machine,
        phases=1,
        power=power,
        voltage=volts,
        current=current,
        current_known="assumed",
        speed=motor.demand.speed,
        locked_rotor_current=locked,
        locked_rotor_known="assumed",
        duty=motor.demand.duty,
        overload_fitted=motor.demand.overload_fitted,
        one_at_a_time=motor.demand.one_at_a_time,
    )
    return NewMotor(
        motor, plate, demand, efficiency, factor, started(case, motor, plate, demand, sheet)
    )


def started(
    case: Case, motor: MotorCase, plate: SinglePhasePlate, demand: MotorDemand, sheet: Worksheet
) -> Startup:
    """Return the start of a new motor with the load of the old one."""
    locked = demand.locked_rotor_current or demand.current
    volts = sheet.formula("start_voltage", "U_s", "V", "max(U - Z * I, 0)", U=demand.voltage,
                          Z=case.supply.impedance, I=locked, source=OHM)  # fmt: skip
    edge = usual("torque-edge", sheet)
    rated_torque = sheet.formula("rated_torque", "T_N", "N m", "T * P / Q", T=motor.rated_torque,
                                 P=demand.power, Q=motor.demand.power, source=POWERS)  # fmt: skip
    ratios = {
        name: sheet.assumed(f"{name}_torque_ratio", f"k_{name}", value, "", source=USUAL,
                            low=0.75 * value, high=1.25 * value)
        for name, value in (("locked", plate.locked_rotor_torque_ratio),
                            ("breakdown", plate.breakdown_torque_ratio))
    }  # fmt: skip
    left = {"U_s": volts, "U": demand.voltage, "e": edge, "T": rated_torque}
    torque = sheet.formula("start_torque", "T_LR", "N m", "e * k * T * (U_s / U) ** 2", left,
                           k=ratios["locked"], source=TORQUE)  # fmt: skip
    peak = sheet.formula("breakdown_torque", "T_BD", "N m", "e * k * T * (U_s / U) ** 2", left,
                         k=ratios["breakdown"], source=TORQUE)  # fmt: skip
    law = motor.run_up
    share = law.constant_nm + law.linear_nm / 2.0 + law.square_nm / 3.0
    asked = sheet.solved(
        "mean_load", "T_L", share, "N m", model="mean of the load over speed", source=MOTION,
        residual=0.0, inputs=[("T", motor.rated_torque)],
    )  # fmt: skip
    factor = sheet.assumed("start_power_factor", "cos phi", plate.locked_rotor_power_factor, "",
                           source=USUAL, low=0.5, high=0.8)  # fmt: skip
    time = None
    if (torque.value + peak.value) / 2.0 > asked.value:
        time = sheet.formula(
            "start_time", "t", "s", "J * P / N / ((T + B) / 2 - L)", J=motor.inertia,
            P=motor.demand.power, N=motor.rated_torque, T=torque, B=peak, L=asked, source=MOTION,
        )  # fmt: skip
    return Startup(volts, locked, torque, time, factor)


def strong_enough(one: NewMotor, case: Case) -> bool:
    """Tell whether it breaks away at the lower edge of its torque."""
    margin = case.limits["start-torque-margin"].value
    return one.start.torque.value >= margin * one.old.breakaway.value


def quick_enough(one: NewMotor, case: Case) -> bool:
    """Tell whether it is up before its start winding and capacitor have had enough."""
    del case
    return one.start.time is not None and one.start.time.value <= planning("start-time")


def powerful_enough(one: NewMotor, case: Case) -> bool:
    """Tell whether it gives the power of the plate; a size just below it counts as the same."""
    del case
    return one.demand.power.value >= one.old.demand.power.value * (1.0 - planning("same-power"))


CONSTRAINTS: dict[str, Callable[[NewMotor, Case], bool]] = {
    "motor-power": powerful_enough,
    "start-torque": strong_enough,
    "run-up-time": quick_enough,
}


def sized(
    case: Case, motor: MotorCase, name: str, sheet: Worksheet
) -> tuple[NewMotor, tuple[Limit, ...]] | str:
    """Return the new motor and what each constraint asks; or the constraint that nothing meets."""
    series = sizes(case.supply.frequency.value)
    trials = []
    for size in series:
        scratch = Worksheet("~")
        power = scratch.assumed("power", "P", size.power_w, "W", source=USUAL)
        trials.append(rated(size, case, motor, power, scratch))
    alone = {
        constraint: next((n for n, one in enumerate(trials) if ok(one, case)), None)
        for constraint, ok in CONSTRAINTS.items()
    }
    met = (n for n, one in enumerate(trials) if all(ok(one, case) for ok in CONSTRAINTS.values()))
    place = next(met, None)
    if place is None:
        lacking = [key for key, found in alone.items() if found is None]
        return lacking[0] if lacking else "run-up-time"
    limits = []
    part = sheet.under(f"limits/{name}")
    for constraint, found in alone.items():
        size = series[found if found is not None else place]
        asks = part.under(constraint).table(
            "asks", "P", size.power_w, "W", table=SIZES.id, cell=(size.name, "rating"),
            source=SIZES.source(), inputs=[("P", motor.demand.power), ("T_b", motor.breakaway)],
        )  # fmt: skip
        limits.append(Limit(id=f"{name}/{constraint}", subject=name, constraint=constraint,
                            asks=asks.value, unit="W", governs=found == place))  # fmt: skip
    own = sheet.under(f"swapped/{motor.demand.id}")
    power = own.table("power", "P", series[place].power_w, "W", table=SIZES.id,
                      cell=(series[place].name, "rating"), source=SIZES.source(),
                      inputs=[("P", motor.demand.power)])  # fmt: skip
    return rated(series[place], case, motor, power, own), tuple(limits)


def as_rated(case: Case, motor: MotorCase, sheet: Worksheet) -> NewMotor:
    """Return a motor of the same power, as a machine sold for single-phase brings it."""
    own = sheet.under(f"swapped/{motor.demand.id}")
    power = own.formula("power", "P", "W", "P", P=motor.demand.power)
    kind = "two-capacitor" if power.value > 1000.0 else "start-capacitor"
    return rated(Size("", power.value, kind), case, motor, power, own)
