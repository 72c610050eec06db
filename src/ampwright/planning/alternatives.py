"""Cheaper ways than converting: three-phase, another machine, hire; and what is not worth it."""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

from ampwright.case import Case, MachineCase
from ampwright.finding import Finding, parameters
from ampwright.option import Option
from ampwright.planning.currencies import Rate
from ampwright.planning.parting import parted_at
from ampwright.planning.ranking import total_cost
from ampwright.step import Figure, Step, Worksheet
from ampwright.tables import Source, read_table

FIGURES = read_table(Path(__file__).with_name("alternative_figures.csv"))
PRICES = read_table(Path(__file__).with_name("alternatives.csv"))
ONCE = ("purchase", "installation")
SHARE = Source(document="common costs shared by equal apparent power", known="practice")
SPREAD = Source(document="what is paid once, spread over the hours of its years", known="practice")
THREE_PHASE, HIRE = "utility", "hire"


class Said(NamedTuple):
    """What there is to say about cheaper ways, and the steps of the figures in it."""

    findings: tuple[Finding, ...]
    steps: tuple[Step, ...]


def figure(name: str) -> float:
    """Return one planning value."""
    value = FIGURES.number(name, "value")
    if value is None:
        raise KeyError(name)
    return value


def middle(option: Option) -> float:
    """Return the middle of what *option* costs over its years of use."""
    return sum(total_cost(option)) / 2.0


def currencies(*options: Option) -> set[str]:
    """Return the currencies in which *options* are priced."""
    return {cost.currency for one in options for cost in one.costs}


def cheaper_three_phase(options: Sequence[Option]) -> Iterator[Finding]:
    """Yield a finding where real three-phase costs less than what else is needed.

    It does, too, where nothing else can be done at all.
    """
    apart = [one for one in options if THREE_PHASE in one.assignment.values()]
    others = [one for one in options if one not in apart and one.feasible]
    whole = [one for one in apart if set(one.assignment.values()) == {THREE_PHASE}]
    if not whole:
        return
    dearer = [
        one
        for one in others
        if len(currencies(one, whole[0])) > 1 or middle(one) <= middle(whole[0])
    ]
    if not dearer:
        yield Finding(code="plan.cheaper-alternative", severity="info", where=("supply",),
                      parameters=parameters(alternative="three-phase"))  # fmt: skip


def power(machine: MachineCase) -> float:
    """Return the sum of the motors that run at once [W]."""
    return sum(one.demand.power.value for one in machine.simultaneous_motors)


def cheaper_machine(case: Case) -> Iterator[Finding]:
    """Yield a finding where the machine that alone sets a converter's size can be exchanged."""
    order = sorted((one for one in case.machines if one.motors), key=power, reverse=True)
    if len(order) < 2 or not order[0].machine.single_phase_unit:
        return
    if power(order[0]) >= figure("alone") * power(order[1]):
        yield Finding(code="plan.cheaper-alternative", severity="info", where=(order[0].id,),
                      parameters=parameters(alternative="single-phase-machine"))  # fmt: skip


class Spent(NamedTuple):
    """What converting a machine costs once, and the currency of it."""

    cost: Figure
    currency: str


def cost_of(case: Case, option: Option, machine: MachineCase, sheet: Worksheet) -> Spent | None:
    """Return the middle of what converting *machine* costs once; ``None`` without a price.

    A piece that it shares counts by its part of the equal apparent power that the piece serves:
    what of a machine stays on the panel is none of it. What is priced in two currencies has no such
    sum.
    """
    pieces = {one.id: one.machines for one in option.converters}
    method = option.assignment[machine.id]
    # heaters beside a motor may be relinked whatever serves the motor
    pieces |= {f"{one}.{machine.id}": (machine.id,) for one in (method, "relink") if method}
    terms: dict[str, Figure] = {}
    parts = []
    paid = set()
    for n, cost in enumerate(option.costs):
        users = pieces.get(cost.id.partition("/")[0], ())
        if cost.kind not in ONCE or machine.id not in users:
            continue
        paid.add(cost.currency)
        place = f"options/{option.id}/costs/{cost.id}"
        terms[f"l{n}"] = Figure(cost.low, f"{place}/low")
        terms[f"h{n}"] = Figure(cost.high, f"{place}/high")
        part = f"(l{n} + h{n}) / 2"
        if len(users) > 1:
            shares = {f"I{n}_{k}": served(case, option, one) for k, one in enumerate(users)}
            terms |= shares
            own = f"I{n}_{users.index(machine.id)}"
            part = f"{part} * {own} / ({' + '.join(shares)})"
        parts.append(part)
    if len(paid) != 1:
        return None
    (currency,) = paid
    total = sheet.formula("cost", "C", currency, " + ".join(parts), terms, source=SHARE)
    return Spent(total, currency)


def served(case: Case, option: Option, machine: str) -> Figure:
    """Return the equal apparent power of what of a machine is converted [A]: the whole, or less."""
    path = parted_at(option.id, machine)
    left = (one.value for one in option.steps if one.path == path)
    value = next(left, None)
    return case.machine(machine).equal_kva if value is None else Figure(float(value), path)


