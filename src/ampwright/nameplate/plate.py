"""A nameplate as a whole: text in; a motor or a load out, with findings and every piece kept."""

import re
from typing import Final, Literal

import attrs

from ampwright.errors import InputError, LimitError
from ampwright.finding import Finding, Question, parameters
from ampwright.nameplate import remarks
from ampwright.nameplate.binding import bound
from ampwright.nameplate.contents import Content, are_two_speeds, content, name_of
from ampwright.nameplate.doubts import agrees
from ampwright.nameplate.inference import inferred, segments
from ampwright.nameplate.kinds import Kind, kind, needs_neutral, phase_count
from ampwright.nameplate.lexing import Atom, atoms
from ampwright.nameplate.numerals import (
    COMMA,
    POINT,
    REFUSED,
    Decimal,
    decimal_sign,
    is_decimal_likely,
)
from ampwright.nameplate.other_parts import set_apart
from ampwright.nameplate.phrases import Item, items
from ampwright.nameplate.reading import Reading, readings
from ampwright.nameplate.tokens import Token, tokens, unread, with_odd_word
from ampwright.nameplate.words import COMMA_COUNTRIES
from ampwright.notation import writes_comma
from ampwright.record import Record
from ampwright.records.load import Load
from ampwright.records.motor import Motor

LONGEST: Final = 2000
_SIZES: Final = ("power", "voltage", "current")
_MOST_QUESTIONS: Final = 10
_FIFTY_HERTZ: Final = r"(?i)(?<![0-9])50 ?(?:Hz|~)"
_NUMERAL: Final = r"[\d½¼¾⅓⅔⅛⅜⅝⅞]|[.,]\d"


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Plate(Record):
    """What a nameplate says.

    Attributes:
        text: The text as given.
        motors: Its motors, in their order; the speeds of one motor are one motor each.
        loads: What else draws power.
        one_at_a_time: The motors are speeds of one motor: only one of them runs.
        findings: What has to be said, without the id of a machine.
        questions: What has to be asked.
        tokens: Every piece of the text with what was made of it; together they are the text.
        traits: Traits that the plate proves: ``two-speed``, ``hermetic``, ``wound-rotor``.
        starter: ``star-delta`` if the plate says that it starts so.
        needs_neutral: It asks for a neutral; ``None``: it does not say.
        control_voltage_v: Voltage of the controls, where it is stated [V].
        full_load_current_a: Current of a whole machine, where its plate is one of a machine [A].
        short_circuit_rating_a: Short-circuit rating [A].
        decimal_sign: ``point``, ``comma``, or ``refused``: numbers with a comma were not read.
        decimal_grounds: Why: ``locale``, ``plate`` (its other numbers and words settle it),
            ``figures`` (power, voltage and current agree only so), ``plain`` (there is no comma),
            ``none``.
    """

    text: str
    motors: tuple[Motor, ...] = ()
    loads: tuple[Load, ...] = ()
    one_at_a_time: bool = False
    findings: tuple[Finding, ...] = ()
    questions: tuple[Question, ...] = ()
    tokens: tuple[Token, ...] = ()
    traits: tuple[Literal["two-speed", "hermetic", "wound-rotor"], ...] = ()
    starter: Literal["star-delta"] | None = None
    needs_neutral: Literal[True] | None = None
    control_voltage_v: float | None = None
    full_load_current_a: float | None = None
    short_circuit_rating_a: float | None = None
    decimal_sign: str = POINT
    decimal_grounds: str = "plain"

    @property
    def motor(self) -> Motor | None:
        """The first motor, if there is one."""
        return self.motors[0] if self.motors else None

    @property
    def load(self) -> Load | None:
        """The first load that is no motor, if there is one."""
        return self.loads[0] if self.loads else None


def read_plate(text: str, *, locale: str | None = None) -> Plate:
    """Read the text of a nameplate.

    Nothing is guessed in silence: what could be read in two ways has a finding, what cannot be
    read stays in the tokens as it stands, and a figure that the others contradict is not used.

    Args:
        text: What stands on the plate; the order of its statements is free.
        locale: Locale of the plate, as ``"de-DE"``: settles what a comma between digits is.
            Without it a comma is a decimal sign only where the plate itself proves it.

    Raises:
        InputError: *text* is no text or empty, or the locale is not known.
        LimitError: *text* is longer than 2000 characters.
    """
    if not isinstance(text, str):
        raise InputError(text, "text of a plate", code="type.text")
    if len(text) > LONGEST:
        got = f"text of {len(text)} characters"
        raise LimitError(got, f"at most {LONGEST} characters", code="limit.text_length")
    if not text.strip():
        raise InputError(text, "text of a plate", code="field.empty")
    sign = None if locale is None else COMMA if writes_comma(locale) else POINT
    pieces = atoms(text)
    foreign = _foreign_words(pieces)
    decimal = decimal_sign(pieces, sign, foreign + _international_signs(pieces))
    parts = _parts(pieces, decimal.sign)
    if decimal.sign == REFUSED and is_decimal_likely(pieces):
        # the decimal reading of a single comma counts if the figures agree only so
        tried = _parts(pieces, COMMA)
        if any(agrees(one) for one in readings(tried)):
            decimal, parts = Decimal(COMMA, "figures"), tried
    return _plate(text, pieces, parts, decimal, foreign)


