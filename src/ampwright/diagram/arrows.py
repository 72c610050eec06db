"""Arrows in a plane to scale, with names that meet neither each other nor an arrow."""

import math

from ampwright.diagram.scene import INK, SOFT, Scene, width

HEAD, SPREAD = 7.0, 0.36
NAME = 9.0
#: How far and in which direction from its arrow a name is tried, in degrees, one after the other.
FURTHER = (0.0, 6.0, 13.0, 21.0, 30.0, 40.0)
TURNED = (0.0, 25.0, -25.0, 50.0, -50.0, 80.0, -80.0)


def nice_length(value: float) -> float:
    """Return the largest of 1, 2 or 5 times a power of ten that is not above *value*."""
    power = 10.0 ** math.floor(math.log10(value))
    return max(step * power for step in (1.0, 2.0, 5.0) if step * power <= value * (1.0 + 1e-9))


class Plot:
    """A plane of complex numbers on a drawing."""

    def __init__(
        self, scene: Scene, at: tuple[float, float], scale: float, origin: complex
    ) -> None:
        """Lay out a plane.

        Args:
            scene: The drawing.
            at: Where *origin* lies on it.
            scale: Length on the drawing of one unit.
            origin: The number that lies *at* that place.
        """
        self.scene, self.at, self.scale, self.origin = scene, at, scale, origin
        self._strokes: list[tuple[tuple[float, float], tuple[float, float]]] = []
        self._names: list[tuple[float, float, float, float]] = []

    def place(self, value: complex) -> tuple[float, float]:
        """Return where a number lies on the drawing."""
        moved = (value - self.origin) * self.scale
        return self.at[0] + moved.real, self.at[1] - moved.imag

    def stroke(self, start: complex, end: complex, *, dashes: str) -> None:
        """Draw a thin line between two numbers."""
        ends = self.place(start), self.place(end)
        self.scene.line(*ends, weight=0.8, color=SOFT, dashes=dashes)
        self._strokes.append(ends)

    def arrow(self, start: complex, end: complex) -> None:
        """Draw an arrow from one number to another."""
        (a, b), (c, d) = self.place(start), self.place(end)
        self.scene.line((a, b), (c, d), weight=1.4)
        self._strokes.append(((a, b), (c, d)))
        long = math.hypot(c - a, d - b)
        if long < 1.0:
            return
        head, along = min(HEAD, long / 2.0), math.atan2(d - b, c - a)
        wings = [(c - head * math.cos(along + turn), d - head * math.sin(along + turn))
                 for turn in (SPREAD, -SPREAD)]  # fmt: skip
        (e, f), (g, h) = wings
        steps = f"M0 0L{e - c:.2f} {f - d:.2f}L{g - c:.2f} {h - d:.2f}Z"
        self.scene.path(steps, at=(c, d), fill=INK, weight=0.8)

    def point(self, value: complex) -> None:
        """Mark a number."""
        self.scene.dot(self.place(value))

    def near(
        self, value: complex, toward: complex, text: str, *, away: float, bold: bool = False
    ) -> None:
        """Write *text* beside a number, in the direction of another, where there is room."""
        (x, y), (u, v) = self.place(value), self.place(toward)
        along = math.atan2(v - y, u - x)
        across = width(text, NAME, bold=bold)
        boxes = []
        for more in FURTHER:
            for turn in TURNED:
                direction = along + math.radians(turn)
                distance = away + more + abs(math.cos(direction)) * max(across / 2.0 - 5.0, 0.0)
                cx, cy = x + distance * math.cos(direction), y + distance * math.sin(direction)
                boxes.append((cx - across / 2.0, cy - 5.0, cx + across / 2.0, cy + 5.0))
        best = min(boxes, key=self._crowded)
        self._names.append(best)
        middle = (best[0] + best[2]) / 2.0, (best[1] + best[3]) / 2.0 + 0.34 * NAME
        self.scene.words(text, middle, size=NAME, bold=bold, middle=True)

    def _crowded(self, box: tuple[float, float, float, float]) -> int:
        """Return how many names and strokes a box meets."""
        names = sum(10 for one in self._names if _meets(box, one))
        return names + sum(_crosses(box, *one) for one in self._strokes)


def _meets(one: tuple[float, float, float, float], two: tuple[float, float, float, float]) -> bool:
    return one[0] < two[2] and two[0] < one[2] and one[1] < two[3] and two[1] < one[3]


def _crosses(
    box: tuple[float, float, float, float], start: tuple[float, float], end: tuple[float, float]
) -> bool:
    """Tell whether a straight line passes through a box (clipping after Liang and Barsky)."""
    low, high = 0.0, 1.0
    for n in range(2):
        step = end[n] - start[n]
        near, far = box[n] - start[n], box[n + 2] - start[n]
        if step == 0.0:
            if near > 0.0 or far < 0.0:
                return False
            continue
        first, second = sorted((near / step, far / step))
        low, high = max(low, first), min(high, second)
    return low <= high
