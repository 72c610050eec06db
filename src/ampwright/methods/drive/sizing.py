"""The drive: its rating, its single-phase input, and what it means for motor and supply."""

from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from ampwright.kernels.rectifier import RectifierInput, output_limit_v, rectifier_input
from ampwright.plugin import (
    Case,
    Converter,
    Figure,
    Limit,
    MachineCase,
    MotorCase,
    MotorState,
    Source,
    Start,
    State,
    Worksheet,
    read_table,
)

RATINGS = read_table(Path(__file__).with_name("drives.csv"))
FIGURES = read_table(Path(__file__).with_name("figures.csv"))
MODEL = Source(document="single-phase rectifier with capacitor", known="model")
SHAFT = Source(document="definition of efficiency", known="derived")
ONE_PHASE = Source(document="equal apparent power on one phase", known="derived")
PRACTICE = Source(document="common practice", known="practice")
FLUX = Source(document="flux goes with voltage over frequency", known="derived")
WATTS = {"hp": 745.69987158227022, "kW": 1000.0}
#: Below it a supply counts as one of 50 Hz, where drives are sold by kilowatts [Hz].
BETWEEN_HZ = 55.0
LINK_F_PER_W = 450e-9  # usual direct-link capacitor, 450 microfarads a kilowatt at 240 V


def usual(name: str, sheet: Worksheet) -> Figure:
    """Return a planning value of drives as a figure."""
    row = FIGURES.row(name)
    if row is None:
        raise KeyError(name)
    return sheet.assumed(
        name, name, float(row["value"]), row["unit"], source=FIGURES.source(),
        low=float(row["low"]), high=float(row["high"]),
    )  # fmt: skip


def figure(name: str) -> float:
    """Return a planning value of drives."""
    value = FIGURES.number(name, "value")
    if value is None:
        raise KeyError(name)
    return value


def ratings(frequency_hz: float, *, single_phase: bool) -> list[tuple[str, float]]:
    """Return name and power [W] of the usual drives, smallest first.

    Args:
        frequency_hz: Frequency of the supply: where it is 50 Hz they are made in kilowatts [Hz].
        single_phase: Those made for single-phase input, else those for three-phase input.
    """
    wanted = "yes" if single_phase else "no"
    series = "50" if frequency_hz < BETWEEN_HZ else "60"
    rows = [row for row in RATINGS.rows if (row["single_phase"], row["at_hz"]) == (wanted, series)]
    return [(row["size"], float(row["rating"]) * WATTS[row["unit"]]) for row in rows]


def bound(names: list[tuple[str, float]], least_w: float) -> tuple[str, float] | None:
    """Return the smallest rating of at least *least_w*."""
    return next((one for one in names if one[1] >= least_w * (1 - 1e-9)), None)


def rating(
    case: Case, motor: MotorCase, name: str, sheet: Worksheet
) -> tuple[Figure, bool, tuple[Limit, ...]] | None:
    """Return rated power, whether it is made for one phase, and what each constraint asks.

    Drives made for single-phase input are of the class of 200 to 240 V.
    """
    part = sheet.under(f"limits/{name}")
    power = motor.demand.power
    hertz = case.supply.frequency.value
    low = case.supply.voltage.value <= figure("single-phase-voltage")
    plain = bound(ratings(hertz, single_phase=True), power.value) if low else None
    made = []
    if plain is not None:
        asks = part.under("motor-power").table(
            "asks", "P", plain[1], "W", table=RATINGS.id, cell=(plain[0], "rating"),
            source=RATINGS.source(), inputs=[("P", power)],
        )  # fmt: skip
        made.append(Limit(id=f"{name}/motor-power", subject=name, constraint="motor-power",
                          asks=asks.value, unit="W", governs=True))  # fmt: skip
        return asks, True, tuple(made)
    share = usual("single-phase-derate", part)
    needed = part.formula("needed", "P", "W", "P / k", P=power, k=share)
    found = bound(ratings(hertz, single_phase=False), needed.value)
    if found is None:
        return None
    asks = part.under("single-phase-derate").table(
        "asks", "P", found[1], "W", table=RATINGS.id, cell=(found[0], "rating"),
        source=RATINGS.source(), inputs=[("P", needed)],
    )  # fmt: skip
    alone = bound(ratings(hertz, single_phase=False), power.value)
    if alone is not None:
        own = part.under("motor-power").table(
            "asks", "P", alone[1], "W", table=RATINGS.id, cell=(alone[0], "rating"),
            source=RATINGS.source(), inputs=[("P", power)],
        )  # fmt: skip
        made.append(Limit(id=f"{name}/motor-power", subject=name, constraint="motor-power",
                          asks=own.value, unit="W", governs=own.value == asks.value))  # fmt: skip
    made.append(Limit(id=f"{name}/single-phase-derate", subject=name,
                      constraint="single-phase-derate", asks=asks.value, unit="W",
                      governs=True))  # fmt: skip
    return asks, False, tuple(made)


