"""One motor, as its nameplate describes it."""

import math
from typing import Any, Literal, get_args

import attrs

from ampwright import bounds
from ampwright.errors import ConsistencyError, InputError
from ampwright.quantity import Held, Word
from ampwright.record import Record
from ampwright.records import quantities as take
from ampwright.records.statement import Statement, doors

CodeLetter = Literal[
    "A", "B", "C", "D", "E", "F", "G", "H", "J", "K", "L", "M", "N", "P", "R", "S", "T", "U", "V"
]
Connection = Literal["star", "delta", "double-star", "double-delta"]
Design = Literal["A", "B", "C", "D", "E", "N", "NE", "NY", "NEY", "H", "HE", "HY", "HEY"]
EfficiencyClass = Literal["IE1", "IE2", "IE3", "IE4", "IE5"]
InsulationClass = Literal["Y", "A", "E", "B", "F", "H", "N", "R"]
CurrentKind = Literal["full-load", "rated-load"]

_CONNECTIONS = {
    **{word: word for word in get_args(Connection)},
    **dict.fromkeys(("D", "d", "Δ", "△"), "delta"),
    **dict.fromkeys(("Y", "y", "wye", "1Y"), "star"),
    **dict.fromkeys(("YY", "2Y"), "double-star"),
    **dict.fromkeys(("DD", "2D", "ΔΔ"), "double-delta"),
}
# Voltages of one winding in two links: star over delta, series over parallel.
_RELINKS = (math.sqrt(3), 2.0)


def connections(value: str | None) -> Word | None:
    """Accept connections in nameplate notation: ``"star"``, ``"delta/star"``, ``"D/Y"``."""
    if value is None or isinstance(value, Word):
        return value
    words = [one.strip() for one in bounds.text(value, 64).split("/")]
    for word in words:
        if word not in _CONNECTIONS:
            bounds.one_of(word, get_args(Connection), "connection")
    return Word(value, tuple(_CONNECTIONS[word] for word in words))


def duty(value: str) -> str:
    """Accept a duty type of IEC 60034-1 (its list from memory): ``"S1"``, ``"S3 40 %"``."""
    text = bounds.text(value, 64)
    kind, _, rest = text.partition(" ")
    number, _, unit = rest.strip().partition(" ")
    tail = not rest or (number.isascii() and number.isdigit() and unit in ("%", "min", "s"))
    if kind not in {f"S{number}" for number in range(1, 11)} or not tail:
        wanted = 'a duty type, as "S1", "S2 30 min" or "S3 40 %"'
        raise InputError(value, wanted, code="enum.duty")
    return value


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Rating(Record):
    """One of the alternatives of a nameplate.

    A range has two ends: the plain attribute is the last one printed, ``..._from`` the first.

    Attributes:
        voltage_v: Line voltage [V].
        voltage_from_v: Where its range begins [V].
        current_a: Line current at ``voltage_v`` [A].
        current_from_a: Line current at ``voltage_from_v`` [A].
        frequency_hz: Frequency [Hz].
        power_w: Shaft power [W].
        speed_rpm: Speed at that power [rpm].
        connection: How the winding is linked.
    """

    voltage_v: float | None = None
    voltage_from_v: float | None = None
    current_a: float | None = None
    current_from_a: float | None = None
    frequency_hz: float | None = None
    power_w: float | None = None
    speed_rpm: float | None = None
    connection: Connection | None = None


_ALONG_VOLTAGE = ("voltage_v", "current_a", "connection")
_ALONG_FREQUENCY = ("frequency_hz", "power_w", "speed_rpm")


def _alternatives(value: object) -> tuple[object, ...]:
    if isinstance(value, Held | Word):
        return value.alternatives or ((float(value), None),)
    return ()


def _relinked(volts: tuple[object, ...]) -> bool:
    """Return whether the first two voltages are one winding in two links."""
    low, high = sorted(float(pair[0]) for pair in volts[:2] if isinstance(pair, tuple))
    return any(abs(high / low / step - 1) < 0.03 for step in _RELINKS)


