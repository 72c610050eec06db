"""What the lines behind a converter do while machines run and start, for what watches them."""

from collections.abc import Iterable, Iterator

import attrs

from ampwright.equipment.circuit import Circuit
from ampwright.finding import Finding, parameters
from ampwright.method import Proposal
from ampwright.region import CircuitDemand
from ampwright.step import Figure, Step, Worksheet
from ampwright.tables import Source

LEAST = Source(document="the least of three lines", known="derived")


def with_made_lines(
    demand: CircuitDemand, proposals: Iterable[Proposal], place: str
) -> tuple[CircuitDemand, tuple[Step, ...]]:
    """Return *demand* with its lowest voltage while running, and the longest start behind it.

    The start of an idler does not count: what it feeds is switched on once it has run up. Only of
    circuits with a made leg is anything reckoned, and of an idler's nothing.

    Args:
        demand: The circuit.
        proposals: What the option consists of, their paths moved to it.
        place: Path of the option.
    """
    if not demand.made_leg or demand.stepped or demand.role == "idler":
        return demand, ()
    own = next((one for one in proposals if any(each is demand or each.id == demand.id
                                                for each in one.demands)), None)  # fmt: skip
    states = [one for one in (own.states if own else ()) if one.line_voltage_v]
    if own is None or not states:
        return demand, ()
    least = min(states, key=lambda one: min(one.line_voltage_v))
    sheet = Worksheet(f"{place}/wiring/{demand.id}")
    lines = {
        f"U{n}": Figure(volts, f"{place}/states/{least.id}/line_voltage_v/{n}")
        for n, volts in enumerate(least.line_voltage_v)
    }
    lowest = sheet.formula(
        "lowest_running", "U_run", "V", f"min({', '.join(lines)})", lines, source=LEAST
    )
    starts = [one for one in own.starts if one.converter]
    timed = [one for one in starts if one.time_s is not None]
    longest = max(timed, key=lambda one: one.time_s or 0.0, default=None)
    found = attrs.evolve(
        demand,
        lowest_running=lowest,
        longest_start=None
        if longest is None or len(timed) < len(starts)
        else Figure(float(longest.time_s or 0.0), f"{place}/starts/{longest.id}/time_s"),
    )
    return found, sheet.steps


def blanking(
    proposals: Iterable[Proposal], circuits: Iterable[Circuit], place: str
) -> Iterator[Finding]:
    """Yield what a start means for the voltage relays behind its converter.

    Where a start pulls the lines below what they drop at, nothing but their delay tells it from a
    fault.
    """
    known = [one for one in circuits if any(each.setting_v is not None for each in one.guards)]
    for proposal in proposals:
        asked = {one.id for one in proposal.demands}
        own = [one for one in known if one.id in asked]
        starts = [one for one in proposal.starts if one.converter]
        if not own or not starts:
            continue
        dip = min(starts, key=lambda one: one.lowest_voltage_v)
        circuit, relay = max(
            ((one, each) for one in own for each in one.guards if each.setting_v is not None),
            key=lambda pair: pair[1].setting_v or 0.0,
        )
        if dip.lowest_voltage_v >= (relay.setting_v or 0.0):
            continue
        path = f"{place}/circuits/{circuit.id}/guards/{relay.id}"
        yield Finding(
            code="protection.relay-start-blanking",
            severity="caution",
            where=tuple(one.id for one in own),
            parameters=parameters(
                "dip=V dropout=V delay=s",
                dip=Figure(dip.lowest_voltage_v, f"{place}/starts/{dip.id}/lowest_voltage_v"),
                dropout=Figure(relay.setting_v or 0.0, f"{path}/setting_v"),
                delay=Figure(relay.delay_s or 0.0, f"{path}/delay_s"),
            ),
        )
