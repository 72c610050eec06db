"""One machine: its motors and other loads, and how it is used."""

from collections.abc import Iterable, Mapping
from typing import Any, Literal

import attrs

from ampwright.errors import ConsistencyError, InputError
from ampwright.records import quantities as take
from ampwright.records.load import Load
from ampwright.records.motor import Motor
from ampwright.records.site import Installation
from ampwright.records.statement import Extra, Statement, doors, ids, own_data, several

StartKind = Literal["none", "light", "normal", "hard"]
Starter = Literal["direct", "star-delta", "rotor-resistance", "soft"]
LoadTorque = Literal["fan", "constant", "friction", "constant-power", "pulsating"]
Controls = Literal["none", "supply-lines", "made-leg", "line-neutral", "own-transformer", "unknown"]
PlateItem = Literal["short-circuit-rating", "full-load-current", "largest-motor", "diagram-number"]
Trait = Literal[
    "two-speed",
    "reversing",
    "plugging",
    "injection-brake",
    "mechanical-brake",
    "regenerative-brake",
    "hermetic",
    "wound-rotor",
    "internal-switching",
    "rectifier-input",
    "thyristor-input",
    "old-insulation",
    "high-inertia",
    "plug-connected",
    "restarts-by-itself",
    "continuous",
    "combustible-dust",
    "conductive-dust",
    "wash-down",
    "life-safety",
    "finish-critical",
]


def motors(values: Iterable[Motor]) -> tuple[Motor, ...]:
    """Accept any number of motors."""
    return several(values)


def loads(values: Iterable[Load]) -> tuple[Load, ...]:
    """Accept any number of loads."""
    return several(values)


def traits(values: Iterable[Trait]) -> tuple[Trait, ...]:
    """Accept any number of traits."""
    return several(values)


def plate_items(values: Iterable[PlateItem]) -> tuple[PlateItem, ...]:
    """Accept any number of things that stand on plates."""
    return several(values)


@attrs.frozen(kw_only=True, eq=False, repr=False, field_transformer=doors)
class Route(Statement):
    """How the cable from the converter to the machine runs.

    Attributes:
        length_m: Length from the converter [m].
        installation: How it is laid.
        ambient_c: Highest temperature along it [degC].
        grouping: Loaded circuits that lie together, this one counted.
    """

    length_m: float = attrs.field(alias="length", converter=take.metres)
    installation: Installation | None = None
    ambient_c: float | None = attrs.field(default=None, alias="ambient", converter=take.ambient)
    grouping: int | None = attrs.field(default=None, metadata={"band": (1, 100)})


@attrs.frozen(kw_only=True, eq=False, repr=False, field_transformer=doors)
class Plug(Statement):
    """Plug and outlet between source and machine.

    Attributes:
        poles: Poles, protective contact not counted.
        current_a: Rated current [A].
        voltage_v: Rated voltage [V].
        motor_rating_w: Motor power that it may switch [W]; ``None``: it has no such rating.
    """

    poles: int | None = attrs.field(default=None, metadata={"band": (2, 5)})
    current_a: float | None = attrs.field(default=None, alias="current", converter=take.amperes)
    voltage_v: float | None = attrs.field(default=None, alias="voltage", converter=take.volts)
    motor_rating_w: float | None = attrs.field(
        default=None, alias="motor_rating", converter=take.watts
    )


