"""A published table: its heads, its cells, and what it refuses."""

from pathlib import Path

import pytest

from ampwright.tables import Source, Table, read_table

GOOD = """# source: a standard; table 1
# edition: 2023
# known: seen
# status: seen on a page
#   that goes on
size,current_a
14,15
12,
"""


def written(tmp_path: Path, text: str) -> Table:
    path = tmp_path / "t.csv"
    path.write_text(text, encoding="utf-8")
    return read_table(path)


def test_heads_and_cells(tmp_path: Path) -> None:
    table = written(tmp_path, GOOD)
    assert (table.id, table.key, table.known) == ("t", "size", "seen")
    assert table.heads["status"] == "seen on a page that goes on"
    assert table.number("14", "current_a") == 15.0
    assert list(table.numbers("current_a")) == [("14", 15.0)]


def test_an_empty_cell_or_an_absent_row_is_none(tmp_path: Path) -> None:
    table = written(tmp_path, GOOD)
    assert table.number("12", "current_a") is None
    assert table.number("10", "current_a") is None
    assert table.row("10") is None


def test_the_source_names_document_clause_and_edition(tmp_path: Path) -> None:
    table = written(tmp_path, GOOD)
    assert table.source() == Source(
        document="a standard", clause="table 1", edition="2023", known="seen"
    )
    assert table.source("2020").edition == "2020"
    assert str(table.source()) == "a standard table 1 (2023)"


@pytest.mark.parametrize("head", ["source", "known", "status"])
def test_a_table_without_a_head_is_refused(tmp_path: Path, head: str) -> None:
    text = "\n".join(line for line in GOOD.splitlines() if not line.startswith(f"# {head}"))
    with pytest.raises(ValueError, match=head):
        written(tmp_path, text)


def test_an_unknown_way_of_knowing_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="known"):
        written(tmp_path, GOOD.replace("known: seen", "known: surely"))


def test_a_key_that_stands_twice_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="twice"):
        written(tmp_path, GOOD + "14,20\n")


def test_a_row_of_another_length_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="zip"):
        written(tmp_path, GOOD + "10,30,40\n")
