"""Mutants of Python modules: one small fault each, as a test suite should notice it.

Faults: comparisons moved by one step and turned round, arithmetic exchanged, conditions negated,
``and`` for ``or``, ``min`` for ``max``, ``any`` for ``all``, numbers a step up and down, severities
exchanged, the id of a rule for that of another, calls without a use of their value left out; and
inside the formulas that steps state as text, the same for signs, numbers, ``min`` and ``max``. What
only says how records are made and shown, in decorators and ``attrs.field``, is left alone.
"""

import ast
import re
from collections.abc import Iterator
from typing import NamedTuple

BOUNDARY = {ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt}
OPPOSITE = {
    ast.Lt: ast.GtE, ast.LtE: ast.Gt, ast.Gt: ast.LtE, ast.GtE: ast.Lt, ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq, ast.In: ast.NotIn, ast.NotIn: ast.In, ast.Is: ast.IsNot, ast.IsNot: ast.Is,
}  # fmt: skip
ARITHMETIC = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.Pow: ast.Mult,
}  # fmt: skip
CALLS = {"min": "max", "max": "min", "any": "all", "all": "any"}
SEVERITIES = {"blocks": "caution", "caution": "info", "info": "caution"}
#: A text that is a formula: it has a sign between blanks, or calls a function of that language.
FORMULA = re.compile(r"^[\w\s.+\-*/(),'{}]*( [+\-*/]{1,2} |(min|max|sqrt)\()[\w\s.+\-*/(),'{}]*$")
SIGN = re.compile(r" (\*\*|[+\-*/]) ")
NUMBER = re.compile(r"(?<![\w.])\d+(?:\.\d+)?(?![\w.])")
EXTREME = re.compile(r"\b(min|max)\(")
#: Beginning of the ids of a family's rules, and two of them that exist.
RULES = {"nec.": ("nec.300.5", "nec.110.15"), "iec.": ("iec.525", "iec.552")}
SIGNS = {"+": "-", "-": "+", "*": "/", "/": "*", "**": "*"}


class Mutant(NamedTuple):
    """One fault.

    Attributes:
        line: Line where it is.
        what: What was done.
        node: Place of the changed node in the order of `ast.walk`.
        change: What replaces it: name of an attribute, and its new value.
    """

    line: int
    what: str
    node: int
    change: tuple[str, object]


def mutants(tree: ast.Module) -> Iterator[Mutant]:
    """Yield the mutants of a module."""
    docstrings = set(_docstrings(tree))
    annotations = {*_annotations(tree), *_manner(tree)}
    formulas = set(_parts_of_formulas(tree))
    for place, node in enumerate(ast.walk(tree)):
        if id(node) in docstrings or id(node) in annotations:
            continue
        for what, change in _changes(node, in_formula=id(node) in formulas):
            yield Mutant(_line(node), what, place, change)


def changed(source: str, mutant: Mutant) -> ast.Module:
    """Return the module of *source* with the fault in it."""
    tree = ast.parse(source)
    node = next(one for place, one in enumerate(ast.walk(tree)) if place == mutant.node)
    setattr(node, *mutant.change)
    return ast.fix_missing_locations(tree)


def _line(node: ast.AST) -> int:
    if isinstance(node, ast.comprehension):
        node = node.iter
    return int(getattr(node, "lineno", 0))


def _docstrings(tree: ast.Module) -> Iterator[int]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            yield from (id(node), id(node.value))


def _annotations(tree: ast.Module) -> Iterator[int]:
    for node in ast.walk(tree):
        for field in ("annotation", "returns"):
            found = getattr(node, field, None)
            if found is not None:
                yield from (id(one) for one in ast.walk(found))


def _manner(tree: ast.Module) -> Iterator[int]:
    """Yield what says how records are made and shown: decorators, and options of their fields."""
    for node in ast.walk(tree):
        if isinstance(node, ast.ClassDef | ast.FunctionDef):
            for one in node.decorator_list:
                yield from (id(part) for part in ast.walk(one))
        if isinstance(node, ast.Call) and ast.unparse(node.func) == "attrs.field":
            yield from (id(part) for part in ast.walk(node))


