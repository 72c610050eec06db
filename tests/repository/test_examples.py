"""Every Python block of the README and of the documentation runs, page by page."""

import re
from pathlib import Path

import pytest
from sybil import Sybil
from sybil.parsers.myst import PythonCodeBlockParser

ROOT = Path(__file__).parents[2]
PAGES = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted((ROOT / "docs").rglob("*.md"))]
WITH_CODE = [path for path in PAGES if "```python" in path.read_text(encoding="utf-8")]
READER = Sybil(parsers=[PythonCodeBlockParser()])
CONTENTS = re.compile(r"^```\{toctree\}\n(?::.*\n)*\n((?:[^`].*\n)+)```", re.MULTILINE)
LINK = re.compile(r"\]\((?!https?:|#|mailto:)([^)#\s]+)")


@pytest.mark.parametrize("page", WITH_CODE, ids=lambda path: path.relative_to(ROOT).as_posix())
def test_page_runs(page: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    blocks = list(READER.parse(page).examples())
    assert blocks
    for block in blocks:
        block.evaluate()


def test_the_readme_is_among_the_pages() -> None:
    assert ROOT / "README.md" in WITH_CODE


@pytest.mark.parametrize("page", PAGES, ids=lambda path: path.relative_to(ROOT).as_posix())
def test_links_between_pages_lead_somewhere(page: Path) -> None:
    dead = [
        target
        for target in LINK.findall(page.read_text(encoding="utf-8"))
        if not (page.parent / target).exists() and not (page.parent / f"{target}.md").exists()
    ]
    assert not dead


def test_every_page_stands_in_one_table_of_contents_and_every_entry_has_its_page() -> None:
    """The builder of the pages warns of both, and warnings stop it; this says so at once."""
    docs = ROOT / "docs"
    entries = [
        (page.parent / entry).relative_to(docs).as_posix() + ".md"
        for page in docs.rglob("*.md")
        for block in CONTENTS.findall(page.read_text(encoding="utf-8"))
        for entry in block.split()
    ]
    unlisted = {"index.md", "caution.md"}  # the root, and what others include
    left_out = ("changelog/", "reference/generated/", "_build/")
    pages = {one.relative_to(docs).as_posix() for one in docs.rglob("*.md")} - unlisted
    assert sorted(entries) == sorted(one for one in pages if not one.startswith(left_out))
