"""One motor on two supply lines and a third that only capacitors hold, in the network model."""

from functools import cache
from pathlib import Path
from typing import NamedTuple

from ampwright.kernels.balance import Rung, ladder
from ampwright.kernels.network import Legs, LoadLaw, Rotor, Source, State, capacitors, solve
from ampwright.kernels.run_up import RunUp, run_up
from ampwright.kernels.starter import Shaft, capacitor_start
from ampwright.kernels.torque_curve import balanced_state, running_slip
from ampwright.plugin import Case, MachineCase, MotorCase, read_table

FIGURES = read_table(Path(__file__).with_name("figures.csv"))
HORSEPOWER_W = 745.69987158227022
IDLING = 0.05  # share of its load that a machine takes up without work
HALVINGS = 18
MOST_CANS = 2


def planning(name: str, column: str = "value") -> float:
    """Return one planning value."""
    value = FIGURES.number(name, column)
    if value is None:
        raise KeyError(name)
    return value


def several(name: str) -> tuple[float, ...]:
    """Return a row of planning values, smallest first."""
    row = FIGURES.row(name)
    return tuple(float(part) for part in row["value"].split()) if row else ()


@cache
def rungs() -> tuple[Rung, ...]:
    """Return every run capacitance that stock can make."""
    return ladder([1e-6 * one for one in several("run")], MOST_CANS)


class Setup(NamedTuple):
    """One machine with one motor, and the supply.

    Attributes:
        case: The whole shop.
        machine: The machine.
        motor: Its motor.
        source: The supply at nominal voltage.
        highest: The supply at its highest voltage.
    """

    case: Case
    machine: MachineCase
    motor: MotorCase
    source: Source
    highest: Source

    @property
    def frequency_hz(self) -> float:
        """Frequency of the supply."""
        return self.case.supply.frequency.value


def set_up(case: Case, machine: MachineCase) -> Setup:
    """Return the question in the model's terms."""
    (motor,) = machine.motors
    source = case.supply.source
    ratio = case.supply.highest.value / case.supply.voltage.value
    highest = source._replace(e_a_v=source.e_a_v * ratio, e_b_v=source.e_b_v * ratio)
    return Setup(case, machine, motor, source, highest)


def legs_of(setup: Setup, run_f: float) -> Legs:
    """Return the run capacitor between the third line and the line that leads into it."""
    return capacitors(0.0, 0.0, run_f, setup.frequency_hz)


def working(setup: Setup, share: float) -> Rotor:
    """Return the motor at a *share* of its load."""
    law = LoadLaw(*(part * share for part in setup.motor.load))
    return Rotor(setup.motor.circuit, law)


def at_load(setup: Setup, run_f: float, share: float, *, high: bool = False) -> State:
    """Return the running motor at a *share* of its load."""
    source = setup.highest if high else setup.source
    return solve(source, legs_of(setup, run_f), (working(setup, share),))


def rated_loss_w(setup: Setup) -> float:
    """Return the copper losses of the motor at its rated point."""
    motor = setup.motor
    volts = motor.demand.voltage.value
    slip = running_slip(motor.circuit, volts, motor.rated_torque.value)
    found = balanced_state(motor.circuit, volts, slip if slip is not None else 0.05)
    return found.stator_loss_w + found.rotor_loss_w


def kept_cool(setup: Setup, run_f: float, share: float, most_w: float) -> bool:
    """Tell whether the motor gives *share* of its load without more copper losses than rated."""
    found = at_load(setup, run_f, share)
    (rotor,) = found.rotors
    losses = rotor.machine.stator_loss_w + rotor.machine.rotor_loss_w
    return not rotor.stalled and losses <= most_w


def share_by_losses(setup: Setup, run_f: float) -> float:
    """Return the largest share of its load at which its copper losses are those of its plate."""
    most_w = rated_loss_w(setup)
    low, high = 0.0, 1.0
    if kept_cool(setup, run_f, high, most_w):
        return high
    for _ in range(HALVINGS):
        middle = (low + high) / 2.0
        low, high = (middle, high) if kept_cool(setup, run_f, middle, most_w) else (low, middle)
    return low


def share_by_leg(setup: Setup, run_f: float, setting_a: float) -> float:
    """Return the largest share of its load at which no line draws more than *setting_a*."""
    low, high = 0.0, 1.0
    for _ in range(HALVINGS):
        middle = (low + high) / 2.0
        found = at_load(setup, run_f, middle)
        held = not found.stalled[0] and max(found.rotors[0].line_a) <= setting_a
        low, high = (middle, high) if held else (low, middle)
    return low


def idle_winding(setup: Setup, run_f: float) -> tuple[float, float]:
    """Return winding current and highest line voltage while nothing is done, supply at its highest.

    The current of a delta is counted as that of its line.
    """
    found = at_load(setup, run_f, IDLING, high=True)
    (rotor,) = found.rotors
    winding = rotor.winding_star_a
    if setup.motor.motor.connection == "delta":
        winding = rotor.winding_delta_a * 3.0**0.5
    return winding, max(found.line_v)


def run_capacitor(setup: Setup) -> float:
    """Return the run capacitance that balances the working motor best [F]; nought: none may.

    It is looked for among what stock can make and what does not harm the idling motor: winding
    within its plate, or at least not worse than on two lines alone, no line too high.
    """
    share = max(setup.machine.average_load.value, IDLING)
    limits, plate = setup.case.limits, setup.motor.demand.voltage.value
    alone, _ = idle_winding(setup, 0.0)
    most_a = max(planning("idle-winding") * setup.motor.circuit.rated_current_a, alone)
    most_v = max(limits["leg-overvoltage"].value * plate, setup.case.supply.highest.value)
    best = (at_load(setup, 0.0, share).vuf, 0.0)
    for rung in rungs()[1:]:
        winding, volts = idle_winding(setup, rung.total_f)
        if volts > most_v * (1.0 + 1e-9):
            break
        if winding <= most_a * (1.0 + 1e-9):
            best = min(best, (at_load(setup, rung.total_f, share).vuf, rung.total_f))
    return best[1]


def start_capacitances(setup: Setup) -> tuple[float, ...]:
    """Return the start capacitances to choose from, scaled to supply and motor [F]."""
    supply = setup.case.supply
    scale = 1e-6 * setup.motor.demand.power.value / HORSEPOWER_W
    scale *= (240.0 / supply.voltage.value) ** 2 * 60.0 / supply.frequency.value
    return tuple(one * scale for one in several("start"))


def started(setup: Setup, start_f: float, run_f: float) -> RunUp:
    """Return the run-up on a start capacitor that is cut out near speed."""
    motor = setup.motor
    still = Shaft(Rotor(motor.low, motor.run_up), motor.inertia.value)
    extra = capacitors(0.0, 0.0, start_f, setup.frequency_hz)
    legs = legs_of(setup, run_f)
    return run_up(setup.source, legs, (), still, stages=capacitor_start(extra, planning("cut-out")))
