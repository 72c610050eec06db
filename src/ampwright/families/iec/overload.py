"""Overload protection of a motor: set to its plate, of a class that lets the start pass."""

from ampwright.equipment.device import ProtectiveDevice
from ampwright.families.iec.draft import Draft
from ampwright.region import MotorDemand
from ampwright.step import Figure

TABLE = "overload_classes"
USUAL_CLASS = "10"


def overload(
    draft: Draft,
    motor: MotorDemand,
    locked: Figure,
    time: Figure,
    poles: int,
    *,
    in_drive: bool = False,
) -> ProtectiveDevice:
    """Return the overload of one motor, at its plate current and never above.

    Args:
        draft: Sheet of the circuit; the steps stand below ``overloads/<motor>``.
        motor: The motor.
        locked: Its locked-rotor current [A].
        time: How long its start lasts [s].
        poles: Lines that it watches.
        in_drive: The drive ahead of the motor gives it.
    """
    place = f"overloads/{motor.id}"
    setting = draft.work(
        f"{place}/setting_a", "I_r", "A", "I_plate", "iec.60204-1.7.3", I_plate=motor.current
    )
    draft.work(f"{place}/poles", "n", "", str(poles), "iec.60204-1.7.3")
    if motor.largest_leg is not None and motor.largest_leg.value > setting.value:
        draft.find(
            "protection.overload-trips-running", "caution", "iec.60947-4-1", "leg=A setting=A",
            motor=motor.id, leg=motor.largest_leg, setting=setting,
        )  # fmt: skip
    name = "in the drive" if in_drive else _class(draft, place, motor, locked, time, setting)
    return ProtectiveDevice(
        id=motor.id, kind="overload", curve=name, poles=poles, setting_a=setting.value
    )


def _class(
    draft: Draft, place: str, motor: MotorDemand, locked: Figure, time: Figure, setting: Figure
) -> str:
    """State the first class whose quickest relay lets the start pass from cold.

    A relay is one heated body; at the end of the start it has come to this multiple of its setting.
    """
    rows = sorted(draft.book.tables[TABLE].rows, key=lambda row: float(row["order"]))
    reached = {}
    chosen = ""
    for row in rows:
        key = row["class"]
        tau, hold = (
            draft.read(
                f"{place}/classes/{key}/{column}", symbol, unit, table=TABLE, key=key,
                column=column, rule="iec.60947-4-1",
            )
            for column, symbol, unit in (("time_constant_s", "tau", "s"), ("hold", "p", ""))
        )  # fmt: skip
        reached[key] = draft.work(
            f"{place}/classes/{key}/reached", "theta", "",
            "I_LR / I_r * sqrt(1 - 2.718281828459045 ** (-t / tau))", "iec.60947-4-1",
            I_LR=locked, I_r=setting, t=time, tau=tau,
        )  # fmt: skip
        if reached[key].value <= hold.value:
            chosen = key
            break
    if not chosen:
        chosen = rows[-1]["class"]
        draft.find(
            "protection.overload-trips-at-start", "caution", "iec.60947-4-1", "time=s",
            motor=motor.id, time=time, trip_class=chosen,
        )  # fmt: skip
    draft.read(
        f"{place}/class", "class", "", table=TABLE, key=chosen, column="order", value=chosen,
        rule="iec.60947-4-1", inputs=[("theta", reached[chosen]), ("t", time)],
    )  # fmt: skip
    return f"class {chosen}"