def _ratings(motor: "Motor") -> tuple[Rating, ...]:
    """Return the alternatives of the plate, aligned; see `Motor`."""
    names = (*_ALONG_VOLTAGE, *_ALONG_FREQUENCY)
    found = {name: _alternatives(getattr(motor, name)) for name in names}
    count = max((len(values) for values in found.values()), default=0)
    volts, hertz = len(found["voltage_v"]), len(found["frequency_hz"])
    crossed = volts == hertz == 2 and _relinked(found["voltage_v"])
    rows: list[Rating] = []
    places = [(v, f) for f in range(hertz) for v in range(volts)] if crossed else None
    for row in range(4 if places else max(count, 1)):
        parts: dict[str, Any] = {}
        for name, values in found.items():
            place = row
            if places and len(values) < 4:
                place = places[row][name in _ALONG_FREQUENCY]
            if len(values) > 1 and place >= len(values):
                place = -1
            value = values[place if len(values) > 1 else 0] if values else None
            if isinstance(value, tuple):
                parts[name], begin = value
                if name in ("voltage_v", "current_a"):
                    parts[f"{name[:-2]}_from{name[-2:]}"] = begin
            else:
                parts[name] = value
        rows.append(Rating(**parts))
    return tuple(rows)


@attrs.frozen(kw_only=True, eq=False, repr=False, field_transformer=doors)
class Motor(Statement):
    """One motor, as its nameplate describes it.

    Voltage, current, frequency, power, speed and connection take nameplate notation: a slash
    separates alternatives, a dash makes a range (``"208-230/460 V"``); in a power, whole numbers
    n/d with n < d and d in 2, 3, 4, 8 are a fraction. Alternatives are aligned by position. Two
    voltages of one winding in two links (their ratio 2 or the square root of 3) and two frequencies
    do not exclude each other: then voltage, current and connection vary with the link, power and
    speed with the frequency, and there are four ratings. The plain attributes are those of the
    first rating; of a range, its last figure. A two-speed motor is one motor per speed.

    Attributes:
        name: What it drives, where a machine has several.
        power_w: Rated shaft power [W]. It or ``current`` must be given.
        voltage_v: Rated line voltage [V].
        current_a: Rated line current [A].
        frequency_hz: Rated frequency [Hz].
        speed_rpm: Rated speed [rpm].
        phases: 3, or 1 for a single-phase motor.
        poles: Number of poles.
        linked_for_v: Line voltage that it is linked for now [V].
        overload_range_a: Range of its overload relay, both ends [A].
        insulation_resistance_ohm: Measured insulation resistance [ohm].
        winding_resistance_ohm: Measured resistance between two lines, cold [ohm].
        power_factor: Rated power factor.
        efficiency: Rated efficiency.
        efficiency_class: IE class.
        service_factor: Service factor.
        service_factor_current_a: Current at service factor [A].
        code_letter: Letter of locked-rotor kVA per hp.
        design: Design letter of NEMA or IEC.
        locked_rotor_current_a: Locked-rotor current at rated voltage [A].
        locked_rotor_current_ratio: The same over rated current.
        locked_rotor_torque_nm: Locked-rotor torque [N m].
        locked_rotor_torque_ratio: The same over rated torque.
        breakdown_torque_nm: Breakdown torque [N m].
        breakdown_torque_ratio: The same over rated torque.
        no_load_current_a: Current at no load [A].
        rotor_voltage_v: Open-circuit voltage of a wound rotor [V].
        rotor_current_a: Rated current of a wound rotor [A].
        current_kind: ``"rated-load"`` for the RLA of hermetic equipment.
        minimum_circuit_current_a: MCA of hermetic equipment [A].
        largest_protective_device_a: MOP of hermetic equipment [A].
        input_power_w: Rated input, where the plate gives it [W].
        inertia_kgm2: Inertia of the rotor [kg m2].
        leads: Leads brought out.
        connection: How the winding is linked for each voltage.
        duty: Duty type.
        temperature_rise_k: Temperature rise allowed [K].
        insulation_class: Thermal class.
        ambient_c: Highest surroundings that it is made for [degC].
        enclosure: Enclosure by its public designation, as ``"TEFC"`` or ``"IP55"``.
        year: Year made.
        ratings: The alternatives, aligned; at least one.
    """

    name: str = ""
    power_w: float | None = attrs.field(default=None, alias="power", converter=take.plate_watts)
    voltage_v: float | None = attrs.field(default=None, alias="voltage", converter=take.plate_volts)
    current_a: float | None = attrs.field(
        default=None, alias="current", converter=take.plate_amperes
    )
    frequency_hz: float | None = attrs.field(
        default=None, alias="frequency", converter=take.plate_hertz
    )
    speed_rpm: float | None = attrs.field(default=None, alias="speed", converter=take.plate_speed)
    phases: Literal[1, 3] = 3
    poles: Literal[2, 4, 6, 8, 10, 12, 14, 16] | None = None
    linked_for_v: float | None = attrs.field(default=None, alias="linked_for", converter=take.volts)
    overload_range_a: tuple[float, float] | None = attrs.field(
        default=None, alias="overload_range", converter=take.ampere_range
    )
    insulation_resistance_ohm: float | None = attrs.field(
        default=None, alias="insulation_resistance", converter=take.insulation_ohms
    )
    winding_resistance_ohm: float | None = attrs.field(
        default=None, alias="winding_resistance", converter=take.ohms
    )
    power_factor: float | None = attrs.field(default=None, converter=take.fraction)
    efficiency: float | None = attrs.field(default=None, converter=take.fraction)
    efficiency_class: EfficiencyClass | None = None
    service_factor: float | None = attrs.field(default=None, converter=take.service_factor)
    service_factor_current_a: float | None = attrs.field(
        default=None, alias="service_factor_current", converter=take.amperes
    )
    code_letter: CodeLetter | None = None
    design: Design | None = None
    locked_rotor_current_a: float | None = attrs.field(
        default=None, alias="locked_rotor_current", converter=take.amperes
    )
    locked_rotor_current_ratio: float | None = attrs.field(default=None, converter=take.ratio)
    locked_rotor_torque_nm: float | None = attrs.field(
        default=None, alias="locked_rotor_torque", converter=take.newton_metres
    )
    locked_rotor_torque_ratio: float | None = attrs.field(default=None, converter=take.ratio)
    breakdown_torque_nm: float | None = attrs.field(
        default=None, alias="breakdown_torque", converter=take.newton_metres
    )
    breakdown_torque_ratio: float | None = attrs.field(default=None, converter=take.ratio)
    no_load_current_a: float | None = attrs.field(
        default=None, alias="no_load_current", converter=take.amperes
    )
    rotor_voltage_v: float | None = attrs.field(
        default=None, alias="rotor_voltage", converter=take.volts
    )
    rotor_current_a: float | None = attrs.field(
        default=None, alias="rotor_current", converter=take.amperes
    )
    current_kind: CurrentKind = "full-load"
    minimum_circuit_current_a: float | None = attrs.field(
        default=None, alias="minimum_circuit_current", converter=take.amperes
    )
    largest_protective_device_a: float | None = attrs.field(
        default=None, alias="largest_protective_device", converter=take.amperes
    )
    input_power_w: float | None = attrs.field(
        default=None, alias="input_power", converter=take.watts
    )
    inertia_kgm2: float | None = attrs.field(default=None, alias="inertia", converter=take.inertia)
    leads: int | None = attrs.field(default=None, metadata={"band": (2, 24)})
    connection: str | None = attrs.field(default=None, converter=connections)
    duty: str = attrs.field(default="S1", converter=duty)
    temperature_rise_k: float | None = attrs.field(
        default=None, alias="temperature_rise", converter=take.kelvins
    )
    insulation_class: InsulationClass | None = None
    ambient_c: float | None = attrs.field(default=None, alias="ambient", converter=take.ambient)
    enclosure: str | None = None
    year: int | None = attrs.field(default=None, metadata={"band": (1880, 2100)})
    ratings: tuple[Rating, ...] = attrs.field(
        init=False, repr=False, default=attrs.Factory(_ratings, takes_self=True)
    )

    def __attrs_post_init__(self) -> None:
        if self.power_w is None and self.current_a is None:
            raise InputError(None, "power or current to be given", code="field.missing")
        counts = {
            name.rpartition("_")[0] or name: len(values)
            for name in (*_ALONG_VOLTAGE, *_ALONG_FREQUENCY)
            if len(values := _alternatives(getattr(self, name))) > 1
        }
        if set(counts.values()) - {len(self.ratings)} and len(self.ratings) != 4:
            said = ", ".join(f"{name} {count}" for name, count in counts.items())
            wanted = "as many alternatives in each field that has several"
            raise ConsistencyError(said, wanted, code="rating.alternatives")
