"""The schedules: converters, conductors, devices, and how far they hold."""

from collections.abc import Iterator

from ampwright.decision import Decision
from ampwright.equipment.circuit import Circuit
from ampwright.equipment.converter import Converter
from ampwright.option import Option
from ampwright.report.blocks import (
    NONE,
    Block,
    Facts,
    Grid,
    Row,
    Section,
    Text,
    heads,
    trimmed,
)
from ampwright.report.figures import measure, pair
from ampwright.report.operating import operating_points, starts
from ampwright.report.phrases import (
    capacitor,
    conductors,
    converter_title,
    device,
    only_unknown,
    overloads,
    raceway,
    shown_option,
    size,
    stated_fields,
)
from ampwright.report.service import service_load
from ampwright.report.wording import Wording, capital


def electrician_sections(decision: Decision, wording: Wording) -> Iterator[Section]:
    """Yield the schedules of the option that the report is about."""
    option = shown_option(decision)
    yield Section(
        id="supply",
        title=wording.say("Supply and site, as stated"),
        blocks=(
            Facts(
                pairs=(
                    *stated_fields(decision.shop.supply, wording),
                    *stated_fields(decision.shop.site, wording),
                )
            ),
        ),
    )
    if option is None:
        return
    if decision.verdict == "not-feasible":
        text = (
            wording.say(
                "Not to be built: what a machine draws is not known. What follows is what was "
                "reckoned."
            )
            if only_unknown(decision)
            else wording.say(
                "Not to be built: this way cannot be done as it stands. What follows is what was "
                "reckoned."
            )
        )
        note = Text(text=text, tone="stop")
        yield Section(id="not-to-be-built", title=wording.say("Caution"), blocks=(note,))
    parts = (
        ("service", wording.say("Load of the {@service}"), service_load(decision, wording)),
        ("converters", wording.say("Converters"), _converters(option, wording)),
        ("conductors", wording.say("Schedule of conductors"), _conductors(option, wording)),
        ("devices", wording.say("Schedule of devices"), _devices(option, wording)),
        (
            "windows",
            wording.say("Plate values inside which the sizes hold"),
            _windows(option, wording),
        ),
        ("states", wording.say("Operating points"), operating_points(option, wording)),
        ("starts", wording.say("Starts"), starts(option, wording)),
    )
    for name, title, blocks in parts:
        if found := tuple(trimmed(one) if isinstance(one, Grid) else one for one in blocks):
            yield Section(id=name, title=title, blocks=found)


def _converters(option: Option, wording: Wording) -> Iterator[Block]:
    if option.converters:
        known = {one.given for one in option.converters}
        note = (
            wording.say(
                "Input and output are what the plan expects of the plates, which are not known yet."
            )
            if False in known
            else ""
        )
        yield Grid(
            columns=heads(
                wording.head, "Converter", "For", "Input", "Output", "#Largest\nmotor",
                "#Losses\nidle", "Capacitors", "Has to have",
            ),
            rows=tuple(_converter(one, wording) for one in option.converters),
            note=note,
        )  # fmt: skip


def _converter(one: Converter, wording: Wording) -> Row:
    units = wording.customs
    features = (wording.word("features", part) for part in one.protective_features)
    largest = one.largest_motor_w
    return Row(
        cells=(
            converter_title(one, wording),
            wording.names_of(one.machines),
            _side(one.input_voltage_v, 1, one.input_current_a, wording),
            _side(one.output_voltage_v, 3, one.output_current_a, wording),
            NONE if largest is None else measure(largest, "W", units, shaft=True),
            measure(one.losses_w, "W", units, toward="up"),
            "\n".join(capacitor(part, wording) for part in one.capacitors) or NONE,
            "\n".join(features) or NONE,
        )
    )


def _side(volts: float, phases: int, amperes: float, wording: Wording) -> str:
    current = measure(amperes, "A", wording.customs, toward="up")
    count = wording.say("{n} ph", n=phases)
    return f"{measure(volts, 'V', wording.customs)}\n{count}\n{current}"


