"""How it runs and how it starts: operating points and starts as tables."""

from collections.abc import Iterator

from ampwright.method import MotorStart, MotorState, Start, State
from ampwright.option import Option
from ampwright.report.blocks import NONE, Block, Grid, Row, heads
from ampwright.report.figures import measure, pair
from ampwright.report.wording import Wording, capital

BOTH_IDLE = "both-idle"


def _running(one: State, wording: Wording) -> str:
    if one.set == BOTH_IDLE:
        return wording.say("Nothing running but both idlers")
    if not one.running:
        return wording.say("Nothing running")
    load = wording.word("loads", one.load)
    return capital(", ".join(part for part in (wording.names_of(one.running), load) if part))


def _each(values: tuple[float, ...], wording: Wording, toward: str = "near") -> str:
    return " / ".join(wording.number(value, toward) for value in values) or NONE


def operating_points(option: Option, wording: Wording) -> Iterator[Block]:
    """Yield the single-phase side, each converter and each motor at every point."""
    units = wording.customs
    whole = [one for one in option.states if not one.converter and one.input_current_a > 0.0]
    if whole:
        rows = [
            Row(
                cells=(
                    _running(one, wording),
                    measure(one.input_current_a, "A", units, toward="up"),
                    measure(one.input_power_w, "W", units),
                    wording.number(one.input_power_factor, "down", 2),
                    measure(one.losses_w, "W", units, toward="up"),
                    measure(one.equal_kva_current_a, "A", units),
                )
            )
            for one in whole
        ]
        yield Grid(
            columns=heads(
                wording.head,
                "Running",
                "#Current",
                "#Power",
                "#Power\nfactor",
                "#Losses",
                "#Plates' kVA\non one phase",
            ),
            rows=tuple(rows),
            caption=wording.say("The single-phase side, all together"),
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
                    _each(one.line_voltage_v, wording),
                    " / ".join(unbalance),
                    _each(one.leg_to_earth_v, wording, "up"),
                    measure(one.input_current_a, "A", units, toward="up"),
                    measure(one.losses_w, "W", units, toward="up"),
                )
            )
        )
    return Grid(
        columns=heads(
            wording.head,
            "Converter",
            "Running",
            "#Line volts\nab / bc / ca",
            "#Unbalance\nsequence / deviation",
            "#Volts to {@earth}\na / b / c",
            "#Input",
            "#Losses",
        ),
        rows=tuple(rows),
        caption=wording.say("Each converter, and what takes one phase"),
        note=wording.say(
            "a and b are the supply's lines, c is the {@made-leg}. Unbalance: negative over "
            "positive sequence, and largest deviation from the mean line voltage."
        ),
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
                    _each(one.current_a, wording, "up"),
                    heat,
                    wording.say("stalls") if stalled else usable,
                    measure(one.slip, "fraction", units, digits=2),
                ),
                tone="blocks" if stalled else "",
            )
        )
    return Grid(
        columns=heads(
            wording.head,
            "Motor",
            "Running",
            "#Gives",
            "#Line amperes\na / b / c",
            "#Hottest winding\nof rated current",
            "#Usable\ncontinuously",
            "#Slip",
        ),
        rows=tuple(rows),
        caption=wording.say("Each motor"),
    )


def starts(option: Option, wording: Wording) -> Iterator[Block]:
    """Yield the start of each machine, and of each motor where it has several."""
    rows = [
        row
        for one in option.starts
        for row in (_start(one, wording), *(_own_start(each, wording) for each in one.motors))
    ]
    if rows:
        yield Grid(
            columns=heads(
                wording.head,
                "Start of",
                "Runs up",
                "#Time",
                "#Lowest\nvolts",
                "#Supply\ncurrent",
                "#Torque needed\nof available",
                "{@protective-device}",
                "{@overload}",
            ),
            rows=tuple(rows),
            note=wording.say("Judged at the lower edge of the motor's torque band."),
        )


def _own_start(one: MotorStart, wording: Wording) -> Row:
    """Return what the start of one motor of several means for its overload."""
    say, time = wording.say, NONE
    if one.time_s is not None:
        time = measure(one.time_s, "s", wording.customs, toward="up", digits=2)
    trips = {None: say("not judged"), True: say("opens"), False: say("holds")}
    nothing = (NONE, NONE, NONE, NONE)
    return Row(
        cells=(capital(wording.name(one.id)), NONE, time, *nothing, trips[one.overload_trips]),
        tone="blocks" if one.overload_trips else "",
    )


def _start(one: Start, wording: Wording) -> Row:
    units = wording.customs
    torque = NONE
    if one.torque_nm is not None and one.needed_torque_nm is not None:
        needed, available = pair(one.needed_torque_nm, one.torque_nm, "N m", units)
        torque = wording.say("{needed} of {available}", needed=needed, available=available)
    say = wording.say
    trips = {None: say("not judged"), True: say("opens"), False: say("holds")}
    return Row(
        cells=(
            capital(wording.name(one.id)),
            say("yes") if one.runs_up else say("no"),
            NONE if one.time_s is None else measure(one.time_s, "s", units, toward="up", digits=2),
            measure(one.lowest_voltage_v, "V", units, toward="down"),
            measure(one.current_a, "A", units, toward="up"),
            torque,
            trips[one.device_trips],
            trips[one.overload_trips],
        ),
        tone="" if one.runs_up and not one.device_trips and not one.overload_trips else "blocks",
    )
