"""The door for quantities, and the way out.

Conversions are checked against NIST Special Publication 811 (2008), appendix B.9, from memory:
horsepower (550 ft.lbf/s) 7.456999 E+02 W, horsepower (metric) 7.354988 E+02 W, foot 3.048 E-01 m,
pound foot squared 4.214011 E-02 kg m2, foot pound-force 1.355818 E+00 J, circular mil
5.067075 E-10 m2, degree Fahrenheit (t - 32)/1.8.
"""

import math
import pickle
from decimal import Decimal
from fractions import Fraction
from typing import Any

import numpy as np
import pint
import pytest

from ampwright.errors import InputError, RangeError, UnitError
from ampwright.quantity import Held, Kind, Span, Word, bare, build, canonical, q, size, within
from ampwright.units import UNITS

POWER = Kind("active power", "W", (1.0, 1e7), "power", "5 hp", "5.5 kW")
APPARENT = Kind("apparent power", "VA", (1.0, 1e9), "apparent_power", "25 kVA")
CURRENT = Kind("current", "A", (1e-3, 1e5), "current", "15 A")
DROP = Kind("voltage", "V", (0.0, 1e3), "voltage_drop", "6 V")
SPEED = Kind("speed", "rpm", (1.0, 1e5), "speed", "1740 rpm")
FREQUENCY = Kind("frequency", "Hz", (10.0, 1000.0), "frequency", "60 Hz")
AMBIENT = Kind("temperature", "degC", (-60.0, 90.0), "temperature", "30 degC")
RISE = Kind("temperature difference", "K", (1.0, 300.0), "temperature_rise", "80 K")
TORQUE = Kind("torque", "N.m", (1e-3, 1e7), "torque", "60 N.m")
INERTIA = Kind("moment of inertia", "kg.m2", (1e-7, 1e6), "inertia", "0.02 kg.m2")
ureg: Any = pint.UnitRegistry()


def again(thing: Any) -> Any:  # noqa: ANN401 - the type given is the type returned
    return pickle.loads(pickle.dumps(thing))  # noqa: S301 - made in the same line


@pytest.mark.parametrize(
    ("unit", "value", "digits"),
    [
        ("hp", 745.6999, 5e-5),
        ("PS", 735.4988, 5e-5),
        ("cv", 735.4988, 5e-5),
        ("ft", 0.3048, 0),
        ("in", 0.0254, 0),
        ("lb.ft2", 0.04214011, 5e-9),
        ("lbf.ft", 1.355818, 5e-7),
        ("kcmil", 0.5067075, 5e-8),
    ],
)
def test_units_have_their_published_size(unit: str, value: float, digits: float) -> None:
    _measure, exponent, factor = UNITS[unit]
    assert factor * 10.0**exponent == pytest.approx(value, abs=digits, rel=0)


def test_a_held_float_is_a_float_that_cannot_be_changed() -> None:
    held = Held(5.0, "A", "5 A")
    assert held == 5.0
    assert type(held + 1) is float
    with pytest.raises(AttributeError):
        held.given = "6 A"
    twin = again(Held(1.0, "V", "1/2 V", ((1.0, None), (2.0, 1.5))))
    assert (twin.unit, twin.given, twin.alternatives[1]) == ("V", "1/2 V", (2.0, 1.5))


def test_words_and_spans_keep_what_was_given() -> None:
    word = again(Word("D/Y", ("delta", "star")))
    assert (word, word.given, word.alternatives) == ("delta", "D/Y", ("delta", "star"))
    span = again(Span(7.0, 10.0, "A", "7-10 A"))
    assert (span, span.unit, span.given) == ((7.0, 10.0), "A", "7-10 A")
    for held in (word, span):
        with pytest.raises(AttributeError):
            held.given = "other"


@pytest.mark.parametrize("value", [0.0, -0.0, -5.0, 0.999, 1.0001e7])
def test_outside_the_band_is_a_range_error_of_its_own_code(value: float) -> None:
    with pytest.raises(RangeError) as caught:
        within(value, POWER, "given")
    assert caught.value.code == "range.power"
    assert "smallest" in str(caught.value)


@pytest.mark.parametrize("value", [math.inf, -math.inf, math.nan])
def test_not_finite_is_said_so(value: float) -> None:
    with pytest.raises(RangeError) as caught:
        within(value, POWER, "given")
    assert caught.value.code == "range.nonfinite"


def test_nought_passes_only_where_it_may_and_never_as_negative_nought() -> None:
    assert within(0.0, DROP, "0 V") == 0.0
    assert math.copysign(1.0, within(-0.0, AMBIENT, "-0 degC")) == 1.0
    for kind in (DROP, POWER):
        with pytest.raises(RangeError):
            within(-0.0, kind, "-0")


