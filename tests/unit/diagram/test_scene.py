"""Words and pages of a drawing."""

from xml.etree import ElementTree as ET

import pytest

from ampwright.diagram.scene import Scene, clean, width, wrapped

SVG = "{http://www.w3.org/2000/svg}"


def test_lines_are_no_wider_than_their_room_and_lose_no_word() -> None:
    text = "3-pole inverse-time circuit breaker 30 A, Donaudampfschifffahrtsgesellschaftskapitän"
    lines = wrapped(text, 90.0)
    assert all(width(line) <= 90.0 for line in lines)
    letters = "".join(lines).replace(" ", "").replace("\u00a0", "").replace("-", "")
    assert letters == text.replace(" ", "").replace("-", "")


def test_a_page_ends_well_where_it_is_full_enough_and_as_late_as_it_can() -> None:
    scene = Scene(100.0)
    for y in (30.0, 45.0, 70.0, 95.0, 130.0):
        scene.may_end(y, well=y in (30.0, 45.0, 70.0))
    # 30 leaves the page too empty, 95 is no good end, so 70, the later one of two
    assert scene.pages(150.0, 100.0) == [(0.0, 70.0), (70.0, 150.0)]


def test_a_long_word_is_cut_behind_its_own_hyphen_or_with_one() -> None:
    own = "Fehlerstrom-Schutzeinrichtung"
    assert wrapped(own, width("Fehlerstrom-Schutz")) == ["Fehlerstrom-", "Schutzeinrichtung"]
    first, second = wrapped("Drehmaschine", width("Drehmas-"))
    assert first + second == "Drehmas-chine"
    assert all("-" not in part for part in wrapped("1234567890", width("1234")))


def test_a_number_stays_with_its_unit() -> None:
    assert wrapped("set to 16.5 A", width("set to 16.5 ")) == ["set to", "16.5\u00a0A"]


@pytest.mark.parametrize("bad", ["\x00", "\x1b", "\u202e", "\ud800", "\uffff"])
def test_what_xml_cannot_hold_or_turns_the_writing_is_blanked(bad: str) -> None:
    assert clean(f"a{bad}b") == "a b"


def test_marks_of_xml_are_escaped() -> None:
    scene = Scene(100.0)
    scene.words('<b onclick="x">&amp;', (0.0, 10.0))
    root = ET.fromstring(scene.svg(0.0, 20.0, "<t>"))  # noqa: S314 - our own text
    assert [one.text for one in root.iter(f"{SVG}text")] == ['<b onclick="x">&amp;']
    assert [one.text for one in root.iter(f"{SVG}title")] == ["<t>"]


def test_pages_end_where_they_may_and_cover_everything_once() -> None:
    scene = Scene(100.0)
    for y in (10.0, 60.0, 90.0, 300.0):
        scene.may_end(y)
    assert scene.pages(400.0, 100.0) == [(0.0, 90.0), (90.0, 300.0), (300.0, 400.0)]
    assert scene.pages(400.0, 500.0) == [(0.0, 400.0)]


def test_a_page_holds_its_own_words_and_the_lines_that_cross_it() -> None:
    scene = Scene(100.0)
    scene.words("first", (0.0, 20.0))
    with scene.group("circuit", "x"):
        scene.words("second", (0.0, 70.0))
    scene.line((5.0, 10.0), (5.0, 90.0))
    for top, end, words in ((0.0, 50.0, ["first"]), (50.0, 100.0, ["second"])):
        root = ET.fromstring(scene.svg(top, end, ""))  # noqa: S314 - our own text
        assert [one.text for one in root.iter(f"{SVG}text")] == words
        assert len(list(root.iter(f"{SVG}path"))) == 1
        assert root.get("viewBox") == f"0 {top:g} 100 50"
