"""Plates whose figures contradict each other: plan and check reckon with the same ones.

A motor of 50 hp at 230 V draws about 130 A (table 430.250 of the NEC), ten times what is stated
here: no motor gives more than it draws. Whether it is 5 hp or 130 A, nobody can know from afar.
"""

import attrs
import pytest

import ampwright as aw
from ampwright.finding import Finding

SUPPLIES = {
    "us": {"arrangement": "split-phase", "voltage": "240 V", "frequency": "60 Hz"},
    # so strong that no start changes its voltage by what needs the operator's consent
    "iec": {
        "arrangement": "line-neutral",
        "voltage": "230 V",
        "frequency": "50 Hz",
        "impedance": "0.05 ohm",
    },
}
SAW = {"power": "5 hp", "voltage": "230/460 V", "current": "13/6.5 A"}
MOTORS = {
    "us": SAW | {"frequency": "60 Hz"},
    "iec": {"power": "4 kW", "voltage": "230/400 V", "current": "14.4/8.3 A", "frequency": "50 Hz"},
}
#: One figure of each motor put wrong.
WRONG = [
    ("us", "power", "50 hp"),
    ("us", "current", "130/65 A"),
    ("us", "current", "1.3/0.65 A"),
    ("us", "current", "19.5/9.75 A"),
    ("iec", "power", "40 kW"),
    ("iec", "current", "144/83 A"),
]


def planned(region: str, **wrong: str) -> aw.Plan:
    """Return the plan for a saw of whose plate some figures are put wrong."""
    return aw.plan(
        aw.Shop.from_dict(
            {
                "region": region,
                "supply": SUPPLIES[region] | {"rating": "200 A", "existing_load": "10 A"},
                "machines": [
                    {"id": "saw", "start": "light", "motors": [MOTORS[region] | wrong]},
                ],
            }
        )
    )


def objections(findings: tuple[Finding, ...] | None) -> list[str]:
    assert findings is not None
    return [str(one) for one in findings if one.severity == "blocks"]


@pytest.mark.parametrize(("region", "field", "value"), WRONG)
def test_plan_and_check_reckon_with_the_same_figures(region: str, field: str, value: str) -> None:
    plan = planned(region, **{field: value})
    assert objections(plan.checks) == []


@pytest.mark.parametrize(("region", "field", "value"), WRONG)
def test_a_contradiction_is_said_and_asked_and_is_no_plain_yes(
    region: str, field: str, value: str
) -> None:
    plan = planned(region, **{field: value})
    assert "nameplate.implausible" in {one.code for one in plan.findings}
    assert {"method", "size"} & {one.changes for one in plan.questions}
    assert plan.verdict == "feasible-with-conditions"


@pytest.mark.parametrize(
    ("field", "value"),
    [("efficiency", "8.9 %"), ("locked_rotor_current", "900 A"), ("speed", "17400 rpm")],
)
def test_a_figure_that_nothing_stands_in_for_is_said_to_be_wrong(field: str, value: str) -> None:
    plan = planned("us", **{field: value})
    (said,) = (one for one in plan.findings if one.code == "nameplate.implausible")
    assert ("field", field) in [(part.name, part.value) for part in said.parameters]
    assert plan.verdict == "feasible-with-conditions"
    assert objections(plan.checks) == []


def test_what_the_plate_states_is_not_said_to_be_missing() -> None:
    data = {
        "region": "us",
        "supply": SUPPLIES["us"] | {"rating": "200 A", "existing_load": "10 A"},
        "machines": [{"id": "saw", "plate": "50 HP 230/460 V 13/6.5 A 60 HZ 3PH"}],
    }
    plan = aw.plan(aw.Shop.from_dict(data))
    assert [one.code for one in plan.findings].count("nameplate.implausible") == 1
    assert "nameplate.missing-field" not in {one.code for one in plan.findings}
    assert plan.verdict == "feasible-with-conditions"
    assert objections(plan.checks) == []


#: The amperes of each motor in the wrong order: the larger ones belong to the lower voltage.
SWAPPED = {"us": ("6.5/13 A", 13.0), "iec": ("8.3/14.4 A", 14.4)}


