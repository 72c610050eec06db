"""The command line: thin, text for people by default, JSON on request.

Exit status: 0 done and nothing blocks; 1 the plan's own check objects, or a promise of ours is
broken; 2 the input cannot be used; 3 not feasible.
"""

import errno
import sys
from collections.abc import Iterable, Iterator
from importlib import import_module
from importlib.metadata import version
from pathlib import Path
from shutil import get_terminal_size
from typing import Any

import attrs
import click

from ampwright import documents, exchange
from ampwright.comparison import Changes
from ampwright.comparison import compare as changes
from ampwright.engine import Engine
from ampwright.errors import AmpwrightError, InputError, InternalError
from ampwright.inspection import inspected
from ampwright.nameplate.plate import Plate, read_plate
from ampwright.records.shop import load_shop
from ampwright.report.blocks import Column, Document, Grid, Listing, Row, Section
from ampwright.report.document import document, entries
from ampwright.report.language import language_for
from ampwright.report.phrases import wording_of
from ampwright.report.plain import plain
from ampwright.report.wording import METRIC, Wording
from ampwright.result import Plan
from ampwright.spreadsheet import plan_table

OBJECTS, UNUSABLE, NOT_FEASIBLE = 1, 2, 3
ENDINGS = {".html": "html", ".htm": "html", ".md": "markdown", ".txt": "text", ".pdf": "pdf"}
#: Sections that a terminal shows; the rest is in the report.
SHOWN = (
    "owner", "answer", "machines", "buy", "size", "costs", "apart", "order", "others",
    "electrician", "conductors", "devices", "windows", "starts", "blocking", "cautions",
    "questions", "checks",
)  # fmt: skip


class Commands(click.Group):
    """The commands; what goes wrong ends as a message and an exit status, without a traceback."""

    def invoke(self, ctx: click.Context) -> Any:  # noqa: ANN401 - as click declares it
        """Run the command that was asked for."""
        try:
            return super().invoke(ctx)
        except InternalError as error:
            _complain(f"this is our fault, please report it: {error}")
            ctx.exit(OBJECTS)
        except AmpwrightError as error:
            for line in str(error).splitlines():
                _complain(line)
            ctx.exit(UNUSABLE)
        except OSError as error:
            if error.errno == errno.EPIPE:
                raise
            _complain(f"{error.filename or 'file'}: {error.strerror or error}")
            ctx.exit(UNUSABLE)


def _complain(text: str) -> None:
    click.secho("error: ", fg="red", nl=False, err=True)
    click.echo(text, err=True)


_plugin_option = click.option(
    "--plugin",
    "plugins",
    multiple=True,
    metavar="FOLDER|MODULE",
    help="Folder of a region, or plugin module, to use. Repeatable.",
)


_language_option = click.option(
    "--language",
    metavar="LANGUAGE",
    help="Language of the text, as de or pt-BR; region for the one of the region.",
)


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(version("ampwright"), prog_name="ampwright")
def main() -> None:
    """Plan how three-phase machines are run from a single-phase supply.

    Exit status: 0 done and nothing blocks; 1 the plan's own check objects, or the program is at
    fault; 2 the input cannot be used; 3 not feasible.
    """


@main.command()
@click.argument("shop", type=click.Path(path_type=Path, allow_dash=True))
@click.option("--json", "as_json", is_flag=True, help="Write the whole plan as JSON.")
@click.option(
    "--report",
    "reports",
    type=click.Path(path_type=Path, dir_okay=False),
    multiple=True,
    metavar="FILE",
    help="Write the report to FILE; its ending decides: .html, .md, .txt or .pdf. Repeatable.",
)
@click.option(
    "--diagram",
    "diagrams",
    type=click.Path(path_type=Path, dir_okay=False),
    multiple=True,
    metavar="FILE",
    help="Write the one-line diagram to FILE, whose name ends in .svg. Repeatable.",
)
@click.option(
    "--region", metavar="ID", help="Wiring code, as us or us@2020; before the file's own."
)
@click.option("--locale", metavar="LOCALE", help="Decimal sign of the file, as de-DE.")
@_language_option
@_plugin_option
@click.pass_context
def plan(
    ctx: click.Context,
    shop: Path,
    *,
    as_json: bool,
    reports: tuple[Path, ...],
    diagrams: tuple[Path, ...],
    region: str | None,
    locale: str | None,
    language: str | None,
    plugins: tuple[str, ...],
) -> None:
    """Plan the shop that the TOML or JSON file SHOP describes; - reads standard input."""
    formats = [(one, _format(one)) for one in reports]
    for path in diagrams:
        _drawable(path)
    language_for(language, "")  # a language that there is none of is said before the work
    source = sys.stdin.buffer if str(shop) == "-" else shop
    stated = load_shop(source, locale=locale)
    made = _engine(plugins).plan(stated, region=region)
    for path, kind in formats:
        _write(made, path, kind, language)
    for path in diagrams:
        made.diagram(language=language).save(path)
    if as_json:
        click.echo(made.to_json())
    else:
        click.echo(plain(document(made, language), sections=SHOWN, width=_width()), nl=False)
        for path, _ in formats:
            click.echo(f"Report: {path}", err=True)
        for path in diagrams:
            click.echo(f"Diagram: {path}", err=True)
    ctx.exit(_status(made))


