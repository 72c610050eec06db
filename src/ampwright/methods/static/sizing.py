"""The set: its window of motors, its capacitors, and the share of its rating the motor keeps."""

import re
from pathlib import Path
from typing import NamedTuple

from ampwright.kernels.run_up import RunUp
from ampwright.methods.static.model import (
    FIGURES,
    HORSEPOWER_W,
    Setup,
    planning,
    run_capacitor,
    several,
    share_by_losses,
    start_capacitances,
    started,
)
from ampwright.plugin import Figure, Finding, Limit, Source, Worksheet, parameters, read_table

SIZES = read_table(Path(__file__).with_name("sizes.csv"))
MODEL = Source(document="network of one motor on two lines, symmetrical components", known="model")
WATTS = {"hp": HORSEPOWER_W, "kW": 1000.0}
SAME = 0.01  # a motor within a hundredth of a window's edge is inside it
SENSITIVE_BELOW_HZ = 55.0  # relays of 50 Hz countries look for a lost phase: common practice


class Chosen(NamedTuple):
    """A set that does.

    Attributes:
        run_f: Run capacitor; nought: the third line is left alone.
        start_f: Start capacitor [F].
        place: Its place among the start capacitors.
        share: Share of its rating that the motor may give for long.
        kind: Row of the planning value that bounds that share.
        begun: Its start.
        row: Row of the table of sizes.
    """

    run_f: float
    start_f: float
    place: int
    share: float
    kind: str
    begun: RunUp
    row: dict[str, str]


def window(setup: Setup) -> dict[str, str] | None:
    """Return the row of the set that suits the motor's power."""
    power = setup.motor.demand.power.value
    for row in SIZES.rows:
        same = float(row["frequency_hz"]) == round(setup.frequency_hz)
        edges = [float(row[edge]) * WATTS[row["unit"]] for edge in ("least", "most")]
        if same and edges[0] * (1.0 - SAME) <= power <= edges[1] * (1.0 + SAME):
            return dict(row)
    return None


def short(setup: Setup) -> bool:
    """Tell whether the duty on the plate is short: at most thirty minutes in an hour."""
    if "continuous" in setup.machine.machine.traits:
        return False
    found = re.fullmatch(r"S([236])(?: (\d+) ?(min|%))?", setup.motor.demand.duty)
    if found is None or found[2] is None:
        return False
    if found[3] == "min":
        return float(found[2]) <= planning("short-minutes")
    return float(found[2]) <= planning("short-minutes") / 60.0 * 100.0


def plain_kind(setup: Setup) -> str:
    """Return the row that bounds the output of a motor with its third line left alone."""
    factor = setup.motor.demand.service_factor
    if short(setup):
        return "short-time"
    if factor is not None and factor.value >= planning("great-service-factor"):
        return "service-factor"
    return "continuous"


def sensitive(setup: Setup) -> bool:
    """Tell whether the overload that is usual here looks for a lost phase."""
    return setup.frequency_hz < SENSITIVE_BELOW_HZ


def output(setup: Setup, run_f: float, kind: str) -> float:
    """Return the share of its rating that the motor keeps: planning value or losses."""
    if kind == "short-time":  # the losses may be larger for so short a time
        return planning(kind)
    return min(planning(kind), share_by_losses(setup, run_f))


def enough(setup: Setup, begun: RunUp) -> bool:
    """Tell whether the start breaks away at the lower edge of its torque, behind its conductors."""
    margin = setup.case.limits["start-torque-margin"].value
    left = (1.0 - planning("start-drop")) ** 2
    return left * begun.start_torque_low_nm >= margin * setup.motor.breakaway.value


def quick(setup: Setup, begun: RunUp) -> bool:
    """Tell whether the start is over in time."""
    return begun.starts and begun.low.time_s <= setup.case.limits["run-up-time"].value


