"""What stands in the conductors of a connection diagram: capacitor sets, boxes, transformers."""

import attrs

from ampwright.diagram.rails import PLACES, ROOM, WORDS, Rails
from ampwright.diagram.scene import LEADING, SOFT, wrapped
from ampwright.diagram.symbols import ANSI, LENGTH, place
from ampwright.diagram.wires import NEUTRAL, PROTECTIVE, Wires
from ampwright.equipment.capacitor import Capacitor
from ampwright.equipment.converter import Converter
from ampwright.equipment.transformer import Transformer
from ampwright.report.figures import measure
from ampwright.report.phrases import converter_title, transformer_title
from ampwright.report.wording import Wording, capital

#: How a plan says that each capacitor has a resistor across it.
DISCHARGE = "capacitor-discharge"
MADE_LEG = "made-leg-marking"
SMALL = 8.5
ENDS = {"ab": ("a", "b"), "bc": ("c", "b"), "ca": ("a", "c")}
#: Terminals of a transformer, by symbols: IEC 60616 and IEEE C57.12.70, both from memory.
WINDINGS = {
    ANSI: ({"a": "H1", "b": "H2", "c": "H3"}, {"a": "X1", "b": "X2", "c": "X3"}),
    "iec": ({"a": "1U", "b": "1V", "c": "1W"}, {"a": "2U", "b": "2V", "c": "2W"}),
}
LEFT, RIGHT = PLACES["a"] - 18.0, PLACES["b"] + 14.0


def capacitor_set(rails: Rails, part: Converter, y: float) -> float:
    """Draw a converter that is wired from capacitors: each of them between its two legs.

    Args:
        rails: Its conductors; the made leg begins here, unless it joins one that makes it.
        part: The converter.
        y: Where it may begin.
    """
    scene, wording = rails.scene, rails.sheet.wording
    top = y
    below = _title(rails, part, y + 10.0)
    y += 8.0
    ahead = [one for one in part.capacitors if one.between == "ab"]
    y = _column(rails, part, ahead, y)
    name = f"L3 ({wording.term('made-leg')})"
    y += 14.0
    if part.joins is None:
        rails.begin("c", y, name)
    ends = [
        _column(rails, part, [one for one in part.capacitors if one.between == leg], y)
        for leg in ("ca", "bc")
    ]
    below = max(*ends, below, y + 10.0)
    rails.all_down(below + 6.0)
    scene.box((LEFT, top), (RIGHT, below), dashes="5 3")
    rails.wires = attrs.evolve(rails.wires, lines=("a", "b", "c"))
    return below + 6.0


def _title(rails: Rails, part: Converter, y: float) -> float:
    """Write what a converter is and has to have, aside; return where the words end."""
    wording = rails.sheet.wording
    y = rails.scene.lines(
        wrapped(converter_title(part, wording), ROOM, bold=True), (WORDS, y), bold=True
    )
    features = [wording.word("features", one) for one in part.protective_features]
    if features:
        told = wording.say("Has to have: {features}", features="; ".join(features))
        y = rails.scene.lines(wrapped(told, ROOM), (WORDS, y), color=SOFT)
    return y - LEADING + 6.0


def _column(rails: Rails, part: Converter, column: list[Capacitor], y: float) -> float:
    """Draw capacitors between the same two legs, one below the other."""
    for one in column:
        y = _capacitor(rails, part, one, y)
    return y


def _capacitor(rails: Rails, part: Converter, one: Capacitor, y: float) -> float:
    scene, symbols = rails.scene, rails.sheet.symbols
    first, last = (PLACES[wire] for wire in ENDS[one.between])
    switched = one.purpose == "start" or bool(one.sets)
    discharged = DISCHARGE in part.protective_features
    at = y + (24.0 if discharged else 14.0)
    for wire in ENDS[one.between]:
        rails.down(wire, at)
        scene.dot((PLACES[wire], at))
    across = LENGTH * (2.0 if switched else 1.0)
    x = (first + last - across) / 2.0
    scene.line((first, at), (x, at))
    with scene.group("capacitor", f"{part.id}/{one.id}"):
        if switched:
            place(scene, symbols, "contact", (x, at), down=False)
            x += LENGTH
        place(scene, symbols, "capacitor", (x, at), down=False)
        if discharged:
            place(scene, symbols, "discharge", (x, at), down=False)
        scene.line((x + LENGTH, at), (last, at))
        room = min(last - first, 200.0) - 10.0
        lines = [line for text in _said(one, rails.sheet.wording)
                 for line in wrapped(text, room, SMALL)]  # fmt: skip
        y = at + 19.0
        for line in lines:
            scene.words(line, (first + 6.0, y), size=SMALL)
            y += LEADING * SMALL / 10.0
    return y - 4.0


