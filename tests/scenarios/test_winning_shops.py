"""For each way, a shop where it wins, and the one input that makes it lose."""
# ruff: noqa: ANN401 - fields of a record of any kind

from collections.abc import Callable
from pathlib import Path
from typing import Any

import attrs
import pytest

import ampwright as aw
from ampwright.records.supply import ThreePhase

SHOPS = Path(__file__).with_name("shops")


def shop(name: str) -> aw.Shop:
    return aw.load_shop(SHOPS / f"{name}.toml")


def methods(stated: aw.Shop) -> set[str | None]:
    best = aw.plan(stated, check=False).best
    return set() if best is None else set(best.assignment.values())


def changed(stated: aw.Shop, name: str, **fields: Any) -> aw.Shop:
    """Return *stated* with fields of the machine *name* changed."""
    machines = tuple(
        attrs.evolve(one, **fields) if one.id == name else one for one in stated.machines
    )
    return attrs.evolve(stated, machines=machines)


def with_three_phase(stated: aw.Shop, **fields: Any) -> aw.Shop:
    """Return *stated* with fields of its three-phase changed."""
    there = attrs.evolve(stated.supply.three_phase or ThreePhase(where="none"), **fields)
    return attrs.evolve(stated, supply=attrs.evolve(stated.supply, three_phase=there))


WINS = {
    "one-light-lathe": "static",
    "cold-store-with-a-monitor": "electronic",
    "one-dryer": "motor-swap",
    "three-phase-at-the-meter": "utility",
}
Change = Callable[[aw.Shop], aw.Shop]
LOSES: list[tuple[str, str, Change]] = [
    ("one-light-lathe", "more work", lambda one: changed(one, "lathe", average_load="90 %")),
    ("one-light-lathe", "a hard start", lambda one: changed(one, "lathe", start="hard")),
    ("one-light-lathe", "speed control", lambda one: changed(one, "lathe", variable_speed=True)),
    ("one-dryer", "a machine that is not sold for one phase, reversed under power",
     lambda one: changed(one, "dryer", single_phase_unit=False,
                         traits=("internal-switching", "plugging"))),
    ("three-phase-at-the-meter", "three-phase that is not there",
     lambda one: with_three_phase(one, where="none")),
    ("three-phase-at-the-meter", "three-phase of too little current",
     lambda one: with_three_phase(one, current="15 A")),
]  # fmt: skip


@pytest.mark.parametrize(("name", "method"), WINS.items())
def test_it_wins(name: str, method: str) -> None:
    assert methods(shop(name)) == {method}


@pytest.mark.parametrize(
    ("name", "change"), [(one, change) for one, _, change in LOSES],
    ids=[f"{one}: {why}" for one, why, _ in LOSES],
)  # fmt: skip
def test_one_input_makes_it_lose(name: str, change: Change) -> None:
    assert WINS[name] not in methods(change(shop(name)))


def test_without_neutral_and_monitor_the_electronic_converter_loses() -> None:
    stated = shop("cold-store-with-a-monitor")
    plain = changed(stated, "chiller", unbalance_limit=None, traits=())
    plain = changed(plain, "labeller", needs_neutral=None, controls="supply-lines", traits=(),
                    motors=plain.machines[0].motors, loads=())  # fmt: skip
    assert "electronic" not in methods(plain)
