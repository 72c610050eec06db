"""What methods are asked about: the shop read, completed and put into the models' terms."""

from collections.abc import Iterable, Mapping

import attrs

from ampwright.finding import Assumption, Finding, Question
from ampwright.kernels.induction import InductionCircuit
from ampwright.kernels.network import LoadLaw, Source
from ampwright.record import Record
from ampwright.records.load import Load
from ampwright.records.machine import Machine
from ampwright.records.motor import Motor
from ampwright.records.shop import Shop
from ampwright.region import ExistingLoad, LoadDemand, MotorDemand
from ampwright.step import Figure, Step, Worksheet
from ampwright.tables import Source as TableSource

VOLTAGE_TOLERANCE = 0.10  # of rated voltage: IEC 60034-1 and NEMA MG 1 for short times, from memory


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Linking(Record):
    """One voltage that a motor can be linked for, at the frequency and power in use.

    Attributes:
        voltage: Rated voltage; of a range, its last figure [V].
        voltage_from: Where the range begins [V]; ``None`` where it is none.
        current: Rated current on the plate [A]; ``None`` where it is missing or contradicted.
    """

    voltage: Figure
    voltage_from: Figure | None = None
    current: Figure | None = None

    def nearest(self, supply_v: float) -> float:
        """Return the rated voltage nearest *supply_v* [V]."""
        ends = (self.voltage.value, (self.voltage_from or self.voltage).value)
        return min(max(supply_v, min(ends)), max(ends))

    def suits(self, supply_v: float) -> bool:
        """Tell whether a supply of *supply_v* is within a tenth of its voltage."""
        return abs(supply_v / self.nearest(supply_v) - 1.0) <= VOLTAGE_TOLERANCE + 1e-9


@attrs.frozen(kw_only=True, eq=False, repr=False)
class MotorCase(Record):
    """One motor, completed, with its model.

    Attributes:
        demand: The motor as a wiring rule looks at it, at the voltage it will be linked for.
        motor: The caller's record, or the one read from the plate.
        frequency: Rated frequency of the rating in use [Hz].
        efficiency: Rated efficiency, stated or typical.
        power_factor: Rated power factor, stated, derived or typical.
        circuit: Equivalent circuit at the supply's frequency.
        low: The same at the edge of its band with the least torque and most current.
        high: The same at the other edge.
        start_torque: Locked-rotor torque on a balanced supply, with its band [N m].
        rated_torque: Torque at rated power [N m].
        load: Torque of the load over speed, as it runs.
        run_up: The same while it runs up, with what it asks at standstill.
        breakaway: Torque that the load asks for at standstill [N m].
        inertia: Inertia of motor and load [kg m2].
        relinked: It has to be linked for another voltage than it is linked for now.
        fits: One of its ratings suits the supply without a transformer.
        linkings: What else it can be linked for, the rating in use included; empty where the plate
            states no voltage.
        place: Path below which the steps of its circuit stand; ``""``: by machine and number.
        ratio: Voltage ahead of a transformer of its own over the voltage behind it, where these
            figures are those seen from ahead; ``None``: there is none.
    """

    demand: MotorDemand
    motor: Motor
    frequency: Figure
    efficiency: Figure
    power_factor: Figure
    circuit: InductionCircuit
    low: InductionCircuit
    high: InductionCircuit
    start_torque: Figure
    rated_torque: Figure
    load: LoadLaw
    run_up: LoadLaw
    breakaway: Figure
    inertia: Figure
    relinked: bool | None
    fits: bool
    linkings: tuple[Linking, ...] = ()
    place: str = ""
    ratio: Figure | None = None

    @property
    def stands_at(self) -> str:
        """Path below which the steps of its circuit stand."""
        machine, number = self.demand.machine, self.demand.id.rpartition("/")[2]
        return self.place or f"machines/{machine}/motors/{number}"

    def linking(self, supply_v: float) -> Linking | None:
        """Return what it is linked for on a supply of *supply_v*; ``None`` where nothing suits."""
        suited = [one for one in self.linkings if one.suits(supply_v)]
        return min(
            suited, key=lambda one: abs(supply_v / one.nearest(supply_v) - 1.0), default=None
        )


@attrs.frozen(kw_only=True, eq=False, repr=False)
class LoadCase(Record):
    """One load that is no motor.

    Attributes:
        load: The caller's record, or the one read from the plate.
        three_phase: The load as it stands, on three lines.
        voltage: What it is, or would be, fed with: the supply's volts, or those of a line and the
            neutral, where it is made for these [V].
        single_phase: The same linked for the single-phase supply; ``None`` where it cannot be.
        apparent: Rated apparent power, as its plate states it [VA].
        power: Power at the supply's voltage as linked [W].
        fits: Its voltage suits the supply.
    """

    load: Load
    voltage: Figure
    three_phase: LoadDemand
    single_phase: LoadDemand | None
    apparent: Figure
    power: Figure
    fits: bool


