"""The single-phase supply, and what else could be had."""

import math
import re
from collections.abc import Iterator, Mapping
from typing import Any, ClassVar, Literal

import attrs

from ampwright import bounds
from ampwright.errors import ConsistencyError, InputError
from ampwright.records import quantities as take
from ampwright.records.dwelling import Dwelling
from ampwright.records.site import Installation, Material, conductor_size
from ampwright.records.statement import Statement, doors

SourceKind = Literal["utility", "generator", "inverter"]
Arrangement = Literal["split-phase", "line-neutral", "line-line"]
Earthing = Literal["tn-s", "tn-c-s", "tt", "it"]
Place = Literal["at-meter", "in-building", "in-street", "extension", "none"]
DemandRecord = Literal["year", "month", "none"]
ResidualType = Literal["ac", "a", "f", "b"]
StandbyKind = Literal["generator", "inverter"]
StandbyConnection = Literal[
    "transfer-switch", "interlock", "lead-with-two-plugs", "parallel", "unknown"
]


@attrs.frozen(kw_only=True, eq=False, repr=False, field_transformer=doors)
class ThreePhase(Statement):
    """Real three-phase that is there or could be had. The place alone is shorthand for it.

    Attributes:
        where: At the meter, behind another meter in the building, in the street, to be built out,
            or not to be had.
        voltage_v: Line voltage [V].
        current_a: Current per line [A].
        apparent_power_va: Apparent power, where no current is stated [VA].
        price: Price once, the unit being the currency.
        months: Months until it is there.
        yearly_charge: Standing charge a year, the unit being the currency.
        distance_m: Distance to it [m].
    """

    WORD: ClassVar[str] = "where"

    where: Place
    voltage_v: float | None = attrs.field(default=None, alias="voltage", converter=take.volts)
    current_a: float | None = attrs.field(default=None, alias="current", converter=take.amperes)
    apparent_power_va: float | None = attrs.field(
        default=None, alias="apparent_power", converter=take.volt_amperes
    )
    price: float | None = attrs.field(default=None, converter=take.money)
    months: float | None = attrs.field(default=None, converter=take.months)
    yearly_charge: float | None = attrs.field(default=None, converter=take.money)
    distance_m: float | None = attrs.field(default=None, alias="distance", converter=take.metres)


def three_phase(value: ThreePhase | Place | None) -> ThreePhase | None:
    """Accept the record, or the place alone."""
    if not isinstance(value, str):
        return value
    try:
        return ThreePhase(where=value)
    except InputError as error:
        error.path = ""  # the word stands for the whole record
        raise


@attrs.frozen(kw_only=True, eq=False, repr=False, field_transformer=doors)
class Feeder(Statement):
    """A feeder as it lies.

    Attributes:
        size: Size of its line conductors; ``None``: still to be chosen, or not known.
        material: Material of its conductors.
        length_m: One-way length [m].
        installation: How it is laid.
        insulation: Insulation by its public designation.
        insulation_temperature_c: Temperature that the insulation is made for [degC].
        parallel_sets: Conductors in parallel in each line.
        neutral_size: Size of its neutral.
        protective_size: Size of its protective conductor.
    """

    size: str | None = attrs.field(default=None, converter=conductor_size)
    material: Material | None = None
    length_m: float | None = attrs.field(default=None, alias="length", converter=take.metres)
    installation: Installation | None = None
    insulation: str | None = None
    insulation_temperature_c: float | None = attrs.field(
        default=None, alias="insulation_temperature", converter=take.rated_temperature
    )
    parallel_sets: int = attrs.field(default=1, metadata={"band": (1, 8)})
    neutral_size: str | None = attrs.field(default=None, converter=conductor_size)
    protective_size: str | None = attrs.field(default=None, converter=conductor_size)


@attrs.frozen(kw_only=True, eq=False, repr=False, field_transformer=doors)
class MeasuredDrop(Statement):
    """How far the voltage fell at a stated current.

    Attributes:
        voltage_v: Fall of the voltage [V].
        current_a: Current that caused it [A].
    """

    voltage_v: float = attrs.field(alias="voltage", converter=take.dropped_volts)
    current_a: float = attrs.field(alias="current", converter=take.amperes)


_SLASH = r"([0-9]{2,3})Y?/([0-9]{2,3}) ?V"


def slash_rating(value: str | None) -> str | None:
    """Accept a slash rating: volts to earth and between lines, as ``"120/240 V"``."""
    text = bounds.text(value, 64)
    found = re.fullmatch(_SLASH, text)
    if found is None or int(found[1]) >= int(found[2]):
        wanted = 'volts to earth and between lines, as "120/240 V"'
        raise InputError(value, wanted, code="quantity.syntax")
    return text


