"""A region may bring a check of its own; of the families only that of the plan is loaded."""
# ruff: noqa: ANN401 - a stranger's check may answer anything

import subprocess
import sys
from collections.abc import Callable, Sequence
from typing import Any

import pytest
from tests.verification.test_iec_objections import SHOP

import ampwright as aw
from ampwright.engine import default
from ampwright.plugin import hookimpl

Check = Callable[[aw.Decision], Sequence[aw.Finding]]


class _Country:
    """The region of the family, with a check of its own."""

    def __init__(self, check: Check) -> None:
        self._code = default().regions()["iec"]
        self.id, self.check = "own", check

    def __getattr__(self, name: str) -> Any:
        return getattr(self._code, name)

    def in_edition(self, edition: str) -> "_Country":
        self._code.in_edition(edition)
        return self


def _checked(check: Check) -> tuple[aw.Finding, ...]:
    region = _Country(check)

    class _Plugin:
        @staticmethod
        @hookimpl
        def ampwright_regions() -> list[Any]:
            return [region]

    engine = aw.Engine(plugins=[_Plugin()])
    assert not [one for one in engine.problems if "own" in str(one)]
    shop = aw.Shop.from_dict({**SHOP, "region": "own"})
    plan = engine.plan(shop)
    assert plan.checks is not None
    return plan.checks


def test_a_region_may_bring_its_own_check() -> None:
    asked = []

    def check(decision: aw.Decision) -> list[aw.Finding]:
        asked.append(decision.region.id)
        return [aw.Finding(code="own.rule", severity="caution", where=("saw",))]

    codes = {one.code for one in _checked(check)}
    assert asked == ["own"]
    assert "own.rule" in codes
    assert "plan.not-independently-checked" not in codes


@pytest.mark.parametrize("fault", ["raises", "text"])
def test_a_check_that_fails_is_said_to_have_failed(fault: str) -> None:
    def check(decision: aw.Decision) -> Any:
        if fault == "raises":
            raise RuntimeError(decision.region.id)
        return ["no finding"]

    found = [one for one in _checked(check) if one.code == "check.not-checked"]
    assert any(one.severity == "caution" for one in found)


def test_only_the_family_of_the_plan_is_loaded() -> None:
    code = (
        "import sys, ampwright as aw\n"
        "shop = aw.load_shop('docs/examples/quarry-lane.toml')\n"
        "aw.verify(aw.plan(shop, check=False))\n"
        "loaded = [one for one in sys.modules if one.startswith('ampwright.verification.iec')]\n"
        "assert not loaded, loaded\n"
        "assert 'ampwright.verification.nec.circuits' in sys.modules\n"
    )
    done = subprocess.run(  # noqa: S603 - our own program
        [sys.executable, "-c", code], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
