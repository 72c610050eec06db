"""Motor currents: from the tables by horsepower and voltage, or from the plate by rule."""

import re
from collections.abc import Callable, Sequence
from typing import NamedTuple

from ampwright.families.nec.book import HORSEPOWER_W, Book, horsepower
from ampwright.families.nec.draft import Draft
from ampwright.finding import parameters
from ampwright.region import MotorDemand
from ampwright.step import Figure

#: Within this share of a row the power counts as the row's: 1 hp is taken as 745.7 or 746 W.
SAME_POWER = 0.005
#: Within this share a power counts as that of a row of locked-rotor currents: a motor of 1.5 kW is
#: sold as one of 2 hp. Common practice, no source.
SAME_ROW = 0.02
#: Designs for which the table of three-phase locked-rotor currents holds, by its head.
TABLE_DESIGNS = ("B", "C", "D")


class RatedMotor(NamedTuple):
    """A motor with the currents by which rules size its circuit.

    Attributes:
        demand: The motor as asked about.
        horsepower: Rated power [hp].
        current: Full-load current for conductors, switches and short-circuit devices [A].
        alone: Ampacity that a conductor of its own needs [A].
        share: What it adds to the current of others on one conductor [A].
        rule: Rule behind what a conductor of its own needs.
    """

    demand: MotorDemand
    horsepower: Figure
    current: Figure
    alone: Figure
    share: Figure
    rule: str


def is_power(power: float, row: float) -> bool:
    """Tell whether a *power* counts as that of a *row* of a table [hp]."""
    return abs(power - row) <= SAME_POWER * row


def device_row(motor: MotorDemand) -> str:
    """Return the row of the table of device percentages for a motor."""
    if motor.phases == 1:
        return "single_phase"
    if motor.wound_rotor:
        return "wound_rotor"
    return "star_delta" if motor.starter == "star-delta" else "polyphase_other_than_wound_rotor"


def voltage_column(book: Book, voltage: float) -> str | None:
    """Return the column of the motor tables for a rated *voltage* [V]; ``None``: there is none."""
    for row in book.tables["motor_voltages"].rows:
        if float(row["lowest_v"]) <= voltage <= float(row["highest_v"]):
            return row["column"]
    return None


def rated(draft: Draft, motor: MotorDemand) -> RatedMotor:
    """Return *motor* with its currents; their steps stand below ``motors/<id>``."""
    here = f"motors/{motor.id}"
    power = draft.work(
        f"{here}/power_hp", "hp", "hp", f"P / {HORSEPOWER_W!r}", "nec.430.6(A)(1)", P=motor.power
    )
    current = _full_load(draft, here, motor, power)
    service = _service(draft.book, motor.duty)
    if service:
        rule = "nec.430.22(E)"
        alone = _duty_current(draft, here, motor, *service)
        share = alone
    elif motor.minimum_circuit_current is not None:
        rule = "nec.440.4(B)"
        alone = draft.work(
            f"{here}/conductor_current_a", "I_c", "A", "MCA", rule,
            MCA=motor.minimum_circuit_current,
        )  # fmt: skip
        share = alone
    else:
        name, rule = ("motor_conductor", "nec.430.22")
        if motor.hermetic:
            name, rule = ("hermetic_conductor", "nec.440.32")
        alone = draft.work(
            f"{here}/conductor_current_a", "I_c", "A", f"{draft.book.factor(name)!r} * FLC", rule,
            FLC=current,
        )  # fmt: skip
        share = current
    return RatedMotor(
        demand=motor,
        horsepower=power,
        current=current,
        alone=alone,
        share=share,
        rule=rule,
    )


def _full_load(draft: Draft, here: str, motor: MotorDemand, power: Figure) -> Figure:
    book = draft.book
    table = "motor_current_single_phase" if motor.phases == 1 else "motor_current_three_phase"
    column = voltage_column(book, motor.voltage.value)
    if motor.hermetic:
        return _by_plate(draft, here, motor, "hermetic")
    slow = motor.multispeed or (
        motor.speed is not None and motor.speed.value < book.factor("low_speed_rpm")
    )
    cells = book.column(table, column) if column and book.has(table, column) else {}
    if slow or column is None or not cells:
        return _by_plate(draft, here, motor, "slow" if slow else "voltage")
    powers = {horsepower(key): key for key in cells}
    same = next((key for hp, key in powers.items() if is_power(power.value, hp)), None)
    path = f"{here}/full_load_current_a"
    if same is not None:
        return draft.read(
            path, "FLC", "A", table=table, key=same, column=column,
            rule="nec.430.6(A)(1)", inputs=[("hp", power), ("V", motor.voltage)],
        )  # fmt: skip
    below = max((hp for hp in powers if hp < power.value), default=None)
    above = min((hp for hp in powers if hp > power.value), default=None)
    if below is None or above is None:
        return _by_plate(draft, here, motor, "power")
    ends = {}
    for name, hp in (("lower", below), ("upper", above)):
        ends[name] = draft.read(
            f"{here}/full_load_{name}_a", f"I_{name}", "A", table=table, key=powers[hp],
            column=column, rule="nec.430.6(A)(1)", inputs=[("hp", power)],
        )  # fmt: skip
    current = draft.work(
        path, "FLC", "A", f"I1 + (hp - {below!r}) * (I2 - I1) / ({above!r} - {below!r})",
        "nec.430.6(A)(1)", hp=power, I1=ends["lower"], I2=ends["upper"],
    )  # fmt: skip
    draft.assumed(
        "motor.current-interpolated", parameters("current=A", motor=motor.id, current=current)
    )
    return current


