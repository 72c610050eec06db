"""The single input that would change the choice, and at which value it would."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cached_property
from pathlib import Path
from typing import NamedTuple

import attrs

from ampwright.decision import Decision
from ampwright.finding import Finding, Question, parameters
from ampwright.method import Cost
from ampwright.option import Option
from ampwright.planning.conditions import premiums
from ampwright.planning.ranking import comparable, overloads, rivals, weighed_cost
from ampwright.step import Figure, Step, Worksheet
from ampwright.tables import Source, read_table

FIGURES = read_table(Path(__file__).with_name("sensitivity.csv"))
SUM = Source(document="sum of the costs as the ranking weighs them", known="derived")
EVEN = Source(document="value at which both ways cost the same", known="derived")
ONCE = ("purchase", "installation")
YEARLY = ("idle", "energy", "standing")
PLACE = "sensitivity"
ASSUMED_YEARS = "costs/years_of_use"
SHORT = ("supply.undersized", "supply.single-phase-limit")


class Turn(NamedTuple):
    """One input at the value at which the choice turns.

    Attributes:
        field: Path of the field that holds it.
        now: Its value.
        then: The value at which another way would come first.
        unit: Unit of both.
        other: The way that would come first.
        inside: The value lies within what is known of the input.
    """

    field: str
    now: Figure
    then: Figure
    unit: str
    other: Option
    inside: bool

    @property
    def far(self) -> float:
        """How far the input is from it, over what it is."""
        return abs(self.then.value / self.now.value - 1.0) if self.now.value else float("inf")


class Weighing:
    """Two ways compared: the one that was chosen and another, and the sheet of their sums."""

    def __init__(self, decision: Decision, best: Option, other: Option, sheet: Worksheet) -> None:
        self.decision, self.best, self.other = decision, best, other
        self.sheet = sheet.under(f"{best.id}/{other.id}")
        self.steps = {one.path: one for one in decision.steps}

    def at(self, option: Option, cost: Cost, edge: str) -> Figure:
        """Return one edge of a cost."""
        return Figure(getattr(cost, edge), f"options/{option.id}/costs/{cost.id}/{edge}")

    def total(self, option: Option, name: str, wanted: Callable[[Cost], bool]) -> Figure:
        """Return what the costs of *option* that are *wanted* sum up to, as the ranking weighs."""
        more = premiums(option)
        terms: dict[str, Figure] = {}
        parts = []
        for n, cost in enumerate(option.costs):
            if not wanted(cost):
                continue
            terms |= {f"l{n}": self.at(option, cost, "low"), f"h{n}": self.at(option, cost, "high")}
            times = repr(more.get(cost.id.partition("/")[0], 1.0))
            if cost.kind in YEARLY:
                terms["y"], times = Figure(option.years, f"options/{option.id}/years"), "y"
            parts.append(f"{times} * (l{n} + h{n}) / 2")
        return self.sheet.formula(name, "C", self.currency, " + ".join(parts) or "0", terms,
                                  source=SUM)  # fmt: skip

    @property
    def currency(self) -> str:
        """Currency of the first cost there is."""
        return next((one.currency for one in (*self.best.costs, *self.other.costs)), "USD")

    @cached_property
    def ahead(self) -> tuple[Figure, Figure]:
        """What both cost, the chosen one first."""
        return (
            self.total(self.best, "chosen", lambda _: True),
            self.total(self.other, "other", lambda _: True),
        )


def priced_alike(*options: Option) -> bool:
    """Tell whether *options* are priced, and in one currency."""
    currencies = {cost.currency for one in options for cost in one.costs}
    return len(currencies) <= 1 and all(weighed_cost(one) < float("inf") for one in options)


def of_energy(one: Weighing) -> Iterator[Turn]:
    """Yield the price of energy at which both ways cost the same."""
    price = one.decision.shop.energy_price
    if price is None:
        return
    chosen, other = one.ahead
    mine = one.total(one.best, "chosen_energy", lambda cost: cost.kind in ("idle", "energy"))
    theirs = one.total(one.other, "other_energy", lambda cost: cost.kind in ("idle", "energy"))
    if abs(mine.value - theirs.value) < 1e-9 * max(mine.value, 1.0):
        return
    now = Figure(float(price), "shop/energy_price")
    then = one.sheet.formula(
        "energy_price", "c", getattr(price, "unit", ""), "c * (1 + (B - A) / (a - b))",
        c=now, A=chosen, B=other, a=mine, b=theirs, source=EVEN,
    )  # fmt: skip
    if then.value > 0.0:
        yield Turn(
            "energy_price", now, then, getattr(price, "unit", ""), one.other, inside(now, then)
        )


def of_hours(one: Weighing) -> Iterator[Turn]:
    """Yield the hours of the machine behind an idling converter at which both cost the same."""
    idle = [cost for cost in one.best.costs if cost.kind == "idle"]
    if not idle:
        return
    cost = max(idle, key=lambda each: each.low)
    users = next(
        (each.machines for each in one.best.converters if cost.id == f"{each.id}/idle"), ()
    )
    hours = {name: hours_of(one, name) for name in users}
    known = {name: figure for name, figure in hours.items() if figure is not None}
    if not known:
        return
    longest = max(known, key=lambda name: (known[name].value, name))
    chosen, other = one.ahead
    mine = one.total(one.best, "chosen_idle", lambda each: each is cost)
    now = known[longest]
    if mine.value <= 0.0:
        return
    then = one.sheet.formula("hours", "t", "h", "t * (1 + (B - A) / a)", t=now, A=chosen, B=other,
                             a=mine, source=EVEN)  # fmt: skip
    step = one.steps.get(now.path)
    field = f"machines.{longest}.hours_per_year"
    yield Turn(field, now, then, "h", one.other, inside(now, then, step))


def hours_of(one: Weighing, machine: str) -> Figure | None:
    """Return the hours a year of a machine, stated or assumed."""
    stem = machine if f"shop/machines/{machine}/hours_per_year_h" in one.steps else ""
    paths = (f"machines/{machine}/hours", f"shop/machines/{stem or machine}/hours_per_year_h")
    step = next((one.steps[path] for path in paths if path in one.steps), None)
    return None if step is None else Figure(float(step.value), step.path)


def of_price(one: Weighing) -> Iterator[Turn]:
    """Yield for the dearest piece of the chosen way the price at which the other is as cheap."""
    once = [cost for cost in one.best.costs if cost.kind == "purchase" and cost.high > 0.0]
    if not once:
        return
    cost = max(once, key=lambda each: each.low + each.high)
    chosen, other = one.ahead
    now = one.total(one.best, "chosen_piece", lambda each: each is cost)
    then = one.sheet.formula("price", "C", one.currency, "C + B - A", C=now, A=chosen, B=other,
                             source=EVEN)  # fmt: skip
    band = then.value <= cost.high if cost.low < cost.high else inside(now, then)
    field = f"prices.{cost.id.partition('/')[0]}"
    yield Turn(field, now, then, one.currency, one.other, band)


def of_years(one: Weighing) -> Iterator[Turn]:
    """Yield the years of use at which both ways cost the same."""
    chosen, other = one.ahead
    mine = one.total(one.best, "chosen_yearly", lambda cost: cost.kind in YEARLY)
    theirs = one.total(one.other, "other_yearly", lambda cost: cost.kind in YEARLY)
    if abs(mine.value - theirs.value) < 1e-9 * max(mine.value, 1.0):
        return
    now = Figure(one.best.years, f"options/{one.best.id}/years")
    then = one.sheet.formula("years", "y", "", "y * (1 + (B - A) / (a - b))", y=now, A=chosen,
                             B=other, a=mine, b=theirs, source=EVEN)  # fmt: skip
    if then.value > 0.0:
        near = inside(now, then, one.steps.get(ASSUMED_YEARS))
        yield Turn("years_of_use", now, then, "", one.other, near)


COSTS: Sequence[Callable[[Weighing], Iterator[Turn]]] = (of_energy, of_hours, of_price, of_years)


def inside(now: Figure, then: Figure, step: Step | None = None) -> bool:
    """Tell whether a value lies within the band of the input, or within a usual misstatement."""
    if step is not None and step.low is not None and step.high is not None:
        return step.low <= then.value <= step.high
    share = FIGURES.number("misstated", "value") or 0.0
    return abs(then.value / now.value - 1.0) <= share if now.value else False


def of_supply(decision: Decision, option: Option, sheet: Worksheet) -> Iterator[Turn]:
    """Yield the main device, or the contract, at which a way that it stops would do."""
    shortages = [
        {part.name: part for part in one.parameters}
        for one in option.findings
        if one.code == "supply.undersized" and one.severity == "blocks"
    ]
    blocks = [one for one in option.findings if one.severity == "blocks"]
    if not shortages or any(one.code not in SHORT for one in blocks):
        return
    worst = max(shortages, key=lambda one: float(one["load"].value))
    now = Figure(float(worst["rating"].value), worst["rating"].step)
    then = Figure(float(worst["load"].value), worst["load"].step)
    supply = decision.shop.supply
    if supply.contract_va is not None and now.value < (supply.rating_a or float("inf")):
        volts = Figure(float(supply.voltage_v), "shop/supply/voltage_v")
        now = Figure(float(supply.contract_va), "shop/supply/contract_va")
        then = sheet.under(option.id).formula("contract_va", "S", "VA", "U * I", U=volts, I=then)
        yield Turn("supply.contract", now, then, "VA", option, inside(now, then))
    else:
        yield Turn("supply.rating", now, then, "A", option, inside(now, then))


def turns(decision: Decision, sheet: Worksheet) -> Iterator[Turn]:
    """Yield every input that alone would change the choice."""
    best = decision.best
    able = [one for one in decision.options if one.feasible and one is not best]
    for other in decision.options:
        cheaper = best is None or (
            comparable(other, best) and weighed_cost(other) < weighed_cost(best)
        )
        if overloads(other) and cheaper:
            yield from of_supply(decision, other, sheet)
    if best is None:
        return
    others = [
        one
        for one in able
        if one.assignment != best.assignment and priced_alike(best, one) and rivals(best, one)
    ]
    for other in others[:1]:
        one = Weighing(decision, best, other, sheet)
        for way in COSTS:
            yield from way(one)


def said(turn: Turn, best: Option | None) -> Finding:
    """Return the finding on the input that the choice hangs on."""
    ids = (best.id, turn.other.id) if best is not None else (turn.other.id,)
    unit = turn.unit
    return Finding(
        code="plan.choice-hangs-on",
        severity="caution" if turn.inside else "info",
        where=ids,
        parameters=parameters(
            f"now={unit} then={unit}" if unit else "",
            input=turn.field, other=turn.other.id, now=turn.now, then=turn.then,
        ),
    )  # fmt: skip


def sensitivity(decision: Decision) -> Decision:
    """Return *decision* with the single input that would change it soonest, and its question.

    The question is asked where the input may well have that value: within the band of what was
    assumed, or within a usual misstatement of what was stated.
    """
    trial = Worksheet(PLACE)
    found = sorted(turns(decision, trial), key=lambda one: (one.far, one.field))
    if not found:
        return decision
    first = found[0]
    asked: tuple[Question, ...] = ()
    if first.inside:
        asked = (
            Question(code="plan.decisive-input", field=first.field, where=(first.other.id,),
                     changes="method", parameters=parameters(input=first.field)),
        )  # fmt: skip
    return attrs.evolve(
        decision,
        findings=(*decision.findings, said(first, decision.best)),
        questions=(*decision.questions, *asked),
        steps=(*decision.steps, *needed(first.then.path, trial.steps)),
    )


def needed(path: str, steps: Sequence[Step]) -> tuple[Step, ...]:
    """Return those of *steps* that the step at *path* rests on, itself included, in order."""
    by_path: Mapping[str, Step] = {one.path: one for one in steps}
    wanted, seen = [path], set()
    while wanted:
        here = wanted.pop()
        if here in by_path and here not in seen:
            seen.add(here)
            wanted += [one for _, one in by_path[here].inputs]
    return tuple(one for one in steps if one.path in seen)