@attrs.frozen(kw_only=True, eq=False, repr=False)
class MachineCase(Record):
    """One machine, completed.

    Attributes:
        machine: The caller's record.
        motors: Its three-phase motors.
        single_phase: Its single-phase motors, as a wiring rule looks at them.
        loads: Its other loads.
        length: One-way length of cable that serves it [m].
        hours: Hours a year [h].
        average_load: Average load while it runs, over rated.
        equal_kva: Single-phase current of the same apparent power at the supply's voltage [A].
    """

    machine: Machine
    motors: tuple[MotorCase, ...]
    single_phase: tuple[MotorDemand, ...] = ()
    loads: tuple[LoadCase, ...]
    length: Figure
    hours: Figure
    average_load: Figure
    equal_kva: Figure

    @property
    def id(self) -> str:
        """The caller's id."""
        return str(self.machine.id)

    def states(self, field: str, value: str) -> bool:
        """Tell whether *field* of the caller's machine is, or holds, *value*; unknown is not."""
        found = getattr(self.machine, field)
        if isinstance(found, bool | None):
            return found is not None and str(found).lower() == value
        return value in found if isinstance(found, tuple) else found == value

    @property
    def simultaneous_motors(self) -> tuple[MotorCase, ...]:
        """The motors that run at once: all, or the largest where only one runs at a time."""
        if not self.machine.motors_one_at_a_time or not self.motors:
            return self.motors
        return (max(self.motors, key=lambda one: one.demand.current.value),)


@attrs.frozen(kw_only=True, eq=False, repr=False)
class SupplyCase(Record):
    """The single-phase supply at the panel.

    Attributes:
        source: The supply as the network model takes it.
        voltage: Nominal voltage between its two conductors [V].
        highest: Highest voltage that has to be reckoned with [V].
        lowest: Lowest voltage that has to be reckoned with [V].
        frequency: Frequency [Hz].
        impedance: Magnitude of the loop impedance up to the panel [ohm].
        resistance: Resistance of that loop [ohm].
        reactance: Reactance of that loop [ohm].
        voltage_to_earth: Volts to earth of its two conductors [V].
        to_neutral: Volts between a line and the neutral that comes beside both conductors [V];
            ``None`` where none does.
        fault_largest: Largest fault current at the panel [A]; ``None``: not known.
    """

    source: Source
    voltage: Figure
    highest: Figure
    lowest: Figure
    frequency: Figure
    impedance: Figure
    resistance: Figure
    reactance: Figure
    voltage_to_earth: tuple[Figure, Figure]
    to_neutral: Figure | None = None
    fault_largest: Figure | None


@attrs.frozen(kw_only=True, eq=False, repr=False)
class RunningSet(Record):
    """Machines that run at once.

    Attributes:
        id: ``"set-1"`` and so on, in the order stated, or ``"all"``.
        machines: Ids of the machines.
    """

    id: str
    machines: tuple[str, ...]


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Bound(Record):
    """A limit that the plan holds to.

    Attributes:
        value: The limit.
        unit: Its unit.
        source: Where it stands, or who stated it.
    """

    value: float
    unit: str
    source: TableSource


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Case(Record):
    """A whole shop, completed.

    Attributes:
        shop: What the caller stated.
        supply: The supply.
        machines: The machines, in the caller's order.
        sets: What runs at once.
        limits: Limits that methods hold to, by name, each with its step.
        years: Years over which what costs a year is weighed against what costs once.
        existing: What the wiring code calculates for a dwelling on the same supply; ``None``: none
            was stated, or the code does not calculate it.
        steps: How the numbers above came about.
        findings: What the plates and the statement gave cause to say.
        assumptions: What had to be assumed.
        questions: What should be asked.
    """

    shop: Shop
    supply: SupplyCase
    machines: tuple[MachineCase, ...]
    sets: tuple[RunningSet, ...]
    limits: Mapping[str, Figure]
    years: Figure
    existing: ExistingLoad | None = None
    steps: tuple[Step, ...] = ()
    findings: tuple[Finding, ...] = ()
    assumptions: tuple[Assumption, ...] = ()
    questions: tuple[Question, ...] = ()

    def machine(self, name: str) -> MachineCase:
        """Return the machine with the id *name*."""
        return next(one for one in self.machines if one.id == name)

    def stated_at(self, name: str) -> str:
        """Return the path of the caller's statement of a machine; a copy has that of its kind."""
        own = any(one.id == name for one in self.shop.machines)
        return f"shop/machines/{name if own else name.rpartition(':')[0]}"


def circuit_values(circuit: InductionCircuit) -> list[tuple[str, float]]:
    """Return name and value of what a plan states of *circuit*; of a transformer where one is."""
    stated = list(circuit._asdict().items())
    return stated if circuit.series_ohm else stated[:-1]


def circuit_figures(
    sheet: Worksheet,
    circuit: InductionCircuit,
    source: TableSource,
    residual: float,
    inputs: Iterable[tuple[str, Figure]],
) -> tuple[tuple[str, Figure], ...]:
    """Put every value of an equivalent circuit on *sheet*, so that a model can be put back into it.

    Args:
        sheet: Where the values stand, under the names of the circuit's fields.
        circuit: The circuit.
        source: What it was identified by.
        residual: Largest relative miss of what it was fitted to.
        inputs: What it was fitted to.

    Returns:
        Name and figure of each value.
    """
    units = {"ohm": "ohm", "w": "W", "a": "A", "hz": "Hz"}
    given = tuple(inputs)
    made = []
    for name, value in circuit_values(circuit):
        unit = units.get(name.rpartition("_")[2], "")
        figure = sheet.solved(
            name,
            name,
            float(value),
            unit,
            model="identified circuit",
            source=source,
            residual=residual,
            inputs=given,
        )
        made.append((name, figure))
    return tuple(made)