def rectified(case: Case, power_w: float) -> RectifierInput:
    """Return the rectifier input while the drive takes *power_w* from its direct link."""
    volts = case.supply.voltage.value
    base = volts**2 / power_w
    choke = FIGURES.number("line-reactance", "value") or 0.02
    x = max(case.supply.reactance.value, 0.0) + choke * base
    r = min(max(case.supply.resistance.value, 0.1 * x), 2.0 * x, 0.099 * base)
    hertz = case.supply.frequency.value
    scale = (240.0 / volts) ** 2 * 60.0 / hertz
    return rectifier_input(
        power_w, volts, frequency_hz=hertz, resistance_ohm=r,
        reactance_ohm=min(max(x, 0.0026 * base), 0.119 * base),
        capacitance_f=LINK_F_PER_W * power_w * scale,
    )  # fmt: skip


class Link(NamedTuple):
    """The direct link while the motor gives its rated power.

    Attributes:
        power: Power that the motor takes from it [W].
        drawn: What the rectifier draws for that.
        inputs: What its state rests on.
        output: Largest line voltage that the inverter makes of its mean voltage [V].
        valley: The same of its lowest voltage [V].
        ratio: Voltage at the panel over that of a transformer ahead of the drive; ``None``: none.
    """

    power: Figure
    drawn: RectifierInput
    inputs: Sequence[tuple[str, Figure]]
    output: Figure
    valley: Figure
    ratio: Figure | None = None


def link_of(case: Case, motor: MotorCase, name: str, sheet: Worksheet) -> Link:
    """Return the direct link of the drive *name* at rated load."""
    part = sheet.under(f"links/{name}")
    power = part.formula("power", "P_dc", "W", "P / (e * d)", P=motor.demand.power,
                         e=motor.efficiency, d=usual("efficiency", part), source=SHAFT)  # fmt: skip
    found = rectified(case, power.value)
    inputs = inputs_of(case, power)

    def output(field: str, direct_v: float) -> Figure:
        volts = output_limit_v(direct_v, space_vector=True)
        return part.solved(field, "U_2", volts, "V", model="rectifier", source=MODEL, residual=0.0,
                           inputs=inputs)  # fmt: skip

    return Link(
        power, found, inputs, output("output_v", found.direct_mean_v),
        output("valley_output_v", found.direct_low_v),
    )  # fmt: skip


def inputs_of(case: Case, power: Figure) -> list[tuple[str, Figure]]:
    """Return what the rectifier's state rests on."""
    supply = case.supply
    return [("P", power), ("U", supply.voltage), ("R", supply.resistance), ("X", supply.reactance)]


def state(case: Case, machine: MachineCase, motor: MotorCase, link: Link, where: str,
          sheet: Worksheet) -> State:  # fmt: skip
    """Return what the drive draws while its motor gives its rated power, as the state *where*."""
    name, _, running = where.rpartition("/")
    part = sheet.under(f"states/{where}")

    def put(field: str, symbol: str, value: float, unit: str) -> Figure:
        return part.solved(field, symbol, value, unit, model="rectifier", source=MODEL,
                           residual=0.0, inputs=link.inputs)  # fmt: skip

    if link.ratio is None:
        current = put("input_current_a", "I", link.drawn.current_a, "A")
    else:
        own = put("drive_current_a", "I", link.drawn.current_a, "A")
        current = part.formula("input_current_a", "I", "A", "I / k", k=link.ratio, I=own)
    power = put("input_power_w", "P", link.drawn.input_w, "W")
    factor = part.formula("input_power_factor", "lambda", "", "P / (U * I)", P=power,
                          U=case.supply.voltage, I=current)  # fmt: skip
    loss = part.formula("losses_w", "P_loss", "W", "P - P_s", P=power, P_s=motor.demand.power)
    alike = part.formula("equal_kva_current_a", "I_eq", "A", "I", I=machine.equal_kva)
    return State(
        id=where, set=running, converter=name, running=(machine.id,),
        input_current_a=current.value, input_power_w=power.value,
        input_power_factor=min(factor.value, 1.0) if factor.value > 1.0 else factor.value,
        losses_w=loss.value, equal_kva_current_a=alike.value,
        motors=(motor_state(motor, link, part),),
    )  # fmt: skip


