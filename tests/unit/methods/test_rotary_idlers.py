"""An idler led by a pony motor, and a second one for one big machine."""
# ruff: noqa: ANN401 - fields of a record of any kind

from typing import Any

import pytest
from tests.unit.planning.shops import case_of, machine, motor, supply

import ampwright as aw
from ampwright.finding import Finding
from ampwright.method import Proposal, Refusal
from ampwright.methods.rotary import Rotary

STIFF = {"rating": "400 A", "impedance": "0.03 ohm"}


def sized(name: str, hp: float, **fields: Any) -> Any:
    """Return a machine with one motor of *hp* at 230 V and a usual current."""
    plate = motor(power=f"{hp:g} hp", voltage="230 V", current=None, speed="1750 rpm")
    usual = {"start": "none", "load_torque": "fan", "average_load": 0.6, "controls": "none"}
    return machine(name, motors=(plate,), **(usual | fields))


def answered(*machines: Any, **source: Any) -> Proposal | Refusal:
    together = tuple((one.id,) for one in machines)
    case = case_of(*machines, together=together, supply=supply(**(STIFF | source)))
    return Rotary().answer(case, case.machines)


def proposed(*machines: Any, **source: Any) -> Proposal:
    found = answered(*machines, **source)
    assert isinstance(found, Proposal), found
    return found


def said(found: Proposal, code: str) -> Finding | None:
    return next((one for one in found.findings if one.code == code), None)


def of(one: Finding | None, name: str) -> float:
    assert one is not None
    return float(next(part.value for part in one.parameters if part.name == name))


def own_start(found: Proposal) -> Any:
    return next(one for one in found.starts if one.id == "rotary")


@pytest.fixture(scope="module")
def unled() -> Proposal:
    return proposed(sized("a", 10))


def test_where_nothing_forbids_it_the_idler_starts_on_its_capacitor(unled: Proposal) -> None:
    (made,) = unled.converters
    assert any(one.purpose == "start" for one in made.capacitors)
    assert "pony-motor" not in made.protective_features
    assert said(unled, "rotary.pony-start") is None


def test_a_limit_below_its_start_asks_for_a_pony_motor(unled: Proposal) -> None:
    """Half of what it drew on its capacitor; at 98 % of its speed it draws less than that."""
    alone = own_start(unled).current_a
    found = proposed(sized("a", 10), starting_limit=f"{alone / 2:.1f} A")
    led = own_start(found)
    one = said(found, "rotary.pony-start")
    assert led.current_a < alone
    assert led.runs_up
    assert of(one, "direct") == pytest.approx(alone)
    assert of(one, "current") == led.current_a
    (made,) = found.converters
    assert of(one, "power") == pytest.approx(0.07 * (made.idler_power_w or 0.0))
    assert "pony-motor" in made.protective_features
    assert not any(each.purpose == "start" for each in made.capacitors)


@pytest.mark.parametrize(
    ("source", "reason"),
    [
        ({"starting_limit": "60 A"}, "limit"),
        ({"source": "generator", "surge": "15 kVA"}, "surge"),
        ({"transformer": "15 kVA"}, "transformer"),
        ({"impedance": "0.4 ohm"}, "drop"),
    ],
)
def test_each_bound_of_the_supply_asks_for_it(source: dict[str, Any], reason: str) -> None:
    one = said(proposed(sized("a", 10), **source), "rotary.pony-start")
    assert one is not None
    (text,) = (part.value for part in one.parameters if part.name == "reason")
    assert reason in str(text)


def test_a_transformer_with_neighbours_bears_half(unled: Proposal) -> None:
    need = own_start(unled).current_a * 240.0
    roomy = {"transformer": f"{1.3 * need:.0f} VA"}
    assert said(proposed(sized("a", 10), **roomy), "rotary.pony-start") is None
    shared = {**roomy, "transformer_sole_use": False}
    assert said(proposed(sized("a", 10), **shared), "rotary.pony-start") is not None


def test_a_whole_plan_with_a_pony_motor_holds() -> None:
    stated = aw.Shop(
        region="us", machines=(sized("a", 10),),
        supply=supply(rating="400 A", transformer="25 kVA", impedance="0.05 ohm"),
    )  # fmt: skip
    plan = aw.plan(stated, methods=["rotary"])
    assert not [one for one in plan.checks or () if one.severity == "blocks"]
    (option,) = [one for one in plan.options if one.converters]
    assert "pony-motor" in option.converters[0].protective_features


def test_one_big_machine_among_small_ones_is_told_of_a_second_idler() -> None:
    found = proposed(sized("big", 15), sized("s", 1.5), sized("t", 2))
    one = said(found, "rotary.second-idler")
    assert one is not None
    assert one.where == ("rotary", "big")
    (made,) = found.converters
    alone = proposed(sized("s", 1.5), sized("t", 2)).converters[0]
    whole = made.idler_power_w or 0.0
    assert of(one, "first") <= min(whole / 2, 2 * (alone.idler_power_w or 0.0))
    assert of(one, "first") + of(one, "second") >= whole * (1 - 1e-9)
    assert 0.0 < of(one, "saved") < made.losses_w * 1.5


def test_machines_alike_have_no_use_for_a_second_idler() -> None:
    found = proposed(sized("a", 5), sized("b", 5), sized("c", 3))
    assert said(found, "rotary.second-idler") is None


def test_what_starts_on_no_number_of_them_says_so() -> None:
    found = answered(sized("a", 25, start="hard", load_torque="constant"))
    assert isinstance(found, Refusal)
    assert "count" not in {part.name for one in found.reasons for part in one.parameters}


@pytest.mark.parametrize("length", ["10 m", "40 m", "150 m"])
@pytest.mark.parametrize(("hp", "start"), [(5, "normal"), (15, "light"), (20, "none")])
def test_an_idler_is_large_enough_for_the_conductors_behind_it_too(
    hp: float, start: str, length: str
) -> None:
    """What it starts at its own terminals by a hair, it does not start at the end of a cable."""
    one = sized("a", hp, start=start, load_torque="constant", length=length)
    stated = aw.Shop(
        region="us", machines=(one,), supply=supply(rating="400 A", impedance="0.05 ohm")
    )
    plan = aw.plan(stated, methods=["rotary"], check=False)
    codes = {found.code for option in plan.options for found in option.findings}
    assert "converter.start-fails" not in codes
    assert plan.best is not None
