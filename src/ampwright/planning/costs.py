"""What an option costs: rough prices, unless the caller brings his own."""

import math
from collections.abc import Iterable, Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import NamedTuple

import attrs

from ampwright.case import Case, MachineCase
from ampwright.equipment.converter import Converter
from ampwright.method import Cost, Proposal, State
from ampwright.planning.currencies import CALLER, Rate, rate
from ampwright.step import HERE, Figure, Step, Worksheet
from ampwright.tables import Source, read_table

#: Whose price a transformer has, whichever method brings it.
TRANSFORMER = "transformer"
MONEY = ("fixed", "per_kw", "labour")
BUILT_IN = Path(__file__).with_name("prices.csv")


class Price(NamedTuple):
    """Rough price of one method: a fixed part, a part for each kW, labour, and the band."""

    fixed: float
    per_kw: float
    labour: float
    low: float
    high: float


class Prices(NamedTuple):
    """Prices by method, their currency, and where they come from.

    Attributes:
        by_method: Price of each method, in the currency that `currency_of` says.
        currency: Currency of all of them, those of `foreign` apart.
        source: Where the built-in ones come from.
        said: Method and part of each price that the caller stated.
        rate: At which the built-in ones were put into *currency*; ``None`` where they are in it,
            or no rate is known.
        foreign: Currency of the prices that the caller did not state, where no rate leads from it;
            ``""``: there are none.
    """

    by_method: Mapping[str, Price]
    currency: str
    source: Source
    said: frozenset[tuple[str, str]] = frozenset()
    rate: Rate | None = None
    foreign: str = ""

    def currency_of(self, method: str) -> str:
        """Return the currency of a method's price."""
        own = any(name == method for name, _ in self.said)
        return self.foreign if self.foreign and not own else self.currency

    @property
    def usual(self) -> str:
        """Currency in which proposals are weighed against each other."""
        return self.foreign or self.currency

    def source_of(self, method: str, part: str) -> Source:
        """Return where one part of a method's price comes from."""
        return CALLER if (method, part) in self.said else self.source

    def rough(self, methods: Iterable[str | None]) -> bool:
        """Tell whether any price of *methods* is a built-in one that is not nought."""
        return any(
            getattr(self.by_method[method], part) and (method, part) not in self.said
            for method in self.by_method.keys() & set(methods)
            for part in MONEY
        )


@cache
def built_in() -> Prices:
    """Return the rough prices that come with the library."""
    table = read_table(BUILT_IN)
    made = {
        row["method"]: Price(*(float(row[name]) for name in Price._fields)) for row in table.rows
    }
    return Prices(made, table.heads["currency"], table.source())


def stated(prices: Mapping[str, Mapping[str, float | str]] | None, currency: str | None) -> Prices:
    """Return the caller's *prices* over the built-in ones.

    Args:
        prices: By method id, any of ``fixed``, ``per_kw``, ``labour``, ``low``, ``high``; by the
            currency of the built-in prices the ``rate`` at which they are put into *currency*.
        currency: Currency of the caller's prices, if it is another.

    Raises:
        KeyError: A name is not one of these.
        ValueError: A price is no finite number from nought up; or a part of it is missing that is
            known in another currency only.
    """
    own = built_in()
    methods = {name: parts for name, parts in (prices or {}).items() if name != own.currency}
    exchange, foreign = None, ""
    wanted = currency or own.currency
    if wanted != own.currency:
        exchange = rate(own.currency, wanted, prices)
        foreign = "" if exchange else own.currency
    elif own.currency in (prices or {}):
        raise KeyError(own.currency)
    times = exchange.value if exchange else 1.0
    merged = {name: put(one, times) for name, one in own.by_method.items()}
    said = set()
    for method, parts in methods.items():
        unknown = set(parts) - set(Price._fields)
        if unknown:
            raise KeyError(min(unknown))
        numbers = {name: float(part) for name, part in parts.items()}
        amiss = [f"{name} {one}" for name, one in numbers.items() if not 0.0 <= one < math.inf]
        if amiss:
            raise ValueError(f"{method}: {amiss[0]}")
        first = merged.get(method, Price(0.0, 0.0, 0.0, 1.0, 1.0))
        missing = [name for name in MONEY if name not in numbers and getattr(first, name)]
        if foreign and missing:
            raise ValueError(f"{method}: {missing[0]} is in {foreign}, and no rate is known")
        merged[method] = first._replace(**numbers)
        said |= {(method, name) for name in numbers}
    own_words = {name for name, _ in said}
    if not any(any(one[:3]) for name, one in merged.items() if name not in own_words):
        foreign = ""
    return Prices(merged, wanted, own.source, frozenset(said), exchange, foreign)