def not_worth_it(
    case: Case, machine: MachineCase, spent: Spent, exchange: Rate | None, sheet: Worksheet
) -> Iterator[Finding]:
    """Yield a finding where converting a machine is not worth it for its value or its hours.

    It is not where it costs more than the machine is worth, or, spread over the hours that are
    stated and the years of use, more for each hour than hiring one: common practice, no source.
    """
    value, (cost, currency) = machine.machine.value, spent
    said: dict[str, Figure] = {}
    if value is not None and cost.value > value and getattr(value, "unit", currency) == currency:
        said["value"] = Figure(float(value), f"{case.stated_at(machine.id)}/value")
    said |= dearer_than_hire(case, machine, spent, exchange, sheet)
    if not said:
        return
    units = f"cost={currency} value={currency} hour={currency}/h hire={currency}/h"
    yield Finding(
        code="plan.not-worth-it", severity="info", where=(machine.id,),
        parameters=parameters(units, cost=cost, **said),
    )  # fmt: skip


def dearer_than_hire(
    case: Case, machine: MachineCase, spent: Spent, exchange: Rate | None, sheet: Worksheet
) -> dict[str, Figure]:
    """Return what an hour of a converted machine costs and one of a hired one; none: no more."""
    stated, base = machine.machine.hours_per_year_h, PRICES.heads["currency"]
    row = PRICES.row(HIRE)
    if not stated or row is None:
        return {}
    times = 1.0
    if spent.currency != base:
        if exchange is None or exchange.currency != spent.currency:
            return {}
        times = exchange.value
    if spent.cost.value <= times * float(row["per_hour"]) * case.years.value * stated:
        return {}
    part = sheet.under("an_hour")
    hour = part.formula("converted", "c_h", f"{spent.currency}/h", "C / (y * t)", C=spent.cost,
                        y=case.years, t=machine.hours, source=SPREAD)  # fmt: skip
    hire = part.table("hired", "c_h", float(row["per_hour"]), f"{base}/h", table=PRICES.id,
                      cell=(HIRE, "per_hour"), source=PRICES.source())  # fmt: skip
    if spent.currency != base and exchange is not None:
        rate = part.assumed("rate", "x", times, exchange.unit, source=exchange.source,
                            low=exchange.low, high=exchange.high)  # fmt: skip
        hire = part.formula("hired_here", "c_h", f"{spent.currency}/h", "x * c", x=rate, c=hire)
    return {"hour": hour, "hire": hire}


def seldom(
    case: Case, machine: MachineCase, spent: Spent, exchange: Rate | None, sheet: Worksheet
) -> Iterator[Finding]:
    """Yield a finding for the cheapest way to do without, for a machine that seldom runs.

    Its rough prices are put into the currency of the conversion; where no rate leads there, nothing
    is compared.
    """
    stated, base = machine.machine.hours_per_year_h, PRICES.heads["currency"]
    if stated is None or stated > figure("few-hours"):
        return
    if spent.currency != base and (exchange is None or exchange.currency != spent.currency):
        return
    if spent.currency == base:
        exchange = None
    found: list[tuple[float, str, Figure]] = []
    for row in PRICES.rows:
        part = sheet.under(row["id"])
        rates = {
            name: part.table(name, symbol, float(row[name]), f"{base}/{unit}", table=PRICES.id,
                             cell=(row["id"], name), source=PRICES.source())
            for name, symbol, unit in (("per_hour", "c_h", "h"), ("per_kw", "c_P", "kW"))
        }  # fmt: skip
        powers = {f"P{n}": one.demand.power for n, one in enumerate(machine.simultaneous_motors)}
        total = part.formula(
            "cost" if exchange is None else "cost_before", "C", base,
            f"y * t * h + k * ({' + '.join(powers) or '0'}) / 1000",
            powers, y=case.years, t=machine.hours, h=rates["per_hour"], k=rates["per_kw"],
        )  # fmt: skip
        if exchange is not None:
            times = part.assumed(
                "rate", "x", exchange.value, exchange.unit, source=exchange.source,
                low=exchange.low, high=exchange.high,
            )  # fmt: skip
            total = part.formula("cost", "C", spent.currency, "x * c", x=times, c=total)
        found.append((total.value, row["id"], total))
    least, name, total = min(found)
    if least < spent.cost.value:
        said = parameters(f"price={spent.currency}", alternative=name, price=total,
                          years=case.years)  # fmt: skip
        yield Finding(
            code="plan.cheaper-alternative", severity="info", where=(machine.id,), parameters=said
        )


def alternatives(case: Case, options: Sequence[Option], exchange: Rate | None = None) -> Said:
    """Return what there is to say about cheaper ways than the first of *options*.

    Args:
        case: The shop.
        options: The ways to run it, best first.
        exchange: At which rough prices are put into the shop's currency, if it is another.
    """
    sheet = Worksheet("alternatives")
    found = [*cheaper_three_phase(options), *cheaper_machine(case)]
    for machine in case.machines if options else ():
        part = sheet.under(machine.id)
        spent = cost_of(case, options[0], machine, part)
        if spent is not None:
            found += not_worth_it(case, machine, spent, exchange, part)
            found += seldom(case, machine, spent, exchange, part)
    return Said(tuple(found), sheet.steps)
