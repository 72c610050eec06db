"""The models: what each function of a kernel states of its accuracy and its source."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from docs.making.markup import section

import ampwright

ROOT = Path(ampwright.__file__).parent / "kernels"
PART = re.compile(r"^(Args|Returns|Raises|Accuracy|Source|Note|Yields):\s*", re.MULTILINE)


class Stated(NamedTuple):
    """One function: its module, its name, what it returns, its accuracy and its source."""

    module: str
    name: str
    text: str
    accuracy: str
    source: str


def _parts(text: str) -> dict[str, str]:
    pieces = PART.split(text)
    named = zip(pieces[1::2], pieces[2::2], strict=True)
    return {"": pieces[0], **{name: " ".join(part.split()) for name, part in named}}


def _functions(path: Path) -> Iterator[Stated]:
    for node in ast.parse(path.read_text(encoding="utf-8")).body:
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
            parts = _parts(ast.get_docstring(node) or "")
            if "Accuracy" in parts:
                text = " ".join(parts[""].split())
                yield Stated(path.stem, node.name, text, parts["Accuracy"], parts.get("Source", ""))


def stated() -> dict[str, tuple[str, tuple[Stated, ...]]]:
    """Return for each kernel that states accuracies its description and its functions."""
    found = {}
    for path in sorted(ROOT.glob("*.py")):
        functions = tuple(_functions(path))
        if functions:
            text = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))) or ""
            found[path.stem] = (text, functions)
    return found


def page() -> str:
    """Return every kernel function with its accuracy and its source."""
    parts = []
    for module, (text, functions) in stated().items():
        lines = []
        for one in functions:
            lines += [
                f"`{one.name}`",
                f": {one.text}",
                "",
                f"  *Accuracy:* {one.accuracy}",
                "",
                f"  *Source:* {one.source}",
                "",
            ]
        parts.append(section(f"`{module}`", text.replace("``", "`"), "\n".join(lines)))
    return "\n".join(parts).replace("``", "`")