def motor_state(motor: MotorCase, link: Link, part: Worksheet) -> MotorState:
    """Return the motor at rated load on the drive's balanced output.

    Where the output is lower than the motor's rating, its flux and so what it may give for long
    fall with it.
    """
    own = part.under(f"motors/{motor.demand.id}")
    current = [
        own.formula(f"current_a/{n}", "I", "A", "I", I=motor.demand.current).value for n in range(3)
    ]
    torque = own.formula("torque_nm", "T", "N m", "T", T=motor.rated_torque)
    shaft = own.formula("shaft_w", "P", "W", "P", P=motor.demand.power)
    slip = own.assumed("slip", "s", 0.03, "", source=PRACTICE, low=0.01, high=0.06)
    whole = own.assumed("winding_fraction", "i_w", 1.0, "", source=PRACTICE)
    usable = own.formula("usable_fraction", "p", "", "min(U / V, 1)", U=link.output,
                         V=motor.demand.voltage, source=FLUX)  # fmt: skip
    return MotorState(
        id=motor.demand.id, slip=slip.value, torque_nm=torque.value, shaft_w=shaft.value,
        current_a=(current[0], current[1], current[2]), winding_fraction=whole.value,
        usable_fraction=usable.value, stalled=False,
    )  # fmt: skip


def at_drive(link: Link, most: State, sheet: Worksheet) -> Figure:
    """Return the current that the drive itself draws in the state *most* [A]."""
    name = "input_current_a" if link.ratio is None else "drive_current_a"
    return Figure(link.drawn.current_a, f"{sheet.prefix}/states/{most.id}/{name}")


def start(motor: MotorCase, machine: str, name: str, most: State, sheet: Worksheet) -> Start | None:
    """Return the ramped start; ``None`` where the drive's overload does not reach the load."""
    part = sheet.under(f"starts/{machine}")
    times = usual("overload", part)
    torque = part.formula("torque_nm", "T", "N m", "k * T", k=times, T=motor.rated_torque)
    needed = part.formula("needed_torque_nm", "T_b", "N m", "T", T=motor.breakaway)
    if torque.value < needed.value:
        return None
    drawn = Figure(most.input_current_a, f"{sheet.prefix}/states/{most.id}/input_current_a")
    current = part.formula("current_a", "I", "A", "k * I", k=times, I=drawn)
    volts = part.formula("lowest_voltage_v", "U_min", "V", "U", U=motor.demand.voltage)
    return Start(
        id=machine, converter=name, runs_up=True, time_s=None, lowest_voltage_v=volts.value,
        current_a=current.value, torque_nm=torque.value, needed_torque_nm=needed.value,
        device_trips=False, overload_trips=False,
    )  # fmt: skip


def converter(case: Case, motor: MotorCase, machine: str, name: str, size: Figure, drawn: Figure,
              sheet: Worksheet) -> Converter:  # fmt: skip
    """Return the drive with the plate that the plan expects; *drawn* is what it draws [A]."""
    part = sheet.under(f"converters/{name}")
    volts = case.supply.voltage
    part.formula("rating_w", "P", "W", "P", P=size)
    reserve = case.limits["converter-reserve"]
    current = part.formula(
        "input_current_a", "I_in", "A", "k * max(I, sqrt(3) * I_m * U_m / U)", k=reserve, I=drawn,
        I_m=motor.demand.current, U_m=motor.demand.voltage, U=volts, source=ONE_PHASE,
    )  # fmt: skip
    idle = part.formula("losses_w", "P_0", "W", "k * P", k=usual("standby", part), P=size)
    return Converter(
        id=name, method="drive", machines=(machine,), rating_w=size.value,
        input_voltage_v=part.formula("input_voltage_v", "U_1", "V", "U", U=volts).value,
        output_voltage_v=part.formula("output_voltage_v", "U_2", "V", "U", U=volts).value
        if motor.fits
        else part.formula("output_voltage_v", "U_2", "V", "V", V=motor.demand.voltage).value,
        input_current_a=current.value,
        output_current_a=part.formula("output_current_a", "I_2", "A", "I",
                                      I=motor.demand.current).value,
        largest_motor_w=part.formula("largest_motor_w", "P", "W", "P", P=motor.demand.power).value,
        losses_w=idle.value,
        protective_features=("motor-overload", "phase-loss", "no-restart-after-outage"),
    )  # fmt: skip
