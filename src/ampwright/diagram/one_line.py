"""The one-line diagram: from the service over the panel to every machine.

A circuit that something goes on from runs downwards, and what goes on hangs on it; one that ends
at a machine runs to the right in a row of its own, so that no label meets another, however long
the shop.
"""

from collections.abc import Iterable

from ampwright.decision import Decision
from ampwright.diagram.ends import End, row_ends
from ampwright.diagram.scene import LEADING, SOFT, Scene, wrapped
from ampwright.diagram.sheet import ACROSS, MARGIN, Sheet
from ampwright.diagram.symbols import HALF, LENGTH, place
from ampwright.diagram.tree import Branch, branches, service
from ampwright.equipment.circuit import Circuit
from ampwright.equipment.converter import Converter
from ampwright.option import Option
from ampwright.report.figures import measure
from ampwright.report.phrases import (
    capacitor,
    converter_title,
    device,
    transformer_title,
)
from ampwright.report.wording import Wording, capital

#: Where a row has its switch, its overload, its machine, and the words for the machine.
SWITCH, OVERLOAD, MACHINE, NAME = 462.0, 566.0, 676.0, 712.0
#: How far what goes on stands to the right of what it hangs on.
STEP = 34.0
GAP = 10.0
BUS = 2.6
#: From the end of a symbol to its words.
ASIDE = 20.0


def one_line(
    decision: Decision, option: Option, wording: Wording, symbols: str
) -> tuple[Scene, float]:
    """Return the diagram of *option* and how high it is.

    Args:
        decision: The plan.
        option: The option that is drawn.
        wording: Words of the plan.
        symbols: One of the sets of symbols.
    """
    sheet = _Sheet(decision, option, wording, symbols)
    return sheet.scene, sheet.drawn()


