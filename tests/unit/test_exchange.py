"""Plain data to records and back."""

from collections.abc import Mapping
from typing import ClassVar, Literal

import attrs
import pytest

from ampwright.errors import (
    AmpwrightError,
    FormatError,
    InputError,
    InternalError,
    SchemaVersionError,
)
from ampwright.exchange import Leftovers, known_schema, read, write
from ampwright.quantity import Held
from ampwright.records.motor import Motor
from ampwright.records.shop import Shop


@attrs.frozen(kw_only=True)
class Part:
    """A part of a result.

    Attributes:
        id: Its name.
        size_mm2: Its size [mm2].
    """

    id: str
    size_mm2: float | None = None


@attrs.frozen(kw_only=True)
class Result:
    """A result with every type that results use."""

    name: str
    value: float | str
    count: int = 1
    good: bool | None = None
    word: Literal["a", "b"] = "a"
    parts: tuple[Part, ...] = ()
    pairs: tuple[tuple[str, float], ...] = ()
    point: tuple[float, float] = (0.0, 0.0)
    best: Part | None = None
    table: Mapping[str, float] = attrs.field(factory=dict)
    ruled: str = attrs.field(default="x", validator=attrs.validators.in_(("x", "y")))
    made: int = attrs.field(init=False, default=5)


FULL = {
    "name": "n",
    "value": "6 AWG",
    "count": 3,
    "good": False,
    "word": "b",
    "parts": [{"id": "p", "size_mm2": None}, {"id": "q", "size_mm2": 1.5}],
    "pairs": [["x", 1.0], ["y", 2.5]],
    "point": [1.0, 2.0],
    "best": {"id": "r", "size_mm2": 4.0},
    "table": {"k": 1.0},
    "ruled": "y",
}


def test_a_result_is_written_with_every_field_and_read_back() -> None:
    record = read(Result, FULL)
    assert record.parts[1] == Part(id="q", size_mm2=1.5)
    assert record.pairs == (("x", 1.0), ("y", 2.5))
    assert write(record) == FULL
    assert read(Result, write(record)) == record
    small = Result(name="n", value=1.0)
    assert write(small)["best"] is None
    assert read(Result, write(small)) == small


@attrs.frozen(kw_only=True)
class Sparse:
    """A result of which only what it holds is written."""

    SPARSE: ClassVar[bool] = True

    name: str
    unit: str = ""
    pairs: tuple[tuple[str, str], ...] = ()
    low: float | None = None


def test_a_sparse_result_is_written_without_its_defaults_and_read_back() -> None:
    assert write(Sparse(name="")) == {"name": ""}
    assert write(Sparse(name="n", low=0.0)) == {"name": "n", "low": 0.0}
    full = Sparse(name="n", unit="A", pairs=(("x", "y"),), low=1.0)
    assert write(full) == {"name": "n", "unit": "A", "pairs": [["x", "y"]], "low": 1.0}
    for one in (full, Sparse(name="")):
        assert read(Sparse, write(one)) == one


def test_nothing_that_was_written_is_shared() -> None:
    record = Result(name="n", value=1.0, parts=(Part(id="p"),) * 2)
    first, second = write(record)["parts"]
    first["id"] = "other"
    assert second["id"] == write(record)["parts"][0]["id"] == "p"


def test_whole_numbers_become_floats_where_floats_are_due() -> None:
    record = Result(name="n", value=2, pairs=(("x", 3),), point=(1, 2), table={"k": 4})
    data = write(record)
    found = [data["value"], data["pairs"][0][1], *data["point"], data["table"]["k"]]
    assert [type(one) for one in found] == [float] * 5
    assert type(data["count"]) is int
    assert type(read(Result, {"name": "n", "value": 2}).value) is float


def test_a_held_float_in_a_result_is_a_float() -> None:
    data = write(Result(name="n", value=Held(3.0, "A", "3 A")))
    assert type(data["value"]) is float


@pytest.mark.parametrize("value", [float("nan"), float("inf")])
def test_what_is_not_finite_is_not_written(value: float) -> None:
    with pytest.raises(InternalError) as caught:
        write(Result(name="n", value=value))
    assert caught.value.code == "internal.nonfinite"


