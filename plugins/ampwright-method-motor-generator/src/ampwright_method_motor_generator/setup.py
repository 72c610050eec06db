"""The question: which output voltage, which machines, what runs together."""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

from ampwright.plugin import (
    Case,
    Figure,
    Finding,
    LinkedMachine,
    MachineCase,
    MotorCase,
    Source,
    Worksheet,
    machine_at,
    parameters,
    read_table,
)

FIGURES = read_table(Path(__file__).with_name("figures.csv"))
OUTPUTS = read_table(Path(__file__).with_name("outputs.csv"))
WINDING = Source(document="the generator is wound for it", known="derived")
SAME = 0.02  # two voltages nearer than this are one
HEATERS = ("resistive", "lamp")


class Setup(NamedTuple):
    """The machines that one set is to serve.

    Attributes:
        case: The whole shop.
        machines: The machines, linked for the output voltage.
        output: Output voltage between two lines [V].
        sets: For each running set that holds any of the machines: its id and those machines.
    """

    case: Case
    machines: tuple[LinkedMachine, ...]
    output: Figure
    sets: tuple[tuple[str, tuple[LinkedMachine, ...]], ...]

    @property
    def raised(self) -> bool:
        """The lines have another voltage than the supply."""
        return abs(self.output.value / self.case.supply.voltage.value - 1.0) > SAME


def usual(name: str, sheet: Worksheet) -> Figure:
    """Return a planning value as a figure."""
    row = FIGURES.row(name)
    if row is None:
        raise KeyError(name)
    return sheet.assumed(
        name, name, float(row["value"]), row["unit"], source=FIGURES.source(),
        low=float(row["low"]), high=float(row["high"]),
    )  # fmt: skip


def usual_edge(name: str, edge: str, sheet: Worksheet) -> Figure:
    """Return the ``"low"`` or ``"high"`` edge of a planning value as a figure."""
    row = FIGURES.row(name)
    if row is None:
        raise KeyError(name)
    return sheet.assumed(name, name, float(row[edge]), row["unit"], source=FIGURES.source())


def planning(name: str) -> float:
    """Return a planning value."""
    value = FIGURES.number(name, "value")
    if value is None:
        raise KeyError(name)
    return value


def hertz(case: Case) -> int:
    """Return the nominal frequency of the supply [Hz]."""
    return 50 if case.supply.frequency.value < 55.0 else 60


def hardest(one: LinkedMachine) -> MotorCase | None:
    """Return the motor whose start draws most."""
    return max(
        one.motors,
        key=lambda motor: (motor.demand.locked_rotor_current or motor.demand.current).value,
        default=None,
    )


def outputs(case: Case, sheet: Worksheet) -> Iterator[Figure]:
    """Yield the output voltages that could be had, the supply's own first [V]."""
    supply = case.supply.voltage
    yield sheet.formula("voltage", "U_2", "V", "U", U=supply, source=WINDING)
    for row in OUTPUTS.rows:
        volts = float(row["voltage_v"])
        if float(row["frequency_hz"]) == hertz(case) and abs(volts / supply.value - 1.0) > SAME:
            yield sheet.table(
                "voltage", "U_2", volts, "V", table=OUTPUTS.id, cell=(row["id"], "voltage_v"),
                source=OUTPUTS.source(),
            )  # fmt: skip


def misfits(case: Case, machines: Sequence[MachineCase], output: Figure) -> tuple[str, ...]:
    """Return the ids of the machines that no link makes fit for *output*."""
    scratch = Worksheet("~")
    linked = (machine_at(one, case.supply.voltage, output, scratch) for one in machines)
    return tuple(one.id for one in linked if one.misfit)


def best_output(case: Case, machines: Sequence[MachineCase]) -> int:
    """Return the place of the output voltage that suits most machines; of several, the first."""
    counts = [len(misfits(case, machines, volts)) for volts in outputs(case, Worksheet("~"))]
    return counts.index(min(counts))


def because(case: Case, machines: Sequence[MachineCase]) -> Iterator[Finding]:
    """Yield the reasons why machines are not for a set."""
    for one in machines:
        if not one.motors and all(load.load.kind in HEATERS for load in one.loads):
            yield Finding(code="motor-generator.heat-needs-no-set", severity="blocks",
                          where=(one.id,))  # fmt: skip
    if not machines:
        return
    place = best_output(case, machines)
    chosen = [one for n, one in enumerate(outputs(case, Worksheet("~"))) if n == place]
    for name in misfits(case, machines, chosen[0]):
        machine = next(one for one in machines if one.id == name)
        rated = sorted({f"{motor.demand.voltage.value:g} V" for motor in machine.motors})
        yield Finding(code="motor-generator.voltage", severity="blocks", where=(name,),
                      parameters=parameters(rated=", ".join(rated)))  # fmt: skip


def set_up(case: Case, machines: Sequence[MachineCase], sheet: Worksheet) -> Setup:
    """Return the question with the machines linked for the output voltage that suits them."""
    place = best_output(case, machines)
    tries = Worksheet(f"{sheet.prefix}/output")
    for _ in outputs(case, tries):
        if len(tries.steps) > place:
            break
    output = sheet.put(tries.steps[place])
    linked = tuple(machine_at(one, case.supply.voltage, output, sheet) for one in machines)
    sets = []
    for running in case.sets:
        inside = tuple(one for one in linked if one.id in running.machines)
        if inside:
            sets.append((running.id, inside))
    return Setup(case, linked, output, tuple(sets))
