"""Starts behind the conductors and devices just chosen."""
# ruff: noqa: ANN401 - fields of a record of any kind

from collections.abc import Sequence
from typing import Any

import pytest
from tests.unit.planning.shops import case_of, figure, machine, step, supply
from tests.unit.planning.stand_ins import (
    Code,
    Method,
    circuit,
    converter,
    demand,
    proposal,
    start,
    state,
    willing,
)

from ampwright.case import Case
from ampwright.equipment.device import ProtectiveDevice
from ampwright.kernels.inrush import asymmetry_factor
from ampwright.kernels.protection import breaker_band, overload_band, trip_time_s
from ampwright.method import Proposal
from ampwright.planning.answers import Inquiry
from ampwright.planning.assembly import Draft
from ampwright.planning.circuits import Equipped, equip
from ampwright.planning.starting import (
    behind_circuits,
    chain,
    checked,
    disturbances,
    judged,
    lowered,
    opens,
    remarks,
    settled,
)
from ampwright.step import HERE, Worksheet

X = "options/x"
MARGIN = figure(1.0, "limits/start-torque-margin")
LINES = (240.0, 236.0, 238.0)


@pytest.fixture(scope="module")
def case() -> Case:
    return case_of(machine("a"), machine("b"))


def in_series(*drops: float) -> list[Any]:
    """Return circuits from the panel to machine a, each with a drop while starting."""
    ends = ["rotary"] * (len(drops) - 1) + ["a"]
    return [
        circuit(f"c{n}", [end], fed_from=f"c{n - 1}" if n else "", starting_drop_fraction=drop)
        for n, (drop, end) in enumerate(zip(drops, ends, strict=True))
    ]


def test_the_chain_runs_from_the_machine_to_the_panel() -> None:
    circuits = in_series(0.01, 0.02, 0.03)
    assert [one.id for one in chain(circuits, "a")] == ["c2", "c1", "c0"]
    assert chain(circuits, "b") == ()


def test_a_chain_that_bites_its_tail_ends() -> None:
    loop = [circuit("c0", ["x"], fed_from="c1"), circuit("c1", ["a"], fed_from="c0")]
    assert [one.id for one in chain(loop, "a")] == ["c1", "c0"]


def test_drops_along_the_chain_lower_voltage_and_torque() -> None:
    """6 % in all: 210 V become 197.4 V, 40 N m become 40 x 0.94^2 = 35.34 N m."""
    found, steps = lowered(start("a"), chain(in_series(0.01, 0.02, 0.03), "a"), X, MARGIN)
    assert found.lowest_voltage_v == pytest.approx(197.4)
    assert found.torque_nm == pytest.approx(35.344)
    assert found.runs_up
    assert found.time_s == 1.0
    by_path = {one.path for one in steps}
    assert by_path == {f"{X}/starts/a/{one}" for one in ("left", "lowest_voltage_v", "torque_nm")}
    inputs = dict(step(steps, "a/torque_nm").inputs)
    assert inputs["T"] == f"{X}/starts/a/at_converter/torque_nm"


@pytest.mark.parametrize(("margin", "up"), [(1.0, True), (1.7, True), (1.8, False)])
def test_torque_has_to_keep_its_margin_behind_the_conductors(margin: float, *, up: bool) -> None:
    """35.34 N m over 20 N m is 1.767."""
    one = figure(margin, "limits/start-torque-margin")
    found, _ = lowered(start("a"), chain(in_series(0.06), "a"), X, one)
    assert found.runs_up is up
    assert (found.time_s is None) is not up


def test_a_start_that_failed_before_does_not_succeed_behind_conductors() -> None:
    found, _ = lowered(start("a", runs_up=False), chain(in_series(0.06), "a"), X, MARGIN)
    assert not found.runs_up


