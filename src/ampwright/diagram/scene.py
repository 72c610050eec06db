"""A scene: strokes and words at their places, and how they are written as SVG.

The elements are written with the standard library: a one-line diagram needs lines, circles and
words, which a drawing library would only wrap, and labels that never overlap need a layout of ours.
"""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any
from xml.etree.ElementTree import Element, SubElement, tostring

INK, SOFT, STOP = "#1b2430", "#4a5563", "#a3231f"
FONT = "Liberation Sans, Arial, Helvetica, sans-serif"
SIZE = 10.0
#: From one line of words to the next.
LEADING = 12.5
#: A page that is filled to this share may end where it ends well.
FULL = 0.4

# what XML 1.0 cannot hold, and what turns the direction of writing
_UNFIT = re.compile(
    r"[^\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]|[\x7f-\x9f\u2028-\u202e\u2066-\u2069]"
)
_NUMBER_UNIT = re.compile(
    r"(?<=\d) (?=(?:[kMm]?(?:A|V|W|VA|Ω)|hp|ft|mm²|m|s|µF|%|Hz|AWG|kcmil)\b|%)"
)
_NARROW, _WIDE = frozenset("iljtfrI.,:;'|!()[]/ \u00a0-"), frozenset("mwMWOQG%@—→×")


def clean(text: str) -> str:
    """Return *text* with a blank for what cannot stand in a drawing."""
    return _UNFIT.sub(" ", text)


def width(text: str, size: float = SIZE, *, bold: bool = False) -> float:
    """Return about how wide *text* is; a little more than the usual fonts need, never less.

    Widths by kind of letter are a rule of our own, no source.
    """
    ems = 0.0
    for letter in text:
        if letter in _NARROW:
            ems += 0.36
        elif letter in _WIDE:
            ems += 0.96
        elif ord(letter) > 0x2E7F:
            ems += 1.0
        else:
            ems += 0.73 if letter.isupper() else 0.57
    return ems * size * (1.06 if bold else 1.0)


def wrapped(text: str, room: float, size: float = SIZE, *, bold: bool = False) -> list[str]:
    """Return *text* in lines that are no wider than *room*; numbers stay with their units."""
    lines: list[str] = []
    for paragraph in text.split("\n"):
        line = ""
        for word in _NUMBER_UNIT.sub("\u00a0", clean(paragraph)).split(" "):
            longer = f"{line} {word}".strip()
            if width(longer, size, bold=bold) <= room:
                line = longer
                continue
            lines += [line] if line else []
            *full, line = _pieces(word, room, size, bold=bold)
            lines += full
        lines.append(line)
    return [line for line in lines if line]


def _pieces(word: str, room: float, size: float, *, bold: bool) -> list[str]:
    """Return a word cut where it is wider than *room*: behind a hyphen of its own, or with one."""
    pieces = [""]
    for letter in word:
        last = pieces[-1]
        cut = "-" if letter.isalpha() and last[-1:].isalpha() else ""
        if last and width(last + letter + cut, size, bold=bold) > room:
            own = last.rfind("-") + 1
            if own:
                pieces[-1:] = [last[:own], last[own:]]
            else:
                pieces[-1:] = [last + cut, ""]
        pieces[-1] += letter
    return pieces


def _number(value: float) -> str:
    return f"{round(value, 2) + 0.0:.10g}"


