"""The connection diagram: every single conductor, from the panel through converters to motors.

Each circuit that something goes on from runs downwards with all its conductors; what ends at a
machine is tapped from it to the right. What the plan does not hold is said, never drawn.
"""

from collections import deque

from ampwright.decision import Decision
from ampwright.diagram.connection_row import row
from ampwright.diagram.ends import row_ends
from ampwright.diagram.equipment_box import capacitor_set, converter_box, transformer_box
from ampwright.diagram.links import motor_links
from ampwright.diagram.rails import WORDS, Rails
from ampwright.diagram.scene import LEADING, SOFT, Scene, wrapped
from ampwright.diagram.sheet import ACROSS, MARGIN, Sheet
from ampwright.diagram.terminal_box import terminal_boxes
from ampwright.diagram.tree import Branch, branches
from ampwright.diagram.wires import PROTECTIVE, Wires, wires
from ampwright.equipment.converter import Converter
from ampwright.option import Option
from ampwright.report.phrases import converter_title, transformer_title
from ampwright.report.wording import Wording, capital

GAP = 10.0
#: How a plan says that a contactor stands between a converter and what it feeds.
CONTACTOR = "output-contactor"
DISCHARGE = "capacitor-discharge"


def connection(
    decision: Decision, option: Option, wording: Wording, symbols: str, *, whole: bool = True
) -> tuple[Scene, float]:
    """Return the connection diagram of *option* and how high it is.

    Args:
        decision: The plan.
        option: The option that is drawn.
        wording: Words of the plan.
        symbols: One of the sets of symbols.
        whole: What hangs on the panel without a converter is drawn, too.
    """
    sheet = _Connections(decision, option, wording, symbols)
    return sheet.scene, sheet.drawn(whole=whole)


