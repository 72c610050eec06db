"""What is left for the next machine, by each thing that limits the supply."""

from typing import Any

import attrs
import pytest
from tests.unit.planning.shops import case_of, machine, supply
from tests.unit.planning.stand_ins import circuit, converter, state

import ampwright as aw
from ampwright.equipment.device import ProtectiveDevice
from ampwright.method import Limit
from ampwright.option import Assignment, Option
from ampwright.planning.burden import burden
from ampwright.planning.headroom import headroom, of_converters
from ampwright.records.supply import Panel


def option(*amperes: float) -> Option:
    states = tuple(
        state("", f"set-{n}", id=f"supply/set-{n}", input_current_a=one)
        for n, one in enumerate(amperes, 1)
    )
    inside = state("rotary", "set-1", input_current_a=999.0)
    served = (Assignment(id="saw", method="rotary", verdict="feasible"),)
    return Option(id="rotary", machines=served, feasible=True, verdict="feasible",
                  states=(inside, *states))  # fmt: skip


def left(best: Option | None, **changes: Any) -> dict[str, Any]:  # noqa: ANN401 - any field
    case = case_of(machine(), supply=supply(**changes))
    found = headroom(burden(case), best)
    return {part.name: part.value for one in found.findings for part in one.parameters}


def test_each_limit_has_what_the_set_that_draws_most_leaves() -> None:
    """100 A less 10 A there and 35 A: 55 A; 18 kVA and 25 kVA at 240 V are 75 and 104.2 A."""
    found = left(option(20.0, 35.0), contract="18 kVA", transformer="25 kVA")
    assert found == {
        "set": "set-2", "main": 55.0, "contract": 30.0,
        "transformer": pytest.approx(25000 / 240 - 45),
    }  # fmt: skip


def test_nothing_is_left_below_nought() -> None:
    assert left(option(95.0))["main"] == 0.0


def test_an_unknown_limit_is_not_named_and_without_a_way_nothing_is_said() -> None:
    assert left(option(35.0), rating=None) == {}
    assert left(None) == {}


def test_the_panel_keeps_the_poles_that_the_circuits_of_the_way_leave() -> None:
    """Eight free, two circuits of two poles on the panel, one behind a converter: four are left."""
    two = ProtectiveDevice(kind="breaker", rating_a=40.0, curve="inverse-time", poles=2)
    ours = [circuit(name, ("saw",), phases=1, protective_device=two) for name in ("a", "b")]
    behind = circuit("c", ("saw",), fed_from="rotary", protective_device=two)
    best = attrs.evolve(option(35.0), circuits=(*ours, behind))
    for free, spare in ((8, 4.0), (3, 0.0)):
        case = case_of(machine(), supply=supply(panel=Panel(free_poles=free)))
        found = headroom(burden(case), best, case.shop.supply.panel)
        said = {part.name: part for one in found.findings for part in one.parameters}
        assert (said["poles"].value, said["poles"].step) == (spare, "headroom/poles")
        step = next(one for one in found.steps if one.path == "headroom/poles")
        assert {path for _, path in step.inputs} == {
            "shop/supply/panel/free_poles",
            *(f"options/rotary/circuits/{name}/protective_device/poles" for name in "ab"),
        }


def test_a_machine_that_draws_less_than_what_is_left_fits() -> None:
    """The plan says so of itself: a second such shop beside the first is still borne.

    A quarter of the largest motor counts once, 430.24: two alike leave less by what one draws.
    """
    plate = {"power": "3 hp", "voltage": "230 V", "frequency": "60 Hz"}
    at = {"arrangement": "split-phase", "voltage": "240 V", "frequency": "60 Hz", "rating": "100 A"}

    def planned(names: str) -> aw.Plan:
        machines = [{"id": name, "length": "5 m", "motors": [plate]} for name in names]
        shop = {"region": "us", "supply": at, "machines": machines}
        return aw.plan(aw.Shop.from_dict(shop), methods=["drive"], check=False)

    one, two = planned("a"), planned("ab")
    rooms = [
        next(float(part.value) for each in plan.findings if each.code == "plan.headroom"
             for part in each.parameters if part.name == "main")
        for plan in (one, two)
    ]  # fmt: skip
    (plain,) = [each for each in one.options[0].states if each.converter == ""]
    drawn = plain.input_current_a
    assert 0.0 < drawn < rooms[0] < 100.0 - drawn
    assert rooms[1] == pytest.approx(rooms[0] - drawn, rel=0.02)


