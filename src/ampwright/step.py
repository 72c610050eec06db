"""One derived number: value, unit, formula, inputs, rule and source."""

import math
import re
from collections.abc import Callable, Iterable, Mapping
from functools import lru_cache
from keyword import iskeyword
from operator import is_not
from types import CodeType
from typing import Any, ClassVar, NamedTuple

import attrs

from ampwright.record import Record, Values, values_of
from ampwright.tables import Source

#: Makes a named tuple of a tuple, in half the time of a call by fields.
_plain = tuple.__new__
#: Where the steps of a proposal begin until the option that contains it is known.
HERE = "~"

KINDS = ("given", "table", "formula", "solved", "assumed")
FUNCTIONS = {"sqrt": math.sqrt, "min": min, "max": max, "abs": abs, "ceil": math.ceil}
#: One part of a formula after the other: a number, a call of a function, a name, an operator.
_PARTS = re.compile(
    r"(?: +|\d+(?:\.\d*)?(?:e[-+]?\d+)?(?![\w.])|(?:"
    + "|".join(FUNCTIONS)
    + r")\(|[^\W\d]\w*(?![\w(]| +\()|/(?!/)|[-+*,()])*"
)
_WORD = re.compile(r"[^\W\d]\w*")


#: Types of fields that hold no path.
_NUMBERS = (float, int, bool, float | None, int | None, bool | None, Source, Source | None)


class Figure(NamedTuple):
    """A value together with the path of the step that it comes from."""

    value: float
    path: str


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Step(Record):
    """One number of a plan and the argument for it.

    Attributes:
        path: Where the number stands in the plan, by ids; unique in the plan.
        kind: ``given`` by the caller, read from a ``table``, by ``formula``, ``solved`` by a model,
            or ``assumed``.
        symbol: Symbol of the glossary, as formulas use it.
        value: The number; text where a table yields a size by name.
        unit: Unit of the value, ``""`` for none.
        formula: Arithmetic on the names of *inputs* (``formula``), or what was solved.
        inputs: Name in the formula and path of the step it stands for.
        rule: Id of the rule that asks for this number.
        source: Where rule, table or model stand.
        table: Id of the table read, for ``table``.
        cell: Row and column read, for ``table``.
        text: The caller's own words, for ``given``.
        unknowns: What a model was solved for, for ``solved``.
        residual: What was left over when the solution was put back, for ``solved``.
        low: Lower edge of the band, where the value is uncertain.
        high: Upper edge of the band.
    """

    #: A plan has thousands of steps and few of their fields hold anything, so that only those are
    #: written.
    SPARSE: ClassVar[bool] = True
    #: The fields that hold paths.
    PATHS: ClassVar[tuple[str, ...]] = ("path", "inputs")

    path: str
    kind: str = attrs.field(validator=attrs.validators.in_(KINDS))
    symbol: str
    value: float | str
    unit: str = ""
    formula: str = ""
    inputs: tuple[tuple[str, str], ...] = ()
    rule: str = ""
    source: Source | None = None
    table: str = ""
    cell: tuple[str, ...] = ()
    text: str = ""
    unknowns: tuple[str, ...] = ()
    residual: float | None = None
    low: float | None = None
    high: float | None = None


class _Unsealed(Step):
    """A step while it is filled: a plan has thousands, and to set a sealed one takes longest."""

    __slots__ = ()
    __setattr__ = object.__setattr__
    __delattr__ = object.__delattr__


_unsealed: Callable[[type[_Unsealed]], _Unsealed] = object.__new__


def _stated(
    path: str, kind: str, symbol: str, value: float | str, unit: str, *, formula: str = "",
    inputs: tuple[tuple[str, str], ...] = (), rule: str = "", source: Source | None = None,
    table: str = "", cell: tuple[str, ...] = (), text: str = "", unknowns: tuple[str, ...] = (),
    residual: float | None = None, low: float | None = None, high: float | None = None,
) -> Step:  # fmt: skip
    """Return the step of these fields, whose kind is known to be one."""
    step: Any = _unsealed(_Unsealed)
    step.path, step.kind, step.symbol, step.value, step.unit = path, kind, symbol, value, unit
    step.formula, step.inputs, step.rule, step.source = formula, inputs, rule, source
    step.table, step.cell, step.text, step.unknowns = table, cell, text, unknowns
    step.residual, step.low, step.high = residual, low, high
    step.__class__ = Step
    found: Step = step
    return found


