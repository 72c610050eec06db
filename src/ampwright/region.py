"""What a wiring code is asked, and what it answers."""

from collections.abc import Mapping
from typing import Protocol

import attrs

from ampwright.equipment.circuit import Circuit
from ampwright.equipment.converter import Window
from ampwright.finding import Assumption, Finding, Question
from ampwright.record import Record
from ampwright.records.site import Site
from ampwright.records.supply import Supply
from ampwright.step import Figure, Step
from ampwright.tables import Source, Table


@attrs.frozen(kw_only=True, eq=False, repr=False)
class MotorDemand(Record):
    """One motor, as a wiring rule looks at it.

    Attributes:
        id: Machine id and number of the motor, ``"saw/0"``.
        machine: Id of the machine.
        phases: Phases that it is fed with, 1 or 3.
        power: Rated shaft power [W].
        voltage: Rated voltage of the rating in use [V].
        current: Plate current [A], or what stands for it.
        current_known: ``"plate"``, ``"derived"`` (from the other plate figures) or ``"assumed"``.
        speed: Rated speed [1/min], if known.
        service_factor: Service factor, if stated.
        temperature_rise: Temperature rise [K], if stated.
        locked_rotor_current: Locked-rotor current at rated voltage, upper end of its band [A].
        locked_rotor_known: ``"assumed"`` where that is the usual one of such motors; ``""`` where a
            plate states it or a model of this motor gives it.
        starting_time: How long its own start lasts, where its machine has several motors [s];
            ``None``: as long as that of its circuit.
        design: Design letter, ``""`` if unknown.
        duty: Duty type, ``"S1"`` if not stated.
        overload_fitted: Whether the machine has its own; ``None``: not known.
        largest_leg: Largest leg current while running, from the model [A]; ``None``: not solved.
        multispeed: It is one speed of a motor of several.
        wound_rotor: It has slip rings.
        hermetic: It is sealed in with its compressor; its plate states the rated-load current.
        one_at_a_time: Of the motors of its machine only one runs at a time.
        starter: How it is started, as in the record ``Machine``; ``""``: not known.
        minimum_circuit_current: Minimum circuit ampacity on the plate of hermetic equipment [A].
        largest_device: Largest protective device on the plate of hermetic equipment [A].
        rectified: A rectifier stands between it and its circuit, as in a machine with a drive
            inside.
    """

    id: str
    machine: str
    phases: int
    power: Figure
    voltage: Figure
    current: Figure
    current_known: str = "plate"
    speed: Figure | None = None
    service_factor: Figure | None = None
    temperature_rise: Figure | None = None
    locked_rotor_current: Figure | None = None
    locked_rotor_known: str = ""
    starting_time: Figure | None = None
    design: str = ""
    duty: str = "S1"
    overload_fitted: bool | None = None
    largest_leg: Figure | None = None
    multispeed: bool = False
    wound_rotor: bool = False
    hermetic: bool = False
    one_at_a_time: bool = False
    starter: str = ""
    minimum_circuit_current: Figure | None = None
    largest_device: Figure | None = None
    rectified: bool = False

    @property
    def duty_share(self) -> float:
        """Share of the time that it is switched on, by its duty type; 1 where that does not tell.

        S3 to S5 state it: IEC 60034-1, from memory. In S6 a motor keeps turning between loads.
        """
        kind, _, rest = self.duty.partition(" ")
        number, _, unit = rest.strip().partition(" ")
        known = kind in ("S3", "S4", "S5") and unit == "%" and number.isdigit()
        return min(int(number) / 100.0, 1.0) if known and int(number) else 1.0

    @property
    def duty_share_at(self) -> str:
        """Path of the step that states `duty_share`, where that is less than 1."""
        return f"machines/{self.machine}/motors/{self.id.rpartition('/')[2]}/duty_share"


@attrs.frozen(kw_only=True, eq=False, repr=False)
class LoadDemand(Record):
    """One load that is no motor.

    Attributes:
        id: Machine id and number of the load.
        machine: Id of the machine.
        kind: Kind of the load, as in the record ``Load``.
        phases: 1 or 3.
        current: Current that it draws at the circuit's voltage [A].
        continuous: Runs three hours or more at a stretch.
        duty_cycle: Duty cycle as a fraction, for welders.
        effective_current: Effective supply current on a welder's plate [A]; ``None``: not marked.
        largest_current: Largest supply current on a welder's plate [A]; ``None``: not marked.
        construction: How it is made, where a rule asks for it: ``"arc"`` or ``"resistance"`` of a
            welder, ``"auto"`` or ``"isolating"`` of a transformer; ``""``: nothing tells.
    """

    id: str
    machine: str
    kind: str
    phases: int
    current: Figure
    continuous: bool
    duty_cycle: Figure | None = None
    effective_current: Figure | None = None
    largest_current: Figure | None = None
    construction: str = ""


