"""A dwelling on the same service, stated so that its load can be calculated."""

from collections.abc import Iterable
from typing import Literal

import attrs

from ampwright.errors import InputError, LimitError
from ampwright.records import quantities as take
from ampwright.records.statement import Statement, doors, several

Method = Literal["existing", "optional", "general"]
#: Cooking appliances that a table of demands is held for.
MOST_COOKING = 6


@attrs.frozen(kw_only=True, eq=False, repr=False, field_transformer=doors)
class Appliance(Statement):
    """An appliance of a dwelling: fastened in place, or on a circuit of its own.

    Attributes:
        name: What it is.
        rating_va: Rating on its plate, in watts or volt-amperes, which count alike [VA].
        current_a: Current on its plate, where that states no rating, as of a motor [A].
        voltage_v: Voltage on its plate; needed with a current [V].
        motor: A motor drives it.
    """

    name: str = ""
    rating_va: float | None = attrs.field(
        default=None, alias="rating", converter=take.watts_or_volt_amperes
    )
    current_a: float | None = attrs.field(default=None, alias="current", converter=take.amperes)
    voltage_v: float | None = attrs.field(default=None, alias="voltage", converter=take.volts)
    motor: bool = False

    def __attrs_post_init__(self) -> None:
        if self.rating_va is None and self.current_a is None:
            wanted = "rating, or current and voltage, to be given"
            raise InputError(None, wanted, code="field.missing")
        if self.rating_va is None and self.voltage_v is None:
            wanted = "the voltage that the current is drawn at"
            raise InputError(None, wanted, "voltage", code="field.missing")


def few(appliances: Iterable[Appliance]) -> tuple[Appliance, ...]:
    """Accept as many cooking appliances as the table of their demand goes to."""
    appliances = several(appliances)
    if len(appliances) > MOST_COOKING:
        wanted = f"at most {MOST_COOKING} cooking appliances"
        raise LimitError(f"{len(appliances)} entries", wanted, code="limit.entries")
    return appliances


@attrs.frozen(kw_only=True, eq=False, repr=False, field_transformer=doors)
class Dwelling(Statement):
    """What a dwelling unit on the same service holds, the shop not among it.

    Attributes:
        floor_area_m2: Floor area by outside dimensions, without open porches, garage, and spaces
            that are not to be lived in [m2].
        small_appliance_circuits: Branch circuits for small appliances in kitchen and dining rooms.
        laundry_circuits: Branch circuits for the laundry.
        cooking: Ranges, ovens and cooking tops.
        dryer_va: Rating of an electric clothes dryer [VA].
        appliances: All others that are fastened in place or on a circuit of their own, water
            heaters and pumps among them.
        vehicle_va: Rating of the supply equipment of an electric vehicle [VA].
        heating_va: Electric space heating; of a heat pump, its supplementary heat [VA].
        heating_units: Units of heating that are controlled separately; 1 for a central one.
        heating_continuous: The heating draws its full rating without a break, as storage heaters.
        heat_pump_va: Rating of a heat pump, without supplementary heat [VA].
        cooling: Air conditioners.
        method: How the load is calculated: ``"existing"``, ``"optional"`` and ``"general"`` are
            220.83, 220.82 and part III of article 220 of NFPA 70; ``None``: as the wiring code has
            it for a dwelling that is there and gets more load.
    """

    floor_area_m2: float = attrs.field(alias="floor_area", converter=take.square_metres)
    small_appliance_circuits: int = attrs.field(default=2, metadata={"band": (0, 50)})
    laundry_circuits: int = attrs.field(default=1, metadata={"band": (0, 20)})
    cooking: tuple[Appliance, ...] = attrs.field(default=(), converter=few)
    dryer_va: float | None = attrs.field(
        default=None, alias="dryer", converter=take.watts_or_volt_amperes
    )
    appliances: tuple[Appliance, ...] = attrs.field(default=(), converter=several)
    vehicle_va: float | None = attrs.field(
        default=None, alias="vehicle", converter=take.watts_or_volt_amperes
    )
    heating_va: float | None = attrs.field(
        default=None, alias="heating", converter=take.watts_or_volt_amperes
    )
    heating_units: int = attrs.field(default=1, metadata={"band": (1, 100)})
    heating_continuous: bool = False
    heat_pump_va: float | None = attrs.field(
        default=None, alias="heat_pump", converter=take.watts_or_volt_amperes
    )
    cooling: tuple[Appliance, ...] = attrs.field(default=(), converter=several)
    method: Method | None = None
