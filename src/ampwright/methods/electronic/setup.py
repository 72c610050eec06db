"""The question: which output voltage, which machines at which load, which kind of start."""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

from ampwright.plugin import (
    Case,
    Figure,
    Finding,
    LinkedMachine,
    MachineCase,
    Source,
    Worksheet,
    machine_at,
    parameters,
    read_table,
)

FIGURES = read_table(Path(__file__).with_name("figures.csv"))
OUTPUTS = read_table(Path(__file__).with_name("outputs.csv"))
APPARENT = Source(document="definition of apparent power in three phases", known="derived")
RESISTIVE = ("resistive", "lamp")
SAME = 0.02  # two voltages nearer than this are one


class Setup(NamedTuple):
    """The machines that one converter is to serve.

    Attributes:
        case: The whole shop.
        machines: The machines at the output voltage.
        output: Output voltage between two lines [V].
        neutral: An output neutral is wanted.
        sets: For each running set that holds any of the machines: its id and those machines.
    """

    case: Case
    machines: tuple[LinkedMachine, ...]
    output: Figure
    neutral: bool
    sets: tuple[tuple[str, tuple[LinkedMachine, ...]], ...]

    def softly(self, one: LinkedMachine) -> bool:
        """Tell whether a machine starts behind the converter's current limit, nothing else running.

        That is the machine that draws most of every set that it runs in: it is started first. What
        starts by itself starts directly.
        """
        traits = one.machine.machine.traits
        if not one.motors or "hermetic" in traits or "restarts-by-itself" in traits:
            return False
        return all(
            max(inside, key=draw) is one
            for _, inside in self.sets
            if any(other is one for other in inside)
        )

    @property
    def raised(self) -> bool:
        """Its output differs from the supply in voltage."""
        return abs(self.output.value / self.case.supply.voltage.value - 1.0) > SAME


def draw(one: LinkedMachine) -> float:
    """Return the largest locked-rotor current of a machine's motors [A]; nought without any."""
    return max(
        ((motor.demand.locked_rotor_current or motor.demand.current).value for motor in one.motors),
        default=0.0,
    )


def usual(name: str, sheet: Worksheet) -> Figure:
    """Return a planning value of electronic converters as a figure."""
    row = FIGURES.row(name)
    if row is None:
        raise KeyError(name)
    return sheet.assumed(
        name, name, float(row["value"]), row["unit"], source=FIGURES.source(),
        low=float(row["low"]), high=float(row["high"]),
    )  # fmt: skip


def planning(name: str) -> float:
    """Return a planning value of electronic converters."""
    value = FIGURES.number(name, "value")
    if value is None:
        raise KeyError(name)
    return value


def voltages(case: Case, sheet: Worksheet) -> Iterator[Figure]:
    """Yield the output voltages that could be had, the supply's own first [V]."""
    supply = case.supply.voltage
    yield sheet.formula("output_voltage", "U_2", "V", "U", U=supply)
    hertz = 50 if case.supply.frequency.value < 55.0 else 60
    for row in OUTPUTS.rows:
        volts = float(row["voltage_v"])
        if float(row["frequency_hz"]) == hertz and abs(volts / supply.value - 1.0) > SAME:
            yield sheet.table(
                "output_voltage", "U_2", volts, "V", table=OUTPUTS.id,
                cell=(row["id"], "voltage_v"), source=OUTPUTS.source(),
            )  # fmt: skip


def chosen(case: Case, machines: Sequence[MachineCase]) -> tuple[int, tuple[str, ...]]:
    """Return the place of the output voltage that suits most machines, and whom it does not suit.

    Of voltages that suit as many, the first counts.
    """
    best: tuple[int, tuple[str, ...]] | None = None
    for place, volts in enumerate(voltages(case, Worksheet("~"))):
        linked = (machine_at(one, case.supply.voltage, volts, Worksheet("~")) for one in machines)
        misfits = tuple(one.id for one in linked if one.misfit)
        if best is None or len(misfits) < len(best[1]):
            best = (place, misfits)
    if best is None:
        raise ValueError("a supply has a voltage")
    return best


def set_up(case: Case, machines: Sequence[MachineCase], place: int, sheet: Worksheet) -> Setup:
    """Return the question with the machines linked for the output voltage at *place*."""
    scratch = Worksheet("~")
    tried = list(voltages(case, scratch))
    kept = scratch.steps[: len(tried)][place]
    part = sheet.under("output")
    if kept.kind == "table":
        output = part.table("voltage", "U_2", tried[place].value, "V", table=OUTPUTS.id,
                            cell=kept.cell, source=OUTPUTS.source())  # fmt: skip
    else:
        output = part.formula("voltage", "U_2", "V", "U", U=case.supply.voltage)
    linked = tuple(machine_at(one, case.supply.voltage, output, sheet) for one in machines)
    sets = []
    for running in case.sets:
        inside = tuple(one for one in linked if one.id in running.machines)
        if inside:
            sets.append((running.id, inside))
    wanted = any(
        one.machine.machine.needs_neutral or one.machine.machine.controls == "line-neutral"
        for one in linked
    )
    return Setup(case, linked, output, wanted, tuple(sets))


def because(case: Case, machines: Sequence[MachineCase]) -> Iterator[Finding]:
    """Yield the reasons why machines must not, or cannot, stand behind such a converter.

    It keeps the supply's frequency, so a motor made for another one only is not for it.
    """
    hertz = case.supply.frequency
    for one in machines:
        for motor in one.motors:
            if abs(motor.frequency.value - hertz.value) >= 1.0:
                said = parameters("rated=Hz supply=Hz", rated=motor.frequency, supply=hertz)
                yield Finding(code="supply.frequency-mismatch", severity="blocks",
                              where=(one.id,), parameters=said)  # fmt: skip
        heaters = one.loads and all(load.load.kind in RESISTIVE for load in one.loads)
        linkable = all(load.load.relinkable is not False for load in one.loads)
        if not one.motors and (not one.loads or (heaters and linkable)):
            yield Finding(code="machine.resistive-load-no-conversion", severity="blocks",
                          where=(one.id,))  # fmt: skip
    if machines:
        _, misfits = chosen(case, machines)
        for name in misfits:
            machine = next(one for one in machines if one.id == name)
            rated = sorted({f"{motor.demand.voltage.value:g} V" for motor in machine.motors})
            yield Finding(code="supply.voltage-mismatch", severity="blocks", where=(name,),
                          parameters=parameters(rated=", ".join(rated)))  # fmt: skip
