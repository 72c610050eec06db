"""What a field may hold that is no quantity."""

from decimal import Decimal
from fractions import Fraction

import numpy as np
import pytest

from ampwright import bounds
from ampwright.errors import AmpwrightError, FormatError, InputError, LimitError, RangeError


@pytest.mark.parametrize(
    ("one", "other", "count"),
    [("", "", 0), ("a", "", 1), ("kitten", "sitting", 3), ("flaw", "lawn", 2), ("abc", "abc", 0)],
)
def test_distance_counts_single_letters(one: str, other: str, count: int) -> None:
    assert bounds.distance(one, other) == count
    assert bounds.distance(other, one) == count


@pytest.mark.parametrize(
    ("word", "found"),
    [
        ("efficency", "efficiency"),
        ("Power_Factor", "power_factor"),
        ("volt", "voltage"),
        ("entirely different", ""),
        ("", ""),
    ],
)
def test_nearest_names_what_was_probably_meant(word: str, found: str) -> None:
    assert bounds.nearest(word, ["efficiency", "power_factor", "voltage"]) == found


def test_nearest_of_a_very_long_word_is_quick() -> None:
    assert bounds.nearest("x" * 1_000_000, ["efficiency"]) == ""


def test_one_of_lists_the_words_and_names_the_nearest() -> None:
    with pytest.raises(InputError) as caught:
        bounds.one_of("split-fase", ("split-phase", "line-line"), "arrangement")
    assert caught.value.code == "enum.arrangement"
    assert 'did you mean "split-phase"?' in str(caught.value)
    assert '"line-line"' in str(caught.value)


def test_true_is_none_of_the_numbers() -> None:
    with pytest.raises(InputError):
        bounds.one_of(True, (1, 3), "phases")  # noqa: FBT003 - that is the point
    assert bounds.one_of(3, (1, 3), "phases") == 3


@pytest.mark.parametrize("value", [2.5, 2.0, "2", True, None, Decimal(2), np.float64(2)])
def test_what_is_no_whole_number_is_refused(value: object) -> None:
    with pytest.raises(InputError) as caught:
        bounds.whole(value, 1, 5, "quantity")
    assert caught.value.code == "type.integer"


@pytest.mark.parametrize("value", [0, 6, 10**30])
def test_a_whole_number_outside_is_refused(value: int) -> None:
    with pytest.raises(RangeError) as caught:
        bounds.whole(value, 1, 5, "quantity")
    assert caught.value.code == "range.quantity"


def test_whole_numbers_of_numpy_are_whole_numbers() -> None:
    found = bounds.whole(np.int32(3), 1, 5, "quantity")
    assert (found, type(found)) == (3, int)


@pytest.mark.parametrize("value", [1, 0, "true", None, np.True_])
def test_a_switch_is_true_or_false(value: object) -> None:
    with pytest.raises(InputError):
        bounds.flag(value)


@pytest.mark.parametrize("value", [Decimal("0.5"), Fraction(1, 2), np.float32(0.5), 0.5])
def test_plain_numbers_of_any_kind(value: object) -> None:
    found = bounds.plain_number(value)
    assert (found, type(found)) == (0.5, float)


@pytest.mark.parametrize("value", [True, np.True_, "0.5", None, [0.5], 1j, np.array([1.0, 2.0])])
def test_what_is_no_number(value: object) -> None:
    with pytest.raises(InputError) as caught:
        bounds.plain_number(value)
    assert caught.value.code == "type.number"


def test_a_number_beyond_floats_is_infinite() -> None:
    assert bounds.plain_number(10**400) == float("inf")


@pytest.mark.parametrize(
    ("value", "error", "code"),
    [
        (5, InputError, "type.text"),
        ("x" * 1001, LimitError, "limit.text_length"),
        ("a\x00b", InputError, "text.control"),
        ("a\x1bb", InputError, "text.control"),
        ("a\x9bb", InputError, "text.control"),
        ("\ud800", FormatError, "text.encoding"),
    ],
)
def test_text_that_is_refused(value: object, error: type[AmpwrightError], code: str) -> None:
    with pytest.raises(error) as caught:
        bounds.text(value)
    assert caught.value.code == code


@pytest.mark.parametrize("value", ["", "Müller & Söhne", "line\nline", "<script>", "=1+1", "日本"])
def test_text_that_is_taken_as_it_is(value: str) -> None:
    assert bounds.text(value) == value


@pytest.mark.parametrize("value", ["", " a", "a ", "a\nb", "x" * 65])
def test_ids_have_a_form(value: str) -> None:
    with pytest.raises((InputError, LimitError)):
        bounds.name(value)


def test_keys_are_shown_shortened_and_printable() -> None:
    assert bounds.shortened("x" * 100) == "x" * 64
    assert bounds.shortened("a\n") == "a\\n"
