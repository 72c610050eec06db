"""What the pieces of a plate make up: numbers, words that announce one, and whole phrases."""

from typing import Final, NamedTuple

from ampwright.nameplate.lexing import Atom
from ampwright.nameplate.numerals import Choice
from ampwright.nameplate.vocabulary import CONNECTIONS, KEYS, LETTERS, Key
from ampwright.nameplate.words import CONNECTION_WORDS, DUTY_WORDS, KINDS, NOTED, PHASE_WORDS

STATED, INFERRED, NOTED_ONLY, UNREAD = "stated", "inferred", "noted", "not-read"

# pieces that announce a number by a fixed sign rather than by a word
_SIGNS: Final = {
    "speed": Key("speed", "behind", 1.0, "rpm"),
    "cycles": Key("frequency", "behind", 1.0, "Hz"),
    "cosine": Key("power_factor", "before"),
    "ratio": Key("locked_rotor_ratio", "before"),
}
_SYMBOLS: Final = {
    "i1max": KEYS["i1max"],
    "i1eff": KEYS["i1eff"],
    "p1": KEYS["p1"],
    "p2": KEYS["p2"],
    "i2": KEYS["i2"],
    "u0": KEYS["u0"],
    "u1": KEYS["u1"],
    "u2": KEYS["u2"],
}
_BREAKDOWN: Final = ("mk", "cmax", "tmax", "mmax", "tk")
_PLAIN: Final = {"grade": "efficiency_class", "protection": "protection", "standard": "standard"}
_MARK_KEYS: Final = {
    "%": Key("percent", "behind", 1.0, "%"),
    "~": Key("frequency", "behind", 1.0, "Hz"),
}
_LONGEST_PHRASE = 3
_PROGRAM_SIGNS = frozenset("*^_<>{}[]\\&$@!?")  # on a plate none of them touches a rating
_SHORTEST_SERIAL = 3
_LONGEST_LETTER = 3  # the design NEY


class Phrase(NamedTuple):
    """One statement of the plate.

    Attributes:
        field: What it states.
        first: Index of its first piece.
        last: Index of its last piece.
        how: ``stated``, ``inferred`` (the unit is not on the plate), ``noted`` or ``not-read``.
        choices: The alternatives, in the unit.
        unit: The unit, spelt as the records take it.
        factor: What turns a number into the base unit of the field.
        text: What is no number: a letter, a code, the words themselves.
        label: The word that announced it.
    """

    field: str
    first: int
    last: int
    how: str = STATED
    choices: tuple[Choice, ...] = ()
    unit: str = ""
    factor: float = 1.0
    text: str = ""
    label: str = ""


class Item(NamedTuple):
    """A number that waits for its word, a word that waits for its number, or neither.

    Attributes:
        kind: ``number``, ``key``, ``phrase`` or ``mark``.
        first: Index of its first piece.
        last: Index of its last piece.
        text: The number or the mark, look-alike signs unified.
        key: What a word announces.
        phrase: A statement that is complete.
    """

    kind: str
    first: int
    last: int
    text: str = ""
    key: Key | None = None
    phrase: Phrase | None = None


def items(pieces: tuple[Atom, ...]) -> list[Item]:
    """Turn *pieces* into numbers, keys, marks and complete phrases, in their order."""
    found: list[Item] = []
    place = 0
    while place < len(pieces):
        piece = pieces[place]
        if piece.kind == "space":
            place += 1
            continue
        item = _worded(pieces, place) if piece.kind == "word" else _signed(piece, place)
        if item.kind == "number" and _is_no_figure(pieces, place, found):
            item = _done(Phrase("word", place, place, UNREAD, text=item.text))
        found.append(item)
        place = item.last + 1
    return [
        _done(Phrase("word", one.first, one.last, UNREAD, text=one.text))
        if one.kind == "number" and after.first == one.last + 1 and _is_no_unit(after)
        else one
        for one, after in zip(found, [*found[1:], Item("mark", -1, -1)], strict=True)
    ]


def _is_no_unit(item: Item) -> bool:
    return _is_unread_word(item) or (item.kind == "mark" and item.text in _PROGRAM_SIGNS)


def _is_unread_word(item: Item) -> bool:
    return item.phrase is not None and item.phrase.field == "word" and item.phrase.how == UNREAD


def _is_no_figure(pieces: tuple[Atom, ...], place: int, before: list[Item]) -> bool:
    """Is a number part of something else: ``1e400``, ``-5``, ``X12``."""
    if place == 0 or not before or before[-1].last != place - 1:
        return False
    touching = before[-1]
    if touching.kind == "mark" and touching.text in _PROGRAM_SIGNS:
        return True
    if touching.text == "-":
        return place == 1 or pieces[place - 2].kind == "space"
    return _is_unread_word(touching)