class _Sheet(Sheet):
    """A one-line diagram in the making."""

    def drawn(self) -> float:
        """Draw everything and return the height."""
        hanging = branches(self.option)
        x = MARGIN + 8.0
        y = self._service(x, self.heading(MARGIN + 8.0, self.wording.say("One-line diagram")))
        self.scene.words(self.named("panel"), (x + ASIDE, y + 4.0), bold=True)
        top = y
        y = last = y + 16.0
        for one in hanging:
            last, y = self._branch(one, x, y)
        self.scene.line((x, top - 8.0), (x, max(last, top + 8.0)), weight=2.0 * BUS)
        reached = {name for one in hanging for name in one.reached()}
        return self.foot(y + GAP, reached) + MARGIN

    # the parts from the service to the panel

    def _service(self, x: float, y: float) -> float:
        supply, wording = self.decision.shop.supply, self.wording
        place(self.scene, self.symbols, "source", (x, y), down=True)
        facts = [wording.choice(str(supply.arrangement))] if supply.arrangement else []
        for value, unit in (
            (supply.voltage_v, "V"), (supply.frequency_hz, "Hz"), (supply.rating_a, "A"),
        ):  # fmt: skip
            if value is not None:
                facts.append(measure(value, unit, wording.customs, digits=6))
        title = self.named("service")
        self.scene.words(title, (x + ASIDE, y + 12.0), bold=True)
        self.scene.lines(
            wrapped(", ".join(facts), ACROSS - x - ASIDE - MARGIN), (x + ASIDE, y + 12.0 + LEADING)
        )
        y += LENGTH
        feeder = service(self.option)
        if feeder is not None:
            with self.scene.group("circuit", feeder.id):
                y = self._downwards(feeder, x, y, titled=False)
        self.scene.line((x, y), (x, y + 12.0))
        return y + 20.0

    # a circuit and what hangs on it

    def _branch(self, one: Branch, x: float, y: float) -> tuple[float, float]:
        """Draw *one* on the bus at *x* and return where it leaves the bus, and the next free."""
        self.scene.may_end(y)
        if one.ends:
            return self._row(one, x, y)
        return self._trunk(one, x, y)

    def _trunk(self, one: Branch, bus: float, y: float) -> tuple[float, float]:
        x = bus + STEP
        leaves = y + 6.0
        self.scene.line((bus, leaves), (x, leaves))
        self.scene.line((x, leaves), (x, leaves + 4.0))
        y = leaves + 4.0
        if one.circuit is not None:
            with self.scene.group("circuit", one.circuit.id):
                y = self._downwards(one.circuit, x, y, titled=True)
        for transformer in one.transformers:
            title = capital(transformer_title(transformer, self.wording))
            with self.scene.group("transformer", transformer.id):
                y = self._stacked("transformer", [title], x, y)
        for converter in one.converters:
            with self.scene.group("converter", converter.id):
                y = self._converter(converter, x, y)
        top = last = y
        parts = one.behind
        if one.machines:
            parts = (*parts, Branch(circuit=None, machines=one.machines))
        y += 6.0
        for part in parts:
            last, y = self._branch(part, x, y)
        self.scene.line((x, top), (x, last), weight=BUS)
        return leaves, y

    def _downwards(self, one: Circuit, x: float, y: float, *, titled: bool) -> float:
        if titled:
            title = wrapped(capital(self.wording.name(one.id)), self._room(x), bold=True)
            end = self.scene.lines(title, (x + ASIDE, y + 2.0), bold=True)
            self.scene.line((x, y), (x, end - 6.0))
            y = end - 6.0
        for part in one.devices_at_head:
            y = self._stacked(part.kind, [self.device(part, one)], x, y)
        laid = wrapped(self.laid(one), self._room(x))
        end = self.scene.lines(laid, (x + ASIDE, y + 10.0))
        below = max(end - 6.0, y + 16.0)
        self.scene.line((x, y), (x, below))
        self._strands(one, (x, (y + below) / 2.0), down=True)
        y = below
        for part in (*([one.disconnect] if one.disconnect else []), *one.overloads):
            y = self._stacked(part.kind, [self.device(part, one)], x, y)
        return y

    def _stacked(self, symbol: str, texts: Iterable[str], x: float, y: float) -> float:
        lines = [line for text in texts for line in wrapped(text, self._room(x))]
        place(self.scene, self.symbols, symbol, (x, y), down=True)
        end = self.scene.lines(lines, (x + ASIDE, y + LENGTH / 2.0 + 3.5))
        below = max(y + LENGTH, end - 4.0)
        self.scene.line((x, y + LENGTH), (x, below))
        return below

    def _room(self, x: float) -> float:
        return ACROSS - MARGIN - x - ASIDE

    def _converter(self, one: Converter, x: float, y: float) -> float:
        wording = self.wording
        left, right = x + ASIDE + 6.0, 470.0
        self.scene.line((x, y), (x, y + 6.0))
        y += 6.0
        place(self.scene, self.symbols, "converter", (x, y), down=True)
        room = (right if one.capacitors else ACROSS) - left - MARGIN
        end = self.scene.lines(
            wrapped(converter_title(one, wording), room, bold=True), (left, y + 10.0), bold=True
        )
        features = (wording.word("features", part) for part in one.protective_features)
        told = wrapped("; ".join(features), room)
        end = self.scene.lines(told, (left, end), color=SOFT)
        beside = y + 7.0
        for part in one.capacitors:
            place(self.scene, self.symbols, "capacitor", (right, beside), down=False)
            words = wrapped(capacitor(part, wording), ACROSS - MARGIN - right - LENGTH - 6.0)
            beside = self.scene.lines(words, (right + LENGTH + 6.0, beside + 3.5)) + 2.0
        below = max(y + LENGTH, end - 6.0, beside - 10.0)
        self.scene.line((x, y + LENGTH), (x, below))
        return below

    # a row to the right, with what it ends at

    def _row(self, one: Branch, bus: float, y: float) -> tuple[float, float]:
        ends = row_ends(one, self.machines, self.wording)
        circuit = one.circuit
        if circuit is None:
            return self._heads(ends, bus, bus, y)
        with self.scene.group("circuit", circuit.id):
            return self._circuit_row(circuit, ends, bus, y)

    def _circuit_row(
        self, circuit: Circuit, ends: list[End], bus: float, y: float
    ) -> tuple[float, float]:  # fmt: skip
        at = y + 18.0
        x = bus + GAP
        self.scene.line((bus, at), (x, at))
        parts = circuit.devices_at_head
        for part in parts:
            place(self.scene, self.symbols, part.kind, (x, at), down=False)
            x += LENGTH
        room = SWITCH - 2.0 * GAP - x
        name = wrapped(capital(self.wording.name(circuit.id)), room - 8.0, bold=True)
        self.scene.words(name[0], (x + 6.0, at - 5.0), bold=True)
        left = bus + GAP + 4.0
        texts = [*name[1:]]
        y_next = self.scene.lines(texts, (x + 6.0, at + LEADING), bold=True) if texts else at + 19.0
        devices = ", ".join(self.device(part, circuit) for part in parts)
        for text in (*([devices] if devices else []), self.laid(circuit)):
            y_next = self.scene.lines(wrapped(text, SWITCH - GAP - left), (left, y_next))
        self._strands(circuit, (SWITCH - GAP, at), down=False)
        self.scene.line((x, at), (SWITCH, at))
        after = SWITCH
        if circuit.disconnect is not None:
            place(self.scene, self.symbols, circuit.disconnect.kind, (SWITCH, at), down=False)
            after += LENGTH
            words = device(circuit.disconnect, self.wording, kind=False)
            below = self.scene.lines(
                wrapped(words, OVERLOAD - SWITCH - GAP), (SWITCH + 2.0, at + 19.0)
            )
            y_next = max(y_next, below)
        _, below = self._heads(ends, after, OVERLOAD, at - 18.0)
        return at, max(y_next - LEADING + 4.0, below - GAP) + GAP

    def _heads(
        self, ends: list[End], start: float, bus: float, y: float
    ) -> tuple[float, float]:  # fmt: skip
        """Draw what a row ends at, one below the other, and return the last line and the next."""
        first = at = y + 18.0
        joint = OVERLOAD - 8.0 if bus == OVERLOAD else bus
        for n, end in enumerate(ends):
            begin = start if not n else joint
            x = begin
            below = at + HALF
            if end.overload is not None:
                self.scene.line((x, at), (OVERLOAD, at))
                place(self.scene, self.symbols, end.overload.kind, (OVERLOAD, at), down=False)
                words = device(end.overload, self.wording, kind=False)
                told = wrapped(words, MACHINE - OVERLOAD - GAP)
                below = max(below, self.scene.lines(told, (OVERLOAD, at + 19.0)) - 8.0)
                x = OVERLOAD + LENGTH
            self.scene.line((x, at), (MACHINE, at))
            below = max(below, self._end(end, at))
            last, at = at, below + 8.0 + HALF
        if len(ends) > 1:
            self.scene.line((joint, first), (joint, last), weight=BUS)
        return (last if ends else first), (below + GAP if ends else first + GAP)

    def _end(self, end: End, at: float) -> float:
        with self.scene.group("machine" if end.machine else "end", end.machine or end.title):
            place(self.scene, self.symbols, end.symbol, (MACHINE, at), down=False)
            room = ACROSS - MARGIN / 2.0 - NAME
            title = wrapped(end.title, room, bold=True)
            words = wrapped(end.words, room)
            up = min(12.0, LEADING * (len(title) + len(words) - 1) / 2.0) - 3.0
            below = self.scene.lines(title, (NAME, at - up), bold=True)
            return max(self.scene.lines(words, (NAME, below)) - 8.0, at + HALF)

    # marks

    def _strands(self, one: Circuit, at: tuple[float, float], *, down: bool) -> None:
        """Mark a line with how many live conductors it stands for."""
        x, y = at
        self.scene.line((x - 3.5, y + 3.5), (x + 3.5, y - 3.5))
        count = str(one.conductor.count)
        self.scene.words(count, (x - 12.0, y + 3.0) if down else (x - 2.5, y - 5.5), size=8.0)
