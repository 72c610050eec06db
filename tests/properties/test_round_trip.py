"""What is stated comes back word for word, whatever is stated."""

import json
import pickle
import string
import tomllib
from types import NoneType
from typing import Any, Literal, get_args, get_origin

import attrs
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from ampwright.documents import to_json
from ampwright.exchange import read, write
from ampwright.records.equipment import Equipment
from ampwright.records.load import Load
from ampwright.records.machine import Machine
from ampwright.records.motor import Motor
from ampwright.records.shop import Shop
from ampwright.records.site import Site
from ampwright.records.supply import Supply

Data = dict[str, Any]
NUMBERS = st.decimals("1.5", "80", places=3).map(lambda one: f"{one.normalize():f}")
FEW = st.decimals("0.1", "19", places=2).map(str)


def units(*names: str, numbers: st.SearchStrategy[str] = NUMBERS) -> st.SearchStrategy[str]:
    """Return texts of one number and one of the units *names*."""
    return st.tuples(numbers, st.sampled_from(["", " "]), st.sampled_from(names)).map("".join)


ALONE = st.one_of(
    st.floats(0.05, 1.0), st.sampled_from([1, "88 %", "12.5 %", "7%", 0.1, 0.07, "99.9 %"])
)
#: Texts for each converter of a field.
TEXTS: dict[str, st.SearchStrategy[Any]] = {
    "watts": st.one_of(
        units("W", "kW", "hp", "PS"), st.sampled_from(["7 1/2 hp", "1/2 hp", "7-1/2 HP", "1e3 W"])
    ),
    "volt_amperes": units("VA", "kVA", "MVA"),
    "volts": units("V", "kV", numbers=FEW.map(lambda one: f"{float(one) + 1:.3f}")),
    "dropped_volts": st.one_of(units("V"), st.just("0 V")),
    "amperes": units("A", "mA", "kA"),
    "fault_amperes": units("A", "kA"),
    "ampere_range": st.sampled_from(["7-10 A", "7.5 - 10 A", "700-1000 mA"]),
    "hertz": units("Hz", numbers=st.sampled_from(["50", "60.0", "16.7"])),
    "metres": units("m", "ft", "in", "mm"),
    "square_metres": units("m2", "ft2", numbers=FEW.map(lambda one: f"{float(one) + 40:.2f}")),
    "watts_or_volt_amperes": units("W", "kW", "VA", "kVA"),
    "altitude": st.one_of(units("m", "ft"), st.just("-12 m")),
    "ambient": st.sampled_from(["30 degC", "86 degF", "-20.5 °C", "300.15 K", "0 degC"]),
    "rated_temperature": st.sampled_from(["75 degC", "167 degF"]),
    "kelvins": units("K", "delta_degC"),
    "inertia": units("kg.m2", "lb.ft2", "lb-ft2", "kg m²"),
    "newton_metres": units("N.m", "lbf.ft", "lb-ft"),
    "seconds": units("s", "min", "h", "ms"),
    "hours": units("h", "min"),
    "hours_a_day": units("h", numbers=FEW),
    "ohms": units("ohm", "mohm", "Ω"),
    "insulation_ohms": units("Mohm", "kohm", "GΩ"),
    "farads": units("uF", "µF", "nF"),
    "soil_resistivity": units("K.m/W", numbers=st.sampled_from(["0.9", "1.2"])),
    "decibels": units("dB"),
    "fraction": ALONE,
    "share": st.one_of(ALONE, st.just(0)),
    "service_factor": st.sampled_from([1, 1.15, "115 %", 1.25]),
    "ratio": st.one_of(st.floats(0.05, 19), st.sampled_from(["220 %", 7])),
    "rate": st.one_of(st.floats(0, 100), st.integers(0, 50)),
    "months": st.one_of(st.floats(0, 48), st.integers(0, 48)),
    "years": st.one_of(st.floats(0.1, 100), st.integers(1, 100)),
    "money": units("USD"),
    "energy_price": units("USD/kWh"),
    "demand_price": units("USD/kW"),
    "amperes_or_volt_amperes": st.one_of(units("A"), units("kVA"), st.just("0 A")),
    "plate_watts": st.one_of(units("kW", "hp"), st.just("7-1/2 hp")),
    "plate_volts": st.sampled_from(["208-230 V", "240 V", "400V"]),
    "plate_amperes": units("A"),
    "plate_hertz": st.just("60 Hz"),
    "plate_speed": units("rpm", numbers=st.just("1740")),
    "connections": st.sampled_from(["star", "D", "Δ", "YY", "delta"]),
    "duty": st.sampled_from(["S1", "S3 40 %", "S2 30 min"]),
    "conductor_size": st.sampled_from(["6 AWG", "1/0 AWG", "250 kcmil", "2.5 mm2"]),
    "slash_rating": st.sampled_from(["120/240 V", "277/480 V"]),
    "currency": st.just("USD"),
    "locale": st.just("en-US"),
}
WORDS = st.text(string.ascii_letters + "äß日<>&\"'\\ ", max_size=12)
PLAIN = st.recursive(
    st.one_of(
        st.none(), st.booleans(), st.integers(-(10**9), 10**9), WORDS,
        st.floats(allow_nan=False, allow_infinity=False),
    ),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3), st.dictionaries(WORDS, inner, max_size=3)
    ),
    max_leaves=5,
)  # fmt: skip
TEXTS["own_data"] = st.dictionaries(WORDS, PLAIN, max_size=3)
PLATES = st.sampled_from(
    [
        {"voltage": "230/460 V", "current": "13.2/6.6 A", "connection": "YY/Y"},
        {"voltage": "208-230/460 V", "current": "15.2-14/7 A"},
        {"voltage": "230/400 V", "frequency": "50/60 Hz", "power": "2.2/2.6 kW"},
        {"power": "0.75/1.5 kW", "speed": "700/1410 rpm"},
        {},
    ]
)


