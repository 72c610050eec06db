"""Overload protection of a motor, by service factor or temperature rise, on its plate current."""

from ampwright.equipment.device import ProtectiveDevice
from ampwright.families.nec.draft import Draft
from ampwright.region import MotorDemand

#: Trip class that general motors take; NEMA ICS 2, from memory.
TRIP_CLASS = "class 10"


def overload(
    draft: Draft, motor: MotorDemand, poles: int, *, in_drive: bool = False
) -> ProtectiveDevice:
    """Return the overload of one motor, at the limit that its plate allows and never above.

    Args:
        draft: Sheet of the circuit; the steps stand below ``overloads/<motor>``.
        motor: The motor.
        poles: Overload units: three on three-phase.
        in_drive: The drive ahead of the motor gives it.
    """
    book, place = draft.book, f"overloads/{motor.id}"
    sf, rise = motor.service_factor, motor.temperature_rise
    high = (sf is not None and sf.value >= book.factor("overload_service_factor_least")) or (
        rise is not None and rise.value <= book.factor("overload_temperature_rise_most_k")
    )
    factor = draft.factor(f"{place}/factor", "k", "overload_high" if high else "overload_low")
    inputs = {"k": factor, "I_plate": motor.current}
    setting = draft.work(
        f"{place}/setting_a", "I_ol", "A", "k * I_plate", "nec.430.32(A)(1)", **inputs
    )
    draft.work(f"{place}/poles", "n", "", str(poles), "nec.430.37")
    if motor.largest_leg is not None and motor.largest_leg.value > setting.value:
        draft.find(
            "protection.overload-trips-running", "caution", "nec.430.32(A)(1)", "leg=A setting=A",
            motor=motor.id, leg=motor.largest_leg, setting=setting,
        )  # fmt: skip
    return ProtectiveDevice(
        id=motor.id,
        kind="overload",
        curve="in the drive" if in_drive else TRIP_CLASS,
        poles=poles,
        setting_a=setting.value,
    )
