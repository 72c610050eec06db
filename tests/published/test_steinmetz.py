"""The one capacitor of a three-phase motor on two lines, by the rules that circulate.

Common practice, no source: about 70 uF a kilowatt at 230 V, 50 Hz (a rule attributed to the
withdrawn DIN 48501, which has not been seen), and C = 2 P / (root 3 w U2), of which the first is
the rounded value. A question-and-answer page on the web gives C = 50 uF hp (220 V / U)2 (50 Hz / f)
(seen there); it is a little below, for it counts on a motor's usual power factor.
"""

import math
from collections.abc import Callable

import pytest

from ampwright.kernels.balance import balancing_pair, steinmetz_capacitance

Check = Callable[..., None]
HP_W = 745.7


def test_seventy_microfarads_a_kilowatt(printed: Check) -> None:
    ours = steinmetz_capacitance(1000.0, 230.0, 50.0) * 1e6
    printed("capacitor of 1 kW at 230 V, 50 Hz (common practice)", 70.0, ours, "uF", within=0.75)


@pytest.mark.parametrize(
    ("voltage_v", "frequency_hz"), [(220.0, 50.0), (400.0, 50.0), (220.0, 60.0)]
)
def test_the_rule_by_horsepower(voltage_v: float, frequency_hz: float, printed: Check) -> None:
    rule = 50.0 * (220.0 / voltage_v) ** 2 * (50.0 / frequency_hz)
    ours = steinmetz_capacitance(HP_W, voltage_v, frequency_hz) * 1e6
    name = f"capacitor of 1 hp at {voltage_v:g} V, {frequency_hz:g} Hz (question-and-answer page)"
    printed(name, rule, ours, "uF", within=0.15 * rule)


def test_one_capacitor_suffices_at_sixty_degrees(printed: Check) -> None:
    """Classic result: the angle of the load must be 60 degrees (textbooks, from memory)."""

    def second_capacitor(degrees: float) -> float:
        angle = math.radians(degrees)
        return balancing_pair(complex(math.cos(angle), -math.sin(angle)), 50.0).bc_f

    low, high = 10.0, 89.0
    for _ in range(60):
        middle = (low + high) / 2.0
        low, high = (middle, high) if second_capacitor(middle) < 0.0 else (low, middle)
    printed("angle at which one capacitor balances", 60.0, low, "degrees", within=1e-6)