def test_what_is_no_plain_data_is_not_written() -> None:
    with pytest.raises(InternalError):
        write(Result(name="n", value=1j))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("change", "path", "code"),
    [
        ({"name": 5}, "name", "type.text"),
        ({"value": [1]}, "value", "type.number"),
        ({"value": True}, "value", "type.number"),
        ({"value": float("inf")}, "value", "range.nonfinite"),
        ({"count": 2.5}, "count", "type.integer"),
        ({"good": 1}, "good", "type.boolean"),
        ({"word": "c"}, "word", "enum.word"),
        ({"parts": {}}, "parts", "type.list"),
        ({"parts": [5]}, "parts[0]", "type.record"),
        ({"parts": [{"size_mm2": 1.0}]}, "parts[0].id", "field.missing"),
        ({"parts": [{"id": "p", "sise_mm2": 1.0}]}, "parts[0].sise_mm2", "field.unknown"),
        ({"pairs": [["x"]]}, "pairs[0]", "limit.entries"),
        ({"pairs": [["x", "y"]]}, "pairs[0][1]", "type.number"),
        ({"point": [1.0]}, "point", "limit.entries"),
        ({"best": "p"}, "best", "type.record"),
        ({"table": [1]}, "table", "type.table"),
        ({"table": {"k": "v"}}, "table.k", "type.number"),
        ({"ruled": "z"}, "", "record.value"),
        ({"made": 5}, "made", "field.unknown"),
    ],
)
def test_faults_have_path_and_code(change: dict[str, object], path: str, code: str) -> None:
    with pytest.raises(AmpwrightError) as caught:
        read(Result, {**FULL, **change})
    assert (caught.value.path, caught.value.code) == (path, code)


def test_all_faults_come_together() -> None:
    data = {"value": 1.0, "count": 2.5, "parts": [{"id": 1}, {"id": "b", "size_mm2": "x"}], "u": 1}
    with pytest.raises(InputError) as caught:
        read(Result, data)
    found = {(one.path, one.code) for one in caught.value.faults}
    assert found == {
        ("u", "field.unknown"),
        ("name", "field.missing"),
        ("count", "type.integer"),
        ("parts[0].id", "type.text"),
        ("parts[1].size_mm2", "type.number"),
    }
    for path, code in found:
        assert path in str(caught.value)
        assert code in str(caught.value)


def test_an_unknown_key_names_the_nearest() -> None:
    with pytest.raises(InputError) as caught:
        read(Result, {**FULL, "cuont": 1})
    assert 'did you mean "count"?' in str(caught.value)


def test_unknown_keys_can_be_kept_and_written_back() -> None:
    data = {**FULL, "newer": {"x": [1]}, "parts": [{"id": "p", "size_mm2": None, "later": 2}]}
    kept: Leftovers = {}
    record = read(Result, data, leftovers=kept)
    assert kept == {("", "newer"): {"x": [1]}, ("parts[0]", "later"): 2}
    assert write(record, leftovers=kept) == data


@pytest.mark.parametrize("data", [[], [1], "text", 5, None])
def test_only_a_table_stands_at_the_top(data: object) -> None:
    with pytest.raises(FormatError) as caught:
        read(Result, data)
    assert caught.value.code == "schema.top_level"
    assert "object" in str(caught.value)


def test_very_many_faults_are_not_all_listed() -> None:
    data = {f"unknown{n}": 1 for n in range(100_000)}
    with pytest.raises(AmpwrightError) as caught:
        read(Result, data)
    assert len(caught.value.faults) < 1000


@pytest.mark.parametrize(
    ("stated", "cls", "code"),
    [
        ("ampwright.plan/9", SchemaVersionError, "schema.too_new"),
        ("ampwright.plan/10", SchemaVersionError, "schema.too_new"),
        ("ampwright.plan/" + "9" * 5000, SchemaVersionError, "schema.too_new"),
        ("ampwright.shop/1", FormatError, "schema.unknown"),
        ("ampwright.plan/0", FormatError, "schema.unknown"),
        ("ampwright.plan/x", FormatError, "schema.unknown"),
        (5, FormatError, "schema.unknown"),
        (None, FormatError, "schema.missing"),
    ],
)
def test_schemas(stated: object, cls: type[AmpwrightError], code: str) -> None:
    with pytest.raises(cls) as caught:
        known_schema({"schema": stated}, "ampwright.plan/1")
    assert type(caught.value) is cls
    assert caught.value.code == code


def test_the_schema_of_now_passes_and_may_be_optional() -> None:
    known_schema({"schema": "ampwright.plan/1"}, "ampwright.plan/1")
    known_schema({}, "ampwright.shop/1", required=False)
    with pytest.raises(FormatError):
        known_schema([], "ampwright.shop/1")


def test_a_stated_record_is_written_in_its_own_words_inside_a_result() -> None:
    @attrs.frozen(kw_only=True)
    class Holder:
        motor: Motor
        shop: Shop

    shop = {
        "schema": "ampwright.shop/1",
        "locale": "de-DE",
        "supply": {
            "arrangement": "line-neutral", "voltage": "230 V", "frequency": "50 Hz",
            "three_phase": "at-meter",
        },
        "machines": [{"id": "a", "motors": [{"power": "5,5 kW", "phases": 3}]}],
    }  # fmt: skip
    data = {"motor": {"power": "7 1/2 hp"}, "shop": shop}
    record = read(Holder, data)
    assert record.shop.machines[0].motors[0].power_w == 5500.0
    assert write(record) == data
