"""Which number belongs to which word."""

from typing import Final

import attrs

from ampwright.nameplate.joint_units import shared
from ampwright.nameplate.numerals import Choice, choices, is_in_band
from ampwright.nameplate.phrases import NOTED_ONLY, STATED, UNREAD, Item, Phrase
from ampwright.nameplate.vocabulary import BANDS, KEYS, Key

# a word before the number says what it is, a unit behind it how it is counted
_UNIT_OF: Final = {
    **dict.fromkeys(("current", "hermetic_current", "locked_rotor_current"), "current"),
    **dict.fromkeys(("service_factor_current", "largest_current"), "current"),
    **dict.fromkeys(("effective_current", "minimum_circuit_ampacity", "fuse"), "current"),
    **dict.fromkeys(("maximum_overcurrent_device", "welding_current"), "current"),
    **dict.fromkeys(("voltage", "control_voltage", "no_load_voltage"), "voltage"),
    "dc_voltage": "voltage",
    **dict.fromkeys(("power", "input_power", "largest_motor"), "power"),
    **dict.fromkeys(("rise", "ambient"), "temperature"),
    **dict.fromkeys(("efficiency", "power_factor", "duty_cycle"), "percent"),
    **dict.fromkeys(("locked_rotor_torque_ratio", "breakdown_torque_ratio"), "percent"),
    "apparent": "apparent",
    "frequency": "frequency",
    "speed": "speed",
    "short_circuit_rating": "short_circuit_rating",
}
_WHOLE: Final = frozenset({"phases", "poles", "leads", "wires", "year", "quantity"})
_SINGLE: Final = frozenset({"phases", "leads", "wires", "service_factor", "efficiency", "rise"})
_SKIPPED: Final = frozenset({":", "=", "-", "#", ".", "(", "%"})
_COUNTED_IN_SEVERAL_UNITS: Final = frozenset(
    {"power", "input_power", "largest_motor", "apparent", "short_circuit_rating"}
)
_ROTOR: Final = frozenset({"voltage", "current"})


