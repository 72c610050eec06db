"""The one door between callers' quantities and our floats."""

import math
import re
from contextvars import ContextVar
from typing import Protocol, Self, SupportsFloat

from ampwright.errors import InputError, RangeError, UnitError, shown
from ampwright.units import CONFUSABLE, FOREIGN, LONG_NAMES, UNITS

#: Whether a comma is read as a decimal sign; set by a reader that was told a locale.
decimal_comma: ContextVar[bool] = ContextVar("decimal_comma", default=False)


class Measured(Protocol):
    """Anything that can state itself in a unit; a pint quantity of any registry can."""

    @property
    def units(self) -> object:
        """Its own unit, readable as text."""

    def m_as(self, units: str) -> SupportsFloat:
        """Its size in *units*."""


class Kind:
    """What a field holds: the measure, our unit, the band in which a value is plausible.

    Attributes:
        measure: The measure, a word of `UNITS`.
        unit: The unit our float is in.
        low: Smallest value accepted [unit].
        high: Largest value accepted [unit].
        code: Code of a value outside the band.
        examples: Spellings that are right.
        foreign: The unit as a unit library spells it.
    """

    __slots__ = ("code", "examples", "foreign", "high", "low", "measure", "unit")

    def __init__(
        self,
        measure: str,
        unit: str,
        band: tuple[float, float],
        code: str,
        *examples: str,
    ) -> None:
        self.measure, self.unit = measure, unit
        self.low, self.high = band
        self.code, self.examples = f"range.{code}", examples
        self.foreign = FOREIGN.get(unit, unit)

    def wanted(self) -> str:
        """Return what is right, with its spellings."""
        return f"{self.measure}, as " + " or ".join(f'"{one}"' for one in self.examples)

    def spelt(self, number: object) -> str:
        """Return how a bare *number* is written with a unit."""
        units = dict.fromkeys(one.split(" ")[-1] for one in self.examples)
        figure = number if isinstance(number, str) else shown(number)
        return " or ".join(f'"{figure} {unit}"' for unit in units)


class Held(float):
    """A float that has passed the door; ``attrs.evolve`` hands it to the converter again.

    Attributes:
        unit: The unit that it is in.
        given: The caller's own words, or a spelling of ours that reads as the same float.
        alternatives: Of nameplate notation, each alternative and the other end of its range
            (``None``: no range), the first being this value; empty for a single value.
    """

    __slots__ = ("alternatives", "given", "unit")
    unit: str
    given: str
    alternatives: tuple[tuple[float, float | None], ...]

    def __new__(
        cls,
        value: float,
        unit: str,
        given: str,
        alternatives: tuple[tuple[float, float | None], ...] = (),
    ) -> Self:
        """Hold *value*."""
        self = super().__new__(cls, value)
        for name, part in (("unit", unit), ("given", given), ("alternatives", alternatives)):
            object.__setattr__(self, name, part)
        return self

    def __setattr__(self, name: str, value: object) -> None:
        raise AttributeError(f"cannot set {name}: a stated value does not change")

    def __reduce__(self) -> tuple[object, ...]:
        return Held, (float(self), self.unit, self.given, self.alternatives)


class Span(tuple[float, float]):  # noqa: SLOT001 - a tuple cannot have slots of its own
    """A range that has passed the door: its lower and its upper end.

    Attributes:
        unit: The unit that the ends are in.
        given: The caller's own words.
    """

    unit: str
    given: str

    def __new__(cls, low: float, high: float, unit: str, given: str) -> Self:
        """Hold the range from *low* to *high*."""
        self = super().__new__(cls, (low, high))
        self.__dict__.update(unit=unit, given=given)
        return self

    def __setattr__(self, name: str, value: object) -> None:
        raise AttributeError(f"cannot set {name}: a stated value does not change")

    def __reduce__(self) -> tuple[object, ...]:
        return Span, (*self, self.unit, self.given)


class Word(str):
    """A word read from nameplate notation that keeps what was given.

    Attributes:
        given: The caller's own words.
        alternatives: Every alternative, this word first.
    """

    __slots__ = ("alternatives", "given")
    given: str
    alternatives: tuple[str, ...]

    def __new__(cls, given: str, alternatives: tuple[str, ...]) -> Self:
        """Hold the first of *alternatives*."""
        self = super().__new__(cls, alternatives[0])
        for name, part in (("given", given), ("alternatives", alternatives)):
            object.__setattr__(self, name, part)
        return self

    def __setattr__(self, name: str, value: object) -> None:
        raise AttributeError(f"cannot set {name}: a stated value does not change")

    def __reduce__(self) -> tuple[object, ...]:
        return Word, (self.given, self.alternatives)


def canonical(value: float, unit: str) -> str:
    """Return a spelling of *value* that reads as the same float."""
    text = repr(float(value))
    return f"{text.replace('.', ',') if decimal_comma.get() else text} {unit}"


def within(value: float, kind: Kind, given: object) -> float:
    """Return *value* if it lies in the band of *kind*.

    Raises:
        RangeError: It does not, or is not finite.
    """
    negative_nought = value == 0.0 and math.copysign(1.0, value) < 0.0
    if kind.low <= value <= kind.high and not (negative_nought and kind.low == 0.0):
        return value + 0.0  # turns a negative nought into nought
    if not math.isfinite(value):
        raise RangeError(given, f"{kind.measure} that is finite", code="range.nonfinite")
    floor = "greater than 0" if kind.low > 0.0 else "0 or more" if kind.low == 0.0 else "in a band"
    band = f"smallest accepted {kind.low:g} {kind.unit}, largest {kind.high:g} {kind.unit}"
    raise RangeError(given, f"{kind.measure} {floor} ({band})", code=kind.code)


