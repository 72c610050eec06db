"""Devices that protect, disconnect or switch."""

import attrs

from ampwright.record import Record

KINDS = ("breaker", "fuse", "overload", "disconnect", "residual-current", "voltage-relay")


@attrs.frozen(kw_only=True, eq=False, repr=False)
class ProtectiveDevice(Record):
    """One device, by class and rating.

    Attributes:
        id: Id inside the circuit, for example the motor that an overload serves; ``""`` for one.
        kind: One of `KINDS`.
        rating_a: Rated current [A]; ``None`` where the device is rated otherwise.
        curve: Trip curve or class: ``"inverse-time"``, ``"class 10"``, ``"C"`` ...
        poles: Poles that open together.
        breaking_capacity_a: Smallest breaking capacity that suffices [A]; ``None``: not known.
        setting_a: Setting of an adjustable device [A].
        rating_v: Smallest rated voltage that suffices [V]; for a device with two ratings
            separated by a slash, the lower one.
        power_w: Smallest motor rating of a switch rated in power [W].
        setting_v: Voltage between lines below which a voltage relay drops [V].
        delay_s: How long it waits before it does [s].
    """

    id: str = ""
    kind: str = attrs.field(validator=attrs.validators.in_(KINDS))
    rating_a: float | None = None
    curve: str = ""
    poles: int
    breaking_capacity_a: float | None = None
    setting_a: float | None = None
    rating_v: float | None = None
    power_w: float | None = None
    setting_v: float | None = None
    delay_s: float | None = None