def put(price: Price, times: float) -> Price:
    """Return a price in another currency, of which one unit is *times* as much."""
    return price._replace(**{name: times * getattr(price, name) for name in MONEY})


def ratings(proposal: Proposal) -> tuple[Figure, ...]:
    """Return the ratings that *proposal* buys [W or VA]; without a converter, its motors."""
    found = []
    for one in proposal.converters:
        name = "rating_w" if one.rating_w is not None else "rating_va"
        found.append(Figure(getattr(one, name) or 0.0, f"{HERE}/converters/{one.id}/{name}"))
    return tuple(found) or tuple(motor.power for one in proposal.demands for motor in one.motors)


def kilowatts(proposal: Proposal) -> float:
    """Return the sum of the ratings that *proposal* buys [kW]; without a converter, its motors."""
    return sum(one.value for one in ratings(proposal)) / 1e3


def rough_total(proposal: Proposal, prices: Prices, years: float) -> float:
    """Return the middle of what *proposal* costs over *years*; infinite without a price.

    What has its price in another currency than is usual, and no rate, has none among the others.
    """

    def apart(method: str) -> bool:
        return prices.currency_of(method) != prices.usual

    pieces = proposal.transformers if TRANSFORMER in prices.by_method else ()
    more = sum(rough(prices.by_method[TRANSFORMER], one.rating_va / 1e3) for one in pieces)
    if pieces and apart(TRANSFORMER):
        return float("inf")
    if not proposal.costs:
        price = prices.by_method.get(proposal.method)
        if price is None or apart(proposal.method):
            return float("inf")
        pieces_bought = alike(proposal)
        apiece = pieces_bought.value if pieces_bought else 1
        joining = sum(one.joins is not None for one in proposal.converters)
        return more + rough(price, kilowatts(proposal), apiece + joining)
    exchange = prices.rate
    known = {prices.usual: 1.0, **({exchange.base: exchange.value} if exchange else {})}
    times = {"standing": years}
    return more + sum(
        known.get(one.currency, float("inf")) * times.get(one.kind, 1) * (one.low + one.high) / 2.0
        for one in proposal.costs
    )


def alike(proposal: Proposal) -> Figure | None:
    """Return how many equal idlers a converter has, which each is bought and set up; one: none."""
    for one in proposal.converters:
        if one.idlers is not None:
            return Figure(float(one.idlers), f"{HERE}/converters/{one.id}/idlers")
    return None


def rough(price: Price, size_kw: float, pieces: float = 1.0) -> float:
    """Return the middle of what *pieces* of a size together cost, installed."""
    each = pieces * (price.fixed + price.labour)
    return (price.low + price.high) / 2.0 * (each + price.per_kw * size_kw)


def idle_a_year(case: Case, proposal: Proposal, prices: Prices) -> float:
    """Return what converters lose in a year while they idle; nought without a price of energy.

    A price in another currency than the pieces have is not added to theirs.
    """
    price = case.shop.energy_price
    if price is None or getattr(price, "unit", prices.usual)[:3] != prices.usual:
        return 0.0
    return sum(price * one.losses_w * idle_hours(case, one) / 1e3 for one in proposal.converters)


def idle_hours(case: Case, converter: Converter) -> float:
    """Return the hours a year that a converter is taken to idle or run [h]."""
    hours = [case.machine(one).hours.value for one in converter.machines]
    if case.shop.hours_open_h is not None and len(hours) > 1:
        hours.append(float(case.shop.hours_open_h))
    return max(hours)


def of_proposal(proposal: Proposal, prices: Prices) -> tuple[tuple[Cost, ...], tuple[Step, ...]]:
    """Return purchase and installation of *proposal*, with their steps below `HERE`.

    Costs that it brings itself stand, or are put into the currency of the prices. Its transformers
    are pieces of their own.
    """
    fed = dict.fromkeys(name for one in proposal.demands for name in one.feeds)
    machines = "+".join(proposal.machines or fed)
    piece = proposal.converters[0].id if proposal.converters else f"{proposal.method}.{machines}"
    costs, steps = brought(proposal, prices)
    if not proposal.costs:
        bought = (piece, proposal.method, ratings(proposal), bool(proposal.converters))
        costs, steps = of_piece(*bought, prices, alike(proposal))
    joining = tuple(one for one in proposal.converters if one.joins is not None)
    if joining and not proposal.costs:
        costs, steps = [], []
        for each in proposal.converters:
            rated = Figure(each.rating_w or 0.0, f"{HERE}/converters/{each.id}/rating_w")
            more, made = of_piece(each.id, proposal.method, (rated,), True, prices)  # noqa: FBT003 - bought
            costs += more
            steps += made
    for one in proposal.transformers:
        size = Figure(one.rating_va, f"{HERE}/transformers/{one.id}/rating_va")
        more, made = of_piece(one.id, TRANSFORMER, (size,), True, prices)  # noqa: FBT003 - bought
        costs += more
        steps += made
    return tuple(costs), tuple(steps)


