"""The schedules: circuits, devices, operating points, starts."""

from collections.abc import Iterator

from ampwright.decision import Decision
from ampwright.equipment.circuit import Circuit
from ampwright.equipment.converter import Converter
from ampwright.method import MotorState, Start, State
from ampwright.option import Option
from ampwright.report.blocks import Block, Column, Facts, Grid, Row, Section, Text
from ampwright.report.figures import measure, pair, written
from ampwright.report.phrases import (
    NONE,
    conductors,
    converter_title,
    device,
    overloads,
    raceway,
    shown_option,
    stated_fields,
)
from ampwright.report.wording import Wording, capital, listed


def electrician_sections(decision: Decision, wording: Wording) -> Iterator[Section]:
    """Yield the schedules of the option that the report is about."""
    option = shown_option(decision)
    yield Section(
        id="supply",
        title="Supply and site, as stated",
        blocks=(
            Facts(pairs=tuple(stated_fields(decision.shop.supply, wording))),
            Facts(pairs=tuple(stated_fields(decision.shop.site, wording))),
        ),
    )
    if option is None:
        return
    parts = (
        ("converters", "Converters", _converters(option, wording)),
        ("conductors", "Schedule of conductors", _conductors(option, wording)),
        ("devices", "Schedule of devices", _devices(option, wording)),
        ("windows", "Plate values inside which the sizes hold", _windows(option, wording)),
        ("states", "Operating points", _states(option, wording)),
        ("starts", "Starts", _starts(option, wording)),
    )
    for name, title, blocks in parts:
        if found := tuple(blocks):
            yield Section(id=name, title=title, blocks=found)


def heads(*titles: str) -> tuple[Column, ...]:
    """Return columns; one whose title begins with ``#`` holds numbers."""
    return tuple(
        Column(title=title.removeprefix("#"), numeric=title.startswith("#")) for title in titles
    )


def _converters(option: Option, wording: Wording) -> Iterator[Block]:
    for one in option.converters:
        yield Text(
            text=f"{converter_title(one, wording)}, for {wording.names_of(one.machines)}",
            tone="lead",
        )
        yield Facts(pairs=tuple(_converter_facts(one, wording)))


def _converter_facts(one: Converter, wording: Wording) -> Iterator[tuple[str, str]]:
    units = wording.customs
    known = "as its plate states" if one.given else "expected of its plate, not yet known"
    volts = measure(one.input_voltage_v, "V", units)
    yield (
        "Input",
        f"{volts}, single-phase, {measure(one.input_current_a, 'A', units, toward='up')} ({known})",
    )
    volts = measure(one.output_voltage_v, "V", units)
    yield (
        "Output",
        f"{volts}, three-phase, {measure(one.output_current_a, 'A', units, toward='up')}",
    )
    if one.largest_motor_w is not None:
        power = measure(one.largest_motor_w, "W", units, shaft=True)
        yield "Largest motor that it must start", power
    yield "Losses without load", measure(one.losses_w, "W", units)
    for part in one.capacitors:
        legs = "–".join(part.between.upper())
        size = measure(part.capacitance_f, "F", units)
        volts = measure(part.voltage_v, "V", units, toward="up")
        band = measure(part.tolerance_fraction, "fraction", units)
        purpose = wording.word("purposes", part.purpose)
        yield (
            f"{capital(purpose)} capacitors {legs}",
            f"{size} ± {band}, rated for at least {volts} ac",
        )
    if one.protective_features:
        features = (wording.word("features", part) for part in one.protective_features)
        yield "Has to have", "; ".join(features)


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
                    f"{measure(one.voltage_v, 'V', units)}\n{one.phases} ph",
                    needs,
                    conductors(one.conductor),
                    has,
                    conductors(one.protective_conductor),
                    raceway(one.raceway, wording),
                    measure(one.conductor.length_m, "m", units).replace(" (", "\n("),
                    _drops(one, wording),
                )
            )
        )
    yield Grid(
        columns=heads(
            "Circuit",
            "Volts",
            "#Required",
            "Conductors",
            "#Ampacity\nhere",
            capital(wording.term("protective-conductor")),
            capital(wording.term("raceway")),
            "#Length",
            "#Drop\nrunning / start",
        ),
        rows=tuple(rows),
        note="Required: the current that the conductor must at least be rated for by its rule. "
        "Ampacity: with every correction for the place. Drop: along this circuit alone.",
    )


