"""An operator's limit on one phase holds for all that runs at once, whatever each piece draws."""

from functools import cache
from typing import Any

import attrs
import pytest
from tests.verification.test_random_shops import engine

import ampwright as aw

#: VDE-AR-N 4100:2019, 5.5.2, as the tables of the country have it [VA].
LIMIT_VA = 4600.0
LATHE = {"id": "lathe", "start": "light",
         "plate": "3~ 2,2 kW 230/400 V D/Y 8,5/4,9 A 50 Hz 1430 min-1 cos phi 0,81"}  # fmt: skip
MILL = {"id": "mill", "start": "light",
        "plate": "3~ 1,5 kW 230/400 V D/Y 6,1/3,5 A 50 Hz 1420 min-1 cos phi 0,79"}  # fmt: skip


@cache
def planned(*machines: str, together: bool = True) -> aw.Plan:
    every: dict[str, dict[str, Any]] = {"lathe": LATHE, "mill": MILL}
    data: dict[str, Any] = {
        "region": "de",
        "locale": "de-DE",
        "supply": {"arrangement": "line-neutral", "voltage": "230 V", "frequency": "50 Hz",
                   "rating": "63 A", "existing_load": "8 A", "earthing": "tn-s",
                   "fault_current": "1,5 kA"},
        "machines": [every[one] for one in machines],
        "together": [list(machines)] if together else [[one] for one in machines],
    }  # fmt: skip
    return engine(("de",)).plan(aw.Shop.from_dict(data))


def way(plan: aw.Plan) -> Any:  # noqa: ANN401 - an option
    return next(one for one in plan.options if one.id == "drive")


def said(option: Any) -> list[aw.Finding]:  # noqa: ANN401 - an option
    return [
        one
        for one in option.findings
        if one.code == "supply.operator-power-limit" and "service" in one.where
    ]


def apparent_va(option: Any) -> float:  # noqa: ANN401 - an option
    """Return the most that the plan states to run at once on the phase."""
    states = [one for one in option.states if one.id.startswith("supply/")]
    return 230.0 * float(max(one.input_current_a for one in states))


def test_drives_that_each_keep_the_limit_do_not_together() -> None:
    option = way(planned("lathe", "mill"))
    assert apparent_va(option) > LIMIT_VA
    for one in option.circuits:
        if not one.fed_from:
            assert 230.0 * one.design_current_a < LIMIT_VA
    (finding,) = said(option)
    values = {part.name: part.value for part in finding.parameters}
    assert values["need"] == pytest.approx(apparent_va(option))
    assert values["limit"] == LIMIT_VA
    assert option.verdict == "feasible-with-conditions"


def test_what_never_runs_at_once_is_not_added() -> None:
    option = way(planned("lathe", "mill", together=False))
    assert apparent_va(option) < LIMIT_VA
    assert said(option) == []


def test_one_circuit_alone_speaks_for_itself() -> None:
    assert said(way(planned("lathe"))) == []


def test_the_check_sees_a_sum_that_is_kept_silent() -> None:
    plan = planned("lathe", "mill")
    assert [one for one in plan.checks or () if one.severity == "blocks"] == []
    option = way(plan)
    kept = tuple(one for one in option.findings if one not in said(option))
    silent = attrs.evolve(option, findings=kept)
    options = tuple(silent if one is option else one for one in plan.options)
    found = engine(("de",)).verify(attrs.evolve(plan, options=options))
    assert any(one.rule == "iec.operator" and "operator-power-limit" in str(one) for one in found)