def brought(proposal: Proposal, prices: Prices) -> tuple[list[Cost], list[Step]]:
    """Return the costs that *proposal* brings itself, at the rate where there is one for them.

    What is put into another currency has a name and steps of its own.
    """
    sheet, exchange, costs = Worksheet(f"{HERE}/costs"), prices.rate, []
    for one in proposal.costs:
        if exchange is None or one.currency != exchange.base:
            costs.append(one)
            continue
        part = sheet.under(f"{one.id}/{exchange.currency}")
        times = part.assumed("rate", "x", exchange.value, exchange.unit, source=exchange.source,
                             low=exchange.low, high=exchange.high)  # fmt: skip
        low, high = (
            part.formula(
                edge, "C", exchange.currency, "x * c", x=times,
                c=Figure(getattr(one, edge), f"{HERE}/costs/{one.id}/{edge}"),
            )
            for edge in ("low", "high")
        )  # fmt: skip
        costs.append(
            attrs.evolve(one, id=f"{one.id}/{exchange.currency}", currency=exchange.currency,
                         low=low.value, high=high.value)
        )  # fmt: skip
    return costs, list(sheet.steps)


def of_piece(
    piece: str,
    method: str,
    rated: Sequence[Figure],
    bought: bool,  # noqa: FBT001 - passed on by place
    prices: Prices,
    pieces: Figure | None = None,
) -> tuple[list[Cost], list[Step]]:
    """Return purchase and installation of one piece.

    Args:
        piece: Its id.
        method: Whose price it has.
        rated: Its ratings [W or VA].
        bought: It is equipment, whose purchase is stated even where it costs nothing.
        prices: The prices.
        pieces: How many alike the ratings are spread over; ``None``: each stands for itself.
    """
    price = prices.by_method.get(method)
    if price is None:
        return [], []
    sheet = Worksheet(f"{HERE}/costs/{piece}")

    currency = prices.currency_of(method)

    def known(name: str, field: str, unit: str, part: Worksheet) -> Figure:
        source, exchange = prices.source_of(method, field), prices.rate
        if exchange is None or field not in MONEY or (method, field) in prices.said:
            return part.assumed(name, name, getattr(price, field), unit, source=source)
        base = getattr(built_in().by_method[method], field)
        paid = part.assumed(
            f"{name}_{exchange.base}", name, base, unit.replace(currency, exchange.base),
            source=source,
        )  # fmt: skip
        times = part.assumed(
            f"{name}_rate", "x", exchange.value, exchange.unit, source=exchange.source,
            low=exchange.low, high=exchange.high,
        )  # fmt: skip
        return part.formula(name, name, unit, "x * c", x=times, c=paid)

    costs = []
    for kind in ("purchase", "installation"):
        part, terms, formula = sheet.under(kind), {}, []
        for name, field in (("f", "fixed"),) if kind == "purchase" else (("f", "labour"),):
            if getattr(price, field):
                terms[name] = known(name, field, currency, part)
                formula.append(f"n * {name}" if pieces else name)
                terms |= {"n": pieces} if pieces else {}
        sizes = {f"P{n}": one for n, one in enumerate(rated)}
        if kind == "purchase" and price.per_kw and sizes:
            terms |= {**sizes, "k": known("k", "per_kw", f"{currency}/kW", part)}
            formula.append(f"k * ({' + '.join(sizes)}) / 1000")
        if not formula and (kind == "installation" or not bought):
            continue
        low, high = (
            part.formula(
                edge, "C", currency, f"b * ({' + '.join(formula or '0')})",
                {**terms, "b": known(f"b_{edge}", edge, "", part)},
            )
            for edge in ("low", "high")
        )  # fmt: skip
        costs.append(
            Cost(id=f"{piece}/{kind}", kind=kind, low=low.value, high=high.value,
                 currency=currency)
        )  # fmt: skip
    return costs, list(sheet.steps)


