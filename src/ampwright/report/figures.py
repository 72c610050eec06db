"""How numbers are written: no more digits than their basis, rounded to the safe side."""

import re
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Context, Decimal

import attrs

from ampwright.report.language import PLAIN, Language, grouped, slotted

#: Plates, cable lengths and models are good to about three figures; none of ours is better.
DIGITS = 3
ROUNDING = {"near": ROUND_HALF_EVEN, "up": ROUND_CEILING, "down": ROUND_FLOOR}
#: Takes off the dust of binary arithmetic: 0.030000000000000002 must not be rounded up to 3.01 %.
_CLEAN = Context(prec=12, rounding=ROUND_HALF_EVEN)

#: What a solver leaves of nought: nobody measures a nanowatt here; capacitances apart.
NOTHING = 1e-9

WATTS_PER_HP = 550 * 0.3048 * 0.45359237 * 9.80665
METRES_PER_FOOT = 0.3048
_MONEY = re.compile(r"[A-Z]{3}")

#: Unit of a result, then from which size on which written unit is used: (at least, factor, label).
SCALES: dict[str, tuple[tuple[float, float, str], ...]] = {
    "W": ((1e3, 1e-3, "kW"), (0.0, 1.0, "W")),
    "VA": ((1e3, 1e-3, "kVA"), (0.0, 1.0, "VA")),
    "var": ((1e3, 1e-3, "kvar"), (0.0, 1.0, "var")),
    "Wh": ((1e3, 1e-3, "kWh"), (0.0, 1.0, "Wh")),
    "A": ((1e4, 1e-3, "kA"), (0.0, 1.0, "A")),
    "V": ((1e4, 1e-3, "kV"), (0.0, 1.0, "V")),
    "F": ((0.0, 1e6, "µF"),),
    "H": ((0.0, 1e3, "mH"),),
    "J": ((1e3, 1e-3, "kJ"), (0.0, 1.0, "J")),
    "ohm": ((1.0, 1.0, "Ω"), (0.0, 1e3, "mΩ")),
    "s": ((0.0, 1.0, "s"),),
    "m": ((0.0, 1.0, "m"),),
    "mm2": ((0.0, 1.0, "mm²"),),
    "N m": ((0.0, 1.0, "N·m"),),
    "N.m": ((0.0, 1.0, "N·m"),),
    "kg m2": ((0.0, 1.0, "kg·m²"),),
    "kg.m2": ((0.0, 1.0, "kg·m²"),),
    "1/min": ((0.0, 1.0, "rpm"),),
    "K": ((0.0, 1.0, "K"),),
    "degC": ((0.0, 1.0, "°C"),),
    "C": ((0.0, 1.0, "°C"),),
    "fraction": ((0.0, 1e2, "%"),),
}


@attrs.frozen(kw_only=True)
class Customs:
    """What a reader is used to.

    Attributes:
        feet: Lengths are written in feet, with metres after them.
        horsepower: Shaft power is written in horsepower, with kilowatts after it.
        language: The language, with its way of writing numbers and money.
    """

    feet: bool
    horsepower: bool
    language: Language = PLAIN


def written(value: float, toward: str = "near", digits: int = DIGITS) -> str:
    """Return *value* with *digits* significant figures and no empty ones behind the point.

    Args:
        value: A finite number.
        toward: ``"near"``, ``"up"`` for what is required, ``"down"`` for what is available.
        digits: Significant figures.
    """
    clean = _CLEAN.create_decimal_from_float(float(value))
    if not clean:
        return "0"
    step = Decimal(1).scaleb(clean.adjusted() - digits + 1)
    rounded = (clean / step).to_integral_value(rounding=ROUNDING[toward]) * step
    text = f"{rounded:f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return text.replace("-", "−")


def _scaled(value: float, unit: str, toward: str, digits: int, language: Language) -> str:
    if abs(value) < NOTHING and unit != "F":
        value = 0.0
    if language.locale is not None and _MONEY.fullmatch(unit):
        return language.amount(written(value, toward, digits), unit)
    for least, factor, label in SCALES.get(unit, ((0.0, 1.0, unit),)):
        if abs(value) >= least:
            return f"{language.number(written(value * factor, toward, digits))} {label}".rstrip()
    return language.number(written(value, toward, digits))


def measure(
    value: float,
    unit: str,
    customs: Customs,
    *,
    toward: str = "near",
    digits: int = DIGITS,
    shaft: bool = False,
) -> str:
    """Return *value* with its unit, as the reader is used to it.

    Args:
        value: The number, in *unit*.
        unit: Unit of the result's attribute; ``"fraction"`` is written in percent.
        customs: What the reader is used to.
        toward: Direction of rounding, as in `written`.
        digits: Significant figures; what is repeated in another unit has the usual ones.
        shaft: The power is that of a shaft, for which some readers use horsepower.
    """
    speech = customs.language
    if unit == "m" and customs.feet:
        again = _scaled(value, unit, toward, DIGITS, speech)
        feet = written(value / METRES_PER_FOOT, toward, digits)
        return f"{speech.number(feet)} ft ({again})"
    if unit == "W" and shaft and customs.horsepower:
        value = 0.0 if abs(value) < NOTHING else value
        again = _scaled(value, unit, toward, DIGITS, speech)
        power = written(value / WATTS_PER_HP, toward, digits)
        return f"{speech.number(power)} hp ({again})"
    return _scaled(value, unit, toward, digits, speech)


def pair(required: float, available: float, unit: str, customs: Customs) -> tuple[str, str]:
    """Return both numbers with as many digits as it takes to show which of them is larger.

    The one is rounded up and the other down, so that a margin that fails never looks as if it
    held; a margin that holds by a hair gets more digits until it shows.
    """
    for digits in range(DIGITS, 12):
        needs = written(required, "up", digits)
        has = written(available, "down", digits)
        shown = Decimal(needs.replace("−", "-")) <= Decimal(has.replace("−", "-"))
        if shown == (required <= available):
            break
    return (
        measure(required, unit, customs, toward="up", digits=digits),
        measure(available, unit, customs, toward="down", digits=digits),
    )


def money(low: float, high: float, currency: str, language: Language = PLAIN) -> str:
    """Return a rough range of money, two figures each: more would claim to know a price."""
    first, last = written(low, "down", 2), written(high, "up", 2)
    if first == last:
        return language.amount(first, currency)
    if language.locale is None:
        return f"{language.number(grouped(first))} to {language.amount(last, currency)}"
    edges = (language.amount(one, currency) for one in (first, last))
    return slotted(language.say("{low} to {high}"), dict(zip(("low", "high"), edges, strict=True)))
