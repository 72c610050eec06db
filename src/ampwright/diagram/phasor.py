"""The phasor diagram: voltages and currents at the made leg, to scale, one picture a point."""

import cmath
import math

from ampwright.decision import Decision
from ampwright.diagram.arrows import Plot, nice_length
from ampwright.diagram.phasor_values import SUPPLY, Current, Phasors, phasors, unshown
from ampwright.diagram.scene import LEADING, SOFT, STOP, Scene, wrapped
from ampwright.diagram.sheet import ACROSS, MARGIN, Sheet
from ampwright.diagram.symbols import ANSI
from ampwright.option import Option
from ampwright.report.figures import measure
from ampwright.report.wording import Wording, capital

#: Middles of both pictures, and how high one is.
VOLTS, AMPERES, HEIGHT = 136.0, 378.0, 244.0
#: How long the voltage of the supply is, and the largest current.
SIDE, LONGEST = 158.0, 86.0
#: Columns of the table: mark, words, magnitude, angle.
MARK, WORDS, SIZE, ANGLE = 520.0, 546.0, 716.0, 776.0
SMALL = 9.0
#: Names of the legs of a capacitor.
LEGS = {"a": "L1", "b": "L2", "c": "L3"}


def phasor(
    decision: Decision, option: Option, wording: Wording, symbols: str
) -> tuple[Scene, float]:
    """Return the phasor diagram of *option* and how high it is.

    Args:
        decision: The plan.
        option: The option that is drawn.
        wording: Words of the plan.
        symbols: One of the sets of symbols; by them a voltage is U or V.
    """
    sheet = _PhasorSheet(decision, option, wording, symbols)
    return sheet.scene, sheet.drawn()


