"""What a document consists of: plain text in a few shapes, without any markup."""

import re
from collections.abc import Callable
from itertools import compress

import attrs

from ampwright.report.language import PLAIN, Language

#: What stands in a cell that says nothing.
NONE = "—"

#: What steers a terminal or turns the direction of writing; no text of a report needs it.
_STEERING = re.compile(r"[\x00-\x09\x0b-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069]")

#: Tones of a text, a row or an entry; a writer decides how each looks.
TONES = ("", "lead", "stop", "yes", "conditions", "no", "note", "blocks", "caution", "info")
_tone = attrs.validators.in_(TONES)


def clean(text: str) -> str:
    """Return *text* with a blank for every character that steers instead of showing."""
    return _STEERING.sub(" ", text)


@attrs.frozen(kw_only=True)
class Text:
    """One paragraph.

    Attributes:
        text: The words.
        tone: One of `TONES`.
    """

    text: str
    tone: str = attrs.field(default="", validator=_tone)


@attrs.frozen(kw_only=True)
class Entry:
    """One entry of a list.

    Attributes:
        text: The words.
        subject: What it is about, set off in front; may be empty.
        detail: Code, rule or the like, set small behind; may be empty.
        tone: One of `TONES`.
    """

    text: str
    subject: str = ""
    detail: str = ""
    tone: str = attrs.field(default="", validator=_tone)


@attrs.frozen(kw_only=True)
class Listing:
    """A list.

    Attributes:
        entries: The entries.
        ordered: The order matters and is numbered.
    """

    entries: tuple[Entry, ...]
    ordered: bool = False


@attrs.frozen(kw_only=True)
class Column:
    """Head of one column.

    Attributes:
        title: The words; its line breaks are kept.
        numeric: Its cells are numbers.
    """

    title: str
    numeric: bool = False


@attrs.frozen(kw_only=True)
class Row:
    """One row of a table.

    Attributes:
        cells: One text for each column; its line breaks are kept.
        tone: One of `TONES`.
    """

    cells: tuple[str, ...]
    tone: str = attrs.field(default="", validator=_tone)


@attrs.frozen(kw_only=True)
class Grid:
    """A table.

    Attributes:
        columns: Its heads.
        rows: Its rows, each as wide as the heads.
        caption: What it shows; may be empty.
        note: What has to be known to read it; may be empty.
    """

    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    caption: str = ""
    note: str = ""

    def __attrs_post_init__(self) -> None:
        if any(len(row.cells) != len(self.columns) for row in self.rows):
            raise ValueError(f"a row of {self.caption!r} is not as wide as its heads")


def heads(put: Callable[[str], str], *titles: str) -> tuple[Column, ...]:
    """Return columns; one whose title begins with ``#`` holds numbers.

    Args:
        put: Puts a title into the reader's language.
        titles: English titles.
    """
    return tuple(
        Column(title=put(title.removeprefix("#")), numeric=title.startswith("#"))
        for title in titles
    )


def trimmed(grid: Grid) -> Grid:
    """Return *grid* without the columns that say nothing in any row, and each row once."""
    said = [
        any(row.cells[n].strip(f"{NONE}/ \n") for row in grid.rows)
        for n in range(len(grid.columns))
    ]
    rows = dict.fromkeys(
        attrs.evolve(row, cells=tuple(compress(row.cells, said))) for row in grid.rows
    )
    return attrs.evolve(grid, columns=tuple(compress(grid.columns, said)), rows=tuple(rows))


@attrs.frozen(kw_only=True)
class Facts:
    """Names and values.

    Attributes:
        pairs: Name and value of each.
        wide: The values are long: one to a line.
    """

    pairs: tuple[tuple[str, str], ...]
    wide: bool = False


@attrs.frozen(kw_only=True)
class Derivation:
    """How one number came about.

    Attributes:
        number: Its running number in the document, from 1.
        path: Path of the step below that of its trail.
        symbol: Symbol.
        value: Value and unit.
        how: Formula, table and cell, what was solved, or the caller's own words.
        inputs: For each input its symbol in the formula, its value, and its running number; 0
            where the input is not in the document.
        detail: Band, residual, inputs that are too many to be spelt out.
        rule: Rule that asks for it.
        source: Number of its source in the document, from 1; 0 for none.
    """

    number: int
    path: str
    symbol: str
    value: str
    how: str
    inputs: tuple[tuple[str, str, int], ...]
    detail: str
    rule: str
    source: int


@attrs.frozen(kw_only=True)
class Trail:
    """How the numbers of one part came about.

    Attributes:
        title: What part.
        path: Where its steps begin.
        derivations: Its numbers, in the order of the work.
    """

    title: str
    path: str
    derivations: tuple[Derivation, ...]


@attrs.frozen(kw_only=True)
class Sources:
    """Where rules, tables and models stand, numbered from 1.

    Attributes:
        lines: Each source, and how it is known.
    """

    lines: tuple[tuple[str, str], ...]


@attrs.frozen(kw_only=True)
class Signatures:
    """Lines to sign on.

    Attributes:
        lines: Who signs, and for what.
    """

    lines: tuple[tuple[str, str], ...]


Block = Text | Listing | Grid | Facts | Trail | Sources | Signatures


@attrs.frozen(kw_only=True)
class Section:
    """A part of the document with a heading.

    Attributes:
        id: Stable name, lower case, hyphens.
        title: Heading.
        blocks: What stands in it.
        part: It begins a part of its own, on a new page when printed.
    """

    id: str
    title: str
    blocks: tuple[Block, ...]
    part: bool = False


@attrs.frozen(kw_only=True)
class Document:
    """A report, neutral to its form.

    Attributes:
        title: Name of the shop.
        subtitle: What the document is.
        plan: Id of the plan.
        edition: Name of the wiring code and edition.
        version: Version that made it.
        paper: Paper that it is printed on, ``"letter"`` or ``"A4"``.
        sections: Its sections.
        language: What it is written in, for the words that a writer adds.
        drawing: The one-line diagram as SVG, in parts that fit on a page each; a writer that knows
            no pictures leaves it out.
        wiring: The connection diagram of the converters, in the same form.
    """

    title: str
    subtitle: str
    plan: str
    edition: str
    version: str
    paper: str
    sections: tuple[Section, ...]
    language: Language = PLAIN
    drawing: tuple[str, ...] = ()
    wiring: tuple[str, ...] = ()

    def section(self, name: str) -> Section:
        """Return the section with the id *name*."""
        return next(one for one in self.sections if one.id == name)