@main.command()
@click.argument("stored", metavar="PLAN", type=click.Path(path_type=Path, allow_dash=True))
@click.option("--json", "as_json", is_flag=True, help="Write the objections as JSON.")
@_language_option
@_plugin_option
@click.pass_context
def verify(
    ctx: click.Context,
    stored: Path,
    *,
    as_json: bool,
    language: str | None,
    plugins: tuple[str, ...],
) -> None:
    """Derive every rule and number of the stored plan PLAN again; - reads standard input."""
    text = sys.stdin.read() if str(stored) == "-" else stored.read_text(encoding="utf-8")
    made = Plan.from_json(text)
    found = _engine(plugins).verify(made)
    if as_json:
        click.echo(documents.to_json([exchange.write(one) for one in found]))
    else:
        checked = attrs.evolve(made, checks=found)
        click.echo(
            plain(document(checked, language), sections=("checks",), width=_width()), nl=False
        )
    ctx.exit(OBJECTS if any(one.severity == "blocks" for one in found) else 0)


@main.command()
@click.argument("machines", type=click.Path(path_type=Path, allow_dash=True))
@click.option(
    "--shop",
    "shop",
    type=click.Path(path_type=Path, dir_okay=False),
    metavar="FILE",
    help="Shop whose supply, site and region hold for every row.",
)
@click.option("--json", "as_json", is_flag=True, help="Write the rows as JSON.")
@click.option("--region", metavar="ID", help="Wiring code, before that of the shop.")
@click.option("--locale", metavar="LOCALE", help="Decimal sign of the cells, as de-DE.")
@_plugin_option
@click.pass_context
def table(
    ctx: click.Context,
    machines: Path,
    *,
    shop: Path | None,
    as_json: bool,
    region: str | None,
    locale: str | None,
    plugins: tuple[str, ...],
) -> None:
    """Plan each row of the CSV file MACHINES alone, and write one row each; - reads standard input.

    What is wrong with a row goes to standard error, and the exit status is then 2.
    """
    found = plan_table(
        sys.stdin.buffer if str(machines) == "-" else machines,
        shop=None if shop is None else load_shop(shop, locale=locale), region=region,
        locale=locale,
        engine=_engine(plugins),
    )  # fmt: skip
    click.echo(documents.to_json(list(found.rows)) if as_json else found.to_csv().rstrip("\n"))
    for error in found.errors:
        for line in str(error).splitlines():
            _complain(line)
    ctx.exit(UNUSABLE if found.errors else 0)


@main.command()
@click.argument("before", type=click.Path(path_type=Path, dir_okay=False))
@click.argument("after", type=click.Path(path_type=Path, dir_okay=False))
@click.option("--json", "as_json", is_flag=True, help="Write the changes as JSON.")
def compare(before: Path, after: Path, *, as_json: bool) -> None:
    """Tell what the stored plan AFTER changes against the stored plan BEFORE."""
    one, two = (Plan.from_json(path.read_text(encoding="utf-8")) for path in (before, after))
    found = changes(one, two)
    if as_json:
        click.echo(documents.to_json(exchange.write(found)))
    else:
        click.echo(plain(_changes_document(two, found), width=_width()), nl=False)


