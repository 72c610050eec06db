"""A conversion method, and what it answers."""

from collections.abc import Sequence
from typing import Protocol

import attrs

from ampwright.case import Case, MachineCase
from ampwright.equipment.circuit import Circuit
from ampwright.equipment.converter import Converter
from ampwright.equipment.transformer import Transformer
from ampwright.finding import Assumption, Finding, Question
from ampwright.record import Record
from ampwright.region import CircuitDemand
from ampwright.step import Step


@attrs.frozen(kw_only=True, eq=False, repr=False)
class MotorState(Record):
    """One motor at an operating point.

    Attributes:
        id: Machine id and number of the motor; the idler has the id of its converter.
        slip: Slip.
        torque_nm: Shaft torque [N m].
        shaft_w: Shaft power [W].
        current_a: Current of the three lines [A].
        winding_fraction: Largest winding current, over its rated value.
        usable_fraction: Power that it may give continuously here, over its rated power.
        stalled: It cannot hold its load at this point.
    """

    id: str
    slip: float
    torque_nm: float
    shaft_w: float
    current_a: tuple[float, float, float]
    winding_fraction: float
    usable_fraction: float
    stalled: bool


@attrs.frozen(kw_only=True, eq=False, repr=False)
class State(Record):
    """One operating point of a converter, or of the whole single-phase side.

    Attributes:
        id: Converter id and set, ``"rotary/set-1"``; ``"supply/set-1"`` for the whole.
        set: Id of the running set; ``"idle"`` for nothing running, ``"both-idle"`` for nothing but
            an idler that joins beside the first.
        load: ``"full"``: each motor gives its rated power; ``"average"``: its average load.
        converter: Id of the converter, ``""`` for the whole supply.
        running: Ids of the machines that run.
        line_voltage_v: Line voltages ab, bc, ca, where c is the made leg [V].
        leg_to_earth_v: Volts to earth of the legs a, b, c [V].
        negative_sequence_fraction: Negative over positive sequence of the voltages.
        deviation_fraction: Largest deviation of a line voltage from their mean, over the mean.
        input_current_a: Current drawn from the supply [A].
        input_power_w: Power drawn [W].
        input_power_factor: Power factor, distortion included where the method distorts.
        losses_w: Input less shaft and load power [W].
        equal_kva_current_a: Single-phase current of the same apparent power as the machines' plates
            state, at the supply's voltage [A].
        motors: The motors, the idler included.
    """

    id: str
    set: str
    load: str = attrs.field(default="full", validator=attrs.validators.in_(("full", "average")))
    converter: str
    running: tuple[str, ...]
    line_voltage_v: tuple[float, ...] = ()
    leg_to_earth_v: tuple[float, ...] = ()
    negative_sequence_fraction: float | None = None
    deviation_fraction: float | None = None
    input_current_a: float
    input_power_w: float
    input_power_factor: float
    losses_w: float
    equal_kva_current_a: float
    motors: tuple[MotorState, ...] = ()


