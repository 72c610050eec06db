"""A whole shop, as the caller states it."""

from collections.abc import Iterable, Iterator, Mapping
from os import PathLike
from typing import IO, Any, ClassVar, Self

import attrs

from ampwright.documents import load, to_toml
from ampwright.errors import (
    AmpwrightError,
    ConsistencyError,
    InputError,
    placed,
    together,
)
from ampwright.exchange import known_schema, read, write
from ampwright.notation import writes_comma
from ampwright.quantity import Held
from ampwright.records import quantities as take
from ampwright.records.equipment import Equipment, equipment
from ampwright.records.machine import Machine
from ampwright.records.shop_ids import of_ids, of_statement
from ampwright.records.site import Site
from ampwright.records.statement import (
    Extra,
    Statement,
    doors,
    own_data,
    several,
)
from ampwright.records.supply import Supply

_QUOTES = ("three_phase", "upgrade")
_PRICES = (
    "energy_price",
    "demand_charge",
    "standing_charge",
    "price",
    "yearly_charge",
    "value",
)


def sets(values: Iterable[Iterable[str]]) -> tuple[tuple[str, ...], ...]:
    """Accept sets of ids; of none, nothing would run."""
    found = []
    for number, one in enumerate(several(values)):
        try:
            found.append(several(one))
        except AmpwrightError as error:
            placed(error, f"[{number}]")
            raise
        if not found[-1]:
            wanted = "at least one id"
            raise InputError([], wanted, f"[{number}]", code="field.empty")
    return tuple(found)


def machines(values: Iterable[Machine]) -> tuple[Machine, ...]:
    """Accept any number of machines."""
    return several(values)


def currency(value: str | None) -> str | None:
    """Accept the three letters of a currency, as ISO 4217 forms them."""
    if not isinstance(value, str) or not (
        len(value) == 3 and value.isascii() and value.isalpha() and value.isupper()
    ):
        wanted = 'three capital letters, as "USD"'
        raise InputError(value, wanted, code="enum.currency")
    return value


def locale(value: str | None) -> str | None:
    """Accept a locale whose decimal sign is known, as ``"de-DE"``."""
    if value is not None:
        writes_comma(value)
    return value


@attrs.frozen(kw_only=True, eq=False, repr=False, field_transformer=doors)
class Tariff(Statement):
    """What electricity costs beside energy.

    Attributes:
        name: Name of the tariff.
        demand_charge: Price of a month's demand, the unit being currency/kW.
        standing_charge: Price of a month, the unit being the currency.
    """

    name: str = ""
    demand_charge: float | None = attrs.field(default=None, converter=take.demand_price)
    standing_charge: float | None = attrs.field(default=None, converter=take.money)