class Scene:
    """A drawing that grows from top to bottom."""

    def __init__(self, across: float) -> None:
        """Begin an empty drawing that is *across* units wide."""
        self.across = across
        self._place = self._all = Element("g")
        self._spans: dict[int, tuple[float, float]] = {}
        self._ends: list[float] = []
        self._good: list[float] = []

    @contextmanager
    def group(self, kind: str, name: str) -> Iterator[None]:
        """Draw what follows as one thing that is marked ``data-<kind>`` with *name*."""
        outer = self._place
        self._place = SubElement(outer, "g", {f"data-{kind}": clean(name)})
        yield
        self._place = outer

    def path(
        self, steps: str, *, at: tuple[float, float] = (0.0, 0.0), turned: bool = False,
        weight: float = 1.2, color: str = INK, fill: str = "none", dashes: str = "",
    ) -> None:  # fmt: skip
        """Draw a stroke, moved to *at*; *turned*, what runs to the right runs downwards."""
        marks = {"d": steps, "fill": fill, "stroke": color, "stroke-width": _number(weight)}
        if dashes:
            marks["stroke-dasharray"] = dashes
        if at != (0.0, 0.0) or turned:
            moved = f"translate({_number(at[0])} {_number(at[1])})"
            marks["transform"] = moved + (" rotate(90)" if turned else "")
        SubElement(self._place, "path", marks)
        self._reaches(at[1])

    def line(
        self, start: tuple[float, float], end: tuple[float, float], *, weight: float = 1.2,
        color: str = INK, dashes: str = "",
    ) -> None:  # fmt: skip
        """Draw a straight stroke."""
        (a, b), (c, d) = start, end
        self.path(f"M0 0L{_number(c - a)} {_number(d - b)}", at=start, weight=weight, color=color,
                  dashes=dashes)  # fmt: skip
        self._reaches(d)

    def dot(self, at: tuple[float, float]) -> None:
        """Mark that lines which meet here are connected."""
        self.path("M-2.2 0a2.2 2.2 0 1 0 4.4 0a2.2 2.2 0 1 0 -4.4 0", at=at, fill=INK, weight=0.6)

    def box(
        self, start: tuple[float, float], end: tuple[float, float], *, dashes: str = ""
    ) -> None:
        """Draw a rectangle between two corners."""
        (a, b), (c, d) = start, end
        steps = f"M0 0H{_number(c - a)}V{_number(d - b)}H0Z"
        self.path(steps, at=start, dashes=dashes)
        self._reaches(d)

    def words(
        self, text: str, at: tuple[float, float], *, size: float = SIZE, bold: bool = False,
        color: str = INK, middle: bool = False,
    ) -> None:  # fmt: skip
        """Write one line of words; *at* is where its base line begins, or its middle."""
        marks: dict[str, Any] = {"x": _number(at[0]), "y": _number(at[1])}
        marks |= {"font-size": _number(size), "fill": color}
        if bold:
            marks["font-weight"] = "700"
        if middle:
            marks["text-anchor"] = "middle"
        SubElement(self._place, "text", marks).text = clean(text)
        self._reaches(at[1])

    def lines(
        self, texts: list[str], at: tuple[float, float], *, size: float = SIZE, bold: bool = False,
        color: str = INK,
    ) -> float:  # fmt: skip
        """Write lines below each other and return where the base line of the next would be."""
        for text in texts:
            self.words(text, at, size=size, bold=bold, color=color)
            at = (at[0], at[1] + LEADING * size / SIZE)
        return at[1]

    def _reaches(self, y: float) -> None:
        """Note that what is drawn at the moment reaches *y*."""
        now = len(self._all) - 1
        low, high = self._spans.get(now, (y, y))
        self._spans[now] = (min(low, y), max(high, y))

    def may_end(self, y: float, *, well: bool = False) -> None:
        """Note that a page may end at *y*: nothing but lines that run downwards crosses it.

        Where it ends *well*, nothing crosses it at all.
        """
        self._ends.append(y)
        if well:
            self._good.append(y)

    def pages(self, height: float, most: float) -> list[tuple[float, float]]:
        """Return from where to where each page reaches, so that none is higher than *most*.

        What cannot be parted makes a page of its own, which is then higher.
        """
        found, start = [], 0.0
        ends = sorted(self._ends)
        while height - start > most:
            fitting = [y for y in ends if start < y <= start + most]
            later = [y for y in ends if y > start]
            if not later:
                break
            good = [y for y in self._good if start + FULL * most <= y <= start + most]
            end = good[-1] if good else fitting[-1] if fitting else later[0]
            found.append((start, end))
            start = end
        return [*found, (start, height)]

    def svg(self, top: float, bottom: float, title: str) -> str:
        """Return the drawing from *top* to *bottom*; the same drawing gives the same text."""
        across, down = _number(self.across), _number(bottom - top)
        root = Element(
            "svg",
            {
                "xmlns": "http://www.w3.org/2000/svg",
                "viewBox": f"0 {_number(top)} {across} {down}",
                "width": across, "height": down, "role": "img", "font-family": FONT,
                "stroke-linejoin": "round",
            },
        )  # fmt: skip
        SubElement(root, "title").text = clean(title)
        ground = {"y": _number(top), "width": across, "height": down, "fill": "#fff"}
        SubElement(root, "rect", ground)
        for n, part in enumerate(self._all):
            first, last = self._spans[n]
            if first < bottom and last >= top:
                root.append(part)
        return tostring(root, encoding="unicode") + "\n"