@pytest.mark.parametrize(
    ("one", "circuits"),
    [
        (start("a"), []),
        (start("a"), [circuit("c", ["a"])]),  # without a starting drop
        (start("a", torque_nm=None), in_series(0.06)),
        (start("a", needed_torque_nm=None), in_series(0.06)),
    ],
)
def test_what_is_not_known_changes_nothing(one: Any, circuits: Sequence[Any]) -> None:
    assert lowered(one, tuple(circuits), X, MARGIN) == (one, ())


def breaker(rating: float, **changes: Any) -> ProtectiveDevice:
    usual: dict[str, Any] = {"kind": "breaker", "curve": "inverse-time", "poles": 3}
    return ProtectiveDevice(rating_a=rating, **(usual | changes))


def overload(setting: float, trip_class: str = "class 10") -> ProtectiveDevice:
    return ProtectiveDevice(kind="overload", curve=trip_class, poles=3, setting_a=setting)


def run(amperes: float, seconds: float, peak: float | None = None) -> Any:
    return start("a", motor_current_a=amperes, motor_peak_a=peak or amperes, time_s=seconds)


def test_an_overload_opens_when_its_own_curve_says_so() -> None:
    """The lower edge of class 10 at six times the setting, from cold."""
    edge = trip_time_s(overload_band("10").early, 6.0, 0.0)
    assert 2.0 < edge < 10.0
    assert opens(overload(10.0), run(60.0, 0.9 * edge)) is False
    assert opens(overload(10.0), run(60.0, 1.1 * edge)) is True
    slower = trip_time_s(overload_band("20").early, 6.0, 0.0)
    assert slower > edge
    assert opens(overload(10.0, "class 20"), run(60.0, 1.1 * edge)) is False


def test_a_breaker_opens_when_its_own_curve_says_so() -> None:
    edge = trip_time_s(breaker_band("ul-489", 20.0).early, 3.0, 0.0)
    assert opens(breaker(20.0), run(60.0, 0.9 * edge)) is False
    assert opens(breaker(20.0), run(60.0, 1.1 * edge)) is True


def test_a_peak_opens_a_breaker_at_once_where_the_rest_would_not() -> None:
    """The first half wave of a locked rotor at power factor 0.4 stands out over its steady one."""
    assert opens(breaker(20.0), run(60.0, 0.2)) is False
    assert asymmetry_factor(0.4) > 1.1
    assert opens(breaker(20.0), run(60.0, 0.2, peak=20.0 * 20)) is True


def test_a_longer_or_larger_start_never_opens_less() -> None:
    answers = [
        [opens(overload(10.0), run(amperes, seconds)) for seconds in (0.5, 2.0, 5.0, 20.0)]
        for amperes in (15.0, 40.0, 70.0)
    ]
    for row in [*answers, *zip(*answers, strict=True)]:
        assert list(row) == sorted(row, key=bool)


@pytest.mark.parametrize(
    ("device", "one"),
    [
        (breaker(20.0), start("a")),  # no current reckoned
        (breaker(20.0), start("a", motor_current_a=60.0, motor_peak_a=60.0, time_s=None)),
        (breaker(20.0, curve="unheard-of"), run(60.0, 1.0)),
        (overload(10.0, "class 99"), run(60.0, 1.0)),
        (ProtectiveDevice(kind="fuse", rating_a=30.0, poles=3), run(60.0, 1.0)),
        (ProtectiveDevice(kind="overload", curve="class 10", poles=3), run(60.0, 1.0)),
    ],
)
def test_what_cannot_be_judged_is_not(device: ProtectiveDevice, one: Any) -> None:
    assert opens(device, one) is None


def test_the_last_circuit_is_the_one_that_is_judged() -> None:
    slow = run(60.0, 30.0)
    last = circuit("c1", ["a"], protective_device=breaker(200.0), overloads=(overload(10.0),))
    ahead = circuit("c0", ["rotary"], protective_device=breaker(15.0))
    found = judged(slow, (last, ahead))
    assert (found.device_trips, found.overload_trips) == (False, True)
    assert judged(slow, ()) == slow