def _drops(one: Circuit, wording: Wording) -> str:
    running = measure(one.voltage_drop_fraction, "fraction", wording.customs, toward="up")
    if one.starting_drop_fraction is None:
        return running
    starting = measure(one.starting_drop_fraction, "fraction", wording.customs, toward="up")
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
                    "\n".join(
                        device(part, wording, lines_v=one.voltage_v)
                        for part in (one.protective_device, *one.guards)
                    ),
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
            "Circuit",
            capital(wording.term("protective-device")),
            capital(wording.term("overload")),
            capital(wording.term("disconnect")),
            f"#{capital(wording.term('breaking-capacity'))}\nat least",
            "#Fault current\nlargest / smallest",
            f"#Highest leg\nto {wording.term('earth')}",
        ),
        rows=tuple(rows),
    )


def _faults(one: Circuit, wording: Wording) -> str:
    units = wording.customs
    edges = (
        "not known" if value is None else measure(value, "A", units, toward=toward)
        for value, toward in ((one.fault_current_a, "up"), (one.fault_current_min_a, "down"))
    )
    return " / ".join(edges) if one.fault_current_min_a is not None else next(iter(edges))


def _windows(option: Option, wording: Wording) -> Iterator[Block]:
    units = wording.customs
    sizes = {one.id: one.conductor.size for one in option.circuits}
    rated = {one.id: one.protective_device.rating_a for one in option.circuits}
    rows = []
    for converter in option.converters:
        for one in converter.window:
            largest = measure(one.largest_input_current_a, "A", units, toward="down")
            smallest = measure(one.smallest_input_current_a, "A", units, toward="up")
            size, rating = sizes.get(one.id, ""), rated.get(one.id)
            given = "" if rating is None else f"{measure(rating, 'A', units, digits=6)} device"
            what = {"conductor": size, "device": given}.get(one.part, "")
            what = what or capital(wording.word("parts", one.part))
            rows.append(
                Row(
                    cells=(
                        capital(wording.name(one.id)),
                        f"{what} holds up to {largest} of plate input",
                        smallest if one.smallest_input_current_a > 0.0 else NONE,
                        largest,
                    )
                )
            )
    if rows:
        yield Grid(
            columns=heads(
                "Circuit", "What gives way first", "#Smallest\nplate input", "#Largest\nplate input"
            ),
            rows=tuple(rows),
            note="With a plate outside this range, plan again with the real figures.",
        )


def _running(one: State, wording: Wording) -> str:
    return capital(wording.names_of(one.running)) if one.running else "Nothing running"


def _each(values: tuple[float, ...], toward: str = "near") -> str:
    return " / ".join(written(value, toward) for value in values) or NONE


def _states(option: Option, wording: Wording) -> Iterator[Block]:
    units = wording.customs
    whole = [one for one in option.states if not one.converter]
    if whole:
        rows = [
            Row(
                cells=(
                    _running(one, wording),
                    measure(one.input_current_a, "A", units, toward="up"),
                    measure(one.input_power_w, "W", units),
                    written(one.input_power_factor, "down", 2),
                    measure(one.losses_w, "W", units, toward="up"),
                    measure(one.equal_kva_current_a, "A", units),
                )
            )
            for one in whole
        ]
        yield Grid(
            columns=heads(
                "Running",
                "#Current",
                "#Power",
                "#Power\nfactor",
                "#Losses",
                "#Plates' kVA\non one phase",
            ),
            rows=tuple(rows),
            caption="The single-phase side, all together",
        )
    made = [one for one in option.states if one.converter]
    if made:
        yield _made(made, wording)
    motors = [(state, motor) for state in made for motor in state.motors]
    if motors:
        yield _motors(motors, wording)


