"""Intake: the statement read, plates completed, every number given a step."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

import attrs

from ampwright.case import Bound, Case, LoadCase, MachineCase, MotorCase, SupplyCase
from ampwright.finding import Assumption, Finding, Parameter, Question, parameters
from ampwright.nameplate.plate import Plate, read_plate
from ampwright.nameplate.remarks import stated_units
from ampwright.planning.demand import running_sets
from ampwright.planning.given import PLATE, steps_of
from ampwright.planning.loads import LoadPlace, load_case
from ampwright.planning.motors import motor_case, single_phase_demand
from ampwright.planning.rated import Words
from ampwright.planning.supply import supply_case
from ampwright.records.load import Load
from ampwright.records.machine import Machine
from ampwright.records.motor import Motor
from ampwright.records.shop import Shop
from ampwright.region import MotorDemand
from ampwright.step import Figure, Step, Worksheet
from ampwright.tables import Source, read_table

USUAL = read_table(Path(__file__).with_name("machine_figures.csv"))
#: What a plate says of its voltages is said again once the supply is known.
SAID_LATER = ("nameplate.dual-voltage", "nameplate.single-voltage")
DEFINITION = Source(document="definition of the unit", known="derived")
POWER = Source(document="equal apparent power on one phase", known="derived")


def expanded(shop: Shop) -> tuple[tuple[Machine, ...], dict[str, tuple[str, ...]]]:
    """Return the machines, each as often as there are of it, and the ids of the copies."""
    machines, copies = [], {}
    for machine in shop.machines:
        names = [machine.id, *(f"{machine.id}:{n}" for n in range(2, machine.quantity + 1))]
        copies[machine.id] = tuple(names)
        machines += [attrs.evolve(machine, id=name, quantity=1) for name in names]
    return tuple(machines), copies


class Parts(NamedTuple):
    """A machine with what is on its plate.

    Attributes:
        machine: The machine, with what its plate proves of it.
        motors: Its motors.
        loads: Its other loads.
        where: Path of their statement.
        steps: Steps of the figures on the plate.
    """

    machine: Machine
    motors: Sequence[Motor]
    loads: Sequence[Load]
    where: str
    steps: list[Step]


def proved(machine: Machine, plate: Plate) -> Machine:
    """Return *machine* with what its plate proves of it, where the caller did not say."""
    traits = dict.fromkeys((*machine.traits, *plate.traits))
    one_at_a_time = machine.motors_one_at_a_time
    return attrs.evolve(
        machine,
        traits=tuple(traits),
        motors_one_at_a_time=plate.one_at_a_time or None
        if one_at_a_time is None
        else one_at_a_time,
        starter=machine.starter or plate.starter,
        needs_neutral=plate.needs_neutral
        if machine.needs_neutral is None
        else machine.needs_neutral,
    )


def parts_of(machine: Machine, stem: str, locale: str | None, words: Words) -> Parts:
    """Return a machine with its motors and loads, where they are stated, and a plate's steps."""
    if machine.plate is None:
        where = f"shop/machines/{stem}"
        units = Worksheet(f"machines/{machine.id}/units")
        words.findings.extend(
            attrs.evolve(one, where=(machine.id,), parameters=defined(one, units.under(str(n))))
            for n, motor in enumerate(machine.motors)
            for one in stated_units(motor)
        )
        return Parts(machine, machine.motors, machine.loads, where, [*units.steps])
    plate = read_plate(machine.plate, locale=locale)
    where = f"machines/{machine.id}/plate"
    said = Worksheet(where)
    words.findings.extend(
        attrs.evolve(one, where=(machine.id,), parameters=traced(one, said.under(f"said/{n}")))
        for n, one in enumerate(plate.findings)
        if one.code not in SAID_LATER
    )
    words.questions.extend(
        attrs.evolve(one, where=(machine.id,), parameters=traced(one, said.under(f"asked/{n}")))
        for n, one in enumerate(plate.questions)
    )
    loads = [*machine.loads, *plate.loads]
    steps = [
        step
        for kind, several in (("motors", plate.motors), ("loads", loads))
        for n, one in enumerate(several)
        for step in steps_of(one, f"{where}/{kind}/{n}", PLATE)
    ]
    return Parts(proved(machine, plate), plate.motors, loads, where, [*steps, *said.steps])