def value_of(field: "attrs.Attribute[Any]") -> st.SearchStrategy[Any] | None:
    """Return the plain data that *field* takes; ``None`` for what is put in by hand."""
    converter = field.converter.checks[0].__name__  # type: ignore[union-attr]
    if converter in TEXTS:
        return TEXTS[converter]
    kind: Any = field.type
    if NoneType in get_args(kind):
        kind = get_args(kind)[0]
    if get_origin(kind) is tuple:
        item = get_args(kind)[0]
        words = get_origin(item) is Literal
        return st.lists(st.sampled_from(get_args(item)), max_size=3) if words else None
    if get_origin(kind) is Literal:
        return st.sampled_from(get_args(kind))
    if attrs.has(kind):
        return record(kind)
    low, high = field.metadata.get("band", (0, 1000))
    simple: dict[Any, st.SearchStrategy[Any]] = {
        bool: st.booleans(), int: st.integers(low, high),
        str: st.sampled_from(["a", "us@2020"]) if "id" in field.metadata else WORDS,
    }  # fmt: skip
    return simple[kind]


@st.composite
def record(draw: st.DrawFn, cls: type) -> Data:
    """Return plain data of a record: some of its fields, at times explicitly none."""
    data: Data = {}
    for field in attrs.fields(cls):
        strategy = value_of(field) if field.init else None
        if strategy is not None and (
            field.default is attrs.NOTHING or field.name == "kind" or draw(st.integers(0, 3)) == 0
        ):
            optional = NoneType in get_args(field.type)
            none = optional and draw(st.integers(0, 9)) == 0
            data[field.alias or field.name] = None if none else draw(strategy)
    return data


@st.composite
def motors(draw: st.DrawFn) -> Data:
    """Return a motor with power or current, its alternatives aligned."""
    data = draw(record(Motor))
    if data.get("power") is None and data.get("current") is None:
        data["power"] = draw(TEXTS["watts"])
    plate = draw(PLATES)
    return {**data, **plate}


@st.composite
def loads(draw: st.DrawFn) -> Data:
    """Return a load with a size."""
    return {**draw(record(Load)), "current": draw(TEXTS["amperes"])}