@pytest.mark.parametrize("region", SWAPPED)
def test_amperes_in_the_wrong_order_are_put_right_said_and_asked(region: str) -> None:
    printed, right = SWAPPED[region]
    plan = planned(region, current=printed)
    (step,) = (one for one in plan.steps if one.path == "machines/saw/motors/0/current")
    assert step.value == pytest.approx(right)
    (said,) = (one for one in plan.findings if one.code == "nameplate.implausible")
    values = {part.name: part.value for part in said.parameters}
    assert values["field"] == "current"
    assert values["swapped"] == pytest.approx(right)
    assert "motor.contradiction" in {one.code for one in plan.questions}
    assert plan.verdict == "feasible-with-conditions"
    assert objections(plan.checks) == []


def test_the_higher_voltage_of_a_swapped_pair_takes_the_smaller_current() -> None:
    """On 480 V the motor of 230/460 V, "6.5/13 A", draws 6.5 A; its overload is 1.15 times that."""
    data = {
        "region": "us",
        "supply": SUPPLIES["us"] | {"rating": "200 A", "existing_load": "10 A"},
        "machines": [
            {"id": "mill", "plate": "2 HP 460 V 3.1 A 60 HZ"},
            {"id": "saw", "motors": [MOTORS["us"] | {"current": "6.5/13 A"}]},
        ],
    }
    plan = aw.plan(aw.Shop.from_dict(data))
    assert objections(plan.checks) == []
    (option,) = (one for one in plan.options if one.id == "electronic")
    (branch,) = (one for one in option.circuits if one.id == "branch.saw")
    assert branch.voltage_v == pytest.approx(480.0)
    assert branch.overload is not None
    assert branch.overload.setting_a == pytest.approx(1.15 * 6.5)


def test_a_motor_without_a_current_is_judged_at_the_voltage_that_it_runs_on() -> None:
    """Twice the voltage, half of the current that is assumed at the lower one; 1.15: 430.32(A)."""
    bare = {key: value for key, value in MOTORS["us"].items() if key != "current"}
    data = {
        "region": "us",
        "supply": SUPPLIES["us"] | {"rating": "200 A", "existing_load": "10 A"},
        "machines": [{"id": "mill", "plate": "2 HP 460 V 3.1 A 60 HZ"},
                     {"id": "saw", "motors": [bare]}],
    }  # fmt: skip
    plan = aw.plan(aw.Shop.from_dict(data), methods=["electronic"])
    assert objections(plan.checks) == []
    (option,) = plan.options
    (branch,) = (one for one in option.circuits if one.id == "branch.saw")
    (low,) = (one for one in plan.steps if one.path == "machines/saw/motors/0/current")
    assert branch.voltage_v == pytest.approx(480.0)
    assert branch.overload is not None
    assert branch.overload.setting_a == pytest.approx(1.15 * float(low.value) / 2)


def test_an_overload_for_the_other_voltage_of_a_swapped_pair_is_objected_to() -> None:
    plan = planned("us", current="6.5/13 A")
    (option,) = (one for one in plan.options if one.id == "rotary")
    (branch,) = (one for one in option.circuits if one.id == "branch.saw")
    assert branch.overload is not None
    for wrong in (1.15 * 6.5, 1.15 * 26.0):
        other = attrs.evolve(branch.overload, setting_a=wrong)
        changed = attrs.evolve(branch, overloads=(other,))
        circuits = tuple(changed if one is branch else one for one in option.circuits)
        put = attrs.evolve(option, circuits=circuits)
        options = tuple(put if one is option else one for one in plan.options)
        found = objections(aw.verify(attrs.evolve(plan, options=options)))
        assert any("overloads" in one and "430.32" in one for one in found)


@pytest.mark.parametrize("region", MOTORS)
def test_figures_that_agree_are_a_plain_yes(region: str) -> None:
    plan = planned(region)
    assert "nameplate.implausible" not in {one.code for one in plan.findings}
    assert plan.verdict == "feasible"


@pytest.mark.parametrize(("region", "value"), [("us", "50 hp"), ("iec", "40 kW")])
def test_a_contradiction_that_is_kept_silent_is_objected_to(region: str, value: str) -> None:
    plan = planned(region, power=value)
    silent = attrs.evolve(
        plan, findings=tuple(one for one in plan.findings if one.code != "nameplate.implausible")
    )
    assert objections(aw.verify(silent)) != []