def _said(one: Capacitor, wording: Wording) -> list[str]:
    units = wording.customs
    size = measure(one.capacitance_f, "F", units)
    volts = measure(one.voltage_v, "V", units, toward="up")
    band = measure(one.tolerance_fraction, "fraction", units)
    rated = wording.say("{volts} ac", volts=volts)
    texts = [f"{capital(wording.word('purposes', one.purpose))}: {size} ± {band}, {rated}"]
    if one.purpose == "start":
        texts.append(wording.say("closed for the start alone"))
    elif one.sets:
        idling = {"idle": wording.say("nothing running"), "both-idle": wording.say("both idlers")}
        names = [idling.get(part) or wording.name(part)
                 for part in one.sets]  # fmt: skip
        texts.append(wording.say("closed with: {names}", names="; ".join(names)))
    return texts


def converter_box(rails: Rails, part: Converter, y: float, *, neutral: bool) -> float:
    """Draw a converter that is bought complete: a box with its terminals.

    Args:
        rails: Its conductors; they begin anew behind it.
        part: The converter.
        y: Where it may begin.
        neutral: A neutral goes on from it.
    """
    wording = rails.sheet.wording
    below = _title(rails, part, y + 10.0)
    behind = Wires(lines=("a", "b", "c"), neutral=neutral, protective=PROTECTIVE in rails.tops)
    volts = (part.input_voltage_v, part.output_voltage_v)
    ahead = {wire: rails.wires.name(wire) for wire in rails.tops}
    after = {"a": "U", "b": "V", "c": "W", NEUTRAL: "N"}
    if len(part.machines) > 1 or MADE_LEG in part.protective_features:
        after = {"a": "L1", "b": "L2", "c": "L3", NEUTRAL: "N"}
    said = [capital(wording.word("methods", part.method))]
    return _box(rails, y, below, behind, (ahead, after), volts, said, "converter")


def transformer_box(rails: Rails, part: Transformer, y: float) -> float:
    """Draw a transformer: a box with its terminals, and what is to be said of its earthing."""
    wording, scene = rails.sheet.wording, rails.scene
    isolating = part.kind == "isolating"
    texts = [wording.say("Which point of the secondary is earthed is not in the plan: it must be "
                         "decided and made.")
             if isolating else
             wording.say("One winding: primary and secondary are not separated.")]  # fmt: skip
    texts.append(wording.say("Link of its windings and taps: by its plate."))
    lines = [line for text in texts for line in wrapped(text, ROOM)]
    title = wrapped(capital(transformer_title(part, wording)), ROOM, bold=True)
    at = scene.lines(title, (WORDS, y + 10.0), bold=True)
    below = scene.lines(lines, (WORDS, at), color=SOFT) - LEADING + 6.0
    lines3 = ("a", "b", "c") if part.phases == 3 else ("a", "b")
    behind = Wires(lines=lines3, protective=PROTECTIVE in rails.tops)
    ahead, after = WINDINGS.get(rails.sheet.symbols, WINDINGS["iec"])
    said = [wording.say("isolating transformer") if isolating else wording.say("autotransformer")]
    volts = (part.primary_v, part.secondary_v)
    return _box(rails, y, below, behind, (ahead, after), volts, said, "transformer")


def _box(
    rails: Rails, y: float, below: float, behind: Wires,
    marks: tuple[dict[str, str], dict[str, str]], volts: tuple[float, float], said: list[str],
    symbol: str,
) -> float:  # fmt: skip
    """Draw a box that conductors end at and begin anew behind."""
    scene, wording = rails.scene, rails.sheet.wording
    room = RIGHT - LEFT - 70.0
    named = [line for text in said for line in wrapped(capital(text), room, bold=True)]
    for wire in [one for one in rails.tops if one != PROTECTIVE]:
        rails.down(wire, y)
        if wire in marks[0]:
            scene.words(marks[0][wire], (PLACES[wire], y + 11.0), size=8.0, bold=True, middle=True)
        del rails.tops[wire]
    height = max(76.0, 58.0 + LEADING * len(named), below - y)
    wide = NEUTRAL in rails.wires.all or behind.neutral
    left = PLACES[NEUTRAL] - 12.0 if wide else LEFT
    scene.box((left, y), (RIGHT, y + height))
    place(scene, rails.sheet.symbols, symbol, (LEFT + 36.0, y + height / 2.0 - LENGTH / 2.0),
          down=True)  # fmt: skip
    at = y + height / 2.0 - LEADING * len(named) / 2.0 + 2.0
    at = scene.lines(named, (LEFT + 66.0, at), bold=True)
    pair = [measure(one, "V", wording.customs, digits=6) for one in volts]
    scene.words(f"{pair[0]} → {pair[1]}", (LEFT + 66.0, at))
    if PROTECTIVE in rails.tops:
        middle = y + height / 2.0
        rails.down(PROTECTIVE, middle)
        scene.dot((PLACES[PROTECTIVE], middle))
        scene.line((PLACES[PROTECTIVE], middle), (left, middle), dashes="7 2 1.5 2")
    rails.wires = behind
    for wire in behind.all:
        if wire != PROTECTIVE:
            mark = marks[1].get(wire, "")
            scene.words(mark, (PLACES[wire], y + height - 5.0), size=8.0, bold=True, middle=True)
            rails.tops[wire] = y + height
    return y + height + 6.0
