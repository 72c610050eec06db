"""The only reader of a field's text: one number and one unit, or nameplate notation."""

import re
from functools import lru_cache
from typing import cast

from ampwright.errors import InputError, LimitError, RangeError, UnitError
from ampwright.quantity import (
    Held,
    Kind,
    Measured,
    Span,
    bare,
    canonical,
    confusable,
    decimal_comma,
    own_words,
    size,
    within,
)
from ampwright.units import UNIT_WORDS, UNITS

LONGEST = 64
_NUMBER = r"(?:[0-9]{1,17}(?:\.[0-9]{1,17})?|\.[0-9]{1,17})(?:[eE][+-]?[0-9]{1,3})?"
_UNIT = r"%|°?[A-Za-z\u00b5\u03bc\u03a9\u2126°]+[23²³]?(?:[ .·⋅*/_-][A-Za-z]+[23²³]?)*"
_SINGLE = rf"([+-]?)({_NUMBER}) ?({_UNIT})"
_MIXED = rf"([+-]?)(?:([0-9]{{1,3}})[ -])?([1-9])/([2348]) ?({_UNIT})"
_PLATE = rf"([0-9., /-]*[0-9]) ?({_UNIT})"
_ENDLESS = r"(?i)[+-]?(inf|infinity|nan)\b.*"
_GROUPED = r"[0-9]{1,3}(?:\.[0-9]{3})+(?=,|(?![0-9.]))"
_FRACTION_KINDS = ("active power", "length")
_SPELLINGS = str.maketrans(
    {"\u00b5": "u", "\u03bc": "u", "\u03a9": "ohm", "\u2126": "ohm"}  # micro, mu, omega, ohm sign
    | {"²": "2", "³": "3", "·": ".", "⋅": ".", "*": "."}
)
_BLANKS = str.maketrans({"\u00a0": " ", "\u202f": " ", "\u2009": " "})

# Languages that write a decimal comma, and the places among them that write a point: Unicode
# CLDR, from memory.
_COMMA_LANGUAGES = (
    " af be bg bs ca cs da de el es et eu fi fo fr gl hr hu hy id is it ka kk ky lt lv mk nb nl nn "
    "no pl pt ro ru sk sl sq sr sv tr uk uz vi "
)
_POINT_PLACES = (
    " de-CH de-LI es-CR es-DO es-GT es-HN es-MX es-NI es-PA es-PE es-PR es-SV es-US it-CH "
)
_POINT_LANGUAGES = " en ga cy he hi ja ko mt ms sw th zh ar fa ur "


def writes_comma(locale: str) -> bool:
    """Return whether *locale*, as ``"de-DE"`` or ``"en"``, writes a decimal comma.

    Raises:
        InputError: Its language is not known here.
    """
    text = locale if isinstance(locale, str) else ""
    form = re.fullmatch(r"([a-z]{2})(?:[-_]([A-Z]{2}))?(?:\.[A-Za-z0-9-]+)?", text)
    language = f" {form[1]} " if form else ""
    if form is None or language not in _COMMA_LANGUAGES + _POINT_LANGUAGES:
        raise InputError(locale, 'a locale such as "de-DE" or "en-US"', code="enum.locale")
    place = f" {form[1]}-{form[2]} "
    return place == " en-ZA " or (language in _COMMA_LANGUAGES and place not in _POINT_PLACES)


def _unit(name: str) -> str:
    """Return *name* as `UNITS` spells it, if it does."""
    if name in UNITS:
        return name
    plain = name.translate(_SPELLINGS).replace("°", "deg")
    if plain in UNITS:
        return plain
    joined = re.sub(r"[ _-]", ".", plain)
    return joined if joined in UNITS else name


