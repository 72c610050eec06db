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
    "iec": {"arrangement": "line-neutral", "voltage": "230 V", "frequency": "50 Hz"},
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