def test_what_a_method_knows_of_its_devices_stands() -> None:
    slow = run(60.0, 30.0)
    known = start("a", motor_current_a=60.0, motor_peak_a=60.0, time_s=30.0, device_trips=False,
                  overload_trips=False)  # fmt: skip
    bare = circuit("c", ["a"], protective_device=breaker(15.0))
    assert judged(slow, (bare,)).device_trips is True
    assert judged(known, (bare,)).device_trips is False
    assert judged(known, (bare,)).overload_trips is False


def equipped(case: Case, *proposals: Proposal, code: Code | None = None) -> Equipped:
    return equip(Draft(id="x", proposals=proposals, left_out=()), case, code or Code())


def on_network(**changes: Any) -> Proposal:
    usual: dict[str, Any] = {
        "demands": (demand("branch.a", ["a"]), demand("branch.b", ["b"])),
        "states": (state("rotary", "idle", line_voltage_v=LINES),),
        "starts": (start("a"), start("b")),
    }
    return proposal("rotary", "ab", **(usual | changes))


def test_starts_on_a_network_feel_their_conductors(case: Case) -> None:
    code = Code(changes={"branch.a": {"starting_drop_fraction": 0.05}})
    there = equipped(case, on_network(), code=code)
    found = behind_circuits(there.draft.proposals[0], there, MARGIN)
    assert found.starts[0].lowest_voltage_v == pytest.approx(210 * 0.95)
    assert found.starts[1] == start("b", device_trips=None)


def test_starts_by_electronics_do_not(case: Case) -> None:
    code = Code(changes={"branch.a": {"starting_drop_fraction": 0.05}})
    plain = on_network(states=(state("rotary", "idle"),))
    there = equipped(case, plain, code=code)
    found = behind_circuits(there.draft.proposals[0], there, MARGIN)
    assert found.starts[0].lowest_voltage_v == 210.0


def test_the_figures_at_the_converter_keep_their_steps_under_another_path(case: Case) -> None:
    sheet = Worksheet(HERE)
    sheet.given("starts/a/torque_nm", "T", 40.0, "N m")
    sheet.given("starts/a/lowest_voltage_v", "U", 210.0, "V")
    code = Code(changes={"branch.a": {"starting_drop_fraction": 0.05}})
    there = equipped(case, on_network(steps=sheet.steps), code=code)
    found = behind_circuits(there.draft.proposals[0], there, MARGIN)
    values = {one.path: one.value for one in found.steps}
    assert values[f"{X}/starts/a/at_converter/torque_nm"] == 40.0
    assert values[f"{X}/starts/a/torque_nm"] == pytest.approx(40 * 0.95**2)
    assert len(values) == len(found.steps)


def test_a_method_settles_its_proposal(case: Case) -> None:
    one = on_network()
    there = equipped(case, one)
    other = start("a", current_a=55.0)

    def settled_to(given: Proposal) -> Proposal:
        return proposal("rotary", "ab", starts=(other,))

    inquiry = Inquiry(case, {"rotary": Method("rotary", lambda _: one, settled=settled_to)})
    found, failure = checked(there.draft.proposals[0], there, inquiry)
    assert found.starts == (other,)
    assert failure is None


@pytest.mark.parametrize("answer", [None, "fine"])
def test_a_method_that_settles_amiss_is_named_and_its_machines_blocked(
    case: Case, answer: object
) -> None:
    one = on_network()
    there = equipped(case, one)
    inquiry = Inquiry(case, {"rotary": Method("rotary", lambda _: one, settled=lambda _: answer)})
    found, failure = checked(there.draft.proposals[0], there, inquiry)
    assert found == there.draft.proposals[0]
    assert failure is not None
    assert (failure.code, failure.severity, failure.where) == (
        "plugin.failed",
        "blocks",
        ("a", "b"),
    )


