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
