"""Which number belongs to which word: the arrangement that leaves least over and means most.

A unit stands behind its number (``5 HP``) or before it (``HP 5``), and plates mix both. Going from
left to right and taking what is near gives a wrong reading as soon as one number is worn off:
``HP 230/460 V 20/10 A`` would be 230 horsepower at 20 volts. So all arrangements are weighed.
"""

from typing import Final, NamedTuple

from ampwright.nameplate.numerals import Choice, choices, is_in_band
from ampwright.nameplate.phrases import Item
from ampwright.nameplate.usual import is_nominal, is_usual
from ampwright.nameplate.vocabulary import BANDS, Key

# a word before the number says what it is, a unit behind it how it is counted
UNIT_OF: Final = {
    **dict.fromkeys(("current", "hermetic_current", "locked_rotor_current"), "current"),
    **dict.fromkeys(("service_factor_current", "largest_current"), "current"),
    **dict.fromkeys(("effective_current", "minimum_circuit_ampacity", "fuse"), "current"),
    **dict.fromkeys(("maximum_overcurrent_device", "welding_current"), "current"),
    **dict.fromkeys(("voltage", "control_voltage", "no_load_voltage", "dc_voltage"), "voltage"),
    **dict.fromkeys(("power", "input_power", "largest_motor"), "power"),
    **dict.fromkeys(("rise", "ambient"), "temperature"),
    **dict.fromkeys(("efficiency", "power_factor", "duty_cycle"), "percent"),
    **dict.fromkeys(("locked_rotor_torque_ratio", "breakdown_torque_ratio"), "percent"),
    **{field: field for field in ("apparent", "frequency", "speed", "short_circuit_rating")},
}
SKIPPED: Final = frozenset({":", "=", "-", "#", ".", "(", "%"})
_WHOLE: Final = frozenset({"phases", "poles", "leads", "wires", "year", "quantity"})
_SINGLE: Final = frozenset({"phases", "leads", "wires", "service_factor", "efficiency", "rise"})
_COUNTED_IN_SEVERAL_UNITS: Final = frozenset(
    {"power", "input_power", "largest_motor", "apparent", "short_circuit_rating"}
)
_WIRES: Final = frozenset({"2", "3", "4", "5"})

# What an arrangement is worth: a usual figure, a possible one, a number that is not left over, a
# unit joined to its label; and what a word costs that finds no number. Chosen so that a plate of
# usual figures with one number missing keeps the others at their words.
_USUAL, _POSSIBLE, _UNUSUAL = 2.0, 1.0, -1.5
_NUMBER, _UNIT, _BEHIND = 1.0, 1.0, 0.8
_LOST_UNIT, _LOST_LABEL = -1.0, -0.5
_TURNED: Final = -0.2  # a unit before its number, a label behind it


class Match(NamedTuple):
    """A word and its number.

    Attributes:
        word: Place of the word among the items.
        number: Place of its number.
        unit: Place of the unit that counts what the word announces, if it is another word.
        key: What both say together.
    """

    word: int
    number: int
    unit: int | None
    key: Key


class _State(NamedTuple):
    """What the arrangement up to some word still binds: the number and the unit taken ahead."""

    number: int = -1
    unit: int = -1
    left: int = -1  # the number that the word just before took from its left


def matches(items: list[Item], sign: str) -> list[Match]:
    """Return the best arrangement of words and numbers, in the order of the words."""
    judge = _Judge(items, sign)
    best: dict[_State, tuple[float, tuple[Match, ...]]] = {_State(): (0.0, ())}
    for place, item in enumerate(items):
        if item.key is None or item.key.field == "rotor":
            continue
        following: dict[_State, tuple[float, tuple[Match, ...]]] = {}
        for state, (worth, made) in best.items():
            for more, match, after in judge.options(place, item.key, state):
                # a label behind a number and its unit takes both over
                kept = made[:-1] if match and made and made[-1].number == match.number else made
                found = (worth + more, (*kept, match) if match else kept)
                if after not in following or found[0] > following[after][0] + 1e-9:
                    following[after] = found
        best = following
    return list(max(best.values(), key=lambda one: one[0])[1])


