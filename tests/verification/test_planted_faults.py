"""The check notices one wrong size, one wrong step, one wrong table cell, and names the rule.

A longer run stands in ``benchmarks/test_verification.py``.
"""

from collections.abc import Mapping

import attrs
import pytest
from tests.verification import iec_shops
from tests.verification.measured import IEC, measured
from tests.verification.planted import is_found
from tests.verification.planted_iec import iec_faults
from tests.verification.planted_nec import size_faults
from tests.verification.random_shops import random_shop

import ampwright as aw
from ampwright.engine import default
from ampwright.tables import Table
from ampwright.verification.verify import verify

LEAST = 0.995
SEEDS = (3, 21)


def region_tables(plan: aw.Plan) -> Mapping[str, Table]:
    return default().regions()["us"].in_edition(plan.region.edition).tables


@pytest.mark.parametrize("seed", SEEDS)
def test_every_size_moved_by_one_is_found_with_its_rule(seed: int) -> None:
    plan = aw.plan(random_shop(seed), check=False)
    tables = region_tables(plan)
    before = set(verify(plan, tables))
    planted = list(size_faults(plan, tables))
    assert len(planted) > 20
    missed = [
        fault.name
        for fault in planted
        if not is_found(
            fault, tuple(one for one in verify(fault.decision, tables) if one not in before)
        )
    ]
    assert not missed


@pytest.mark.parametrize("seed", [2, 12])
def test_every_size_of_the_iec_family_moved_by_one_is_found_with_its_rule(seed: int) -> None:
    plan = aw.plan(iec_shops.random_shop(seed), check=False)
    tables, stated = IEC.code(plan)
    before = set(verify(plan, tables, stated))
    planted = list(iec_faults(plan, tables, stated))
    assert len(planted) > 60
    missed = [
        fault.name
        for fault in planted
        if not is_found(
            fault, tuple(one for one in verify(fault.decision, tables, stated) if one not in before)
        )
    ]
    assert not missed


@pytest.mark.slow
def test_faults_of_every_kind_are_found_in_the_iec_family() -> None:
    tally = measured(range(40, 46), sizes=40, steps=30, cells=20, family=IEC)
    assert sum(tally.planted.values()) > 350
    assert len(tally.planted) >= 12
    assert tally.share >= LEAST, tally.examples


@pytest.mark.slow
def test_faults_of_every_kind_are_found() -> None:
    tally = measured(range(40, 46), sizes=30, steps=30, cells=20)
    assert sum(tally.planted.values()) > 300
    assert len(tally.planted) >= 12
    assert tally.share >= LEAST, tally.examples


def test_larger_than_needed_is_not_minimal_and_smaller_is_a_breach() -> None:
    plan = aw.plan(random_shop(3), check=False)
    tables = region_tables(plan)
    codes: dict[str, set[str]] = {"smaller": set(), "larger": set()}
    for fault in size_faults(plan, tables):
        part, word = fault.name.split()
        if part == "conductor/size":
            for one in verify(fault.decision, tables):
                said = {parameter.name: parameter.value for parameter in one.parameters}
                if said.get("path") == fault.path:
                    codes[word].add(one.code)
    assert codes == {"smaller": {"check.breach"}, "larger": {"check.not-minimal"}}


def test_a_number_changed_in_the_record_alone_is_found() -> None:
    plan = aw.plan(random_shop(3), check=False)
    option = plan.options[0]
    state = attrs.evolve(option.states[0], input_power_w=option.states[0].input_power_w * 1.001)
    changed = attrs.evolve(
        plan, options=(attrs.evolve(option, states=(state, *option.states[1:])), *plan.options[1:])
    )
    wrong = {
        parameter.value
        for one in verify(changed, region_tables(plan))
        for parameter in one.parameters
        if parameter.name == "path"
    }
    assert f"options/{option.id}/states/{state.id}/input_power_w" in wrong


def test_without_tables_it_says_what_it_did_not_check() -> None:
    plan = aw.plan(random_shop(3), check=False)
    found = verify(plan, {})
    assert "check.not-checked" in {one.code for one in found}
    assert "nec.310.16" in {one.rule for one in found}
