"""What the statement itself gives cause to say and to ask, whichever way is taken."""

from collections.abc import Iterator
from pathlib import Path

from ampwright.case import VOLTAGE_TOLERANCE, Case, MachineCase
from ampwright.finding import Finding, Question, parameters
from ampwright.planning.circumstances import circumstances
from ampwright.planning.circumstances import questions as of_circumstances
from ampwright.planning.motor_facts import motor_facts
from ampwright.step import Figure
from ampwright.tables import read_table

FACTS = read_table(Path(__file__).with_name("observations.csv"))
LOADS = read_table(Path(__file__).with_name("load_observations.csv"))
#: Loads that may be made for one phase as well, if their maker says so.
ELECTRONICS = ("rectifier", "thyristor", "welder")


def three_phase(machine: MachineCase) -> bool:
    """Tell whether anything in *machine* needs three lines."""
    return bool(machine.motors) or any(one.load.phases == 3 for one in machine.loads)


def of_machine(case: Case, machine: MachineCase) -> Iterator[Finding]:
    """Yield what the facts of one machine call for."""
    where = (machine.id,)
    for row in FACTS.rows:
        if machine.states(row["field"], row["value"]) and row["field"] != "controls":
            yield Finding(code=row["code"], severity=row["severity"], where=where,
                          parameters=parameters(value=row["value"]))  # fmt: skip
    if len(machine.motors) > 1 and "two-speed" not in machine.machine.traits:
        yield Finding(
            code="machine.multi-motor",
            severity="caution",
            where=where,
            parameters=parameters(count=str(len(machine.motors))),
        )
    if machine.machine.stopping_time_limit_s is not None:
        path = f"{case.stated_at(machine.id)}/stopping_time_limit_s"
        yield Finding(
            code="safety.braking-time",
            severity="caution",
            where=where,
            parameters=parameters(
                "limit=s", limit=Figure(machine.machine.stopping_time_limit_s, path)
            ),
        )
    for item in machine.machine.plate_lacks:
        yield Finding(code="nameplate.missing-field", severity="caution", where=where,
                      parameters=parameters(field=item))  # fmt: skip
    yield from of_controls(case, machine)
    yield from of_loads(case, machine)


def of_controls(case: Case, machine: MachineCase) -> Iterator[Finding]:
    """Yield what the control supply of a machine calls for that has anything on three lines."""
    stated, where = machine.machine, (machine.id,)
    values = {
        name: Figure(float(value), f"{case.stated_at(machine.id)}/{field}")
        for name, field in (("volts", "control_voltage_v"), ("power", "control_power_va"))
        if (value := getattr(stated, field)) is not None
    }
    for row in FACTS.rows if three_phase(machine) else ():
        if row["field"] == "controls" and machine.states("controls", row["value"]):
            said = parameters("volts=V power=VA", value=row["value"], **values)
            yield Finding(code=row["code"], severity=row["severity"], where=where, parameters=said)
    fed = {"supply-lines": case.supply.voltage, "line-neutral": case.supply.to_neutral}
    volts = fed.get(stated.controls or "")
    made_for = values.get("volts")
    if volts is not None and made_for is not None and not near(volts.value, made_for.value):
        said = parameters("volts=V supply=V", volts=made_for, supply=volts)
        yield Finding(
            code="control.voltage-mismatch", severity="caution", where=where, parameters=said
        )


def near(one: float, other: float) -> bool:
    """Tell whether two voltages are within a tenth of each other."""
    return abs(one / other - 1.0) <= VOLTAGE_TOLERANCE + 1e-9


def of_loads(case: Case, machine: MachineCase) -> Iterator[Finding]:
    """Yield what the loads that are no motors call for; kinds count where they have three lines."""
    hertz = case.supply.frequency
    for n, one in enumerate(machine.loads):
        rated = one.load.frequency_hz
        if rated is not None and abs(rated - hertz.value) >= 1.0:
            stated = Figure(float(rated), f"{case.stated_at(machine.id)}/loads/{n}/frequency_hz")
            said = parameters("rated=Hz supply=Hz", rated=stated, supply=hertz)
            yield Finding(code="supply.frequency-mismatch", severity="caution",
                          where=(machine.id,), parameters=said)  # fmt: skip
        if one.load.regenerates:
            yield Finding(code="machine.regenerative-input", severity="caution",
                          where=(machine.id,))  # fmt: skip
    kinds = {one.load.kind for one in machine.loads if one.load.phases == 3}
    for row in LOADS.rows:
        if row["kind"] in kinds:
            yield Finding(code=row["code"], severity=row["severity"], where=(machine.id,),
                          parameters=parameters(value=row["kind"]))  # fmt: skip


def observed(case: Case) -> tuple[Finding, ...]:
    """Return the findings of all machines, then those of supply, site and what is there."""
    found = [one for machine in case.machines for one in of_machine(case, machine)]
    return (*found, *motor_facts(case), *circumstances(case))


def asked(case: Case) -> tuple[Question, ...]:
    """Return what should be asked, whichever way is taken."""
    found = [
        Question(
            code="machine.single-phase-input",
            field=f"machines.{machine.id}.loads[{n}].relinkable",
            where=(machine.id,),
            changes="method",
            choices=("true", "false"),
        )
        for machine in case.machines
        for n, one in enumerate(machine.loads)
        if one.load.phases == 3 and one.load.kind in ELECTRONICS and one.load.relinkable is None
    ]
    return (*found, *of_circumstances(case))
