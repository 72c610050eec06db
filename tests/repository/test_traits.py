"""What each trait changes is in the pages, and every trait changes the answer of some method."""

from itertools import product
from pathlib import Path

import pytest
from docs.making import PAGES, traits

import ampwright
from ampwright.tables import read_table

METHODS = Path(ampwright.__file__).parent / "methods"
REFUSED = [
    (row["value"], path.parent.name.replace("_", "-"), row["code"])
    for path in sorted(METHODS.glob("*/refusing.csv"))
    for row in read_table(path).rows
    if row["field"] == "traits"
]
SAID = [
    (row["value"], path.parent.name.replace("_", "-"), row["code"])
    for path in sorted(METHODS.glob("*/cautions.csv"))
    for row in read_table(path).rows
    if row["field"] == "traits"
]


def test_the_page_has_every_trait_once() -> None:
    assert PAGES["traits.md"] is traits.page
    page = traits.page()
    assert page.count("\n") == len(traits.TRAITS) + 2
    for trait in traits.TRAITS:
        assert page.count(f"| `{trait}` |") == 1


def test_the_plain_machine_is_one_that_every_method_serves() -> None:
    for method in traits.METHODS:
        assert traits.answer(method, {}).refused == ()
        assert traits.asked(method, {}).best is not None, method


@pytest.mark.parametrize("trait", traits.TRAITS)
def test_a_trait_changes_the_answer_of_some_method(trait: str) -> None:
    found = traits.effects()[trait]
    assert [method for method in traits.METHODS if found[method].text], trait


def test_nothing_that_a_trait_changes_is_left_to_chance() -> None:
    """The same question asked twice has the same answer: an effect is the trait's own doing."""
    for method in traits.METHODS:
        assert traits.answer(method, {}) == traits.answer(method, {})


@pytest.mark.parametrize(("trait", "method", "code"), REFUSED)
def test_a_row_of_refusals_is_an_effect(trait: str, method: str, code: str) -> None:
    assert code in traits.effects()[trait][method].refused


@pytest.mark.parametrize(("trait", "method", "code"), SAID)
def test_a_row_of_cautions_is_an_effect(trait: str, method: str, code: str) -> None:
    found = traits.effects()[trait][method]
    assert found.refused or code in found.said


def test_every_refusal_for_a_trait_is_a_row() -> None:
    """No method refuses a trait by a word in its code."""
    rows = {(trait, method) for trait, method, _ in REFUSED}
    refused = {
        (trait, method)
        for trait, method in product(traits.TRAITS, traits.METHODS)
        if traits.effects()[trait][method].refused
    }
    assert refused == rows