def reasons(starts: Sequence[Any], **stated: Any) -> set[str]:
    shop = case_of(machine("a"), supply=supply(**stated))
    found = list(disturbances(shop, [proposal("rotary", ["a"], starts=tuple(starts))], X))
    assert [one.code for one in found] in (
        [], ["supply.start-disturbance", "plan.utility-consent"],
    )  # fmt: skip
    return {
        why
        for one in found
        for part in one.parameters
        if part.name == "reason"
        for why in str(part.value).split(", ")
    }


@pytest.mark.parametrize(
    ("stated", "why"),
    [
        # 100 A x 240 V are 24 kVA
        ({"transformer": "25 kVA", "impedance": "0.01 ohm"}, set()),
        ({"transformer": "23 kVA", "impedance": "0.01 ohm"}, {"transformer"}),
        ({"starting_limit": "101 A", "impedance": "0.01 ohm"}, set()),
        ({"starting_limit": "99 A", "impedance": "0.01 ohm"}, {"limit"}),
        ({"starting_limited": True, "impedance": "0.01 ohm"}, {"operator"}),
        # 15 % of 240 V are 36 V: 0.36 ohm at 100 A
        ({"impedance": "0.359 ohm"}, set()),
        ({"impedance": "0.361 ohm"}, {"drop"}),
        ({"impedance": "0.361 ohm", "transformer": "23 kVA", "starting_limit": "99 A"},
         {"transformer", "limit", "drop"}),
    ],
)  # fmt: skip
def test_the_largest_start_is_held_against_supply_and_operator(
    stated: dict[str, Any], why: set[str]
) -> None:
    assert reasons([start("a"), start("b", current_a=20.0)], **stated) == why


def test_no_start_disturbs_nobody() -> None:
    assert reasons([], starting_limited=True) == set()
    shop = case_of(machine("a"), supply=supply(starting_limited=True))
    own = proposal("utility", ["a"], starts=(start("a"),), own_supply=True)
    assert list(disturbances(shop, [own], X)) == []


def test_the_finding_names_the_start_and_quotes_its_current() -> None:
    shop = case_of(machine("a"), supply=supply(starting_limited=True))
    one = proposal("rotary", ["a"], starts=(start("b", current_a=20.0), start("a")))
    several = list(disturbances(shop, [one], X))
    assert several
    for found in several:
        assert found.where == ("supply", "a")
        current = next(part for part in found.parameters if part.name == "current")
        assert (current.value, current.unit) == (100.0, "A")
        assert current.step == f"{X}/starts/a/current_a"


def test_what_trips_is_said() -> None:
    starts = (
        start("a", device_trips=True, overload_trips=False),
        start("b", device_trips=False, overload_trips=True),
        start("c", device_trips=None, overload_trips=None),
    )
    found = {(one.code, one.where) for one in remarks([proposal("rotary", "abc", starts=starts)])}
    assert found == {
        ("protection.device-trips-at-start", ("a",)),
        ("protection.overload-trips-at-start", ("b",)),
    }


def inquiry_of(case: Case) -> Inquiry:
    return Inquiry(case, {"rotary": willing("rotary", shared=True)})


def test_a_start_that_fails_behind_thin_conductors_asks_for_thicker_ones(case: Case) -> None:
    """40 N m for 20 N m bear 1 - sqrt(20/40) = 29.3 % in all; 10 % ahead leave 19.3 %."""
    one = on_network(demands=(
        demand("output.rotary", ["a", "b"], role="output"),
        demand("branch.a", ["a"], fed_from="output.rotary"),
        demand("branch.b", ["b"], fed_from="output.rotary"),
    ))  # fmt: skip
    code = Code(changes={
        "output.rotary": {"starting_drop_fraction": 0.10},
        "branch.a": {"starting_drop_fraction": 0.25},
    })  # fmt: skip
    found = settled(equipped(case, one, code=code), inquiry_of(case), code)
    limits = {asked.id: asked.starting_drop_limit for asked in code.demands[3:]}
    assert limits["branch.a"] is not None
    assert limits["branch.a"].value == pytest.approx(1 - 0.5**0.5 - 0.10)
    assert limits["branch.b"] is None
    assert limits["output.rotary"] is None
    # the code gave the same circuits again, so the start still fails
    assert [each.runs_up for each in found.draft.proposals[0].starts] == [False, True]