def test_the_main_device_has_no_more_left_than_its_wiring_code_leaves_it() -> None:
    """20 A measured count 25, 220.87, and a drive a quarter of its plate more, 430.24."""
    plan = aw.plan(aw.Shop.from_dict({
        "region": "us",
        "supply": {"arrangement": "split-phase", "voltage": "240 V", "frequency": "60 Hz",
                   "rating": "100 A", "existing_load": "20 A"},
        "machines": [{"id": "a", "length": "5 m", "motors": [
            {"power": "3 hp", "voltage": "230 V", "frequency": "60 Hz"}]}],
    }), methods=["drive"])  # fmt: skip
    (option,) = plan.options
    (drive,) = option.converters
    (plain,) = [each for each in option.states if each.converter == ""]
    (room,) = [one for one in plan.findings if one.code == "plan.headroom"]
    said = {part.name: part.value for part in room.parameters}
    least = 100 - 1.25 * 20 - plain.input_current_a - 0.25 * drive.input_current_a
    assert said["main"] == pytest.approx(least)
    assert {one.code for one in plan.checks or ()} <= {"check.not-checked"}


def asked(constraint: str, asks: float | None, unit: str = "W", **changes: Any) -> Limit:  # noqa: ANN401 - any field
    own = {"id": f"rotary/{constraint}", "subject": "rotary", "governs": False} | changes
    return Limit(constraint=constraint, asks=asks, unit=unit, **own)


SIZED = (
    asked("running-torque", 2000.0), asked("usable-output", 5000.0),
    asked("start-torque", 6000.0), asked("run-up-time", 7500.0), asked("idler-winding", None),
    asked("rule-of-thumb", 90000.0, cross_check=True),
    asked("motor-power", 1.0, id="m", subject="other"),
)  # fmt: skip


def test_a_converter_has_left_what_its_limits_do_not_ask_for() -> None:
    """7500 W less the 5000 W that running asks for at most, and less 7500 W for the starts."""
    made = attrs.evolve(converter("rotary", "ab"), rating_w=7500.0, rating_va=None)
    best = attrs.evolve(option(35.0), converters=(made,), limits=SIZED)
    found = of_converters(best, ("rotary",))
    (said,) = found.findings
    assert (said.code, said.where) == ("converter.headroom", ("rotary",))
    values = {part.name: (part.value, part.unit) for part in said.parameters}
    assert values == {"running": (2500.0, "W"), "starting": (0.0, "W")}
    assert {one.path: one.value for one in found.steps} == {
        "headroom/rotary/running": 2500.0, "headroom/rotary/starting": 0.0
    }  # fmt: skip


def test_a_piece_for_one_machine_or_without_limits_has_nothing_to_say() -> None:
    made = attrs.evolve(converter("rotary", "ab"), rating_w=7500.0, rating_va=None)
    best = attrs.evolve(option(35.0), converters=(made,), limits=SIZED)
    assert of_converters(best, ("electronic",)).findings == ()
    assert of_converters(attrs.evolve(best, limits=()), ("rotary",)).findings == ()
    assert of_converters(None, ("rotary",)).findings == ()


def test_a_plan_says_what_its_converter_has_left_in_the_sizes_of_its_kind() -> None:
    """What is left and what the hardest of its constraints ask for are its rating together."""
    for method, unit in (("rotary", "W"), ("electronic", "VA")):
        plan = aw.plan(case_of(machine()).shop, methods=[method], region="us")
        assert plan.best is not None
        assert not [one for one in plan.checks or () if one.severity != "info"]
        (made,) = plan.best.converters
        (said,) = (one for one in plan.findings if one.code == "converter.headroom")
        values = {part.name: float(part.value) for part in said.parameters}
        assert {part.unit for part in said.parameters} == {unit}
        known = [one for one in plan.best.limits if not one.cross_check]
        most = max(one.asks or 0.0 for one in known)
        rating = made.rating_w if unit == "W" else made.rating_va
        assert min(values.values()) == pytest.approx((rating or 0.0) - most)
        assert min(values.values()) >= 0.0
