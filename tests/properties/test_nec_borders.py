"""At the border of a row the smallest step beyond moves the choice by one row, to the safe side."""

from collections.abc import Sequence

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from tests.properties.nec_questions import (
    MARKED,
    METALS,
    RATINGS,
    SAME,
    SIZES,
    TABLES,
    US,
    asked,
    rating,
    size,
    steps_of,
)

#: What is reckoned to be equal in the rules, a relative 1e-9, and what is surely beyond.
BEYOND = 1 + 3e-9


def row_after(names: Sequence[str], name: str) -> str:
    return names[names.index(name) + 1]


@SAME
@given(st.sampled_from(SIZES[SIZES.index("12") : SIZES.index("500")]), MARKED, METALS)
def test_mr_55_at_the_border_of_a_size(at: str, mark: str, metal: str) -> None:
    """A converter's plate that just fills a size, and one a hair larger: the next size."""
    column = f"{'cu' if metal == 'copper' else 'al'}_{mark[:2]}c"
    cells = dict(TABLES["ampacity"].numbers(column))
    site = US.site(terminals=mark, conductor_material=metal)
    full = cells[at] / 1.25
    sizes = [size(US.ask(asked("converter", one), site)) for one in (full, full * BEYOND)]
    assert sizes == [at, row_after(list(cells), at)]


@SAME
@given(st.sampled_from([one for one in RATINGS if one <= 300]))
def test_mr_55_at_the_border_of_a_device(at: float) -> None:
    ratings = [rating(US.ask(asked("load", one / 1.25))) for one in (at, at * BEYOND)]
    assert ratings == [at, RATINGS[RATINGS.index(at) + 1]]


@SAME
@given(st.integers(26, 79))
def test_mr_55_at_the_border_of_an_ambient_band(band: int) -> None:
    """THWN-2: bands of 5 degrees from 26 C; a hair above the last whole degree is the next band."""
    rows = TABLES["ambient_factors"].rows
    row = next(
        n for n, one in enumerate(rows) if float(one["from_c"]) <= band <= float(one["to_c"])
    )
    assume(row + 1 < len(rows) and rows[row + 1]["f_90c"])
    top = float(rows[row]["to_c"])
    factors = []
    for ambient in (top, top + 1e-6):
        answer = US.ask(asked("converter", 5.0), US.site(ambient=f"{ambient!r} degC"))
        factors.append(steps_of(answer)["conductor/ambient_factor"])
    assert factors == [float(rows[row]["f_90c"]), float(rows[row + 1]["f_90c"])]


@SAME
@given(st.sampled_from([row["rating_a"] for row in TABLES["disconnect_ratings"].rows][:-2]))
def test_mr_55_at_the_border_of_a_disconnect(at: str) -> None:
    listed = [float(row["rating_a"]) for row in TABLES["disconnect_ratings"].rows]
    found = []
    for plate in (float(at) / 1.15, float(at) / 1.15 * BEYOND):
        circuit = US.ask(asked("converter", plate)).circuit
        assume(circuit is not None)
        assert circuit is not None
        assert circuit.disconnect is not None
        found.append(circuit.disconnect.rating_a)
    assert found == [float(at), listed[listed.index(float(at)) + 1]]


@pytest.mark.parametrize(
    ("device", "copper", "more"),
    [(15, "14", "12"), (20, "12", "10"), (60, "10", "8"), (100, "8", "6"), (200, "6", "4")],
)
def test_mr_55_at_the_border_of_a_grounding_conductor(
    device: float, copper: str, more: str
) -> None:
    """Table 250.122: 15 A: 14 AWG; 20 A: 12; to 60 A: 10; to 100 A: 8; to 200 A: 6; to 300 A: 4."""
    plates = device / 1.25, device / 1.25 * BEYOND
    found = []
    for plate in plates:
        circuit = US.ask(asked("load", plate)).circuit
        assert circuit is not None
        assert circuit.protective_conductor is not None
        found.append(circuit.protective_conductor.size)
    assert found == [f"{copper} AWG", f"{more} AWG"]
