"""Every number of a plan outside its steps has a step with the same value."""

from collections.abc import Iterable

import attrs

from ampwright.finding import Parameter
from ampwright.step import Step
from ampwright.verification.ledger import Ledger, close

FIGURE = "plan.every-number-has-a-step"
_LEFT_OUT = frozenset({"steps", "extra", "shop", "checks", "schema", "version"})


class _Walk:
    """Walks records; what a class holds is looked up once."""

    def __init__(self, ledger: Ledger) -> None:
        self.ledger = ledger
        self._fields: dict[type, tuple[str, ...]] = {}

    def names(self, cls: type) -> tuple[str, ...]:
        """Return the fields of *cls* that are walked; none for a class that is no record."""
        found = self._fields.get(cls)
        if found is None:
            found = ()
            if attrs.has(cls):
                names = (field.name for field in attrs.fields(cls))
                found = tuple(
                    one for one in names if one not in _LEFT_OUT and not one.startswith("_")
                )
            self._fields[cls] = found
        return found

    def record(self, thing: object, path: str) -> None:
        """Check every number in *thing*, a record whose steps stand at *path*."""
        for name in self.names(type(thing)):
            value = getattr(thing, name)
            kind = type(value)
            if value is None or kind is bool or isinstance(value, str):
                continue
            if isinstance(value, int | float):
                self.number(f"{path}/{name}", float(value))
            elif kind is tuple:
                if value:
                    self.several(value, f"{path}/{name}")
            elif kind is not Step:
                self.record(value, f"{path}/{name}")

    def several(self, things: tuple[object, ...], path: str) -> None:
        """Check each of *things*, by id or by position."""
        first = things[0]
        if isinstance(first, str):
            return
        if type(first) is Parameter:
            self.parameters(things, path)
            return
        for place, thing in enumerate(things):
            name = f"{path}/{getattr(thing, 'id', '') or place}"
            if isinstance(thing, int | float):
                self.number(name, float(thing))
            elif type(thing) is tuple:
                if thing:
                    self.several(thing, name)
            else:
                self.record(thing, name)

    def parameters(self, things: Iterable[object], path: str) -> None:
        """Check the values of a text against the steps that they name."""
        for one in things:
            if isinstance(one, Parameter) and not isinstance(one.value, str):
                self.number(one.step, float(one.value), f"{path}/{one.name}")

    def number(self, path: str, value: float, place: str = "") -> None:
        """Check that the step at *path* has *value*."""
        step = self.ledger.steps.get(path)
        if step is None and place:
            self.ledger.flaw(FIGURE, place, "a step", value)
        elif step is None:
            self.ledger.breach(FIGURE, path, "a step", value)
        elif isinstance(step.value, str) or not close(step.value, value):
            self.ledger.breach(step.rule or FIGURE, place or path, step.value, value, step.unit)


def check_figures(ledger: Ledger) -> None:
    """Check every number of options, findings, assumptions and questions."""
    decision, walk = ledger.decision, _Walk(ledger)
    for name in ("findings", "questions", "assumptions"):
        for place, one in enumerate(getattr(decision, name)):
            walk.parameters(one.parameters, f"{name}/{place}")
    for option in decision.options:
        walk.record(option, f"options/{option.id}")
