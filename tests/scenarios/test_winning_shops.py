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
    "four-machines-one-man": "rotary",
    "one-sander-with-speeds": "drive",
    "one-kiln": "relink",
    "one-saw-for-one-phase": "direct",
}
EIGHT = {"static", "rotary", "drive", "electronic", "motor-swap", "utility", "relink", "direct"}
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
    ("four-machines-one-man", "three-phase at the meter for little",
     lambda one: with_three_phase(one, where="at-meter", price="400 USD", current="60 A",
                                  months=1, yearly_charge="0 USD")),
    ("one-sander-with-speeds", "a switch between drive and motor",
     lambda one: changed(one, "sander", traits=("internal-switching",))),
    ("one-sander-with-speeds", "slip rings",
     lambda one: changed(one, "sander", traits=("wound-rotor",))),
    ("one-kiln", "elements that cannot be linked otherwise",
     lambda one: changed(one, "kiln", loads=tuple(attrs.evolve(each, relinkable=False)
                                                  for each in one.machines[0].loads))),
    ("one-saw-for-one-phase", "a motor for three lines",
     lambda one: changed(one, "saw", motors=tuple(attrs.evolve(each, phases=3)
                                                  for each in one.machines[0].motors))),
]  # fmt: skip


def test_every_built_in_method_wins_somewhere_and_loses_somewhere() -> None:
    assert set(WINS.values()) == EIGHT <= set(aw.Engine().methods())
    beaten = {WINS[name] for name, _, _ in LOSES} | {"electronic"}  # that one loses below
    assert beaten == EIGHT


@pytest.mark.parametrize(("name", "method"), WINS.items())
def test_it_wins(name: str, method: str) -> None:
    assert methods(shop(name)) == {method}


@pytest.mark.parametrize(
    ("name", "change"), [(one, change) for one, _, change in LOSES],
    ids=[f"{one}: {why}" for one, why, _ in LOSES],
)  # fmt: skip
def test_one_input_makes_it_lose(name: str, change: Change) -> None:
    assert WINS[name] not in methods(change(shop(name)))


def test_a_standing_charge_over_the_years_decides_against_the_utility() -> None:
    """400 once is less than any converter; 1500 a year on top is more within a few years."""
    stated = shop("four-machines-one-man")
    there = {"where": "at-meter", "price": "400 USD", "current": "60 A", "voltage": "240 V"}
    assert methods(with_three_phase(stated, **there, yearly_charge="0 USD")) == {"utility"}
    assert "utility" not in methods(with_three_phase(stated, **there, yearly_charge="1500 USD"))


def test_one_limit_takes_the_rotary_off_the_machine_that_states_it() -> None:
    """A limit of unbalance that no idler keeps leaves the other machines where they were."""
    stated = changed(shop("four-machines-one-man"), "lathe", unbalance_limit=0.01)
    best = aw.plan(stated, check=False).best
    assert best is not None
    assert best.assignment["lathe"] != "rotary"


def test_without_neutral_and_monitor_the_electronic_converter_loses() -> None:
    stated = shop("cold-store-with-a-monitor")
    plain = changed(stated, "chiller", unbalance_limit=None, traits=(), needs_neutral=None,
                    controls="own-transformer")  # fmt: skip
    plain = changed(plain, "labeller", needs_neutral=None, controls="supply-lines", traits=(),
                    motors=plain.machines[0].motors, loads=())  # fmt: skip
    assert "electronic" not in methods(plain)
