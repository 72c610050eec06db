"""The decision: the option chosen among all of them."""

import attrs
import pytest

from ampwright.decision import SCHEMA, Decision


def test_the_best_is_the_one_chosen_wherever_it_stands(decision: Decision) -> None:
    assert decision.best is not None
    assert decision.best.id == decision.chosen == "rotary"
    turned = attrs.evolve(decision, options=decision.options[::-1])
    assert turned.best == decision.best


@pytest.mark.parametrize("chosen", [None, "unheard-of"])
def test_where_none_is_chosen_there_is_no_best(decision: Decision, chosen: str | None) -> None:
    assert attrs.evolve(decision, chosen=chosen).best is None


def test_a_decision_is_a_value(decision: Decision) -> None:
    assert attrs.evolve(decision) == decision
    assert attrs.evolve(decision, chosen=None) != decision
    with pytest.raises(attrs.exceptions.FrozenInstanceError):
        decision.chosen = None  # type: ignore[misc] # on purpose
    with pytest.raises(ValueError, match="verdict"):
        attrs.evolve(decision, verdict="perhaps")


def test_nothing_was_checked_unless_it_says_so(decision: Decision) -> None:
    assert decision.checks is None
    assert decision.schema == SCHEMA == "ampwright.plan/1"