def _parts(pieces: tuple[Atom, ...], sign: str) -> list[list[Item]]:
    return [inferred(part, sign) for part in segments(set_apart(bound(items(pieces), sign)))]


def _foreign_words(pieces: tuple[Atom, ...]) -> int:
    """Count what belongs to countries that write a decimal comma and mean metric horsepower."""
    words = sum(piece.key.replace(" ", "") in COMMA_COUNTRIES for piece in pieces)
    return words + sum(piece.kind in {"cosine", "ratio"} for piece in pieces)


def _international_signs(pieces: tuple[Atom, ...]) -> int:
    """Count what makes a decimal comma likely, but is written where a point is, too."""
    signs = sum(piece.kind == "phases" and "~" in piece.plain for piece in pieces)
    return signs + bool(re.search(_FIFTY_HERTZ, "".join(piece.plain for piece in pieces)))


def _plate(
    text: str, pieces: tuple[Atom, ...], parts: list[list[Item]], decimal: Decimal, foreign: int
) -> Plate:
    found = readings(parts)
    contents: list[tuple[int, Content]] = []
    first: Kind | None = None
    for number, reading in enumerate(found):
        name = name_of(_leading_words(pieces, parts[number])) if len(found) > 1 else ""
        one = content(reading, name, foreign, first)
        if one is not None:
            contents.append((number, one))
            first = first or kind(reading, phase_count(reading) or 3)
    said = tokens(
        pieces,
        parts,
        {(number, field) for number, made in contents for field in made.contradicted},
        {(number, field) for number, made in contents for field in made.undecided},
        {place for _, made in contents for place in made.dropped},
    )
    made = [one for _, one in contents]
    motors = tuple(motor for one in made for motor in one.motors)
    loads = tuple(load for one in made for load in one.loads)
    findings = [finding for one in made for finding in one.findings]
    questions = [question for one in made for question in one.questions]
    if not motors and not loads and not findings:
        stated = {field for field in _SIZES if any(one.says(field) for one in found)}
        findings += [remarks.missing(field) for field in _SIZES if field not in stated]
        questions.append(remarks.question("power", "size"))
    doubted = {part.value for one in findings for part in one.parameters if part.name == "given"}
    findings += [
        remarks.odd_word(token, word)
        for token, word in with_odd_word(said)
        if token.text not in doubted
    ]
    if left := unread(said):
        findings.append(remarks.unread(left))
    questions += [
        Question(
            code=remarks.DATA_NEEDED, field="plate", parameters=parameters(given=token.text[:64])
        )
        for token in said
        if token.status == "not-read" and not token.fields and re.match(_NUMERAL, token.text)
    ][:_MOST_QUESTIONS]
    apart = any(sign in text for sign in ";|+")
    rows = len(made) == 2 and not apart and are_two_speeds(motors)
    if rows:
        findings.append(remarks.two_speeds(len(motors)))
        questions.append(remarks.question("motors_one_at_a_time", "size"))
    machine = found[0] if loads and not motors else Reading(())
    return Plate(
        text=text,
        motors=motors,
        loads=loads,
        one_at_a_time=(any(one.two_speed for one in made) and len(made) == 1) or rows,
        findings=_once(findings),
        questions=_each_once(questions),
        tokens=said,
        traits=_traits(found, made, two_speed=rows),
        starter="star-delta" if any(one.starts_in_star for one in made) else None,
        needs_neutral=True
        if any(map(needs_neutral, found)) or any(one.neutral for one in made)
        else None,
        control_voltage_v=_first(found, "control_voltage"),
        full_load_current_a=machine.number("current"),
        short_circuit_rating_a=_first(found, "short_circuit_rating"),
        decimal_sign=decimal.sign,
        decimal_grounds=decimal.grounds,
    )


def _once(findings: list[Finding]) -> tuple[Finding, ...]:
    return tuple(dict.fromkeys(findings))


def _each_once(questions: list[Question]) -> tuple[Question, ...]:
    """Drop repetitions; the locale is asked for once, whatever hangs on it."""
    kept: dict[object, Question] = {}
    for one in questions:
        kept.setdefault("locale" if one.field == "locale" else one, one)
    return tuple(kept.values())


def _first(found: tuple[Reading, ...], field: str) -> float | None:
    return next((v for one in found if (v := one.number(field)) is not None), None)


def _leading_words(pieces: tuple[Atom, ...], part: list[Item]) -> list[str]:
    """Return the words that stand before the first figure of *part*, as they are spelt."""
    words = []
    for item in part:
        if item.kind == "mark":
            continue
        if item.phrase is None or item.phrase.field not in {"word", "kind"}:
            break
        words.append("".join(piece.text for piece in pieces[item.first : item.last + 1]))
    return words


def _traits(
    found: tuple[Reading, ...], made: list[Content], *, two_speed: bool
) -> tuple[Literal["two-speed", "hermetic", "wound-rotor"], ...]:
    traits: list[Literal["two-speed", "hermetic", "wound-rotor"]] = []
    if two_speed or any(one.two_speed for one in made):
        traits.append("two-speed")
    rated = any(m.current_kind == "rated-load" for one in made for m in one.motors)
    if rated or any(one.says("minimum_circuit_ampacity") for one in found):
        traits.append("hermetic")
    if any(one.says("rotor_voltage", "rotor_current") for one in found):
        traits.append("wound-rotor")
    return tuple(traits)
