"""One circuit, sized."""

import attrs

from ampwright.equipment.conductor import Conductor, Raceway
from ampwright.equipment.device import ProtectiveDevice
from ampwright.record import Record
from ampwright.step import Step

ROLES = ("service", "supply", "idler", "output", "branch", "control")


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Circuit(Record):
    """One circuit from its protective device to what it feeds.

    Attributes:
        id: Id inside the option: role and what it feeds, for example ``"branch.saw"``.
        role: One of `ROLES`.
        feeds: Ids of machines or converters.
        fed_from: Id of the circuit or converter ahead; ``""`` for the panel.
        phases: 1 or 3.
        voltage_v: Nominal voltage between conductors [V].
        design_current_a: Current that the conductor must at least be rated for by its rule [A].
        conductor: The current-carrying conductors.
        protective_conductor: The equipment grounding or protective conductor.
        protective_device: Short-circuit and earth-fault device at its head; of a circuit between a
            drive and its motor the one ahead of the drive, which protects it too.
        overloads: Overload of each motor on it, by motor id.
        disconnect: Disconnecting means at what it feeds.
        raceway: Raceway, or ``None`` for a cable.
        voltage_drop_fraction: Drop along this circuit while running, over nominal.
        starting_drop_fraction: Drop along this circuit during the worst start; ``None``: no start.
        fault_current_a: Largest fault current at its head; ``None``: not known.
        fault_current_min_a: Smallest earth fault current at its end; ``None``: not known.
        voltage_to_earth_v: Volts to earth of each conductor, in the order of the legs [V].
        guards: Further devices that must drop it: a ground-fault device, a voltage relay.
        steps: How each of these numbers came about.
    """

    id: str
    role: str = attrs.field(validator=attrs.validators.in_(ROLES))
    feeds: tuple[str, ...]
    fed_from: str = ""
    phases: int
    voltage_v: float
    design_current_a: float
    conductor: Conductor
    protective_conductor: Conductor | None
    protective_device: ProtectiveDevice
    overloads: tuple[ProtectiveDevice, ...] = ()
    disconnect: ProtectiveDevice | None = None
    raceway: Raceway | None = None
    voltage_drop_fraction: float
    starting_drop_fraction: float | None = None
    fault_current_a: float | None = None
    fault_current_min_a: float | None = None
    voltage_to_earth_v: tuple[float, ...] = ()
    guards: tuple[ProtectiveDevice, ...] = ()
    steps: tuple[Step, ...] = ()

    @property
    def is_behind_drive(self) -> bool:
        """It runs from a drive to its motor: what protects it stands ahead of the drive."""
        return self.role == "output" and any(one.curve == "in the drive" for one in self.overloads)

    @property
    def devices_at_head(self) -> tuple[ProtectiveDevice, ...]:
        """The devices that stand at its head; none between a drive and its motor."""
        own = () if self.is_behind_drive else (self.protective_device,)
        return (*own, *self.guards)

    @property
    def overload(self) -> ProtectiveDevice | None:
        """The overload of a circuit with one motor; the first of several."""
        return self.overloads[0] if self.overloads else None
