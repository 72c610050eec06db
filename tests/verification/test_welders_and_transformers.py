"""The check of welders by both parts of article 630, and of transformers by 450.3(B) and 450.4.

Each plan is sound; each change below breaks one rule in it.
"""

from functools import cache
from typing import Any

import attrs
import pytest

import ampwright as aw
from ampwright.engine import default
from ampwright.verification.verify import verify

SUPPLY: dict[str, Any] = {
    "arrangement": "split-phase", "voltage": "240 V", "frequency": "60 Hz", "rating": "200 A",
    "fault_current": "8 kA",
}  # fmt: skip
SITE = {
    "ambient": "30 degC",
    "installation": "conduit",
    "insulation": "THWN-2",
    "terminals": "75 degC",
}


def objections(decision: aw.Decision) -> set[tuple[str, str]]:
    tables = default().regions()["us"].in_edition(decision.region.edition).tables
    return {(one.code, one.rule) for one in verify(decision, tables) if one.severity != "info"}


@cache
def welding(name: str, duty: float | None = None, effective: str | None = None) -> aw.Plan:
    load = aw.Load(kind="welder", name=name, current="50 A", voltage="240 V", phases=1,
                   duty_cycle=duty, effective_current=effective)  # fmt: skip
    machine = aw.Machine(id="welder", length="10 m", loads=(load,))
    shop = aw.Shop(
        region="us", supply=aw.Supply(**SUPPLY), site=aw.Site(**SITE), machines=(machine,)
    )
    return aw.plan(shop, check=False)


def circuit(plan: aw.Plan, name: str) -> aw.Circuit:
    option = plan.options[0]
    return next(one for one in option.circuits if one.id.startswith(name))


def changed(plan: aw.Plan, name: str, **parts: Any) -> aw.Decision:  # noqa: ANN401 - fields of a record
    """Return the plan with a circuit that differs, the steps of what differs alike."""
    old = circuit(plan, name)
    new = attrs.evolve(old, **parts)
    values = {
        f"options/{plan.options[0].id}/circuits/{old.id}/protective_device/rating_a":
            new.protective_device.rating_a,
        f"options/{plan.options[0].id}/circuits/{old.id}/conductor/size": new.conductor.size,
        f"options/{plan.options[0].id}/circuits/{old.id}/disconnect/rating_a":
            new.disconnect.rating_a if new.disconnect else None,
    }  # fmt: skip
    steps = tuple(
        attrs.evolve(one, value=values[one.path]) if values.get(one.path) is not None else one
        for one in new.steps
    )
    new = attrs.evolve(new, steps=steps)
    options = tuple(
        attrs.evolve(
            option, circuits=tuple(new if one.id == old.id else one for one in option.circuits)
        )
        if option is plan.options[0]
        else option
        for option in plan.options
    )
    return attrs.evolve(plan, options=options)


@pytest.mark.parametrize(
    ("name", "duty", "amps", "conductor"),
    [
        ("spot welder", None, 35.0, "10 AWG"),  # 0.70 x 50 A; 35 A at 75 C
        ("spot welder", 0.5, 35.5, "8 AWG"),  # 0.71 x 50 A
        ("MIG", 0.2, 22.5, "12 AWG"),  # 0.45 x 50 A; 25 A at 75 C, behind 50 A: 2 x 25
        ("welder", 0.2, 35.0, "10 AWG"),  # nothing tells: the larger of 0.45 and 0.70
        ("welder", None, 50.0, "8 AWG"),  # nothing tells at all: without a pause
    ],
)
def test_planner_and_check_agree(
    name: str, duty: float | None, amps: float, conductor: str
) -> None:
    plan = welding(name, duty)
    found = circuit(plan, "branch")
    assert found.design_current_a == pytest.approx(amps)
    assert found.conductor.size == conductor
    assert not objections(plan)


def test_a_welder_of_unknown_kind_is_not_taken_for_an_arc_welder() -> None:
    """The conductor of an arc welder, 12 AWG, is one step too small for it: 630.31(A)."""
    small = circuit(welding("MIG", 0.2), "branch").conductor
    found = objections(changed(welding("welder", 0.2), "branch", conductor=small))
    assert {rule for code, rule in found if code == "check.breach"} & {
        "nec.110.14(C)", "nec.630.11(A)", "nec.630.31(A)",
    }  # fmt: skip


@pytest.mark.parametrize(("name", "most", "over", "rule"), [
    ("spot welder", 150.0, 175.0, "nec.630.32(A)"), ("MIG", 100.0, 110.0, "nec.630.12(A)"),
])  # fmt: skip
def test_the_largest_device_of_a_welder(name: str, most: float, over: float, rule: str) -> None:
    """Three times 50 A for a resistance welder, twice for an arc welder."""
    plan = welding(name, 0.5)
    device = circuit(plan, "branch").protective_device
    at = objections(changed(plan, "branch", protective_device=attrs.evolve(device, rating_a=most)))
    assert ("check.not-minimal", rule) in at  # allowed, and larger than the load asks for
    past = objections(
        changed(plan, "branch", protective_device=attrs.evolve(device, rating_a=over))
    )
    assert ("check.not-minimal", rule) not in past
    assert ("check.breach", rule) in past


def test_the_disconnect_of_a_resistance_welder_goes_by_its_conductors() -> None:
    """630.33: 35 A at least, 60 A of 30, 60 and 100 A."""
    plan = welding("spot welder")
    own = circuit(plan, "branch").disconnect
    assert own is not None
    assert own.rating_a == 60
    small = changed(plan, "branch", disconnect=attrs.evolve(own, rating_a=30.0))
    assert ("check.breach", "nec.630.33") in objections(small)


