"""Rules of thumb beside the model, worked out each time the pages are built."""

from collections.abc import Iterator
from functools import cache
from typing import Literal, NamedTuple

from docs.making.markup import section, table

from ampwright import Machine, Motor, Shop, Supply, plan
from ampwright.case import Case, MotorCase
from ampwright.kernels.balance import Pair, balancing_pair
from ampwright.kernels.induction import branch
from ampwright.kernels.network import Rotor, capacitors, solve
from ampwright.kernels.torque_curve import running_slip
from ampwright.methods.drive.sizing import rectified
from ampwright.methods.rotary.idlers import Idler
from ampwright.methods.rotary.setup import set_up
from ampwright.methods.rotary.trial import Trial, balanced_alone
from ampwright.methods.static import model as static
from ampwright.planning.bounds import bounded
from ampwright.planning.intake import intake

POWERS_HP = (1, 2, 3, 5, 7.5, 10, 15, 20, 25, 30, 40, 50)
Start = Literal["light", "normal", "hard"]
STARTS: tuple[Start, ...] = ("light", "normal", "hard")
WATTS = 745.69987158227022
VOLTS, HERTZ = 240.0, 60.0
LOOP_OHM_HP = 0.4  # ohm times horsepower of the motor: 0.08 ohm at 5 hp
#: The trade's rules, each common practice, no source.
IDLER, CAPACITOR_UF_HP, STATIC, DRIVE = 2.0, 12.0, 2 / 3, 0.5
DRIVE_EFFICIENCY = 0.96


def shop(power_hp: float, start: Start) -> Shop:
    """Return one motor with an ordinary plate on a supply that suits its size."""
    motor = Motor(power=f"{power_hp:g} hp", voltage="230 V", frequency="60 Hz", speed="1750 rpm")
    machine = Machine(
        id="m", motors=(motor,), length="5 m", start=start, load_torque="constant",
        controls="none", average_load="75 %",
    )  # fmt: skip
    supply = Supply(
        arrangement="split-phase", voltage="240 V", frequency="60 Hz", rating="600 A",
        impedance=f"{LOOP_OHM_HP / power_hp:.6f} ohm", fault_current="10 kA",
    )  # fmt: skip
    return Shop(name="one motor", region="us", supply=supply, machines=(machine,))


class Row(NamedTuple):
    """One motor: what the trade's rules say, and what the model says.

    Attributes:
        power_hp: Rated power of the motor.
        torque_low: Starting torque on the trade's idler over rated torque, lower edge.
        torque: The same, upper edge.
        idlers: Idler that the plan takes for each of `STARTS`; ``""``: none is large enough.
        idle: Pair that balances the trade's idler alone.
        loaded: Pair that balances idler and motor at full load.
        vuf_practice: Unbalance at full load with the trade's pair.
        vuf_idle: The same with nothing but the idler running.
        share: Share of its rating that a motor on two lines gives for long, by its losses.
        line: Line current at two thirds of its load over rated, on two lines.
        loss: Copper losses there over rated.
        rectified: Input current of a drive over the motor's rated current.
        root: The same by equal apparent power.
        drive_hp: Drive that the plan takes.
    """

    power_hp: float
    torque_low: float
    torque: float
    idlers: tuple[str, ...]
    idle: Pair
    loaded: Pair
    vuf_practice: float
    vuf_idle: float
    share: float
    line: float
    loss: float
    rectified: float
    root: float
    drive_hp: float


def chosen(power_hp: float, start: Start, method: str) -> float | None:
    """Return the rating that the plan takes [hp]; ``None`` where it refuses."""
    found = plan(shop(power_hp, start), methods=[method], check=False)
    made = [one for option in found.options for one in option.converters if option.feasible]
    return made[0].rating_w / WATTS if made and made[0].rating_w else None


def on_idler(case: Case) -> tuple[Trial, MotorCase]:
    """Return the trade's idler with the capacitors that balance it alone, and the motor."""
    (machine,) = case.machines
    (motor,) = machine.motors
    power = IDLER * motor.demand.power.value
    return balanced_alone(set_up(case, case.machines), Idler("", power, VOLTS, HERTZ)), motor


def unbalances(trial: Trial, motor: MotorCase, power_hp: float) -> tuple[float, float]:
    """Return the unbalance with the trade's pair at full load, and idle."""
    farads = CAPACITOR_UF_HP * IDLER * power_hp * 1e-6
    legs = capacitors(0.0, farads, farads, HERTZ)
    source, idler = trial.setup.source, trial.rotor
    loaded = solve(source, legs, (idler, Rotor(motor.circuit, motor.load)))
    return loaded.vuf, solve(source, legs, (idler,)).vuf


