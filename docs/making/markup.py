"""Markdown, as the pages that are made from the code need it."""

from collections.abc import Iterable, Sequence


def cell(text: object) -> str:
    """Return *text* as it may stand in a cell of a table."""
    return " ".join(str(text).split()).replace("|", "\\|").replace("<", "&lt;") or " "


def table(heads: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """Return a table; a head that ends in a colon is set to the right."""
    names = [head.rstrip(":") for head in heads]
    rules = ["---:" if head.endswith(":") else "---" for head in heads]
    lines = [names, rules, *([cell(one) for one in row] for row in rows)]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines) + "\n"


def section(title: str, *parts: str, level: int = 2) -> str:
    """Return a section with a heading."""
    return "\n\n".join([f"{'#' * level} {title}", *(part.strip() for part in parts if part)]) + "\n"
