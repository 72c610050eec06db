"""The report as plain text for a terminal."""

import re
import textwrap
from collections.abc import Collection, Iterator, Sequence

from ampwright.report.blocks import (
    Block,
    Document,
    Entry,
    Facts,
    Grid,
    Listing,
    Section,
    Signatures,
    Sources,
    Text,
    Trail,
    clean,
)
from ampwright.report.language import Language

GAP = "  "
#: Where a title divides a word for a narrow column.
_HYPHEN = re.compile(r"-\n(?=[^\W\dA-Z_])")
SHORTEST = 12


def plain(document: Document, *, sections: Collection[str] = (), width: int = 100) -> str:
    """Return *document* as text.

    Args:
        document: The document.
        sections: Ids of the sections wanted; all of them where none is named.
        width: Longest line.
    """
    plan = document.language.say("plan")
    lines = [clean(document.title), f"{clean(document.edition)} · {plan} {clean(document.plan)}"]
    for section in document.sections:
        if not sections or section.id in sections:
            lines += ["", *_section(section, width, document.language)]
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _section(section: Section, width: int, language: Language) -> Iterator[str]:
    title = clean(section.title)
    yield title.upper() if section.part else title
    yield ("=" if section.part else "-") * len(title)
    for block in section.blocks:
        yield from _block(block, width, language)


def _wrapped(text: str, width: int, first: str = "", rest: str = "") -> list[str]:
    return textwrap.wrap(
        " ".join(clean(text).split()), width, initial_indent=first, subsequent_indent=rest
    )


def _block(block: Block, width: int, language: Language) -> Iterator[str]:
    if isinstance(block, Text):
        mark = ">>> " if block.tone == "stop" else ""
        yield from _wrapped(block.text, width, mark, mark)
    elif isinstance(block, Listing):
        for n, one in enumerate(block.entries, start=1):
            mark = f"{n}. " if block.ordered else "- "
            yield from _wrapped(_entry(one), width, mark, " " * len(mark))
    elif isinstance(block, Grid):
        yield from _grid(block, width)
    elif isinstance(block, Facts):
        yield from _facts(block, width)
    elif isinstance(block, Trail):
        yield from _trail(block, width, language.between)
    elif isinstance(block, Sources):
        yield from _sources(block, width)
    elif isinstance(block, Signatures):
        yield from (f"{who} ({what}): {'_' * 30}" for who, what in block.lines)


def _facts(facts: Facts, width: int) -> Iterator[str]:
    longest = max((len(name) for name, _ in facts.pairs), default=0)
    for name, value in facts.pairs:
        yield from _wrapped(value, width, f"{clean(name):<{longest}}{GAP}", " " * (longest + 2))


def _trail(trail: Trail, width: int, between: str) -> Iterator[str]:
    yield clean(trail.title)
    for one in trail.derivations:
        inputs = between.join(f"{name} = {value} [{n}]" for name, value, n in one.inputs)
        source = f"S{one.source}" if one.source else ""
        parts = (one.how, inputs, one.detail, one.rule, source)
        text = f"{one.symbol} = {one.value}: {'; '.join(part for part in parts if part)}"
        yield from _wrapped(text, width, f"[{one.number}] ", "    ")


def _sources(sources: Sources, width: int) -> Iterator[str]:
    for n, (source, known) in enumerate(sources.lines, start=1):
        yield from _wrapped(f"{source}: {known}", width, f"S{n} ", "    ")


def _entry(entry: Entry) -> str:
    ahead = f"{entry.subject}: " if entry.subject else ""
    return f"{ahead}{entry.text}"


def _grid(grid: Grid, width: int) -> Iterator[str]:
    if grid.caption:
        yield clean(grid.caption)
    heads = [column.title for column in grid.columns]
    longest = [
        max(len(line) for text in texts for line in text.split("\n"))
        for texts in zip(heads, *(row.cells for row in grid.rows), strict=True)
    ]
    widths = _fitted(longest, width - len(GAP) * (len(longest) - 1))
    if widths is None:
        yield from _records(grid, width)
    else:
        numeric = [column.numeric for column in grid.columns]
        yield from _row(heads, widths, numeric)
        yield GAP.join("-" * one for one in widths)
        for row in grid.rows:
            yield from _row(row.cells, widths, numeric)
    if grid.note:
        yield from _wrapped(grid.note, width)


def _fitted(longest: Sequence[int], room: int) -> list[int] | None:
    """Return widths that fit into *room*, the widest columns narrowed; ``None``: too many."""
    widths = list(longest)
    while sum(widths) > room:
        widest = max(range(len(widths)), key=widths.__getitem__)
        if widths[widest] <= SHORTEST:
            return None
        widths[widest] -= 1
    return widths


def _row(cells: Sequence[str], widths: Sequence[int], numeric: Sequence[bool]) -> Iterator[str]:
    columns = [
        [part for line in clean(text).split("\n") for part in textwrap.wrap(line, width) or [""]]
        for text, width in zip(cells, widths, strict=True)
    ]
    for n in range(max(len(lines) for lines in columns)):
        texts = [lines[n] if n < len(lines) else "" for lines in columns]
        yield GAP.join(
            text.rjust(width) if right else text.ljust(width)
            for text, width, right in zip(texts, widths, numeric, strict=True)
        )


def _records(grid: Grid, width: int) -> Iterator[str]:
    """Yield each row as lines of its own, where the table is too wide for the terminal."""
    for row in grid.rows:
        yield from _wrapped(row.cells[0], width)
        for column, text in zip(grid.columns[1:], row.cells[1:], strict=True):
            if text and text != "—":
                name = " ".join(_HYPHEN.sub("", column.title).split())
                yield from _wrapped(f"{name}: {text}", width, "  ", "    ")