@attrs.frozen(kw_only=True, eq=False, repr=False, field_transformer=doors)
class Shop(Statement):
    """A whole shop.

    Attributes:
        name: What the shop is called.
        region: Id of the region whose wiring code rules, with an edition after ``@`` if wanted.
        locale: Locale whose decimal sign the texts follow; ``None``: decimal point only.
        supply: The single-phase supply.
        machines: The machines, at least one.
        site: Where it stands.
        together: Sets of ids that run at once; ``None``: everything runs at once.
        equipment: What is already there or owned.
        hours_open_h: Hours a year that it is open [h].
        years_of_use: Years over which what the equipment costs a year is weighed against what it
            costs once.
        operators: People who run machines at the same time.
        tariff: What electricity costs beside energy.
        energy_price: Price of energy, the unit being currency/kWh.
        currency: Currency of the prices.
        extra: The caller's own data, echoed.
    """

    SCHEMA: ClassVar[str] = "ampwright.shop/1"

    name: str = ""
    region: str | None = attrs.field(default=None, metadata={"id": True})
    locale: str | None = attrs.field(default=None, converter=locale)
    supply: Supply
    machines: tuple[Machine, ...] = attrs.field(converter=machines)
    site: Site = attrs.field(factory=Site)
    together: tuple[tuple[str, ...], ...] | None = attrs.field(
        default=None, converter=sets, metadata={"id": True}
    )
    equipment: tuple[Equipment, ...] = attrs.field(default=(), converter=equipment)
    hours_open_h: float | None = attrs.field(default=None, alias="hours_open", converter=take.hours)
    years_of_use: float | None = attrs.field(default=None, converter=take.years)
    operators: int | None = attrs.field(default=None, metadata={"band": (0, 1000)})
    tariff: Tariff | None = None
    energy_price: float | None = attrs.field(default=None, converter=take.energy_price)
    currency: str | None = attrs.field(default=None, converter=currency)
    extra: Mapping[str, Any] = attrs.field(default=Extra({}), converter=own_data)

    @classmethod
    def from_dict(cls, data: Mapping[str, Any], *, locale: str | None = None) -> Self:
        """Return the shop that plain *data* describes.

        Args:
            data: What a shop file holds, as a mapping.
            locale: Locale of the decimal sign in its texts, where *data* states none.

        Raises:
            AmpwrightError: Something is wrong with it; ``faults`` lists everything.
        """
        known_schema(data, cls.SCHEMA, required=False)
        if locale is not None and isinstance(data, Mapping):
            if data.get("locale") not in (None, locale):
                wanted = f"the locale that the data state, {data['locale']}"
                raise ConsistencyError(locale, wanted, "locale", code="locale.conflict")
            data = {**data, "locale": locale}
        return read(cls, data)

    def to_dict(self) -> dict[str, Any]:
        """Return plain data that `from_dict` reads as an equal shop, in the caller's own words."""
        return write(self)

    def to_toml(self) -> str:
        """Return the text of a shop file. TOML has no null: what was stated as such is left out."""
        return to_toml(write(self))

    def __attrs_post_init__(self) -> None:
        if not self.machines:
            raise InputError([], "at least one machine", "machines", code="field.empty")
        faults = [
            *of_ids(self.machines, self.equipment, self.together or ()),
            *self._money(),
        ]
        if faults:
            raise together(faults)

    @classmethod
    def told_in_parts(
        cls, data: Mapping[str, Any], values: Mapping[str, object]
    ) -> Iterator[AmpwrightError]:
        """Yield what is wrong with the ids in *data*, where a shop cannot be made of it."""
        del values
        yield from of_statement(data)

    def _money(self) -> Iterator[AmpwrightError]:
        """Yield every price in another currency than the shop's, or than the first price."""
        holders: list[tuple[str, object]] = [("", self), ("tariff.", self.tariff)]
        holders += [(f"supply.{name}.", getattr(self.supply, name)) for name in _QUOTES]
        holders += [(f"machines[{at}].", one) for at, one in enumerate(self.machines)]
        currency = self.currency
        for path, holder in holders:
            for name in _PRICES:
                price = getattr(holder, name, None)
                if isinstance(price, Held):
                    currency = currency or price.unit[:3]
                    if price.unit[:3] != currency:
                        wanted = f"a price in {currency}, as the others"
                        place = f"{path}{name}"
                        yield ConsistencyError(price.given, wanted, place, code="currency.mixed")


def load_shop(source: str | PathLike[str] | IO[Any], *, locale: str | None = None) -> Shop:
    """Return the shop that a TOML or JSON file describes.

    Args:
        source: Path of the file, or the open file, in text or binary mode.
        locale: Locale of the decimal sign in its texts, where the file states none.

    Raises:
        FormatError: It is neither TOML nor JSON in UTF-8.
        LimitError: It is larger than 5 MB or nests deeper than 32.
        AmpwrightError: Something is wrong with what it states; ``faults`` lists everything.
        OSError: It cannot be read.
    """
    return Shop.from_dict(load(source), locale=locale)
