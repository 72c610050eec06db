"""Fields of records in the reference: from their docstrings and from the records themselves."""

import inspect
from types import NoneType, UnionType
from typing import Any, Literal, Union, get_args, get_origin

import attrs

from ampwright.records.statement import Statement


def stated_fields(lines: list[str]) -> tuple[list[str], dict[str, str]]:
    """Split a docstring into the lines before ``Attributes:`` and the text of each attribute."""
    if "Attributes:" not in lines:
        return lines, {}
    place = lines.index("Attributes:")
    found: dict[str, str] = {}
    name = ""
    for line in lines[place + 1 :]:
        if line.startswith("    ") and not line.startswith("     ") and ":" in line:
            name, _, text = line.strip().partition(":")
            found[name] = text.strip()
        elif line.startswith("     ") and name:
            found[name] += f" {line.strip()}"
    return lines[:place], found


def _kind(kind: Any) -> str:  # noqa: ANN401 - an annotation may be anything
    """Return a type as a reader reads it."""
    if kind is NoneType:
        return "None"
    if get_origin(kind) in (Union, UnionType):
        return " | ".join(_kind(one) for one in get_args(kind))
    if get_origin(kind) is Literal:
        return " | ".join(repr(one) for one in get_args(kind))
    if get_origin(kind) is tuple:
        return f"tuple[{', '.join('...' if one is ... else _kind(one) for one in get_args(kind))}]"
    return getattr(kind, "__name__", None) or str(kind)


def _value(field: "attrs.Attribute[Any]") -> str | None:
    if field.default is attrs.NOTHING:
        return None
    if isinstance(field.default, attrs.Factory):  # type: ignore[arg-type]
        return None
    return repr(field.default) if not str(field.default).startswith("Extra") else "{}"


def described(cls: type, name: str, text: str) -> list[str]:
    """Return one attribute as a description in reStructuredText."""
    field = next((one for one in attrs.fields(cls) if one.name == name), None)
    lines = [f".. py:attribute:: {name}", "   :no-contents-entry:"]
    notes = ""
    if field is not None:
        lines.append(f"   :type: {_kind(field.type)}")
        value = _value(field)
        if value is not None:
            lines.append(f"   :value: {value}")
        if issubclass(cls, Statement):
            if not field.init:
                notes = " Derived, not stated."
            elif field.alias != field.name:
                notes = f" Stated as ``{field.alias}``, with its unit."
            if field.init and field.default is attrs.NOTHING:
                notes += " Must be given."
    return ["", *lines, "", f"   {text}{notes}", ""]


def docstring(
    _app: object,
    what: str,
    _name: str,
    cls: Any,  # noqa: ANN401 - whatever is documented
    _options: object,
    lines: list[str],
) -> None:
    """Put the attributes of a record into its description; Sphinx calls this."""
    if what not in {"class", "exception"} or not attrs.has(cls):
        return
    before, found = stated_fields(lines)
    made = [line for name, text in found.items() for line in described(cls, name, text)]
    lines[:] = [*before, *made]


def property_text(  # the reader of Google's docstrings takes what stands before a colon for a type
    _app: object, what: str, _name: str, one: object, _options: object, lines: list[str]
) -> None:
    """Give a property its own docstring back, word for word; Sphinx calls this last."""
    if what == "property" and isinstance(one, property) and one.__doc__:
        lines[:] = [*inspect.cleandoc(one.__doc__).splitlines(), ""]


def signature(
    _app: object,
    what: str,
    _name: str,
    cls: Any,  # noqa: ANN401 - whatever is documented
    *_: object,
) -> tuple[str, None] | None:
    """Leave out the signature of a record or a protocol: its parts follow. Sphinx calls this."""
    plain = what in {"class", "exception"} and (attrs.has(cls) or hasattr(cls, "_is_protocol"))
    return ("", None) if plain else None
