"""Whatever makes three-phase: idler set, capacitor set, drive, electronic converter."""

import attrs

from ampwright.equipment.capacitor import Capacitor
from ampwright.record import Record


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Window(Record):
    """How far the real plate may lie from the assumed one before a circuit must be sized anew.

    Attributes:
        id: Id of the circuit concerned.
        part: The part that gives way first: ``"conductor"``, ``"device"`` or ``"disconnect"``.
        largest_input_current_a: Largest plate input current for which the circuit stays right [A].
        smallest_input_current_a: Smallest plate input current for which it stays allowed [A].
    """

    id: str
    part: str
    largest_input_current_a: float
    smallest_input_current_a: float


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Converter(Record):
    """One converter and the plate that the plan expects of it.

    Attributes:
        id: Id inside the option, by method and machines served.
        method: Id of the method.
        machines: Ids of the machines served.
        rating_w: Rated motor load [W]; ``None`` where it is rated in VA.
        rating_va: Rated apparent power [VA]; ``None`` where it is rated in W.
        idler_power_w: Rated power of the idler motor, of several side by side their sum [W].
        idlers: How many equal idlers stand side by side; ``None``: one, or none at all.
        joins: Id of the converter on whose output its idler is switched in; ``None``: it stands
            for itself. What it draws and loses is then on top of what that one does alone.
        input_voltage_v: Rated input voltage [V].
        output_voltage_v: Rated output line voltage [V].
        input_current_a: Rated single-phase input current, assumed or given [A].
        output_current_a: Rated output current [A].
        largest_motor_w: Largest single motor that it must start [W].
        capacitors: Run and start capacitors.
        losses_w: Losses without load [W].
        protective_features: What it must bring or be given: ``"output-contactor"`` ...
        window: Real plate values inside which each circuit stays right.
        regulates: It holds its output voltage, whatever drops ahead of it within its range.
        own_source: Its windings are apart from the supply, a source of its own to be earthed anew.
        given: The plate was stated by the caller.
    """

    id: str
    method: str
    machines: tuple[str, ...]
    rating_w: float | None = None
    rating_va: float | None = None
    idler_power_w: float | None = None
    idlers: int | None = None
    joins: str | None = None
    input_voltage_v: float
    output_voltage_v: float
    input_current_a: float
    output_current_a: float
    largest_motor_w: float | None = None
    capacitors: tuple[Capacitor, ...] = ()
    losses_w: float
    protective_features: tuple[str, ...] = ()
    window: tuple[Window, ...] = ()
    regulates: bool = False
    own_source: bool = False
    given: bool = False
