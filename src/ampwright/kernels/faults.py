"""Fault currents behind a converter: what flows into a line or earth fault on each leg.

The made leg is fed through the idler alone, so a bolted fault there may draw less than a breaker
needs to trip at once. The smallest current decides, and it is not the one of the first instant.
Written with operators alone; the driver that solves the network is handed in (``Solver``).
"""

from collections.abc import Sequence
from typing import NamedTuple, Protocol

from ampwright.kernels.legs import PLACES, ConstantPower, Legs, Source, plus
from ampwright.kernels.network import solve
from ampwright.kernels.network_state import State
from ampwright.kernels.operating_point import Rotor

BOLTED_SHARE = 1e-6  # of the first machine's base impedance; a fault path is never below that


class Solver(Protocol):
    """A driver of the network: ``network.solve`` or ``columns.network.solve``."""

    def __call__(
        self,
        source: Source,
        legs: Legs,
        rotors: Sequence[Rotor],
        *,
        slips: Sequence[float | None] = (),
        constant_power: tuple[ConstantPower, ...] = (),
        guess: Sequence[float] = (),
    ) -> State:
        """Return the steady state."""


class FaultCurrent(NamedTuple):
    """Rms current of one fault, in its steady part, and what feeds it.

    Attributes:
        place: Where: ``ab``, ``bc``, ``ca`` between lines, ``a``, ``b``, ``c`` to earth.
        smallest_a: The smaller of the next two.
        at_speed_a: With the rotors still at the speeds from before the fault.
        settled_a: With the rotors at the speeds to which the fault brings them.
        open_v: Voltage at the place before the fault.
        source_ohm: What stands between that voltage and the fault at speed, leakage as the fault
            current saturates it, phasor.
        source_a: Current of the supply in the fault's heavier leg, at speed.
        stalled: Whether the fault pulls the first machine, the idler, out of step with its field.
    """

    place: str
    smallest_a: float
    at_speed_a: float
    settled_a: float
    open_v: float
    source_ohm: complex
    source_a: float
    stalled: bool


def fault_current(
    source: Source,
    legs: Legs,
    rotors: Sequence[Rotor],
    place: str,
    path_ohm: complex,
    *,
    constant_power: tuple[ConstantPower, ...] = (),
) -> FaultCurrent:
    """Return the current of a fault at *place* behind its path.

    Args:
        source: The single-phase supply; for the smallest current at its lowest voltage.
        legs: Capacitors and other branches that stay connected.
        rotors: The idler first, then load motors that keep turning; for the smallest current on
            the made leg give the idler alone, since load motors feed the fault.
        place: One of ``PLACES``.
        path_ohm: Impedance of the faulted circuit, out and back, hot; to earth that of line and
            protective conductor, and of the earth electrodes where the return is through them.
            The network's own impedances are not to be counted in it.
        constant_power: Loads that stay connected.

    Returns:
        The current at the speeds before the fault and at those after it.

    Raises:
        ValueError: The place does not exist, there is no machine, or nothing feeds the made leg.

    Accuracy:
        Steady part only: the offset and the decaying part of the machines add to the first cycles
        and are left out on purpose. Locked-rotor reactance known to 15 % moves the current on the
        made leg by 15 %. Against Thevenin's equivalent of the unsaturated network: rounding.

    Source:
        Nodal analysis with the fault as a branch.
    """
    return fault_by(solve, source, legs, rotors, place, path_ohm, constant_power)


def fault_currents(
    source: Source,
    legs: Legs,
    rotors: Sequence[Rotor],
    path_ohm: complex,
    *,
    constant_power: tuple[ConstantPower, ...] = (),
) -> tuple[FaultCurrent, ...]:
    """Return ``fault_current`` at all of ``PLACES``, in their order, each behind *path_ohm*."""
    return tuple(
        fault_current(source, legs, rotors, place, path_ohm, constant_power=constant_power)
        for place in PLACES
    )


def fault_by(
    solver: Solver,
    source: Source,
    legs: Legs,
    rotors: Sequence[Rotor],
    place: str,
    path_ohm: complex,
    constant_power: tuple[ConstantPower, ...],
) -> FaultCurrent:
    """Return the current of a fault with *solver* as the network's driver."""
    if place not in PLACES:
        raise ValueError(f"a fault stands at one of {', '.join(PLACES)}, got {place!r}")
    if not rotors:
        raise ValueError("a converter's fault current needs at least one machine")
    before = solver(source, legs, rotors, constant_power=constant_power)
    slips = tuple(rotor.slip for rotor in before.rotors)
    base_ohm = before.line_v[0] / rotors[0].circuit.rated_current_a
    least = BOLTED_SHARE * base_ohm
    path = path_ohm + least * (abs(path_ohm) < least)
    faulted = plus(legs, Legs(**{f"y_{place}": 1.0 / path}))
    held = solver(source, faulted, rotors, slips=slips, constant_power=constant_power)
    after = solver(source, faulted, rotors, constant_power=constant_power, guess=slips)
    open_v, held_v = _across(before, place), _across(held, place)
    at_speed_a, settled_a = abs(held_v / path), abs(_across(after, place) / path)
    i_a, i_b = abs(held.source_a[0]), abs(held.source_a[1])
    return FaultCurrent(
        place=place,
        smallest_a=(at_speed_a + settled_a - abs(at_speed_a - settled_a)) / 2.0,
        at_speed_a=at_speed_a,
        settled_a=settled_a,
        open_v=abs(open_v),
        source_ohm=(open_v / held_v - 1.0) * path,
        source_a=(i_a + i_b + abs(i_a - i_b)) / 2.0,
        stalled=after.stalled[0],
    )


def _across(state: State, place: str) -> complex:
    voltage = dict(zip("abc", state.leg_v, strict=True))
    return voltage[place[0]] - (voltage[place[1]] if len(place) > 1 else 0.0)
