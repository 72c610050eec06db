"""Every English text that a report can print, and the catalogues brought up to date with them.

``python -m ampwright.report.messages`` writes the catalogues anew: texts that are new stand in them
without a translation, texts that have changed as fuzzy, texts that are gone are dropped. It needs
babel and a source tree.
"""

import ast
import sys
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path
from types import UnionType
from typing import NamedTuple, Union, get_args, get_origin, get_type_hints

import attrs
from babel.messages.catalog import Catalog
from babel.messages.pofile import read_po, write_po

from ampwright.records.site import Site
from ampwright.records.statement import Statement
from ampwright.records.supply import Supply
from ampwright.report.language import ENGLISH, languages
from ampwright.report.wording import catalogue

#: Methods whose argument is a text of the report's own.
SAYING = ("say", "head")
#: Areas in which many texts have one place.
SHARED = ("report", "labels")
#: Kinds of placeholders that babel takes ours for.
FOREIGN = {"python-brace-format", "python-format"}


class Message(NamedTuple):
    """A text that a report can print.

    Attributes:
        area: Area of the catalogue; the same English words may differ from area to area.
        english: The English text, which is its key.
        place: Code or file that it belongs to.
    """

    area: str
    english: str
    place: str


def messages() -> Iterator[Message]:
    """Yield every text that the built-in parts of a report can print."""
    for area, texts in catalogue().items():
        for code, text in texts.items():
            yield Message(area, text, code)
    for file in _modules():
        for text in said(ast.parse(file.read_text(encoding="utf-8"))):
            yield Message("report", text, file.stem)
    for label in dict.fromkeys([*_labels(Supply), *_labels(Site)]):
        yield Message("labels", label, "records")


def _modules() -> Iterator[Path]:
    """Yield the modules that say something of their own."""
    for package in ("report", "diagram"):
        yield from sorted(Path(str(files(f"ampwright.{package}"))).glob("*.py"))


def said(tree: ast.Module) -> Iterator[str]:
    """Yield the texts that a module says: literals, and names of literals.

    Raises:
        ValueError: A text is neither, so that nobody could translate it.
    """
    names = {
        target.id: node.value.value
        for node in tree.body
        if isinstance(node, ast.Assign) and isinstance(node.value, ast.Constant)
        for target in node.targets
        if isinstance(target, ast.Name)
    }
    for node in ast.walk(tree):
        for text in _arguments(node):
            found = text.value if isinstance(text, ast.Constant) else None
            if isinstance(text, ast.Name):
                found = names.get(text.id)
            if not isinstance(found, str):
                wrong = f"line {text.lineno}: {ast.unparse(text)} is no literal"
                raise ValueError(wrong)  # noqa: TRY004 - the source is wrong, not a type
            if shown := found.removeprefix("#"):
                yield shown


def _arguments(node: ast.AST) -> list[ast.expr]:
    if not isinstance(node, ast.Call):
        return []
    name = getattr(node.func, "attr", getattr(node.func, "id", ""))
    if name in SAYING:
        return node.args[:1]
    return node.args[1:] if name == "heads" else []


def _labels(record: type) -> Iterator[str]:
    """Yield the names of the fields of *record*, and of the records inside it, in words."""
    hints = get_type_hints(record)
    for field in attrs.fields(record):
        if field.name.startswith("_"):
            continue
        yield (field.alias or field.name).replace("_", " ")
        for part in _parts(hints[field.name]):
            if isinstance(part, type) and issubclass(part, Statement):
                yield from _labels(part)


def _parts(hint: object) -> Iterator[object]:
    if get_origin(hint) in (Union, UnionType, tuple):
        for part in get_args(hint):
            yield from _parts(part)
    else:
        yield hint


def renewed(code: str, old: Catalog) -> Catalog:
    """Return the catalogue of a language with today's texts and the translations of *old*.

    Where the English text of a code has changed, the translation of the former one stands as
    ``fuzzy``, which means that it is not used before somebody has looked at it.
    """
    new = Catalog(
        locale=code,
        project="ampwright",
        header_comment=old.header_comment,
        creation_date=old.creation_date,
        revision_date=old.revision_date,
        fuzzy=False,
    )
    before = {(one.context, *one.auto_comments): one for one in old if one.auto_comments}
    for one in messages():
        kept = old.get(one.english, context=one.area)
        changed = None if kept or one.area in SHARED else before.get((one.area, one.place))
        found = kept or changed
        added = new.add(
            one.english,
            found.string if found else "",
            auto_comments=[one.place],
            flags={"fuzzy"} if changed else set(kept.flags) & {"fuzzy"} if kept else (),
            context=one.area,
        )
        added.flags -= FOREIGN
    return new


def main() -> None:
    """Bring every catalogue up to date."""
    folder = Path(str(files("ampwright.report"))) / "languages"
    for code in languages():
        if code == ENGLISH:
            continue
        path = folder / f"{code}.po"
        with path.open("rb") as file:
            new = renewed(code, read_po(file, locale=code))
        with path.open("wb") as file:
            write_po(file, new, width=100, omit_header=False, sort_output=False)
        open_texts = sum(not one.string or one.fuzzy for one in new if one.id)
        sys.stdout.write(f"{code}: {len(new)} texts, {open_texts} without a translation\n")


if __name__ == "__main__":
    main()
