"""The plan: the decision, and its ways out."""

import re
from collections.abc import Mapping
from importlib import import_module
from types import ModuleType
from typing import TYPE_CHECKING, Any, Literal, Self, overload

import attrs

from ampwright import documents, exchange, writing
from ampwright.bounds import hint
from ampwright.decision import SCHEMA, Decision
from ampwright.errors import FormatError, InputError
from ampwright.option import Option
from ampwright.quantity import Measured, build

if TYPE_CHECKING:
    from ampwright.diagram.picture import Diagram
    from ampwright.tabulation import Cell, Column

#: Module and function that write each format of the report.
FORMATS = {
    "html": ("html", "html"), "markdown": ("markdown", "markdown"), "text": ("plain", "plain"),
    "pdf": ("html", "pdf"),
}  # fmt: skip

#: Ending of an attribute's name, and the unit that it stands for.
ENDINGS = {
    "a": "A", "v": "V", "w": "W", "va": "VA", "var": "var", "ohm": "ohm", "m": "m", "mm2": "mm2",
    "hz": "Hz", "s": "s", "h": "h", "c": "degC", "k": "K", "f": "F", "nm": "N.m", "rpm": "rpm",
    "kgm2": "kg.m2", "fraction": "",
}  # fmt: skip
#: Units of steps that the door spells in another way.
SPELLINGS = {"N m": "N.m", "kg m2": "kg.m2", "1/min": "rpm", "fraction": "", "h/a": "h"}
_PART = r"([A-Za-z][A-Za-z0-9_]*)((?:\[[0-9]{1,6}\])*)"


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Plan(Decision):
    """The answer to a shop, and what can be made of it. It is equal to every other that says so.

    It has the attributes of a decision; see there.
    """

    #: What a newer version wrote and this one does not know, so that it is written back.
    _unread: exchange.Leftovers = attrs.field(init=False, factory=dict, eq=False, repr=False)

    @classmethod
    def of(cls, decision: Decision) -> Self:
        """Return the plan that says what *decision* says."""
        return cls(**{one.name: getattr(decision, one.name) for one in attrs.fields(Decision)})

    def to_dict(self) -> dict[str, Any]:
        """Return the plan as plain data: text, finite numbers, true, false, lists, dicts."""
        return exchange.write(self, leftovers=self._unread)

    def to_json(self, *, indent: int | None = None) -> str:
        """Return the plan as JSON; equal plans give equal text."""
        if indent is None and not self._unread:
            return writing.to_json(self)
        return documents.to_json(self.to_dict(), indent=indent)

    @classmethod
    def from_dict(cls, data: Mapping[str, Any]) -> Self:
        """Return the plan that `to_dict` wrote, by this version or another of the same schema.

        Raises:
            SchemaVersionError: A newer schema than this version reads.
            FormatError: It is no plan.
            InputError: Its parts are unsound; all faults together.
        """
        if not isinstance(data, Mapping):
            got = type(data).__name__
            raise FormatError(got, "an object at the top level", code="schema.top_level")
        exchange.known_schema(data, SCHEMA)
        unread: exchange.Leftovers = {}
        found = exchange.read(cls, data, leftovers=unread)
        found._unread.update(unread)  # noqa: SLF001 - its own class
        return found

    @classmethod
    def from_json(cls, text: str) -> Self:
        """Return the plan that `to_json` wrote.

        Raises:
            FormatError: It is no JSON, or no plan.
            SchemaVersionError: A newer schema than this version reads.
            InputError: Its parts are unsound; all faults together.
        """
        return cls.from_dict(documents.from_json(text))

    def rows(self, name: str, *, option: str | None = None) -> "list[dict[str, Cell]]":
        """Return a flat table, one dict a row; numbers are in the unit that their key ends in.

        Args:
            name: ``"machines"``, ``"circuits"``, ``"equipment"``, ``"findings"`` or ``"steps"``.
            option: Id of the option that it is about; the best, or the first where none is advised.

        Raises:
            InputError: There is no such table or option.
        """
        return list(_way("tabulation").rows(self, name, self._option(option)))

    def columns(self, name: str) -> "Mapping[str, Column]":
        """Return unit and meaning of each key of the table *name*, in the order of the keys.

        Raises:
            InputError: There is no such table.
        """
        found: Mapping[str, Column] = _way("tabulation").columns(name)
        return found

    def _option(self, name: str | None) -> Option | None:
        found: Option | None
        if name is None:
            found = _way("report.phrases").shown_option(self)
            return found
        found = next((one for one in self.options if one.id == name), None)
        if found is None:
            wanted = f"one of {', '.join(one.id for one in self.options) or 'no options'}"
            raise InputError(name, wanted, "option", code="option.unknown")
        return found

    @overload
    def report(
        self, format: Literal["html", "markdown", "text"] = "html", *, language: str | None = None
    ) -> str: ...

    @overload
    def report(self, format: Literal["pdf"], *, language: str | None = None) -> bytes: ...

    @overload
    def report(self, format: str, *, language: str | None = None) -> str | bytes: ...

    def report(self, format: str = "html", *, language: str | None = None) -> str | bytes:  # noqa: A002 - the name is part of the contract
        """Return the report for paper and screen: what to do, why, and how each number came about.

        Args:
            format: ``"html"`` (needs the extra ``report``), ``"markdown"``, ``"text"``, or
                ``"pdf"`` (needs the extra ``pdf``), which gives bytes.
            language: Tag of the reader's language, with a place or without, as ``"de"`` or
                ``"pt-BR"`` (needs the extra ``report``); ``"region"`` for the language of the
                region. ``None``: English, with numbers, dates and money as the region writes them.
                What has no translation stands in English, and the report says so once.

        Raises:
            InputError: There is no such format or language, or its extra is not installed.
        """
        if format not in FORMATS:
            wanted = f"one of {', '.join(FORMATS)}"
            raise InputError(format, wanted, "format", code="format.unknown")
        writer, function = FORMATS[format]
        made = _way("report.document").document(self, language, drawn=writer == "html")
        written: str | bytes = getattr(_way(f"report.{writer}"), function)(made)
        return written

    def diagram(
        self,
        kind: str = "one-line",
        *,
        symbols: Literal["iec", "ansi"] | None = None,
        option: str | None = None,
        language: str | None = None,
    ) -> "Diagram":
        """Return a drawing of a way to run the shop; its ``svg`` is text, its ``save`` writes it.

        Args:
            kind: ``"one-line"``: from the service over the panel to every machine, each circuit
                with device, conductors, switch and overload, each converter with its capacitors;
                ``"connection"``: every single conductor from the panel through converters and
                idlers to the terminals of the motors; ``"phasor"``: voltages and currents at the
                made leg, to scale.
            symbols: ``"iec"`` or ``"ansi"``; ``None``: as usual under the region.
            option: Id of the option to be drawn; the best, or the first where none is advised.
            language: Tag of the reader's language, as for `report`.

        Raises:
            InputError: There is no such drawing, set of symbols, option or language, or the plan
                has no option at all.
        """
        drawn: Diagram = _way("diagram.drawing").diagram(
            self, self._option(option), kind=kind, symbols=symbols, language=language
        )
        return drawn

    def quantity(self, path: str) -> Measured:
        """Return a number of the plan as a quantity of the caller's application registry.

        Args:
            path: Names and positions, as ``"options[0].circuits[0].design_current"``; the ending
                that states the unit may be left out.

        Raises:
            InputError: There is no such number, or it has no unit, as money.
        """
        return _quantity(self, path)