def _changes_document(after: Plan, found: Changes) -> Document:
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


def _engine(names: Iterable[str]) -> Engine:
    """Return an engine with what was asked for; what of that cannot be used is an error."""
    asked = list(names)
    engine = Engine([_module(one) for one in asked])
    own = {Path(one).name for one in asked}
    for problem in engine.problems:
        if problem.path.split("/")[0] in own:
            raise problem
    return engine


def _module(name: str) -> object:
    if Path(name).is_dir():
        return Path(name)
    try:
        return import_module(name)
    except Exception as error:  # a stranger's module may raise anything
        wanted = f"a plugin module that can be imported ({type(error).__name__}: {error})"
        raise InputError(name, wanted, "--plugin", code="plugin.load") from error


def _format(path: Path) -> str:
    try:
        return ENDINGS[path.suffix.casefold()]
    except KeyError:
        wanted = f"a name that ends in {', '.join(ENDINGS)}"
        raise InputError(str(path), wanted, "--report", code="format.unknown") from None


def _drawable(path: Path) -> None:
    if path.suffix.casefold() != ".svg":
        wanted = "a name that ends in .svg"
        raise InputError(str(path), wanted, "--diagram", code="format.unknown")


def _write(made: Plan, path: Path, kind: str, language: str | None) -> None:
    report = made.report(kind, language=language)
    path.write_bytes(report if isinstance(report, bytes) else report.encode("utf-8"))


def _width() -> int:
    return max(60, min(get_terminal_size((100, 24)).columns, 120))


def _status(made: Plan) -> int:
    if any(one.severity == "blocks" for one in made.checks or ()):
        return OBJECTS
    return NOT_FEASIBLE if made.verdict == "not-feasible" else 0


@main.command()
@click.argument("text")
@click.option("--json", "as_json", is_flag=True, help="Write what was read as JSON.")
@click.option("--locale", metavar="LOCALE", help="Decimal sign of the plate, as de-DE.")
@click.pass_context
def plate(ctx: click.Context, text: str, *, as_json: bool, locale: str | None) -> None:
    """Read TEXT as it stands on a nameplate; - reads standard input."""
    read = read_plate(sys.stdin.read() if text == "-" else text, locale=locale)
    if as_json:
        click.echo(documents.to_json(exchange.write(read)))
    else:
        click.echo(plain(_plate_document(read), width=_width()), nl=False)
    ctx.exit(NOT_FEASIBLE if any(one.severity == "blocks" for one in read.findings) else 0)


def _plate_document(read: Plate) -> Document:
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


@main.group()
def plugins() -> None:
    """List the plugins, or hold one to its contract."""


@plugins.command("list")
@click.option("--json", "as_json", is_flag=True, help="Write the list as JSON.")
@_plugin_option
@click.pass_context
def list_plugins(ctx: click.Context, *, as_json: bool, plugins: tuple[str, ...]) -> None:
    """List what is installed, what it offers, and what is wrong with it."""
    engine = Engine([_module(one) for one in plugins])
    if as_json:
        click.echo(documents.to_json(_listed(engine)))
    else:
        for line in _plugin_lines(engine):
            click.echo(line)
    ctx.exit(OBJECTS if engine.problems else 0)


def _listed(engine: Engine) -> dict[str, Any]:
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


def _plugin_lines(engine: Engine) -> Iterator[str]:
    """Yield one line a plugin: name, distribution, state, offers; then what is wrong."""
    listed = _listed(engine)
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


@plugins.command("check")
@click.argument("name", metavar="NAME|FOLDER")
@click.option("--shops", default=10, show_default=True, help="Random shops that are planned.")
@click.pass_context
def check_plugin(ctx: click.Context, name: str, *, shops: int) -> None:
    """Hold the installed plugin NAME, or the region in FOLDER, to the contract of its kind."""
    failed = 0
    for one in inspected(name, shops):
        mark = click.style("FAILED", fg="red") if one.wrong else "ok"
        click.echo(f"{mark:<6} {one.subject}: {one.claim}")
        for line in one.wrong.splitlines():
            click.echo(f"         {line}")
        failed += bool(one.wrong)
    if Path(name).is_dir():
        click.echo(f"Digest: {Engine.digest(name)}")
    ctx.exit(OBJECTS if failed else 0)
