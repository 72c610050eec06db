"""Why a machine does not get another motor."""

from collections.abc import Iterator
from pathlib import Path

from ampwright.methods.motor_swap.sizing import FIGURES, largest, planning
from ampwright.plugin import Case, Finding, MachineCase, parameters, read_table

FACTS = read_table(Path(__file__).with_name("refusing.csv"))
VOLTAGE_TOLERANCE = 0.10  # of rated voltage: IEC 60034-1 and NEMA MG 1, from memory


def made_for(volts: float) -> bool:
    """Tell whether single-phase motors are sold for a supply of *volts*."""
    row = FIGURES.row("voltages")
    known = [float(part) for part in row["value"].split()] if row else []
    return any(abs(volts / one - 1.0) <= VOLTAGE_TOLERANCE for one in known)


def of_supply(case: Case, machine: MachineCase) -> Iterator[Finding]:
    """Yield what the supply does not allow."""
    if not made_for(case.supply.voltage.value):
        yield Finding(code="motor-swap.no-such-voltage", severity="blocks", where=(machine.id,),
                      parameters=parameters("supply=V", supply=case.supply.voltage))  # fmt: skip
    if machine.machine.fed_from:
        yield Finding(code="motor-swap.fed-from-another", severity="blocks", where=(machine.id,))


def of_motors(case: Case, machine: MachineCase) -> Iterator[Finding]:
    """Yield what an exchange of the motors alone does not stand."""
    if not machine.motors:
        yield Finding(code="motor-swap.no-motor", severity="blocks", where=(machine.id,))
    if any(one.load.phases == 3 and (one.single_phase is None or not one.fits)
           for one in machine.loads):  # fmt: skip
        yield Finding(code="motor-swap.other-loads", severity="blocks", where=(machine.id,))
    if len(machine.motors) > 1 and "internal-switching" in machine.machine.traits:
        yield Finding(code="motor-swap.built-in-switching", severity="blocks", where=(machine.id,))
    for row in FACTS.rows:
        if machine.states(row["field"], row["value"]):
            yield Finding(code=row["code"], severity="blocks", where=(machine.id,),
                          parameters=parameters(value=row["value"]))  # fmt: skip
    starts = machine.machine.starts_per_hour
    if starts is not None and starts > planning("starts-per-hour"):
        yield Finding(code="motor-swap.starts-per-hour", severity="blocks", where=(machine.id,),
                      parameters=parameters(stated=f"{starts:g}"))  # fmt: skip
    top = largest(case.supply.frequency.value)
    for motor in machine.motors:
        if motor.demand.power.value * (1.0 - planning("same-power")) > top:
            yield Finding(code="motor-swap.too-large", severity="blocks", where=(machine.id,),
                          parameters=parameters("power=W", power=motor.demand.power))  # fmt: skip


def reasons(case: Case, machine: MachineCase) -> tuple[Finding, ...]:
    """Return every reason; none where *machine* can get another motor, or be exchanged itself."""
    found = tuple(of_supply(case, machine))
    if machine.machine.single_phase_unit:
        return found
    return (*found, *of_motors(case, machine))