@attrs.frozen(kw_only=True, eq=False, repr=False)
class MotorStart(Record):
    """The start of one motor of a machine of several, as its own overload sees it.

    Attributes:
        id: Machine id and number of the motor.
        time_s: Run-up time; ``None`` where it does not run up or none was reckoned [s].
        motor_current_a: Current in its largest line, the root mean square over the run-up;
            ``None``: not reckoned [A].
        motor_peak_a: Largest current in its largest line; ``None``: not reckoned [A].
        overload_trips: Its overload would open; ``None``: not judged.
    """

    id: str
    time_s: float | None = None
    motor_current_a: float | None = None
    motor_peak_a: float | None = None
    overload_trips: bool | None = None


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Start(Record):
    """The start of one machine, with what already runs.

    Attributes:
        id: Machine id, or converter id for the start of an idler.
        converter: Id of the converter, ``""`` for none.
        runs_up: It reaches its running speed, judged at the lower edge of the torque band.
        time_s: Run-up time; ``None`` where it does not run up or none was reckoned [s].
        lowest_voltage_v: Lowest line voltage at the machine during the start [V].
        current_a: Largest current drawn from the supply by the start and by what runs [A].
        motor_current_a: Current in the motor's largest line, its root mean square over the run-up;
            ``None``: not reckoned [A].
        motor_peak_a: Largest current in the motor's largest line; ``None``: not reckoned [A].
        torque_nm: Torque at standstill, lower edge of its band [N m].
        needed_torque_nm: Torque that the load asks for there [N m].
        device_trips: The branch device would open; ``None``: not judged.
        overload_trips: The overload, or one of several, would open; ``None``: not judged.
        motors: Each motor of a machine of several, as it starts; empty where the machine has one.
    """

    id: str
    converter: str
    runs_up: bool
    time_s: float | None
    lowest_voltage_v: float
    current_a: float
    motor_current_a: float | None = None
    motor_peak_a: float | None = None
    torque_nm: float | None = None
    needed_torque_nm: float | None = None
    device_trips: bool | None = None
    overload_trips: bool | None = None
    motors: tuple[MotorStart, ...] = ()


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Limit(Record):
    """One constraint on one sized thing.

    Attributes:
        id: Sized thing and constraint, ``"rotary/start-torque"``.
        subject: Id of what is sized.
        constraint: Slug of the constraint.
        asks: Smallest standard size that meets this constraint alone; ``None``: none does.
        unit: Unit of *asks*.
        governs: It asks for the size that was chosen.
        cross_check: It is a rule of thumb, shown beside the others and never governing.
    """

    id: str
    subject: str
    constraint: str
    asks: float | None
    unit: str
    governs: bool
    cross_check: bool = False


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Cost(Record):
    """One cost of an option, as a range.

    Attributes:
        id: What it is for, by id.
        kind: ``"purchase"`` or ``"installation"``, once; ``"energy"``, ``"idle"`` or
            ``"standing"``, a year.
        low: Lower edge.
        high: Upper edge.
        currency: Currency, ISO 4217.
    """

    id: str
    kind: str
    low: float
    high: float
    currency: str


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Proposal(Record):
    """One method, sized for certain machines. Paths of its steps begin at `ampwright.step.HERE`.

    Attributes:
        method: Id of the method.
        machines: Ids of the machines, in the shop's order; none where it serves parts only of
            machines that another one serves.
        converters: What is to be bought or kept.
        transformers: Transformers that go with it.
        demands: The circuits that the wiring code has to size.
        states: Operating points, one a running set, and one with nothing running.
        starts: The start of each machine.
        limits: What each constraint asks for.
        sequence: Ids in the order of starting.
        apart: Sets of machines that may not start or run together.
        costs: What it costs to buy and install and stands for a year, where the method knows
            better than a price by rating; their steps stand below ``~/costs``.
        own_supply: It is fed by a supply of its own, so that nothing of it loads the single-phase
            one.
        findings: What there is to say; one that blocks makes the machines infeasible this way.
        assumptions: What it rests on.
        questions: What should be asked.
        steps: How the numbers came about.
    """

    method: str
    machines: tuple[str, ...]
    converters: tuple[Converter, ...] = ()
    transformers: tuple[Transformer, ...] = ()
    demands: tuple[CircuitDemand, ...] = ()
    states: tuple[State, ...] = ()
    starts: tuple[Start, ...] = ()
    limits: tuple[Limit, ...] = ()
    sequence: tuple[str, ...] = ()
    apart: tuple[tuple[str, ...], ...] = ()
    costs: tuple[Cost, ...] = ()
    own_supply: bool = False
    findings: tuple[Finding, ...] = ()
    assumptions: tuple[Assumption, ...] = ()
    questions: tuple[Question, ...] = ()
    steps: tuple[Step, ...] = ()


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Refusal(Record):
    """Why a method does not serve certain machines.

    Attributes:
        method: Id of the method.
        machines: Ids of the machines.
        reasons: Findings that say why.
    """

    method: str
    machines: tuple[str, ...]
    reasons: tuple[Finding, ...]


class ConversionMethod(Protocol):
    """A way to run three-phase machines from a single-phase supply.

    A method refuses with reasons; it does not raise for a job that it cannot do. It keeps no state
    between questions: the same question gets the same answer. One that sets the speed of its motors
    has an attribute ``sets_speed`` that is true.
    """

    @property
    def id(self) -> str:
        """Stable name in requests, plans and messages: lower case, hyphens."""

    @property
    def shared(self) -> bool:
        """One piece of equipment may serve several machines."""

    @property
    def converts(self) -> bool:
        """It makes or brings three-phase, or exchanges what needs it.

        ``False`` where the load is fed from the supply as it is.
        """

    def answer(self, case: Case, machines: Sequence[MachineCase]) -> Proposal | Refusal:
        """Size the method for *machines*, all on one piece of equipment; or refuse.

        A method that is not *shared* is asked for one machine at a time. One that *converts* sees
        the three-phase parts of a machine only; where it runs them from one phase, it is asked once
        more about the whole.
        """

    def settle(self, case: Case, proposal: Proposal, circuits: Sequence[Circuit]) -> Proposal:
        """Return *proposal* with states and starts as they are behind the chosen *circuits*.

        Return *proposal* itself where the conductors change nothing.
        """
