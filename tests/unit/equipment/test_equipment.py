"""Pieces of equipment are values with closed sets of words."""
# ruff: noqa: ANN401 - pieces of several kinds

import pickle
from typing import Any

import attrs
import pytest
from tests.unit.planning.stand_ins import circuit, converter

from ampwright.equipment.capacitor import Capacitor
from ampwright.equipment.circuit import ROLES
from ampwright.equipment.conductor import Conductor, Raceway
from ampwright.equipment.converter import Window
from ampwright.equipment.device import KINDS, ProtectiveDevice

PIECES = {
    "capacitor": Capacitor(id="run-bc", purpose="run", between="bc", capacitance_f=40e-6,
                           voltage_v=370.0, tolerance_fraction=0.06),
    "conductor": Conductor(size="6 AWG", area_mm2=13.3, material="copper", insulation="THWN-2",
                           count=3, ampacity_a=65.0, length_m=12.0),
    "raceway": Raceway(kind="EMT", size="3/4", fill_fraction=0.3, limit_fraction=0.4),
    "window": Window(id="supply.rotary", part="conductor", largest_input_current_a=68.0,
                     smallest_input_current_a=20.0),
    "device": ProtectiveDevice(kind="breaker", rating_a=40.0, poles=2),
    "converter": converter("rotary", "ab"),
    "circuit": circuit("branch.saw", ["saw"]),
}  # fmt: skip


@pytest.mark.parametrize("one", PIECES.values(), ids=PIECES.keys())
def test_a_piece_is_a_value(one: Any) -> None:
    again = attrs.evolve(one)
    assert again == one
    assert hash(again) == hash(one)
    assert pickle.loads(pickle.dumps(one)) == one  # noqa: S301 - our own
    first = attrs.fields(type(one))[0].name
    with pytest.raises(attrs.exceptions.FrozenInstanceError):
        setattr(one, first, "other")


@pytest.mark.parametrize("one", PIECES.values(), ids=PIECES.keys())
def test_pieces_take_no_field_that_they_do_not_have(one: Any) -> None:
    with pytest.raises((AttributeError, TypeError)):
        object.__setattr__(one, "colour", "red")


def test_a_device_is_of_a_known_kind_and_a_circuit_of_a_known_role() -> None:
    for kind in KINDS:
        assert ProtectiveDevice(kind=kind, poles=3).kind == kind
    with pytest.raises(ValueError, match="kind"):
        ProtectiveDevice(kind="magic", poles=3)
    for role in ROLES:
        assert circuit("x", ["a"], role=role).role == role
    with pytest.raises(ValueError, match="role"):
        circuit("x", ["a"], role="feeder")


def test_the_overload_of_a_circuit_is_its_first() -> None:
    first, second = (
        ProtectiveDevice(id=f"saw/{n}", kind="overload", poles=3, setting_a=5.0) for n in range(2)
    )
    assert circuit("x", ["saw"], overloads=(first, second)).overload == first
    assert circuit("x", ["saw"]).overload is None
