"""A question put into the network model's terms."""

from functools import cache
from pathlib import Path
from typing import NamedTuple

from ampwright.kernels.balance import Rung, ladder
from ampwright.kernels.network import Legs, LoadLaw, Rotor, Source, plus
from ampwright.kernels.starter import Shaft
from ampwright.plugin import Case, MachineCase, MotorCase, read_table

HORSEPOWER_W = 745.69987158227022
FIGURES = read_table(Path(__file__).with_name("figures.csv"))


def figure(name: str, column: str = "value") -> float:
    """Return one planning value."""
    value = FIGURES.number(name, column)
    if value is None:
        raise KeyError(name)
    return value


@cache
def rungs(count: int = 1) -> tuple[Rung, ...]:
    """Return every capacitance that stock can make, or *count* alike, one beside each idler."""
    if count > 1:
        return tuple(Rung(count * one.total_f, one.cans_f * count) for one in rungs())
    row = FIGURES.row("stock")
    stock = [float(part) * 1e-6 for part in row["value"].split()] if row else []
    return ladder(stock, int(figure("most_cans")))


class Running(NamedTuple):
    """One running set as far as this converter serves it.

    Attributes:
        id: Id of the set.
        machines: Its machines.
        motors: Their motors that run at once.
        legs: Their other loads, as admittances between the legs.
    """

    id: str
    machines: tuple[MachineCase, ...]
    motors: tuple[MotorCase, ...]
    legs: Legs

    @property
    def rotors(self) -> tuple[Rotor, ...]:
        """The motors as the network takes them, at full load."""
        return tuple(Rotor(one.circuit, one.load) for one in self.motors)

    @property
    def working(self) -> tuple[Rotor, ...]:
        """The motors at the average load of their machines, which is what heats them."""
        share = {one.id: one.average_load.value for one in self.machines}
        return tuple(
            Rotor(one.circuit, lowered(one.load, share[one.demand.machine])) for one in self.motors
        )


def lowered(load: LoadLaw, share: float) -> LoadLaw:
    """Return *share* of a load."""
    return LoadLaw(*(part * share for part in load))


class Setup(NamedTuple):
    """The machines that one converter is to serve.

    Attributes:
        case: The whole shop.
        machines: The machines.
        source: The supply at nominal voltage.
        highest: The supply at its highest voltage.
        sets: The running sets that hold any of the machines.
        voltage_v: Nominal voltage.
        frequency_hz: Frequency.
        lowest_plate_v: Lowest plate voltage connected, the idler's own excepted.
    """

    case: Case
    machines: tuple[MachineCase, ...]
    source: Source
    highest: Source
    sets: tuple[Running, ...]
    voltage_v: float
    frequency_hz: float
    lowest_plate_v: float

    @property
    def starters(self) -> tuple[tuple[MachineCase, MotorCase], ...]:
        """Each machine with the motor that is hardest to start, the rest of it standing still."""
        return tuple(
            (one, max(one.motors, key=lambda motor: motor.breakaway.value / weight(motor)))
            for one in self.machines
            if one.motors
        )


def weight(motor: MotorCase) -> float:
    """Return the torque that a motor starts with for each newton metre that it needs."""
    return max(motor.start_torque.value, 1e-9) / max(motor.rated_torque.value, 1e-9) ** 2


def scaled(source: Source, ratio: float) -> Source:
    """Return *source* with its voltages multiplied."""
    return source._replace(e_a_v=source.e_a_v * ratio, e_b_v=source.e_b_v * ratio)


def balanced_load(machine: MachineCase, voltage_v: float) -> Legs:
    """Return the three-phase loads of a machine that are no motors, as a delta of resistors."""
    total = sum(one.power.value for one in machine.loads if one.load.phases == 3)
    y = complex(total / (3.0 * voltage_v**2))
    return Legs(y, y, y)


def set_up(case: Case, machines: tuple[MachineCase, ...]) -> Setup:
    """Return the question in the model's terms."""
    volts = case.supply.voltage.value
    sets = []
    for running in case.sets:
        inside = tuple(one for one in machines if one.id in running.machines)
        if not inside:
            continue
        legs = Legs()
        for one in inside:
            legs = plus(legs, balanced_load(one, volts))
        motors = tuple(motor for one in inside for motor in one.simultaneous_motors)
        sets.append(Running(running.id, inside, motors, legs))
    plates = [motor.demand.voltage.value for one in machines for motor in one.motors]
    return Setup(
        case=case,
        machines=machines,
        source=case.supply.source,
        highest=scaled(case.supply.source, case.supply.highest.value / volts),
        sets=tuple(sets),
        voltage_v=volts,
        frequency_hz=case.supply.frequency.value,
        lowest_plate_v=min(plates, default=volts),
    )


def shaft(motor: MotorCase) -> Shaft:
    """Return a motor as it starts: at the edge of its band with least torque."""
    return Shaft(Rotor(motor.low, motor.run_up), motor.inertia.value)
