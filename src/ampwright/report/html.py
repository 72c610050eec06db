"""The report as one HTML page that needs nothing else, and as PDF."""

import re
from functools import cache
from typing import TYPE_CHECKING

from ampwright.errors import InputError
from ampwright.report.blocks import Document, clean

if TYPE_CHECKING:
    from jinja2 import Template

_NUMBER_UNIT = re.compile(
    r"(?<=\d) (?=(?:[kMm]?(?:A|V|W|VA|Wh|Ω)|hp|ft|mm²|m|s|µF|N·m|%|rpm|AWG|kcmil|Hz|°C|ph"
    r"|pôles|polos)\b|%)"
)
#: ``2-pole`` and ``3-phase``, in the languages that write them with a hyphen
_NUMBER_POLES = re.compile(r"(?<=\d)-(?=(?:pol|pha))")


def bound(text: str) -> str:
    """Return *text* with numbers bound to what follows, so that no line breaks between them."""
    return _NUMBER_POLES.sub("\u2011", _NUMBER_UNIT.sub("\u00a0", text))


def broken(text: str) -> list[str]:
    """Return the lines of *text*."""
    return bound(text).split("\n")


@cache
def _template() -> "Template":
    try:
        from jinja2 import Environment, PackageLoader, StrictUndefined  # noqa: PLC0415 - an extra
    except ImportError as error:
        raise InputError("html", _extra("jinja2", "report"), "format") from error
    environment = Environment(
        loader=PackageLoader("ampwright.report"),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=_shown,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters |= {"bound": bound, "broken": broken}
    environment.tests["kind"] = lambda block, name: type(block).__name__ == name
    return environment.get_template("report.html")


def _shown(value: object) -> object:
    """Return *value* without what steers; markup of ours holds none, and stays markup."""
    return clean(value) if type(value) is str else value


def _extra(package: str, extra: str) -> str:
    return f"the package {package}: pip install 'ampwright[{extra}]'"


def html(document: Document) -> str:
    """Return *document* as a page without scripts and without anything from outside.

    Raises:
        InputError: jinja2 is not installed.
    """
    return _page(document, columns="2")


def _page(document: Document, columns: str) -> str:
    plan = re.sub(r"[^A-Za-z0-9.-]", "", document.plan)  # it also stands in the style sheet
    say = document.language.say
    words = {
        "code": say("Wiring code"),
        "plan": say("Plan"),
        "maker": say("Made by"),
        "contents": say("Contents"),
        "drawing": say("One-line diagram"),
        "wiring": say("Connection diagram"),
        "signed": say("Name, licence, date"),
    }
    return _template().render(
        document=document,
        plan=plan,
        columns=columns,
        words=words,
        pages=_pages(say("Page {n} of {total}")),
        between=document.language.between,
    )


def _pages(text: str) -> str:
    """Return *text* as a style sheet writes it, its slots as counters of pages."""
    parts = re.split(r"(\{n\}|\{total\})", re.sub(r"[\"\\<\n]", "", text))
    counters = {"{n}": "counter(page)", "{total}": "counter(pages)"}
    return " ".join(counters.get(part) or f'"{part}"' for part in parts if part)


def pdf(document: Document) -> bytes:
    """Return *document* printed to PDF.

    Raises:
        InputError: weasyprint or jinja2 is not installed.
    """
    try:
        from weasyprint import HTML  # noqa: PLC0415 - an extra
    except ImportError as error:
        raise InputError("pdf", _extra("weasyprint", "pdf"), "format") from error
    # no columns: weasyprint balances two in a time that grows with the square of their length
    printed: bytes = HTML(string=_page(document, columns="auto")).write_pdf()
    return printed
