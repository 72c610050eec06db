"""Findings, assumptions and questions: every code that the code base can say, with its text.

The code base is read, not run: each text constant that is a code of the catalogue, or that is
handed to `Finding`, `Assumption` or `Question`, counts. The severity is the one that stands beside
it, or in the function that it is handed to.
"""

import ast
import re
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import NamedTuple

from docs.making import failures
from docs.making.markup import section, table

import ampwright
from ampwright.errors import PluginError
from ampwright.finding import SEVERITIES
from ampwright.report.wording import catalogue
from ampwright.table_order import CODES
from ampwright.tables import read_table

ROOT = Path(ampwright.__file__).parent
CODE = re.compile(r"[a-z]+(?:-[a-z]+)*\.(?!(?:csv|toml|py|json)\b)[a-z0-9]+(-[a-z0-9]+)*")
AREAS = ("findings", "assumptions", "questions")
#: What makes a message of an area from a code.
MAKERS = {
    "Finding": "findings",
    "find": "findings",
    "Assumption": "assumptions",
    "assumed": "assumptions",
    "everywhere": "assumptions",
    "assume": "assumptions",
    "Question": "questions",
    "ask": "questions",
    "ask_everywhere": "questions",
    "question": "questions",
}
SPEAKERS = {
    "nameplate": "plate reader",
    "planning": "planner",
    "engine.py": "planner",
    "methods/rotary": "method rotary",
    "methods/drive": "method drive",
    "methods": "method",
    "families": "wiring code",
    "regions": "wiring code",
    "verification": "independent check",
}


class Said(NamedTuple):
    """One place where a code is said: area, code, its severities, and the file."""

    area: str
    code: str
    severities: frozenset[str]
    file: str


def _parents(tree: ast.AST) -> dict[ast.AST, ast.AST]:
    return {below: node for node in ast.walk(tree) for below in ast.iter_child_nodes(node)}


def _words(node: ast.AST, known: Mapping[str, str]) -> set[str]:
    """Return the severities that an expression can have; *known* are defaults of parameters."""
    found = set()
    for one in ast.walk(node):
        if isinstance(one, ast.Constant) and one.value in SEVERITIES:
            found.add(str(one.value))
        elif isinstance(one, ast.Name) and one.id in known:
            found.add(known[one.id])
    return found


def _beside(node: ast.AST) -> list[ast.AST]:
    """Return what stands beside the code in a call or a tuple."""
    if isinstance(node, ast.Call):
        return [*node.args, *(one.value for one in node.keywords if one.arg == "severity")]
    return list(node.elts) if isinstance(node, ast.Tuple | ast.List) else []


def _defaults(node: ast.AST) -> dict[str, str]:
    """Return the severities that parameters have by default."""
    if not isinstance(node, ast.FunctionDef):
        return {}
    spec = node.args
    pairs = [*zip(reversed(spec.args), reversed(spec.defaults), strict=False),
             *zip(spec.kwonlyargs, spec.kw_defaults, strict=True)]  # fmt: skip
    return {
        name.arg: str(value.value)
        for name, value in pairs
        if isinstance(value, ast.Constant) and value.value in SEVERITIES
    }


@cache
def _handed(function: str) -> frozenset[str]:
    """Return the severities that anyone hands to a function of this name."""
    found: set[str] = set()
    for path in ROOT.rglob("*.py"):
        text = path.read_text(encoding="utf-8")
        for node in ast.walk(ast.parse(text)) if f"{function}(" in text else ():
            name = getattr(getattr(node, "func", None), "attr", None)
            name = name or getattr(getattr(node, "func", None), "id", "")
            if isinstance(node, ast.Call) and name == function:
                found = found.union(*(_words(part, {}) for part in _beside(node)))
    return frozenset(found)


def _severities(
    node: ast.AST, parents: Mapping[ast.AST, ast.AST], functions: Mapping[str, ast.AST]
) -> set[str]:
    """Return the severities with which the code at *node* can be said."""
    chain = [node]
    while chain[-1] in parents:
        chain.append(parents[chain[-1]])
    inside = next((one for one in chain if isinstance(one, ast.FunctionDef)), None)
    known = _defaults(inside) if inside else {}
    if inside and known:  # the severity is handed in
        return {*known.values(), *_handed(inside.name)}
    for one in chain[1:]:
        if isinstance(one, ast.stmt):
            break
        direct = [part for part in _beside(one) if not isinstance(part, ast.Call | ast.Tuple)]
        if found := set().union(*(_words(part, known) for part in direct)):
            return found
    for one in chain[1:]:
        if isinstance(one, ast.Call):
            called = functions.get(getattr(one.func, "attr", getattr(one.func, "id", "")))
            if called and (found := _words(called, {})):
                return found
    return _words(inside, {}) if inside else set()


