"""A circuit that ends at motors or loads: its single conductors, tapped from rails to the right."""

from ampwright.diagram.ends import End
from ampwright.diagram.rails import PLACES, TOGETHER, Rails, strokes
from ampwright.diagram.scene import LEADING, SOFT, wrapped
from ampwright.diagram.sheet import ACROSS, MARGIN, Sheet
from ampwright.diagram.symbols import LENGTH, place
from ampwright.diagram.wires import NEUTRAL, PROTECTIVE, Wires
from ampwright.equipment.circuit import Circuit
from ampwright.report.phrases import device
from ampwright.report.wording import capital

#: Where a row has its device, its switch, the joints of several motors, the overload, the machine
#: and the words for it.
DEVICE, SWITCH, JOINT, OVERLOAD, MACHINE, NAME = 358.0, 462.0, 540.0, 570.0, 678.0, 718.0
#: Where the names of the conductors stand.
BESIDE = (PLACES["b"] + DEVICE) / 2.0
#: From one conductor to the next.
PITCH = 21.0
RADIUS = 34.0
#: A guard that is drawn as a ring around the lines; any other stands on them.
RING = "residual-current"
#: How a plan says that an overload is no device of its own.
INSIDE = "in the drive"
#: Words below the lines.
SMALL = 8.5
#: Terminals of a motor of three phases.
MOTOR = {"a": "U", "b": "V", "c": "W", NEUTRAL: "N", PROTECTIVE: "PE"}


def row(rails: Rails, circuit: Circuit | None, wires: Wires, ends: list[End], y: float) -> float:
    """Draw *circuit* as a row below *y* and return the next free.

    Args:
        rails: The conductors that it is tapped from.
        circuit: The circuit; ``None`` where the machine hangs on the rails themselves.
        wires: Its conductors.
        ends: What it ends at.
        y: Where the row may begin.
    """
    return _Row(rails, circuit, wires).drawn(ends, y)