def pairs(trial: Trial, motor: MotorCase) -> tuple[Pair, Pair]:
    """Return the pairs that balance the idler alone, and idler and motor at full load."""
    idler = trial.idler.found.circuit
    slip = running_slip(idler, VOLTS, 0.0) or 0.004
    full = running_slip(motor.circuit, VOLTS, motor.rated_torque.value) or 0.03
    alone, load = branch(idler, slip).y, branch(motor.circuit, full).y
    return balancing_pair(alone, HERTZ), balancing_pair(alone + load, HERTZ)


def two_lines(case: Case) -> tuple[float, float, float]:
    """Return share by losses, and line current and copper losses at two thirds, over rated."""
    setup = static.set_up(case, case.machines[0])
    found = static.at_load(setup, 0.0, STATIC)
    (rotor,) = found.rotors
    losses = rotor.machine.stator_loss_w + rotor.machine.rotor_loss_w
    line = max(rotor.line_a) / setup.motor.circuit.rated_current_a
    return static.share_by_losses(setup, 0.0), line, losses / static.rated_loss_w(setup)


def row(power_hp: float) -> Row:
    """Return one motor's row."""
    case = intake(shop(power_hp, "light"), bounded(None))
    trial, motor = on_idler(case)
    begun, rated = trial.standstill(motor), motor.rated_torque.value
    idlers = [chosen(power_hp, start, "rotary") for start in STARTS]
    idle, loaded = pairs(trial, motor)
    share, line, loss = two_lines(case)
    link_w = motor.demand.power.value / (motor.efficiency.value * DRIVE_EFFICIENCY)
    current = motor.demand.current.value
    return Row(
        power_hp, begun.torque_low_nm / rated, begun.torque_high_nm / rated,
        tuple("" if one is None else f"{one:g}" for one in idlers), idle, loaded,
        *unbalances(trial, motor, power_hp), share, line, loss,
        rectified(case, link_w).current_a / current,
        3**0.5 * motor.demand.voltage.value / VOLTS,
        chosen(power_hp, "light", "drive") or 0.0,
    )  # fmt: skip


@cache
def rows() -> tuple[Row, ...]:
    """Return the rows of all motors."""
    return tuple(map(row, POWERS_HP))


def micro(pair: Pair, power_hp: float) -> str:
    """Return a pair in microfarads for each horsepower of the idler."""
    each = [1e6 * one / (IDLER * power_hp) for one in pair]
    return f"{each[0]:.1f} and {each[1]:.1f}"


def percent(share: float) -> str:
    """Return a share in percent."""
    return f"{100 * share:.0f} %"


def idler_rows() -> Iterator[list[str]]:
    """Yield the lines on idlers."""
    for one in rows():
        sizes = [f"{name} hp ({float(name) / one.power_hp:.1f} x)" if name else "none"
                 for name in one.idlers]  # fmt: skip
        yield [f"{one.power_hp:g} hp", f"{IDLER * one.power_hp:g} hp",
               f"{percent(one.torque_low)} to {percent(one.torque)}", *sizes]  # fmt: skip


def capacitor_rows() -> Iterator[list[str]]:
    """Yield the lines on run capacitors."""
    for one in rows():
        yield [f"{one.power_hp:g} hp", f"{CAPACITOR_UF_HP:g} and {CAPACITOR_UF_HP:g}",
               micro(one.idle, one.power_hp), micro(one.loaded, one.power_hp),
               f"{100 * one.vuf_idle:.1f} %", f"{100 * one.vuf_practice:.1f} %"]  # fmt: skip


def page() -> str:
    """Return the tables, common practice beside the model."""
    static_rows = [
        [f"{one.power_hp:g} hp", percent(STATIC), percent(one.share), f"{one.line:.2f}",
         f"{one.loss:.2f}"]
        for one in rows()
    ]  # fmt: skip
    drive_rows = [
        [f"{one.power_hp:g} hp", f"{one.power_hp / DRIVE:g} hp", f"{one.drive_hp:g} hp",
         f"{one.root:.2f}", f"{one.rectified:.2f}"]
        for one in rows()
    ]  # fmt: skip
    return "\n".join([
        section("An idler of twice the motor", table(
            ["Motor", "Common practice, no source:", "Starting torque on it, of rated:",
             "Plan, light start:", "Plan, normal start:", "Plan, hard start:"], idler_rows())),
        section("Capacitors by the horsepower", table(
            ["Motor", "Common practice, no source:", "Balances the idler alone:",
             "Balances the loaded motor:", "Unbalance of practice, idle:",
             "Unbalance of practice, loaded:"], capacitor_rows())),
        section("Two thirds on a static set", table(
            ["Motor", "Common practice, no source:", "Model, for long:",
             "Line current at two thirds, of rated:", "Copper losses there, of rated:"],
            static_rows)),
        section("Half on a drive", table(
            ["Motor", "Common practice, no source:", "Plan:",
             "Input over motor current, equal kVA:", "Input over motor current, model:"],
            drive_rows)),
    ])  # fmt: skip
