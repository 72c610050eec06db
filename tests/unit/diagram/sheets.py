"""What stands where on a drawing, read back from its text."""

import re
from collections import Counter
from collections.abc import Iterator
from itertools import combinations
from typing import NamedTuple
from xml.etree import ElementTree as ET

from ampwright.diagram.scene import width

SVG = "{http://www.w3.org/2000/svg}"
_AT = re.compile(r"translate\((\S+) (\S+)\)")
_LINE = re.compile(r"M0 0L(\S+) (\S+)")
_BOX = re.compile(r"M0 0H(\S+)V(\S+)H0Z")


class Box(NamedTuple):
    """A line of words, from the top of its letters to below their tails."""

    left: float
    top: float
    right: float
    bottom: float
    words: str


class Line(NamedTuple):
    """A straight stroke between two places."""

    a: float
    b: float
    c: float
    d: float


def root(svg: str) -> ET.Element:
    """Return the drawing as a tree."""
    return ET.fromstring(svg)  # noqa: S314 - our own text


def marked(svg: str, kind: str) -> Counter[str]:
    """Return how often each thing of a *kind* is drawn, by id."""
    found = (group.get(f"data-{kind}") for group in root(svg).iter(f"{SVG}g"))
    return Counter(name for name in found if name is not None)


def group(svg: str, kind: str, name: str) -> ET.Element:
    """Return the one group that is marked so."""
    (found,) = (one for one in root(svg).iter(f"{SVG}g") if one.get(f"data-{kind}") == name)
    return found


def words(element: ET.Element) -> str:
    """Return all words of a part of a drawing, with plain blanks."""
    said = " ".join(text.text or "" for text in element.iter(f"{SVG}text"))
    return said.replace("\u00a0", " ")


def boxes(element: ET.Element) -> Iterator[Box]:
    """Yield each line of words as a box."""
    for text in element.iter(f"{SVG}text"):
        x, y, size = (float(text.get(name, "0")) for name in ("x", "y", "font-size"))
        said = text.text or ""
        across = width(said, size, bold=text.get("font-weight") == "700")
        left = x - across / 2.0 if text.get("text-anchor") == "middle" else x
        yield Box(left, y - 0.75 * size, left + across, y + 0.22 * size, said)


def place(path: ET.Element) -> tuple[float, float]:
    """Return where a stroke begins."""
    found = _AT.search(path.get("transform", ""))
    return (float(found[1]), float(found[2])) if found else (0.0, 0.0)


def lines(element: ET.Element) -> Iterator[Line]:
    """Yield straight strokes, and the sides of rectangles."""
    for path in element.iter(f"{SVG}path"):
        (x, y), steps = place(path), path.get("d", "")
        if found := _LINE.fullmatch(steps):
            yield Line(x, y, x + float(found[1]), y + float(found[2]))
        elif found := _BOX.fullmatch(steps):
            right, down = x + float(found[1]), y + float(found[2])
            yield from (Line(x, y, right, y), Line(x, down, right, down))
            yield from (Line(x, y, x, down), Line(right, y, right, down))


def dots(element: ET.Element) -> list[tuple[float, float]]:
    """Return the places of all dots."""
    return [
        place(one) for one in element.iter(f"{SVG}path") if one.get("d", "").startswith("M-2.2 0")
    ]


def overlaps(svg: str) -> list[str]:
    """Return what is wrong with where words stand: off the sheet, on others, or struck through."""
    tree = root(svg)
    across, down = float(tree.get("width", "0")), float(tree.get("height", "0"))
    found = list(boxes(tree))
    wrong = [
        f"off the sheet: {one}"
        for one in found
        if one.left < 0.0 or one.right > across or one.top < 0.0 or one.bottom > down
    ]
    for one, two in combinations(found, 2):
        if (
            one.left < two.right
            and two.left < one.right
            and one.top < two.bottom
            and two.top < one.bottom
        ):
            wrong.append(f"on each other: {one} {two}")
    for stroke in lines(tree):
        wrong += [f"struck through: {one} by {stroke}" for one in found if _struck(one, stroke)]
        for x, y in ((stroke.a, stroke.b), (stroke.c, stroke.d)):
            if not (0.0 <= x <= across and 0.0 <= y <= down):
                wrong.append(f"off the sheet: {stroke}")
    return wrong


def _struck(box: Box, stroke: Line) -> bool:
    """Tell whether a stroke passes through the letters, by twenty places along it and more."""
    left, top, right, bottom, _ = box
    bottom -= 0.5  # a line on which letters stand is none that strikes them through
    if max(stroke.a, stroke.c) < left or min(stroke.a, stroke.c) > right:
        return False
    if max(stroke.b, stroke.d) < top or min(stroke.b, stroke.d) > bottom:
        return False
    long = max(abs(stroke.c - stroke.a), abs(stroke.d - stroke.b))
    count = max(2, int(long / 2.0))
    for n in range(count + 1):
        x = stroke.a + (stroke.c - stroke.a) * n / count
        y = stroke.b + (stroke.d - stroke.b) * n / count
        if left + 0.5 < x < right - 0.5 and top + 0.5 < y < bottom:
            return True
    return False
