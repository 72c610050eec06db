"""The one door between callers' quantities and our floats."""

import math
import re
from contextvars import ContextVar
from typing import Protocol, Self, SupportsFloat

from ampwright.errors import InputError, RangeError, UnitError, shown

#: Whether a comma is read as a decimal sign; set by a reader that was told a locale.
decimal_comma: ContextVar[bool] = ContextVar("decimal_comma", default=False)

# hp is 550 ft.lbf/s, by the definitions of foot, pound and standard gravity; metric horsepower is
# 75 kgf.m/s; both exact
_POUND_FORCE_N = 0.45359237 * 9.80665
_HORSEPOWER_W = 550 * 0.3048 * _POUND_FORCE_N
METRIC_HORSEPOWER = ("PS", "cv", "CV", "ch", "hk", "pk")

#: Unit: what it measures, power of ten, factor; the value in our unit is number * 10**n * factor.
UNITS: dict[str, tuple[str, int, float]] = {
    "W": ("active power", 0, 1.0),
    "kW": ("active power", 3, 1.0),
    "MW": ("active power", 6, 1.0),
    "mW": ("active power", -3, 1.0),
    "hp": ("active power", 0, _HORSEPOWER_W),
    "HP": ("active power", 0, _HORSEPOWER_W),
    **dict.fromkeys(METRIC_HORSEPOWER, ("active power", 0, 735.49875)),
    "VA": ("apparent power", 0, 1.0),
    "kVA": ("apparent power", 3, 1.0),
    "MVA": ("apparent power", 6, 1.0),
    "var": ("reactive power", 0, 1.0),
    "kvar": ("reactive power", 3, 1.0),
    "kVAr": ("reactive power", 3, 1.0),
    "V": ("voltage", 0, 1.0),
    "mV": ("voltage", -3, 1.0),
    "kV": ("voltage", 3, 1.0),
    "A": ("current", 0, 1.0),
    "mA": ("current", -3, 1.0),
    "kA": ("current", 3, 1.0),
    "Hz": ("frequency", 0, 1.0),
    "kHz": ("frequency", 3, 1.0),
    "rpm": ("speed", 0, 1.0),
    "RPM": ("speed", 0, 1.0),
    "r/min": ("speed", 0, 1.0),
    "degC": ("temperature", 0, 1.0),
    "degF": ("temperature", 0, 1.0),
    "K": ("temperature or temperature difference", 0, 1.0),
    "delta_degC": ("temperature difference", 0, 1.0),
    "delta_degF": ("temperature difference", 0, 5 / 9),
    "m": ("length", 0, 1.0),
    "mm": ("length", -3, 1.0),
    "cm": ("length", -2, 1.0),
    "km": ("length", 3, 1.0),
    "in": ("length", 0, 0.0254),
    "ft": ("length", 0, 0.3048),
    "yd": ("length", 0, 0.9144),
    "mm2": ("area", 0, 1.0),
    "cm2": ("area", 2, 1.0),
    "kcmil": ("area", 0, math.pi / 4 * 25.4**2 / 1000),  # a circle of one inch is 1000 kcmil
    "kg.m2": ("moment of inertia", 0, 1.0),
    "kg.cm2": ("moment of inertia", -4, 1.0),
    "lb.ft2": ("moment of inertia", 0, 0.45359237 * 0.3048**2),
    "lb.in2": ("moment of inertia", 0, 0.45359237 * 0.0254**2),
    "N.m": ("torque", 0, 1.0),
    "kN.m": ("torque", 3, 1.0),
    "lbf.ft": ("torque", 0, _POUND_FORCE_N * 0.3048),
    "lb.ft": ("torque", 0, _POUND_FORCE_N * 0.3048),
    "lbf.in": ("torque", 0, _POUND_FORCE_N * 0.0254),
    "s": ("time", 0, 1.0),
    "ms": ("time", -3, 1.0),
    "min": ("time", 0, 60.0),
    "h": ("time", 0, 3600.0),
    "ohm": ("resistance", 0, 1.0),
    "mohm": ("resistance", -3, 1.0),
    "kohm": ("resistance", 3, 1.0),
    "Mohm": ("resistance", 6, 1.0),
    "Gohm": ("resistance", 9, 1.0),
    "F": ("capacitance", 0, 1.0),
    "mF": ("capacitance", -3, 1.0),
    "uF": ("capacitance", -6, 1.0),
    "nF": ("capacitance", -9, 1.0),
    "K.m/W": ("thermal resistivity", 0, 1.0),
    "dB": ("sound level", 0, 1.0),
    "C": ("electric charge", 0, 1.0),
    "J": ("energy", 0, 1.0),
    "kWh": ("energy", 3, 3600.0),
    "N": ("force", 0, 1.0),
    "kg": ("mass", 0, 1.0),
    "lb": ("mass", 0, 0.45359237),
    "%": ("fraction", -2, 1.0),
}

