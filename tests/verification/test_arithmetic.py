"""The second reader of formulas: right where Python is, and deaf to everything else."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ampwright.verification.arithmetic import UnreadableError, reckoned

NAMES = {"a": 2.0, "b_1": -3.5, "hp": 7.25}


@pytest.mark.parametrize(
    ("formula", "value"),
    [
        ("1.25 * a", 2.5),
        ("-a ** 2", -4.0),
        ("2 ** -1", 0.5),
        ("2 ** 3 ** 2", 512.0),
        ("a - b_1 - 1", 4.5),
        ("8 / 2 / 2", 2.0),
        ("max(a, b_1, 3) + min(a, b_1)", -0.5),
        ("sqrt(a * 2) + abs(b_1) + ceil(1.2)", 7.5),
        ("1e-3 * (a + (hp - 2.0) * (9.6 - 6.8) / (3.0 - 2.0))", 0.0167),
        ("0.5 * hp", 3.625),
    ],
)
def test_it_reckons(formula: str, value: float) -> None:
    assert reckoned(formula, NAMES) == pytest.approx(value, rel=1e-15)


@pytest.mark.parametrize(
    "formula",
    ["", "a b", "a +", "(a", "a)", "open(a)", "a.real", "a if a else a", "[a]", "'a'", "c",
     "a // 2", "max()", "(-8) ** 0.5", "x" * 5000],
)  # fmt: skip
def test_it_refuses_what_is_no_arithmetic(formula: str) -> None:
    with pytest.raises(UnreadableError):
        reckoned(formula, NAMES)


def test_dividing_by_nought_is_said() -> None:
    with pytest.raises(ArithmeticError):
        reckoned("a / 0", NAMES)


NUMBERS = st.floats(0.1, 100.0).map(lambda one: f"{one:.6f}")
FORMULAS = st.recursive(
    NUMBERS | st.sampled_from(sorted(NAMES)),
    lambda inner: st.one_of(
        st.tuples(inner, st.sampled_from([" + ", " - ", " * ", " / "]), inner).map("".join),
        inner.map(lambda one: f"({one})"),
        inner.map(lambda one: f"-({one})"),
        st.tuples(inner, inner).map(lambda pair: f"max({pair[0]}, {pair[1]})"),
    ),
    max_leaves=12,
)


@given(FORMULAS)
def test_it_agrees_with_python_on_any_formula(formula: str) -> None:
    try:
        wanted = float(eval(formula, {"max": max}, dict(NAMES)))  # noqa: S307 - our own formula
    except ArithmeticError:
        with pytest.raises(ArithmeticError):
            reckoned(formula, NAMES)
        return
    assert reckoned(formula, NAMES) == wanted or math.isnan(wanted)
