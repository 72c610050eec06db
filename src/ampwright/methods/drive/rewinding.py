"""A motor linked in star inside, whose star point a winder brings out, so that it runs in delta."""

from collections.abc import Iterator

import attrs

from ampwright.plugin import (
    Case,
    Finding,
    MachineCase,
    MotorCase,
    Source,
    Worksheet,
    parameters,
)

TURNS = Source(document="the same turns at the same voltage in either link", known="derived")
TOLERANCE = 0.10
BURIED = (None, 3)  # leads of a motor whose star point cannot be reached


def in_delta(case: Case, motor: MotorCase, sheet: Worksheet) -> MotorCase | None:
    """Return *motor* as it is with its star point brought out; ``None`` where that is no way.

    In delta each winding stands on a whole line voltage, so the motor is made for the voltage of
    its star over the square root of three.
    """
    volts = motor.demand.voltage
    star = any(one.connection == "star" for one in motor.motor.ratings)
    share = volts.value / 3.0**0.5 / case.supply.voltage.value
    if motor.fits or not star or motor.motor.leads not in BURIED or abs(share - 1.0) > TOLERANCE:
        return None
    part = sheet.under(f"linked/{motor.demand.id}")
    lower = part.formula("voltage", "U", "V", "U / sqrt(3)", U=volts, source=TURNS)
    more = part.formula("current", "I", "A", "I * sqrt(3)", I=motor.demand.current, source=TURNS)
    locked = motor.demand.locked_rotor_current
    if locked is not None:
        locked = part.formula("locked_rotor_current", "I_LR", "A", "I * sqrt(3)", I=locked,
                              source=TURNS)  # fmt: skip
    demand = attrs.evolve(motor.demand, voltage=lower, current=more, locked_rotor_current=locked)
    return attrs.evolve(motor, demand=demand, relinked=True, fits=True)


def rewound(case: Case, machine: MachineCase, sheet: Worksheet) -> MachineCase:
    """Return *machine* with its one motor in delta, where a winder's work would make it fit."""
    if len(machine.motors) != 1:
        return machine
    motor = in_delta(case, machine.motors[0], sheet)
    return machine if motor is None else attrs.evolve(machine, motors=(motor,))


def about(machine: MachineCase, motor: MotorCase) -> Iterator[Finding]:
    """Yield what the winder's work is, and what the machine's own parts have to follow."""
    stated = motor.motor.voltage_v
    if motor.linking(motor.demand.voltage.value) is None and stated != motor.demand.voltage.value:
        where, volts = (machine.id,), motor.demand.voltage
        yield Finding(code="machine.needs-change", severity="caution", where=where,
                      parameters=parameters("volts=V", what="star-point", volts=volts))  # fmt: skip
        yield Finding(code="machine.relink-consequences", severity="caution", where=where,
                      parameters=parameters("rated=V", rated=volts))  # fmt: skip