def _meant(text: str, name: str, kind: Kind) -> str:
    """Return the remedy that spells *name*, a word as ``amps`` or ``F``, as the unit it means."""
    word = name.casefold()
    meant = UNIT_WORDS.get(word, "")
    if "temperature" in kind.measure and word.strip("°") in ("c", "f"):
        difference = kind.measure == "temperature difference"
        meant = f"{'delta_' if difference else ''}deg{word.strip('°').upper()}"
    if not meant:
        alike = [one for one in UNITS if one.casefold() == word and UNITS[one][0] == kind.measure]
        meant = alike[0] if len(alike) == 1 else ""
    if not meant or (UNITS[meant][0] != kind.measure and "temperature" not in kind.measure):
        return ""
    head = text.strip().removesuffix(name).rstrip()
    return f'write "{head} {meant}"'


def _measured(text: str, name: str, kind: Kind) -> tuple[int, float, str]:
    """Return power of ten, factor and proper name of the unit *name*, if it measures *kind*."""
    unit = _unit(name)
    if unit in ("lb.ft", "lb.in") and kind.measure == "torque":
        unit = f"lbf{unit[2:]}"
    if unit not in UNITS:
        raise UnitError(text, kind.wanted(), code="unit.unknown", remedy=_meant(text, name, kind))
    measure, exponent, factor = UNITS[unit]
    if measure != kind.measure and not (unit == "K" and kind.measure.startswith("temperature")):
        code = "unit.kind" if confusable(measure, kind.measure) else "unit.dimension"
        remedy = _meant(text, name, kind) or f"{name} measures {measure}"
        raise UnitError(text, kind.wanted(), code=code, remedy=remedy)
    return exponent, factor, unit


def _point(text: str, kind: Kind, *, comma: bool) -> str:
    """Return *text* with decimal points, from the spelling of its locale."""
    if not comma:
        if "," in text:
            point = re.sub(r"(?<=[0-9]),(?=[0-9])", ".", text, count=1)
            remedy = f'write "{point}", or state the locale of a decimal comma'
            raise UnitError(text, kind.wanted(), code="quantity.syntax", remedy=remedy)
        return text
    if re.search(r"[0-9]\.[0-9]{3}(?![0-9])", text):
        if not re.search(r"[0-9]\.[0-9]{3},[0-9]", text):
            remedy = "a point before three digits may be a decimal sign or group thousands"
            raise UnitError(text, kind.wanted(), code="quantity.syntax", remedy=remedy)
        text = re.sub(_GROUPED, lambda found: found[0].replace(".", ""), text)
    return text.replace(",", ".")


def _syntax(text: str, kind: Kind) -> InputError:
    """Return the error for *text* that is not one number and one unit."""
    if re.fullmatch(_ENDLESS, text.strip()):
        return RangeError(text, f"{kind.measure} that is finite", code="range.nonfinite")
    remedy = "exactly one number and one unit"
    if any(one.isdigit() and not one.isascii() for one in text):
        remedy = "write the number with the digits 0 to 9"
    elif re.fullmatch(rf"[+-]?{_NUMBER} ?['′’]", text):
        remedy = f'write "{text.rstrip(" ′’" + chr(39))} ft"'
    elif re.fullmatch(rf"[+-]?{_NUMBER} ?[\"″”]", text):
        remedy = "write the unit as in"
    elif re.fullmatch(rf"[+-]?{_NUMBER} ?", text):
        number = text.strip()
        missing = f"write {kind.spelt(number)}: a bare number states no unit"
        return UnitError(text, kind.wanted(), code="unit.missing", remedy=missing)
    return UnitError(text, kind.wanted(), code="quantity.syntax", remedy=remedy)


def _checked(text: str, kind: Kind) -> str:
    """Return *text* without outer blanks if there is something in it and not too much."""
    if len(text) > LONGEST:
        got = f"text of {len(text)} characters"
        raise LimitError(got, f"at most {LONGEST} characters", code="limit.text_length")
    plain = text.translate(_BLANKS).strip(" ")
    if not plain:
        raise UnitError(text, f"{kind.wanted()}, not empty text", code="quantity.empty")
    return plain


