"""What the rules ask of one circuit, before anything is chosen."""

from typing import NamedTuple

from ampwright.equipment.device import ProtectiveDevice
from ampwright.families.iec.device import Needs
from ampwright.step import Figure


class Design(NamedTuple):
    """What the rules ask of one circuit.

    Attributes:
        current: Design current [A].
        rule: Rule behind it.
        needs: What the device must carry.
        protects: The device protects the conductor from overload; ``False``: a drive does.
        device_ahead: The device stands ahead of the drive that feeds this circuit.
        switch: A switch-disconnector belongs to what it feeds.
        power: Sum of the motor powers behind that switch [W]; ``None``: no motors.
        overloads: Overloads of the motors on it.
        waveform: What residual current it can cause: a row of ``residual_current_needs``.
    """

    current: Figure
    rule: str
    needs: Needs
    protects: bool = True
    device_ahead: bool = False
    switch: bool = False
    power: Figure | None = None
    overloads: tuple[ProtectiveDevice, ...] = ()
    waveform: str = "plain"
