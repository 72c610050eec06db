"""Where the shop stands, and how cable is laid in it."""

import re
from typing import Literal

import attrs

from ampwright import bounds
from ampwright.errors import InputError
from ampwright.records import quantities as take
from ampwright.records.statement import Statement, doors

Material = Literal["copper", "aluminum"]
Installation = Literal[
    "conduit",
    "cable",
    "trunking",
    "tray",
    "surface",
    "in-wall",
    "buried-conduit",
    "buried-cable",
    "overhead",
    "cord",
    # reference methods of IEC 60364-5-52, where the way of laying is known by them
    "A1",
    "A2",
    "B1",
    "B2",
    "C",
    "D1",
    "D2",
    "E",
    "F",
    "G",
]
Ventilation = Literal["open", "louvered", "forced", "closed"]
Dust = Literal["none", "some", "heavy", "conductive", "combustible"]
Room = Literal["shop", "own-room", "store", "lean-to", "outdoors", "cellar"]

_SIZE = r"[1-4]/0 AWG|[1-9][0-9]? AWG|[1-9][0-9]{2,3} kcmil|[0-9]{1,4}(?:\.[0-9]{1,2})? mm2"


def conductor_size(value: str | None) -> str | None:
    """Accept a standard size of conductor: ``"6 AWG"``, ``"1/0 AWG"``, ``"10 mm2"``."""
    text = bounds.text(value, 64)
    if not re.fullmatch(_SIZE, text):
        wanted = 'a conductor size, as "6 AWG", "1/0 AWG", "250 kcmil" or "10 mm2"'
        raise InputError(value, wanted, code="conductor.size")
    return text


@attrs.frozen(kw_only=True, eq=False, repr=False, field_transformer=doors)
class ConverterPlace(Statement):
    """Where a converter could stand.

    Attributes:
        length_m: Cable from the panel [m].
        room: What kind of place it is.
        ventilation: How air gets in.
        dust: What is in the air.
        noise_db: Sound level that it may add there [dB].
        ambient_c: Highest temperature there [degC].
    """

    length_m: float | None = attrs.field(default=None, alias="length", converter=take.metres)
    room: Room | None = None
    ventilation: Ventilation | None = None
    dust: Dust | None = None
    noise_db: float | None = attrs.field(default=None, alias="noise", converter=take.decibels)
    ambient_c: float | None = attrs.field(default=None, alias="ambient", converter=take.ambient)


@attrs.frozen(kw_only=True, eq=False, repr=False, field_transformer=doors)
class Site(Statement):
    """Where the shop stands; what is ``None`` is the region's usual value, said as assumption.

    Attributes:
        ambient_c: Highest temperature of the surroundings of cables and devices [degC].
        altitude_m: Height above sea level [m].
        conductor_material: Material of new conductors.
        insulation: Insulation of new conductors by its public designation, as ``"THWN-2"``.
        installation: How new circuits are laid: a word, or a reference method of IEC 60364-5-52.
        raceway: Kind of raceway by its public designation, as ``"EMT"`` or ``"PVC-40"``.
        grouped_circuits: Loaded circuits that lie together, each counted.
        terminals_c: Temperature that terminals are marked for [degC].
        detached_building: The shop stands apart from the building with the service.
        soil_resistivity_k_m_per_w: Thermal resistivity of the soil [K m/W].
        soil_temperature_c: Temperature of the soil at the depth of cables [degC].
        burial_depth_m: Depth of buried cables [m].
        future_machines: Machines expected later.
        converter_place: Where a converter could stand.
    """

    ambient_c: float | None = attrs.field(default=None, alias="ambient", converter=take.ambient)
    altitude_m: float | None = attrs.field(default=None, alias="altitude", converter=take.altitude)
    conductor_material: Material | None = None
    insulation: str | None = None
    installation: Installation | None = None
    raceway: str | None = None
    grouped_circuits: int | None = attrs.field(default=None, metadata={"band": (1, 100)})
    terminals_c: float | None = attrs.field(
        default=None, alias="terminals", converter=take.rated_temperature
    )
    detached_building: bool | None = None
    soil_resistivity_k_m_per_w: float | None = attrs.field(
        default=None, alias="soil_resistivity", converter=take.soil_resistivity
    )
    soil_temperature_c: float | None = attrs.field(
        default=None, alias="soil_temperature", converter=take.ambient
    )
    burial_depth_m: float | None = attrs.field(
        default=None, alias="burial_depth", converter=take.metres
    )
    future_machines: int | None = attrs.field(default=None, metadata={"band": (0, 100)})
    converter_place: ConverterPlace | None = None
