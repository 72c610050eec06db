"""Standard ratings: the next one up, the next one down, and how a choice is written down."""

from collections.abc import Iterable

from ampwright.families.nec.book import Book
from ampwright.families.nec.draft import Draft
from ampwright.step import Figure

#: A calculated value that exceeds a rating by less than this share counts as that rating: it is
#: rounding, such as 1.25 times a current that was itself a quotient.
ROUNDING = 1e-9


def reaches(value: float, needed: float) -> bool:
    """Tell whether a rating or an ampacity of *value* suffices, rounding left aside."""
    return value >= needed * (1 - ROUNDING)


def next_up(book: Book, value: float, kind: str = "breaker") -> float:
    """Return the smallest standard rating at or above *value* [A]; infinite past the end."""
    fits = (rating for rating in book.ratings(kind) if reaches(rating, value))
    return next(fits, float("inf"))


def ceiling_up(book: Book, value: float, kind: str = "breaker") -> float:
    """Return `next_up`, or the largest rating that there is."""
    return min(next_up(book, value, kind), max(book.ratings(kind)))


def motor_most(book: Book, value: float, kind: str = "breaker") -> float:
    """Return the largest standard rating where a rule allows *value* for a motor [A].

    The next one up, or, where the code rounds down, the one below, but no less than its least.
    """
    if book.factor("motor_device_rounds_up"):
        return ceiling_up(book, value, kind)
    return max(book.factor("motor_device_least_a"), next_down(book, value, kind))


def next_down(book: Book, value: float, kind: str = "breaker") -> float:
    """Return the largest standard rating at or below *value* [A]; nought below the first."""
    most = value * (1 + ROUNDING)
    return max((rating for rating in book.ratings(kind) if rating <= most), default=0.0)


def below(book: Book, rating: float) -> float:
    """Return the standard rating before *rating* [A]; nought before the first."""
    return max((one for one in book.ratings() if one < rating), default=0.0)


def write_rating(
    draft: Draft,
    name: str,
    symbol: str,
    rating: float,
    rule: str,
    inputs: Iterable[tuple[str, Figure]],
) -> Figure:
    """State a standard breaker rating that was chosen by *inputs*."""
    return draft.read(
        name,
        symbol,
        "A",
        table="standard_ratings",
        key=f"{rating:.0f}",
        column="rating_a",
        value=rating,
        rule=rule,
        inputs=inputs,
    )
