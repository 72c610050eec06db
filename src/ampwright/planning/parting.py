"""Machines that take three phases and one: the parts for one phase stay on the panel.

A method that converts is asked about the three-phase parts only. What else the machine holds gets
circuits of its own, from the panel: single-phase motors, lamps and controls; and heaters, linked
for one phase, where someone said that they can be, or where the method takes the motor without
them only.
"""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import attrs

from ampwright.case import Case, LoadCase, MachineCase
from ampwright.finding import Finding, parameters
from ampwright.method import Proposal, State
from ampwright.region import CircuitDemand, MotorDemand
from ampwright.single_phase import (
    RESISTIVE,
    OnePhase,
    about_linked,
    asked_of_linked,
    fed,
    linked,
)
from ampwright.step import HERE, Figure, Worksheet
from ampwright.tables import Source

ENDING = "single-phase"
POWER = Source(document="definition of apparent power", known="derived")


class Parted(NamedTuple):
    """One machine in two parts.

    Attributes:
        whole: The machine.
        rest: What is left of it for a method that converts.
        loads: Its loads that stay on the panel; its single-phase motors do so, too.
    """

    whole: MachineCase
    rest: MachineCase
    loads: tuple[LoadCase, ...]

    @property
    def divided(self) -> bool:
        """Something of it stays on the panel."""
        return self.rest is not self.whole


def takes_one_phase(machine: MachineCase) -> bool:
    """Tell whether nothing of *machine* takes three phases."""
    return not machine.motors and all(one.load.phases == 1 for one in machine.loads)


def linkable(load: LoadCase) -> bool:
    """Tell whether a three-phase load can be linked for one phase, as far as anybody knows."""
    three = load.load.phases == 3 and load.load.kind in RESISTIVE
    return three and load.single_phase is not None


def parted(machine: MachineCase, *, heat: str) -> Parted:
    """Return *machine* in two parts.

    Args:
        machine: The machine.
        heat: Which of the three-phase heaters beside a motor stay on the panel: ``"stated"``, those
            that someone said can be relinked; ``"none"``; ``"all"`` that can be.
    """
    aside = tuple(
        one
        for one in machine.loads
        if one.load.phases == 1
        or (
            bool(machine.motors)
            and linkable(one)
            and (heat == "all" or (heat == "stated" and one.load.relinkable is True))
        )
    )
    left = tuple(one for one in machine.loads if one not in aside)
    if not (machine.motors or left) or not (aside or machine.single_phase):
        return Parted(machine, machine, ())
    return Parted(machine, attrs.evolve(machine, single_phase=(), loads=left), aside)


def ways(machines: Sequence[MachineCase]) -> tuple[tuple[Parted, ...], ...]:
    """Return the ways to part *machines*, the likeliest first."""
    found: dict[tuple[int, ...], tuple[Parted, ...]] = {}
    for heat in ("stated", "none", "all"):
        way = tuple(parted(one, heat=heat) for one in machines)
        found.setdefault(tuple(len(one.loads) for one in way), way)
    return tuple(found.values())


def on_one_leg(machine: MachineCase, case: Case) -> Parted:
    """Return *machine* without what takes line to neutral, where the rest takes more.

    A circuit at the supply's voltage has no neutral that such a part could be fed from.
    """
    other = case.supply.to_neutral
    kept = tuple(one for one in machine.single_phase if fed(one, case) != other)
    loads = tuple(one for one in machine.loads if one.load.phases == 1 and one.voltage == other)
    left = tuple(one for one in machine.loads if one not in loads)
    aside = loads or len(kept) < len(machine.single_phase)
    if other is None or not aside or not (machine.motors or kept or left):
        return Parted(machine, machine, ())
    return Parted(machine, attrs.evolve(machine, single_phase=kept, loads=left), loads)


def unfit(way: Sequence[Parted], case: Case) -> Iterator[Finding]:
    """Yield a reason for each machine of which a single-phase part suits no voltage there is."""
    for one in way:
        if not one.divided:
            continue
        rated = [each.voltage for each in one.whole.single_phase if fed(each, case) is None]
        said = tuple(parameters("rated=V", rated=volts) for volts in rated)
        said += tuple(() for each in one.loads if each.load.phases == 1 and not each.fits)
        for parts in said[:1]:
            yield Finding(code="supply.voltage-mismatch", severity="blocks",
                          where=(one.whole.id,), parameters=parts)  # fmt: skip


