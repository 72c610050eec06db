"""Fractions, ranges, alternatives and decimal signs; the expected values are read by eye."""

import pytest

from ampwright.nameplate.lexing import atoms
from ampwright.nameplate.numerals import choices, decimal_sign, fraction, number


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("7-1/2", 7.5),
        ("7 1/2", 7.5),
        ("7 - 1/2", 7.5),
        ("1/8", 0.125),
        ("3/4", 0.75),
        ("1-11/16", 1.6875),
        ("7½", 7.5),
        ("½", 0.5),
        ("4/3", None),
        ("1/5", None),
        ("60 1/2", None),
        ("208-1", None),
        ("1/2½", None),
    ],
)
def test_fractions(text: str, value: float | None) -> None:
    assert fraction(text) == value


@pytest.mark.parametrize(
    ("text", "point", "comma", "refused"),
    [
        ("7.5", 7.5, 7.5, 7.5),
        ("7,5", None, 7.5, None),
        ("1.455", 1.455, 1455.0, 1.455),
        ("1,455", 1455.0, 1.455, None),
        ("1.000,5", 1000.5, 1000.5, None),
        ("1,000.5", 1000.5, 1000.5, None),
        ("1,2,3", None, None, None),
        ("1.2.3", None, None, None),
        ("0,750", None, 0.75, None),
        (".82", 0.82, 0.82, 0.82),
        ("12345678901234", None, None, None),
    ],
)
def test_numbers(
    text: str, point: float | None, comma: float | None, refused: float | None
) -> None:
    assert number(text, "point") == point
    assert number(text, "comma") == comma
    assert number(text, "refused") == refused


@pytest.mark.parametrize(
    ("text", "field", "pairs"),
    [
        ("208-230/460", "voltage", [(208, 230), (460, 460)]),
        ("15.2-14/7", "current", [(15.2, 14), (7, 7)]),
        ("200/200/220", "voltage", [(200, 200), (200, 200), (220, 220)]),
        ("3/4", "power", [(0.75, 0.75)]),
        ("3/4", "voltage", [(3, 3), (4, 4)]),
        ("0.75/1.5", "power", [(0.75, 0.75), (1.5, 1.5)]),
        ("1/2 / 1", "power", [(0.5, 0.5), (1, 1)]),
        ("200~230", "voltage", [(200, 230)]),
        ("380÷415", "voltage", [(380, 415)]),
    ],
)
def test_alternatives_and_ranges(text: str, field: str, pairs: list[tuple[float, float]]) -> None:
    read = choices(text, field, "point")
    assert read is not None
    assert [(one.first, one.last) for one in read] == pairs


def test_what_could_be_two_things_is_neither() -> None:
    assert choices("1/2-3/4", "power", "point") is None


@pytest.mark.parametrize(
    ("text", "foreign", "sign", "grounds"),
    [
        ("5 HP 13.2 A", 0, "point", "plain"),
        ("7,5 HP", 0, "refused", "none"),
        ("7,5 PS", 1, "comma", "plate"),
        ("7,5 HP 15,1 A", 0, "comma", "plate"),
        ("0,75 kW", 0, "comma", "plate"),
        ("1,745 RPM 13.2 A", 0, "point", "plate"),
        ("1,745 RPM", 0, "refused", "none"),
        ("7,5 HP 13.2 A", 3, "refused", "none"),
        ("1.000,5 W", 0, "comma", "plate"),
    ],
)
def test_the_decimal_sign_of_a_plate(text: str, foreign: int, sign: str, grounds: str) -> None:
    found = decimal_sign(atoms(text), None, foreign)
    assert (found.sign, found.grounds) == (sign, grounds)


def test_a_locale_decides() -> None:
    assert decimal_sign(atoms("7,5 HP"), "comma", 0).grounds == "locale"