class _PhasorSheet(Sheet):
    """A phasor diagram in the making."""

    @property
    def letter(self) -> str:
        """The letter of a voltage."""
        return "V" if self.symbols == ANSI else "U"

    def drawn(self) -> float:
        """Draw everything and return the height."""
        wording, room = self.wording, ACROSS - 2.0 * MARGIN
        y = self.heading(MARGIN + 8.0, wording.say("Phasor diagram"))
        legend = wording.say(
            "Effective values. {volts}12, from line 2 to line 1, lies at 0°; angles count against "
            "the clock. Dashed: a balanced triangle on the same {volts}12. Currents flow from the "
            "{@made-leg}, line 3, into what is named.",
            volts=self.letter,
        )
        y = self.scene.lines(wrapped(legend, room), (MARGIN, y), color=SOFT)
        points = phasors(self.decision, self.option)
        for one in points:
            self.scene.may_end(y)
            with self.scene.group("state", one.state.id):
                y = self._point(one, y + 8.0)
        for name in unshown(self.option):
            text = wording.say(
                "{what}: the plan holds no voltages of three lines for it, so no phasors.",
                what=capital(wording.name(name)),
            )
            y = self.scene.lines(wrapped(text, room), (MARGIN, y + LEADING))
        if not points:
            text = wording.say("The plan holds no operating point with three lines.")
            y = self.scene.lines(wrapped(text, room), (MARGIN, y + LEADING), color=STOP)
        reached = {one.id for one in self.option.machines}
        return self.foot(y + LEADING, reached) + MARGIN

    def _point(self, one: Phasors, y: float) -> float:
        """Draw one operating point below *y*, and return the next free."""
        wording, state = self.wording, one.state
        what = wording.say("Nothing running")
        if state.running:
            load = wording.word("loads", state.load)
            what = capital(", ".join((wording.names_of(state.running), load)))
        if state.converter:
            what = f"{capital(wording.name(state.converter))}: {what}"
        title = wrapped(what, ACROSS - 2.0 * MARGIN, 11.0, bold=True)
        y = self.scene.lines(title, (MARGIN, y + LEADING), size=11.0, bold=True)
        self._voltages(one, y)
        self._currents(one, y)
        return max(self._table(one, y + 6.0), y + HEIGHT) + 6.0

    # the pictures

    def _voltages(self, one: Phasors, y: float) -> None:
        """Draw the triangle of the line voltages over a balanced one, and the earth in it."""
        side = one.corners[0].real
        scale = SIDE / max(abs(each) for each in one.lines)
        middle = (one.corners[0] + one.corners[1]) / 2.0
        plot = Plot(self.scene, (VOLTS, y + HEIGHT - 52.0), scale, middle)
        a, b, c = one.corners
        apex = complex(side / 2.0, side * math.sqrt(3.0) / 2.0)
        for start, end in ((b, apex), (apex, a)):
            plot.stroke(start, end, dashes="4 3")
        arrows = ((b, a), (c, b), (a, c))
        for start, end in arrows:
            plot.arrow(start, end)
        if one.earth is not None:
            plot.point(one.earth)
            plot.near(one.earth, one.earth + 0.001j * side, self.wording.term("earth"), away=10.0)
        for corner, name in zip(one.corners, ("L1", "L2", "L3"), strict=True):
            plot.near(corner, 2.0 * corner - one.centre, name, away=12.0, bold=True)
        for (start, end), name in zip(arrows, ("12", "23", "31"), strict=True):
            half = (start + end) / 2.0
            plot.near(half, 2.0 * half - one.centre, f"{self.letter}{name}", away=13.0)
        self._ruler(VOLTS, y, side, scale, "V")

    def _currents(self, one: Phasors, y: float) -> None:
        """Draw the currents out of one point, with the voltage of the made leg beside them."""
        known = [part.phasor for part in one.currents if part.phasor is not None
                 and part.part != SUPPLY]  # fmt: skip
        largest = max((abs(each) for each in known), default=0.0)
        if largest <= 0.0:
            return
        scale = LONGEST / largest
        plot = Plot(self.scene, (AMPERES, y + 112.0), scale, 0j)
        reach = LONGEST / scale
        along = complex(1.12 * reach, 0.0)
        plot.stroke(0j, along, dashes="1.5 3")
        plot.near(along, 2.0 * along, f"{self.letter}12", away=12.0)
        star = one.corners[2] - one.centre
        tip = cmath.rect(1.12 * reach, cmath.phase(star))
        plot.stroke(0j, tip, dashes="1.5 3")
        plot.near(tip, 2.0 * tip, f"{self.letter}3", away=9.0)
        for each in known:
            plot.arrow(0j, each)
        for n, part in enumerate(one.currents, start=1):
            drawn = part.phasor is not None and part.part != SUPPLY
            if drawn and part.phasor is not None and abs(part.phasor) * scale >= 1.0:
                plot.near(part.phasor, 2.0 * part.phasor, str(n), away=9.0, bold=True)
        self._ruler(AMPERES, y, largest, scale, "A")

    def _ruler(self, x: float, y: float, value: float, scale: float, unit: str) -> None:
        """Draw how long a round number of *unit* is."""
        stated = nice_length(value / 3.0)
        length, at = stated * scale, y + HEIGHT - 8.0
        left = x - length / 2.0
        steps = f"M0 -3V3M0 0H{length:.10g}M{length:.10g} -3V3"
        self.scene.path(steps, at=(left, at), weight=0.9)
        words = measure(stated, unit, self.wording.customs)
        self.scene.words(words, (left + length + 8.0, at + 3.0), size=SMALL)

    # the figures

    def _table(self, one: Phasors, y: float) -> float:
        wording, units = self.wording, self.wording.customs
        y = y + LEADING
        for name, volts in zip(("12", "23", "31"), one.lines, strict=True):
            y = self._line(f"{self.letter}{name}", "", volts, abs(volts), "V", y)
        star = one.corners[2] - one.centre
        words = wording.say("line 3 to the middle of the triangle")
        y = self._line(f"{self.letter}3", words, star, abs(star), "V", y)
        if one.earth is not None:
            earth = one.corners[2] - one.earth
            words = wording.say("line 3 to {@earth}")
            y = self._line("", words, earth, abs(earth), "V", y)
        share = one.state.negative_sequence_fraction
        if share is not None:
            stated = measure(share, "fraction", units, digits=2)
            text = wording.say("negative over positive sequence: {share}", share=stated)
            y = self._written(text, y)
        y += 4.0
        unknown = False
        for n, part in enumerate(one.currents, start=1):
            known = part.phasor is not None
            unknown = unknown or not known
            mark = str(n) if known and part.part != SUPPLY else ""
            y = self._line(mark, self._named(part, one), part.phasor, part.amperes, "A", y)
        if unknown:
            y = self._written(wording.say("No angle: the plan does not tell it."), y)
        if not one.currents:
            y = self._written(wording.say("The plan states no currents of motors here."), y)
        return y

    def _written(self, text: str, y: float) -> float:
        lines = wrapped(text, ACROSS - MARGIN - WORDS, SMALL)
        return self.scene.lines(lines, (WORDS, y), size=SMALL, color=SOFT)

    def _named(self, part: Current, one: Phasors) -> str:
        wording = self.wording
        if not part.part:
            return wording.say("loads that are no motors, as what is left over")
        if part.part == SUPPLY:
            return wording.say("from the supply into line 1")
        owner, _, name = part.part.rpartition("/")
        converter = next(
            (each for each in self.option.converters if each.id == one.state.converter), None
        )
        if converter is not None and owner == converter.id:
            found = next((each for each in converter.capacitors if each.id == name), None)
            if found is not None:
                size = measure(found.capacitance_f, "F", wording.customs)
                between = "–".join(LEGS[leg] for leg in found.between)
                return f"{wording.word('purposes', found.purpose)} {between}: {size}"
        if converter is not None and not owner:
            return wording.say("Idler motor")
        return capital(wording.name(part.part))

    def _line(
        self, mark: str, words: str, value: complex | None, size: float, unit: str, y: float
    ) -> float:
        """Write one line of the table: mark, words, magnitude and angle."""
        self.scene.words(mark, (MARK, y), size=SMALL, bold=True)
        told = measure(size, unit, self.wording.customs)
        self.scene.words(told, (SIZE, y), size=SMALL)
        if value is not None:
            degrees = math.degrees(cmath.phase(value)) if abs(value) else 0.0
            text = f"{degrees + 0.0:.1f}".replace("-", "−")
            text = "0.0" if text == "−0.0" else text
            self.scene.words(f"{self.wording.language.number(text)}°", (ANGLE, y), size=SMALL)
        lines = wrapped(words, SIZE - WORDS - 6.0, SMALL)
        return max(self.scene.lines(lines, (WORDS, y), size=SMALL), y + LEADING * 0.9)