@cache
def stepped(voltage: str, current: str) -> aw.Plan:
    motor = aw.Motor(power="7.5 hp", voltage=voltage, current=current, frequency="60 Hz",
                     speed="1750 rpm", service_factor=1.15, code_letter="G")  # fmt: skip
    machine = aw.Machine(id="mill", length="12 m", start="light", motors=(motor,),
                         traits=("internal-switching",))  # fmt: skip
    shop = aw.Shop(
        region="us", supply=aw.Supply(**SUPPLY), site=aw.Site(**SITE), machines=(machine,)
    )
    return aw.plan(shop, check=False, methods=("rotary",))


@pytest.mark.parametrize(
    ("voltage", "current", "kind", "rule"),
    [("200 V", "25 A", "auto", "nec.450.4"), ("460 V", "11 A", "isolating", "nec.450.3(B)")],
)
def test_the_device_of_a_transformer_and_what_is_said_of_it(
    voltage: str, current: str, kind: str, rule: str
) -> None:
    """125 % of the rated primary current, rounded up; a core that magnetises asks for more."""
    plan = stepped(voltage, current)
    option = plan.options[0]
    (made,) = option.transformers
    assert made.kind == kind
    feeder = circuit(plan, "feeder")
    rated = made.rating_va / (3**0.5 * made.primary_v)
    rating = feeder.protective_device.rating_a
    ratings = [15, 20, 25, 30, 35, 40, 45, 50, 60]
    assert rating == next(one for one in ratings if one >= 1.25 * rated)
    assert not objections(plan)
    code = "transformer.trips-on-energising"
    (said,) = [one for one in option.findings if one.code == code]
    assert said.rule == rule
    values = {one.name: one.value for one in said.parameters}
    assert values["needed"] == pytest.approx(12 / 5 * rated)
    assert ("both" in values) is (kind == "isolating")

    silent = tuple(one for one in option.findings if one.code != code)
    without = attrs.evolve(plan, options=(attrs.evolve(option, findings=silent), *plan.options[1:]))
    assert ("check.breach", rule) in objections(without)
    larger = next(one for one in ratings if one > rating)
    device = attrs.evolve(feeder.protective_device, rating_a=float(larger))
    assert ("check.breach", rule) in objections(changed(plan, "feeder", protective_device=device))


@cache
def test_a_drive_behind_a_transformer_counts_as_a_motor_of_the_service() -> None:
    """430.24 and 430.122(D): a quarter of its rated input, at 240 V twice that at 480 V."""
    plan = aw.plan(aw.Shop.from_dict({
        "region": "us",
        "supply": {"arrangement": "split-phase", "voltage": "240 V", "frequency": "60 Hz",
                   "rating": "200 A", "existing_load": "20 A", "fault_current": "8 kA"},
        "machines": [{"id": "press", "length": "60 ft", "motors": [
            {"power": "10 hp", "voltage": "460 V", "current": "13 A", "frequency": "60 Hz"}]}],
    }), methods=["drive"], check=False)  # fmt: skip
    (option,) = plan.options
    (drive,) = option.converters
    assert [one.kind for one in option.transformers] == ["isolating"]
    path = f"options/{option.id}/service/largest_motor_a"
    (step,) = [one for one in option.steps if one.path == path]
    assert step.value == pytest.approx(0.25 * drive.input_current_a * 480 / 240)
    assert not objections(plan)
    none = tuple(
        attrs.evolve(one, value=0.0, formula="0", inputs=()) if one.path == path else one
        for one in option.steps
    )
    silent = attrs.evolve(plan, options=(attrs.evolve(option, steps=none),))
    assert ("check.breach", "nec.430.24") in objections(silent)


def two_welders(effective: str) -> aw.Plan:
    """Return the plan of two arc welders marked with 40 A at most, on one circuit."""
    load = aw.Load(kind="welder", name="MIG", current="40 A", voltage="240 V", phases=1,
                   largest_current="40 A", effective_current=effective)  # fmt: skip
    machine = aw.Machine(id="welder", length="10 m", loads=(load, load))
    shop = aw.Shop(
        region="us", supply=aw.Supply(**SUPPLY), site=aw.Site(**SITE), machines=(machine,)
    )
    return aw.plan(shop, check=False)


@pytest.mark.parametrize(
    ("effective", "needed"),
    [
        ("20 A", False),  # 40 A of conductors: each may have twice 40 A, 630.12(A)
        ("45 A", True),  # 90 A of conductors: more than 80 A
    ],
)
def test_devices_of_their_own_are_said_where_they_are_needed_and_nowhere_else(
    effective: str, *, needed: bool
) -> None:
    plan = two_welders(effective)
    assert not objections(plan)
    code, (best, *others) = "machine.welders-share", plan.options
    kept = tuple(one for one in best.findings if one.code != code)
    assert (len(kept) < len(best.findings)) is needed
    said = aw.Finding(
        code=code, severity="caution", where=(circuit(plan, "branch").id,), rule="nec.630.12(A)"
    )
    wrong = kept if needed else (*kept, said)
    changed_plan = attrs.evolve(plan, options=(attrs.evolve(best, findings=wrong), *others))
    assert ("check.breach", "nec.630.12(A)") in objections(changed_plan)
