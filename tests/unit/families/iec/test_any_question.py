"""Any question is answered: with a circuit that keeps the contract, or with what blocks it."""
# ruff: noqa: ANN401, S311 - builders take any field; the numbers are drawn for tests

import math
from collections.abc import Callable, Iterator
from random import Random
from typing import Any

import pytest

from ampwright.step import Figure

Walk = Callable[[object, str], Iterator[tuple[str, float]]]
PLACE = "options/x/circuits/c"


def figure(value: float) -> Figure:
    return Figure(float(value), "case/given")


class Draw:
    """Draws the parts of a question, most of them far from the usual."""

    def __init__(self, iec: Any, seed: int) -> None:
        self.iec, self.r = iec, Random(seed)

    def wide(self) -> Figure:
        return figure(math.exp(self.r.uniform(math.log(1e-3), math.log(1e3))))

    def perhaps(self, low: float, high: float) -> Figure | None:
        return figure(self.r.uniform(low, high)) if self.r.random() < 0.6 else None

    def motor(self, n: int) -> Any:
        r = self.r
        return self.iec.motor(
            math.exp(r.uniform(-3, 4.5)),
            math.exp(r.uniform(-3, 5.5)),
            id=f"m/{n}",
            machine=r.choice(["m", f"m{n}"]),
            voltage=figure(r.choice([115, 208, 230, 240, 380, 400, 415, 480])),
            phases=r.choice([1, 3]),
            current_known=r.choice(["plate", "derived", "assumed"]),
            one_at_a_time=r.random() < 0.3,
            largest_leg=self.perhaps(0.1, 300),
            locked_rotor_current=self.perhaps(0.1, 2000),
        )

    def load(self, n: int) -> Any:
        r = self.r
        return self.iec.load(
            math.exp(r.uniform(-4, 5.5)),
            id=f"l/{n}",
            kind=r.choice(["resistive", "welder", "transformer", "control", "lamp", "rectifier"]),
            duty_cycle=self.perhaps(0.01, 1),
            effective_current=self.perhaps(0.1, 100),
        )

    def converter(self) -> Any:
        r = self.r
        if r.random() < 0.4:
            return None
        return self.iec.converter(
            math.exp(r.uniform(-4, 5.5)),
            kind=r.choice(["phase-converter", "drive"]),
            method=r.choice(["rotary", "electronic", "drive"]),
            largest_device=self.perhaps(1, 500),
        )

    def demand(self) -> Any:
        r = self.r
        return r.choice([self.iec.made, self.iec.single])(
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
            fault_largest=self.perhaps(1, 7e4),
            fault_source=self.perhaps(1, 1e5),
            drop_ahead=self.perhaps(0, 0.5),
        )

    def site(self) -> Any:
        r = self.r
        return self.iec.site(
            ambient=r.choice([None, f"{r.randint(-40, 90)} degC"]),
            grouped_circuits=r.choice([None, 1, 2, 5, 100]),
            conductor_material=r.choice([None, "copper", "aluminum"]),
            insulation=r.choice([None, "PVC", "XLPE", "H07RN-F", "NYM", "THHN"]),
            installation=r.choice(
                [None, "conduit", "cable", "trunking", "tray", "surface", "in-wall", "overhead",
                 "buried-conduit", "buried-cable", "cord"]
            ),
            soil_resistivity=r.choice([None, "1.2 K m/W", "2.7 K m/W", "8 K m/W"]),
        )  # fmt: skip

    def supply(self) -> Any:
        r = self.r
        return self.iec.supply(
            earthing=r.choice([None, "tn-s", "tn-c-s", "tt", "it"]),
            residual_type=r.choice([None, "ac", "a", "f", "b"]),
            impedance=r.choice([None, "0.3 ohm"]),
            source=r.choice(["utility", "generator"]),
        )


@pytest.mark.parametrize("start", range(0, 2000, 250))
def test_any_question_is_answered_and_nothing_raises(iec: Any, walked: Walk, start: int) -> None:
    answered = 0
    for seed in range(start, start + 250):
        draw = Draw(iec, seed)
        answer = iec.ask(draw.demand(), draw.site(), draw.supply())
        blocked = any(one.severity == "blocks" for one in answer.findings)
        assert (answer.circuit is None) == blocked, seed
        for one in answer.findings:
            assert not one.rule or one.rule in iec.code.rules, (seed, one.rule)
        if answer.circuit is None:
            continue
        answered += 1
        steps = {one.path: one.value for one in answer.circuit.steps}
        assert len(steps) == len(answer.circuit.steps), seed
        for step in answer.circuit.steps:
            assert not step.rule or step.rule in iec.code.rules, (seed, step.path)
            assert step.kind != "table" or step.table in iec.code.tables, (seed, step.path)
        for path, value in walked(answer.circuit, PLACE):
            assert steps[path] == value, (seed, path)
    assert answered > 15
