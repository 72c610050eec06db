"""What hangs on the generator is judged by its own earthing, in plan and check."""

import ampwright_method_motor_generator as plugin
import attrs

import ampwright as aw

METHOD = "motor-generator"


def planned() -> aw.Plan:
    """Plan a barn with an earth electrode of its own: TT, 230 V, a press of 400 V."""
    press = {"power": "2.2 kW", "voltage": "400 V", "current": "4.9 A", "frequency": "50 Hz",
             "speed": "1430 rpm"}  # fmt: skip
    shop = aw.Shop.from_dict({
        "region": "iec",
        "supply": {"arrangement": "line-neutral", "voltage": "230 V", "frequency": "50 Hz",
                   "rating": "63 A", "earthing": "tt", "fault_current": "3 kA"},
        "machines": [{"id": "press", "length": "10 m", "start": "light", "motors": [press]}],
    })  # fmt: skip
    engine = aw.Engine([plugin], block=[f"method-{METHOD}"])
    return engine.plan(shop, methods=[METHOD])


def said(plan: aw.Plan, circuit: str) -> set[str]:
    assert plan.best is not None
    return {one.code for one in plan.best.findings if circuit in one.where}


def test_its_lines_are_a_source_of_their_own_and_its_motor_hangs_on_the_supply() -> None:
    """IEC 60364-4-41, table 41.1: TN, 231 V to earth of a star of 400 V: 0.4 s."""
    plan = planned()
    assert {one.code for one in plan.checks or ()} <= {"check.not-checked"}
    assert plan.best is not None
    (branch,) = [one for one in plan.best.circuits if one.role == "branch"]
    (longest,) = [one for one in branch.steps if one.path.endswith("/fault/longest_s")]
    assert longest.value == 0.4
    (ahead,) = [one for one in plan.best.circuits if one.role == "idler"]
    assert "protection.own-source" in said(plan, branch.id)
    assert "protection.own-source" not in said(plan, ahead.id)
    assert "protection.touch-voltage" in said(plan, ahead.id)
    assert "protection.touch-voltage" not in said(plan, branch.id)


def test_the_check_objects_where_the_plan_is_silent_of_it() -> None:
    plan = planned()
    quiet = tuple(
        attrs.evolve(
            option,
            findings=tuple(one for one in option.findings if one.code != "protection.own-source"),
        )
        for option in plan.options
    )
    assert "protection.own-source" in str(aw.verify(attrs.evolve(plan, options=quiet)))
