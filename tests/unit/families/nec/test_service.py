"""The service and the panel: what is added, what is there, what the panel bears."""
# ruff: noqa: ANN401 - the builders take any field of a record

from typing import Any

import attrs
import pytest
from tests.unit.families.nec.services import ask, codes, converter, figure, moved, parameter

from ampwright.region import ServiceDemand


def test_existing_load_counts_a_quarter_more(us: Any) -> None:
    """1.25 x 14 + 50 = 67.5 of 200 A."""
    answer = ask(us)
    assert answer.load_a == pytest.approx(67.5)
    assert answer.spare_a == pytest.approx(132.5)
    assert answer.enough is True
    assert "supply.existing-load-measured" in {one.code for one in answer.assumptions}


def test_largest_motor_counts_a_quarter_more(us: Any) -> None:
    """Converter of 60 A plate among the circuits: 17.5 + 50 + 0.25 x 60 = 82.5 A."""
    answer = ask(us, circuits=(converter(us), converter(us, 20)))
    assert answer.load_a == pytest.approx(82.5)


def test_a_motor_on_the_panel_counts_and_one_behind_a_converter_does_not(us: Any) -> None:
    """3 hp, 230 V, one phase: 17 A: 17.5 + 50 + 0.25 x 17 = 71.75 A; the 20 hp idler adds none."""
    saw = us.ask(us.single(id="branch.c", motors=(us.motor(3, 16, phases=1),))).circuit
    idler = us.ask(
        us.made(id="idler.r", role="idler", fed_from="supply.r", motors=(us.motor(20, 52),))
    ).circuit
    answer = ask(us, circuits=(moved(saw), moved(idler)))
    assert answer.load_a == pytest.approx(71.75)
    assert {one.code for one in answer.assumptions} == {"supply.existing-load-measured"}


@pytest.mark.parametrize(
    ("plate", "power", "share"), [(18, 3, 4.5), (26, 5, 7.0), (17.5, 3, 4.375), (27.5, 5, 7.0)]
)
def test_a_motor_and_a_converter_nearly_alike(
    us: Any, plate: float, power: float, share: float
) -> None:
    """3 hp 17 A, 5 hp 28 A on one phase: a quarter of the larger, plate or motor."""
    saw = moved(us.ask(us.single(id="branch.c", motors=(us.motor(power, 9, phases=1),))).circuit)
    answer = ask(us, circuits=(converter(us, plate), saw))
    assert answer.load_a == pytest.approx(17.5 + 50 + share)


def test_the_larger_of_motor_and_converter_counts(us: Any) -> None:
    """Plate of 60 A against a motor of 17 A: a quarter of 60 A; against one of 20 A: 0.25 x 28."""
    saw = moved(us.ask(us.single(id="branch.c", motors=(us.motor(5, 26, phases=1),))).circuit)
    assert ask(us, circuits=(converter(us), saw)).load_a == pytest.approx(82.5)
    answer = ask(us, circuits=(converter(us, 20), saw))
    assert answer.load_a == pytest.approx(17.5 + 50 + 7)
    first = ask(us, circuits=(converter(us),))
    (said,) = [one for one in first.assumptions if one.code.endswith("counts-as-motor")]
    assert {one.name: one.value for one in said.parameters} == {"circuit": "c", "current": 15.0}
    code, asked = (
        "authority.converter-counts-as-motor",
        {(q.code, q.changes) for q in first.questions},
    )
    assert (code, "figures") in asked
    motor = ask(us, circuits=(saw,))
    assert code not in {one.code for one in motor.questions}


def test_a_drive_behind_a_transformer_counts_with_its_amperes_at_the_panel(us: Any) -> None:
    """Plate of 40 A at 480 V: 80 A at 240 V, a quarter is 20: 17.5 + 50 + 20 = 87.5 A.

    430.24 asks for the largest motor on the feeder, whatever transformer is ahead of it.
    """
    feeder = us.ask(us.single(id="feeder.saw", loads=(us.load(80),))).circuit
    drive = us.ask(us.single(id="supply.drive", role="supply", voltage=us.figure(480),
                             fed_from="feeder.saw", converter=us.converter(40)))  # fmt: skip
    circuits = (moved(feeder), moved(drive.circuit))
    assert ask(us, circuits=circuits).load_a == pytest.approx(87.5)
    saw = moved(us.ask(us.single(id="branch.c", motors=(us.motor(5, 26, phases=1),))).circuit)
    assert ask(us, circuits=(*circuits, saw)).load_a == pytest.approx(87.5)
    made = attrs.evolve(circuits[0], role="output")
    assert ask(us, circuits=(made, circuits[1])).load_a == pytest.approx(67.5)


