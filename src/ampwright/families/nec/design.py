"""What the rules ask of one circuit, before anything is chosen."""

from collections.abc import Mapping
from typing import NamedTuple

from ampwright.equipment.device import ProtectiveDevice
from ampwright.families.nec.device import Ceiling
from ampwright.step import Figure


class Design(NamedTuple):
    """What the rules ask of one circuit.

    Attributes:
        current: Current that its conductor must at least be rated for [A].
        corrected: Current that the ampacity after corrections must reach [A].
        rule: Rule behind the first.
        needs: What the device must carry, by name, with the rule behind it [A].
        ceiling: What the device may not exceed; ``None``: only the conductor bounds it.
        relation: How device and conductor are tied; see `ampwright.families.nec.ampacity.Need`.
        disconnect: Smallest rating of the disconnect and the rule behind it [A]; ``None``: none is
            needed at the load.
        horsepower: Motor rating that the disconnect needs [hp].
        overloads: Overloads of the motors on it.
        by_loads: What specific fixed loads ask for, whatever the plate says [A]; ``None``: there
            are none.
        own_device: The largest device that each of several welders may have, and the rule behind it
            [A]; ``None``: there are not several.
        device_ahead: The device stands ahead of the drive that feeds this circuit.
    """

    current: Figure
    corrected: Figure
    rule: str
    needs: Mapping[str, tuple[Figure, str]]
    ceiling: Ceiling | None = None
    relation: str = "protected"
    disconnect: tuple[Figure, str] | None = None
    horsepower: Figure | None = None
    overloads: tuple[ProtectiveDevice, ...] = ()
    by_loads: Figure | None = None
    own_device: tuple[Figure, str] | None = None
    device_ahead: bool = False
