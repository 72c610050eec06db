"""Markdown, HTML and plain text of a document; hostile text in each."""

import re
from html.parser import HTMLParser

import attrs
import pytest

from ampwright.decision import Decision
from ampwright.finding import Finding, Parameter
from ampwright.report.blocks import Document, Entry, Grid, Listing, Section, Text
from ampwright.report.document import document
from ampwright.report.html import bound, html, pdf
from ampwright.report.markdown import markdown
from ampwright.report.plain import plain
from ampwright.step import Step

HOSTILE = "<script>alert(1)</script> | **bold** [x](javascript:y) \u202e `code` http://a.b"


@pytest.fixture
def made(decision: Decision) -> Document:
    """Return a document whose user text is hostile."""
    machine = attrs.evolve(decision.shop.machines[0], name=HOSTILE)
    shop = attrs.evolve(
        decision.shop, name=HOSTILE, machines=(machine, *decision.shop.machines[1:])
    )
    said = (Parameter(name="text", value="a plugin's \x1b[31m\x9b31m text"),)
    finding = Finding(code="invented.steering", severity="caution", parameters=said)
    return document(attrs.evolve(decision, shop=shop, findings=(finding,)))


class _Tags(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.text = ""

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attributes)))

    def handle_data(self, data: str) -> None:
        self.text += data


def _parsed(text: str) -> _Tags:
    found = _Tags()
    found.feed(text)
    return found


def test_html_carries_no_script_and_nothing_from_outside(made: Document) -> None:
    page = _parsed(html(made))
    names = {tag for tag, _ in page.tags}
    assert not names & {"script", "iframe", "object", "embed", "link", "img", "form", "base"}
    for tag, attributes in page.tags:
        assert not any(name.startswith("on") for name in attributes), tag
        assert (attributes.get("href") or "#").startswith("#")
        assert "src" not in attributes
        assert "style" not in attributes
    assert "url(" not in html(made)
    assert "@import" not in html(made)


def test_html_forbids_scripts_by_policy(made: Document) -> None:
    page = _parsed(html(made))
    policy = next(
        attributes["content"]
        for tag, attributes in page.tags
        if tag == "meta" and attributes.get("http-equiv") == "Content-Security-Policy"
    )
    assert policy is not None
    assert "default-src 'none'" in policy
    assert "script-src 'none'" in policy


def test_html_shows_user_text_as_it_is(made: Document) -> None:
    assert "<script>alert(1)</script> | **bold**" in _parsed(html(made)).text


def test_html_carries_nothing_that_steers(made: Document) -> None:
    assert "\x9b" not in html(made)
    assert "\u202e" not in html(made)


def test_html_links_lead_somewhere(made: Document) -> None:
    page = _parsed(html(made))
    ids = {attributes["id"] for _, attributes in page.tags if "id" in attributes}
    links = {a["href"] for tag, a in page.tags if tag == "a"}
    assert links
    assert {str(link)[1:] for link in links} <= ids


def test_a_plan_id_cannot_leave_the_style_sheet(decision: Decision) -> None:
    made = document(attrs.evolve(decision, id='"} * { display: none } </style><b>'))
    style = html(made).split("<style>")[1].split("</style>")[0]
    assert "display: none }" not in style
    assert "</style><b>" not in html(made)


def test_markdown_escapes_user_text(made: Document) -> None:
    text = markdown(made)
    assert "<script>" not in text
    assert r"\<script\>alert(1)\</script\> \| \*\*bold\*\* \[x\](javascript:y)" in text
    assert "\x9b" not in text
    assert "\x1b" not in text
    assert "\u202e" not in text
    assert "http:" not in text


@pytest.mark.parametrize("begin", ["- no list", "1. no list", "# no heading", "+ x", "== x"])
def test_markdown_text_does_not_become_structure(begin: str) -> None:
    made = Document(
        title="t", subtitle="s", plan="p", edition="e", version="v", paper="A4",
        sections=(Section(id="a", title="A", blocks=(Text(text=begin),)),),
    )  # fmt: skip
    line = markdown(made).splitlines()[-1]
    assert not re.match(r"^\s*([-+=#]|\d+[.)])", line)