def _scaled(number: str, exponent: int, factor: float) -> float:
    """Return *number* in our unit; powers of ten are exact because they are read as text."""
    digits, _, power = number.lower().partition("e")
    return float(f"{digits}e{int(power or 0) + exponent}") * factor


def _eighths(whole: str | None, over: str, under: str) -> str:
    """Return a mixed number as decimal text; halves, quarters and eighths are exact."""
    return repr(int(whole or 0) + int(over) / int(under))


@lru_cache(maxsize=4096)
def read(text: str, kind: Kind, *, comma: bool = False) -> float:
    """Return the one number of *text* in the unit of *kind*.

    Args:
        text: One number and one unit, as ``"7 1/2 hp"`` or ``"30 degC"``.
        kind: What it must measure.
        comma: A comma is a decimal sign.

    Raises:
        UnitError: It is not that, or of another kind.
        RangeError: The value is not plausible.
        LimitError: It is longer than 64 characters.
    """
    plain = _point(_checked(text, kind), kind, comma=comma)
    found = re.fullmatch(_MIXED, plain) if kind.measure in _FRACTION_KINDS else None
    if found and int(found[3]) < int(found[4]):
        sign, number, name = found[1], _eighths(found[2], found[3], found[4]), found[5]
    else:
        single = re.fullmatch(_SINGLE, plain)
        if single is None:
            raise _syntax(text, kind)
        sign, number, name = single.groups()
    exponent, factor, unit = _measured(text, name, kind)
    value = float(f"{sign}1") * _scaled(number, exponent, factor)
    if kind.measure == "time" and kind.unit == "h":
        value /= 3600.0
    if kind.measure == "temperature" and unit != kind.unit:
        value = (value - 32) * 5 / 9 if unit == "degF" else value - 273.15
    return within(value, kind, text)


def _part(text: str, whole: str, kind: Kind) -> tuple[str, str | None]:
    """Return one alternative: its figure, and the other end of its range."""
    mixed = re.fullmatch(r"(?:([0-9]{1,3})[ -])?([1-9])/([2348])", text)
    if mixed and kind.measure in _FRACTION_KINDS and int(mixed[2]) < int(mixed[3]):
        return _eighths(mixed[1], mixed[2], mixed[3]), None
    ends = re.fullmatch(rf"({_NUMBER})(?: ?- ?({_NUMBER}))?", text)
    if ends is None:
        raise _syntax(whole, kind)
    return (ends[2], ends[1]) if ends[2] else (ends[1], None)


@lru_cache(maxsize=4096)
def read_alternatives(
    text: str, kind: Kind, *, comma: bool = False
) -> tuple[tuple[float, float | None], ...]:
    """Return the alternatives of *text* in nameplate notation, in the unit of *kind*.

    A slash separates alternatives, a dash makes a range. In a power, whole numbers n/d with n < d
    and d in 2, 3, 4, 8 are a fraction, and fractions among alternatives are set off by blanks:
    ``"1/2 / 1 hp"``.

    Returns:
        Each alternative as its figure, the last of a range, and the first of the range.

    Raises:
        UnitError: It is not that, or of another kind.
        RangeError: A value is not plausible.
        LimitError: It is longer than 64 characters.
    """
    plain = _point(_checked(text, kind), kind, comma=comma)
    found = None if re.fullmatch(_SINGLE, plain) else re.fullmatch(_PLATE, plain)
    if found is None or found[1][0] == "-":
        return ((read(text, kind, comma=comma), None),)
    exponent, factor, _unit_name = _measured(text, found[2], kind)
    apart = re.split(r" +/ +", found[1])
    whole = _part(apart[0], text, kind) if _is_fraction(apart[0], kind) else None
    if len(apart) == 1 and whole is None:
        if kind.measure in _FRACTION_KINDS and re.search(r"[ -][1-9]/[2348](?![0-9.])", apart[0]):
            remedy = 'set alternatives off by blanks, as "7 1/2 / 10 hp"'
            raise UnitError(text, kind.wanted(), code="quantity.syntax", remedy=remedy)
        apart = apart[0].split("/")
    values = []
    for one in apart:
        figure, other = _part(one.strip(), text, kind)
        value = within(_scaled(figure, exponent, factor), kind, text)
        begin = None if other is None else within(_scaled(other, exponent, factor), kind, text)
        values.append((value, begin))
    return tuple(values)


