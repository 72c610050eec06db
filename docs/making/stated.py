"""The tables of fields on the page of a shop's records: ``python -m docs.making.stated``.

They stand in the page itself, so that it can be read where nothing was built; a test fails while
they are not those of the records.
"""

import inspect
import re
from importlib import import_module
from pathlib import Path
from types import NoneType, UnionType
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

import attrs
from docs.making.fields import stated_fields

from ampwright.errors import AmpwrightError
from ampwright.records.statement import Statement

PAGE = Path(__file__).parents[1] / "reference" / "shop.md"
_BLOCK = re.compile(r"(?:<!-- fields -->\n.*?<!-- end of fields -->\n\n)?```\{eval-rst\}\n.*?^```$",
                    re.DOTALL | re.MULTILINE)  # fmt: skip
_CLASS = re.compile(r"^\.\. autoclass:: ([\w.]+)$", re.MULTILINE)
_UNIT = re.compile(r" \[([^\]]+)\]")
_MARKUP = re.compile(r"`+([^`]+)`+")


def _record(path: str) -> type:
    module, _, name = path.rpartition(".")
    found: type = getattr(import_module(module), name)
    return found


def _with_unit(field: "attrs.Attribute[Any]") -> bool:
    """Tell whether a bare number is refused."""
    if field.converter is None or field.type is int:
        return False
    try:
        field.converter(0.5)  # type: ignore[operator]
    except AmpwrightError:
        return True
    return False


def _takes(kind: Any, unit: str) -> str:  # noqa: ANN401 - an annotation may be anything
    """Return what may be stated for a field of the type *kind*, in the words of a file.

    Args:
        kind: The type.
        unit: ``"a unit as A"``, ``"its unit"`` where the text names it, nothing for a bare number.
    """
    origin, parts = get_origin(kind), get_args(kind)
    if origin in (Union, UnionType):
        words = (_takes(one, unit) for one in parts if one is not NoneType)
        found = " or ".join(dict.fromkeys(words))
    elif origin is Literal:
        found = ", ".join(f"`{one}`" for one in parts)
    elif origin is tuple:
        several = parts[-1] is ...
        found = f"a list: {_takes(parts[0], unit)}" if several else f"two numbers, with {unit}"
    elif isinstance(kind, type) and issubclass(kind, Statement):
        found = kind.__name__
    elif kind is float:
        found = f"a quantity, with {unit}" if unit else "a number"
    else:
        found = {bool: "`true`, `false`", int: "a whole number", str: "text"}.get(kind, "a table")
    return found


def rows(cls: type) -> list[tuple[str, str, str]]:
    """Return name, what it takes and meaning of every field of *cls* that may be stated."""
    _, texts = stated_fields(inspect.cleandoc(cls.__doc__ or "").splitlines())
    kinds = get_type_hints(cls)
    found = []
    for field in attrs.fields(cls):
        if not field.init or field.name.startswith("_"):
            continue
        if field.name not in texts:
            continue  # of the record that this one extends, and described there
        text = texts[field.name]
        unit = _UNIT.search(text)
        meaning = _MARKUP.sub(r"`\1`", _UNIT.sub("", text)).replace("|", "\\|")
        if field.default is attrs.NOTHING:
            meaning += " Must be given."
        named = f"a unit as {unit[1]}" if unit else "its unit" if _with_unit(field) else ""
        takes = _takes(kinds[field.name], named)
        if unit and not issubclass(cls, Statement):
            takes = f"a number, in {unit[1]}"
        found.append((str(field.alias or field.name), takes, meaning))
    return found


def table(path: str) -> str:
    """Return the fields of the record at *path* as a table with a caption."""
    cls = _record(path)
    lines = [f"*{cls.__name__}*", "", "| field | takes | meaning |", "| --- | --- | --- |"]
    lines += [f"| `{name}` | {takes} | {meaning} |" for name, takes, meaning in rows(cls)]
    return "\n".join(lines)


def with_tables(text: str) -> str:
    """Return a page with a table of fields ahead of each block that describes records."""

    def block(match: re.Match[str]) -> str:
        described = match[0][match[0].index("```{eval-rst}") :]
        tables = "\n\n".join(map(table, _CLASS.findall(described)))
        return f"<!-- fields -->\n{tables}\n<!-- end of fields -->\n\n{described}"

    return _BLOCK.sub(block, text)


def main() -> None:
    """Bring the tables up to date."""
    PAGE.write_text(with_tables(PAGE.read_text("utf-8")), encoding="utf-8")


if __name__ == "__main__":
    main()
