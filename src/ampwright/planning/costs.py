"""What an option costs: rough prices, unless the caller brings his own."""

from collections.abc import Mapping
from pathlib import Path
from typing import NamedTuple

from ampwright.case import Case
from ampwright.method import Proposal
from ampwright.option import Cost
from ampwright.step import HERE, Figure, Step, Worksheet
from ampwright.tables import Source, read_table

BUILT_IN = Path(__file__).with_name("prices.csv")


class Price(NamedTuple):
    """Rough price of one method: a fixed part, a part for each kW, labour, and the band."""

    fixed: float
    per_kw: float
    labour: float
    low: float
    high: float


class Prices(NamedTuple):
    """Prices by method, their currency, and where they come from."""

    by_method: Mapping[str, Price]
    currency: str
    source: Source
    rough: bool


def built_in() -> Prices:
    """Return the rough prices that come with the library."""
    table = read_table(BUILT_IN)
    made = {
        row["method"]: Price(*(float(row[name]) for name in Price._fields)) for row in table.rows
    }
    return Prices(made, table.heads["currency"], table.source(), rough=True)


def stated(prices: Mapping[str, Mapping[str, float | str]] | None, currency: str | None) -> Prices:
    """Return the caller's *prices* over the built-in ones.

    Args:
        prices: By method id, any of ``fixed``, ``per_kw``, ``labour``, ``low``, ``high``.
        currency: Currency of the caller's prices.

    Raises:
        KeyError: A name is not one of these.
    """
    own = built_in()
    if not prices:
        return own
    merged = dict(own.by_method)
    for method, parts in prices.items():
        unknown = set(parts) - set(Price._fields)
        if unknown:
            raise KeyError(min(unknown))
        first = merged.get(method, Price(0.0, 0.0, 0.0, 1.0, 1.0))
        merged[method] = first._replace(**{name: float(part) for name, part in parts.items()})
    source = Source(document="stated by the caller", known="caller")
    return Prices(merged, currency or own.currency, source, rough=False)


def kilowatts(proposal: Proposal) -> float:
    """Return the sum of the ratings that *proposal* buys [kW]."""
    rated = [one.rating_w or one.rating_va or 0.0 for one in proposal.converters]
    return sum(rated) / 1e3


def rough_total(proposal: Proposal, prices: Prices) -> float:
    """Return the middle of what *proposal* costs to buy and install; infinite without a price."""
    price = prices.by_method.get(proposal.method)
    if price is None:
        return float("inf")
    middle = (price.low + price.high) / 2.0
    return middle * (price.fixed + price.per_kw * kilowatts(proposal) + price.labour)


def of_proposal(
    proposal: Proposal, prices: Prices, currency: str
) -> tuple[tuple[Cost, ...], tuple[Step, ...]]:
    """Return purchase and installation of *proposal*, with their steps below `HERE`."""
    price = prices.by_method.get(proposal.method)
    if price is None:
        return (), ()
    piece = (
        proposal.converters[0].id
        if proposal.converters
        else f"{proposal.method}." + "+".join(proposal.machines)
    )
    sheet = Worksheet(f"{HERE}/costs")
    costs = []
    size = sheet.under(piece).assumed(
        "rated",
        "P",
        kilowatts(proposal),
        "kW",
        source=Source(document="sum of the ratings bought", known="derived"),
    )
    for kind, formula in (("purchase", "f + k * P"), ("installation", "f")):
        parts = sheet.under(f"{piece}/{kind}")
        own = {"f": price.fixed, "k": price.per_kw} if kind == "purchase" else {"f": price.labour}
        figures = {
            name: parts.assumed(name, name, value, currency, source=prices.source)
            for name, value in own.items()
        }
        if kind == "purchase":
            figures["P"] = size
        edges = []
        for edge, factor in (("low", price.low), ("high", price.high)):
            b = parts.assumed(f"factor_{edge}", "b", factor, "", source=prices.source)
            edges.append(
                parts.formula(edge, f"C_{edge}", currency, f"b * ({formula})", b=b, **figures)
            )
        costs.append(
            Cost(id=f"{piece}/{kind}", kind=kind, low=edges[0].value, high=edges[1].value,
                 currency=currency)
        )  # fmt: skip
    return tuple(costs), sheet.steps


def of_energy(
    case: Case, proposals: tuple[Proposal, ...], place: str
) -> tuple[tuple[Cost, ...], tuple[Step, ...]]:
    """Return what the machines and the idling converters use in a year; nothing without a tariff.

    A converter that idles is taken to run as long as the machine behind it that runs longest.
    """
    price = case.shop.energy_price_per_j
    if price is None:
        return (), ()
    currency = str(case.shop.currency or "USD")
    tariff = Figure(price, "shop/energy_price_per_j")
    sheet = Worksheet(f"{place}/costs")
    costs = []
    for proposal in proposals:
        for name in proposal.machines:
            machine = case.machine(name)
            part = sheet.under(f"{name}/energy")
            drawn = [
                (motor.demand.power, motor.efficiency) for motor in machine.simultaneous_motors
            ]
            terms = {f"P{n}": power for n, (power, _) in enumerate(drawn)}
            terms |= {f"e{n}": efficiency for n, (_, efficiency) in enumerate(drawn)}
            terms |= {f"H{n}": load.power for n, load in enumerate(machine.loads)}
            total = [f"P{n} / e{n}" for n in range(len(drawn))]
            total += [f"H{n}" for n in range(len(machine.loads))]
            if not total:
                continue
            used = part.formula(
                "energy", "W", "J", f"3600 * t * x * ({' + '.join(total)})", t=machine.hours,
                x=machine.average_load, **terms,
            )  # fmt: skip
            low = part.formula("low", "C", currency, "c * W", c=tariff, W=used)
            high = part.formula("high", "C", currency, "c * W", c=tariff, W=used)
            costs.append(Cost(id=f"{name}/energy", kind="energy", low=low.value, high=high.value,
                              currency=currency))  # fmt: skip
        for converter in proposal.converters:
            hours = [case.machine(name).hours for name in converter.machines]
            part = sheet.under(f"{converter.id}/idle")
            names = {f"t{n}": one for n, one in enumerate(hours)}
            loss = Figure(converter.losses_w, f"{place}/converters/{converter.id}/losses_w")
            longest = f"max({', '.join(names)})" if len(names) > 1 else "t0"
            edges = [
                part.formula(edge, "C", currency, f"3600 * c * P * {longest}", c=tariff, P=loss,
                             **names)
                for edge in ("low", "high")
            ]  # fmt: skip
            costs.append(Cost(id=f"{converter.id}/idle", kind="idle", low=edges[0].value,
                              high=edges[1].value, currency=currency))  # fmt: skip
    return tuple(costs), sheet.steps
