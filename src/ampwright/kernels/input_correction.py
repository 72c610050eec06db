"""Capacitor between the supply legs of a converter: as large as it may stay connected."""

import math
from collections.abc import Sequence
from typing import NamedTuple

from ampwright.kernels.balance import Pair, Rung, at_most
from ampwright.kernels.duty import DutyState, solved
from ampwright.kernels.network import Source

LAGGING = 0.98  # highest input power factor that a fixed correction is taken to


class InputCorrection(NamedTuple):
    """A capacitor between the supply legs, and the input of every state with it.

    Attributes:
        ab: The capacitor.
        input_va: Complex input power of each state; a negative imaginary part leads.
    """

    ab: Rung
    input_va: tuple[complex, ...]


def input_correction(
    source: Source,
    states: Sequence[DutyState],
    pairs: Sequence[Pair],
    rungs: Sequence[Rung],
) -> InputCorrection:
    """Return the capacitor between the supply legs that may stay connected in every state.

    Args:
        source: The supply.
        states: All states of the duty.
        pairs: The capacitors to the made leg in each of them.
        rungs: Capacitances that stock can make.

    Returns:
        The largest that leaves the input power factor of every state at 0.98 lagging or below, so
        that it never leads and no machine excites itself when the supply opens; none, where the
        balancing capacitors alone bring a state beyond that.

    Raises:
        ValueError: There is no state.

    Accuracy:
        The power factor of every state is solved again with the capacitor returned.

    Source:
        Common practice, no source.
    """
    frequency = states[0].rotors[0].circuit.frequency_hz
    steep = math.sqrt(1.0 / LAGGING**2 - 1.0)
    room = math.inf
    for state, pair in zip(states, pairs, strict=True):
        at = solved(source, state, pair)
        volts = at.line_v[0]
        spare = (at.input_va.imag - at.input_va.real * steep) / volts**2
        room = min(room, spare / (2.0 * math.pi * frequency))
    place = at_most(rungs, max(room, 0.0))
    while True:
        powers = [
            solved(source, state, pair, ab_f=rungs[place].total_f).input_va
            for state, pair in zip(states, pairs, strict=True)
        ]
        if place == 0 or all(va.imag >= va.real * steep for va in powers):
            return InputCorrection(rungs[place], tuple(powers))
        place -= 1