def test_markdown_tables_keep_their_columns(made: Document) -> None:
    grids = [b for s in made.sections for b in s.blocks if isinstance(b, Grid)]
    assert grids
    lines = markdown(made).splitlines()
    for n, line in enumerate(lines):
        if re.fullmatch(r"\|(-+:?\|)+", line):
            width = len(re.findall(r"(?<!\\)\|", line))
            assert len(re.findall(r"(?<!\\)\|", lines[n - 1])) == width
            assert len(re.findall(r"(?<!\\)\|", lines[n + 1])) == width


def test_plain_text_sends_no_commands_to_a_terminal(made: Document) -> None:
    assert "\x9b" not in plain(made)
    assert "\u202e" not in plain(made)


@pytest.mark.parametrize("width", [60, 80, 120])
def test_plain_lines_fit_the_terminal(decision: Decision, width: int) -> None:
    long_words = {word for word in plain(document(decision)).split() if len(word) > 12}
    for line in plain(document(decision), width=width).splitlines():
        assert len(line) <= width or any(word in line for word in long_words), line


def test_plain_shows_only_the_sections_asked_for(decision: Decision) -> None:
    text = plain(document(decision), sections=("answer",))
    assert "The answer" in text
    assert "Signatures" not in text


def test_an_ordered_list_is_numbered_in_each_form() -> None:
    listing = Listing(entries=(Entry(text="first"), Entry(text="second")), ordered=True)
    made = Document(
        title="t", subtitle="s", plan="p", edition="e", version="v", paper="A4",
        sections=(Section(id="a", title="A", blocks=(listing,)),),
    )  # fmt: skip
    assert "2. second" in markdown(made)
    assert "2. second" in plain(made)
    assert [tag for tag, _ in _parsed(html(made)).tags].count("ol") == 2  # contents, and the list


def test_a_pdf_is_made_where_its_extra_is_there(decision: Decision) -> None:
    pytest.importorskip("weasyprint")
    assert pdf(document(decision)).startswith(b"%PDF-")


def test_writers_put_their_own_words_into_the_language(decision: Decision) -> None:
    german = document(decision, "de")
    page = html(german)
    assert '<html lang="de">' in page
    assert ">Regelwerk<" in page
    assert 'content: "Plan p-' in page
    assert "| Zeichen | Wert |" in markdown(german)
    assert "Name und Unterschrift" in markdown(german)
    french = document(decision, "fr")
    assert '<html lang="fr">' in html(french)
    assert "· plan p-" in plain(french)
    assert '<html lang="en">' in html(document(decision))
    assert 'content: "Page " counter(page) " of " counter(pages);' in html(document(decision))
    assert 'content: "Seite " counter(page) " von " counter(pages);' in page


def test_a_comma_stands_between_numbers_only_where_it_is_no_decimal_sign(
    decision: Decision,
) -> None:
    """What is in the steps of the decision: idle and load currents of 12.5 and 3.25 A."""
    steps = tuple(
        Step(path=f"shop/i{n}", kind="given", symbol=f"I{n}", value=value, unit="A", text="")
        for n, value in enumerate((12.5, 3.25))
    )
    both = Step(
        path="shop/sum", kind="formula", symbol="I", value=15.75, unit="A", formula="I0 + I1",
        inputs=(("I0", "shop/i0"), ("I1", "shop/i1")),
    )  # fmt: skip
    made = attrs.evolve(decision, steps=(*steps, both))
    assert "I0 = 12,5 A [1]; I1 = 3,25 A [2]" in plain(document(made, "de"))
    assert "I0 = 12.5 A [1], I1 = 3.25 A [2]" in plain(document(made))


def test_a_number_and_its_poles_stay_on_one_line() -> None:
    assert bound("2-pole, 3-phase, 2-polig, 60-100 A") == "2‑pole, 3‑phase, 2‑polig, 60-100\u00a0A"
