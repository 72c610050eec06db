"""Plugins from outside that are at fault, and what a plan says of them."""

from collections.abc import Callable, Sequence
from types import ModuleType
from typing import Any

import attrs

import ampwright as aw
from ampwright.methods.drive import Drive
from ampwright.plugin import Case, Circuit, MachineCase, Proposal, Refusal
from ampwright.testing import Offering

SHOP = aw.Shop.from_dict(
    {
        "region": "us",
        "supply": {"arrangement": "split-phase", "voltage": "240 V", "frequency": "60 Hz",
                   "rating": "100 A"},
        "machines": [
            {"id": "saw", "length": "9 m",
             "motors": [{"power": "3 hp", "voltage": "230 V", "current": "9 A",
                         "frequency": "60 Hz"}]},
            {"id": "drill", "length": "6 m",
             "motors": [{"power": "1 hp", "voltage": "230 V", "current": "3.6 A",
                         "frequency": "60 Hz"}]},
        ],
    }
)  # fmt: skip
METHODS = ("drive", "rotary", "static")


class Copy:
    """A drive under another id, changed by each test."""

    id = "copy"
    shared = False
    converts = True

    def __init__(self, change: Callable[[Proposal], Any] = lambda one: one) -> None:
        self.change = change

    def answer(self, case: Case, machines: Sequence[MachineCase]) -> Proposal | Refusal:
        """Answer as a drive does, then change it."""
        found = Drive().answer(case, machines)
        if isinstance(found, Refusal):
            return attrs.evolve(found, method=self.id)
        changed: Proposal = self.change(attrs.evolve(found, method=self.id))
        return changed

    def settle(self, case: Case, proposal: Proposal, circuits: Sequence[Circuit]) -> Proposal:
        """Return the proposal."""
        del case, circuits
        return proposal


def engine(*plugins: object, **options: Any) -> aw.Engine:  # noqa: ANN401 - as the engine takes them
    """Return an engine with *plugins*, those that are installed left out."""
    return aw.Engine(plugins, allow=(), **options)


def planned(method: object, **options: Any) -> aw.Plan:  # noqa: ANN401 - as the engine takes them
    """Return the plan of the shop with one more method."""
    made = engine(Offering(methods=(method,)), **options)  # type: ignore[arg-type] # on purpose
    return made.plan(SHOP, methods=[*METHODS, "copy"])


def said(plan: aw.Plan, code: str) -> str:
    """Return what the findings of a *code* in a plan say, refusals included."""
    found = [*plan.findings]
    for option in plan.options:
        found += [reason for one in option.refusals for reason in one.reasons]
    return " ".join(str(part.value) for one in found if one.code == code for part in one.parameters)


def module(name: str, **attributes: object) -> ModuleType:
    """Return a module with *attributes*."""
    made = ModuleType(name)
    for key, value in attributes.items():
        setattr(made, key, value)
    return made
