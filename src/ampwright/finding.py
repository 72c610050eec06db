"""What a plan has to say: findings, assumptions and questions, as codes without text."""

import attrs

from ampwright.record import Record
from ampwright.step import Figure

SEVERITIES = ("blocks", "caution", "info")


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Parameter(Record):
    """One value that a text is made from.

    Attributes:
        name: Name in the text.
        value: Number or text.
        unit: Unit of a number, ``""`` for none.
        step: Path of the step that a number comes from.
    """

    name: str
    value: float | str
    unit: str = ""
    step: str = ""


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Finding(Record):
    """Something the reader has to know. The text is made late, in the reader's language.

    Attributes:
        code: ``area.slug``, never renamed and never used again for something else.
        severity: ``blocks``, ``caution`` or ``info``.
        where: Ids of what is concerned, never positions.
        parameters: The values of the text.
        rule: Id of the rule or clause behind it, ``""`` for none.
    """

    code: str
    severity: str = attrs.field(validator=attrs.validators.in_(SEVERITIES))
    where: tuple[str, ...] = ()
    parameters: tuple[Parameter, ...] = ()
    rule: str = ""


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Assumption(Record):
    """A value or a circumstance that nobody stated and that the plan rests on.

    Attributes:
        code: ``area.slug`` of what was assumed.
        where: Ids of what is concerned.
        parameters: The values assumed, with their steps.
    """

    code: str
    where: tuple[str, ...] = ()
    parameters: tuple[Parameter, ...] = ()


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Question(Record):
    """What has to be asked, and what hangs on the answer.

    Attributes:
        code: ``area.slug`` of the question.
        field: Path of the field of the shop that would hold the answer.
        where: Ids of what is concerned.
        changes: What the answer may change: ``method``, ``size``, ``safety`` or ``figures``.
        choices: Answers to choose from, where they are few.
        parameters: The values of the text.
    """

    code: str
    field: str
    where: tuple[str, ...] = ()
    changes: str = attrs.field(
        default="figures", validator=attrs.validators.in_(("method", "size", "safety", "figures"))
    )
    choices: tuple[str, ...] = ()
    parameters: tuple[Parameter, ...] = ()


def parameters(units: str = "", /, **values: Figure | float | str) -> tuple[Parameter, ...]:
    """Build parameters from keywords; *units* lists ``name=unit`` pairs, separated by blanks.

    A `Figure` brings the path of its step with it; a bare number has none.
    """
    unit = dict(pair.split("=") for pair in units.split())
    made = []
    for name, value in values.items():
        if isinstance(value, Figure):
            one = Parameter(name=name, value=value.value, unit=unit.get(name, ""), step=value.path)
        else:
            one = Parameter(name=name, value=value, unit=unit.get(name, ""))
        made.append(one)
    return tuple(made)