class _Row:
    """A row in the making."""

    def __init__(self, rails: Rails, circuit: Circuit | None, wires: Wires) -> None:
        self.rails, self.circuit = rails, circuit
        self.sheet: Sheet = rails.sheet
        self.scene = rails.scene
        self.wires = tuple(wire for wire in wires.all if wire in rails.tops)
        self.lines = tuple(wire for wire in self.wires if wire != PROTECTIVE)
        self.held = wires

    def drawn(self, ends: list[End], y: float) -> float:
        head, texts = self._heads()
        y += LEADING
        at = y + LEADING * (len(head) + len(texts)) + (20.0 if self._relayed() else 4.0)
        for n, wire in enumerate(self.wires):
            level = at + n * PITCH
            self.rails.down(wire, level)
        if self.circuit is None:
            return self._body(ends, head, texts, y, at)
        with self.scene.group("circuit", self.circuit.id):
            return self._body(ends, head, texts, y, at)

    def _relayed(self) -> bool:
        """Tell whether a relay stands above the lines."""
        guards = () if self.circuit is None else self.circuit.guards
        return any(one.kind != RING for one in guards)

    def _heads(self) -> tuple[list[str], list[str]]:
        wording, room = self.sheet.wording, ACROSS - MARGIN - DEVICE
        if self.circuit is None:
            return [], []
        head = wrapped(capital(wording.name(self.circuit.id)), room, bold=True)
        told = [self.sheet.laid(self.circuit)]
        if self.held.either:
            told.append(wording.say("On which of the lines it hangs is not in the plan."))
        lacking = [self.held.name(wire) for wire in self.held.all if wire not in self.wires]
        if lacking:
            text = wording.say(
                "What it hangs on has no such conductor in the plan: {names}.",
                names=", ".join(lacking),
            )
            told.append(text)
        return head, [line for text in told for line in wrapped(text, room)]

    def _body(
        self, ends: list[End], head: list[str], texts: list[str], y: float, at: float
    ) -> float:
        y = self.scene.lines(head, (DEVICE, y), bold=True)
        self.scene.lines(texts, (DEVICE, y), color=SOFT)
        for n, wire in enumerate(self.wires):
            level = at + n * PITCH
            self.scene.dot((PLACES[wire], level))
            start = (PLACES[wire], level)
            self.scene.line(start, (DEVICE, level), dashes=strokes(wire))
            name = self.held.name(wire)
            self.scene.words(name, (BESIDE, level - 3.0), size=7.5, middle=True)
        below = at + PITCH * (len(self.wires) - 1) + 14.0
        under = self._parts(at, below)
        last = below
        for n, end in enumerate(ends):
            first = not n
            level = at if first else max(last + 12.0, at)
            last = self._end(end, level, at, alone=len(ends) == 1)
        return max(under, last) + 4.0

    def _parts(self, at: float, below: float) -> float:
        """Draw device, guards and switch in the lines, and return where the words below end."""
        under, x = below, DEVICE
        poles = 0
        if self.circuit is not None:
            parts = self.circuit.devices_at_head
            if self.circuit.protective_device in parts:
                one = self.circuit.protective_device
                poles = self._symbol(one.kind, one.poles, x, at)
            told = [self.sheet.device(one, self.circuit) for one in parts]
            lines = [line for text in told for line in wrapped(text, SWITCH - DEVICE - 6.0, SMALL)]
            under = max(under, self.scene.lines(lines, (x, below), size=SMALL))
            self._guards(at)
        self._straight(DEVICE + LENGTH, SWITCH, at, skip=0)
        self._straight(DEVICE, DEVICE + LENGTH, at, skip=poles)
        switched = 0
        if self.circuit is not None and self.circuit.disconnect is not None:
            part = self.circuit.disconnect
            switched = self._symbol(part.kind, part.poles, SWITCH, at)
            words = device(part, self.sheet.wording, kind=False)
            lines = wrapped(words, JOINT - SWITCH - 6.0, SMALL)
            under = max(under, self.scene.lines(lines, (SWITCH, below), size=SMALL))
        self._straight(SWITCH, SWITCH + LENGTH, at, skip=switched)
        self._straight(SWITCH + LENGTH, JOINT, at, skip=0)
        return under

    def _symbol(self, kind: str, poles: int, x: float, at: float) -> int:
        """Draw a symbol in the first lines, and return in how many."""
        count = min(poles, len(self.lines))
        for n in range(count):
            place(self.scene, self.sheet.symbols, kind, (x, at + n * PITCH), down=False)
        if count > 1:
            middle = x + LENGTH / 2.0
            end = (middle, at + (count - 1) * PITCH)
            self.scene.line((middle, at), end, weight=0.6, dashes=TOGETHER)
        return count

    def _straight(self, start: float, end: float, at: float, *, skip: int) -> None:
        """Draw the conductors on, but for the first *skip* lines."""
        for n, wire in enumerate(self.wires):
            if n >= skip:
                level = at + n * PITCH
                self.scene.line((start, level), (end, level), dashes=strokes(wire))

    def _guards(self, at: float) -> None:
        """Draw what watches the lines behind the device: a ring around them, or a relay on them."""
        if self.circuit is None:
            return
        height = PITCH * (len(self.lines) - 1)
        x = DEVICE + LENGTH + 10.0
        for guard in self.circuit.guards:
            if guard.kind == RING:
                half = height / 2.0 + 7.0
                ring = f"M0 0a5 {half:g} 0 1 0 0 {2.0 * half:g}a5 {half:g} 0 1 0 0 {-2.0 * half:g}"
                self.scene.path(ring, at=(x, at - 7.0))
            else:
                self.scene.line((x, at - 4.0), (x, at + height), weight=0.8)
                for n in range(len(self.lines)):
                    self.scene.dot((x, at + n * PITCH))
                self.scene.box((x - 7.0, at - 18.0), (x + 7.0, at - 4.0))
                self.scene.words("U", (x, at - 8.0), size=9.0, middle=True)
            x += 16.0

    def _end(self, end: End, level: float, at: float, *, alone: bool) -> float:
        """Draw one motor or load with its overload; return where it ends."""
        poles = 0
        below = level + PITCH * (len(self.wires) - 1) + 14.0
        under = below
        for n, wire in enumerate(self.wires):
            here = level + n * PITCH
            joint = JOINT + 7.0 * n
            if not alone:
                self.scene.dot((joint, here))
            if level != at:
                self.scene.line((joint, at + n * PITCH), (joint, here), dashes=strokes(wire))
                self.scene.line((joint, here), (OVERLOAD, here), dashes=strokes(wire))
            else:
                self.scene.line((JOINT, here), (OVERLOAD, here), dashes=strokes(wire))
        if end.overload is not None:
            words = device(end.overload, self.sheet.wording, kind=False)
            if end.overload.curve == INSIDE:
                words = f"{self.sheet.named('overload')}: {words}"
            else:
                poles = self._symbol(end.overload.kind, end.overload.poles, OVERLOAD, level)
            lines = wrapped(words, MACHINE - RADIUS - OVERLOAD + 8.0, SMALL)
            under = max(under, self.scene.lines(lines, (OVERLOAD, below), size=SMALL))
        self._straight(OVERLOAD, OVERLOAD + LENGTH, level, skip=poles)
        return max(under, self._machine(end, level))

    def _machine(self, end: End, level: float) -> float:
        """Draw what stands at the end, with its terminals, and return where it ends."""
        scene = self.scene
        height = PITCH * (len(self.wires) - 1)
        middle = level + height / 2.0
        motor = end.symbol.startswith("motor")
        three = "c" in self.lines
        left = MACHINE - RADIUS
        kind = "machine" if end.machine else "end"
        with scene.group(kind, end.machine or end.title or "motor"):
            if motor:
                scene.path(f"M{-RADIUS:g} 0a{RADIUS:g} {RADIUS:g} 0 1 0 {2 * RADIUS:g} 0"
                           f"a{RADIUS:g} {RADIUS:g} 0 1 0 {-2 * RADIUS:g} 0",
                           at=(MACHINE, middle))  # fmt: skip
            else:
                half = height / 2.0 + 8.0
                scene.box((left, middle - half), (MACHINE + RADIUS, middle + half))
            if motor:
                scene.words("M", (MACHINE, middle), size=11.0, middle=True)
                scene.words(
                    "3~" if three else "1~", (MACHINE, middle + 12.0), size=9.0, middle=True
                )
            for n, wire in enumerate(self.wires):
                here = level + n * PITCH
                edge = left
                if motor:
                    away = min(abs(here - middle), RADIUS)
                    edge = MACHINE - (RADIUS**2 - away**2) ** 0.5
                scene.line((OVERLOAD + LENGTH, here), (edge, here), dashes=strokes(wire))
                if motor and abs(here - middle) > RADIUS:
                    # the outer ones of five pass beyond the circle and turn down to it
                    side = RADIUS if here > middle else -RADIUS
                    scene.line((edge, here), (edge, middle + side), dashes=strokes(wire))
                mark = MOTOR[wire] if motor and three else self.held.name(wire)
                scene.words(mark, (left - 14.0, here - 3.0), size=8.0, middle=True)
            room = ACROSS - MARGIN / 2.0 - NAME
            title, words = wrapped(end.title, room, bold=True), wrapped(end.words, room)
            top = middle + 3.0 - LEADING * (len(title) + len(words) - 1) / 2.0
            top = max(top, level - 4.0)
            below = scene.lines(title, (NAME, top), bold=True)
            below = scene.lines(words, (NAME, below))
            return max(below, middle + height / 2.0 + 14.0, middle + RADIUS + 10.0)