@attrs.frozen(kw_only=True, eq=False, repr=False, field_transformer=doors)
class Panel(Statement):
    """The panel that the shop is fed from.

    Attributes:
        bus_a: Rating of its bus [A].
        free_poles: Spaces left.
        largest_branch_a: Largest branch device that it takes [A].
        fault_rating_a: Short-circuit rating [A].
        slash_rating: Slash rating of its devices, as ``"120/240 V"``; ``None``: not known or none.
        terminals_c: Temperature that its terminals are marked for [degC].
    """

    bus_a: float | None = attrs.field(default=None, alias="bus", converter=take.amperes)
    free_poles: int | None = attrs.field(default=None, metadata={"band": (0, 200)})
    largest_branch_a: float | None = attrs.field(
        default=None, alias="largest_branch", converter=take.amperes
    )
    fault_rating_a: float | None = attrs.field(
        default=None, alias="fault_rating", converter=take.fault_amperes
    )
    slash_rating: str | None = attrs.field(default=None, converter=slash_rating)
    terminals_c: float | None = attrs.field(
        default=None, alias="terminals", converter=take.rated_temperature
    )


@attrs.frozen(kw_only=True, eq=False, repr=False, field_transformer=doors)
class Upgrade(Statement):
    """A quote for a larger single-phase service or feeder.

    Attributes:
        what: What becomes larger.
        rating_a: Main device afterwards [A].
        contract_va: Contract afterwards [VA].
        transformer_va: Transformer afterwards [VA].
        feeder: The feeder afterwards.
        price: Price once, the unit being the currency.
        months: Months until it is there.
        yearly_charge: Standing charge a year more than now, the unit being the currency.
    """

    what: Literal["service", "feeder"] = "service"
    rating_a: float | None = attrs.field(default=None, alias="rating", converter=take.amperes)
    contract_va: float | None = attrs.field(
        default=None, alias="contract", converter=take.volt_amperes
    )
    transformer_va: float | None = attrs.field(
        default=None, alias="transformer", converter=take.volt_amperes
    )
    feeder: Feeder | None = None
    price: float | None = attrs.field(default=None, converter=take.money)
    months: float | None = attrs.field(default=None, converter=take.months)
    yearly_charge: float | None = attrs.field(default=None, converter=take.money)


@attrs.frozen(kw_only=True, eq=False, repr=False, field_transformer=doors)
class Standby(Statement):
    """A second source for when the first fails. The kind alone is shorthand for it.

    Attributes:
        kind: What it is.
        connection: How it is connected; ``None`` or ``"unknown"``: to be asked.
        apparent_power_va: Rated apparent power [VA].
        voltage_v: Voltage [V].
    """

    WORD: ClassVar[str] = "kind"

    kind: StandbyKind
    connection: StandbyConnection | None = None
    apparent_power_va: float | None = attrs.field(
        default=None, alias="apparent_power", converter=take.volt_amperes
    )
    voltage_v: float | None = attrs.field(default=None, alias="voltage", converter=take.volts)


def standby(value: Standby | StandbyKind | None) -> Standby | None:
    """Accept the record, or the kind alone."""
    if not isinstance(value, str):
        return value
    try:
        return Standby(kind=value)
    except InputError as error:
        error.path = ""  # the word stands for the whole record
        raise