def _docstrings(tree: ast.AST) -> set[ast.AST]:
    found: set[ast.AST] = set()
    for node in ast.walk(tree):
        body = getattr(node, "body", None)
        if isinstance(body, list):
            found |= {one.value for one in body if isinstance(one, ast.Expr)}
    return found


def _areas(node: ast.AST, code: str, parents: Mapping[ast.AST, ast.AST]) -> set[str]:
    """Return the areas in which the code at *node* is said: by what it is handed to."""
    one = node
    while one in parents and not isinstance(one, ast.stmt):
        above = parents[one]
        if isinstance(above, ast.Call):
            name = getattr(above.func, "attr", getattr(above.func, "id", ""))
            first = one in above.args[:1] or (isinstance(one, ast.keyword) and one.arg == "code")
            if name in MAKERS:
                return {MAKERS[name]} if first else set()
        one = above
    return {area for area in AREAS if code in catalogue()[area]}


def _pattern(node: ast.JoinedStr) -> re.Pattern[str] | None:
    """Return what a code that is put together can be, if it is one."""
    parts = [str(one.value) if isinstance(one, ast.Constant) else None for one in node.values]
    head, tail = parts[0] or "", parts[-1] or ""
    if not re.fullmatch(r"[a-z-]+\.[a-z0-9-]*", head) or not re.fullmatch(r"-[a-z-]+", tail):
        return None  # the path of a field, or no code at all
    return re.compile("".join("[a-z0-9-]+" if one is None else re.escape(one) for one in parts))


def _codes(tree: ast.AST) -> Iterator[tuple[ast.AST, str]]:
    """Yield every code with the place where it is said."""
    texts = _docstrings(tree)
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and node not in texts:
            if CODE.fullmatch(node.value):
                yield node, node.value
        elif isinstance(node, ast.JoinedStr) and (pattern := _pattern(node)):
            for area in AREAS:
                yield from ((node, one) for one in catalogue()[area] if pattern.fullmatch(one))


def _uses(node: ast.AST, tree: ast.AST, parents: Mapping[ast.AST, ast.AST]) -> list[ast.AST]:
    """Return where a code is said: its own place, or where the constant that holds it is used."""
    one = node
    while one in parents and not isinstance(one, ast.stmt):
        one = parents[one]
    if not isinstance(one, ast.Assign | ast.AnnAssign) or not isinstance(
        parents.get(one), ast.Module
    ):
        return [node]
    targets = [one.target] if isinstance(one, ast.AnnAssign) else one.targets
    names = {target.id for target in targets if isinstance(target, ast.Name)}
    used = [
        use
        for use in ast.walk(tree)
        if isinstance(use, ast.Name) and use.id in names and isinstance(use.ctx, ast.Load)
    ]
    return [node, *used]


def _in_module(path: Path) -> Iterator[Said]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    parents = _parents(tree)
    functions = {one.name: one for one in ast.walk(tree) if isinstance(one, ast.FunctionDef)}
    file = path.relative_to(ROOT).as_posix()
    for node, code in _codes(tree):
        uses = _uses(node, tree, parents)
        handed = set().union(*(_areas(use, "", parents) for use in uses))
        known = set().union(*(_areas(use, code, parents) for use in uses))
        for area in sorted(handed or known):
            found: set[str] = set()
            for use in uses if area == "findings" else ():
                found = found or _severities(use, parents, functions)
            yield Said(area, code, frozenset(found), file)


def _in_table(path: Path) -> Iterator[Said]:
    table_ = read_table(path)
    for row in table_.rows:
        if "code" in table_.columns:
            given = row.get("severity", "")
            found = {given} if given else _severities_in(path)
            yield Said("findings", row["code"], frozenset(found), path.relative_to(ROOT).as_posix())


def _severities_in(path: Path) -> set[str]:
    """Return the severities with which the module beside a table says its codes."""
    found: set[str] = set()
    for module in path.parent.glob("*.py"):
        text = module.read_text(encoding="utf-8")
        if path.name in text and 'row["code"]' in text:
            for node in ast.walk(ast.parse(text)):
                if isinstance(node, ast.Call) and "row['code']" in ast.unparse(node):
                    found |= set().union(*(_words(one.value, {}) for one in node.keywords))
    return found


