"""What a field may hold that is no quantity: words, counts, switches, text."""

from collections.abc import Iterable, Sequence

from ampwright.errors import FormatError, InputError, LimitError, RangeError

LONGEST_TEXT = 1000


def distance(one: str, other: str) -> int:
    """Return how many single letters turn *one* into *other*."""
    row = list(range(len(other) + 1))
    for i, left in enumerate(one, 1):
        before, row[0] = row[0], i
        for j, right in enumerate(other, 1):
            before, row[j] = row[j], min(row[j] + 1, row[j - 1] + 1, before + (left != right))
    return row[-1]


def nearest(word: str, words: Iterable[str]) -> str:
    """Return the one of *words* that *word* was probably meant to be, or ``""``."""
    plain = word[:64].casefold().replace("_", "-")
    ranked = sorted((distance(plain, one.casefold().replace("_", "-")), one) for one in words)
    begun = [one for one in ranked if plain and one[1].startswith(plain)]
    if begun:
        return begun[0][1]
    return ranked[0][1] if ranked and ranked[0][0] <= max(2, len(plain) // 3) else ""


def hint(word: object, words: Iterable[str]) -> str:
    """Return the remedy that names the nearest of *words*, or ``""``."""
    found = nearest(word, words) if isinstance(word, str) and len(word) > 1 else ""
    return f'did you mean "{found}"?' if found else ""


def shortened(key: object) -> str:
    """Return *key* as it can stand in a path."""
    word = str(key)[:64]
    return word if word.isprintable() else repr(word)[1:-1]


def one_of(value: object, words: Sequence[object], name: str) -> object:
    """Return *value* if it is one of *words*.

    Raises:
        InputError: It is none of them; code ``enum.<name>``.
    """
    if isinstance(value, str | int) and not isinstance(value, bool) and value in words:
        return value
    listed = ", ".join(f'"{one}"' if isinstance(one, str) else str(one) for one in words)
    texts = [one for one in words if isinstance(one, str)]
    raise InputError(value, f"one of {listed}", code=f"enum.{name}", remedy=hint(value, texts))


def whole(value: object, low: int, high: int, name: str) -> int:
    """Return *value*, a whole number from *low* to *high*.

    Raises:
        InputError: It is no whole number.
        RangeError: It lies outside.
    """
    if isinstance(value, bool) or not hasattr(value, "__index__"):
        raise InputError(value, "a whole number", code="type.integer")
    number = int(value.__index__())
    if not low <= number <= high:
        raise RangeError(value, f"a whole number from {low} to {high}", code=f"range.{name}")
    return number


def flag(value: object) -> bool:
    """Return *value*, true or false and nothing else."""
    if not isinstance(value, bool):
        raise InputError(value, "true or false", code="type.boolean")
    return value


def plain_number(value: object) -> float:
    """Return *value* as a float; what is true or false, or text, is no number.

    Raises:
        InputError: It is none.
    """
    if isinstance(value, bool) or type(value).__name__.startswith("bool"):
        raise InputError(value, "a number, not true or false", code="type.number")
    if isinstance(value, int | float) or hasattr(value, "__float__"):
        try:
            return float(value)
        except OverflowError:
            return float("inf")
        except Exception as error:  # a stranger's number may raise anything
            raise InputError(value, "one number", code="type.number") from error
    raise InputError(value, "a number", code="type.number")


def text(value: object, longest: int = LONGEST_TEXT) -> str:
    """Return *value*, text of at most *longest* characters without control characters.

    Raises:
        InputError: It is no text, or holds control characters.
        LimitError: It is longer.
        FormatError: It holds half a surrogate pair, which no file can store.
    """
    if not isinstance(value, str):
        raise InputError(value, "text", code="type.text")
    if len(value) > longest:
        got = f"text of {len(value)} characters"
        raise LimitError(got, f"at most {longest} characters", code="limit.text_length")
    if not value.isprintable():
        for one in value:
            if "\ud800" <= one <= "\udfff":
                raise FormatError(value, "text that UTF-8 can store", code="text.encoding")
            if (one < " " and one not in "\n\t\r") or "\x7f" <= one <= "\x9f":
                raise InputError(value, "text without control characters", code="text.control")
    return value


def name(value: object) -> str:
    """Return *value*, an id: text of 1 to 64 characters on one line.

    Raises:
        InputError: It is empty, has blanks at its ends, or more than one line.
    """
    word = text(value, 64)
    if not word or word != word.strip() or not word.isprintable():
        raise InputError(
            value, "an id: 1 to 64 characters on one line, no blanks at its ends", code="id.form"
        )
    return word