@attrs.frozen(kw_only=True, eq=False, repr=False, field_transformer=doors)
class Supply(Statement):
    """The single-phase supply.

    Attributes:
        source: Where it comes from.
        surge_va: What a generator or inverter gives for some seconds [VA].
        arrangement: Two lines and their mid-point, line and neutral, or two lines of a three-phase
            or isolated system.
        voltage_v: Nominal voltage between the two conductors used [V].
        voltage_to_earth_v: Volts to earth of a line [V]; ``None``: by arrangement, see
            `earth_voltage_v`.
        neutral: A neutral comes with it; ``None``: by arrangement.
        frequency_hz: Nominal frequency [Hz].
        rating_a: Rating of the main device [A].
        contract_va: Apparent power that the contract allows [VA].
        existing_load: Load already there, as current or apparent power; see `existing_load_a`.
        demand_record: How the load already there was measured: recorded over a year, without a
            break over 30 days, or not recorded (read once, or estimated); ``None``: not known.
        dwelling: The dwelling on the same service, for its load to be calculated instead of
            measured.
        fault_current_a: Fault current at the panel [A].
        transformer_va: Rating of the transformer that serves it [VA].
        transformer_sole_use: The transformer serves this customer only.
        impedance_ohm: Loop impedance at the panel [ohm].
        measured_drop: How far the voltage fell at a stated current.
        lowest_voltage_v: Lowest voltage measured [V].
        highest_voltage_v: Highest voltage measured [V].
        earthing: System of earthing.
        feeder: An existing feeder.
        three_phase: Real three-phase that is there or could be had.
        starting_limited: The operator of the network limits direct starting.
        starting_limit_a: Starting current that the operator allows [A].
        largest_motor_w: Largest motor that the operator lets start direct [W].
        residual_current_a: Residual current of a device ahead of the shop [A].
        residual_type: Type of that device.
        panel: The panel that the shop is fed from.
        upgrade: A quote for a larger single-phase service or feeder.
        standby: A second source.
    """

    source: SourceKind = "utility"
    surge_va: float | None = attrs.field(default=None, alias="surge", converter=take.volt_amperes)
    arrangement: Arrangement
    voltage_v: float = attrs.field(alias="voltage", converter=take.volts)
    voltage_to_earth_v: float | None = attrs.field(
        default=None, alias="voltage_to_earth", converter=take.volts
    )
    neutral: bool | None = None
    frequency_hz: float = attrs.field(alias="frequency", converter=take.hertz)
    rating_a: float | None = attrs.field(default=None, alias="rating", converter=take.amperes)
    contract_va: float | None = attrs.field(
        default=None, alias="contract", converter=take.volt_amperes
    )
    existing_load: float | None = attrs.field(default=None, converter=take.amperes_or_volt_amperes)
    demand_record: DemandRecord | None = None
    dwelling: Dwelling | None = None
    fault_current_a: float | None = attrs.field(
        default=None, alias="fault_current", converter=take.fault_amperes
    )
    transformer_va: float | None = attrs.field(
        default=None, alias="transformer", converter=take.volt_amperes
    )
    transformer_sole_use: bool | None = None
    impedance_ohm: float | None = attrs.field(default=None, alias="impedance", converter=take.ohms)
    measured_drop: MeasuredDrop | None = None
    lowest_voltage_v: float | None = attrs.field(
        default=None, alias="lowest_voltage", converter=take.volts
    )
    highest_voltage_v: float | None = attrs.field(
        default=None, alias="highest_voltage", converter=take.volts
    )
    earthing: Earthing | None = None
    feeder: Feeder | None = None
    three_phase: ThreePhase | None = attrs.field(default=None, converter=three_phase)
    starting_limited: bool | None = None
    starting_limit_a: float | None = attrs.field(
        default=None, alias="starting_limit", converter=take.amperes
    )
    largest_motor_w: float | None = attrs.field(
        default=None, alias="largest_motor", converter=take.watts
    )
    residual_current_a: float | None = attrs.field(
        default=None, alias="residual_current", converter=take.amperes
    )
    residual_type: ResidualType | None = None
    panel: Panel | None = None
    upgrade: Upgrade | None = None
    standby: Standby | None = attrs.field(default=None, converter=standby)

    def __attrs_post_init__(self) -> None:
        for fault in _order(self.lowest_voltage_v, self.highest_voltage_v):
            raise fault

    @classmethod
    def told_in_parts(
        cls, data: Mapping[str, Any], values: Mapping[str, object]
    ) -> Iterator[ConsistencyError]:
        """Yield what *values* contradict of each other, where no supply can be made of *data*."""
        del data
        yield from _order(values.get("lowest_voltage"), values.get("highest_voltage"))

    @property
    def earth_voltage_v(self) -> float | None:
        """Volts to earth of a line: as stated, or by arrangement [V].

        Half the voltage of a split phase; the voltage itself of line and neutral; of two lines, the
        voltage over the square root of 3 (a wye with earthed neutral), and ``None`` where the
        earthing is IT, for then nothing fixes it.
        """
        if self.voltage_to_earth_v is not None:
            return self.voltage_to_earth_v
        if self.earthing == "it":
            return None
        divisor = {"split-phase": 2.0, "line-neutral": 1.0, "line-line": math.sqrt(3)}
        return self.voltage_v / divisor[self.arrangement]

    @property
    def existing_load_a(self) -> float | None:
        """Current of the load already there, at the nominal voltage [A]."""
        if self.existing_load is None:
            return None
        in_va = getattr(self.existing_load, "unit", "A") == "VA"
        return self.existing_load / self.voltage_v if in_va else float(self.existing_load)


def _order(low: object, high: object) -> Iterator[ConsistencyError]:
    """Yield that the lowest voltage stands above the highest, if it does."""
    if isinstance(low, float) and isinstance(high, float) and low > high:
        said = f"{low:g} V and {high:g} V"
        wanted = "lowest_voltage not above highest_voltage"
        yield ConsistencyError(said, wanted, "lowest_voltage", code="supply.voltage-order")
