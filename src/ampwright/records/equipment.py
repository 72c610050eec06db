"""Equipment that is already there or owned."""

from collections.abc import Iterable
from typing import Literal

import attrs

from ampwright.records import quantities as take
from ampwright.records.motor import Motor
from ampwright.records.site import Installation, Material, conductor_size
from ampwright.records.statement import Statement, doors, ids, several
from ampwright.records.supply import ResidualType

Fate = Literal["keep", "may-go", "must-go"]
ConverterMethod = Literal["static", "rotary", "electronic", "motor-generator"]
DeviceKind = Literal["breaker", "fuse", "overload", "residual-current", "switch", "contactor"]


@attrs.frozen(kw_only=True, eq=False, repr=False, field_transformer=doors)
class Owned(Statement):
    """What all equipment has in common.

    Attributes:
        id: The caller's id, unique in the shop.
        name: What it is.
        fate: It is to be kept, may go, or must go.
        serves: Ids of the machines that it serves now.
        count: How many of it there are.
    """

    id: str = attrs.field(metadata={"id": True})
    name: str = ""
    fate: Fate = "may-go"
    serves: tuple[str, ...] = attrs.field(default=(), converter=ids, metadata={"id": True})
    count: int = attrs.field(default=1, metadata={"band": (1, 100)})


@attrs.frozen(kw_only=True, eq=False, repr=False, field_transformer=doors)
class OwnedConverter(Owned):
    """A phase converter with the figures of its plate.

    Attributes:
        kind: ``"converter"``.
        method: How it works.
        rating_w: Rating as motor power [W].
        rating_va: Rating as apparent power [VA].
        largest_motor_w: Largest motor that it may start [W].
        idler_power_w: Power of its idler motor [W].
        input_voltage_v: Input voltage [V].
        input_current_a: Input current at rated output [A].
        output_voltage_v: Output line voltage [V].
        output_current_a: Output current [A].
    """

    kind: Literal["converter"] = attrs.field(default="converter", metadata={"always": True})
    method: ConverterMethod | None = None
    rating_w: float | None = attrs.field(default=None, alias="rating", converter=take.watts)
    rating_va: float | None = attrs.field(
        default=None, alias="apparent_power", converter=take.volt_amperes
    )
    largest_motor_w: float | None = attrs.field(
        default=None, alias="largest_motor", converter=take.watts
    )
    idler_power_w: float | None = attrs.field(
        default=None, alias="idler_power", converter=take.watts
    )
    input_voltage_v: float | None = attrs.field(
        default=None, alias="input_voltage", converter=take.volts
    )
    input_current_a: float | None = attrs.field(
        default=None, alias="input_current", converter=take.amperes
    )
    output_voltage_v: float | None = attrs.field(
        default=None, alias="output_voltage", converter=take.volts
    )
    output_current_a: float | None = attrs.field(
        default=None, alias="output_current", converter=take.amperes
    )


@attrs.frozen(kw_only=True, eq=False, repr=False, field_transformer=doors)
class OwnedMotor(Owned):
    """A motor that could serve as idler or replacement.

    Attributes:
        kind: ``"motor"``.
        motor: The motor.
    """

    kind: Literal["motor"] = attrs.field(default="motor", metadata={"always": True})
    motor: Motor


@attrs.frozen(kw_only=True, eq=False, repr=False, field_transformer=doors)
class OwnedDrive(Owned):
    """A variable-frequency drive.

    Attributes:
        kind: ``"drive"``.
        power_w: Motor power that it is made for [W].
        input_phases: Phases that it is made to be fed by.
        input_voltage_v: Input voltage [V].
        output_voltage_v: Largest output line voltage [V].
        output_current_a: Rated output current [A].
        shared: It is meant to be carried from machine to machine.
    """

    kind: Literal["drive"] = attrs.field(default="drive", metadata={"always": True})
    power_w: float | None = attrs.field(default=None, alias="power", converter=take.watts)
    input_phases: Literal[1, 3] | None = None
    input_voltage_v: float | None = attrs.field(
        default=None, alias="input_voltage", converter=take.volts
    )
    output_voltage_v: float | None = attrs.field(
        default=None, alias="output_voltage", converter=take.volts
    )
    output_current_a: float | None = attrs.field(
        default=None, alias="output_current", converter=take.amperes
    )
    shared: bool | None = None


