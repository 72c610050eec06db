"""Drawings of a plan, by the kinds that there are."""

from ampwright.bounds import hint
from ampwright.decision import Decision
from ampwright.diagram.connection import connection
from ampwright.diagram.one_line import one_line
from ampwright.diagram.phasor import phasor
from ampwright.diagram.picture import Diagram
from ampwright.diagram.symbols import ANSI, IEC, SETS
from ampwright.errors import InputError
from ampwright.option import Option
from ampwright.report.phrases import wording_of
from ampwright.report.wording import Wording

_DRAWN = {"one-line": one_line, "connection": connection, "phasor": phasor}
KINDS = tuple(_DRAWN)
_FAMILY_SYMBOLS = {"nec": ANSI}


def diagram(
    decision: Decision,
    option: Option | None,
    *,
    kind: str = "one-line",
    symbols: str | None = None,
    language: str | None = None,
) -> Diagram:
    """Return a drawing of *option*.

    Args:
        decision: The plan.
        option: The option; ``None`` where the plan has none.
        kind: One of `KINDS`.
        symbols: ``"iec"`` or ``"ansi"``; ``None`` for what is usual under the region.
        language: The reader's, as of a report.

    Raises:
        InputError: There are no such drawings, symbols or texts, or the plan has no option.
    """
    if kind not in KINDS:
        wanted = f"one of {', '.join(KINDS)}"
        raise InputError(kind, wanted, "kind", code="diagram.unknown", remedy=hint(kind, KINDS))
    chosen = _FAMILY_SYMBOLS.get(decision.region.family, IEC) if symbols is None else symbols
    if chosen not in SETS:
        wanted = f"one of {', '.join(SETS)}"
        raise InputError(
            symbols, wanted, "symbols", code="symbols.unknown", remedy=hint(symbols, SETS)
        )
    if option is None:
        wanted = "a plan with an option that can be drawn"
        raise InputError(decision.id, wanted, "option", code="diagram.nothing")
    wording = wording_of(decision, language)
    scene, height = _DRAWN[kind](decision, option, wording, chosen)
    title = f"{decision.shop.name or decision.id}: {wording.name(option.id)}"
    return Diagram(kind=kind, symbols=chosen, option=option.id, svg=scene.svg(0.0, height, title))


def pages(
    decision: Decision, option: Option, wording: Wording, most: float, *, kind: str = "one-line"
) -> tuple[str, ...]:
    """Return a drawing for a report as SVG in parts, from top to bottom.

    Args:
        decision: The plan.
        option: The option that is drawn.
        wording: Words of the plan.
        most: How high a part may be, where the drawing is 840 wide.
        kind: ``"one-line"``, or ``"connection"``: converters, transformers and what is behind
            them; nothing where there are none.
    """
    symbols = _FAMILY_SYMBOLS.get(decision.region.family, IEC)
    if kind == "connection":
        if not (option.converters or option.transformers):
            return ()
        scene, height = connection(decision, option, wording, symbols, whole=False)
        title = wording.say("Connection diagram")
    else:
        scene, height = one_line(decision, option, wording, symbols)
        title = wording.say("One-line diagram")
    return tuple(scene.svg(top, end, title) for top, end in scene.pages(height, most))
