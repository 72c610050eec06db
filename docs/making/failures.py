"""Errors: every class, and every code that is raised, read from the code base."""

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import NamedTuple

from docs.making.markup import table

import ampwright
from ampwright import errors
from ampwright.errors import AmpwrightError

ROOT = Path(ampwright.__file__).parent


class Raised(NamedTuple):
    """One code of an error, its class, and what is expected where it is raised."""

    code: str
    cls: str
    expected: str


def classes() -> tuple[type[AmpwrightError], ...]:
    """Return every error class, the root first."""
    found = [one for one in vars(errors).values() if isinstance(one, type)]
    return tuple(one for one in found if issubclass(one, AmpwrightError))


def _wording(node: ast.AST, local: dict[str, ast.AST]) -> str:
    """Return a text as it stands in the code, what varies in it as three dots."""
    if isinstance(node, ast.Name) and node.id in local:
        node = local[node.id]
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return node.value
    if isinstance(node, ast.JoinedStr):
        parts = (_wording(one, {}) if isinstance(one, ast.Constant) else "…" for one in node.values)
        return "".join(parts)
    return ""


def _calls(tree: ast.AST) -> Iterator[tuple[ast.Call, dict[str, ast.AST]]]:
    for function in ast.walk(tree):
        if not isinstance(function, ast.FunctionDef):
            continue
        assigned = [
            (one.lineno, one.targets[0].id, one.value)
            for one in ast.walk(function)
            if isinstance(one, ast.Assign) and isinstance(one.targets[0], ast.Name)
        ]
        for one in ast.walk(function):
            if isinstance(one, ast.Call):  # the last value that a name was given before it
                before = sorted(
                    ((line, name, value) for line, name, value in assigned if line < one.lineno),
                    key=lambda given: given[0],
                )
                yield one, {name: value for _, name, value in before}


@cache
def raised() -> tuple[Raised, ...]:
    """Return every code that is raised with what was expected, sorted."""
    names = {one.__name__: one for one in classes()}
    found: set[Raised] = set()
    for path in sorted(ROOT.rglob("*.py")):
        for call, local in _calls(ast.parse(path.read_text(encoding="utf-8"))):
            name = getattr(call.func, "id", "")
            if name not in names:
                continue
            expected = _wording(call.args[1], local) if len(call.args) > 1 else ""
            stated = [one.value for one in call.keywords if one.arg == "code"]
            codes = [str(one.value) for one in stated if isinstance(one, ast.Constant)]
            for code in codes if stated else [names[name].default_code]:
                found.add(Raised(code, name, expected))
    return tuple(sorted(found))


def page() -> str:
    """Return every error code with its class and what is expected."""
    rows = []
    for code in sorted({one.code for one in raised()}):
        same = [one for one in raised() if one.code == code]
        names = ", ".join(f"`{name}`" for name in sorted({one.cls for one in same}))
        wanted = list(dict.fromkeys(one.expected for one in same if one.expected))
        rows.append((f"`{code}`", names, "; or ".join(wanted[:3])))
    return table(("Code", "Class", "What is expected there"), rows)
