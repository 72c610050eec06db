"""Every data table parses and states its source, and is read by the code that ships it."""

from pathlib import Path

import pytest

import ampwright
from ampwright.tables import KNOWN, read_table

ROOT = Path(ampwright.__file__).parent
TABLES = sorted(ROOT.rglob("*.csv"))
#: Kernels read their tables themselves, since they know nothing of ours.
PLANNED = [path for path in TABLES if "kernels" not in path.parts]


@pytest.mark.parametrize("path", PLANNED, ids=lambda path: path.relative_to(ROOT).as_posix())
def test_table_states_its_source(path: Path) -> None:
    table = read_table(path)
    assert table.heads["source"]
    assert table.heads["status"]
    assert table.known in KNOWN
    assert table.rows
    assert table.source().document


@pytest.mark.parametrize(
    "path",
    [path for path in TABLES if "kernels" in path.parts],
    ids=lambda path: path.relative_to(ROOT).as_posix(),
)
def test_kernel_table_states_its_source(path: Path) -> None:
    head = [line for line in path.read_text(encoding="utf-8").splitlines() if line.startswith("#")]
    assert any(line.startswith("# source:") for line in head)
    assert any(line.startswith("# status:") for line in head)


def test_every_table_is_named_by_a_module_beside_it() -> None:
    lonely = []
    for path in PLANNED:
        beside = [*path.parent.glob("*.py"), *path.parent.parent.glob("*.py")]
        text = "".join(one.read_text(encoding="utf-8") for one in beside)
        manifest = path.parent / "manifest.toml"
        if path.name not in text and path.stem not in text and not manifest.exists():
            lonely.append(path.name)
    assert not lonely


def test_a_memory_table_says_so_in_words() -> None:
    for path in PLANNED:
        table = read_table(path)
        if table.known == "memory":
            words = " ".join([table.heads["status"], table.heads.get("edition", "")]).lower()
            assert "memory" in words, path.name
