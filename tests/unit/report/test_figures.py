"""How numbers are written."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ampwright.report.figures import Customs, measure, money, pair, written

FEET = Customs(feet=True, horsepower=True)
METRIC = Customs(feet=False, horsepower=False)


@pytest.mark.parametrize(
    ("value", "toward", "text"),
    [
        (68.09, "down", "68"),
        (68.01, "up", "68.1"),
        (1.25 * 15.2, "up", "19"),
        (0.030000000000000002, "up", "0.03"),
        (123456.0, "near", "123000"),
        (-12.34, "down", "−12.4"),
        (0.0, "up", "0"),
    ],
)
def test_three_figures_to_the_safe_side(value: float, toward: str, text: str) -> None:
    assert written(value, toward) == text


@given(st.floats(1e-6, 1e9), st.floats(1e-6, 1e9))
def test_a_pair_never_shows_another_margin_than_there_is(required: float, available: float) -> None:
    shown_required, shown_available = (
        Decimal(text.split(" ")[0]) for text in pair(required, available, "m2", METRIC)
    )
    # closer than a part in a thousand million is the noise of floating point, for the rules too
    if (required - available) / available > 1e-9:
        assert shown_required > shown_available
    elif (available - required) / available > 1e-9:
        assert shown_required <= shown_available


def test_a_pair_that_fails_by_a_hair_does_not_look_equal() -> None:
    assert pair(68.04, 68.03, "A", METRIC) == ("68.1 A", "68 A")


def test_a_pair_that_holds_by_a_hair_gets_the_digits_to_show_it() -> None:
    assert pair(68.02, 68.04, "A", METRIC) == ("68.02 A", "68.04 A")


@pytest.mark.parametrize(
    ("value", "unit", "kind", "customs", "text"),
    [
        (12.0, "m", "any", FEET, "39.4 ft (12 m)"),
        (12.0, "m", "any", METRIC, "12 m"),
        (5 * 745.69987, "W", "shaft", FEET, "5 hp (3.73 kW)"),
        (5 * 745.69987, "W", "any", FEET, "3.73 kW"),
        (120e-6, "F", "any", METRIC, "120 µF"),
        (0.0314, "ohm", "any", METRIC, "31.4 mΩ"),
        (0.01234, "fraction", "any", METRIC, "1.23 %"),
        (22000.0, "A", "any", METRIC, "22 kA"),
        (3.0, "", "any", METRIC, "3"),
        (7.0, "furlong", "any", METRIC, "7 furlong"),
    ],
)
def test_units_as_the_reader_is_used_to(
    value: float, unit: str, kind: str, customs: Customs, text: str
) -> None:
    assert measure(value, unit, customs, shaft=kind == "shaft") == text


def test_money_is_a_rough_range() -> None:
    assert money(1421.0, 2583.0, "USD") == "1400 to 2600 USD"
    assert money(15210.0, 15210.0, "EUR") == "15 000 to 16 000 EUR"
    assert money(100.0, 100.0, "EUR") == "100 EUR"