def defined(said: Finding, sheet: Worksheet) -> tuple[Parameter, ...]:
    """Return the parameters of what is said about a unit, each number as the definition has it."""
    return tuple(
        one
        if isinstance(one.value, str)
        else attrs.evolve(
            one,
            step=sheet.assumed(one.name, one.name, one.value, one.unit, source=DEFINITION).path,
        )
        for one in said.parameters
    )


def traced(said: Finding | Question, sheet: Worksheet) -> tuple[Parameter, ...]:
    """Return the parameters of what a plate gave cause to say, each number with a step."""
    made = []
    for one in said.parameters:
        if isinstance(one.value, str) or one.step:
            made.append(one)
            continue
        figure = sheet.given(one.name, one.name, one.value, one.unit)
        made.append(attrs.evolve(one, step=figure.path))
    return tuple(made)


def length_of(machine: Machine, stem: str, sheet: Worksheet, words: Words) -> Figure:
    """Return the one-way length of cable that serves the machine [m]."""
    if machine.route is not None and machine.route.length_m is not None:
        path = f"shop/machines/{stem}/route/length_m"
        return Figure(float(machine.route.length_m), path)
    if machine.length_m is not None:
        return Figure(float(machine.length_m), f"shop/machines/{stem}/length_m")
    figure = usual(sheet, "length", words, machine.id)
    words.findings.append(
        Finding(code="plan.route-unknown", severity="caution", where=(machine.id,),
                parameters=parameters("length=m", length=figure))
    )  # fmt: skip
    return figure


def usual(sheet: Worksheet, name: str, words: Words, machine: str) -> Figure:
    """Return a usual value of a machine, said as an assumption."""
    row = USUAL.row(name)
    if row is None:
        raise KeyError(name)
    figure = sheet.assumed(
        name, row["symbol"], float(row["value"]), row["unit"], source=USUAL.source(),
        low=float(row["low"]), high=float(row["high"]),
    )  # fmt: skip
    unit = f"value={row['unit']}" if row["unit"] else ""
    said = Assumption(
        code=f"machine.{name.replace('_', '-')}-assumed",
        where=(machine,),
        parameters=parameters(unit, value=figure),
    )
    words.assumptions.append(said)
    return figure


def stated_or_usual(
    machine: Machine, stem: str, field: str, name: str, sheet: Worksheet, words: Words
) -> Figure:
    """Return a figure of the machine that the caller stated, or a usual one."""
    value = getattr(machine, field)
    if value is not None:
        return Figure(float(value), f"shop/machines/{stem}/{field}")
    return usual(sheet, name, words, machine.id)


def hours_of(machine: Machine, stem: str, sheet: Worksheet, words: Words) -> Figure:
    """Return the hours a year: stated, by the day, or usual [h]."""
    if machine.hours_per_year_h is None and machine.hours_per_day_h is not None:
        days = usual(sheet, "days", words, machine.id)
        day = Figure(float(machine.hours_per_day_h), f"shop/machines/{stem}/hours_per_day_h")
        return sheet.formula("hours", "t", "h", "n * t", n=days, t=day)
    return stated_or_usual(machine, stem, "hours_per_year_h", "hours", sheet, words)


def equal_kva(
    motors: Sequence[MotorCase],
    single: Sequence[MotorDemand],
    loads: Sequence[LoadCase],
    supply: SupplyCase,
    sheet: Worksheet,
) -> Figure:
    """Return the single-phase current of the same apparent power as the plates state [A]."""
    terms, figures = [], {"U": supply.voltage}
    for n, motor in enumerate(motors):
        figures |= {f"V{n}": motor.demand.voltage, f"I{n}": motor.demand.current}
        terms.append(f"sqrt(3) * V{n} * I{n} / U")
    for n, demand in enumerate(single):
        figures |= {f"v{n}": demand.voltage, f"i{n}": demand.current}
        terms.append(f"v{n} * i{n} / U")
    for n, load in enumerate(loads):
        figures[f"S{n}"] = load.apparent
        terms.append(f"S{n} / U")
    return sheet.formula("equal_kva", "I_eq", "A", " + ".join(terms) or "0", figures, source=POWER)


