"""What has to be said and asked about a plate that was read."""

from collections.abc import Iterator, Sequence
from typing import Final

from ampwright.finding import Finding, Question, parameters
from ampwright.nameplate.agreement import Disagreement, disagreements
from ampwright.nameplate.alignment import are_linked
from ampwright.nameplate.phrases import Phrase
from ampwright.nameplate.tokens import Token
from ampwright.nameplate.usual import slip
from ampwright.nameplate.vocabulary import HP_W, METRIC_HP_W
from ampwright.quantity import Held
from ampwright.records.motor import Motor, Rating
from ampwright.units import METRIC_HORSEPOWER

DATA_NEEDED: Final = "plan.data-needed"
_LONGEST: Final = 200
_UNIT_OF: Final = {
    "power": "W",
    "voltage": "V",
    "current": "A",
    "locked-rotor-current": "A",
    "speed": "rpm",
    "power-of-both-units": "W",
}
_FIELD_OF: Final = {
    "power": "power",
    "voltage": "voltage",
    "current": "current",
    "speed": "speed",
    "efficiency": "efficiency",
    "power-factor": "power_factor",
    "locked-rotor-current": "locked_rotor_current",
}


def field_of(figure: str) -> str:
    """Return the field of a motor that holds *figure*."""
    return _FIELD_OF[figure]


def contradictions(motor: Motor) -> tuple[Disagreement, ...]:
    """Return the figures of *motor* that its others contradict, each once.

    Works on any motor, read from a plate or stated field by field. A current that is stated once
    beside several voltages belongs to those that it agrees with.
    """
    judged = [(one, tuple(contradictions_of_rating(motor, one))) for one in motor.ratings]
    agreed = {
        one.current_a for one, wrong in judged if all(each.figure != "current" for each in wrong)
    }
    found: dict[str, Disagreement] = {}
    for rating, wrong in judged:
        for one in wrong:
            if one.figure != "current" or rating.current_a not in agreed:
                found.setdefault(one.figure, one)
    return tuple(found.values())


def contradictions_of_rating(motor: Motor, rating: Rating) -> Iterator[Disagreement]:
    """Judge one rating at the end of its range of volts that agrees best."""
    ends = [(rating.voltage_v, rating.current_a)]
    if rating.voltage_from_v is not None or rating.current_from_a is not None:
        ends.append(
            (rating.voltage_from_v or rating.voltage_v, rating.current_from_a or rating.current_a)
        )
    first = len(motor.ratings) == 1 or rating is motor.ratings[0]
    stalled = motor.locked_rotor_current_a if first else None
    judged = [
        disagreements(
            power_w=rating.power_w,
            voltage_v=volts,
            current_a=amps,
            phases=motor.phases,
            efficiency=motor.efficiency,
            power_factor=motor.power_factor,
            locked_rotor_a=stalled,
        )
        for volts, amps in ends
    ]
    yield from min(judged, key=len)
    speed, hertz = rating.speed_rpm, rating.frequency_hz
    if speed and hertz and motor.phases == 3 and slip(speed, hertz) is None:
        # no pole number gives this speed at this frequency
        synchronous = 60 * hertz
        yield Disagreement(
            figure="speed", given=speed, likely=None, ratio=speed / synchronous, low=0.0, high=1.0
        )


def implausible(one: Disagreement) -> Finding:
    """Say that one figure cannot be true beside the others."""
    unit = _UNIT_OF.get(one.figure, "")
    values: dict[str, float | str] = {"field": field_of(one.figure), "given": one.given}
    if one.likely is not None:
        values["likely"] = float(f"{one.likely:.6g}")
    values |= {"ratio": one.ratio, "low": one.low, "high": one.high}
    units = f"given={unit} likely={unit}" if unit else ""
    return Finding(
        code="nameplate.implausible", severity="caution", parameters=parameters(units, **values)
    )


def two_powers(given_w: float, other_w: float) -> Finding:
    """Say that a power stated in two units is not the same in both."""
    found = parameters("given=W other=W", field="power", given=given_w, other=other_w)
    return Finding(code="nameplate.implausible", severity="caution", parameters=found)


def fraction_or_pair(given: str, unit: str, read: str) -> Finding:
    """Say whether ``3/4 kW`` was read as three quarters or as three and four."""
    found = parameters(field="power", given=f"{given} {unit}", read=read)
    return Finding(code="nameplate.ambiguous-unit", severity="caution", parameters=found)