@cache
def said() -> tuple[Said, ...]:
    """Return every place of the code base and of its tables that says something."""
    found: list[Said] = []
    for path in sorted(ROOT.rglob("*.py")):
        if not {"report", "diagram"} & set(path.relative_to(ROOT).parts):  # these only repeat
            found += _in_module(path)
    for path in sorted(ROOT.rglob("*.csv")):
        if "kernels" not in path.parts and path.name != "conditions.csv":
            found += _in_table(path)
    return (*found, *_of_plugins())


def _of_plugins() -> Iterator[Said]:
    """Yield the codes of problems of plugins: an engine says each as a finding of its plans."""
    ours = {one.__name__: one for one in failures.classes() if issubclass(one, PluginError)}
    codes = {one.default_code for one in ours.values()} | set(CODES)
    codes |= {one.code for one in failures.raised() if one.cls in ours}
    for code in sorted(codes):
        yield Said("findings", code, frozenset({"caution"}), "engine.py")


def meaning(code: str) -> str:
    """Return what a finding says: its text, or what the error of the same code says of itself."""
    if text := catalogue()["findings"].get(code):
        return plain(text)
    said = [one.__doc__ or "" for one in failures.classes() if one.default_code == code]
    return said[0].splitlines()[0].replace("``", "`") if said else ""


def severities() -> dict[str, tuple[str, ...]]:
    """Return the severities of every finding, the gravest first."""
    found: dict[str, set[str]] = {}
    for one in said():
        if one.area == "findings":
            found.setdefault(one.code, set()).update(one.severities)
    return {code: tuple(one for one in SEVERITIES if one in found[code]) for code in sorted(found)}


def _speaker(file: str) -> str:
    return next((who for part, who in SPEAKERS.items() if file.startswith(part)), "planner")


def _speakers(area: str, code: str) -> str:
    files = [one.file for one in said() if (one.area, one.code) == (area, code)]
    return ", ".join(sorted({_speaker(file) for file in files}))


def plain(text: str) -> str:
    """Return a text of the catalogue as the reference shows it: slots as code, terms as words."""
    words = catalogue()["terms"]
    text = re.sub(r"\[[^\[\]{}]*\{[A-Za-z0-9_-]+\|hide\}[^\[\]]*\]", "", text)
    text = re.sub(r"\{@([a-z-]+)\}", lambda one: words.get(one[1], one[1]), text)
    return re.sub(r"\{([A-Za-z0-9_-]+)(\|[a-z|]+)?\}", r"`\1`", text)


def _by_area(codes: list[str]) -> Iterator[tuple[str, list[str]]]:
    for stem in sorted({code.partition(".")[0] for code in codes}):
        yield stem, [code for code in codes if code.startswith(f"{stem}.")]


def findings_page() -> str:
    """Return every finding with its severity and its text."""
    known, texts = severities(), catalogue()["findings"]
    parts = []
    for stem, codes in _by_area(list(known)):
        rows = [
            (f"`{code}`", ", ".join(known[code]), _text("findings", code, texts)) for code in codes
        ]
        parts.append(section(stem, table(("Code", "Severity", "What it says"), rows)))
    if silent := sorted(texts.keys() - known.keys()):
        said = (
            "These codes have a meaning and a text, and nothing in this package says them yet. "
            "A plugin that means this uses the code."
        )
        kept = [(f"`{code}`", plain(texts[code])) for code in silent]
        parts.append(section("Kept for later", said, table(("Code", "What it says"), kept)))
    return "\n".join(parts)


def _text(area: str, code: str, texts: Mapping[str, str]) -> str:
    """Return the text of a code and who says it."""
    said = plain(texts.get(code, "")) or (area == "findings" and meaning(code))
    said = said or "Asked by the name of its field."
    return f"{said} *({_speakers(area, code)})*"


def assumptions_page() -> str:
    """Return every assumption with its text."""
    return _listed("assumptions")


def questions_page() -> str:
    """Return every question with its text."""
    return _listed("questions")


def _listed(area: str) -> str:
    codes = sorted({one.code for one in said() if one.area == area})
    rows = [(f"`{code}`", _text(area, code, catalogue()[area])) for code in codes]
    return table(("Code", "What it says"), rows)