def _parts_of_formulas(tree: ast.Module) -> Iterator[int]:
    """Yield the constants of f-strings that are formulas as a whole."""
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr) and FORMULA.match(ast.unparse(node)[2:-1]):
            yield from (id(one) for one in node.values)


def _changes(node: ast.AST, *, in_formula: bool) -> Iterator[tuple[str, tuple[str, object]]]:
    if isinstance(node, ast.Compare):
        yield from _compared(node)
    elif isinstance(node, ast.BinOp) and type(node.op) in ARITHMETIC:
        other = ARITHMETIC[type(node.op)]
        yield f"{type(node.op).__name__} to {other.__name__}", ("op", other())
    elif isinstance(node, ast.BoolOp):
        other_bool = ast.Or if isinstance(node.op, ast.And) else ast.And
        yield f"to {other_bool.__name__}", ("op", other_bool())
    elif isinstance(node, ast.If | ast.IfExp | ast.comprehension):
        yield from _condition(node)
    elif isinstance(node, ast.Name) and node.id in CALLS:
        yield f"{node.id} to {CALLS[node.id]}", ("id", CALLS[node.id])
    elif isinstance(node, ast.Expr) and isinstance(node.value, ast.Call):
        yield f"left out {ast.unparse(node.value)[:40]}", ("value", ast.Constant(None))
    elif isinstance(node, ast.Constant):
        yield from _constant(node.value, in_formula=in_formula)


def _condition(
    node: ast.If | ast.IfExp | ast.comprehension,
) -> Iterator[tuple[str, tuple[str, object]]]:
    """Negate what is no comparison, which has faults of its own."""
    if isinstance(node, ast.comprehension):
        if node.ifs and not any(isinstance(one, ast.Compare) for one in node.ifs):
            yield "condition negated", ("ifs", [ast.UnaryOp(ast.Not(), one) for one in node.ifs])
    elif not isinstance(node.test, ast.Compare | ast.BoolOp):
        yield "condition negated", ("test", ast.UnaryOp(ast.Not(), node.test))


def _compared(node: ast.Compare) -> Iterator[tuple[str, tuple[str, object]]]:
    for at, op in enumerate(node.ops):
        for others in (BOUNDARY, OPPOSITE):
            other = others.get(type(op))
            if other is not None:
                ops = [*node.ops[:at], other(), *node.ops[at + 1 :]]
                yield f"{type(op).__name__} to {other.__name__}", ("ops", ops)


def _constant(value: object, *, in_formula: bool) -> Iterator[tuple[str, tuple[str, object]]]:
    if isinstance(value, bool):
        yield f"{value} to {not value}", ("value", not value)
    elif isinstance(value, int):
        for other in (value + 1, value - 1):
            yield f"{value} to {other}", ("value", other)
    elif isinstance(value, float):
        for factor in (1.1, 0.9):
            other_float = value * factor or factor - 1.0
            yield f"{value} to {other_float:.4g}", ("value", other_float)
    elif isinstance(value, str) and value in SEVERITIES:
        yield f"{value} to {SEVERITIES[value]}", ("value", SEVERITIES[value])
    elif isinstance(value, str) and value[:4] in RULES:
        first, second = RULES[value[:4]]
        other_rule = second if value == first else first
        yield f"{value} to {other_rule}", ("value", other_rule)
    elif isinstance(value, str) and (in_formula or FORMULA.match(value)):
        for what, text in _formula(value):
            yield what, ("value", text)


def _formula(text: str) -> Iterator[tuple[str, str]]:
    for found in SIGN.finditer(text):
        other = SIGNS[found[1]]
        yield _told(text, found.span(1), other)
    for found in NUMBER.finditer(text):
        number = float(found[0]) if "." in found[0] else int(found[0])
        yield _told(text, found.span(), repr(number + 1))
    for found in EXTREME.finditer(text):
        yield _told(text, found.span(1), CALLS[found[1]])


def _told(text: str, span: tuple[int, int], other: str) -> tuple[str, str]:
    new = text[: span[0]] + other + text[span[1] :]
    return f"formula {text!r} to {new!r}", new
