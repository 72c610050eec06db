"""A drive behind a single-phase transformer, where its motor needs another voltage."""

from collections.abc import Iterator

import attrs

from ampwright.methods.drive.refusing import within_reach
from ampwright.methods.drive.sizing import MODEL, ONE_PHASE, figure, rectified
from ampwright.plugin import (
    HERE,
    Case,
    Figure,
    Finding,
    MachineCase,
    MotorCase,
    SteppedSupply,
    Worksheet,
    at_voltage,
    parameters,
    stepped_supply,
    usual_secondaries,
)


def behind_transformer(
    case: Case, machine: MachineCase, sheet: Worksheet
) -> tuple[MachineCase, SteppedSupply] | None:
    """Return *machine* as linked for a usual secondary, and the supply there.

    ``None`` where the supply itself suits, the machine has not just one three-phase motor, or no
    secondary suits.
    """
    if len(machine.motors) != 1 or machine.loads or within_reach(machine.motors[0], case):
        return None
    (motor,) = machine.motors
    for second in usual_secondaries(case.supply.frequency.value, Worksheet("~")):
        if at_voltage(motor, case.supply.voltage, second, Worksheet("~")) is None:
            continue
        place = sheet.under(f"secondary/{machine.id}")
        named = next(usual_secondaries(case.supply.frequency.value, place, second.value))
        linked = at_voltage(motor, case.supply.voltage, named, sheet)
        if linked is None:
            continue
        needed = apparent(case, machine, linked, named, sheet)
        found = stepped_supply(case, machine.id, named, needed, sheet)
        if found is not None:
            return attrs.evolve(machine, motors=(linked,)), found
    return None


def apparent(
    case: Case, machine: MachineCase, motor: MotorCase, second: Figure, sheet: Worksheet
) -> Figure:
    """Return the apparent power that the drive draws through its transformer, reserve and all."""
    part = sheet.under(f"transformers/transformer.{machine.id}")
    tried = stepped_supply(case, machine.id, second, Figure(1.0, "~"), Worksheet("~"))
    seen = case if tried is None else tried.case
    link_w = motor.demand.power.value / (motor.efficiency.value * figure("efficiency"))
    drawn = part.solved("drive_current_a", "I", rectified(seen, link_w).current_a, "A",
                        model="rectifier", source=MODEL, residual=0.0,
                        inputs=[("P", motor.demand.power), ("U", second)])  # fmt: skip
    return part.formula(
        "needed_va", "S", "VA", "k * max(U * I, sqrt(3) * U_m * I_m)",
        k=case.limits["converter-reserve"], U=second, I=drawn, U_m=motor.demand.voltage,
        I_m=motor.demand.current, source=ONE_PHASE,
    )  # fmt: skip


def about(machine: MachineCase, stepped: SteppedSupply) -> Iterator[Finding]:
    """Yield what there is to say about the transformer ahead of the drive."""
    made = stepped.transformer
    place, ids = f"{HERE}/transformers/{made.id}", (machine.id, made.id)
    size = Figure(made.rating_va, f"{place}/rating_va")
    volts = Figure(made.secondary_v, f"{place}/secondary_v")
    yield Finding(code="transformer.needed", severity="caution", where=ids,
                  parameters=parameters("size=VA volts=V", size=size, volts=volts,
                                        kind=made.kind))  # fmt: skip
    yield Finding(code="converter.step-up-grounding", severity="caution", where=ids)
    yield Finding(code="transformer.rectifier-load", severity="caution", where=ids)
