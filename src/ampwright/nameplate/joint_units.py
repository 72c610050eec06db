"""Several units in front of or behind several numbers: ``HP/KW 3/2.2``, ``V/PH/HZ 230/3/60``."""

import re
from typing import Final

from ampwright.nameplate.numerals import Choice, choices, is_in_band
from ampwright.nameplate.phrases import UNREAD, Item, Phrase
from ampwright.nameplate.vocabulary import Key

_TRIPLE: Final = r"(.+?) ?[/-] ?([123]) ?[/-] ?(50|60|50/60)$"
_TRIPLE_LAST: Final = r"([13]) ?[/-] ?(50|60) ?[/-] ?([0-9]{3}.*)$"


def _supply(item: Item, sign: str) -> list[Item]:
    """Read ``208-230/3/60``: volts, phases and hertz in one."""
    found, ahead = re.fullmatch(_TRIPLE, item.text), re.fullmatch(_TRIPLE_LAST, item.text)
    volts, phases, hertz = (
        (found[1], found[2], found[3])
        if found
        else (ahead[3], ahead[1], ahead[2])
        if ahead
        else 3 * ("",)
    )
    read, rate = choices(volts, "voltage", sign), choices(hertz, "frequency", sign)
    if not volts or not read or not rate or not is_in_band("voltage", read):
        return [item]
    return [
        _part("voltage", item, read, "V", volts),
        _part("phases", item, (), "", phases),
        _part("frequency", item, rate, "Hz", hertz),
    ]


def _part(field: str, item: Item, read: tuple[Choice, ...], unit: str, text: str) -> Item:
    phrase = Phrase(field, item.first, item.last, choices=read, unit=unit, text=text)
    return Item("phrase", item.first, item.last, phrase=phrase)


def shared(found: list[Item], sign: str) -> list[Item]:
    """Give each unit of a chain its own number.

    A chain whose numbers are not as many, or cannot be what the units count, states nothing.
    """
    made: list[Item] = []
    place = 0
    while place < len(found):
        chain = _chain(found, place)
        place += max(2 * len(chain) - 1, 1)
        if len(chain) < 2:
            item = found[place - 1]
            made += _supply(item, sign) if item.kind == "number" else [item]
            continue
        after = found[place] if place < len(found) and found[place].kind == "number" else None
        before = made[-1] if made and made[-1].kind == "number" else None
        if after is not None and (statements := _statements(chain, after, sign)):
            place += 1
        elif before is not None and (statements := _statements(chain, before, sign)):
            made.pop()
        else:
            words = "/".join(item.text for item in chain)
            nothing = Phrase("word", chain[0].first, chain[-1].last, UNREAD, text=words)
            statements = [nothing]
        made += [Item("phrase", one.first, one.last, phrase=one) for one in statements]
    return made


def _chain(found: list[Item], place: int) -> list[Item]:
    """Return the units from *place* on that slashes join."""
    chain: list[Item] = []
    while place < len(found) and _unit(found[place]) is not None:
        chain.append(found[place])
        if place + 1 >= len(found) or found[place + 1].text != "/":
            break
        place += 2
    return chain


def _unit(item: Item) -> Key | None:
    return item.key if item.key is not None and item.key.side != "before" else None


def _statements(chain: list[Item], number: Item, sign: str) -> list[Phrase]:
    parts = number.text.split("/")
    if len(parts) != len(chain):
        return []
    first, last = min(chain[0].first, number.first), max(chain[-1].last, number.last)
    found = []
    for item, part in zip(chain, parts, strict=True):
        key = item.key
        read = choices(part, key.field, sign) if key is not None else None
        if key is None or read is None or not is_in_band(key.field, read, key.factor):
            return []
        phrase = Phrase(key.field, first, last, choices=read, unit=key.unit, factor=key.factor)
        found.append(phrase)
    return found