def in_case(case: Case, way: Sequence[Parted]) -> Case:
    """Return *case* with the machines as a method is to see them."""
    if not any(one.divided for one in way):
        return case
    rest = {one.whole.id: one.rest for one in way}
    machines = tuple(rest.get(one.id, one) for one in case.machines)
    return attrs.evolve(case, machines=machines)


def weighed(one: Parted, case: Case, sheet: Worksheet) -> Parted:
    """Return *one* with the equal apparent power of what is left of it; its steps go on *sheet*."""
    if not one.divided:
        return one
    part = sheet.under(f"parted/{one.whole.id}")
    aside = tuple(each for each in one.whole.single_phase if each not in one.rest.single_phase)
    gone = apparent(aside, one.loads, case, part.under("aside"))
    left = part.formula("equal_kva", "I_eq", "A", "max(I - A, 0)", I=one.whole.equal_kva, A=gone,
                        source=POWER)  # fmt: skip
    return one._replace(rest=attrs.evolve(one.rest, equal_kva=left))


def parted_at(option: str, machine: str) -> str:
    """Return the path in an option of the equal apparent power that `weighed` states."""
    return f"options/{option}/parted/{machine}/equal_kva"


def from_one_phase(answer: Proposal) -> bool:
    """Tell whether *answer* runs its machines from one phase, so that it can take all of them."""
    return bool(answer.demands) and all(one.phases == 1 for one in answer.demands)


def beside(one: Parted, case: Case) -> Proposal:
    """Return the circuits from the panel for what of a machine is not converted.

    There is one for each voltage: the supply's, and line to neutral. The proposal names no machine,
    as what serves the machine is another one.
    """
    sheet, machine = Worksheet(HERE), one.whole
    heaters = tuple(each for each in one.loads if each.load.phases == 3)
    circuits = tuple(circuits_of(one, case, sheet))
    demands: list[CircuitDemand] = []
    states: list[State] = []
    for each in circuits:
        current, factor = each.current(sheet), each.power_factor(sheet)
        demands.append(each.demand(case, current, factor, sheet))
        states += each.states(case, current, factor, sheet)
    said = [
        Finding(
            code="machine.two-sources",
            severity="caution",
            where=(machine.id,),
            parameters=parameters(circuits=", ".join(each.circuit for each in circuits)),
        ),
        *about_linked(machine, heaters),
    ]
    if heaters:
        said.append(
            Finding(code="machine.resistive-load-no-conversion", severity="info",
                    where=(machine.id,))
        )  # fmt: skip
    return Proposal(
        method="relink" if heaters else "direct",
        machines=(),
        demands=tuple(demands),
        states=tuple(states),
        findings=tuple(said),
        questions=asked_of_linked(machine) if heaters else (),
        steps=sheet.steps,
    )


def circuits_of(one: Parted, case: Case, sheet: Worksheet) -> Iterator[OnePhase]:
    """Yield what each circuit feeds, the one at the supply's voltage first."""
    machine, supply = one.whole, case.supply
    at_supply = (f"{machine.id}.{ENDING}", supply.voltage)
    on_one_leg = (f"{machine.id}.one-leg", supply.to_neutral)
    for name, volts in (at_supply, on_one_leg):
        if volts is None:
            continue
        aside = (each for each in machine.single_phase if each not in one.rest.single_phase)
        motors = tuple(each for each in aside if fed(each, case) == volts)
        taken = [each for each in one.loads if each.voltage == volts]
        loads = tuple(linked(each, case, sheet) for each in taken)
        if motors or loads:
            yield OnePhase(
                machine=machine,
                circuit=f"branch.{name}",
                name=name,
                volts=volts,
                motors=motors,
                loads=loads,
                equal_kva=apparent(motors, taken, case, sheet.under(f"loads/{name}")),
            )


def apparent(
    motors: Sequence[MotorDemand], loads: Sequence[LoadCase], case: Case, part: Worksheet
) -> Figure:
    """State the single-phase current of the same apparent power as the plates state [A]."""
    figures = {"U": case.supply.voltage}
    figures |= {f"v{n}": each.voltage for n, each in enumerate(motors)}
    figures |= {f"i{n}": each.current for n, each in enumerate(motors)}
    figures |= {f"S{n}": each.apparent for n, each in enumerate(loads)}
    terms = [f"v{n} * i{n} / U" for n in range(len(motors))]
    terms += [f"S{n} / U" for n in range(len(loads))]
    return part.formula("equal_kva", "I_eq", "A", " + ".join(terms), figures, source=POWER)
