"""A second reader of the formulas that a plan prints, sharing nothing with the first."""

import math
import re
from collections.abc import Callable, Mapping
from functools import lru_cache

Values = Mapping[str, float]
Node = Callable[[Values], float]

_PIECE = re.compile(
    r"\s*(?:(?P<number>\d+(?:\.\d*)?(?:[eE][+-]?\d+)?|\.\d+)|(?P<name>[A-Za-z_]\w*)"
    r"|(?P<sign>\*\*|[-+*/(),]))"
)
_CALLS: dict[str, Callable[..., float]] = {
    "sqrt": math.sqrt,
    "min": min,
    "max": max,
    "abs": abs,
    "ceil": math.ceil,
}
_LONGEST = 4000


class UnreadableError(ValueError):
    """A formula that is no arithmetic."""


def reckoned(formula: str, values: Values) -> float:
    """Return what *formula* comes to on *values*.

    Args:
        formula: Numbers, names, ``+ - * / **``, parentheses, and sqrt, min, max, abs, ceil.
        values: The value of every name.

    Raises:
        UnreadableError: It holds anything else, or a name without a value.
        ArithmeticError: It divides by nought, or overflows.
    """
    try:
        return float(_read(formula)(values))
    except KeyError as error:
        raise UnreadableError(f"no value for {error}") from error
    except TypeError as error:  # the power of a negative number is complex; too many arguments
        raise UnreadableError(str(error)) from error


@lru_cache(maxsize=4096)
def _read(formula: str) -> Node:
    reader = _Reader(formula)
    node = reader.sum()
    if reader.sign or reader.name or reader.number is not None:
        raise UnreadableError(f"left over in {formula!r}")
    return node


class _Reader:
    """Reads a formula piece by piece; each level of binding is one method."""

    def __init__(self, formula: str) -> None:
        if len(formula) > _LONGEST:
            raise UnreadableError("too long")
        self._text, self._at = formula.rstrip(), 0
        self.number: float | None = None
        self.name = self.sign = ""
        self._next()

    def _next(self) -> None:
        self.number, self.name, self.sign = None, "", ""
        if self._at >= len(self._text):
            return
        piece = _PIECE.match(self._text, self._at)
        if piece is None:
            raise UnreadableError(f"no arithmetic in {self._text[self._at :]!r}")
        self._at = piece.end()
        self.name, self.sign = piece["name"] or "", piece["sign"] or ""
        self.number = float(piece["number"]) if piece["number"] else None

    def _take(self, sign: str) -> None:
        if self.sign != sign:
            raise UnreadableError(f"{sign} missing in {self._text!r}")
        self._next()

    def sum(self) -> Node:
        """Read terms joined by + and -."""
        left = self._product()
        while self.sign in ("+", "-"):
            sign = self.sign
            self._next()
            left = _joined(sign, left, self._product())
        return left

    def _product(self) -> Node:
        left = self._signed()
        while self.sign in ("*", "/"):
            sign = self.sign
            self._next()
            left = _joined(sign, left, self._signed())
        return left

    def _signed(self) -> Node:
        if self.sign == "-":
            self._next()
            inner = self._signed()
            return lambda values: -inner(values)
        return self._power()

    def _power(self) -> Node:
        under = self._atom()
        if self.sign != "**":
            return under
        self._next()
        return _joined("**", under, self._signed())

    def _atom(self) -> Node:
        if self.number is not None:
            number = self.number
            self._next()
            return lambda _values: number
        if self.sign == "(":
            self._next()
            inner = self.sum()
            self._take(")")
            return inner
        name = self.name
        if not name:
            raise UnreadableError(f"a value missing in {self._text!r}")
        self._next()
        if self.sign == "(":
            return self._call(name)
        return lambda values: values[name]

    def _call(self, name: str) -> Node:
        if name not in _CALLS:
            raise UnreadableError(f"no function {name!r}")
        function = _CALLS[name]
        self._next()
        parts = [self.sum()]
        while self.sign == ",":
            self._next()
            parts.append(self.sum())
        self._take(")")
        if len(parts) == 1:
            only = parts[0]
            return lambda values: function(only(values))
        return lambda values: function(*(part(values) for part in parts))


def _joined(sign: str, left: Node, right: Node) -> Node:
    if sign == "+":
        return lambda values: left(values) + right(values)
    if sign == "-":
        return lambda values: left(values) - right(values)
    if sign == "*":
        return lambda values: left(values) * right(values)
    if sign == "/":
        return lambda values: left(values) / right(values)
    return lambda values: left(values) ** right(values)