@attrs.frozen(kw_only=True, eq=False, repr=False, field_transformer=doors)
class Machine(Statement):
    """One machine. ``None`` means not asked, which differs from ``False`` and from nought.

    Attributes:
        id: The caller's id, unique in the shop.
        name: What it is called.
        motors: Its motors; a two-speed motor is one motor per speed, one at a time.
        loads: What else it has.
        plate: Text as it stands on the metal, read by the plate reader instead of *motors*.
        length_m: Cable from the panel [m].
        route: Cable from the converter, where it is known.
        plug: Plug and outlet, where there are such.
        control_voltage_v: Voltage of its controls [V].
        control_power_va: Apparent power of its controls [VA].
        controls: Where its control power comes from.
        value: What it is worth, the unit being the currency.
        required: ``False``: the plan may leave it out, with reasons.
        start: How hard it starts.
        starter: How it is started.
        unloader: It has an unloader or bypass for starting.
        motors_one_at_a_time: Only one of its motors runs at a time.
        load_torque: How the torque of its load follows the speed.
        load_inertia_kgm2: Inertia of its load at the motor shaft [kg m2].
        starts_per_hour: Starts an hour.
        hours_per_year_h: Hours a year that it runs [h].
        hours_per_day_h: Hours a day that it runs [h].
        average_load: Average load while it runs, over rated.
        voltage_tolerance: Deviation of the voltage that it stands, over nominal.
        unbalance_limit: Voltage unbalance that it stands, or setting of its phase monitor.
        variable_speed: Speed control is wanted.
        rotation_critical: Wrong rotation damages or endangers.
        needs_neutral: It needs a neutral.
        third_harmonic: Third harmonic of its line current, over that current; a neutral returns it.
        traits: What else is to be known about it.
        plate_lacks: What is missing on its plate.
        full_load_current_a: Full-load current of the whole machine on its plate [A].
        short_circuit_rating_a: Short-circuit rating on its plate [A].
        needs: Ids of the machines that must run with it.
        fed_from: Id of the machine that it takes its power through.
        stopping_time_limit_s: Time in which it must stop [s].
        single_phase_unit: A single-phase machine of this duty is sold.
        overload_fitted: An overload is fitted.
        disconnect_in_sight: A disconnect is in sight.
        emergency_stop: An emergency stop is fitted.
        quantity: How many of it there are.
        extra: The caller's own data, echoed.
    """

    id: str = attrs.field(metadata={"id": True})
    name: str = ""
    motors: tuple[Motor, ...] = attrs.field(default=(), converter=motors)
    loads: tuple[Load, ...] = attrs.field(default=(), converter=loads)
    plate: str | None = attrs.field(default=None, metadata={"longest": 2000})
    length_m: float | None = attrs.field(default=None, alias="length", converter=take.metres)
    route: Route | None = None
    plug: Plug | None = None
    control_voltage_v: float | None = attrs.field(
        default=None, alias="control_voltage", converter=take.volts
    )
    control_power_va: float | None = attrs.field(
        default=None, alias="control_power", converter=take.volt_amperes
    )
    controls: Controls | None = None
    value: float | None = attrs.field(default=None, converter=take.money)
    required: bool = True
    start: StartKind | None = None
    starter: Starter | None = None
    unloader: bool | None = None
    motors_one_at_a_time: bool | None = None
    load_torque: LoadTorque | None = None
    load_inertia_kgm2: float | None = attrs.field(
        default=None, alias="load_inertia", converter=take.inertia
    )
    starts_per_hour: float | None = attrs.field(default=None, converter=take.rate)
    hours_per_year_h: float | None = attrs.field(
        default=None, alias="hours_per_year", converter=take.hours
    )
    hours_per_day_h: float | None = attrs.field(
        default=None, alias="hours_per_day", converter=take.hours_a_day
    )
    average_load: float | None = attrs.field(default=None, converter=take.share)
    voltage_tolerance: float | None = attrs.field(default=None, converter=take.fraction)
    unbalance_limit: float | None = attrs.field(default=None, converter=take.fraction)
    variable_speed: bool | None = None
    rotation_critical: bool | None = None
    needs_neutral: bool | None = None
    third_harmonic: float | None = attrs.field(default=None, converter=take.fraction)
    traits: tuple[Trait, ...] = attrs.field(default=(), converter=traits)
    plate_lacks: tuple[PlateItem, ...] = attrs.field(default=(), converter=plate_items)
    full_load_current_a: float | None = attrs.field(
        default=None, alias="full_load_current", converter=take.amperes
    )
    short_circuit_rating_a: float | None = attrs.field(
        default=None, alias="short_circuit_rating", converter=take.fault_amperes
    )
    needs: tuple[str, ...] = attrs.field(default=(), converter=ids, metadata={"id": True})
    fed_from: str | None = attrs.field(default=None, metadata={"id": True})
    stopping_time_limit_s: float | None = attrs.field(
        default=None, alias="stopping_time_limit", converter=take.seconds
    )
    single_phase_unit: bool | None = None
    overload_fitted: bool | None = None
    disconnect_in_sight: bool | None = None
    emergency_stop: bool | None = None
    quantity: int = attrs.field(default=1, metadata={"band": (1, 500)})
    extra: Mapping[str, Any] = attrs.field(default=Extra({}), converter=own_data)

    def __attrs_post_init__(self) -> None:
        if self.plate is None and not self.motors and not self.loads:
            wanted = "motors, loads or plate to be given"
            raise InputError(None, wanted, code="field.missing")
        if self.plate is not None and self.motors:
            wanted = "the plate, to be read, or motors as read, not both"
            raise ConsistencyError("plate and motors", wanted, code="field.conflict")
        if self.plate is not None and not self.plate.strip():
            raise InputError(self.plate, "text of a plate", "plate", code="field.empty")
        if self.id in self.needs or self.id == self.fed_from:
            wanted = "machines that need, or are fed from, other machines"
            raise ConsistencyError(self.id, wanted, "needs", code="id.self")