class _Connections(Sheet):
    """A connection diagram in the making."""

    def drawn(self, *, whole: bool) -> float:
        """Draw everything and return the height."""
        say = self.wording.say
        hanging = branches(self.option)
        y = self.heading(MARGIN + 8.0, say("Connection diagram"))
        legend = say(
            "PE: {@protective-conductor}. A dot joins lines; lines that cross without a dot do not "
            "touch. Wiring of controls, and inside what is bought complete, is its maker's."
        )
        y = self.scene.lines(wrapped(legend, ACROSS - 2.0 * MARGIN), (MARGIN, y), color=SOFT)
        self.waiting: deque[tuple[Branch, str]] = deque()
        panel = self.named("panel")
        at_panel = tuple(one for one in hanging if one.ends and whole)
        self.waiting.extend((one, panel) for one in hanging if not one.ends)
        while self.waiting:
            one, origin = self.waiting.popleft()
            y = self._section(one, origin, y)
        if at_panel:
            y = self._panel(at_panel, panel, y)
        y = terminal_boxes(self, motor_links(self.decision, self.option), y + GAP)
        reached = {name for one in hanging for name in one.reached()}
        return self.foot(y, reached) + MARGIN

    # a trunk: what something goes on from

    def _section(self, one: Branch, origin: str, y: float) -> float:
        """Draw a branch from its beginning on, below a heading of its own."""
        scene, wording = self.scene, self.wording
        scene.may_end(y, well=True)
        names = [capital(converter_title(part, wording)) for part in one.converters]
        names += [capital(transformer_title(part, wording)) for part in one.transformers]
        if not names and one.circuit is not None:
            names = [capital(wording.name(one.circuit.id))]
        room = ACROSS - 2.0 * MARGIN
        y = scene.lines(wrapped("; ".join(names), room, 11.0, bold=True),
                        (MARGIN, y + LEADING + 4.0), size=11.0, bold=True)  # fmt: skip
        circuit = one.circuit
        if circuit is None:
            text = wording.say("No circuit of the plan feeds it.")
            y = scene.lines(wrapped(text, room), (MARGIN, y), color=SOFT)
            held = Wires(lines=("a", "b"))
        else:
            text = wording.say("From: {what}", what=origin)
            if circuit.phases == 3 and not circuit.fed_from:
                text = wording.say("From: a three-phase supply of its own")
            y = scene.lines(wrapped(text, room), (MARGIN, y), color=SOFT)
            held = wires(circuit, self.decision.shop.supply)
        rails = Rails(self, held, y + 6.0)
        return self._inline(one, rails, y + 10.0) + GAP

    def _inline(self, one: Branch, rails: Rails, y: float) -> float:
        """Draw a branch in the conductors of *rails*, with all that goes on from it."""
        circuit = one.circuit
        # what is above belongs to no circuit, so that a page may end there
        rails.all_down(y)
        self.scene.may_end(y)
        if circuit is not None:
            with self.scene.group("circuit", circuit.id):
                title = wrapped(capital(self.wording.name(circuit.id)), 400.0, bold=True)
                y = self.scene.lines(title, (WORDS, y + 8.0), bold=True) - 6.0
                for part in circuit.devices_at_head:
                    y = rails.device(part, circuit, y)
                y = rails.laid(circuit, y)
                switch = [circuit.disconnect] if circuit.disconnect is not None else []
                for part in (*switch, *circuit.overloads):
                    y = rails.device(part, circuit, y)
                rails.all_down(y)
        for transformer in one.transformers:
            with self.scene.group("transformer", transformer.id):
                y = transformer_box(rails, transformer, y + 4.0)
        for converter in one.converters:
            with self.scene.group("converter", converter.id):
                y = self._converter(converter, one, rails, y + 4.0)
            for joining in self.option.converters:
                if joining.joins == converter.id:
                    with self.scene.group("converter", joining.id):
                        y = capacitor_set(rails, joining, y + 4.0)
        return self._behind(one, rails, y)

    def _converter(self, part: Converter, one: Branch, rails: Rails, y: float) -> float:
        """Draw a converter that is wired from parts as such, any other as a box."""
        idler = any(branch.circuit is not None and branch.circuit.role == "idler"
                    for branch in one.behind)  # fmt: skip
        if part.capacitors or idler:
            return capacitor_set(rails, part, y)
        made = any(branch.circuit is not None and branch.circuit.conductor.count == 4
                   and branch.circuit.phases == 3 for branch in one.behind)  # fmt: skip
        return converter_box(rails, part, y, neutral=made)

    def _behind(self, one: Branch, rails: Rails, y: float) -> float:
        """Draw what goes on from a branch: idlers, the contactor, then all others."""
        idlers = [part for part in one.behind if part.idler is not None and part.ends]
        others = [part for part in one.behind if part not in idlers]
        if one.machines:
            others.append(Branch(circuit=None, machines=one.machines))
        for part in idlers:
            y = self._row(part, rails, y)
        for converter in one.converters:
            y = self._contactor(converter, rails, y) if others else y
        trunks = [part for part in others if not part.ends]
        for part in others:
            if part.ends:
                y = self._row(part, rails, y)
        if len(trunks) == 1:
            held = trunks[0].circuit
            if held is None or self._fits(trunks[0], rails):
                return self._inline(trunks[0], rails, y + GAP)
        ids = [part.id for part in one.converters] + [part.id for part in one.transformers]
        if not ids and one.circuit is not None:
            ids = [one.circuit.id]
        origin = self.wording.listed(self.wording.name(name) for name in ids)
        self.waiting.extend((part, capital(origin)) for part in trunks)
        return y

    def _fits(self, one: Branch, rails: Rails) -> bool:
        """Tell whether a branch has no conductor that the rails lack."""
        if one.circuit is None:
            return True
        return set(wires(one.circuit, self.decision.shop.supply).lines) <= set(rails.tops)

    def _contactor(self, part: Converter, rails: Rails, y: float) -> float:
        """Draw the contactor that a converter's output has to have, where it has to."""
        wanted = [one for one in part.protective_features if one.startswith(CONTACTOR)]
        if not wanted:
            return y
        words = [capital(self.wording.word("features", one)) for one in wanted]
        live = [wire for wire in rails.tops if wire != PROTECTIVE]
        return rails.put("contact", live, words, y + 6.0)

    # what ends at machines

    def _row(self, one: Branch, rails: Rails, y: float) -> float:
        y += 6.0
        self.scene.may_end(y)
        ends = row_ends(one, self.machines, self.wording)
        held = rails.wires
        if one.circuit is not None:
            held = wires(one.circuit, self.decision.shop.supply)
        return row(rails, one.circuit, held, ends, y)

    def _panel(self, hanging: tuple[Branch, ...], panel: str, y: float) -> float:
        """Draw what hangs on the panel without a converter."""
        supply = self.decision.shop.supply
        scene = self.scene
        scene.may_end(y, well=True)
        y = scene.lines([panel], (MARGIN, y + LEADING + 4.0), size=11.0, bold=True)
        all_wires = [wires(one.circuit, supply) for one in hanging if one.circuit is not None]
        legs = {wire for one in all_wires for wire in one.all}
        held = Wires(
            lines=tuple(wire for wire in "abc" if wire in legs or wire in "ab"),
            earthed=supply.arrangement == "line-neutral",
            neutral="n" in legs,
            protective="pe" in legs,
        )
        rails = Rails(self, held, y + 6.0)
        y += 6.0
        for one in hanging:
            y = self._row(one, rails, y)
        return y + GAP