def _conductors(option: Option, wording: Wording) -> Iterator[Block]:
    if not option.circuits:
        return
    units = wording.customs
    rows = []
    for one in option.circuits:
        ampacity = one.conductor.ampacity_a
        needs, has = (
            (measure(one.design_current_a, "A", units, toward="up"), NONE)
            if ampacity is None
            else pair(one.design_current_a, ampacity, "A", units)
        )
        rows.append(
            Row(
                cells=(
                    f"{capital(wording.name(one.id))}\n{one.id}",
                    f"{measure(one.voltage_v, 'V', units)}\n{wording.say('{n} ph', n=one.phases)}",
                    needs,
                    conductors(one.conductor, wording),
                    has,
                    conductors(one.protective_conductor, wording),
                    raceway(one.raceway, wording),
                    measure(one.conductor.length_m, "m", units).replace(" (", "\n("),
                    _drops(one, wording),
                )
            )
        )
    yield Grid(
        columns=heads(
            wording.head,
            "Circuit",
            "Volts",
            "#Required",
            "Conductors",
            "#Ampacity\nhere",
            "{@protective-conductor}",
            "{@raceway}",
            "#Length",
            "#Drop\nrunning / start",
        ),
        rows=tuple(rows),
        note=wording.say(
            "Required: the current that the conductor must at least be rated for by its rule. "
            "Ampacity: with every correction for the place. Drop: along this circuit alone."
        ),
    )
    colors = [one for one in wording.terms if one.startswith("color-") and "@" not in one]
    pairs = tuple(
        (
            capital(
                wording.say("{what}, {@colour}", what=wording.term(one.removeprefix("color-")))
            ),
            wording.color(one, wording.terms[one]),
        )
        for one in colors
    )
    if pairs:
        yield Facts(pairs=pairs, wide=True)


def _drops(one: Circuit, wording: Wording) -> str:
    running = measure(one.voltage_drop_fraction, "fraction", wording.customs, toward="up", digits=2)
    if one.starting_drop_fraction is None:
        return running
    starting = measure(
        one.starting_drop_fraction, "fraction", wording.customs, toward="up", digits=2
    )
    return f"{running} / {starting}"


def _devices(option: Option, wording: Wording) -> Iterator[Block]:
    if not option.circuits:
        return
    units = wording.customs
    rows = []
    for one in option.circuits:
        breaking = one.protective_device.breaking_capacity_a
        highest = max(one.voltage_to_earth_v, default=None)
        rows.append(
            Row(
                cells=(
                    capital(wording.name(one.id)),
                    _at_head(one, wording),
                    overloads(one, wording),
                    device(one.disconnect, wording),
                    NONE if breaking is None else measure(breaking, "A", units, toward="up"),
                    _faults(one, wording),
                    NONE if highest is None else measure(highest, "V", units, toward="up"),
                )
            )
        )
    yield Grid(
        columns=heads(
            wording.head,
            "Circuit",
            "{@protective-device}",
            "{@overload}",
            "{@disconnect}",
            "#{@breaking-capacity}\nat least",
            "#Fault current\nlargest / smallest",
            "#Highest leg\nto {@earth}",
        ),
        rows=tuple(rows),
    )


def _at_head(one: Circuit, wording: Wording) -> str:
    lines = [device(part, wording, lines_v=one.voltage_v) for part in one.devices_at_head]
    if one.is_behind_drive:
        lines.insert(0, wording.say("none here: the device ahead of the drive protects it, too"))
    return "\n".join(lines)


def _faults(one: Circuit, wording: Wording) -> str:
    units = wording.customs
    edges = (
        wording.say("not known") if value is None else measure(value, "A", units, toward=toward)
        for value, toward in ((one.fault_current_a, "up"), (one.fault_current_min_a, "down"))
    )
    return " / ".join(edges) if one.fault_current_min_a is not None else next(iter(edges))


def _windows(option: Option, wording: Wording) -> Iterator[Block]:
    units = wording.customs
    sizes = {one.id: size(one.conductor, wording) for one in option.circuits}
    rated = {one.id: one.protective_device.rating_a for one in option.circuits}
    rows = []
    for converter in option.converters:
        for one in converter.window:
            largest = measure(one.largest_input_current_a, "A", units, toward="down")
            smallest = measure(one.smallest_input_current_a, "A", units, toward="up")
            rating, given = rated.get(one.id), ""
            if rating is not None:
                amperes = measure(rating, "A", units, digits=6)
                given = wording.say("{amperes} device", amperes=amperes)
            what = {"conductor": sizes.get(one.id, ""), "device": given}.get(one.part, "")
            what = what or capital(wording.word("parts", one.part))
            rows.append(
                Row(
                    cells=(
                        capital(wording.name(one.id)),
                        wording.say(
                            "{what} holds up to {amperes} of plate input",
                            what=what,
                            amperes=largest,
                        ),
                        smallest if one.smallest_input_current_a > 0.0 else NONE,
                        largest,
                    )
                )
            )
    if rows:
        yield Grid(
            columns=heads(
                wording.head,
                "Circuit",
                "What gives way first",
                "#Smallest\nplate input",
                "#Largest\nplate input",
            ),
            rows=tuple(rows),
            note=wording.say("With a plate outside this range, plan again with the real figures."),
        )