def test_nothing_running_and_nothing_known(us: Any) -> None:
    demand = ServiceDemand(prefix="options/x/service", voltage=figure(240), running=())
    answer = us.code.service(demand, us.site(), us.supply(existing_load=None, rating=None))
    assert (answer.load_a, answer.spare_a, answer.enough) == (0.0, None, None)
    assert {one.field for one in answer.questions} >= {"supply.rating", "supply.existing_load"}


def test_exactly_full_is_enough(us: Any) -> None:
    answer = ask(us, amps=100 - 17.5, rating="100 A")
    assert answer.enough is True
    assert answer.spare_a == 0.0
    assert codes(ask(us, amps=83, rating="100 A")) == ["supply.undersized"]


def test_panel_without_room(us: Any) -> None:
    fed = (converter(us), converter(us, 20))
    full = ask(us, circuits=fed, panel={"free_poles": 3})
    assert "supply.panel-full" in codes(full)
    assert parameter(full, "supply.panel-full", "needed") == 4.0
    assert "supply.panel-full" not in codes(ask(us, circuits=fed, panel={"free_poles": 4}))


@pytest.mark.parametrize(
    ("panel", "reason"),
    [
        ({"largest_branch": "70 A"}, "largest-branch"),
        ({"largest_branch": "80 A"}, ""),
        ({"bus": "150 A"}, "bus"),
        ({"bus": "200 A"}, ""),
        ({"fault_rating": "5 kA"}, "fault-rating"),
        ({"fault_rating": "10 kA"}, ""),
        ({"slash_rating": "120/240 V"}, ""),
    ],
)
def test_panel_that_does_not_suit(us: Any, panel: dict[str, str], reason: str) -> None:
    """60 A plate: an 80 A device; 8 kA fault current; 200 A main."""
    answer = ask(us, circuits=(converter(us),), panel=panel)
    if reason:
        assert parameter(answer, "supply.panel-unfit", "reason") == reason
    else:
        assert "supply.panel-unfit" not in codes(answer)


def test_slash_rating_against_a_leg_to_ground(us: Any) -> None:
    made = us.ask(us.made(motors=(us.motor(5, 13),))).circuit
    answer = ask(us, circuits=(made,), panel={"slash_rating": "120/240 V"})
    assert parameter(answer, "supply.panel-unfit", "reason") == "slash-rating"
    assert parameter(answer, "supply.panel-unfit", "needed") == 208.0


def test_circuits_behind_others_do_not_count(us: Any) -> None:
    behind = us.ask(us.made(motors=(us.motor(5, 13),), fed_from="output.rotary")).circuit
    answer = ask(us, circuits=(behind,), panel={"free_poles": 0})
    assert "supply.panel-full" not in codes(answer)


def test_unknown_panel_is_asked_for(us: Any) -> None:
    answer = ask(us, circuits=(converter(us),))
    assert "supply.panel" in {one.field for one in answer.questions}


def test_an_unstated_existing_load_is_said_and_asked_for(us: Any) -> None:
    answer = ask(us, existing_load=None)
    (said,) = [one for one in answer.assumptions if one.code == "supply.no-existing-load"]
    (one,) = said.parameters
    assert (one.name, one.value, one.unit) == ("value", 0.0, "A")
    assert one.step == "options/x/service/existing_a"
    (asked,) = [one for one in answer.questions if one.field == "supply.existing_load"]
    assert (asked.code, asked.changes, asked.where) == ("plan.data-needed", "size", ())


def test_each_number_of_the_service_names_its_clause(us: Any) -> None:
    for circuits in ((converter(us),), ()):
        answer = ask(us, circuits=circuits)
        rules = {one.path.removeprefix("options/x/service/"): one.rule for one in answer.steps}
        assert rules["largest_motor_a"] == "nec.430.24"
        for name in ("existing_a", "added_a", "load_a", "spare_a"):
            assert rules[name] == "nec.220.87", name
    unknown = ask(us, existing_load=None)
    (step,) = [one for one in unknown.steps if one.path.endswith("existing_a")]
    assert (step.rule, step.source.clause) == ("nec.220.87", "220.87")


def test_all_that_runs_is_added(us: Any) -> None:
    demand = ServiceDemand(
        prefix="options/x/service", voltage=figure(240),
        running=(("a", figure(20)), ("b", figure(30)), ("c", figure(5))),
    )  # fmt: skip
    answer = us.code.service(demand, us.site(), us.supply())
    assert answer.load_a == pytest.approx(17.5 + 55)


@pytest.mark.parametrize(("amps", "enough"), [(82.5, True), (82.55, False)])
def test_an_exceeded_service_blocks(us: Any, amps: float, *, enough: bool) -> None:
    """1.25 x 14 + 82.5 = 100 A."""
    answer = ask(us, amps=amps, rating="100 A")
    assert answer.enough is enough
    said = [one for one in answer.findings if one.code == "supply.undersized"]
    assert bool(said) is not enough
    for one in said:
        assert (one.severity, one.rule, one.where) == ("blocks", "nec.220.87", ("service",))
        values = {each.name: each.value for each in one.parameters}
        assert values == {"load": pytest.approx(100.05), "rating": 100.0, "existing": 17.5,
                          "added": pytest.approx(82.55)}  # fmt: skip