def of_machine(machine: MachineCase, tariff: Figure, currency: str, sheet: Worksheet) -> Cost:
    """Return what a machine's own work uses in a year, its converter's idling apart."""
    motors = machine.simultaneous_motors
    terms: dict[str, Figure] = {}
    for n, motor in enumerate(motors):
        terms |= {f"P{n}": motor.demand.power, f"e{n}": motor.efficiency}
    for n, demand in enumerate(machine.single_phase):
        terms |= {f"V{n}": demand.voltage, f"I{n}": demand.current}
    on = {f"d{n}": motor.demand for n, motor in enumerate(motors)}
    on |= {f"s{n}": demand for n, demand in enumerate(machine.single_phase)}
    shares = {key: Figure(one.duty_share, one.duty_share_at)
              for key, one in on.items() if one.duty_share < 1.0}  # fmt: skip
    terms |= shares

    def part_of(key: str, power: str) -> str:
        return f"{key} * {power}" if key in shares else power

    terms |= {f"H{n}": load.power for n, load in enumerate(machine.loads)}
    parts = [part_of(f"d{n}", f"P{n} / e{n}") for n in range(len(motors))]
    parts += [part_of(f"s{n}", f"V{n} * I{n}") for n in range(len(machine.single_phase))]
    parts += [f"H{n}" for n in range(len(machine.loads))]
    formula = f"t * x * ({' + '.join(parts)}) / 1000"
    used = sheet.formula("energy", "W", "kWh", formula, terms, t=machine.hours,
                         x=machine.average_load)  # fmt: skip
    low, high = (
        sheet.formula(edge, "C", currency, "c * W", c=tariff, W=used) for edge in ("low", "high")
    )
    return Cost(id=f"{machine.id}/energy", kind="energy", low=low.value, high=high.value,
                currency=currency)  # fmt: skip


def of_demand(
    case: Case, totals: Sequence[State], place: str
) -> tuple[tuple[Cost, ...], tuple[Step, ...]]:
    """Return what the tariff asks a year for the largest power; nothing without such a price."""
    tariff = case.shop.tariff
    if tariff is None or tariff.demand_charge is None or not totals:
        return (), ()
    most = max(totals, key=lambda one: one.input_power_w)
    price = Figure(float(tariff.demand_charge), "shop/tariff/demand_charge")
    power = Figure(most.input_power_w, f"{place}/states/{most.id}/input_power_w")
    currency = getattr(tariff.demand_charge, "unit", "USD")[:3]
    sheet = Worksheet(f"{place}/costs/supply/standing")
    low, high = (
        sheet.formula(edge, "C", currency, "12 * c * P / 1000", c=price, P=power)
        for edge in ("low", "high")
    )
    cost = Cost(id="supply/standing", kind="standing", low=low.value, high=high.value,
                currency=currency)  # fmt: skip
    return (cost,), sheet.steps


def of_energy(
    case: Case, proposals: tuple[Proposal, ...], place: str
) -> tuple[tuple[Cost, ...], tuple[Step, ...]]:
    """Return what machines and idling converters use in a year; nothing without a price.

    A converter that idles is taken to run as long as the machine behind it that runs longest; one
    that serves several, as long as the shop is open, where that is stated and longer.
    """
    price = case.shop.energy_price
    if price is None:
        return (), ()
    currency = str(case.shop.currency or getattr(price, "unit", "USD")[:3])
    tariff = Figure(float(price), "shop/energy_price")
    sheet = Worksheet(f"{place}/costs")
    costs = []
    for proposal in proposals:
        for name in proposal.machines:
            part = sheet.under(f"{name}/energy")
            costs.append(of_machine(case.machine(name), tariff, currency, part))
        for converter in proposal.converters:
            hours = {f"t{n}": case.machine(one).hours for n, one in enumerate(converter.machines)}
            part = sheet.under(f"{converter.id}/idle")
            loss = Figure(converter.losses_w, f"{place}/converters/{converter.id}/losses_w")
            if case.shop.hours_open_h is not None and len(converter.machines) > 1:
                hours["t_o"] = Figure(float(case.shop.hours_open_h), "shop/hours_open_h")
            longest = f"max({', '.join(hours)})" if len(hours) > 1 else "t0"
            low, high = (
                part.formula(
                    edge, "C", currency, f"c * P * {longest} / 1000", hours, c=tariff, P=loss
                )
                for edge in ("low", "high")
            )
            costs.append(Cost(id=f"{converter.id}/idle", kind="idle", low=low.value,
                              high=high.value, currency=currency))  # fmt: skip
    return tuple(costs), sheet.steps