@st.composite
def machines(draw: st.DrawFn, name: str, others: tuple[str, ...]) -> Data:
    """Return a machine with motors, loads or a plate."""
    data = {**draw(record(Machine)), "id": name}
    data.pop("plate", None)
    what = draw(st.sampled_from(["motors", "loads", "plate"]))
    if what == "plate":
        data["plate"] = draw(st.sampled_from(["5 HP 230/460 V\n13.2/6.6 A", "5,5 kW Δ 400 V"]))
    else:
        strategy = motors() if what == "motors" else loads()
        data[what] = draw(st.lists(strategy, min_size=1, max_size=2))
    data.pop("fed_from", None)
    wants: bool = draw(st.booleans())
    if others and wants:
        data["needs"] = list(draw(st.sets(st.sampled_from(others), max_size=2)))
    fed: bool = draw(st.booleans())
    if others and fed:
        data["fed_from"] = draw(st.sampled_from(others))
    return data


@st.composite
def pieces(draw: st.DrawFn, number: int, ids: tuple[str, ...]) -> Data:
    """Return a piece of equipment of any kind."""
    data = draw(record(draw(st.sampled_from(get_args(Equipment)))))
    if data["kind"] == "motor":
        data["motor"] = draw(motors())
    return {**data, "id": f"E{number}", "serves": list(draw(st.sets(st.sampled_from(ids))))}


@st.composite
def shops(draw: st.DrawFn) -> Data:
    """Return a sound shop as plain data."""
    ids = tuple(f"M{n}" for n in range(1, draw(st.integers(1, 3)) + 1))
    data: Data = {
        **draw(record(Shop)),
        "machines": [draw(machines(name, ids[:n])) for n, name in enumerate(ids)],
    }
    data["supply"].pop("highest_voltage", None)  # the lowest may be anything
    if draw(st.booleans()):
        data["schema"] = "ampwright.shop/1"
    if draw(st.booleans()):
        data["together"] = [list(ids)]
    if draw(st.booleans()):
        data["equipment"] = [draw(pieces(n, ids)) for n in range(2)]
    return data


def without_none(value: Any) -> Any:  # noqa: ANN401 - plain data of any shape
    """Return *value* as TOML can hold it."""
    if isinstance(value, dict):
        return {key: without_none(one) for key, one in value.items() if one is not None}
    if isinstance(value, list):
        return [without_none(one) for one in value if one is not None]
    return value


# a failing shop is large, and shrinking it takes minutes
MANY = settings(
    max_examples=100,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
    phases=[Phase.explicit, Phase.reuse, Phase.generate],
)


@given(shops())
@MANY
def test_data_to_shop_and_back_is_the_same_data(data: Data) -> None:
    shop = Shop.from_dict(data)
    assert shop.to_dict() == data
    assert Shop.from_dict(shop.to_dict()) == shop
    assert to_json(Shop.from_dict(shop.to_dict()).to_dict()) == to_json(shop.to_dict())


@given(shops())
@MANY
def test_a_shop_passes_json_toml_and_pickle(data: Data) -> None:
    shop = Shop.from_dict(data)
    assert Shop.from_dict(json.loads(to_json(shop.to_dict()))) == shop
    assert Shop.from_dict(tomllib.loads(Shop.from_dict(without_none(data)).to_toml())) == (
        Shop.from_dict(without_none(data))
    )
    again = pickle.loads(pickle.dumps(shop))  # noqa: S301 - made in the same line
    assert again == shop
    assert again.to_dict() == data
    assert hash(again) == hash(shop)


@given(shops())
@MANY
def test_a_shop_built_by_hand_says_the_same(data: Data) -> None:
    shop = Shop.from_dict(data)
    evolved = attrs.evolve(shop, name=shop.name)
    assert evolved == shop
    assert Shop.from_dict(evolved.to_dict()) == shop


@given(st.sampled_from([Motor, Supply, Site, Load]), st.data())
@MANY
def test_reading_never_changes_what_it_reads(cls: type, draws: st.DataObject) -> None:
    data = draws.draw(motors() if cls is Motor else loads() if cls is Load else record(cls))
    data.pop("highest_voltage", None)  # the lowest may be anything
    before = json.dumps(data)
    shown = write(read(cls, data))
    assert json.dumps(data) == before
    assert shown == data
