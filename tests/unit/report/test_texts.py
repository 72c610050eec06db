"""Every code that the planner, a built-in method or a built-in region says has a text."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import ampwright
from ampwright.report.wording import catalogue
from ampwright.tables import read_table

ROOT = Path(ampwright.__file__).parent
CODE = re.compile(r"[a-z]+\.[a-z0-9]+(-[a-z0-9]+)*")
#: What makes a message, the place of its code among the arguments, and where its text stands.
MAKERS = {
    "Finding": ("code", None, "findings"),
    "Assumption": ("code", None, "assumptions"),
    "Question": ("code", None, "questions"),
    "find": ("code", 0, "findings"),
    "ask": ("code", 0, "questions"),
    "assumed": ("code", 0, "assumptions"),
    "everywhere": ("code", 0, "assumptions"),
    "assume": ("code", None, "assumptions"),
}
#: Asked by the name of their field, so that no text of theirs is needed.
BY_FIELD = {"plan.data-needed"}


def _said(tree: ast.AST) -> Iterator[tuple[str, str]]:
    for node in ast.walk(tree):
        if not isinstance(node, ast.Call):
            continue
        name = getattr(node.func, "attr", getattr(node.func, "id", ""))
        if name not in MAKERS:
            continue
        keyword, place, area = MAKERS[name]
        found = [one.value for one in node.keywords if one.arg == keyword]
        if place is not None and len(node.args) > place:
            found.append(node.args[place])
        for one in found:
            if isinstance(one, ast.Constant) and CODE.fullmatch(str(one.value)):
                yield area, str(one.value)


def _codes() -> Iterator[tuple[str, str]]:
    for path in sorted(ROOT.rglob("*.py")):
        yield from _said(ast.parse(path.read_text(encoding="utf-8")))
    for path in sorted(ROOT.rglob("*.csv")):
        if "code" in path.read_text(encoding="utf-8").split("\n# ")[-1].split("\n")[1].split(","):
            yield from (("findings", row["code"]) for row in read_table(path).rows)


@pytest.mark.parametrize(("area", "code"), sorted(set(_codes())))
def test_a_code_has_a_text(area: str, code: str) -> None:
    assert code in catalogue()[area] or (area == "questions" and code in BY_FIELD)


def test_the_codes_are_found_at_all() -> None:
    found = set(_codes())
    assert ("findings", "converter.drive-one-motor") in found
    assert {area for area, _ in found} == {"findings", "assumptions", "questions"}
