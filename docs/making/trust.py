"""Why the numbers can be trusted: the checks against printed figures, made from a run of them.

The checks run in a process of their own, through `docs.making.run`, each time the pages are built.
A check that fails stops the build.
"""

import ast
import json
import re
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import NamedTuple

from docs.making.markup import section, table

ROOT = Path(__file__).parents[2]
PUBLISHED = ROOT / "tests" / "published"
INDEPENDENT = ROOT / "tests" / "independent"
PROPERTIES = ROOT / "tests" / "properties"
MEMORY, SEEN, PRACTICE, OWN = "memory", "seen", "common practice", "own arithmetic"


class Comparison(NamedTuple):
    """One printed figure beside ours."""

    name: str
    printed: float
    ours: float
    unit: str


class Check(NamedTuple):
    """One test: its file, its name, what its docstring says, and what it compared."""

    file: str
    name: str
    text: str
    compared: tuple[Comparison, ...]


@cache
def checks() -> tuple[Check, ...]:
    """Run the published checks and return them.

    Raises:
        RuntimeError: One of them fails, or they cannot be run.
    """
    with tempfile.TemporaryDirectory() as folder:
        kept = Path(folder) / "checks.json"
        command = [sys.executable, "-m", "docs.making.run", str(kept), str(PUBLISHED)]
        done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)  # noqa: S603 - our own interpreter, our own module
        if done.returncode:
            raise RuntimeError(f"the published checks do not pass:\n{done.stdout}\n{done.stderr}")
        found = json.loads(kept.read_text(encoding="utf-8"))
    return tuple(
        Check(one["file"], one["name"], one["text"],
              tuple(Comparison(*pair) for pair in one["compared"]))
        for one in found
    )  # fmt: skip


def _heading(path: Path) -> tuple[str, str]:
    """Return the first line of a file's docstring, and the rest as one paragraph each."""
    text = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))) or path.stem
    first, _, rest = text.partition("\n\n")
    title = " ".join(first.split()).rstrip(".")
    text = "\n\n".join(" ".join(part.split()) for part in rest.split("\n\n"))
    return title.replace("``", "`"), text.replace("``", "`")


def _source(title: str, text: str) -> str:
    """Return the title, and the book where only the next sentence names it."""
    authors = re.match(r"(?:[A-Z]\. )+[A-Z]", text)
    book = re.split(r",? (?:chapter|examples?|tables?) |, the example| Status", text, maxsplit=1)
    return f"{title}: {book[0].rstrip(' ,')}" if authors else title


def known(text: str) -> str:
    """Return how figures are known, from what a docstring says of them."""
    words = text.lower()
    found = [SEEN] * ("seen" in words) + [MEMORY] * ("memory" in words)
    found += [PRACTICE] * ("common practice, no source" in words)
    found += [OWN] * ("own arithmetic" in words or "by hand" in words)
    return "; ".join(found) or "see below"


def figure(value: float) -> str:
    """Return a number to six figures, without an exponent where none is needed."""
    text = f"{value:.6g}"
    if "e" in text and 1e-6 < abs(value) < 1e9:
        text = f"{value:.6f}".rstrip("0").rstrip(".")
    return text


def deviation(one: Comparison) -> str:
    """Return how far ours lies from the printed figure, in percent of it."""
    if one.ours == one.printed:
        return "0"
    if one.printed == 0.0:
        return figure(one.ours)
    share = (one.ours / one.printed - 1.0) * 100.0
    if abs(share) < 0.005:
        return "0.00 %"
    return f"{share:+.2g} %" if abs(share) < 0.1 else f"{share:+.2f} %"


def _plain(name: str) -> str:
    """Return the name of a test as words, without its parameters."""
    return name.removeprefix("test_").partition("[")[0].replace("_", " ")


def _by_file() -> dict[str, list[Check]]:
    found: dict[str, list[Check]] = {}
    for one in checks():
        found.setdefault(one.file, []).append(one)
    return dict(sorted(found.items()))


def _one_file(file: str, own: list[Check]) -> str:
    title, text = _heading(ROOT / file)
    rows = []
    for one in own:
        rows += [
            (_plain(one.name), pair.name, f"{figure(pair.printed)} {pair.unit}",
             f"{figure(pair.ours)} {pair.unit}", deviation(pair))
            for pair in one.compared
        ]  # fmt: skip
    sources = dict.fromkeys(
        (_plain(one.name), " ".join(one.text.split())) for one in own if one.text
    )
    parts = [f"`{file}`", text]
    if rows:
        heads = ("Check", "Quantity", "Printed:", "Ours:", "Deviation:")
        parts.append(table(heads, rows))
    if bare := [one for one in own if not one.compared]:
        parts.append(
            f"Tests of this file that compare choices, sizes or relations by arithmetic beside the "
            f"test, instead of single figures: {len(bare)}."
        )
    if sources:
        parts.append("\n".join(f"- *{name}*: {said}" for name, said in sources))
    return section(title, *parts, level=3)


def checks_page() -> str:
    """Return every check with source, printed figure, ours and deviation."""
    return "\n".join(_one_file(file, own) for file, own in _by_file().items())


def _share(largest: float) -> str:
    return f"{largest * 100:.2g} %" if largest > 5e-5 else "below 0.01 %"


def summary_page() -> str:
    """Return one row for each source."""
    rows, total, alone = [], 0, 0
    for file, own in _by_file().items():
        title, text = _heading(ROOT / file)
        pairs = [pair for one in own for pair in one.compared]
        total += len(pairs)
        alone += sum(not one.compared for one in own)
        said = known(" ".join([title, text, *(one.text for one in own)]))
        shares = [abs(pair.ours / pair.printed - 1.0) for pair in pairs if pair.printed]
        worst = _share(max(shares)) if shares else "–"
        rows.append((_source(title, text), said, len(pairs) or "–", len(own), worst))
    heads = ("Source", "How its figures are known", "Figures:", "Tests:", "Largest deviation:")
    tests = len(checks())
    return (
        f"{tests} tests from {len(rows)} sources compare {total} printed figures with ours; "
        f"{alone} of the tests compare sizes and choices instead of figures. All pass.\n\n"
        f"{table(heads, rows)}"
    )


def _tests(folder: Path) -> Iterator[tuple[str, str, str]]:
    """Yield file, name and docstring of every test in *folder*."""
    for path in sorted(folder.rglob("test_*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        for node in tree.body:
            if isinstance(node, ast.FunctionDef) and node.name.startswith("test_"):
                said = ast.get_docstring(node) or ""
                said = " ".join(said.split()).replace("``", "`")
                yield path.relative_to(ROOT).as_posix(), node.name, said


def independent_page() -> str:
    """Return what the models are held against besides printed figures."""
    parts = []
    for folder in (INDEPENDENT, PROPERTIES):
        found: dict[str, list[tuple[str, str]]] = {}
        for file, name, said in _tests(folder):
            found.setdefault(file, []).append((_plain(name), said))
        for file, own in found.items():
            title, text = _heading(ROOT / file)
            lines = [f"- {name}" + (f": {said}" if said else "") for name, said in own]
            parts.append(section(title, f"`{file}`", text, "\n".join(lines), level=3))
    return "\n".join(parts)


def fixture_names() -> set[str]:
    """Return the test files that hand their comparisons to the page."""
    found = set()
    for path in sorted(PUBLISHED.glob("test_*.py")):
        if re.search(r"\bprinted\(", path.read_text(encoding="utf-8")):
            found.add(path.name)
    return found
