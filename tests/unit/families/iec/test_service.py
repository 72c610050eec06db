"""The supply intake: load against main device and contract, board, existing feeder."""
# ruff: noqa: ANN401 - the asker builds records

from typing import Any

import pytest


def codes(answer: Any) -> set[str]:
    return {one.code for one in answer.findings}


def test_existing_and_added_load_against_the_main_device(iec: Any) -> None:
    answer = iec.serve(44)
    assert answer.load_a == 54
    assert answer.spare_a == 26
    assert answer.enough
    over = iec.serve(71)
    assert over.enough is False
    assert "supply.undersized" in codes(over)


def test_a_contract_may_allow_less(iec: Any) -> None:
    answer = iec.serve(44, supply=iec.supply(contract="12 kVA"))
    assert answer.spare_a == pytest.approx(12000 / 230 - 54)
    assert answer.enough is False


def test_what_is_not_known_is_asked(iec: Any) -> None:
    answer = iec.serve(44, supply=iec.supply(rating=None, existing_load=None))
    assert answer.enough is None
    fields = {one.field for one in answer.questions}
    assert {"supply.rating", "supply.existing_load"} <= fields


@pytest.mark.parametrize(
    ("size", "rating", "fits"),
    [("16 mm2", "63 A", True), ("16 mm2", "80 A", False), ("25 mm2", "80 A", True)],
)
def test_an_existing_feeder_carries_its_device(
    iec: Any, size: str, rating: str, *, fits: bool
) -> None:
    """B2, copper, PVC, two loaded: 69 and 90 A; status: seen."""
    laid = {"size": size, "length": "25 m", "installation": "conduit", "insulation": "PVC"}
    answer = iec.serve(20, supply=iec.supply(rating=rating, feeder=laid))
    assert ("feeder.undersized" not in codes(answer)) == fits
    assert answer.circuit is not None
    assert answer.circuit.conductor.size == size


def test_the_board_has_to_take_it(iec: Any) -> None:
    panel = {"bus": "63 A", "fault_rating": "2 kA"}
    answer = iec.serve(20, supply=iec.supply(panel=panel))
    reasons = [
        part.value
        for one in answer.findings
        if one.code == "supply.panel-unfit"
        for part in one.parameters
        if part.name == "reason"
    ]
    assert reasons == ["bus", "fault-rating"]


def test_a_building_of_its_own_is_asked_about(iec: Any) -> None:
    answer = iec.serve(20, site=iec.site(detached_building=True))
    assert "supply.earthing-export" in codes(answer)