class _Judge:
    """Weighs what a word can do with the numbers beside it."""

    def __init__(self, items: list[Item], sign: str) -> None:
        self.items, self.sign = items, sign
        self._worths: dict[tuple[int, Key], float | None] = {}

    def options(
        self, place: int, key: Key, state: _State
    ) -> list[tuple[float, Match | None, _State]]:
        """Return what the word at *place* can do: its worth, the match, and the state after."""
        ahead = _State(number=state.number)
        if state.unit == place:
            return [(0.0, None, ahead)]
        label = key.side == "before"
        found: list[tuple[float, Match | None, _State]] = [
            (_LOST_LABEL if label else _LOST_UNIT, None, ahead)
        ]
        left, right = self._left(place), self._right(place, key)
        worth = None if left is None or left == state.number else self.worth(left, key)
        if left is not None and worth is not None:
            worth += self._gain(left, key) + (_TURNED if label else 0.0)
            found.append((worth, Match(place, left, None, key), _State(left=left)))
        if right is not None:
            unit = self._unit_after(right, key)
            whole = Key(key.field, key.side, unit.factor, unit.unit) if unit else key
            worth = self.worth(right, whole)
            if worth is not None:
                worth += self._gain(right, key) + (_UNIT if unit else 0.0)
                worth += 0.0 if label else _TURNED
                taken = right + 1 if unit else None
                match = Match(place, right, taken, whole)
                found.append((worth, match, _State(right, -1 if taken is None else taken)))
        if label and state.left >= 0:
            unit = self.items[place - 1].key
            if unit is not None and unit.field == UNIT_OF.get(key.field):
                whole = Key(key.field, key.side, unit.factor, unit.unit)
                if self.worth(state.left, whole) is not None:
                    found.append((_BEHIND, Match(place, state.left, place - 1, whole), ahead))
        return found

    def _left(self, place: int) -> int | None:
        before = place - 1
        if before >= 1 and self.items[before].text == "-" and self.items[before].kind == "mark":
            before -= 1
        return before if before >= 0 and self.items[before].kind == "number" else None

    def _right(self, place: int, key: Key) -> int | None:
        if key.side == "behind" or (key.side == "after" and self._is_taken(place)):
            return None
        after = place + 1
        while after < len(self.items) and self.items[after].text in SKIPPED:
            after += 1
        return after if after < len(self.items) and self.items[after].kind == "number" else None

    def _is_taken(self, place: int) -> bool:
        """Does the unit at *place* belong to digits before it that could not be read."""
        before = self.items[place - 1] if place else None
        if before is None:
            return False
        text = before.phrase.text if before.phrase is not None else before.text
        unread = before.kind == "mark" or (before.phrase and before.phrase.field == "word")
        return bool(unread) and any(map(str.isdigit, text))

    def _unit_after(self, number: int, key: Key) -> Key | None:
        """Return the unit behind *number* if it is one that *key* is counted in."""
        unit = self.items[number + 1].key if number + 1 < len(self.items) else None
        fits = unit is not None and unit.side != "before" and unit.field == UNIT_OF.get(key.field)
        # KW 2.2 HP 3: a unit before the number is not counted in another unit
        alike = unit is not None and key.unit in {"", unit.unit}
        return unit if fits and alike else None

    def _gain(self, number: int, key: Key) -> float:
        """Return what it is worth that *number* is not left over; volts are known without a V."""
        volts = choices(self.items[number].text, "voltage", self.sign)
        known = volts is not None and is_nominal(volts) and UNIT_OF.get(key.field) != "voltage"
        return 0.0 if known else _NUMBER

    def worth(self, number: int, key: Key) -> float | None:
        """Return what *key* is worth for *number*; ``None`` if it cannot be."""
        if (number, key) not in self._worths:
            self._worths[number, key] = self._worth(number, key)
        return self._worths[number, key]

    def _worth(self, number: int, key: Key) -> float | None:
        text = self.items[number].text
        if key.field in _COUNTED_IN_SEVERAL_UNITS and not key.unit:
            return None
        if key.unit == "W" and self.is_wires(number):
            return _USUAL
        read = choices(text, key.field, self.sign)
        if read is None:  # a comma that is not read still belongs to the word beside it
            opened = choices(text, key.field, "comma") if "," in text else None
            return None if opened is None else _POSSIBLE
        if not _can_be(key, read):
            return None
        usual = is_usual(key.field, key.unit, read)
        return _POSSIBLE if usual is None else _USUAL if usual else _UNUSUAL

    def is_wires(self, number: int) -> bool:
        """Tell the four wires of ``3PH 4W`` from four watts."""
        before = self.items[number - 1] if number else None
        if before is None or self.items[number].text not in _WIRES:
            return False
        field = before.phrase.field if before.phrase else before.key.field if before.key else ""
        return field == "phases"


def _can_be(key: Key, read: tuple[Choice, ...]) -> bool:
    if key.field == "year":
        low, high = BANDS["year"]
        return low <= read[-1].last <= high
    if key.field in _SINGLE and len(read) > 1:
        return False
    if key.field in _WHOLE and any(one.last % 1 or one.first % 1 for one in read):
        return False
    return is_in_band(key.field, read, key.factor)
