"""The switch-disconnector at a machine or converter."""

from ampwright.equipment.device import ProtectiveDevice
from ampwright.families.iec.device import Device
from ampwright.families.iec.draft import Draft
from ampwright.step import Figure

HERE = "disconnect"
RULE = "iec.60204-1.5.3"


def switch_disconnector(
    draft: Draft, device: Device, poles: int, voltage: Figure, power: Figure | None
) -> ProtectiveDevice | None:
    """Return the smallest switch that the device ahead protects; steps: ``disconnect``.

    Args:
        draft: Sheet of the circuit.
        device: Device at the head of the circuit.
        poles: Conductors that it opens together.
        voltage: Nominal voltage [V].
        power: Sum of the motor powers behind it [W]; ``None``: no motors.
    """
    listed = draft.book.column("switch_ratings", "rating_a")
    key = next((key for key, one in listed.items() if one >= device.rating.value), None)
    if key is None:
        draft.find("disconnect.none-large-enough", "blocks", RULE, "needed=A", needed=device.rating)
        return None
    rating = draft.read(
        f"{HERE}/rating_a", "I_s", "A", table="switch_ratings", key=key, column="rating_a",
        rule="iec.60947-3", inputs=[("I_n", device.rating)],
    )  # fmt: skip
    draft.work(f"{HERE}/poles", "n", "", str(poles), "iec.537.3")
    volts = draft.work(f"{HERE}/rating_v", "U", "V", "U", RULE, U=voltage)
    if power is not None:
        power = draft.work(f"{HERE}/power_w", "P", "W", "P", "iec.60947-3", P=power)
    return ProtectiveDevice(
        kind="disconnect",
        rating_a=rating.value,
        poles=poles,
        rating_v=volts.value,
        power_w=power.value if power else None,
    )
