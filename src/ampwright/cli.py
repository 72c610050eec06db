"""The command line: thin, text for people by default, JSON on request.

Exit status: 0 done and nothing blocks; 1 the plan's own check objects, or a promise of ours is
broken; 2 the input cannot be used; 3 not feasible.
"""

import errno
import sys
from collections.abc import Iterable
from importlib import import_module
from importlib.metadata import version
from pathlib import Path
from shutil import get_terminal_size
from typing import Any

import attrs
import click

from ampwright import documents, exchange
from ampwright.cli_texts import changes_document, listed_plugins, plate_document, plugin_lines
from ampwright.comparison import compare as changes
from ampwright.diagram.drawing import KINDS
from ampwright.engine import Engine
from ampwright.errors import AmpwrightError, InputError, InternalError
from ampwright.inspection import inspected
from ampwright.nameplate.plate import read_plate
from ampwright.records.shop import load_shop
from ampwright.report.document import document
from ampwright.report.language import language_for
from ampwright.report.plain import plain
from ampwright.result import Plan
from ampwright.spreadsheet import plan_table

OBJECTS, UNUSABLE, NOT_FEASIBLE = 1, 2, 3
ENDINGS = {".html": "html", ".htm": "html", ".md": "markdown", ".txt": "text", ".pdf": "pdf"}
#: Sections that a terminal shows; the rest is in the report.
SHOWN = (
    "owner", "answer", "way-out", "machines", "buy", "size", "costs", "apart", "order", "others",
    "electrician", "not-to-be-built", "conductors", "devices", "windows", "starts", "blocking",
    "cautions", "questions", "checks",
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
    multiple=True,
    metavar="[KIND:]FILE",
    help="Write a drawing to FILE, whose name ends in .svg: one-line, connection or phasor, as "
    "in connection:FILE; one-line without KIND. Repeatable.",
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
    diagrams: tuple[str, ...],
    region: str | None,
    locale: str | None,
    language: str | None,
    plugins: tuple[str, ...],
) -> None:
    """Plan the shop that the TOML or JSON file SHOP describes; - reads standard input."""
    formats = [(one, _format(one)) for one in reports]
    drawings = [_drawing(one) for one in diagrams]
    language_for(language, "")  # a language that there is none of is said before the work
    source = sys.stdin.buffer if str(shop) == "-" else shop
    stated = load_shop(source, locale=locale)
    made = _engine(plugins).plan(stated, region=region)
    for path, kind in formats:
        _write(made, path, kind, language)
    for path, kind in drawings:
        made.diagram(kind, language=language).save(path)
    if as_json:
        click.echo(made.to_json())
    else:
        click.echo(
            plain(document(made, language, drawn=False), sections=SHOWN, width=_width()), nl=False
        )
        for path, _ in formats:
            click.echo(f"Report: {path}", err=True)
        for path, _ in drawings:
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
            plain(document(checked, language, drawn=False), sections=("checks",), width=_width()),
            nl=False,
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
        click.echo(plain(changes_document(two, found), width=_width()), nl=False)


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


def _drawing(asked: str) -> tuple[Path, str]:
    """Return file and kind of a drawing that was asked for as FILE or KIND:FILE."""
    kind, colon, name = asked.partition(":")
    known = colon and kind in KINDS
    path, kind = (Path(name), kind) if known else (Path(asked), KINDS[0])
    if path.suffix.casefold() != ".svg":
        wanted = "a name that ends in .svg"
        raise InputError(str(path), wanted, "--diagram", code="format.unknown")
    return path, kind


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
        click.echo(plain(plate_document(read), width=_width()), nl=False)
    ctx.exit(NOT_FEASIBLE if any(one.severity == "blocks" for one in read.findings) else 0)


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
        click.echo(documents.to_json(listed_plugins(engine)))
    else:
        for line in plugin_lines(engine):
            click.echo(line)
    ctx.exit(OBJECTS if engine.problems else 0)


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
