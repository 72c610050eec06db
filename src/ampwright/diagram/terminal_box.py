"""The terminal boxes of motors: which leads go to which line, and which are joined."""

from ampwright.diagram.links import Leads, MotorLink
from ampwright.diagram.scene import LEADING, SOFT, wrapped
from ampwright.diagram.sheet import ACROSS, MARGIN, Sheet
from ampwright.report.figures import measure
from ampwright.report.wording import Wording, capital

#: How many boxes stand side by side, and how wide one is.
ABREAST = 4
ROOM = (ACROSS - 2.0 * MARGIN) / ABREAST
#: From one terminal to the next.
PITCH = 30.0
#: Voltages of plates are whole numbers.
DIGITS = 3
_RING = "M-4 0a4 4 0 1 0 8 0a4 4 0 1 0 -8 0"


def link_word(link: str, wording: Wording) -> str:
    """Return the name of a link in the reader's language."""
    return {
        "star": wording.say("star"),
        "delta": wording.say("delta"),
        "double-star": wording.say("double star (parallel)"),
        "double-delta": wording.say("double delta (parallel)"),
    }.get(link, link)


def described(one: MotorLink, wording: Wording) -> str:
    """Return in words how a motor is linked, and what the plan lacks."""

    def volts(value: float) -> str:
        return measure(value, "V", wording.customs, digits=DIGITS)

    lines = volts(one.volts)
    if not one.plate_v and not one.link:
        return wording.say(
            "The plan knows no voltage of its plate. Link it for {volts}, as its plate tells.",
            volts=lines,
        )
    others = [wording.number(value, digits=DIGITS) for value in one.plate_v[:-1]]
    plate = "/".join([*others, *(volts(value) for value in one.plate_v[-1:])])
    if one.rating_v is None:
        return wording.say(
            "On lines of {volts}, its plate states {plate}: the plan knows no link that suits.",
            volts=lines, plate=plate,
        )  # fmt: skip
    rated = volts(one.rating_v)
    if one.by_starter:
        return wording.say(
            "Its star-delta starter makes the links: take all bridges out. Lines {volts}.",
            volts=lines,
        )
    if not one.link:
        return wording.say(
            "For {rated} (plate: {plate}). Leads and link are not in the plan: go by its plate.",
            rated=rated, plate=plate,
        )  # fmt: skip
    link = link_word(one.link, wording)
    if one.leads is None:
        return wording.say(
            "For {rated} (plate: {plate}): {link}. The number of leads is not in the plan.",
            rated=rated, plate=plate, link=link,
        )  # fmt: skip
    return wording.say("For {rated} (plate: {plate}): {link}", rated=rated, plate=plate, link=link)


def terminal_boxes(sheet: Sheet, links: tuple[MotorLink, ...], y: float) -> float:
    """Draw the terminal box of each motor in *links* below *y*, and return the next free.

    Args:
        sheet: The drawing.
        links: The motors.
        y: Where the heading may begin.
    """
    scene, wording = sheet.scene, sheet.wording
    if not links:
        return y
    scene.may_end(y, well=True)
    y = scene.lines([wording.say("Terminal boxes of the motors")], (MARGIN, y + LEADING),
                    size=11.0, bold=True)  # fmt: skip
    if any(one.terminals(sheet.symbols) is not None for one in links):
        note = wording.say(
            "Marks of leads from memory; the diagram in the terminal box goes first."
        )
        y = scene.lines(wrapped(note, ACROSS - 2.0 * MARGIN), (MARGIN, y), color=SOFT)
    for start in range(0, len(links), ABREAST):
        scene.may_end(y - LEADING + 2.0)
        ends = [
            _box(sheet, one, MARGIN + n * ROOM, y)
            for n, one in enumerate(links[start : start + ABREAST])
        ]
        y = max(ends) + LEADING
    return y


def _box(sheet: Sheet, one: MotorLink, x: float, y: float) -> float:
    scene, wording = sheet.scene, sheet.wording
    with scene.group("motor", one.motor):
        title = wrapped(capital(wording.name(one.motor)), ROOM - 12.0, bold=True)
        y = scene.lines(title, (x, y), bold=True)
        y = scene.lines(wrapped(described(one, wording), ROOM - 12.0), (x, y))
        leads = one.terminals(sheet.symbols)
        if leads is None:
            return y
        if one.leads == 6:
            return _board(sheet, leads, one.lines, x + 24.0, y + 10.0)
        return _chains(sheet, leads, one.lines, x, y + 6.0)


def _terminal(sheet: Sheet, name: str, at: tuple[float, float]) -> None:
    sheet.scene.path(_RING, at=at, fill="#fff")
    sheet.scene.words(name, (at[0], at[1] + 14.0), size=8.0, middle=True)


def _board(sheet: Sheet, leads: Leads, names: tuple[str, ...], x: float, y: float) -> float:
    """Draw a board of six terminals: the beginnings below, on the lines, the other ends above."""
    scene = sheet.scene
    below = [group[0] for group in leads.lines]
    above = (
        list(leads.joined[0]) if leads.joined else [group[1] for group in leads.lines]
    )  # in star one bridge joins all, in delta each lies above the line that it is bridged to
    top, bottom = y, y + 34.0
    scene.box((x - 16.0, top - 10.0), (x + 2.0 * PITCH + 16.0, bottom + 19.0))
    if leads.joined:
        scene.line((x, top), (x + 2.0 * PITCH, top), weight=2.6)
    for n, (upper, lower) in enumerate(zip(above, below, strict=True)):
        at = x + n * PITCH
        if not leads.joined:
            # the bridge passes beside the mark of the upper terminal
            scene.line((at, top), (at + 10.0, top), weight=2.6)
            scene.line((at + 10.0, top), (at + 10.0, bottom), weight=2.6)
            scene.line((at + 10.0, bottom), (at, bottom), weight=2.6)
        _terminal(sheet, upper, (at, top))
        scene.line((at, bottom + 19.0), (at, bottom + 30.0))
        _terminal(sheet, lower, (at, bottom))
        scene.words(names[n], (at, bottom + 40.0), size=8.0, bold=True, middle=True)
    return bottom + 52.0


def _chains(sheet: Sheet, leads: Leads, names: tuple[str, ...], x: float, y: float) -> float:
    """Draw each group of joined leads as a row of terminals, those on the lines first."""
    scene = sheet.scene
    for n, group in enumerate((*leads.lines, *leads.joined)):
        at = y + 4.0
        first = x + 34.0
        if n < len(leads.lines):
            scene.words(names[n], (x + 2.0, at + 3.0), size=8.0, bold=True)
            scene.line((x + 16.0, at), (first, at), weight=1.2)
        scene.line((first, at), (first + PITCH * (len(group) - 1), at), weight=2.6)
        for k, lead in enumerate(group):
            _terminal(sheet, lead, (first + k * PITCH, at))
        y += 27.0
    return y + 4.0