def _by_plate(draft: Draft, here: str, motor: MotorDemand, why: str) -> Figure:
    """Take the plate current where the tables do not hold for the motor, and say why."""
    current = draft.work(
        f"{here}/full_load_current_a",
        "FLC",
        "A",
        "I_plate",
        "nec.430.6(A)(1)",
        I_plate=motor.current,
    )
    said = parameters(
        "current=A", motor=motor.id, current=current, why=why, known=motor.current_known
    )
    draft.assumed("motor.current-from-plate", said)
    if motor.current_known != "plate":
        draft.ask("plan.data-needed", f"machines.{motor.machine}.motors.current", "size")
    return current


def _service(book: Book, duty: str) -> tuple[str, str] | None:
    """Return row and column of the duty table; ``None``: continuous duty."""
    kind = re.match(r"S\d+", duty)
    row = book.tables["duty_classes"].row(kind[0]) if kind else None
    if not row or not row["service"]:
        return None
    if row["service"] != "short_time":
        return row["service"], "rated_continuous"
    minutes = re.search(r"(\d+)\s*min", duty)
    time = int(minutes[1]) if minutes else None
    if time is None or time > 15:
        return row["service"], "rated_30_or_60min"
    return row["service"], "rated_5min" if time <= 5 else "rated_15min"


def _duty_current(draft: Draft, here: str, motor: MotorDemand, row: str, column: str) -> Figure:
    percent = draft.read(
        f"{here}/duty_percent", "p", "%", table="duty_percent", key=row, column=column,
        rule="nec.430.22(E)",
    )  # fmt: skip
    current = draft.work(
        f"{here}/conductor_current_a", "I_c", "A", "p / 100 * I_plate", "nec.430.22(E)",
        p=percent, I_plate=motor.current,
    )  # fmt: skip
    said = parameters("percent=%", motor=motor.id, duty=motor.duty, service=row, percent=percent)
    draft.assumed("motor.duty-class", said)
    return current


def needing(motors: Sequence[RatedMotor]) -> list[RatedMotor]:
    """Return the motors that run at once, by what a conductor of theirs needs.

    By its duty a motor may need less than another one that draws less.
    """
    return together(motors, lambda one: one.alone.value)


def together(
    motors: Sequence[RatedMotor],
    weight: Callable[[RatedMotor], float] = lambda one: one.current.value,
) -> list[RatedMotor]:
    """Return the motors that run at once: of a machine with one at a time, its largest by *weight*.

    Motors that cannot run together count as the set that draws most: 430.24, exception 3; and for
    the speeds of one motor 430.22(B).
    """
    kept: dict[str, RatedMotor] = {}
    for one in motors:
        key = one.demand.machine if one.demand.one_at_a_time else one.demand.id
        known = kept.get(key)
        if known is None or weight(known) < weight(one):
            kept[key] = one
    return list(kept.values())


def tabulated(draft: Draft, motor: RatedMotor, path: str) -> Figure | None:
    """State the locked-rotor current of the table by horsepower [A]; ``None``: past its end.

    A power between two rows counts as the larger.
    """
    demand = motor.demand
    table = "locked_rotor_single_phase" if demand.phases == 1 else "locked_rotor_three_phase"
    column = voltage_column(draft.book, demand.voltage.value)
    cells = draft.book.column(table, column) if column and draft.book.has(table, column) else {}
    least = motor.horsepower.value * (1 - SAME_ROW)
    key = next((key for key in cells if horsepower(key) >= least), None)
    if key is None:
        return None
    return draft.read(
        path, "LRC", "A", table=table, key=key, column=str(column), rule="nec.430.251",
        inputs=[("hp", motor.horsepower)],
    )  # fmt: skip


def locked_rotor(draft: Draft, motor: RatedMotor) -> Figure:
    """Return the locked-rotor current of a start [A]: what plate or model say, else the table.

    Of a single-phase motor of which only the usual one is known, the larger of both counts, so that
    the device lets any such motor start.
    """
    demand, path = motor.demand, f"motors/{motor.demand.id}/locked_rotor_current_a"
    usual = demand.locked_rotor_current
    if usual is not None and (demand.phases != 1 or demand.locked_rotor_known != "assumed"):
        return usual
    found = tabulated(draft, motor, path)
    if usual is not None:
        return found if found is not None and found.value > usual.value else usual
    if found is not None:
        return found
    current = draft.work(path, "LRC", "A", "6 * FLC", "nec.430.251", FLC=motor.current)
    draft.assumed("motor.locked-rotor-six-times", parameters("current=A", current=current))
    return current


def standing(draft: Draft, motor: RatedMotor, locked: Figure) -> Figure:
    """Return the locked-rotor current by which a disconnect is chosen [A]: that of the table.

    The table of three phases holds for designs B, C and D; for another design, and past the end of
    either, what is *locked* at a start counts.
    """
    if motor.demand.phases == 1 or motor.demand.design in ("", *TABLE_DESIGNS):
        path = f"disconnect/{motor.demand.id}/locked_rotor_a"
        return tabulated(draft, motor, path) or locked
    return locked