def test_what_is_said_of_an_exceeded_service_adds_up(us: Any) -> None:
    """17.5 there, 75 new, a quarter of 60 A of plate: 15; all three are named."""
    answer = ask(us, amps=75, rating="100 A", circuits=(converter(us),))
    (said,) = [one for one in answer.findings if one.code == "supply.undersized"]
    values = {each.name: float(each.value) for each in said.parameters}
    assert values["motor"] == pytest.approx(15)
    assert values["load"] == pytest.approx(107.5)
    parts = values["existing"] + values["added"] + values["motor"]
    assert parts == pytest.approx(values["load"])


@pytest.mark.parametrize(
    ("panel", "rule", "unit", "values"),
    [
        ({"largest_branch": "70 A"}, "nec.408.36", "A",
         {"reason": "largest-branch", "circuit": "c", "needed": 80.0, "largest": 70.0}),
        ({"bus": "150 A"}, "nec.408.36", "A",
         {"reason": "bus", "needed": 200.0, "largest": 150.0}),
        ({"fault_rating": "5 kA"}, "nec.110.10", "A",
         {"reason": "fault-rating", "needed": 8000.0, "largest": 5000.0}),
    ],
)  # fmt: skip
def test_what_a_panel_lacks_is_said_with_its_clause(
    us: Any, panel: dict[str, str], rule: str, unit: str, values: dict[str, object]
) -> None:
    answer = ask(us, circuits=(converter(us),), panel=panel)
    (said,) = [one for one in answer.findings if one.code == "supply.panel-unfit"]
    assert (said.severity, said.rule) == ("caution", rule)
    assert {one.name: one.value for one in said.parameters} == values
    assert {one.unit for one in said.parameters if isinstance(one.value, float)} == {unit}
    for one in said.parameters:
        assert isinstance(one.value, str) or one.step.startswith("options/x/"), one


def test_numbers_of_a_panel_have_their_steps(us: Any) -> None:
    fed = (converter(us), converter(us, 20))
    answer = ask(us, circuits=fed, panel={"free_poles": 3, "largest_branch": "70 A"})
    (full,) = [one for one in answer.findings if one.code == "supply.panel-full"]
    assert (full.severity, full.rule) == ("caution", "nec.408.54")
    own = {one.path: one.value for one in answer.steps}
    for one in full.parameters:
        assert own[one.step] == one.value
    (unfit,) = [one for one in answer.findings if one.code == "supply.panel-unfit"]
    device = next(one for one in unfit.parameters if one.name == "needed")
    assert device.step == "options/x/circuits/c/protective_device/rating_a"
    (step,) = [one for one in answer.steps if one.path.endswith("panel/poles")]
    assert step.rule == "nec.408.54"


@pytest.mark.parametrize(("fault", "unfit"), [("10 kA", False), ("10.1 kA", True)])
def test_a_panel_bears_its_fault_rating(us: Any, fault: str, *, unfit: bool) -> None:
    answer = ask(us, circuits=(converter(us),), panel={"fault_rating": "10 kA"},
                 fault_current=fault)  # fmt: skip
    assert ("supply.panel-unfit" in codes(answer)) is unfit


@pytest.mark.parametrize(
    ("slash", "volts", "unfit"),
    [("120/240 V", 126, False), ("120/240 V", 126.1, True), ("120/208 V", 126.1, True),
     ("277/480 V", 208, False)],
)  # fmt: skip
def test_the_lower_figure_of_a_slash_rating_bears_on_legs(
    us: Any, slash: str, volts: float, *, unfit: bool
) -> None:
    legs = (us.figure(120), us.figure(volts))
    heat = us.ask(us.single(loads=(us.load(10),), voltage_to_earth=legs)).circuit
    answer = ask(us, circuits=(heat,), panel={"slash_rating": slash})
    said = [one for one in answer.findings if one.code == "supply.panel-unfit"]
    assert bool(said) is unfit
    for one in said:
        assert one.rule == "nec.240.85"
        assert {each.unit for each in one.parameters if each.name != "circuit"} == {"", "V"}


def test_an_unknown_panel_is_a_matter_of_safety(us: Any) -> None:
    answer = ask(us, circuits=(converter(us),))
    (asked,) = [one for one in answer.questions if one.field == "supply.panel"]
    assert (asked.code, asked.changes, asked.where) == ("plan.data-needed", "safety", ())
    unrated = ask(us, rating=None)
    (asked,) = [one for one in unrated.questions if one.field == "supply.rating"]
    assert (asked.code, asked.changes) == ("plan.data-needed", "size")
