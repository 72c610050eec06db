"""Correction of the input: the largest capacitor that may stay, and no larger one."""

import math

from tests.unit.kernels.test_capacitor_choice import RUNGS, SOURCE, duty

from ampwright.kernels.balance import Pair
from ampwright.kernels.duty import solved
from ampwright.kernels.input_correction import input_correction


def test_the_next_can_would_pass_the_limit_of_the_input() -> None:
    states = duty()
    pairs = [Pair(40e-6, 60e-6)] * 4
    found = input_correction(SOURCE, states, pairs, RUNGS)
    steep = math.tan(math.acos(0.98))
    assert all(va.imag >= va.real * steep for va in found.input_va)
    above = RUNGS[RUNGS.index(found.ab) + 1].total_f
    powers = [
        solved(SOURCE, state, pair, ab_f=above).input_va
        for state, pair in zip(states, pairs, strict=True)
    ]
    assert not all(va.imag >= va.real * steep for va in powers)


def test_an_input_that_leads_already_gets_no_capacitor() -> None:
    found = input_correction(SOURCE, duty(), [Pair(120e-6, 240e-6)] * 4, RUNGS)
    assert found.ab.total_f == 0.0
    assert found.input_va[0].imag < 0.0