def _way(name: str) -> ModuleType:
    """Return the module of a way out, loaded when it is first taken: few plans take them all."""
    return import_module(f"ampwright.{name}")


def _quantity(plan: Plan, path: str) -> Measured:
    value: object = plan
    unit: str | None = None
    for part in str(path).split("."):
        found = re.fullmatch(_PART, part)
        if found is None:
            wanted = "names and positions, as options[0].circuits[0].design_current"
            raise InputError(path, wanted, "path", code="path.syntax")
        name = _attribute(value, found[1], path)
        unit = _unit(value, name)
        value = getattr(value, name)
        for place in re.findall(r"[0-9]+", found[2]):
            if not isinstance(value, tuple) or int(place) >= len(value):
                wanted = f"a position that {name} has"
                raise InputError(path, wanted, "path", code="path.unknown")
            value = value[int(place)]
    if isinstance(value, bool) or not isinstance(value, int | float) or unit is None:
        wanted = "the path of a number that has a unit"
        raise InputError(path, wanted, "path", code="path.no-number")
    return build(float(value), unit)


def _attribute(value: object, name: str, path: str) -> str:
    """Return the attribute of *value* that is called *name*, with or without its unit."""
    cls = type(value)
    known: list[str] = [one.name for one in attrs.fields(cls)] if attrs.has(cls) else []
    known = [one for one in known if not one.startswith("_")]
    known += [one for one in dir(cls) if isinstance(getattr(cls, one), property)]
    if name in known:
        return name
    fitting = [
        one for one in known if one.startswith(f"{name}_") and one[len(name) + 1 :] in ENDINGS
    ]
    held = [one for one in fitting if getattr(value, one) is not None]
    if len(held) == 1 or len(fitting) == 1:
        return (held or fitting)[0]
    wanted = f"one of {', '.join(fitting or known)}" if fitting or known else "the path of a number"
    raise InputError(path, wanted, "path", code="path.unknown", remedy=hint(name, known))


def _unit(owner: object, name: str) -> str | None:
    """Return the unit of the attribute *name*; ``None`` where it is no matter of units."""
    stated = getattr(owner, "unit", None)
    if isinstance(stated, str):
        return SPELLINGS.get(stated, stated)
    if hasattr(owner, "currency"):
        return None
    return ENDINGS.get(name.rpartition("_")[2], "")
