"""Numbers joined to their words: from items to statements."""

from typing import Final

from ampwright.nameplate.joint_units import shared
from ampwright.nameplate.matching import SKIPPED, Match, matches
from ampwright.nameplate.numerals import Choice, choices, is_in_band
from ampwright.nameplate.phrases import NOTED_ONLY, STATED, UNREAD, Item, Phrase
from ampwright.nameplate.vocabulary import Key

_ROTOR: Final = frozenset({"voltage", "current"})
_ENDS_ROTOR: Final = frozenset({"power", "speed", "frequency"})
_DUTY_UNITS: Final = frozenset({"percent", "duty_minutes", "apparent"})


def bound(found: list[Item], sign: str) -> list[Item]:
    """Join the numbers of *found* to the words that they belong to, as far as there are such."""
    items = _with_duties(shared(found, sign), sign)
    by_place: dict[int, tuple[int, Match]] = {}
    for match in matches(items, sign):
        ends = [match.word, match.number, *([] if match.unit is None else [match.unit])]
        by_place[min(ends)] = (max(ends), match)
    made: list[Item] = []
    rotor: set[str] = set()
    place = 0
    while place < len(items):
        last = place
        if place in by_place:
            last, match = by_place[place]
            phrase = _statement(items, place, last, match, sign)
            if phrase.field in rotor:
                rotor.discard(phrase.field)
                phrase = phrase._replace(field=f"rotor_{phrase.field}")
            elif phrase.field in _ENDS_ROTOR:
                rotor = set()
            made.append(Item("phrase", phrase.first, phrase.last, phrase=phrase))
        elif (key := items[place].key) is not None:
            rotor = set(_ROTOR) if key.field == "rotor" else rotor
            made.append(_alone(items[place]))
        else:
            made.append(items[place])
        place = last + 1
    return made


def _statement(items: list[Item], first: int, last: int, match: Match, sign: str) -> Phrase:
    """Return what a word and its number state together."""
    text, key = items[match.number].text, match.key
    field = "current" if key.field == "hermetic_current" else key.field
    if _is_wires(items, match):
        field, key = "wires", Key("wires")
    read = choices(text, field, sign)
    return Phrase(
        field,
        items[first].first,
        items[last].last,
        UNREAD if read is None else STATED,
        read or (),
        key.unit,
        key.factor,
        text,
        items[match.word].text,
    )


def _is_wires(items: list[Item], match: Match) -> bool:
    before = items[match.number - 1] if match.number else None
    if match.key.unit != "W" or before is None or items[match.number].text not in "2345":
        return False
    field = before.phrase.field if before.phrase else before.key.field if before.key else ""
    return field == "phases"


def _alone(item: Item) -> Item:
    """Return a word that found no number."""
    key = item.key
    if key is not None and key.field == "rotor":
        phrase = Phrase("kind", item.first, item.last, NOTED_ONLY, label="rotor")
    else:
        how = NOTED_ONLY if key is not None and key.side == "before" else UNREAD
        phrase = Phrase("word", item.first, item.last, how, text=item.text)
    return Item("phrase", item.first, item.last, phrase=phrase)


def _with_duties(items: list[Item], sign: str) -> list[Item]:
    """Join ``S3`` and ``40 %``, ``S2`` and ``30 min``; but ``S1 11 kVA`` is no duty."""
    made = list(items)
    for place, item in enumerate(items):
        if item.phrase is None or item.phrase.field != "duty":
            continue
        after = place + 1
        while after < len(items) and items[after].text in SKIPPED:
            after += 1
        if after + 1 >= len(items) or items[after].kind != "number":
            continue
        unit = items[after + 1].key
        read = choices(items[after].text, "duty_cycle", sign)
        if unit is None or read is None or unit.field not in _DUTY_UNITS:
            continue
        if unit.field == "apparent":
            if item.phrase.text == "S1":
                made[place] = Item("key", item.first, item.last, "s1", Key("apparent", "before"))
            continue
        words = "%" if unit.field == "percent" else "min"
        value = read[0].first * (unit.factor if words == "min" else 1.0)
        if value % 1 or not is_in_band("duty_minutes", read):
            continue
        full = item.phrase._replace(
            last=items[after + 1].last,
            text=f"{item.phrase.text} {value:g} {words}",
            choices=(Choice(value, value),),
        )
        made[place] = Item("phrase", full.first, full.last, phrase=full)
        made[place + 1 : after + 2] = [_NOTHING] * (after + 1 - place)
    return [one for one in made if one is not _NOTHING]


_NOTHING: Final = Item("mark", -1, -1)
