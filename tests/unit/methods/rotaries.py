"""Rotary converters asked for invented machines."""
# ruff: noqa: ANN401 - fields of a record of any kind

import math
from typing import Any

from tests.unit.planning.shops import case_of

from ampwright.case import Case
from ampwright.method import Proposal, Refusal
from ampwright.methods.rotary import Rotary
from ampwright.planning.bounds import bounded
from ampwright.planning.intake import intake
from ampwright.records.machine import Machine
from ampwright.records.shop import Shop

HORSEPOWER_W = 745.69987158227022


def asked(case: Case) -> Proposal:
    """Return the proposal for every machine of *case*."""
    found = Rotary().answer(case, case.machines)
    assert isinstance(found, Proposal), found
    return found


def sized(*machines: Machine, **changes: Any) -> float:
    """Return the idler for *machines* [hp]; infinite where none is large enough."""
    case = case_of(*machines, **changes)
    return size_hp(Rotary().answer(case, case.machines))


def proposed(*machines: Machine, **changes: Any) -> Proposal:
    """Return the proposal for *machines* on a split-phase supply of 100 A."""
    return asked(case_of(*machines, **changes))


def size_hp(found: Proposal | Refusal) -> float:
    """Return the idler of a proposal [hp]; infinite where no usual idler is large enough."""
    if isinstance(found, Refusal):
        assert [one.code for one in found.reasons] == ["converter.idler-too-small"]
        return math.inf
    (one,) = found.converters
    assert one.idler_power_w is not None
    return one.idler_power_w / HORSEPOWER_W


def bound(shop: Shop, **limits: float) -> Case:
    """Return *shop* completed under other *limits*, by their names with underscores."""
    return intake(shop, bounded({name.replace("_", "-"): one for name, one in limits.items()}))