def _is_fraction(text: str, kind: Kind) -> bool:
    found = re.fullmatch(r"(?:[0-9]{1,3}[ -])?([1-9])/([2348])", text)
    return bool(found and kind.measure in _FRACTION_KINDS and int(found[1]) < int(found[2]))


def foreign(value: Measured, kind: Kind) -> Held:
    """Return a quantity of a unit library as it passes the door.

    Where its magnitude and unit are words that we read, the float is that of these words, so that
    a quantity and its text give the same record to the last bit.
    """
    number = size(value, kind)
    try:
        words = own_words(value)
        said = read(words, kind)
    except Exception:  # spelt in the library's own way, or a stranger's magnitude
        return Held(number, kind.unit, canonical(number, kind.unit))
    if abs(said - number) > 1e-12 * abs(number):
        return Held(number, kind.unit, canonical(number, kind.unit))
    return Held(said, kind.unit, words.replace(".", ",") if decimal_comma.get() else words)


def stated(value: object, kind: Kind, *, plate: bool = False) -> Held | None:
    """Return *value* as it passes the door: text, a quantity, or what was accepted before.

    Args:
        value: What the caller gave.
        kind: What the field holds.
        plate: The field takes nameplate notation.

    Returns:
        The float in the unit of *kind*; ``None`` for ``None``.

    Raises:
        InputError: It cannot be that.
    """
    if value is None:
        return None
    if isinstance(value, Held):
        if value.unit != kind.unit:
            remedy = f"the value given is in {value.unit}"
            raise UnitError(value.given, kind.wanted(), code="unit.kind", remedy=remedy)
        number = within(float(value), kind, value.given)
        if plate or not value.alternatives:
            return value
        return Held(number, kind.unit, canonical(number, kind.unit))
    if isinstance(value, str):
        comma = decimal_comma.get()
        if not plate:
            return Held(read(value, kind, comma=comma), kind.unit, value)
        alternatives = read_alternatives(value, kind, comma=comma)
        plain = len(alternatives) == 1 and alternatives[0][1] is None
        return Held(alternatives[0][0], kind.unit, value, () if plain else alternatives)
    if not hasattr(value, "m_as"):
        raise bare(value, kind)
    return foreign(cast("Measured", value), kind)


def ranged(value: object, kind: Kind) -> Span | None:
    """Return *value*, text of a range as ``"7-10 A"`` or two quantities, as it passes the door.

    Raises:
        InputError: It is no range that rises.
    """
    if value is None or (isinstance(value, Span) and value.unit == kind.unit):
        return value
    ends: tuple[float | None, float | None] = (None, None)
    given = value
    if isinstance(value, str):
        alternatives = read_alternatives(value, kind, comma=decimal_comma.get())
        ends = (alternatives[0][1], alternatives[0][0]) if len(alternatives) == 1 else ends
    elif isinstance(value, tuple) and len(value) == 2 and all(hasattr(v, "m_as") for v in value):
        ends = (stated(value[0], kind), stated(value[1], kind))
        given = f"{float(ends[0] or 0)!r}-{float(ends[1] or 0)!r} {kind.unit}"
        given = given.replace(".", ",") if decimal_comma.get() else given
    low, high = ends
    if low is None or high is None or not low < high:
        wanted = f'a range of {kind.measure} that rises, as "7-10 {kind.unit}"'
        raise InputError(value, wanted, code="quantity.range")
    return Span(float(low), float(high), kind.unit, str(given))
