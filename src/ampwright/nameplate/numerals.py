"""Numbers as plates write them: fractions, ranges, alternatives, and the decimal sign."""

import math
import re
from functools import lru_cache
from typing import Final, NamedTuple

from ampwright.nameplate.lexing import Atom
from ampwright.nameplate.vocabulary import BANDS, CONNECTIONS

_VULGAR: Final = dict(
    zip("½¼¾⅓⅔⅛⅜⅝⅞", (1 / 2, 1 / 4, 3 / 4, 1 / 3, 2 / 3, 1 / 8, 3 / 8, 5 / 8, 7 / 8), strict=True)
)
_LITERAL: Final = r"[0-9.,]*[0-9]"
_COMMAS: Final = r"[0-9]*(?:[.,][0-9]+)+"
_THOUSANDS: Final = r"[1-9][0-9]{0,2}(?:([.,])[0-9]{3})(?:\1[0-9]{3})*"
_LINKED: Final = r"^(YY|Y|DD?|ΔΔ?)? ?(.*?) ?(YY|Y|DD?|ΔΔ?)?$"
_MIXED: Final = r"([0-9]{1,2})(?: ?- ?| )([1-9][0-9]?)/(16|[2348])"
_FRACTION: Final = r"(?<![0-9.,])[1-7]/[2348](?![0-9.,])"
_BETWEEN_FRACTIONS: Final = r" / |(?<=/[2348])/|/(?=(?:[5679]|[0-9]{2})-[1-7]/[2348])"
_RANGE: Final = r" ?(?:-|÷|\.\.\.?|…|~| to ) ?"
_LONGEST_LITERAL = 12
_LARGEST_WHOLE = 25.0  # 60 1/2 is two numbers, not sixty and a half
_FRACTION_FIELDS = frozenset({"power", "largest_motor", "input_power", "duty_minutes"})

POINT, COMMA, REFUSED = "point", "comma", "refused"


class Choice(NamedTuple):
    """One of the alternatives of a group: a number, or a range in the order of the plate."""

    first: float
    last: float
    link: str = ""


class Decimal(NamedTuple):
    """How commas and points between digits are read on one plate.

    Attributes:
        sign: ``point``, ``comma``, or ``refused``: a comma is not read at all.
        grounds: ``locale``, ``plate``, ``plain`` (there is no comma), or ``none``.
    """

    sign: str
    grounds: str


_NONE: Final = Decimal(REFUSED, "none")


def number(literal: str, sign: str) -> float | None:
    """Read one number; ``None`` if *sign* leaves it open what it is."""
    if not re.fullmatch(_LITERAL, literal) or len(literal) > _LONGEST_LITERAL:
        return None
    marks = [mark for mark in ".," if mark in literal]
    if len(marks) > 1:
        return _grouped_decimal(literal) if sign != REFUSED else None
    if not marks:
        return float(literal)
    mark = marks[0]
    if mark == "," and sign == REFUSED:
        return None
    is_decimal = mark == ("," if sign == COMMA else ".")
    if not is_decimal and re.fullmatch(_THOUSANDS, literal):
        return float(literal.replace(mark, ""))
    # under a decimal comma 7.5 has no other reading than seven and a half
    readable = literal.count(mark) == 1 and (is_decimal or mark == ".")
    return float(literal.replace(",", ".")) if readable else None


def _grouped_decimal(literal: str) -> float | None:
    """Read ``1.000,5`` and ``1,000.5``: the last sign is the decimal one."""
    decimal = "." if literal.rfind(".") > literal.rfind(",") else ","
    whole, _, part = literal.rpartition(decimal)
    if decimal in whole or not _is_grouped(whole):
        return None
    return float(f"{re.sub('[.,]', '', whole)}.{part}")


def _is_grouped(whole: str) -> bool:
    return re.fullmatch(_THOUSANDS, whole) is not None or whole.isdigit()


def fraction(raw: str) -> float | None:
    """Read ``7-1/2``, ``7 1/2``, ``3/4`` or ``7½``; ``None`` if *raw* is none of these."""
    if raw[-1:] in _VULGAR:
        whole = raw[:-1].strip(" -")
        return float(whole or 0) + _VULGAR[raw[-1]] if not whole or whole.isdigit() else None
    mixed = re.fullmatch(_MIXED, raw)
    units = float(mixed[1]) if mixed else 0.0
    over, slash, under = (f"{mixed[2]}/{mixed[3]}" if mixed else raw).partition("/")
    if not slash or not (over.isdigit() and under.isdigit()):
        return None
    allowed = under in ({"2", "3", "4", "8", "16"} if mixed else {"2", "3", "4", "8"})
    if not allowed or int(over) >= int(under) or units > _LARGEST_WHOLE:
        return None
    return units + int(over) / int(under)


