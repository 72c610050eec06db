"""Every piece of a plate with what was made of it."""

from collections.abc import Collection, Iterable, Iterator
from itertools import groupby, pairwise

import attrs

from ampwright.nameplate.lexing import Atom
from ampwright.nameplate.phrases import INFERRED, NOTED_ONLY, STATED, UNREAD, Item, Phrase
from ampwright.record import Record

BLANK, CONTRADICTED, OPEN = "blank", "contradicted", "undecided"
_BASE_UNITS = {
    "hp": "W", "PS": "W", "cv": "W", "ch": "W", "hk": "W", "pk": "W", "kW": "W",
    "kVA": "VA", "kV": "V", "kA": "A",
}  # fmt: skip


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Token(Record):
    """One piece of the text of a plate; all of them together are the text.

    Attributes:
        text: As it stands on the plate.
        start: Place of its first character.
        status: ``stated``; ``inferred`` (no unit stands beside it); ``noted`` (understood, but no
            figure of the machine); ``contradicted`` (the other figures say otherwise; not used);
            ``undecided`` (alternatives that fit nothing; not used); ``not-read``; ``blank``.
        fields: What it states: ``power``, ``voltage`` and so on; several in ``208-230/3/60``.
        values: Its numbers as they were read, both ends of a range, in *unit*.
        unit: Unit of *values*.
        meaning: What was read where it is no number: a letter, a duty type, a connection.
        motor: Number of the motor or load that it belongs to, from 0.
    """

    text: str
    start: int
    status: str
    fields: tuple[str, ...] = ()
    values: tuple[float, ...] = ()
    unit: str = ""
    meaning: str = ""
    motor: int = 0


def tokens(
    pieces: tuple[Atom, ...],
    parts: Iterable[list[Item]],
    contradicted: Collection[tuple[int, str]],
    undecided: Collection[tuple[int, str]],
    dropped: Collection[int],
) -> tuple[Token, ...]:
    """Turn *parts*, the statements about each motor, into tokens that cover the whole plate.

    Args:
        pieces: The pieces of the text.
        parts: The items of each motor or load.
        contradicted: Number of the motor and field of figures that the others contradict.
        undecided: The same of figures whose alternatives fit nothing.
        dropped: First pieces of single statements that the others contradict.
    """
    spans: dict[int, tuple[int, int, list[Phrase]]] = {}
    for number, part in enumerate(parts):
        phrases = (item.phrase for item in part if item.phrase is not None)
        for (first, last), same in groupby(phrases, key=lambda one: (one.first, one.last)):
            spans[first] = (last, number, list(same))
    found: list[Token] = []
    place = motor = 0
    while place < len(pieces):
        last, motor, group = spans.get(place, (place, motor, []))
        text = "".join(piece.text for piece in pieces[place : last + 1])
        start = pieces[place].start
        if group:
            token = _token(text, start, group, motor)
            for doubt, status in ((contradicted, CONTRADICTED), (undecided, OPEN)):
                if any((motor, field) in doubt for field in token.fields):
                    token = attrs.evolve(token, status=status)
            if place in dropped:
                token = attrs.evolve(token, status=CONTRADICTED)
        else:
            token = Token(text=text, start=start, status=_bare(pieces[place]), motor=motor)
        found.append(token)
        place = last + 1
    return tuple(found)


def unread(found: Iterable[Token]) -> tuple[str, ...]:
    """Return what was not read, words that stand beside each other as one."""
    runs: list[list[str]] = [[]]
    for token in found:
        if token.status == UNREAD:
            runs[-1].append(token.text)
        elif token.status != BLANK and runs[-1]:
            runs.append([])
    return tuple(" ".join(run) for run in runs if run)


def with_odd_word(found: Iterable[Token]) -> Iterator[tuple[Token, str]]:
    """Yield each number that no unit stands beside, but a word that was not read."""
    said = [token for token in found if token.status != BLANK]
    for token, behind in pairwise(said):
        if token.status == INFERRED and behind.status == UNREAD and behind.text.isalpha():
            yield token, behind.text


def _bare(piece: Atom) -> str:
    if piece.kind == "space":
        return BLANK
    return NOTED_ONLY if piece.kind == "mark" and not piece.plain.isalnum() else UNREAD


def _token(text: str, start: int, group: list[Phrase], motor: int) -> Token:
    first = group[0]
    values = tuple(
        end * phrase.factor
        for phrase in group
        for choice in phrase.choices
        for end in dict.fromkeys((choice.first, choice.last))
    )
    status = next((p.how for p in group if p.how != STATED), STATED)
    return Token(
        text=text,
        start=start,
        status=status,
        fields=tuple(phrase.field for phrase in group if phrase.field not in {"word", "kind"}),
        values=values,
        unit=_BASE_UNITS.get(first.unit, first.unit) if values else "",
        meaning="" if first.choices and first.field != "duty" else first.text,
        motor=motor,
    )
