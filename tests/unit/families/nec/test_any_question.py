"""Any question is answered: with a circuit that keeps the contract, or with what blocks it."""
# ruff: noqa: ANN401, S311 - builders take any field; the numbers are drawn for tests

import math
from collections.abc import Callable, Iterator
from random import Random
from typing import Any

import pytest

from ampwright.region import MotorDemand
from ampwright.step import Figure

Walk = Callable[[object, str], Iterator[tuple[str, float]]]
PLACE = "options/x/circuits/c"


def figure(value: float) -> Figure:
    return Figure(float(value), "case/given")


class Draw:
    """Draws the parts of a question, most of them far from the usual."""

    def __init__(self, us: Any, seed: int) -> None:
        self.us, self.r = us, Random(seed)

    def wide(self) -> Figure:
        return figure(math.exp(self.r.uniform(math.log(1e-3), math.log(2e4))))

    def perhaps(self, low: float, high: float) -> Figure | None:
        return figure(self.r.uniform(low, high)) if self.r.random() < 0.6 else None

    def motor(self, n: int) -> Any:
        r = self.r
        return self.us.motor(
            math.exp(r.uniform(-4.6, 6.8)),
            math.exp(r.uniform(-7, 10)),
            id=f"m/{n}",
            voltage=figure(r.choice([115, 200, 208, 230, 380, 400, 460, 575])),
            phases=r.choice([1, 3]),
            duty=r.choice(["S1", "S2", "S2 10 min", "S3 25 %", "S6", "S9", "", "strange"]),
            hermetic=r.random() < 0.2,
            wound_rotor=r.random() < 0.2,
            largest_leg=self.perhaps(0.1, 500),
            locked_rotor_current=self.perhaps(0.1, 5000),
            service_factor=self.perhaps(0.9, 1.5),
            temperature_rise=self.perhaps(30, 100),
        )

    def load(self, n: int) -> Any:
        r = self.r
        return self.us.load(
            math.exp(r.uniform(-7, 10)),
            id=f"l/{n}",
            kind=r.choice(["resistive", "welder", "transformer", "control", "lamp"]),
            continuous=r.random() < 0.5,
            duty_cycle=self.perhaps(0.01, 1),
            effective_current=self.perhaps(0.1, 100),
            construction=r.choice(["", "arc", "resistance", "auto", "isolating"]),
        )

    def converter(self) -> Any:
        r = self.r
        if r.random() < 0.4:
            return None
        return self.us.converter(
            math.exp(r.uniform(-7, 10)),
            kind=r.choice(["phase-converter", "drive"]),
            method=r.choice(["rotary", "electronic", "drive"]),
            fixed_loads=r.random() < 0.5,
            largest_device=self.perhaps(1, 500),
        )

    def demand(self) -> Any:
        r = self.r
        return r.choice([self.us.made, self.us.single])(
            role=r.choice(["supply", "idler", "output", "branch", "control"]),
            motors=tuple(self.motor(n) for n in range(r.randint(0, 3))),
            loads=tuple(self.load(n) for n in range(r.randint(0, 3))),
            converter=self.converter(),
            cord=r.random() < 0.3,
            length=figure(r.uniform(0, 2000)),
            running_current=self.wide(),
            power_factor=figure(r.random()),
            starting_current=self.perhaps(1, 3000),
            starting_time=self.perhaps(0, 1e4),
            fault_largest=self.perhaps(1, 3e5),
            fault_source=self.perhaps(1, 1e5),
            drop_ahead=self.perhaps(0, 0.5),
        )

    def site(self) -> Any:
        r = self.r
        return self.us.site(
            ambient=f"{r.randint(-40, 90)} degC",
            terminals=r.choice([None, "60 degC", "75 degC"]),
            grouped_circuits=r.choice([None, 1, 2, 5, 100]),
            conductor_material=r.choice([None, "copper", "aluminum"]),
            insulation=r.choice([None, "THHN", "THWN", "TW", "NM-B", "RHW", "no-such"]),
            installation=r.choice(
                [None, "conduit", "cable", "trunking", "tray", "buried-conduit", "buried-cable"]
            ),
            raceway=r.choice([None, "EMT", "PVC-80", "LFMC", "no-such"]),
        )


@pytest.mark.parametrize("start", range(0, 2000, 250))
def test_any_question_is_answered_and_nothing_raises(us: Any, walked: Walk, start: int) -> None:
    answered = 0
    for seed in range(start, start + 250):
        draw = Draw(us, seed)
        demand = draw.demand()
        answer = us.ask(demand, draw.site())
        blocked = any(one.severity == "blocks" for one in answer.findings)
        assert (answer.circuit is None) == blocked, seed
        if answer.circuit is None:
            continue
        answered += 1
        steps = {one.path: one.value for one in answer.circuit.steps}
        assert len(steps) == len(answer.circuit.steps), seed
        for path, value in walked(answer.circuit, PLACE):
            assert steps[path] == value, (seed, path)
        for one in answer.circuit.overloads:
            motor = next(motor for motor in demand.motors if motor.id == one.id)
            assert one.setting_a is not None
            assert one.setting_a <= most_overload(motor) * (1 + 1e-12), (seed, one)
    assert answered > 15


def most_overload(motor: MotorDemand) -> float:
    """Return the highest setting that the plate allows, never above: 430.32(A)(1) [A]."""
    factor, rise = motor.service_factor, motor.temperature_rise
    cool = rise is not None and rise.value <= 40
    strong = factor is not None and factor.value >= 1.15
    return (1.25 if strong or cool else 1.15) * motor.current.value