def chosen(setup: Setup) -> Chosen | Finding:
    """Return the set for the machine, the plain one first; or why there is none."""
    where = (setup.machine.id,)
    row = window(setup)
    if row is None:
        said = parameters("power=W", power=setup.motor.demand.power)
        return Finding(code="static.no-window", severity="blocks", where=where, parameters=said)
    asked = setup.machine.average_load.value
    lost = sensitive(setup) and not short(setup)
    kind, run_f = plain_kind(setup), 0.0
    share = output(setup, run_f, kind)
    if share < asked or lost:
        run_f = run_capacitor(setup)
        if run_f > 0.0:
            kind, share = "run-capacitors", output(setup, run_f, "run-capacitors")
    if share < asked:
        return Finding(
            code="converter.static-derate", severity="blocks", where=where,
            parameters=parameters(fraction=f"{100.0 * share:.0f} %", asked=f"{100 * asked:.0f} %"),
        )  # fmt: skip
    if run_f == 0.0 and lost:
        return Finding(code="static.phase-loss-trips", severity="blocks", where=where)
    for place, start_f in enumerate(start_capacitances(setup)):
        begun = started(setup, start_f, run_f)
        if enough(setup, begun) and quick(setup, begun):
            return Chosen(run_f, start_f, place, share, kind, begun, row)
    return Finding(code="static.start-too-weak", severity="blocks", where=where)


def usual(name: str, sheet: Worksheet) -> Figure:
    """Return a planning value of static sets as a figure."""
    row = FIGURES.row(name)
    if row is None:
        raise KeyError(name)
    return sheet.assumed(
        name, name, float(row["value"]), row["unit"], source=FIGURES.source(),
        low=float(row["low"]), high=float(row["high"]),
    )  # fmt: skip


def usable(setup: Setup, one: Chosen, sheet: Worksheet) -> Figure:
    """State the share of its rating that the motor keeps."""
    bound = usual(one.kind, sheet)
    if one.kind == "short-time":
        return sheet.formula("usable", "p", "", "k", k=bound)
    losses = sheet.solved(
        "by_losses", "p", share_by_losses(setup, one.run_f), "", model="equal copper losses",
        source=MODEL, residual=0.0, inputs=[("U", setup.case.supply.voltage)],
    )  # fmt: skip
    return sheet.formula("usable", "p", "", "min(k, p)", k=bound, p=losses)


def capacitance(setup: Setup, place: int, power: Figure, part: Worksheet) -> Figure:
    """State the start capacitor number *place* [F]."""
    rule = part.assumed("start_capacitor", "c", several("start")[place], "uF/hp",
                        source=FIGURES.source())  # fmt: skip
    supply = setup.case.supply
    return part.formula(
        "capacitance", "C", "F", f"0.000001 * c * P / {HORSEPOWER_W} * (240 / U) ** 2 * 60 / f",
        c=rule, P=power, U=supply.voltage, f=supply.frequency, source=FIGURES.source(),
    )  # fmt: skip


def limits(setup: Setup, one: Chosen, name: str, sheet: Worksheet) -> tuple[Limit, ...]:
    """Return the window of the set, and the start capacitor that each constraint alone asks."""
    power = setup.motor.demand.power
    part = sheet.under(f"limits/{name}/motor-power")
    read = part.table(
        "most",
        "P",
        float(one.row["most"]),
        one.row["unit"],
        table=SIZES.id,
        cell=(one.row["id"], "most"),
        source=SIZES.source(),
        inputs=[("P", power)],
    )
    asks = part.formula("asks", "P", "W", f"{WATTS[one.row['unit']]!r} * P", P=read)
    made = [Limit(id=f"{name}/motor-power", subject=name, constraint="motor-power",
                  asks=asks.value, unit="W", governs=True)]  # fmt: skip
    subject = f"{name}/start-ca"
    alone = {"start-torque": one.place, "run-up-time": one.place}
    for place, start_f in enumerate(start_capacitances(setup)[: one.place]):
        begun = started(setup, start_f, one.run_f)
        if enough(setup, begun):
            alone["start-torque"] = min(alone["start-torque"], place)
        if quick(setup, begun):
            alone["run-up-time"] = min(alone["run-up-time"], place)
    for slug, place in alone.items():
        here = sheet.under(f"limits/{subject}/{slug}")
        farads = capacitance(setup, place, power, here)
        asks = here.formula("asks", "C", "F", "C", C=farads)
        made.append(Limit(id=f"{subject}/{slug}", subject=subject, constraint=slug,
                          asks=asks.value, unit="F", governs=place == one.place))  # fmt: skip
    return tuple(made)
