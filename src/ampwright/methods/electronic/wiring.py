"""The circuits of an electronic converter, as the wiring code is asked for them."""

from collections.abc import Iterator, Sequence

import attrs

from ampwright.methods.electronic.setup import Setup, usual
from ampwright.methods.electronic.states import legs_to_earth
from ampwright.plugin import (
    BalancedCircuits,
    CircuitDemand,
    Converter,
    ConverterInput,
    Figure,
    Source,
    Start,
    State,
    Worksheet,
)

PRACTICE = Source(document="common practice: controls draw little of a line", known="practice")
HELD = Source(document="the converter holds its current at its overload", known="practice")


def demands(
    setup: Setup, made: Converter, points: Sequence[State], begun: Sequence[Start], sheet: Worksheet
) -> tuple[CircuitDemand, ...]:
    """Return every circuit of one converter, from the panel outwards."""
    part = sheet.under(f"wiring/{made.id}")
    to_earth = legs_to_earth(setup, part)
    fault = part.formula(
        "fault_current", "I_f", "A", "k * I", k=usual("overload", part),
        I=Figure(made.output_current_a,
                 f"{sheet.prefix}/converters/{made.id}/output_current_a"), source=HELD,
    )  # fmt: skip
    lines = BalancedCircuits(
        case=setup.case,
        sheet=sheet,
        converter=made.id,
        machines=setup.machines,
        voltage=setup.output,
        to_earth=to_earth,
        starts=begun,
        fault_largest=fault,
        fault_source=fault,
        inverted=True,
    )
    most = max(points, key=lambda one: (one.input_current_a, one.id))
    ahead = _supply(setup, made, most, lines)
    return (ahead, *with_controls(setup, lines.behind(ahead.id), part))


def with_controls(
    setup: Setup, behind: Sequence[CircuitDemand], part: Worksheet
) -> Iterator[CircuitDemand]:
    """Yield the circuits *behind*, with the output neutral where controls hang on it.

    A machine that needs one by itself gets it in any case, like behind three lines of a supply.
    """
    names = {
        one.id
        for one in setup.machines
        if one.machine.machine.controls == "line-neutral" and not one.machine.machine.needs_neutral
    }
    if not names:
        yield from behind
        return
    little = part.assumed("third_harmonic", "h_3", 0.0, "", source=PRACTICE, low=0.0, high=0.05)
    for one in behind:
        wanted = not names.isdisjoint(one.feeds)
        yield attrs.evolve(one, neutral=True, third_harmonic=little) if wanted else one


def _supply(setup: Setup, made: Converter, most: State, lines: BalancedCircuits) -> CircuitDemand:
    """Return the circuit from the panel to the converter, in the state that draws *most*."""
    supply, prefix = setup.case.supply, lines.sheet.prefix
    state, place = f"{prefix}/states/{most.id}", f"{prefix}/converters/{made.id}"
    cosine = Figure(most.input_power_factor, f"{state}/input_power_factor")
    start = lines.of_start("current_a", made.machines)
    plate = ConverterInput(
        id=made.id,
        method=made.method,
        kind="phase-converter",
        current=Figure(made.input_current_a, f"{place}/input_current_a"),
        given=made.given,
        output_voltage=Figure(made.output_voltage_v, f"{place}/output_voltage_v"),
        fixed_loads=not setup.case.shop.site.future_machines,
    )
    return CircuitDemand(
        id=f"supply.{made.id}",
        role="supply",
        feeds=(made.id,),
        phases=1,
        voltage=supply.voltage,
        frequency=supply.frequency,
        length=lines.ahead(),
        motors=lines.motors,
        loads=lines.loads,
        converter=plate,
        voltage_to_earth=supply.voltage_to_earth,
        running_current=Figure(most.input_current_a, f"{state}/input_current_a"),
        power_factor=cosine,
        starting_current=start,
        starting_power_factor=cosine if start is not None else None,
        starting_time=lines.of_start("time_s", made.machines),
        fault_largest=supply.fault_largest,
    )