class Binder:
    """Goes once over the items of a plate from left to right; each number finds one word."""

    def __init__(self, found: list[Item], sign: str) -> None:
        self.items = found
        self.sign = sign
        self._rotor: set[str] = set()

    def bound(self) -> list[Item]:
        """Return the items with every number joined to the word beside it, where one is."""
        place = 0
        while place < len(self.items):
            item = self.items[place]
            if item.kind == "key":
                place = self._bind(place)
            elif item.phrase is not None and item.phrase.field == "duty":
                self._extend_duty(place)
            place += 1
        return self.items

    def _bind(self, place: int) -> int:
        """Join the key at *place* to a number; return the place of what became of both."""
        item = self.items[place]
        key = item.key
        if key is None:
            return place
        if key.field == "rotor":
            self._rotor = set(_ROTOR)
            return self._close(
                place, Phrase("kind", item.first, item.last, NOTED_ONLY, label="rotor")
            )
        left, right = self._left(place), self._right(place)
        left_fits = left is not None and self._fits(left, key)
        right_key, right_fits = key, False
        if right is not None and not self._is_taken(place, key):
            unit = self._unit_after(right, key)
            right_key = _labelled(key, unit) if unit else key
            right_fits = self._fits(right, right_key) and not self._starves(right, key)
        if self._is_behind(place, key) and (not right_fits or self._is_keyed(right, key)):
            return self._relabel(place, key)
        if (
            left_fits
            and left is not None
            and (key.side != "before" or not right_fits or self._is_keyed(right, key))
        ):
            return self._join(left, place, key, place)
        if right_fits and right is not None:
            last = right + 1 if self._unit_after(right, key) else right
            return self._join(right, place, right_key, last)
        return self._relabel(place, key)

    def _left(self, place: int) -> int | None:
        before = place - 1
        if before >= 1 and self.items[before].text == "-" and self.items[before].kind == "mark":
            before -= 1
        return before if before >= 0 and self.items[before].kind == "number" else None

    def _right(self, place: int) -> int | None:
        after = place + 1
        while after < len(self.items) and self.items[after].text in _SKIPPED:
            after += 1
        return after if after < len(self.items) and self.items[after].kind == "number" else None

    def _unit_after(self, place: int, key: Key) -> Key | None:
        """Return the unit behind the number at *place* if it is one that *key* is counted in."""
        if place + 1 >= len(self.items):
            return None
        unit = self.items[place + 1].key
        fits = unit is not None and unit.side != "before" and unit.field == _UNIT_OF.get(key.field)
        return unit if fits else None

    def _is_keyed(self, place: int | None, key: Key) -> bool:
        """Is the number at *place* followed by a word of its own, other than *key*'s unit."""
        if place is None or place + 1 >= len(self.items):
            return False
        following = place + 1
        if self._unit_after(place, key) is not None:
            following += 1
        if following >= len(self.items):
            return False
        other = self.items[following].key
        lonely = following + 1 >= len(self.items) or self.items[following + 1].kind != "number"
        return other is not None and (other.side != "before" or lonely)

    def _is_taken(self, place: int, key: Key) -> bool:
        """Does the unit at *place* belong to what stands before it, be it unreadable."""
        if key.side != "after" or place == 0:
            return key.side == "behind"
        before = self.items[place - 1]
        text = before.phrase.text if before.phrase is not None else before.text
        unread = before.kind == "mark" or (before.phrase and before.phrase.field == "word")
        return bool(unread) and any(map(str.isdigit, text))

    def _starves(self, place: int, key: Key) -> bool:
        """Would the number at *place*, given to the unit before it, be missed by the one behind.

        In ``HP 5 V 230 A 13`` each unit finds another number; in ``x HP 230 V`` the last does not.
        """
        if key.side != "after" or place + 1 >= len(self.items):
            return False
        other = self.items[place + 1].key
        if other is None or other.side == "before" or not self._fits(place, other):
            return False
        following = self._right(place + 1)
        return other.side == "behind" or following is None or not self._fits(following, other)

    def _fits(self, place: int, key: Key) -> bool:
        """Can the number at *place* be what *key* announces."""
        text = self.items[place].text
        if key.field in _COUNTED_IN_SEVERAL_UNITS and not key.unit:
            return False
        read = choices(text, key.field, self.sign)
        if read is None:  # a comma that is not read still belongs to the word beside it
            return "," in text and choices(text, key.field, "comma") is not None
        if key.field == "year":
            low, high = BANDS["year"]
            return low <= read[-1].last <= high
        if key.field in _SINGLE and len(read) > 1:
            return False
        if key.field in _WHOLE and any(one.last % 1 or one.first % 1 for one in read):
            return False
        return is_in_band(key.field, read, key.factor)

    def _join(self, number: int, word: int, key: Key, last: int) -> int:
        """Replace the items of one statement by the statement; return its place."""
        first, last = min(number, word), max(number, word, last)
        text = self.items[number].text
        read = choices(text, key.field, self.sign)
        field = key.field
        if field in self._rotor:
            self._rotor.discard(field)
            field = f"rotor_{field}"
        elif field in {"power", "speed", "frequency"}:
            self._rotor = set()
        if field == "power" and key.unit == "W" and self._is_wires(number, text):
            field, key = "wires", Key("wires")
        phrase = Phrase(
            "current" if field == "hermetic_current" else field,
            self.items[first].first,
            self.items[last].last,
            UNREAD if read is None else STATED,
            read or (),
            key.unit,
            key.factor,
            text,
            self.items[word].text,
        )
        self.items[first : last + 1] = [Item("phrase", phrase.first, phrase.last, phrase=phrase)]
        return first

    def _is_wires(self, number: int, text: str) -> bool:
        """Tell the four wires of ``3PH 4W`` from four watts."""
        before = self.items[number - 1].phrase if number else None
        return text in {"2", "3", "4", "5"} and before is not None and before.field == "phases"

    def _is_behind(self, place: int, key: Key) -> bool:
        """Does a number with nothing but a unit of *key* stand just before the label."""
        before = self.items[place - 1].phrase if place else None
        if before is None or before.field != _UNIT_OF.get(key.field, "-") or key.side != "before":
            return False
        label = KEYS.get(before.label.replace(".", "").casefold())
        return before.label == "%" or (label is not None and label.side != "before")

    def _relabel(self, place: int, key: Key) -> int:
        """A label behind a number with its unit: ``40C AMB``, ``87.5 % EFF``, ``13.2 A FLA``."""
        before = self.items[place - 1].phrase if place else None
        item = self.items[place]
        if before is None or not self._is_behind(place, key):
            how = UNREAD if key.side != "before" else NOTED_ONLY
            return self._close(place, Phrase("word", item.first, item.last, how, text=item.text))
        if not is_in_band(key.field, before.choices, before.factor):
            return self._close(place, Phrase("word", item.first, item.last, UNREAD, text=item.text))
        joined = attrs.evolve(before, field=key.field, last=item.last, label=item.text)
        self.items[place - 1 : place + 1] = [
            Item("phrase", joined.first, joined.last, phrase=joined)
        ]
        return place - 1

    def _close(self, place: int, phrase: Phrase) -> int:
        self.items[place] = Item("phrase", phrase.first, phrase.last, phrase=phrase)
        return place

    def _extend_duty(self, place: int) -> None:
        """Join ``S3`` and ``40 %``, ``S2`` and ``30 min``; but ``S1 11 kVA`` is no duty."""
        duty = self.items[place].phrase
        after = place + 1
        while after < len(self.items) and self.items[after].text in _SKIPPED:
            after += 1
        if duty is None or after + 1 >= len(self.items) or self.items[after].kind != "number":
            return
        unit = self.items[after + 1].key
        read = choices(self.items[after].text, "duty_cycle", self.sign)
        if (
            unit is None
            or read is None
            or unit.field not in {"percent", "duty_minutes", "apparent"}
        ):
            return
        if unit.field == "apparent":
            if duty.text == "S1":
                self.items[place] = Item(
                    "key", duty.first, duty.last, "s1", Key("apparent", "before")
                )
                self._bind(place)
            return
        words = "%" if unit.field == "percent" else "min"
        value = read[0].first * (unit.factor if words == "min" else 1.0)
        if value % 1 or not is_in_band("duty_minutes", read):
            return
        last = self.items[after + 1].last
        full = attrs.evolve(
            duty, last=last, text=f"{duty.text} {value:g} {words}", choices=(Choice(value, value),)
        )
        self.items[place : after + 2] = [Item("phrase", full.first, full.last, phrase=full)]


def _labelled(label: Key, unit: Key) -> Key:
    """Return what a label and the unit behind its number say together."""
    return Key(label.field, label.side, unit.factor, unit.unit)


def bound(found: list[Item], sign: str) -> list[Item]:
    """Join the numbers of *found* to the words beside them."""
    return Binder(shared(found, sign), sign).bound()