@pytest.mark.parametrize(
    ("value", "kind", "expected"),
    [
        (ureg.Quantity(7.5, "hp"), POWER, 5592.7490368670),
        (ureg.Quantity(5, "kW"), POWER, 5000.0),
        (ureg.Quantity(12, "kVA"), APPARENT, 12000.0),
        (ureg.Quantity(1750, "rpm"), SPEED, 1750.0),
        (ureg.Quantity(60, "Hz"), FREQUENCY, 60.0),
        (ureg.Quantity(104, "degF"), AMBIENT, 40.0),
        (ureg.Quantity(300, "K"), AMBIENT, 26.85),
        (ureg.Quantity(80, "delta_degC"), RISE, 80.0),
        (ureg.Quantity(80, "kelvin"), RISE, 80.0),
        (ureg.Quantity(10, "lbf*ft"), TORQUE, 13.55818),
        (ureg.Quantity(1, "lb*ft**2"), INERTIA, 0.04214011),
        (ureg.Quantity(Decimal("1.5"), "kA"), CURRENT, 1500.0),
        (ureg.Quantity(Fraction(3, 2), "A"), CURRENT, 1.5),
        (ureg.Quantity(np.float32(2.5), "A"), CURRENT, 2.5),
        (ureg.Quantity(np.array(2.5), "A"), CURRENT, 2.5),
    ],
)
def test_quantities_of_any_registry_come_in(
    value: "pint.Quantity[float]", kind: Kind, expected: float
) -> None:
    if isinstance(value.magnitude, Decimal):
        value = pint.UnitRegistry(non_int_type=Decimal).Quantity(value.magnitude, "kA")
    assert size(value, kind) == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize(
    ("value", "kind", "code"),
    [
        (ureg.Quantity(5, "kVA"), POWER, "unit.kind"),
        (ureg.Quantity(5, "volt*ampere"), POWER, "unit.kind"),
        (ureg.Quantity(5, "kW"), APPARENT, "unit.kind"),
        (ureg.Quantity(1750, "rpm"), FREQUENCY, "unit.kind"),
        (ureg.Quantity(1, "radian/second"), FREQUENCY, "unit.kind"),
        (ureg.Quantity(29, "Hz"), SPEED, "unit.kind"),
        (ureg.Quantity(80, "degC"), RISE, "unit.kind"),
        (ureg.Quantity(40, "delta_degC"), AMBIENT, "unit.kind"),
        (ureg.Quantity(5, "joule"), TORQUE, "unit.kind"),
        (ureg.Quantity(15, "V"), CURRENT, "unit.dimension"),
        (ureg.Quantity(15, ""), CURRENT, "unit.dimension"),
        (ureg.Quantity(np.array([5.0]), "A"), CURRENT, "unit.array"),
        (ureg.Quantity(np.array([5.0, 6.0]), "A"), CURRENT, "unit.array"),
        (ureg.Quantity(1 + 2j, "A"), CURRENT, "unit.dimension"),
    ],
)
def test_another_kind_dimension_or_shape_is_refused(
    value: "pint.Quantity[float]", kind: Kind, code: str
) -> None:
    with pytest.raises(UnitError) as caught:
        size(value, kind)
    assert caught.value.code == code


def test_a_library_that_raises_anything_is_met_with_a_unit_error() -> None:
    class Broken:
        units = "A"

        def m_as(self, _units: str) -> float:
            raise MemoryError

    with pytest.raises(UnitError) as caught:
        size(Broken(), CURRENT)
    assert isinstance(caught.value.__cause__, MemoryError)


@pytest.mark.parametrize(
    ("value", "cls", "code"),
    [
        (5, UnitError, "unit.missing"),
        (5.5, UnitError, "unit.missing"),
        (True, InputError, "type.quantity"),
        ([5], InputError, "type.quantity"),
    ],
)
def test_a_bare_value_is_refused(value: object, cls: type[InputError], code: str) -> None:
    error = bare(value, POWER)
    assert type(error) is cls
    assert error.code == code


def test_a_number_too_long_to_print_is_refused_like_any_other() -> None:
    assert bare(10**5000, POWER).code == "unit.missing"


def test_the_spelling_wanted_is_shown_with_the_number_given() -> None:
    assert '"5 hp" or "5 kW"' in str(bare(5, POWER))


@pytest.mark.parametrize("value", [0.1, 1 / 3, 12345.678901234567, 5e-7])
def test_the_canonical_spelling_holds_every_bit(value: float) -> None:
    assert float(canonical(value, "A").split(" ")[0]) == value


@pytest.mark.parametrize("unit", [one for one in UNITS if one not in ("var", "kvar", "kVAr")])
def test_q_builds_every_unit_of_fields(unit: str) -> None:
    measured = q(2.0, unit)
    assert isinstance(measured, pint.Quantity)
    assert measured.magnitude == 2.0


@pytest.mark.parametrize("unit", ["var", "furlong", "", "9**9**9"])
def test_q_refuses_what_fields_do_not_take_or_pint_does_not_know(unit: str) -> None:
    with pytest.raises(UnitError) as caught:
        q(1.0, unit)
    assert caught.value.code == "unit.unknown"


@pytest.mark.parametrize(
    ("unit", "pint_unit"), [("", "dimensionless"), ("N.m", "newton*meter"), ("var", "volt*ampere")]
)
def test_build_serves_the_units_of_results(unit: str, pint_unit: str) -> None:
    found = build(3.0, unit)
    assert isinstance(found, pint.Quantity)
    assert found.m_as(pint_unit) == pytest.approx(3.0)


def test_build_refuses_what_the_registry_does_not_know() -> None:
    with pytest.raises(UnitError):
        build(3.0, "no such unit")
