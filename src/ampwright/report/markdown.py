"""The report as Markdown (CommonMark with pipe tables)."""

import re
from collections.abc import Iterator

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

_SPECIAL = re.compile(r"([\\`*_\[\]<>|#~&$])")
_BEGINS = re.compile(r"^(\s*)([-+=]|\d+(?=[.)]))")
_LINKS = re.compile(r"(?i)(?<=http)(?=s?:)|(?<=www)(?=\.)|(?<=\w)(?=@\w)")
_STRONG = ("yes", "conditions", "no", "lead", "stop")


def escaped(text: str) -> str:
    """Return *text* so that Markdown shows it as it is, on one line."""
    plain = clean(text).replace("\n", " ").strip()
    plain = _SPECIAL.sub(r"\\\1", plain)
    plain = _LINKS.sub("\u2060", plain)  # a word joiner: keeps addresses from turning into links
    return _BEGINS.sub(lambda found: f"{found[1]}{_kept(found[2])}", plain)


def _kept(begin: str) -> str:
    return f"{begin}\u2060" if begin[-1].isdigit() else f"\\{begin}"


def cell(text: str) -> str:
    """Return *text* for a cell of a table; its line breaks are kept."""
    return "<br>".join(escaped(line) for line in text.split("\n"))


def markdown(document: Document) -> str:
    """Return *document* as Markdown; every text in it is escaped."""
    plan = f"{document.language.say('plan')} {document.plan}"
    stamp = (document.edition, plan, f"ampwright {document.version}")
    lines = [
        f"# {escaped(document.title)}",
        escaped(document.subtitle),
        " · ".join(escaped(part) for part in stamp),
    ]
    for section in document.sections:
        lines += list(_section(section, document.language))
    return "\n\n".join(line for line in lines if line) + "\n"


def _section(section: Section, language: Language) -> Iterator[str]:
    yield f"{'##' if section.part else '###'} {escaped(section.title)}"
    for block in section.blocks:
        yield from _block(block, language)


def _block(block: Block, language: Language) -> Iterator[str]:
    if isinstance(block, Text):
        text = escaped(block.text)
        strong = block.tone in _STRONG
        yield f"**{text}**" if strong else f"*{text}*" if block.tone == "note" else text
    elif isinstance(block, Listing):
        marks = (f"{n}." if block.ordered else "-" for n in range(1, len(block.entries) + 1))
        yield "\n".join(
            f"{mark} {_entry(one)}" for mark, one in zip(marks, block.entries, strict=True)
        )
    elif isinstance(block, Grid):
        yield from _grid(block)
    elif isinstance(block, Facts):
        yield "\n".join(f"- {escaped(name)}: {cell(value)}" for name, value in block.pairs)
    elif isinstance(block, Trail):
        yield from _trail(block, language)
    elif isinstance(block, Sources):
        yield from _sources(block, language)
    elif isinstance(block, Signatures):
        rows = [f"| {cell(who)}: {cell(what)} | | |" for who, what in block.lines]
        name, day = (
            cell(one) for one in (language.say("Name and signature"), language.say("Date"))
        )
        yield "\n".join([f"| | {name} | {day} |", "|---|---|---|", *rows])


def _entry(entry: Entry) -> str:
    ahead = f"**{escaped(entry.subject)}:** " if entry.subject else ""
    behind = f" ({escaped(entry.detail)})" if entry.detail else ""
    return f"{ahead}{escaped(entry.text)}{behind}"


def _grid(grid: Grid) -> Iterator[str]:
    if grid.caption:
        yield f"**{escaped(grid.caption)}**"
    titles = " | ".join(cell(column.title) for column in grid.columns)
    rule = "|".join("---:" if column.numeric else "---" for column in grid.columns)
    rows = []
    for row in grid.rows:
        cells = [cell(one) for one in row.cells]
        if row.tone in ("lead", "blocks"):
            cells = [f"**{one}**" if one and "<br>" not in one else one for one in cells]
        rows.append(f"| {' | '.join(cells)} |")
    yield "\n".join([f"| {titles} |", f"|{rule}|", *rows])
    if grid.note:
        yield f"*{escaped(grid.note)}*"


def _trail(trail: Trail, language: Language) -> Iterator[str]:
    yield f"#### {escaped(trail.title)}"
    rows = []
    for one in trail.derivations:
        inputs = "; ".join(
            f"{name} = {value}" + (f" [{number}]" if number else "")
            for name, value, number in one.inputs
        )
        how = "\n".join(part for part in (one.how, inputs, one.detail) if part)
        source = f"S{one.source}" if one.source else ""
        basis = " ".join(part for part in (one.rule, source) if part)
        cells = (f"[{one.number}]", one.symbol, one.value, how, basis, one.path)
        rows.append(f"| {' | '.join(cell(part) for part in cells)} |")
    say = language.say
    titles = (say("No."), say("Symbol"), say("Value"), say("How"), say("Basis"))
    head = f"| {' | '.join(cell(one) for one in titles)} | {cell(trail.path)}/ |"
    yield "\n".join([head, "|---:|---|---:|---|---|---|", *rows])


def _sources(sources: Sources, language: Language) -> Iterator[str]:
    rows = [f"| S{n} | {cell(a)} | {cell(b)} |" for n, (a, b) in enumerate(sources.lines, start=1)]
    source, known = (cell(one) for one in (language.say("Source"), language.say("How known")))
    yield "\n".join([f"| | {source} | {known} |", "|---|---|---|", *rows])
