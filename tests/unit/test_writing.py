"""What is written straight is, to the byte, what is written as plain data first."""

import math
from collections.abc import Mapping
from typing import Any, ClassVar

import attrs
import pytest

from ampwright import documents, exchange, writing
from ampwright.errors import InternalError
from ampwright.quantity import Held
from ampwright.records.motor import Motor
from ampwright.step import Step
from ampwright.tables import Source


@attrs.frozen(kw_only=True)
class Words:
    """A record of texts alone."""

    document: str
    clause: str = ""


@attrs.frozen(kw_only=True)
class Sparse:
    """A part that leaves out what holds nothing."""

    SPARSE: ClassVar[bool] = True

    path: str
    value: float | str = 1.0
    source: Words | None = None
    pairs: tuple[tuple[str, str], ...] = ()
    low: float | None = None


@attrs.frozen(kw_only=True)
class Whole:
    """A result with every kind of value that results hold."""

    SCHEMA: ClassVar[str] = "somewhere.whole/1"

    name: str
    count: int = 1
    size: float = 0.5
    good: bool | None = None
    parts: tuple[Sparse, ...] = ()
    point: tuple[float | None, ...] = ()
    table: Mapping[str, float] = attrs.field(factory=dict)
    motor: Motor | None = None
    motors: tuple[Motor, ...] = ()


SOURCE = Words(document='A "book"\\\n\x01\u2028', clause="\u00e9\U0001f600")
MOTOR = Motor(power="7-1/2 hp", voltage="230/460 V")
RESULTS = [
    Whole(name="bare"),
    Whole(name="", count=0, size=1e300, good=True, point=(1.0, None, -0.0, 1e-7)),
    Whole(name="whole numbers", size=3, table={"b": 2, "a": 0.1}),
    Whole(name="stated", motor=MOTOR, motors=(MOTOR, Motor(power="3 kW"))),
    Whole(name="held", size=Held(3.0, "A", "3 A")),
    Whole(
        name="parts",
        parts=(
            Sparse(path="a", source=SOURCE),
            Sparse(path="b", source=SOURCE, value="6 AWG", pairs=(("x", "y"), ("z", ""))),
            Sparse(path="c", value=0.0, low=0.0),
        ),
    ),
]


@pytest.mark.parametrize("result", RESULTS, ids=lambda one: one.name)
def test_it_is_what_plain_data_give(result: Whole) -> None:
    assert writing.to_json(result) == documents.to_json(exchange.write(result))


PLACE = Source(document="a book", clause="7", edition="2nd", known="memory")
TEXT = 'a "word"\\\n\u2028\u00e9'
STEPS = {
    "fewest fields": Step(path="p", kind="formula", symbol="I", value=-0.0),
    "every field": Step(
        path=f"~/{TEXT}", kind="table", symbol=TEXT, value=TEXT, unit=TEXT, formula=TEXT,
        inputs=(("a", TEXT), ("b", "")), rule=TEXT, source=PLACE, table=TEXT, cell=(TEXT, "", TEXT),
        text=TEXT, unknowns=(TEXT, "s"), residual=1e-15, low=0.0, high=1e300,
    ),
    "whole numbers": Step(path="p", kind="solved", symbol="n", value=3, residual=0, low=1, high=2),
    "held": Step(path="p", kind="given", symbol="I", value=Held(3.0, "A", "3 A"), source=PLACE),
}  # fmt: skip


@attrs.frozen(kw_only=True)
class Stepped:
    """A result with steps, of which most of a plan consists."""

    steps: tuple[Step, ...]


def test_no_field_of_a_step_is_empty_where_all_are_written() -> None:
    assert all(
        getattr(STEPS["every field"], one.name) not in (None, "", ()) for one in attrs.fields(Step)
    )


@pytest.mark.parametrize("step", STEPS.values(), ids=STEPS)
def test_a_step_is_what_plain_data_give(step: Step) -> None:
    result = Stepped(steps=(step, STEPS["every field"]))
    assert writing.to_json(result) == documents.to_json(exchange.write(result))


@pytest.mark.parametrize("name", ["value", "residual", "low", "high"])
def test_a_step_with_a_number_that_is_not_finite_is_refused(name: str) -> None:
    fields: dict[str, Any] = {"value": 1.0, name: math.nan}
    step = Step(path="p", kind="solved", symbol="I", **fields)
    with pytest.raises(InternalError):
        writing.to_json(Stepped(steps=(step,)))


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_not_finite_is_refused(value: float) -> None:
    for result in (Whole(name="x", size=value), Whole(name="x", point=(value,))):
        with pytest.raises(InternalError) as caught:
            writing.to_json(result)
        assert caught.value.code == "internal.nonfinite"


def test_what_is_no_plain_data_is_refused() -> None:
    with pytest.raises(InternalError):
        writing.to_json(Whole(name="x", parts=({1, 2},)))  # type: ignore[arg-type] # on purpose
