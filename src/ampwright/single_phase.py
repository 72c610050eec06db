"""What takes one phase from the supply as it is: its circuit, and what it draws."""

from collections.abc import Iterator, Sequence

import attrs

from ampwright.case import Case, LoadCase, MachineCase
from ampwright.finding import Finding, Question, parameters
from ampwright.method import State
from ampwright.region import CircuitDemand, LoadDemand, MotorDemand
from ampwright.step import Figure, Worksheet
from ampwright.tables import Source

RESISTIVE = ("resistive", "lamp")
TOLERANCE = 0.10
PRACTICE = Source(document="common practice", known="practice")
SUM = Source(document="arithmetic sum of currents, on the safe side", known="derived")
SAME = Source(document="the same power by elements for this voltage", known="derived")


def fed(motor: MotorDemand, case: Case) -> Figure | None:
    """Return what a motor is fed with, if one suits: the supply's volts or line to neutral."""
    offered = (case.supply.voltage, case.supply.to_neutral)
    known = [one for one in offered if one is not None]
    suits = [one for one in known if abs(motor.voltage.value / one.value - 1.0) <= TOLERANCE]
    return next(iter(suits), None)


def linked(load: LoadCase, case: Case, sheet: Worksheet) -> LoadDemand:
    """Return what a heater draws from one phase: new elements give the power on its plate.

    Raises:
        ValueError: It cannot be linked for one phase.
    """
    drawn = load.single_phase
    if drawn is None:
        raise ValueError("a load that cannot be linked was refused before")
    if load.fits:
        return drawn
    part = sheet.under(f"elements/{drawn.id}")
    current = part.formula("current", "I", "A", "S / U", S=load.apparent, U=case.supply.voltage,
                           source=SAME)  # fmt: skip
    return attrs.evolve(drawn, current=current)


def about_linked(machine: MachineCase, loads: Sequence[LoadCase]) -> Iterator[Finding]:
    """Yield the condition that elements of *loads* for another voltage are exchanged."""
    if not all(one.fits for one in loads):
        said = parameters(what="heating-elements")
        yield Finding(code="machine.needs-change", severity="caution", where=(machine.id,),
                      parameters=said)  # fmt: skip


def asked_of_linked(machine: MachineCase) -> tuple[Question, ...]:
    """Return the question whether a heater can be relinked, where nobody said so."""
    return tuple(
        Question(
            code="machine.relinkable",
            field=f"machines.{machine.id}.loads[{n}].relinkable",
            where=(machine.id,),
            changes="method",
            choices=("true", "false"),
        )
        for n, one in enumerate(machine.loads)
        if one.load.phases == 3 and one.load.kind in RESISTIVE and one.load.relinkable is None
    )


@attrs.frozen(kw_only=True)
class OnePhase:
    """What one circuit feeds with one phase.

    Attributes:
        machine: The machine that all of it belongs to.
        circuit: Id of the circuit.
        name: Name of the whole in paths of steps and in ids of states: the machine's id, or one
            that begins with it.
        volts: Voltage of the circuit: the supply's, or line to neutral [V].
        motors: Its motors.
        loads: Its other loads.
        equal_kva: Single-phase current of the same apparent power as the plates state [A].
    """

    machine: MachineCase
    circuit: str
    name: str
    volts: Figure
    motors: tuple[MotorDemand, ...]
    loads: tuple[LoadDemand, ...]
    equal_kva: Figure

    def current(self, sheet: Worksheet) -> Figure:
        """State the sum of all its currents [A]."""
        terms = {f"M{n}": one.current for n, one in enumerate(self.motors)}
        terms |= {f"L{n}": one.current for n, one in enumerate(self.loads)}
        part = sheet.under(f"loads/{self.name}")
        return part.formula("current", "I", "A", " + ".join(terms), terms, source=SUM)

    def power_factor(self, sheet: Worksheet) -> Figure:
        """State its power factor: the usual one of motors, or of other loads."""
        usual = 0.8 if self.motors else 1.0
        part = sheet.under(f"loads/{self.name}")
        return part.assumed("power_factor", "cos phi", usual, "", source=PRACTICE, low=0.6,
                            high=1.0)  # fmt: skip

    def demand(
        self, case: Case, current: Figure, factor: Figure, sheet: Worksheet
    ) -> CircuitDemand:
        """Return its branch circuit from the panel."""
        part = sheet.under(f"loads/{self.name}")
        to_earth = case.supply.voltage_to_earth
        if self.volts is not case.supply.voltage:
            neutral = part.formula("neutral_to_earth", "U_0", "V", "0 * U", U=self.volts)
            to_earth = (self.volts, neutral)
        locked = {
            f"S{n}": one.locked_rotor_current
            for n, one in enumerate(self.motors)
            if one.locked_rotor_current is not None
        }
        most = f"max({', '.join(locked)})" if len(locked) > 1 else "".join(locked)
        return CircuitDemand(
            id=self.circuit,
            role="branch",
            feeds=(self.machine.id,),
            phases=1,
            voltage=self.volts,
            frequency=case.supply.frequency,
            length=self.machine.length,
            motors=self.motors,
            loads=self.loads,
            voltage_to_earth=to_earth,
            running_current=current,
            power_factor=factor,
            starting_current=part.formula("starting_current", "I_LR", "A", most, locked)
            if locked
            else None,
            starting_power_factor=factor if locked else None,
            fault_largest=case.supply.fault_largest,
        )

    def states(
        self, case: Case, current: Figure, factor: Figure, sheet: Worksheet
    ) -> tuple[State, ...]:
        """Return what it draws while each set that holds its machine runs."""
        return tuple(
            self._state(case, (current, factor), running.id, sheet)
            for running in case.sets
            if self.machine.id in running.machines
        )

    def _state(
        self, case: Case, drawing: tuple[Figure, Figure], running: str, sheet: Worksheet
    ) -> State:
        """Return what it draws while the set *running* runs.

        What hangs on one leg counts by its power, as if such machines were spread over both legs.
        """
        (current, factor), volts = drawing, self.volts
        name = f"{self.name}/{running}"
        part = sheet.under(f"states/{name}")
        if volts is case.supply.voltage:
            drawn = part.formula("input_current_a", "I", "A", "I", I=current)
        else:
            drawn = part.formula("input_current_a", "I", "A", "I * V / U", I=current, V=volts,
                                 U=case.supply.voltage)  # fmt: skip
        power = part.formula("input_power_w", "P", "W", "U * I * c", U=volts, I=current, c=factor)
        cosine = part.formula("input_power_factor", "lambda", "", "c", c=factor)
        lost = part.formula("losses_w", "P_loss", "W", "0 * P", P=power)
        alike = part.formula("equal_kva_current_a", "I_eq", "A", "I", I=self.equal_kva)
        return State(
            id=name,
            set=running,
            converter=self.name,
            running=(self.machine.id,),
            input_current_a=drawn.value,
            input_power_w=power.value,
            input_power_factor=cosine.value,
            losses_w=lost.value,
            equal_kva_current_a=alike.value,
        )