_APPARENT = r"volt.*ampere|ampere.*volt|(?<![A-Za-z])[kM]?(V\W{0,3}A|A\W{0,3}V)(?![A-Za-z])"
_REACTIVE = r"(?i)reactive|(?<![A-Za-z])[kM]?var(?![A-Za-z])"
_TURNING = r"revolution|turn|cycle|rad|rpm|rps"
_OFFSET = r"(?i)deg(ree)?s?_?(C|F|Celsius|Fahrenheit)|°"
_DIFFERENCE = r"(?i)delta|Δ|kelvin|^K$"


def _other_kind(kind: Kind, own: str) -> str:
    """Return what *own*, the unit of a foreign quantity, measures if it is not *kind*."""
    measure, found = kind.measure, ""
    if "power" in measure:
        apparent = "apparent power" if re.search(_APPARENT, own) else "active power"
        found = "reactive power" if re.search(_REACTIVE, own) else apparent
    elif measure in ("frequency", "speed"):
        found = "speed" if re.search(_TURNING, own) else "frequency"
    elif measure == "temperature difference":
        found = (
            "temperature"
            if re.search(_OFFSET, own) and not re.search(_DIFFERENCE, own)
            else measure
        )
    elif measure == "temperature":
        found = "temperature difference" if re.search("delta|Δ", own) else measure
    elif measure == "torque" and re.search(r"joule|watt|\bJ\b|Wh", own):
        found = "energy"
    return found if found and found != measure else ""


def _unit_text(value: Measured) -> str:
    """Return the unit of a foreign quantity in long names, whatever the host's own format is."""
    units = getattr(value, "units", "")
    try:
        return " ".join(format(units, "D").split())  # pint's default format
    except Exception:  # another library's own formats
        return " ".join(str(units).split())


def size(value: Measured, kind: Kind) -> float:
    """Return the size of *value*, a quantity of any library, in the unit of *kind*.

    Raises:
        UnitError: It is of another dimension or kind, or holds more than one number.
        RangeError: It lies outside the band.
    """
    own = _unit_text(value)
    if other := _other_kind(kind, own):
        raise UnitError(value, kind.wanted(), code="unit.kind", remedy=f"{own} measures {other}")
    try:
        found = value.m_as(kind.foreign)
        single = getattr(found, "shape", ()) == () and not isinstance(found, bool | str | bytes)
        number = float(found) if single else math.nan
    except Exception as error:  # a unit library may raise anything
        raise UnitError(value, kind.wanted(), code="unit.dimension") from error
    if not single or type(found).__name__.startswith("bool"):
        raise UnitError(
            f"{type(found).__name__} in {own}", f"one number of {kind.wanted()}", code="unit.array"
        )
    return within(number, kind, value)


def own_words(value: Measured) -> str:
    """Return magnitude and unit of a foreign quantity as `UNITS` spells them, if it does."""
    own = _unit_text(value)
    return f"{float(getattr(value, 'magnitude', math.nan))!r} {LONG_NAMES.get(own, own)}"


def bare(value: object, kind: Kind) -> InputError:
    """Return the error for *value*, which states no unit: the spelling wanted, for a number."""
    if isinstance(value, int | float) and not isinstance(value, bool):
        remedy = f"write {kind.spelt(value)}: a bare number states no unit"
        return UnitError(value, kind.wanted(), code="unit.missing", remedy=remedy)
    if isinstance(value, bool) or value is None:
        return InputError(value, kind.wanted(), code="type.quantity")
    return InputError(
        f"{type(value).__name__} {shown(value)}",
        f"{kind.wanted()}, or a quantity object with m_as",
        code="type.quantity",
    )


def confusable(measure: str, other: str) -> bool:
    """Return whether two measures share a dimension and are kept apart nevertheless."""
    return any(measure in group and other in group for group in CONFUSABLE)


def build(value: float, unit: str) -> Measured:
    """Return *value* in *unit*, a name of `UNITS`, as a quantity of the application registry.

    Reactive power comes as volt times ampere: pint has no unit of its own for it.

    Raises:
        UnitError: The registry does not know the unit.
    """
    import pint  # noqa: PLC0415 - inside, so that `import ampwright` stays light

    try:
        built: Measured = pint.application_registry.Quantity(value, FOREIGN.get(unit, unit))
    except Exception as error:  # a host's registry may know anything or nothing
        raise UnitError(unit, "a unit that the application registry knows") from error
    return built


def q(number: float, unit: str) -> Measured:
    """Return a quantity of the caller's application registry: ``q(7.5, "hp")``.

    Raises:
        UnitError: The unit is none of those that fields take, or measures reactive power, for
            which pint has no unit: state it as text.
    """
    if unit not in UNITS or unit in ("var", "kvar", "kVAr"):
        known = ", ".join(UNITS)
        raise UnitError(unit, f"a unit out of {known}", code="unit.unknown")
    return build(number, unit)
