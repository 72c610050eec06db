"""How each motor of a machine of several starts, as its own overload sees it."""

from collections.abc import Callable, Iterable
from typing import Protocol

import attrs

from ampwright.kernels.run_up import Course
from ampwright.method import MotorStart, Start
from ampwright.region import MotorDemand
from ampwright.step import Figure


class RunsUp(Protocol):
    """A run-up that was reckoned."""

    @property
    def starts(self) -> bool:
        """Whether it comes up at the lower edge of its torque."""

    @property
    def low(self) -> Course:
        """Its course at that edge."""

    @property
    def largest_line_a(self) -> float:
        """Largest current of the motor [A]."""


def motor_start(
    motor: str, found: RunsUp, put: Callable[[str, str, float, str], float], times: float = 1.0
) -> MotorStart:
    """Return the start of one motor as a record.

    Args:
        motor: Its id.
        found: Its run-up.
        put: States a figure of the start by field, symbol, value and unit, and returns its value.
        times: Current behind a transformer of its own over the current ahead.
    """
    place = f"motors/{motor}"
    seconds = amperes = None
    if found.starts:
        seconds = put(f"{place}/time_s", "t", found.low.time_s, "s")
        amperes = put(f"{place}/motor_current_a", "I_m", found.low.rms_current_a * times, "A")
    peak = put(f"{place}/motor_peak_a", "I_p", found.largest_line_a * times, "A")
    return MotorStart(id=motor, time_s=seconds, motor_current_a=amperes, motor_peak_a=peak)


def with_own_start(demand: MotorDemand, starts: Iterable[Start], prefix: str) -> MotorDemand:
    """Return *demand* with the time of its own start, where its machine has several motors.

    Args:
        demand: The motor.
        starts: The starts of a proposal.
        prefix: Where its steps stand.
    """
    for start in starts:
        for one in start.motors:
            if one.id == demand.id and one.time_s is not None:
                path = f"{prefix}/starts/{start.id}/motors/{one.id}/time_s"
                return attrs.evolve(demand, starting_time=Figure(one.time_s, path))
    return demand