def horsepower(unit: str) -> Finding:
    """Say which of the two horsepowers was read for *unit*."""
    metric = unit not in {"hp", "HP"}
    read, other = (METRIC_HP_W, HP_W) if metric else (HP_W, METRIC_HP_W)
    found = parameters("read=W other=W", field="power", given=unit, read=read, other=other)
    return Finding(code="nameplate.ambiguous-unit", severity="caution", parameters=found)


def stated_units(motor: Motor) -> tuple[Finding, ...]:
    """Say which horsepower was read where a motor was stated in metric ones."""
    given = motor.power_w.given if isinstance(motor.power_w, Held) else ""
    unit = next((one for one in METRIC_HORSEPOWER if given.endswith(one)), "")
    return (horsepower(unit),) if unit else ()


def unlabelled(phrase: Phrase) -> Finding:
    """Say that a number without a unit was taken for *phrase*, and that nothing confirms it."""
    found = parameters(field=phrase.field, given=phrase.text, read=phrase.unit)
    return Finding(code="nameplate.ambiguous-unit", severity="caution", parameters=found)


def odd_word(token: Token, word: str) -> Finding:
    """Say that a number was taken for something though a word beside it was not understood."""
    field = token.fields[0]
    found = parameters(field=field, given=f"{token.text} {word}", read=token.unit or field)
    return Finding(code="nameplate.ambiguous-unit", severity="caution", parameters=found)


def unread(pieces: Sequence[str]) -> Finding:
    """Say what of the plate was not understood; a figure among it may have been meant to count."""
    figures = any(letter.isdigit() for piece in pieces for letter in piece)
    text = ", ".join(pieces)
    found = parameters(token=text if len(text) <= _LONGEST else f"{text[: _LONGEST - 1]}…")
    severity = "caution" if figures else "info"
    return Finding(code="nameplate.unread", severity=severity, parameters=found)


def other_part(part: str, given: str, severity: str = "info") -> Finding:
    """Say that figures were taken for those of another part; a caution where that is in doubt."""
    named = {"part": part} if part else {}
    found = parameters(given=given, **named)
    return Finding(code="nameplate.other-part", severity=severity, parameters=found)


def comma(phrase: Phrase) -> tuple[Finding, Question]:
    """Say that a number with a comma was not read, and ask for the locale."""
    found = parameters(field=phrase.field, given=phrase.text)
    return (
        Finding(code="nameplate.ambiguous-unit", severity="caution", parameters=found),
        Question(code=DATA_NEEDED, field="locale", changes="size", parameters=found),
    )


def temperature(phrase: Phrase) -> Finding:
    """Say that a temperature may be the rise or the surroundings."""
    found = parameters("given=degC", field="temperature", given=phrase.choices[0].first)
    return Finding(code="nameplate.ambiguous-unit", severity="info", parameters=found)


def missing(field: str, severity: str = "caution", **values: float | str) -> Finding:
    """Say that *field* is not on the plate, and what stands in for it."""
    found = parameters(field=field, **values)
    return Finding(code="nameplate.missing-field", severity=severity, parameters=found)


def voltages(motor: Motor) -> Finding | None:
    """Say whether the plate of a three-phase motor offers another link."""
    volts = [rating.voltage_v for rating in motor.ratings if rating.voltage_v is not None]
    if not volts or motor.phases != 3:
        return None
    if are_linked(tuple(volts)):
        return two_voltages(*sorted(volts[:2]))
    found = parameters("voltage=V", voltage=volts[0])
    return Finding(code="nameplate.single-voltage", severity="caution", parameters=found)


def two_voltages(low: float, high: float) -> Finding:
    """Say that the plate offers two links."""
    found = parameters("low=V high=V", low=low, high=high)
    return Finding(code="nameplate.dual-voltage", severity="info", parameters=found)


def two_speeds(count: int) -> Finding:
    """Say that a slash separates speeds, not voltages."""
    found = parameters(speeds=float(count))
    return Finding(code="nameplate.two-speed-pair", severity="info", parameters=found)


def question(field: str, changes: str, *choices: str, **values: float | str) -> Question:
    """Ask for *field*."""
    return Question(
        code=DATA_NEEDED,
        field=field,
        changes=changes,
        choices=choices,
        parameters=parameters(**values),
    )


def impossible(field: str, printed: float) -> Finding:
    """Say that a power factor or an efficiency is none, as printed."""
    found = parameters(field=field, given=printed)
    return Finding(code="nameplate.implausible", severity="caution", parameters=found)