_CALLER = Source(document="stated by the caller", known="caller")

#: What a formula may call; an expression cannot add to it.
_KNOWN: dict[str, Any] = {"__builtins__": {}, **FUNCTIONS}


@lru_cache(maxsize=1024)
def _compiled(formula: str) -> CodeType:
    words = _WORD.findall(formula)
    if not _PARTS.fullmatch(formula) or any(map(iskeyword, words)):
        raise ValueError(f"not arithmetic: {formula!r}")
    try:
        return compile(formula.strip(), "<formula>", "eval")
    except SyntaxError as error:
        raise ValueError(f"not arithmetic: {formula!r}") from error


def evaluate(formula: str, values: dict[str, float]) -> float:
    """Return the value of *formula*: + - * / ** and the `FUNCTIONS`, on the given names.

    Raises:
        ValueError: It holds anything but arithmetic.
        NameError: It uses a name without a value.
    """
    try:
        found = eval(_compiled(formula), _KNOWN, values)  # noqa: S307 - only the parts above get here
    except TypeError as error:
        raise ValueError(f"not arithmetic: {formula!r}") from error
    if type(found) is float:
        return found
    if not isinstance(found, int | float):
        raise ValueError(f"not arithmetic: {formula!r}")  # noqa: TRY004 - the text is at fault
    return float(found)


class Worksheet:
    """Collects steps below one path; what it returns carries value and path on to the next step.

    A formula is stated once, as text, and evaluated from that text, so that what is printed is what
    was calculated.
    """

    def __init__(self, prefix: str, steps: list[Step] | None = None) -> None:
        self.prefix = prefix
        self._steps: list[Step] = [] if steps is None else steps

    @property
    def steps(self) -> tuple[Step, ...]:
        """What was collected, in order, sub-sheets included."""
        return tuple(self._steps)

    def under(self, name: str) -> "Worksheet":
        """Return a sheet for the part *name* that collects into this one."""
        return Worksheet(f"{self.prefix}/{name}", self._steps)

    def put(self, step: Step) -> Figure:
        """Collect a finished *step*; a text value counts as nought in formulas."""
        self._steps.append(step)
        value = step.value
        return _plain(Figure, (value if isinstance(value, float) else 0.0, step.path))

    def given(self, name: str, symbol: str, value: float, unit: str, *, text: str = "") -> Figure:
        """State what the caller gave."""
        path = f"{self.prefix}/{name}"
        step = _stated(path, "given", symbol, float(value), unit, text=text, source=_CALLER)
        return self.put(step)

    def assumed(
        self,
        name: str,
        symbol: str,
        value: float,
        unit: str,
        *,
        source: Source,
        rule: str = "",
        low: float | None = None,
        high: float | None = None,
    ) -> Figure:
        """State a value that nobody gave, with its band."""
        path = f"{self.prefix}/{name}"
        step = _stated(path, "assumed", symbol, float(value), unit, rule=rule, source=source,
                       low=low, high=high)  # fmt: skip
        return self.put(step)

    def table(
        self,
        name: str,
        symbol: str,
        value: float | str,
        unit: str,
        *,
        table: str,
        cell: tuple[str, ...],
        source: Source,
        rule: str = "",
        inputs: Iterable[tuple[str, Figure]] = (),
    ) -> Figure:
        """State a cell that was read, and by which inputs it was found."""
        value = value if isinstance(value, str) else float(value)
        path = f"{self.prefix}/{name}"
        step = _stated(path, "table", symbol, value, unit, table=table, cell=cell, source=source,
                       rule=rule, inputs=tuple([(key, one[1]) for key, one in inputs]))  # fmt: skip
        return self.put(step)

    def formula(
        self,
        name: str,
        symbol: str,
        unit: str,
        formula: str,
        terms: Mapping[str, Figure] | None = None,
        *,
        rule: str = "",
        source: Source | None = None,
        **inputs: Figure,
    ) -> Figure:
        """Evaluate *formula* on *terms* and *inputs* and state it."""
        if terms:
            inputs = {**terms, **inputs}
        value = evaluate(formula, {key: figure[0] for key, figure in inputs.items()})
        path = f"{self.prefix}/{name}"
        step = _stated(path, "formula", symbol, value, unit, formula=formula, rule=rule,
                       source=source,
                       inputs=tuple([(key, one[1]) for key, one in inputs.items()]))  # fmt: skip
        return self.put(step)

    def solved(
        self,
        name: str,
        symbol: str,
        value: float,
        unit: str,
        *,
        model: str,
        source: Source,
        residual: float,
        unknowns: tuple[str, ...] = (),
        inputs: Iterable[tuple[str, Figure]] = (),
        rule: str = "",
        low: float | None = None,
        high: float | None = None,
    ) -> Figure:
        """State what a *model* was solved for, and how well the solution fits it."""
        path = f"{self.prefix}/{name}"
        step = _stated(path, "solved", symbol, float(value), unit, formula=model, source=source,
                       residual=residual, unknowns=unknowns, low=low, high=high, rule=rule,
                       inputs=tuple([(key, one[1]) for key, one in inputs]))  # fmt: skip
        return self.put(step)


