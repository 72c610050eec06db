"""No plan of a random shop breaks a rule, and none is larger than its rules ask for.

A longer run stands in ``benchmarks/test_verification.py``.
"""

import pytest
from tests.verification.random_shops import random_shop

import ampwright as aw

COUNT, BLOCK = 100, 25


@pytest.mark.slow
@pytest.mark.parametrize("first", range(0, COUNT, BLOCK))
def test_the_check_has_no_objection(first: int) -> None:
    objections = []
    for seed in range(first, first + BLOCK):
        for one in aw.plan(random_shop(seed)).checks or ():
            if one.severity != "info":
                said = {part.name: part.value for part in one.parameters}
                objections.append((seed, one.code, one.rule, said.get("path")))
    assert not objections


def test_the_shops_differ_and_are_the_same_for_the_same_seed() -> None:
    assert random_shop(5) == random_shop(5)
    assert len({random_shop(seed).to_toml() for seed in range(50)}) == 50


def test_a_start_that_no_usual_conductor_saves_is_the_reason() -> None:
    plan = aw.plan(random_shop(1702))  # the start would bear a drop of 0.11 % only
    rotary = next(one for one in plan.options if one.id == "rotary")
    blocking = {one.code for one in rotary.findings if one.severity == "blocks"}
    assert blocking == {"converter.start-fails"}
    assert "branch.m0" in {one.id for one in rotary.circuits}
    assert not [one for one in plan.checks or () if one.severity != "info"]