@lru_cache(maxsize=4096)
def choices(raw: str, field: str, sign: str) -> tuple[Choice, ...] | None:
    """Read a group of alternatives; ``None`` if any part of it cannot be read.

    In a power whole numbers n/d with n < d and d in 2, 3, 4, 8 are a fraction; everywhere
    else a slash separates alternatives and a dash makes a range.
    """
    if field in _FRACTION_FIELDS:
        whole = fraction(raw.strip())
        if whole is not None:
            return (Choice(whole, whole),)
    found = []
    for piece in _slashed(raw, field):
        linked = re.fullmatch(_LINKED, piece.strip())
        if linked is None:
            return None
        ends = _ends(linked[2], field, sign)
        if ends is None:
            return None
        link = CONNECTIONS.get((linked[1] or linked[3] or "").casefold().replace("δ", "Δ"), "")
        found.append(Choice(ends[0], ends[-1], link))
    return tuple(found)


def is_in_band(field: str, read: tuple[Choice, ...], factor: float = 1.0) -> bool:
    """Can what *field* counts be as large or as small as these numbers."""
    low, high = BANDS.get(field, (-math.inf, math.inf))
    return all(low <= end * factor <= high for one in read for end in (one.first, one.last))


def _slashed(raw: str, field: str) -> list[str]:
    """Split at slashes, but keep fractions whole: ``1/2 / 1``, ``1 1/2/3/4``, ``5/7-1/2``."""
    if field in _FRACTION_FIELDS and raw.count("/") > 1 and re.search(_FRACTION, raw):
        # 1/2-3/4 stays in one piece and is not read: a half to three quarters, or 1 and 2 3/4
        return re.split(_BETWEEN_FRACTIONS, raw)
    return raw.split("/")


def _ends(piece: str, field: str, sign: str) -> list[float] | None:
    one = fraction(piece) if field in _FRACTION_FIELDS or piece[-1:] in _VULGAR else None
    if one is not None:
        return [one]
    found = []
    for literal in re.split(_RANGE, piece):
        read = number(literal, sign)
        if read is None and field == "speed" and "," in literal and sign == REFUSED:
            # 1,745 revolutions can only be a grouped number: 1.745 a minute turns nothing
            read = number(literal, POINT) if re.fullmatch(_THOUSANDS, literal) else None
        if read is None:
            return None
        found.append(read)
    return found


def is_decimal_likely(atoms: tuple[Atom, ...]) -> bool:
    """Could every comma be a decimal sign, and is none a point and at least one no thousands."""
    commas, points = _marked(atoms)
    return not points and any(map(_is_decimal_comma, commas))


def _is_decimal_comma(literal: str) -> bool:
    """Is the comma of *literal* its only one, and none that groups thousands."""
    return literal.count(",") == 1 and re.fullmatch(_THOUSANDS, literal) is None


def _marked(atoms: tuple[Atom, ...]) -> tuple[list[str], list[str]]:
    """Return the numbers with a comma, and those with a point that groups no thousands."""
    literals = [
        found[0] for a in atoms if a.kind == "number" for found in re.finditer(_COMMAS, a.plain)
    ]
    commas = [one for one in literals if "," in one]
    points = [one for one in literals if "," not in one and not re.fullmatch(_THOUSANDS, one)]
    return commas, points


def decimal_sign(atoms: tuple[Atom, ...], locale_sign: str | None, foreign: int) -> Decimal:
    """Decide once for the whole plate how a comma between digits is read.

    Args:
        atoms: The pieces of the plate.
        locale_sign: ``point`` or ``comma`` if the caller named a locale.
        foreign: How many words of the plate belong to countries that write a decimal comma.
    """
    if locale_sign is not None:
        return Decimal(locale_sign, "locale")
    with_comma, points = _marked(atoms)
    if not with_comma:
        return Decimal(POINT, "plain")
    both = {max(".", ",", key=one.rfind) for one in with_comma if "." in one}
    if both:
        return Decimal(COMMA if both == {","} else POINT, "plate") if len(both) == 1 else _NONE
    # three digits after the only comma may be a group of thousands; anything else may not
    decimals = [one for one in with_comma if _is_decimal_comma(one)]
    if points:
        return Decimal(POINT, "plate") if not decimals else _NONE
    zero = any(one.startswith(("0,", ",")) for one in decimals)
    if decimals and (zero or foreign or len(decimals) > 1):
        return Decimal(COMMA, "plate")
    return _NONE