def _signed(piece: Atom, place: int) -> Item:
    kind, text = piece.kind, piece.plain.strip()
    if kind == "number" or (kind == "mark" and text not in _MARK_KEYS):
        return Item(kind, place, place, text)
    key = _SIGNS.get(kind) or _SYMBOLS.get(text.casefold().replace(" ", "")) or _MARK_KEYS.get(text)
    if kind == "torque":
        breakdown = text.casefold().startswith(_BREAKDOWN)
        key = Key("breakdown_torque_ratio" if breakdown else "locked_rotor_torque_ratio", "before")
    if key is not None:
        return Item("key", place, place, text, key)
    field, how = _PLAIN.get(kind, kind), NOTED_ONLY if kind in _PLAIN else STATED
    if kind == "link":
        links = [CONNECTIONS[one.strip().casefold().replace("δ", "Δ")] for one in _linked(text)]
        field, text = "connection", "/".join(links)
    return _done(Phrase(field, place, place, how, text=text))


def _linked(text: str) -> list[str]:
    return text.replace("-", "/").split("/")


def _done(phrase: Phrase) -> Item:
    return Item("phrase", phrase.first, phrase.last, phrase=phrase)


def _words(pieces: tuple[Atom, ...], place: int) -> list[tuple[str, int]]:
    """Return the word at *place* alone and with those after it, the longest first."""
    found = [(pieces[place].key, place)]
    at = place + 1
    while len(found) < _LONGEST_PHRASE and at < len(pieces):
        if pieces[at].kind == "word":
            found.append((f"{found[-1][0]} {pieces[at].key}", at))
        elif pieces[at].kind != "space" and pieces[at].plain != "-":
            break
        at += 1
    return found[::-1]


def _worded(pieces: tuple[Atom, ...], place: int) -> Item:
    options = _words(pieces, place)
    for text, last in options:
        if text in KEYS:
            return _keyed(pieces, place, last, text)
        for field, words in (("phases", PHASE_WORDS), ("duty", DUTY_WORDS)):
            if text in words:
                return _done(Phrase(field, place, last, text=words[text]))
    if options[-1][0] in CONNECTION_WORDS:
        return _connected(pieces, place)
    return _done(_plain_word(pieces, place, options[-1][0]))


def _plain_word(pieces: tuple[Atom, ...], place: int, text: str) -> Phrase:
    """Return a word that announces nothing, or a label and its letter in one: ``INS.CL.F``."""
    if text in KINDS:
        return Phrase("kind", place, place, NOTED_ONLY, text=KINDS[text], label=text)
    head, dot, letter = pieces[place].plain.rstrip(".").rpartition(".")
    key = KEYS.get(head.replace(".", "").casefold())
    if dot and key is not None and letter.upper() in LETTERS.get(key.field, ()):
        return Phrase(key.field, place, place, text=letter.upper())
    return Phrase("word", place, place, NOTED_ONLY if text in NOTED else UNREAD, text=text)


def _connected(pieces: tuple[Atom, ...], place: int) -> Item:
    """Join ``star/delta`` and ``star-delta`` into one phrase."""
    links, last = [CONNECTION_WORDS[pieces[place].key]], place
    while (
        last + 2 < len(pieces)
        and pieces[last + 1].plain in {"/", "-"}
        and pieces[last + 2].key in CONNECTION_WORDS
    ):
        last += 2
        links.append(CONNECTION_WORDS[pieces[last].key])
    return _done(Phrase("connection", place, last, text="/".join(links)))


def _keyed(pieces: tuple[Atom, ...], place: int, last: int, text: str) -> Item:
    key = KEYS[text]
    if key.takes == "number":
        return Item("key", place, last, text, key)
    noted = Phrase("word", place, last, NOTED_ONLY, text=text)
    if key.takes == "letter":
        letter, end = _letter(pieces, last)
        how = STATED if letter in LETTERS[key.field] else UNREAD
        found = Phrase(key.field, place, end, how, text=letter, label=text)
        return _done(found if letter else noted)
    end = _run(pieces, last)
    run = "".join(piece.text for piece in pieces[last + 1 : end + 1]).strip(" :.#")
    few = key.field == "serial" and sum(map(str.isdigit, run)) < _SHORTEST_SERIAL
    found = Phrase(key.field, place, end, NOTED_ONLY, text=run, label=text)
    return _done(noted if few or not run else found)


def _letter(pieces: tuple[Atom, ...], last: int) -> tuple[str, int]:
    """Find the letter after a label, also in ``Th.Cl. 155 (F)``, and where it ends."""
    seen_number = False
    for place in range(last + 1, min(last + 6, len(pieces))):
        piece = pieces[place]
        if piece.kind == "space" or piece.plain in {":", "-", "=", "("}:
            continue
        if piece.kind == "number" and not seen_number:
            seen_number = True
            continue
        letter = piece.plain.rstrip(".")
        if piece.kind in {"word", "link"} and len(letter) <= _LONGEST_LETTER and letter.isascii():
            closes = place + 1 < len(pieces) and pieces[place + 1].plain == ")"
            if closes or not seen_number:
                return letter.upper(), place + closes
        break
    return "", last


def _run(pieces: tuple[Atom, ...], last: int) -> int:
    """Return the index of the last piece before the next blank after the label."""
    place = last + 1
    while place < len(pieces) and (pieces[place].kind == "space" or pieces[place].plain in ":.#="):
        place += 1
    end = place
    while end < len(pieces) and pieces[end].kind != "space" and pieces[end].plain not in {";", ","}:
        end += 1
    return end - 1 if end > place else last