def machine_case(
    machine: Machine, stem: str, supply: SupplyCase, locale: str | None, words: Words
) -> tuple[MachineCase, list[Step]]:
    """Return one machine completed, and its steps."""
    machine, motors, loads, where, steps = parts_of(machine, stem, locale, words)
    three, single, others = [], [], []
    for n, motor in enumerate(motors):
        place = f"{where}/motors/{n}"
        if motor.phases == 3:
            case, sheet = motor_case(machine, n, motor, place, supply, words, stem=stem)
            three.append(case)
        else:
            demand, sheet = single_phase_demand(machine, n, motor, place, supply, words)
            single.append(demand)
        steps += sheet.steps
    for n, load in enumerate(loads):
        lasting = "continuous" in machine.traits
        told = f"{machine.name} {machine.plate or ''}"
        spot = LoadPlace(machine.id, n, f"{where}/loads/{n}", lasting, told)
        found, sheet = load_case(load, spot, supply, words)
        others.append(found)
        steps += sheet.steps
    sheet = Worksheet(f"machines/{machine.id}")
    made = MachineCase(
        machine=machine,
        motors=tuple(three),
        single_phase=tuple(single),
        loads=tuple(others),
        length=length_of(machine, stem, sheet, words),
        hours=hours_of(machine, stem, sheet, words),
        average_load=stated_or_usual(machine, stem, "average_load", "average_load", sheet, words),
        equal_kva=Figure(0.0, ""),
    )
    running = made.simultaneous_motors
    made = attrs.evolve(made, equal_kva=equal_kva(running, single, others, supply, sheet))
    return made, [*steps, *sheet.steps]


def limits_of(limits: Mapping[str, Bound]) -> tuple[dict[str, Figure], tuple[Step, ...]]:
    """Return every limit as a figure, and the steps that state them."""
    sheet = Worksheet("limits")
    figures = {
        name: sheet.assumed(name, name, one.value, one.unit, source=one.source)
        for name, one in limits.items()
    }
    return figures, sheet.steps


def years_of(shop: Shop, words: Words) -> tuple[Figure, tuple[Step, ...]]:
    """Return the years of use that costs are weighed over, stated or usual, and their step."""
    if shop.years_of_use is not None:
        return Figure(float(shop.years_of_use), "shop/years_of_use"), ()
    sheet = Worksheet("costs")
    row = USUAL.row("years") or {}
    years = sheet.assumed(
        "years_of_use", row["symbol"], float(row["value"]), row["unit"], source=USUAL.source(),
        low=float(row["low"]), high=float(row["high"]),
    )  # fmt: skip
    words.assumptions.append(
        Assumption(code="plan.years-assumed", where=(), parameters=parameters(value=years))
    )
    return years, sheet.steps


def intake(shop: Shop, limits: Mapping[str, Bound]) -> Case:
    """Return the shop completed: plates read, motors identified, everything given a step."""
    words = Words([], [], [])
    steps = list(steps_of(shop, "shop"))
    supply, reading = supply_case(shop.supply)
    steps += reading.sheet.steps
    machines, copies = expanded(shop)
    origin = {name: stem for stem, names in copies.items() for name in names}
    cases = []
    for machine in machines:
        case, made = machine_case(machine, origin[machine.id], supply, shop.locale, words)
        cases.append(case)
        steps += made
    sets, assumed = running_sets(shop, copies)
    bounds, made_limits = limits_of(limits)
    years, made_years = years_of(shop, words)
    return Case(
        shop=shop,
        supply=supply,
        machines=tuple(cases),
        sets=sets,
        limits=bounds,
        years=years,
        steps=(*steps, *made_limits, *made_years),
        findings=tuple(words.findings),
        assumptions=(*reading.assumptions, *words.assumptions, *assumed),
        questions=(*reading.questions, *words.questions),
    )
