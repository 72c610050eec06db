"""What the commands print beside plans: changes, plates, plugins."""

from collections.abc import Iterable, Iterator
from typing import Any

from ampwright import exchange
from ampwright.comparison import Changes
from ampwright.engine import Engine
from ampwright.nameplate.plate import Plate
from ampwright.report.blocks import Column, Document, Grid, Listing, Row, Section
from ampwright.report.document import entries
from ampwright.report.phrases import wording_of
from ampwright.report.wording import METRIC, Wording
from ampwright.result import Plan


def changes_document(after: Plan, found: Changes) -> Document:
    """Return what *after* changes against another plan, as a document."""
    wording = wording_of(after)
    both = (("Verdict", *found.verdict), ("Option", *(one or "none" for one in found.option)))
    rows = [Row(cells=cells) for cells in both]
    for one in (*found.machines, *found.equipment, *found.circuits, *found.costs):
        name = " ".join(part for part in (one.id, one.field.replace("_", " ")) if part)
        rows.append(Row(cells=(name, _cell(one.before), _cell(one.after))))
    grid = Grid(
        columns=tuple(Column(title=head) for head in ("", "Before", "After")), rows=tuple(rows)
    )
    sections = [Section(id="changes", title="What changes", blocks=(grid,))]
    for name, title, said in (
        ("appeared", "Newly said", found.appeared),
        ("disappeared", "No longer said", found.disappeared),
    ):
        if said:
            listing = Listing(entries=entries(said, wording))
            sections.append(Section(id=name, title=title, blocks=(listing,)))
    return Document(
        title="Two plans compared", subtitle=after.shop.name, plan=after.id,
        edition=after.region.title, version=after.version, paper="A4", sections=tuple(sections),
    )  # fmt: skip


def _cell(value: float | str | None) -> str:
    return "-" if value is None else f"{value:.4g}" if isinstance(value, float) else value


def plate_document(read: Plate) -> Document:
    """Return what was read from a nameplate, as a document."""
    sections = [Section(id="read", title="Piece by piece", blocks=(_pieces(read),))]
    if made := [*_stated("Motor", read.motors), *_stated("Load", read.loads)]:
        heads = ("", "Field", "Stated")
        grid = Grid(
            columns=tuple(Column(title=head) for head in heads),
            rows=tuple(Row(cells=cells) for cells in made),
        )
        sections.append(Section(id="made", title="What it amounts to", blocks=(grid,)))
    wording = Wording(customs=METRIC, terms={}, names={})
    if read.findings:
        listing = Listing(entries=entries(read.findings, wording))
        sections.append(Section(id="findings", title="What there is to say", blocks=(listing,)))
    return Document(
        title="Nameplate", subtitle=read.text, plan="", edition="", version="", paper="A4",
        sections=tuple(sections),
    )  # fmt: skip


def _pieces(read: Plate) -> Grid:
    rows = [
        Row(
            cells=(
                one.text,
                one.status,
                ", ".join(one.fields).replace("_", " "),
                " ".join([", ".join(f"{value:g}" for value in one.values), one.unit]).strip()
                or one.meaning,
            )
        )
        for one in read.tokens
        if one.text.strip() and one.status != "blank"
    ]
    heads = ("On the plate", "Status", "States", "Read as")
    return Grid(columns=tuple(Column(title=head) for head in heads), rows=tuple(rows))


def _stated(kind: str, parts: Iterable[object]) -> Iterator[tuple[str, str, str]]:
    for n, part in enumerate(parts, start=1):
        for name, value in exchange.write(part).items():
            yield f"{kind} {n}", name.replace("_", " "), str(value)


def listed_plugins(engine: Engine) -> dict[str, Any]:
    """Return what is installed, what it offers and what is wrong with it, as plain data."""
    offers = {
        kind: {one: engine.plugin_behind(kind, one) for one in engine.offered(kind)}
        for kind in ("region", "method", "review")
    }
    return {
        "plugins": [one._asdict() for one in engine.available()],
        "offers": offers,
        "problems": [
            {"plugin": one.path, "code": one.code, "text": str(one)} for one in engine.problems
        ],
    }


def plugin_lines(engine: Engine) -> Iterator[str]:
    """Yield one line a plugin: name, distribution, state, offers; then what is wrong."""
    listed = listed_plugins(engine)
    offers: dict[str, list[str]] = {}
    for kind, found in listed["offers"].items():
        for one, plugin in found.items():
            offers.setdefault(plugin, []).append(f"{kind} {one}")
    known = {one["name"]: one for one in listed["plugins"]}
    rows = []
    for name in [*known, *(one for one in offers if one not in known)]:
        one = known.get(name)
        place = f"{one['distribution']} {one['version']}" if one else "handed over"
        state = "asked" if one is None or one["active"] else "not asked"
        rows.append((name, place, state, ", ".join(offers.get(name, [])) or "nothing"))
    widths = [max(len(row[n]) for row in rows) for n in range(3)]
    for row in rows:
        cells = (cell.ljust(width) for cell, width in zip(row, widths, strict=False))
        yield "  ".join((*cells, row[3]))
    yield from (f"problem: {one['text']}" for one in listed["problems"])