#: Units that a unit library spells in another way; it has none for reactive power.
_PINT = {
    "": "dimensionless", "%": "percent", "hp": "horsepower", "HP": "horsepower",
    "RPM": "rpm", "r/min": "rpm", "kg.m2": "kg*m**2", "kg.cm2": "kg*cm**2",
    "lb.ft2": "lb*ft**2", "lb.in2": "lb*in**2", "N.m": "N*m", "kN.m": "kN*m",
    "lbf.ft": "lbf*ft", "lb.ft": "lbf*ft", "lbf.in": "lbf*inch", "in": "inch",
    "mm2": "mm**2", "cm2": "cm**2", "K.m/W": "K*m/W", "mohm": "milliohm", "Mohm": "megaohm",
    "1": "dimensionless", "A2.s": "A**2*s", "var": "volt*ampere", "kvar": "kilovolt*ampere",
    "kVAr": "kilovolt*ampere", **dict.fromkeys(METRIC_HORSEPOWER, "metric_horsepower"),
}  # fmt: skip

#: Kinds that share a dimension and are no substitutes for each other.
_CONFUSABLE = (
    {"active power", "apparent power", "reactive power"},
    {"frequency", "speed"},
    {"temperature", "temperature difference", "temperature or temperature difference"},
    {"moment of inertia", "torque"},
)


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
        zero: Nought is accepted too.
        code: Code of a value outside the band.
        examples: Spellings that are right.
        foreign: The unit as a unit library spells it.
    """

    __slots__ = ("code", "examples", "foreign", "high", "low", "measure", "unit", "zero")

    def __init__(
        self,
        measure: str,
        unit: str,
        band: tuple[float, float],
        code: str,
        *examples: str,
        zero: bool = False,
    ) -> None:
        self.measure, self.unit, self.zero = measure, unit, zero
        self.low, self.high = band
        self.code, self.examples = f"range.{code}", examples
        self.foreign = _PINT.get(unit, unit)

    def wanted(self) -> str:
        """Return what is right, with its spellings."""
        return f"{self.measure}, as " + " or ".join(f'"{one}"' for one in self.examples)

    def spelt(self, number: object) -> str:
        """Return how a bare *number* is written with a unit."""
        units = dict.fromkeys(one.split(" ")[-1] for one in self.examples)
        return " or ".join(f'"{number} {unit}"' for unit in units)


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
    if kind.low <= value <= kind.high or (kind.zero and value == 0.0 < math.copysign(1.0, value)):
        return value
    if not math.isfinite(value):
        raise RangeError(given, f"{kind.measure} that is finite", code="range.nonfinite")
    floor = "0 or more" if kind.zero else "greater than 0" if kind.low > 0 else "in its band"
    band = f"smallest accepted {kind.low:g} {kind.unit}, largest {kind.high:g} {kind.unit}"
    raise RangeError(given, f"{kind.measure} {floor} ({band})", code=kind.code)


_APPARENT = re.compile(r"volt.*ampere|(?<![A-Za-z])[kM]?V\W{0,3}A(?![A-Za-z])")
_REACTIVE = re.compile(r"reactive|(?<![A-Za-z])[kM]?var(?![A-Za-z])", re.IGNORECASE)
_TURNING = re.compile(r"revolution|turn|cycle|rad|rpm|rps")
_OFFSET = re.compile(r"deg(ree)?s?_?(C|F|Celsius|Fahrenheit)|°", re.IGNORECASE)
_DIFFERENCE = re.compile(r"delta|Δ|kelvin|^K$", re.IGNORECASE)


def _other_kind(kind: Kind, own: str) -> str:
    """Return what *own*, the unit of a foreign quantity, measures if it is not *kind*."""
    measure, found = kind.measure, ""
    if "power" in measure:
        apparent = "apparent power" if _APPARENT.search(own) else "active power"
        found = "reactive power" if _REACTIVE.search(own) else apparent
    elif measure in ("frequency", "speed"):
        found = "speed" if _TURNING.search(own) else "frequency"
    elif measure == "temperature difference":
        found = "temperature" if _OFFSET.search(own) and not _DIFFERENCE.search(own) else measure
    elif measure == "temperature":
        found = "temperature difference" if re.search("delta|Δ", own) else measure
    elif measure == "torque" and re.search(r"joule|watt|\bJ\b|Wh", own):
        found = "energy"
    return found if found and found != measure else ""


def size(value: Measured, kind: Kind) -> float:
    """Return the size of *value*, a quantity of any library, in the unit of *kind*.

    Raises:
        UnitError: It is of another dimension or kind, or holds more than one number.
        RangeError: It lies outside the band.
    """
    own = str(getattr(value, "units", ""))
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
    return any(measure in group and other in group for group in _CONFUSABLE)


def build(value: float, unit: str) -> Measured:
    """Return *value* in *unit*, a name of `UNITS`, as a quantity of the application registry.

    Reactive power comes as volt times ampere: pint has no unit of its own for it.

    Raises:
        UnitError: The registry does not know the unit.
    """
    import pint  # noqa: PLC0415 - inside, so that `import ampwright` stays light

    try:
        built: Measured = pint.application_registry.Quantity(value, _PINT.get(unit, unit))
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
