"""Single conductors that run downwards side by side, and what stands in or hangs on them."""

from collections.abc import Collection

from ampwright.diagram.scene import LEADING, Scene, wrapped
from ampwright.diagram.sheet import ACROSS, MARGIN, Sheet
from ampwright.diagram.symbols import LENGTH, place
from ampwright.diagram.wires import NEUTRAL, PROTECTIVE, Wires
from ampwright.equipment.circuit import Circuit
from ampwright.equipment.device import ProtectiveDevice

#: Where each conductor runs: the third line between the two of the supply, so that a capacitor
#: between it and either crosses nothing.
PLACES = {PROTECTIVE: 34.0, NEUTRAL: 62.0, "a": 96.0, "c": 214.0, "b": 332.0}
#: Where the words for what stands in the conductors begin.
WORDS = 366.0
ROOM = ACROSS - MARGIN - WORDS
#: A protective conductor is drawn in dashes and dots.
EARTHING = "7 2 1.5 2"
#: Poles that open together are joined by short dashes.
TOGETHER = "2 2"


def strokes(wire: str) -> str:
    """Return the dashes that a conductor is drawn in."""
    return EARTHING if wire == PROTECTIVE else ""


class Rails:
    """The conductors of a circuit, drawn as far down as something hangs on them."""

    def __init__(self, sheet: Sheet, wires: Wires, y: float) -> None:
        """Begin *wires* at *y* with their names above."""
        self.sheet, self.wires = sheet, wires
        self.tops: dict[str, float] = {}
        for wire in wires.all:
            self.begin(wire, y)

    @property
    def scene(self) -> Scene:
        """The drawing."""
        return self.sheet.scene

    def begin(self, wire: str, y: float, name: str = "") -> None:
        """Begin a conductor at *y* below its name."""
        said = name or self.wires.name(wire)
        self.scene.words(said, (PLACES[wire], y - 4.0), size=9.0, bold=True, middle=True)
        self.tops[wire] = y

    def down(self, wire: str, y: float) -> None:
        """Draw a conductor down to *y*."""
        x, top = PLACES[wire], self.tops[wire]
        if y > top:
            self.scene.line((x, top), (x, y), dashes=strokes(wire))
            self.tops[wire] = y

    def all_down(self, y: float) -> None:
        """Draw every conductor down to *y*."""
        for wire in self.tops:
            self.down(wire, y)

    def poles(self, wires: Wires, count: int) -> tuple[str, ...]:
        """Return the conductors that a switch of *count* poles stands in, the lines first."""
        live = (*wires.lines, *([NEUTRAL] if wires.neutral else []))
        return tuple(wire for wire in live if wire in self.tops)[:count]

    def put(self, symbol: str, standing: Collection[str], texts: list[str], y: float) -> float:
        """Draw a symbol in each conductor, with words aside; return where it ends."""
        places = [PLACES[wire] for wire in standing]
        for wire in standing:
            self.down(wire, y)
            place(self.scene, self.sheet.symbols, symbol, (PLACES[wire], y), down=True)
            self.tops[wire] = y + LENGTH
        if len(places) > 1:
            middle = y + LENGTH / 2.0
            ends = (min(places), middle), (max(places), middle)
            self.scene.line(*ends, weight=0.6, dashes=TOGETHER)
        lines = [line for text in texts for line in wrapped(text, ROOM)]
        end = self.scene.lines(lines, (WORDS, y + LENGTH / 2.0 + 3.5))
        return max(y + LENGTH + 4.0, end - 4.0)

    def device(self, part: ProtectiveDevice, circuit: Circuit, y: float) -> float:
        """Draw a device in the conductors of *circuit*, and return where it ends."""
        words = [self.sheet.device(part, circuit)]
        live = self.poles(self.wires, 9)
        if part.kind == "residual-current":
            self.all_down(y + 10.0)
            first, last = (edge(PLACES[wire] for wire in live) for edge in (min, max))
            across = last - first + 24.0
            ring = (
                f"M0 0a{across / 2.0:g} 6 0 1 0 {across:g} 0a{across / 2.0:g} 6 0 1 0 {-across:g} 0"
            )
            self.scene.path(ring, at=(first - 12.0, y + 10.0))
            end = self.scene.lines(wrapped(words[0], ROOM), (WORDS, y + 13.5))
            return max(y + 22.0, end - 4.0)
        if part.kind == "voltage-relay":
            return self._relay(live, words[0], y)
        return self.put(part.kind, self.poles(self.wires, part.poles), words, y)

    def _relay(self, live: tuple[str, ...], words: str, y: float) -> float:
        """Draw a relay that measures every line, beside the conductors."""
        right = PLACES["b"] + 14.0
        height = 8.0 * (len(live) + 1)
        for n, wire in enumerate(live, start=1):
            at = y + 8.0 * n
            self.down(wire, at)
            self.scene.dot((PLACES[wire], at))
            self.scene.line((PLACES[wire], at), (right, at), weight=0.8)
        self.scene.box((right, y), (right + 14.0, y + height))
        middle = y + height / 2.0 + 3.0
        self.scene.words("U", (right + 7.0, middle), size=9.0, middle=True)
        end = self.scene.lines(wrapped(words, ROOM), (WORDS, middle))
        return max(y + height + 4.0, end - 4.0)

    def laid(self, circuit: Circuit, y: float) -> float:
        """Write what conductors the circuit is laid in, and return where the words end."""
        end = self.scene.lines(wrapped(self.sheet.laid(circuit), ROOM), (WORDS, y + LEADING - 2.0))
        return max(end - LEADING + 8.0, y + 16.0)
