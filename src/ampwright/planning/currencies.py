"""The currency of a shop, and the rate at which the built-in rough prices are put into it.

Money in different currencies is never added up. The built-in prices are put into the shop's
currency at a rate: the caller's, or a rough one from memory. Where there is none they stay apart.
"""

from collections.abc import Mapping
from pathlib import Path

import attrs

from ampwright.quantity import Held
from ampwright.records.shop import Shop
from ampwright.tables import Source, read_table

ROUGH = Path(__file__).with_name("rates.csv")
CALLER = Source(document="stated by the caller", known="caller")


@attrs.frozen
class Rate:
    """What one unit of a currency is worth in another.

    Attributes:
        base: Currency of what is put into another.
        currency: That other currency.
        value: The rate.
        low: Lower edge of its band.
        high: Upper edge.
        source: Where it comes from.
    """

    base: str
    currency: str
    value: float
    low: float
    high: float
    source: Source

    @property
    def unit(self) -> str:
        """Unit of the rate."""
        return f"{self.currency}/{self.base}"


def currency_of(shop: Shop) -> str | None:
    """Return the currency of the shop: the stated one, or that of its first price."""
    holders: list[object] = [shop, shop.tariff, shop.supply.three_phase, shop.supply.upgrade]
    fields = ("energy_price", "demand_charge", "standing_charge", "price", "yearly_charge")
    prices = [getattr(one, name, None) for one in holders for name in fields]
    prices += [one.value for one in shop.machines]
    first = next((one for one in prices if isinstance(one, Held)), None)
    return shop.currency or (None if first is None else first.unit[:3])


def rate(
    base: str, currency: str, stated: Mapping[str, Mapping[str, float | str]] | None
) -> Rate | None:
    """Return the rate from *base* to another *currency*; ``None``: none is known.

    Args:
        base: Currency of the prices.
        currency: Currency that they are wanted in.
        stated: The caller's prices; below the name of *base* stands his ``rate``.

    Raises:
        KeyError: Something else than ``rate`` stands there.
        ValueError: The rate is no finite number above nought.
    """
    own = (stated or {}).get(base)
    if own is not None:
        unknown = set(own) - {"rate"}
        if unknown:
            raise KeyError(min(unknown))
        value = float(own["rate"])
        if not 0.0 < value < float("inf"):
            raise ValueError(f"{base}: rate {value}")
        return Rate(base, currency, value, value, value, CALLER)
    table = read_table(ROUGH)
    row = table.row(currency)
    if row is None or table.heads["base"] != base:
        return None
    value, low, high = (float(row[name]) for name in ("value", "low", "high"))
    return Rate(base, currency, value, low, high, table.source())