@attrs.frozen(kw_only=True, eq=False, repr=False)
class ConverterInput(Record):
    """The single-phase input of a converter, as a wiring rule looks at it.

    Attributes:
        id: Id of the converter.
        method: Id of its method.
        kind: ``"phase-converter"`` or ``"drive"``: which article governs.
        current: Rated input current on its plate, given or assumed [A].
        given: The plate was stated by the caller.
        output_voltage: Rated output voltage [V].
        fixed_loads: It serves specific loads only, so the loads themselves may size the supply.
        largest_device: Largest device that its instructions allow [A]; ``None``: not known.
    """

    id: str
    method: str
    kind: str
    current: Figure
    given: bool
    output_voltage: Figure
    fixed_loads: bool
    largest_device: Figure | None = None


@attrs.frozen(kw_only=True, eq=False, repr=False)
class CircuitDemand(Record):
    """One circuit to be sized.

    Attributes:
        id: Id of the circuit inside the option, ``"supply.rotary"``.
        role: One of `ampwright.equipment.circuit.ROLES`.
        feeds: Ids of machines or converters.
        fed_from: Id of the circuit ahead, ``""`` for the panel.
        phases: 1 or 3.
        voltage: Nominal voltage [V].
        frequency: Frequency [Hz].
        length: One-way length [m].
        motors: Motors on it, or behind the converter that it feeds.
        loads: Other loads on it, or behind that converter.
        converter: The converter that it feeds, for the role ``supply``.
        made_leg: One conductor is made by a converter.
        rectified: A rectifier stands behind the transformer that it feeds, and is not parted.
        inverted: Its lines are made by switching from direct current, which a fault can let out.
        own_source: It hangs on windings apart from the supply, an isolating transformer's, which
            are a source of their own with a point earthed there.
        stepped: A transformer of any kind stands ahead of it.
        neutral: It brings a neutral to what it feeds, beside its lines.
        third_harmonic: Third harmonic of the line current, over that current, which a neutral
            returns; ``None``: not known.
        voltage_to_earth: Volts to earth of each conductor, in the order of the legs [V].
        running_current: Current while running, for the drop [A].
        power_factor: Power factor while running.
        starting_current: Current during the worst start [A]; ``None``: none.
        starting_power_factor: Power factor during it.
        starting_time: How long it lasts, upper edge [s]; ``None``: not reckoned.
        starting_drop_limit: Largest starting drop along this circuit, over nominal, that the start
            bears; ``None``: any.
        lowest_running: Lowest voltage between its lines in any running state, where a converter
            makes one of them [V]; ``None``: not reckoned.
        longest_start: How long the longest start behind that converter lasts [s]; ``None``: not
            reckoned.
        drop_ahead: Drop between the source and the head of this circuit, a fraction.
        fault_largest: Largest fault current at its head [A]; ``None``: not known.
        fault_source: Smallest earth-fault current that its head can feed into a bolted fault on the
            weakest leg [A]; ``None``: not known. The impedance of the circuit comes on top, and
            `fault_path`.
        fault_path: What conductors and windings between that source and the head of this circuit
            add to the loop of such a fault, seen at the voltage of this circuit [ohm]; ``None``:
            none.
        sole_machine: It feeds one machine only.
        cord: It ends in a cord with plug.
    """

    id: str
    role: str
    feeds: tuple[str, ...]
    fed_from: str = ""
    phases: int
    voltage: Figure
    frequency: Figure
    length: Figure
    motors: tuple[MotorDemand, ...] = ()
    loads: tuple[LoadDemand, ...] = ()
    converter: ConverterInput | None = None
    made_leg: bool = False
    rectified: bool = False
    inverted: bool = False
    own_source: bool = False
    stepped: bool = False
    neutral: bool = False
    third_harmonic: Figure | None = None
    voltage_to_earth: tuple[Figure, ...] = ()
    running_current: Figure
    power_factor: Figure
    starting_current: Figure | None = None
    starting_power_factor: Figure | None = None
    starting_time: Figure | None = None
    starting_drop_limit: Figure | None = None
    lowest_running: Figure | None = None
    longest_start: Figure | None = None
    drop_ahead: Figure | None = None
    fault_largest: Figure | None = None
    fault_source: Figure | None = None
    fault_path: Figure | None = None
    sole_machine: bool = True
    cord: bool = False

    @property
    def feeds_on(self) -> bool:
        """Other circuits, whose faults a device of their own has to clear, are fed from it."""
        if self.converter is not None and self.converter.kind == "drive":
            return False
        stepping = any(one.kind == "transformer" for one in self.loads)
        return stepping or self.role in ("supply", "output", "idler")


@attrs.frozen(kw_only=True, eq=False, repr=False)
class CircuitAnswer(Record):
    """A circuit that was sized, or why it could not be.

    Attributes:
        circuit: The circuit, its steps in it; ``None`` where no standard size suffices.
        windows: Inside which plate input currents it stays right, for a ``supply`` circuit.
        findings: What there is to say about it; one that blocks where ``circuit`` is ``None``.
        assumptions: What it rests on.
        questions: What has to be asked.
        steps: How the numbers of what is said came about, where ``circuit`` is ``None``.
        line: Impedance of one line conductor from end to end, hot, where other circuits are fed
            from this one [ohm].
        protective: The same of its protective conductor [ohm].
    """

    circuit: Circuit | None
    windows: tuple[Window, ...] = ()
    findings: tuple[Finding, ...] = ()
    assumptions: tuple[Assumption, ...] = ()
    questions: tuple[Question, ...] = ()
    steps: tuple[Step, ...] = ()
    line: Figure | None = None
    protective: Figure | None = None


