"""One load that is no motor."""

from typing import Literal

import attrs

from ampwright.errors import InputError
from ampwright.records import quantities as take
from ampwright.records.statement import Statement, doors

LoadKind = Literal[
    "resistive",
    "rectifier",
    "thyristor",
    "welder",
    "transformer",
    "lamp",
    "control",
    "constant-power",
]


@attrs.frozen(kw_only=True, eq=False, repr=False, field_transformer=doors)
class Load(Statement):
    """One load that is no motor.

    Attributes:
        kind: What draws the current.
        name: What it is.
        power_w: Rated active power [W]. One of power, apparent power and current must be given.
        apparent_power_va: Rated apparent power [VA].
        current_a: Rated line current [A].
        voltage_v: Rated voltage, between lines where it has three [V].
        element_voltage_v: Voltage of one heating element [V].
        frequency_hz: Rated frequency [Hz].
        phases_stated: 3, or 1 for a load between two conductors, stated as ``phases``; ``None``:
            not known, and taken for 3.
        power_factor: Rated power factor.
        duty_cycle: Fraction of the time that it draws current (welders).
        largest_current_a: Largest supply current of a welder, I1max [A].
        effective_current_a: Effective supply current of a welder, I1eff [A].
        relinkable: It can be linked for one phase; ``None``: not known.
        regenerates: It gives power back when it brakes.
    """

    kind: LoadKind
    name: str = ""
    power_w: float | None = attrs.field(default=None, alias="power", converter=take.watts)
    apparent_power_va: float | None = attrs.field(
        default=None, alias="apparent_power", converter=take.volt_amperes
    )
    current_a: float | None = attrs.field(default=None, alias="current", converter=take.amperes)
    voltage_v: float | None = attrs.field(default=None, alias="voltage", converter=take.volts)
    element_voltage_v: float | None = attrs.field(
        default=None, alias="element_voltage", converter=take.volts
    )
    frequency_hz: float | None = attrs.field(default=None, alias="frequency", converter=take.hertz)
    phases_stated: Literal[1, 3] | None = attrs.field(default=None, alias="phases")
    power_factor: float | None = attrs.field(default=None, converter=take.fraction)
    duty_cycle: float | None = attrs.field(default=None, converter=take.fraction)
    largest_current_a: float | None = attrs.field(
        default=None, alias="largest_current", converter=take.amperes
    )
    effective_current_a: float | None = attrs.field(
        default=None, alias="effective_current", converter=take.amperes
    )
    relinkable: bool | None = None
    regenerates: bool | None = None

    @property
    def phases(self) -> Literal[1, 3]:
        """Phases that it is made for; 3 where nobody stated them."""
        return self.phases_stated or 3

    def __attrs_post_init__(self) -> None:
        sizes = (self.power_w, self.apparent_power_va, self.current_a, self.largest_current_a)
        if all(one is None for one in sizes):
            wanted = "power, apparent_power or current to be given"
            raise InputError(None, wanted, code="field.missing")