def moved(path: str, place: str) -> str:
    """Return *path* moved to *place* if it begins at `HERE`; any other text as it is."""
    return f"{place}{path[len(HERE) :]}" if path.startswith(_INSIDE) else path


_INSIDE = f"{HERE}/"


class _Parts(NamedTuple):
    """The fields of a class of records: all of them, and those that may hold paths."""

    keywords: tuple[str, ...]
    values: Values
    places: tuple[int, ...]


_known: dict[type, _Parts | None] = {}


def _parts(kind: type) -> _Parts | None:
    """Return the fields of *kind*, looked up once; ``None`` where it is no class of records."""
    if kind not in _known:
        _known[kind] = _looked_up(kind) if attrs.has(kind) else None
    return _known[kind]


def _looked_up(kind: type) -> _Parts:
    told: tuple[str, ...] | None = getattr(kind, "PATHS", None)
    fields = [one for one in attrs.fields(kind) if one.init]
    return _Parts(
        keywords=tuple(one.alias or one.name for one in fields),
        values=values_of([one.name for one in fields]),
        places=tuple(
            place
            for place, one in enumerate(fields)
            if (one.type not in _NUMBERS if told is None else one.name in told)
        ),
    )


def _step_moved(step: Step, place: str) -> Step:
    """Return *step* moved to *place*; most of what is moved are steps."""
    path = moved(step.path, place)
    inputs = tuple([(key, moved(one, place)) for key, one in step.inputs])
    if path is step.path and inputs == step.inputs:
        return step
    return _stated(
        path, step.kind, step.symbol, step.value, step.unit,
        formula=step.formula, inputs=inputs, rule=step.rule, source=step.source, table=step.table,
        cell=step.cell, text=step.text, unknowns=step.unknowns, residual=step.residual,
        low=step.low, high=step.high,
    )  # fmt: skip


def rebased(thing: Any, place: str) -> Any:  # noqa: ANN401 - the type given is the type returned
    """Return *thing* with every path in it that begins at `HERE` moved to *place*.

    Args:
        thing: A record, a figure, a text, or tuples of these; other values come back as they are,
            and so does the very thing that holds no such path.
        place: Path of the option that the thing now belongs to.
    """
    kind = type(thing)
    if isinstance(thing, str):
        return moved(thing, place)
    if kind is Figure:
        path = thing.path
        return Figure(thing.value, f"{place}{path[1:]}") if path.startswith(_INSIDE) else thing
    if kind is Step:
        return _step_moved(thing, place)
    if kind is tuple:
        made = tuple([rebased(one, place) for one in thing])
        return made if any(map(is_not, made, thing)) else thing
    parts = _parts(kind)
    if parts is None:
        return thing
    values = parts.values(thing)
    changed = {}
    for number in parts.places:
        new = rebased(values[number], place)
        if new is not values[number]:
            changed[parts.keywords[number]] = new
    return (
        kind(**{**dict(zip(parts.keywords, values, strict=True)), **changed}) if changed else thing
    )
