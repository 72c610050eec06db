"""The motor rating that a switch needs when it disconnects several motors or a converter."""

from collections.abc import Sequence

from ampwright.families.nec.book import horsepower
from ampwright.families.nec.draft import Draft
from ampwright.families.nec.motor import RatedMotor, voltage_column
from ampwright.families.nec.ratings import reaches
from ampwright.step import Figure


def rated_for(
    draft: Draft, name: str, table: str, column: str | None, needed: Figure, rule: str
) -> Figure | None:
    """State the smallest horsepower whose current in *table* reaches *needed*; ``None``: none."""
    if column not in draft.book.tables[table].columns:
        return None
    cells = draft.book.column(table, str(column))
    key = next((key for key, current in cells.items() if reaches(current, needed.value)), None)
    if key is None:
        return None
    return draft.read(
        f"disconnect/{name}_hp", "hp", "hp", table=table, key=key, column=str(column),
        value=horsepower(key), rule=rule, inputs=[("I", needed)],
    )  # fmt: skip


def equivalent_horsepower(
    draft: Draft,
    motors: Sequence[RatedMotor],
    at_rest: Sequence[Figure],
    full: Figure,
    voltage: Figure,
) -> Figure:
    """State the motor rating by the sums of full-load and of locked-rotor currents [hp].

    Where the sums go past the tables, the horsepower of the motors is added up.

    Args:
        draft: Sheet of the circuit.
        motors: Motors that run at once.
        at_rest: Their locked-rotor currents [A].
        full: Sum of the full-load currents, other loads included [A].
        voltage: Voltage that the switch is for [V].
    """
    rule = "nec.430.110(C)"
    ending = "single_phase" if motors[0].demand.phases == 1 else "three_phase"
    column = voltage_column(draft.book, voltage.value)
    standing = {f"L{n}": one for n, one in enumerate(at_rest)}
    running = {f"M{n}": one.current for n, one in enumerate(motors)}
    total = draft.work(
        "disconnect/locked_sum_a", "LRC", "A",
        f"{' + '.join(standing)} + I_sum - ({' + '.join(running)})", rule,
        I_sum=full, **standing, **running,
    )  # fmt: skip
    by_full = rated_for(draft, "by_full_load", f"motor_current_{ending}", column, full, rule)
    by_locked = rated_for(draft, "by_locked_rotor", f"locked_rotor_{ending}", column, total, rule)
    if by_full is None or by_locked is None:
        powers = {f"P{n}": one.horsepower for n, one in enumerate(motors)}
        return draft.work("disconnect/power_hp", "hp", "hp", " + ".join(powers), rule, **powers)
    return draft.work("disconnect/power_hp", "hp", "hp", "max(F, S)", rule, F=by_full, S=by_locked)