def test_a_start_that_succeeds_asks_for_nothing(case: Case) -> None:
    code = Code(changes={"branch.a": {"starting_drop_fraction": 0.25}})
    found = settled(equipped(case, on_network(), code=code), inquiry_of(case), code)
    assert len(code.demands) == 2
    assert all(each.runs_up for each in found.draft.proposals[0].starts)


def test_a_start_that_fails_at_the_converter_is_helped_by_no_conductor(case: Case) -> None:
    one = on_network(starts=(start("a", torque_nm=15.0, runs_up=False), start("b")))
    code = Code(changes={"branch.a": {"starting_drop_fraction": 0.05}})
    settled(equipped(case, one, code=code), inquiry_of(case), code)
    assert len(code.demands) == 2


def test_what_is_settled_carries_findings_of_starts_and_disturbances() -> None:
    shop = case_of(machine("a"), machine("b"), supply=supply(starting_limited=True))
    trips = start("a", motor_current_a=60.0, motor_peak_a=60.0, time_s=30.0)
    code = Code(changes={"branch.a": {"protective_device": breaker(15.0)}})
    there = equipped(shop, on_network(starts=(trips, start("b"))), code=code)
    found = settled(there, inquiry_of(shop), code)
    assert {one.code for one in found.findings} == {
        "supply.start-disturbance", "plan.utility-consent", "protection.device-trips-at-start",
    }  # fmt: skip


def test_a_converter_that_regulates_makes_good_what_drops_ahead_of_it(case: Case) -> None:
    """5 % on its output count, 10 % on its supply do not."""
    one = on_network(
        converters=(converter("rotary", "ab", regulates=True),),
        demands=(
            demand("supply.rotary", ["rotary"], role="supply", phases=1),
            demand("branch.a", ["a"], fed_from="supply.rotary"),
        ),
        starts=(start("a"),),
    )
    code = Code(changes={
        "supply.rotary": {"starting_drop_fraction": 0.10},
        "branch.a": {"starting_drop_fraction": 0.05},
    })  # fmt: skip
    there = equipped(case, one, code=code)
    found = behind_circuits(there.draft.proposals[0], there, MARGIN)
    assert found.starts[0].lowest_voltage_v == pytest.approx(210 * 0.95)


def test_torque_that_just_keeps_its_margin_is_enough() -> None:
    """40 N m at half a voltage are 10 N m: exactly what 10 N m ask."""
    one = start("a", needed_torque_nm=10.0)
    assert lowered(one, chain(in_series(0.5), "a"), X, MARGIN)[0].runs_up


def test_the_steps_of_a_thicker_circuit_go_to_its_own_proposal(case: Case) -> None:
    """Two converters; only the one whose machine does not start has a limit put to it."""
    drops = {f"branch.{name}": {"starting_drop_fraction": 0.25} for name in "ab"}
    needs = {"a": 30.0, "b": 5.0}
    ways = [
        proposal(
            f"rotary{name}", [name], demands=(demand(f"branch.{name}", [name]),),
            states=(state(f"rotary{name}", "idle", line_voltage_v=LINES),),
            starts=(start(name, needed_torque_nm=needs[name]),),
        )
        for name in "ab"
    ]  # fmt: skip
    code = Code(changes=drops)
    inquiry = Inquiry(case, {one.method: willing(one.method) for one in ways})
    found = settled(equipped(case, *ways, code=code), inquiry, code)
    limited = [
        {one.path for one in each.steps if one.path.endswith("/drop_limit")}
        for each in found.draft.proposals
    ]
    assert limited == [{f"{X}/starts/a/drop_limit"}, set()]
