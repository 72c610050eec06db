"""Words of another family for the way of laying: the usual one is taken, and said."""
# ruff: noqa: ANN401 - the asker builds records

from typing import Any

import pytest


@pytest.mark.parametrize("method", ["A1", "B2", "E", "G"])
def test_a_reference_method_counts_as_the_usual_way_and_is_said(us: Any, method: str) -> None:
    demand = us.demand(motors=(us.motor(5, 13),))
    answer, usual = us.ask(demand, us.site(installation=method)), us.ask(demand, us.site())
    assert answer.circuit == usual.circuit
    said = {
        part.value
        for one in answer.assumptions
        if one.code == "site.usual-value"
        for part in one.parameters
    }
    assert "installation" in said