def _made(states: list[State], wording: Wording) -> Grid:
    units = wording.customs
    rows = []
    for one in states:
        unbalance = (
            NONE if value is None else measure(value, "fraction", units, toward="up", digits=2)
            for value in (one.negative_sequence_fraction, one.deviation_fraction)
        )
        rows.append(
            Row(
                cells=(
                    capital(wording.name(one.converter)),
                    _running(one, wording),
                    _each(one.line_voltage_v),
                    " / ".join(unbalance),
                    _each(one.leg_to_earth_v, "up"),
                    measure(one.input_current_a, "A", units, toward="up"),
                    measure(one.losses_w, "W", units, toward="up"),
                )
            )
        )
    return Grid(
        columns=heads(
            "Converter",
            "Running",
            "#Line volts\nab / bc / ca",
            "#Unbalance\nsequence / deviation",
            f"#Volts to {wording.term('earth')}\na / b / c",
            "#Input",
            "#Losses",
        ),
        rows=tuple(rows),
        caption="Each converter",
        note=f"a and b are the supply's lines, c is the {wording.term('made-leg')}. Unbalance: "
        "negative over positive sequence, and largest deviation from the mean line voltage.",
    )


def _motors(motors: list[tuple[State, MotorState]], wording: Wording) -> Grid:
    units = wording.customs
    rows = []
    for state, one in motors:
        usable = measure(one.usable_fraction, "fraction", units, toward="down", digits=2)
        heat = measure(one.winding_fraction, "fraction", units, toward="up")
        stalled = one.stalled
        rows.append(
            Row(
                cells=(
                    capital(wording.name(one.id)),
                    _running(state, wording),
                    measure(one.shaft_w, "W", units, shaft=True),
                    _each(one.current_a, "up"),
                    heat,
                    "stalls" if stalled else usable,
                    measure(one.slip, "fraction", units, digits=2),
                ),
                tone="blocks" if stalled else "",
            )
        )
    return Grid(
        columns=heads(
            "Motor",
            "Running",
            "#Gives",
            "#Line amperes\na / b / c",
            "#Hottest winding\nof rated current",
            "#Usable\ncontinuously",
            "#Slip",
        ),
        rows=tuple(rows),
        caption="Each motor",
    )


def _starts(option: Option, wording: Wording) -> Iterator[Block]:
    rows = [_start(one, wording) for one in option.starts]
    if rows:
        yield Grid(
            columns=heads(
                "Start of",
                "Runs up",
                "#Time",
                "#Lowest\nvolts",
                "#Supply\ncurrent",
                "#Torque needed\nof available",
                f"{capital(wording.term('protective-device'))}",
                f"{capital(wording.term('overload'))}",
            ),
            rows=tuple(rows),
            note="Judged at the lower edge of the motor's torque band, with what runs before it "
            "already running.",
        )


def _start(one: Start, wording: Wording) -> Row:
    units = wording.customs
    torque = NONE
    if one.torque_nm is not None and one.needed_torque_nm is not None:
        torque = listed(pair(one.needed_torque_nm, one.torque_nm, "N m", units)).replace(
            " and ", " of "
        )
    trips = {None: "not judged", True: "opens", False: "holds"}
    return Row(
        cells=(
            capital(wording.name(one.id)),
            "yes" if one.runs_up else "no",
            NONE if one.time_s is None else measure(one.time_s, "s", units, toward="up", digits=2),
            measure(one.lowest_voltage_v, "V", units, toward="down"),
            measure(one.current_a, "A", units, toward="up"),
            torque,
            trips[one.device_trips],
            trips[one.overload_trips],
        ),
        tone="" if one.runs_up and not one.device_trips and not one.overload_trips else "blocks",
    )