@attrs.frozen(kw_only=True, eq=False, repr=False)
class ExistingLoad(Record):
    """The load that is there already, calculated from what was stated of a dwelling.

    Attributes:
        load: Calculated load [A]; ``None``: it cannot be calculated, and the findings say why.
        rule: Id of the rule that it is calculated by.
        motor: Current of its largest motor, where the rule asks for a share of it on top [A].
        steps: How the numbers came about.
        findings: What there is to say.
        assumptions: What it rests on.
        questions: What has to be asked.
    """

    load: Figure | None
    rule: str = ""
    motor: Figure | None = None
    steps: tuple[Step, ...] = ()
    findings: tuple[Finding, ...] = ()
    assumptions: tuple[Assumption, ...] = ()
    questions: tuple[Question, ...] = ()


@attrs.frozen(kw_only=True, eq=False, repr=False)
class ServiceDemand(Record):
    """What the plan adds to the service.

    Attributes:
        prefix: Where the steps of the answer stand in the plan.
        voltage: Nominal voltage of the service [V].
        running: Current of each thing that may run at once, by circuit id [A].
        starting_current: Largest current during the worst start, all that runs included [A]. It is
            for countries that limit it; the built-in families leave starts to the planner, which
            holds them against transformer, operator's limit and drop of the supply.
        circuits: All circuits, sized; the panel feeds those with no circuit ahead of them.
        existing: What this region answered on the load of a dwelling; ``None``: none was stated, or
            the region does not calculate it.
    """

    prefix: str
    voltage: Figure
    running: tuple[tuple[str, Figure], ...]
    starting_current: Figure | None = None
    circuits: tuple[Circuit, ...] = ()
    existing: ExistingLoad | None = None


@attrs.frozen(kw_only=True, eq=False, repr=False)
class ServiceAnswer(Record):
    """Whether the service bears it.

    Attributes:
        enough: The calculated load is within the rating; ``None``: the rating is not known.
        load_a: Calculated load, existing load included [A].
        spare_a: Rating less load [A], negative where it is exceeded; ``None``: rating not known.
        circuit: The existing feeder, checked; ``None`` where none was stated.
        steps: How the numbers came about.
        findings: What there is to say.
        assumptions: What it rests on.
        questions: What has to be asked.
    """

    enough: bool | None
    load_a: float
    spare_a: float | None
    circuit: Circuit | None = None
    steps: tuple[Step, ...] = ()
    findings: tuple[Finding, ...] = ()
    assumptions: tuple[Assumption, ...] = ()
    questions: tuple[Question, ...] = ()


class Region(Protocol):
    """The wiring code of a country or standard, in one edition.

    A region answers what it is asked and refuses with findings; it never raises for a job that
    cannot be done. It keeps no state between questions.

    Four further parts are optional. ``existing(supply, place)`` returns the `ExistingLoad` of the
    dwelling that the supply states, its steps below *place*, or ``None`` where the code has no way
    of calculating it; a region without it has none. ``stated`` holds what the code states beside
    its tables, for the check of its family. ``clauses`` maps codes of findings that the planner
    makes itself on machines with motors, such as ``machine.two-sources``, to the id of the rule
    behind them. ``check(decision)`` is a check of its own in the place
    of that one: it returns findings about the circuits of a plan.
    """

    @property
    def id(self) -> str:
        """Stable id, lower case: ``"us"``."""

    @property
    def edition(self) -> str:
        """Edition in force for this object, for example ``"2023"``."""

    @property
    def editions(self) -> tuple[str, ...]:
        """Editions that can be asked for, the default first."""

    @property
    def family(self) -> str:
        """Family of codes that it belongs to, ``"nec"`` or ``"iec"``."""

    @property
    def title(self) -> str:
        """Name of the code and edition as a report prints it."""

    @property
    def terms(self) -> Mapping[str, str]:
        """Words of this code for what a report names: ``protective-conductor`` and the like."""

    @property
    def rules(self) -> Mapping[str, Source]:
        """Source of every rule id that its steps and findings name."""

    @property
    def tables(self) -> Mapping[str, Table]:
        """Every table that its steps read, by id."""

    def in_edition(self, edition: str) -> "Region":
        """Return this region in one of its `editions`; raises ``KeyError`` for another."""

    def includes(self, supply: Supply) -> bool:
        """Tell whether supplies of this kind (arrangement, voltage, frequency) exist under it."""

    def circuit(
        self, demand: CircuitDemand, site: Site, supply: Supply, place: str
    ) -> CircuitAnswer:
        """Size one circuit; its steps stand below *place*, ``options/<id>/circuits/<circuit>``."""

    def service(self, demand: ServiceDemand, site: Site, supply: Supply) -> ServiceAnswer:
        """Check the service, or the existing feeder, against what is added to it."""