@attrs.frozen(kw_only=True, eq=False, repr=False, field_transformer=doors)
class OwnedConductor(Owned):
    """Cable or wire.

    Attributes:
        kind: ``"conductor"``.
        size: Standard size.
        material: Material.
        conductors: Current-carrying conductors in it.
        insulation: Insulation by its public designation.
        installation: How it is laid; ``None``: it lies in store.
        length_m: Length [m].
    """

    kind: Literal["conductor"] = attrs.field(default="conductor", metadata={"always": True})
    size: str = attrs.field(converter=conductor_size)
    material: Material | None = None
    conductors: int | None = attrs.field(default=None, metadata={"band": (1, 60)})
    insulation: str | None = None
    installation: Installation | None = None
    length_m: float | None = attrs.field(default=None, alias="length", converter=take.metres)


@attrs.frozen(kw_only=True, eq=False, repr=False, field_transformer=doors)
class OwnedDevice(Owned):
    """A protective or switching device.

    Attributes:
        kind: ``"device"``.
        device: What it is.
        rating_a: Rating [A].
        poles: Poles.
        curve: Curve or class, as ``"C"`` or ``"10"``.
        breaking_capacity_a: Breaking capacity [A].
        range_a: Setting range, both ends [A].
        residual_type: Type of a residual-current device.
    """

    kind: Literal["device"] = attrs.field(default="device", metadata={"always": True})
    device: DeviceKind
    rating_a: float | None = attrs.field(default=None, alias="rating", converter=take.amperes)
    poles: int | None = attrs.field(default=None, metadata={"band": (1, 4)})
    curve: str | None = None
    breaking_capacity_a: float | None = attrs.field(
        default=None, alias="breaking_capacity", converter=take.fault_amperes
    )
    range_a: tuple[float, float] | None = attrs.field(
        default=None, alias="range", converter=take.ampere_range
    )
    residual_type: ResidualType | None = None


@attrs.frozen(kw_only=True, eq=False, repr=False, field_transformer=doors)
class OwnedOutlet(Owned):
    """An outlet, or the plugs of one kind.

    Attributes:
        kind: ``"outlet"``.
        poles: Poles, protective contact not counted.
        current_a: Rated current [A].
        voltage_v: Rated voltage [V].
        phases: Phases that it carries.
        on_converter: It is fed by a converter.
        switched: All its poles are switched off with the converter; ``False``: it loses the made
            leg only.
    """

    kind: Literal["outlet"] = attrs.field(default="outlet", metadata={"always": True})
    poles: int | None = attrs.field(default=None, metadata={"band": (2, 5)})
    current_a: float | None = attrs.field(default=None, alias="current", converter=take.amperes)
    voltage_v: float | None = attrs.field(default=None, alias="voltage", converter=take.volts)
    phases: Literal[1, 3] | None = None
    on_converter: bool | None = None
    switched: bool | None = None


@attrs.frozen(kw_only=True, eq=False, repr=False, field_transformer=doors)
class OwnedCapacitors(Owned):
    """A box of capacitors.

    Attributes:
        kind: ``"capacitors"``.
        capacitance_f: Capacitance of one [F].
        rating_v: Rated voltage [V].
        purpose: For running or for starting.
        discharge_resistors: Discharge resistors are fitted.
    """

    kind: Literal["capacitors"] = attrs.field(default="capacitors", metadata={"always": True})
    capacitance_f: float | None = attrs.field(
        default=None, alias="capacitance", converter=take.farads
    )
    rating_v: float | None = attrs.field(default=None, alias="rating", converter=take.volts)
    purpose: Literal["run", "start"] | None = None
    discharge_resistors: bool | None = None


Equipment = (
    OwnedConverter
    | OwnedMotor
    | OwnedDrive
    | OwnedConductor
    | OwnedDevice
    | OwnedOutlet
    | OwnedCapacitors
)


def equipment(values: Iterable[Equipment]) -> tuple[Equipment, ...]:
    """Accept pieces of equipment."""
    return several(values)
