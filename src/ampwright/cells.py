"""Rows of a table of machines: from CSV text, from columns, from mappings; and back as CSV."""

import csv
import io
from collections.abc import Iterable, Iterator, Mapping, Sequence
from os import PathLike
from pathlib import Path
from typing import Any, BinaryIO, NamedTuple, Protocol

from ampwright.errors import AmpwrightError, ConsistencyError, FormatError, LimitError

LARGEST_BYTES = 16_000_000
LONGEST_CELL = 4_000
SEPARATORS = ",;\t"
#: What makes a spreadsheet take a cell for a formula.
FORMULA = ("=", "+", "-", "@", "\t", "\r")


class Cells(Protocol):
    """A column: a list, an array, anything of a length whose cells are had by their place."""

    def __len__(self) -> int:
        """Return how many cells it has."""

    def __getitem__(self, place: int, /) -> Any:  # noqa: ANN401 - a cell is anything
        """Return the cell at *place*."""


class Given(NamedTuple):
    """One row as it was handed over.

    Attributes:
        number: Its place, from 1.
        line: Line of the file that it begins on; nought where there is no file.
        cells: What stands in it by key; what is blank or absent is left out.
        error: Why it cannot be read at all; ``None`` where it can.
    """

    number: int
    line: int
    cells: Mapping[str, object]
    error: AmpwrightError | None = None

    @property
    def place(self) -> str:
        """Where it stands, as an error says it."""
        return f"row {self.number} (line {self.line})" if self.line else f"row {self.number}"


def given(
    rows: Iterable[Mapping[str, object]] | Mapping[str, Cells] | str
    | PathLike[str] | BinaryIO,
) -> list[Given]:  # fmt: skip
    """Return the rows of *rows*, which is read once.

    Args:
        rows: Mappings, one a row; or a mapping of columns of one length; or a CSV file, by path or
            opened for reading bytes.

    Raises:
        FormatError: The file as a whole cannot be read.
        ConsistencyError: Columns differ in length.
        LimitError: The file is too large.
    """
    if isinstance(rows, str | PathLike):
        return list(from_csv(Path(rows).read_bytes()))
    if hasattr(rows, "read"):
        return list(from_csv(rows.read(LARGEST_BYTES + 1)))
    if isinstance(rows, Mapping):
        return list(from_columns(rows))
    return [Given(n, 0, kept(row.items())) for n, row in enumerate(rows, 1)]


def blank(cell: object) -> bool:
    """Tell whether nothing is stated in a cell: nothing, an empty text, not a number."""
    return cell is None or (isinstance(cell, str) and not cell.strip()) or cell != cell  # noqa: PLR0124 - nan alone differs from itself


def kept(cells: Iterable[tuple[str, object]]) -> dict[str, object]:
    """Return the cells in which something stands; scalars of an array as plain numbers."""
    found = {}
    for key, cell in cells:
        plain = cell.item() if hasattr(cell, "item") and not isinstance(cell, str) else cell
        if not blank(plain):
            found[key] = plain
    return found


def from_columns(columns: Mapping[str, Cells]) -> Iterator[Given]:
    """Yield the rows of columns, one a place."""
    lengths = {key: len(values) for key, values in columns.items()}
    if len(set(lengths.values())) > 1:
        said = ", ".join(f"{key} {length}" for key, length in lengths.items())
        raise ConsistencyError(said, "columns of one length", code="table.length")
    for n in range(next(iter(lengths.values()), 0)):
        yield Given(n + 1, 0, kept((key, values[n]) for key, values in columns.items()))


def from_csv(data: bytes) -> Iterator[Given]:
    """Yield the rows of CSV text in UTF-8, one below the other under a line of keys.

    A row that is wider or narrower than the keys, or that holds a control character, is an error of
    its own; a quote that is never closed is one of the file, for nobody knows where rows end.

    Raises:
        FormatError: The text is not UTF-8, has no keys or the same twice, or an open quote.
        LimitError: It is too large.
    """
    if len(data) > LARGEST_BYTES:
        wanted = f"at most {LARGEST_BYTES // 1_000_000} MB"
        raise LimitError(f"{len(data)} bytes or more", wanted, "file", code="limit.file_size")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise FormatError(str(error), "text in UTF-8", "file", code="csv.encoding") from error
    head = text.partition("\n")[0]
    separator = max(SEPARATORS, key=head.count)
    lines = read_lines(text, separator)
    _, keys = next(lines, (1, []))
    checked_keys(keys)
    for number, (line, cells) in enumerate(lines, 1):
        try:
            checked_row(keys, cells, line, separator.join(cells))
        except AmpwrightError as error:
            yield Given(number, line, {}, error)
            continue
        yield Given(number, line, kept(zip(keys, cells, strict=True)))


def read_lines(text: str, separator: str) -> Iterator[tuple[int, list[str]]]:
    """Yield the line that each record begins on, and its cells; blank lines are passed over."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    while True:
        line = reader.line_num + 1
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            wanted = "a quote that is closed, and nothing behind it but a separator"
            raise FormatError(str(error), wanted, f"line {line}", code="csv.quote") from error
        if any(cell.strip() for cell in cells):
            yield line, cells


def checked_keys(keys: Sequence[str]) -> None:
    """Refuse a file without keys, with an empty one, or with the same twice."""
    if not keys:
        raise FormatError("", "a line of keys on top", "line 1", code="csv.no_header")
    for n, key in enumerate(keys):
        first = keys.index(key)
        if not key.strip():
            wanted = f"a key on top of column {n + 1}"
            raise FormatError(key, wanted, "line 1", code="csv.empty_header")
        if first != n:
            wanted = f"each key once; columns {first + 1} and {n + 1} have the same"
            raise FormatError(key, wanted, "line 1", code="csv.duplicate_header")


def checked_row(keys: Sequence[str], cells: Sequence[str], line: int, raw: str) -> None:
    """Refuse a row of another width than its keys, and cells that nobody should print."""
    if len(cells) != len(keys):
        wanted = f"{len(keys)} cells, not {len(cells)}"
        raise FormatError(raw, wanted, f"line {line}", code="csv.row_width")
    for key, cell in zip(keys, cells, strict=True):
        if any(ord(one) < 32 and one not in "\t\n\r" for one in cell):
            wanted = "text without control characters"
            raise FormatError(cell, wanted, f"line {line}: {key}", code="csv.control_character")
        if len(cell) > LONGEST_CELL:
            wanted = f"at most {LONGEST_CELL} characters"
            raise LimitError(cell, wanted, f"line {line}: {key}", code="limit.text_length")


def to_csv(rows: Sequence[Mapping[str, object]], keys: Sequence[str]) -> str:
    """Return rows as CSV text; a text that a spreadsheet would run is led by an apostrophe."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(keys)
    for row in rows:
        writer.writerow([harmless(row.get(key)) for key in keys])
    return out.getvalue()


def harmless(cell: object) -> object:
    """Return a cell as a spreadsheet takes it for text or for a number, and for nothing else."""
    if isinstance(cell, bool):
        return str(cell).lower()
    if isinstance(cell, str) and cell.startswith(FORMULA):
        return f"'{cell}"
    return "" if cell is None else cell
