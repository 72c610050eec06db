"""What there is to say about machines behind a rotary converter."""

from collections.abc import Iterator

from ampwright.methods.rotary.setup import Setup
from ampwright.methods.rotary.trial import Trial, asked_share
from ampwright.plugin import (
    Converter,
    Figure,
    Finding,
    MachineCase,
    Question,
    Source,
    State,
    Worksheet,
    parameters,
)

MODEL = Source(document="network of idler and motors, symmetrical components", known="model")
CAUTIONS = (
    ("converter.idler-start-sequence", "info"),
    ("converter.output-live-on-two-legs", "caution"),
    ("converter.capacitor-discharge", "caution"),
    ("converter.rotation-follows-start", "caution"),
    ("converter.idler-loss", "caution"),
    ("site.converter-place", "caution"),
    ("plan.equipment-approval", "caution"),
)


def about(
    trial: Trial, made: Converter, states: tuple[State, ...], place: str, sheet: Worksheet
) -> Iterator[Finding]:
    """Yield the findings of one converter and of each machine behind it."""
    setup = trial.setup
    ids = (made.id, *made.machines)
    for code, severity in CAUTIONS:
        yield Finding(code=code, severity=severity, where=ids)
    if any(one.sets for one in made.capacitors):
        yield Finding(code="converter.switched-capacitors", severity="caution", where=(made.id,))
    idle = Figure(made.losses_w, f"{place}/converters/{made.id}/losses_w")
    yield Finding(code="plan.idle-cost", severity="info", where=(made.id,),
                  parameters=parameters("losses=W", losses=idle))  # fmt: skip
    if not made.given:
        current = Figure(made.input_current_a, f"{place}/converters/{made.id}/input_current_a")
        yield Finding(code="plan.recheck-on-plate", severity="info", where=(made.id,),
                      parameters=parameters("current=A", current=current))  # fmt: skip
    for machine in setup.machines:
        yield from about_controls(machine)
        if "plug-connected" in machine.machine.traits:
            yield Finding(code="converter.self-excitation", severity="caution",
                          where=(machine.id,))  # fmt: skip
    yield from about_balance(trial, made, states, place)
    yield from about_monitors(trial, made, states, place, sheet)


def about_controls(machine: MachineCase) -> Iterator[Finding]:
    """Yield what the control supply of a machine calls for."""
    if machine.machine.controls == "made-leg":
        yield Finding(code="control.manufactured-leg", severity="caution", where=(machine.id,))
    if machine.machine.controls == "line-neutral":
        yield Finding(code="control.neutral-from-manufactured-leg", severity="caution",
                      where=(machine.id,))  # fmt: skip


def about_balance(
    trial: Trial, made: Converter, states: tuple[State, ...],
                  place: str) -> Iterator[Finding]:  # fmt: skip
    """Yield a finding for each motor that unbalance leaves less than its rating."""
    setup = trial.setup
    averages = [one for one in states if one.load == "average"]
    for running, usable, state in zip(setup.sets, trial.usable, averages, strict=True):
        for motor, output in zip(running.motors, usable, strict=True):
            name = motor.demand.machine
            if output.fraction >= 1.0:
                continue
            path = f"{place}/states/{state.id}"
            wanted = setup.case.machine(name).average_load
            yield Finding(
                code="converter.balance-out-of-limits",
                severity="caution",
                where=(name, made.id, running.id),
                parameters=parameters(
                    unbalance=Figure(state.deviation_fraction or 0.0, f"{path}/deviation_fraction"),
                    usable=Figure(
                        output.fraction, f"{path}/motors/{motor.demand.id}/usable_fraction"
                    ),
                    asked=wanted,
                    reason=output.governing,
                ),
            )


def about_monitors(
    trial: Trial, made: Converter, states: tuple[State, ...], place: str, sheet: Worksheet
) -> Iterator[Finding]:
    """Yield a finding for each machine that stands less unbalance than there may be.

    The cans may be off what they are marked with: the worst of all states counts, each leg's at
    either edge of their tolerance.
    """
    setup = trial.setup
    limits = [(one, one.machine.unbalance_limit) for one in setup.machines]
    if all(limit is None for _, limit in limits):
        return
    marked = max((state.deviation_fraction or 0.0, state.id) for state in states)
    tolerance = setup.case.limits["capacitor-tolerance"]
    worst = max(trial.at_tolerance(tolerance.value), key=lambda one: one.deviation)
    cans = f"{place}/converters/{made.id}/capacitors"
    most = sheet.under(f"converters/{made.id}").solved(
        "unbalance_at_tolerance", "u", max(worst.deviation, marked[0]), "", model="network",
        source=MODEL, residual=worst.residual,
        inputs=(
            ("u_0", Figure(marked[0], f"{place}/states/{marked[1]}/deviation_fraction")),
            ("d", tolerance),
            *((f"C.{one.id}", Figure(one.capacitance_f, f"{cans}/{one.id}/capacitance_f"))
              for one in trial.banks),
        ),
    )  # fmt: skip
    for machine, limit in limits:
        if limit is not None and most.value > limit:
            yield Finding(
                code="converter.balance-out-of-limits",
                severity="blocks",
                where=(machine.id,),
                parameters=parameters(
                    unbalance=most,
                    limit=Figure(limit, f"{setup.case.stated_at(machine.id)}/unbalance_limit"),
                ),
            )


def asked(setup: Setup) -> tuple[Question, ...]:
    """Return the questions whose answers a rotary converter hangs on."""
    found = [
        Question(code="machine.controls", field=f"machines.{one.id}.controls", where=(one.id,),
                 changes="safety")
        for one in setup.machines
        if one.machine.controls in (None, "unknown")
    ]  # fmt: skip
    found += [
        Question(code="machine.average-load", field=f"machines.{one.id}.average_load",
                 where=(one.id,), changes="figures",
                 parameters=parameters(assumed=one.average_load))
        for one in setup.machines
        if one.machine.average_load is None and asked_share(one) > 0
    ]  # fmt: skip
    return tuple(found)
