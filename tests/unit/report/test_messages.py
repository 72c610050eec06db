"""The catalogues hold every text that a report can print, and fit the English ones."""

import ast
import re
import tomllib
from collections import Counter
from pathlib import Path

import pytest
from babel.messages.catalog import Catalog
from babel.messages.pofile import read_po

import ampwright
from ampwright.report import messages
from ampwright.report.language import ENGLISH, languages
from ampwright.report.messages import Message, renewed, said

PACKAGE = Path(ampwright.__file__).parent
ALL = tuple(messages.messages())
OTHERS = [code for code in languages() if code != ENGLISH]
SLOT = re.compile(r"\{(@?)([A-Za-z0-9_-]+)((?:\|[a-z]+)*)\}")
OPTIONAL = re.compile(r"\[([^\[\]]*)\]")
TO_DO = "run `python -m ampwright.report.messages`, then translate what has no msgstr or is fuzzy"


def _translated(code: str) -> dict[tuple[str, str], str]:
    return {key: text for key, text in _catalogue(code).items() if text}


def _catalogue(code: str) -> dict[tuple[str, str], str]:
    with (PACKAGE / "report" / "languages" / f"{code}.po").open("rb") as file:
        read = read_po(file, locale=code)
    return {
        (str(one.context), str(one.id)): "" if one.fuzzy else str(one.string)
        for one in read
        if one.id
    }


def _slots(text: str) -> Counter[str]:
    return Counter(f"{name}{flags}" for term, name, flags in SLOT.findall(text) if not term)


def _terms(text: str) -> set[str]:
    return {name for term, name, _ in SLOT.findall(text) if term}


@pytest.mark.parametrize("code", OTHERS)
def test_a_catalogue_holds_the_texts_of_today_and_no_others(code: str) -> None:
    assert {(one.area, one.english) for one in ALL} == _catalogue(code).keys(), TO_DO


@pytest.mark.parametrize("code", OTHERS)
def test_a_catalogue_is_complete(code: str) -> None:
    lacking = [key for key, text in _catalogue(code).items() if not text.strip()]
    assert not lacking, TO_DO


@pytest.mark.parametrize("code", OTHERS)
def test_a_translation_has_the_placeholders_of_the_english_text(code: str) -> None:
    """The same values in the same optional parts; a term may be written out, to be inflected."""
    for (_, english), text in _translated(code).items():
        assert _slots(text) == _slots(english), text
        assert _terms(text) <= _terms(english), text
        # an optional part that needs other values would come or go without its figures
        assert Counter(map(str, map(_keys, OPTIONAL.findall(text)))) == Counter(
            map(str, map(_keys, OPTIONAL.findall(english)))
        ), text
        assert not re.search(r"[\[\]{}]", OPTIONAL.sub("", SLOT.sub("", text))), text


def _keys(part: str) -> list[str]:
    return sorted(_slots(part))


@pytest.mark.parametrize("code", OTHERS)
def test_a_translation_joins_its_neighbours_as_the_english_text_does(code: str) -> None:
    for (area, english), text in _translated(code).items():
        assert text.startswith(" ") == english.startswith(" "), text
        assert text == text.rstrip(), text
        if area in ("findings", "assumptions", "questions") and english[-1] in ".?":
            assert text.endswith((".", "?", "]")), text


@pytest.mark.parametrize("code", OTHERS)
def test_a_sentence_is_not_left_in_english(code: str) -> None:
    """Words may be the same in two languages; long sentences are not."""
    same = [english for (_, english), text in _translated(code).items() if text == english]
    assert not [text for text in same if len(text.split()) > 4]


def test_headings_verdicts_and_every_code_are_among_the_messages() -> None:
    english = {(one.area, one.english) for one in ALL}
    for heading in ("The answer", "Schedule of conductors", "Cautions", "Sources", "Wiring code"):
        assert ("report", heading) in english
    assert ("report", "Yes, under the conditions below: {ways}.") in english
    assert ("verdicts", "feasible with conditions") in english
    texts = tomllib.loads((PACKAGE / "report/texts/findings.toml").read_text(encoding="utf-8"))
    assert {("findings", text) for text in texts["findings"].values()} <= english


def test_colours_that_the_built_in_wiring_codes_state_are_among_the_messages() -> None:
    known = {one.english for one in ALL if one.area == "colors"}
    for name in ("us", "iec"):
        path = PACKAGE / "regions" / name / "manifest.toml"
        terms = tomllib.loads(path.read_text(encoding="utf-8"))["terms"]
        assert {word for key, word in terms.items() if key.startswith("color-")} <= known


def test_what_a_module_says_is_found_in_calls_heads_and_constants() -> None:
    source = """
NOTE = "A note."
a = wording.say("One {n}", n=2)
b = heads(wording.head, "Two", "#Three", "")
c = wording.say(NOTE)
d = other("Four")
"""
    assert list(said(ast.parse(source))) == ["One {n}", "Two", "Three", "A note."]


def test_a_text_that_nobody_could_translate_is_refused() -> None:
    with pytest.raises(ValueError, match=r"line 1: f'{n} more' is no literal"):
        list(said(ast.parse('wording.say(f"{n} more")')))


def test_a_renewed_catalogue_keeps_what_is_translated_and_drops_what_is_gone(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    today = (
        Message("report", "Kept", "owner"),
        Message("terms", "New", "new"),
        Message("findings", "It is hotter.", "place.hot"),
    )
    monkeypatch.setattr(messages, "messages", lambda: iter(today))
    old = Catalog(locale="de")
    old.add("Kept", "Behalten", context="report")
    old.add("Gone", "Fort", context="report", auto_comments=["owner"])
    old.add("It is hot.", "Es ist heiß.", context="findings", auto_comments=["place.hot"])
    new = {one.id: (one.string, one.fuzzy) for one in renewed("de", old) if one.id}
    assert new == {
        "Kept": ("Behalten", False),
        "New": ("", False),
        "It is hotter.": ("Es ist heiß.", True),
    }
