"""What every drawing of a plan has: what it is of, its words for parts, and what a plan is not."""

from ampwright.decision import Decision
from ampwright.diagram.scene import INK, LEADING, SOFT, STOP, Scene, wrapped
from ampwright.equipment.circuit import Circuit
from ampwright.equipment.device import ProtectiveDevice
from ampwright.option import Option
from ampwright.report.figures import measure
from ampwright.report.phrases import conductors, device, licence, machines_by_id, raceway
from ampwright.report.wording import Wording, capital

ACROSS = 840.0
MARGIN = 16.0


class Sheet:
    """A drawing in the making; every part is put below what is there, and says where it ends."""

    def __init__(self, decision: Decision, option: Option, wording: Wording, symbols: str) -> None:
        """Begin an empty sheet for *option*, with one of the sets of *symbols*."""
        self.decision, self.option, self.wording = decision, option, wording
        self.symbols = symbols
        self.machines = machines_by_id(decision)
        self.scene = Scene(ACROSS)

    def named(self, term: str) -> str:
        """Return the word for a *term* of the wiring code, with a capital letter."""
        return capital(self.wording.term(term))

    def heading(self, y: float, title: str) -> float:
        """Write what the drawing shows and which plan it is of; return the next base line."""
        decision, wording, room = self.decision, self.wording, ACROSS - 2.0 * MARGIN
        name = str(decision.shop.name or wording.say("Shop"))
        named = wrapped(name, room, 13.0, bold=True)
        y = self.scene.lines(named, (MARGIN, y), size=13.0, bold=True)
        verdict = wording.word("verdicts", self.option.verdict)
        told = f"{title}: {wording.name(self.option.id)} ({verdict})"
        bad = self.option.verdict == "not-feasible"
        y = self.scene.lines(wrapped(told, room), (MARGIN, y), color=STOP if bad else INK)
        stamp = (
            wording.title(decision.region), f"{wording.say('Plan')} {decision.id}",
            f"ampwright {decision.version}",
        )  # fmt: skip
        return self.scene.lines(wrapped("; ".join(stamp), room), (MARGIN, y), color=SOFT)

    def foot(self, y: float, reached: set[str]) -> float:
        """Name the machines that nothing drawn has *reached*, and say what a plan is not."""
        wording = self.wording
        left = [one.id for one in self.option.machines if one.id not in reached]
        room = ACROSS - 2.0 * MARGIN
        y += LEADING
        if left:
            text = wording.say(
                "Not in this drawing, since no circuit leads there: {names}.",
                names=wording.names_of(left),
            )
            y = self.scene.lines(wrapped(text, room), (MARGIN, y), color=STOP)
        return self.scene.lines(wrapped(licence(wording), room), (MARGIN, y), color=SOFT) - LEADING

    def device(self, part: ProtectiveDevice, circuit: Circuit) -> str:
        """Return a device of *circuit* by class and rating, an overload by its name."""
        if part.kind == "overload":
            return f"{self.named('overload')}: {device(part, self.wording, kind=False)}"
        return device(part, self.wording, lines_v=circuit.voltage_v)

    def laid(self, one: Circuit) -> str:
        """Return conductors, protective conductor, raceway and length in one line."""
        wording = self.wording
        parts = [conductors(one.conductor, wording)]
        if one.protective_conductor is not None:
            term = wording.term("protective-conductor")
            parts.append(f"{term} {conductors(one.protective_conductor, wording)}")
        if one.raceway is not None:
            parts.append(raceway(one.raceway, wording).partition("\n")[0])
        parts.append(measure(one.conductor.length_m, "m", wording.customs))
        return "; ".join(parts)
