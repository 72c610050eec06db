"""Codes, ids and numbers in words."""

import re
import tomllib
from importlib.resources import files

import attrs
import pytest

from ampwright.decision import RegionUsed
from ampwright.finding import Finding, Parameter, Question
from ampwright.report.figures import Customs
from ampwright.report.language import language_for
from ampwright.report.wording import Wording, catalogue, customs, mistranslated

WORDS = Wording(
    customs=Customs(feet=False, horsepower=False),
    terms={"panel": "panelboard"},
    names={"saw": "Panel saw"},
)


def _parts(**values: float | str) -> tuple[Parameter, ...]:
    return tuple(
        Parameter(name=name, value=value, unit="A" if isinstance(value, float) else "")
        for name, value in values.items()
    )


def test_a_slot_takes_its_parameter_rounded_to_the_safe_side() -> None:
    text, used = WORDS.fill("needs {load|up}, has {rating|down}", _parts(load=68.01, rating=68.09))
    assert text == "needs 68.1 A, has 68 A"
    assert used == {"load", "rating"}


def test_an_optional_part_falls_away_with_its_parameter() -> None:
    assert WORDS.fill("small[: {load} of {rating}].", _parts(load=1.0))[0] == "small."


def test_an_empty_parameter_counts_as_missing() -> None:
    assert WORDS.fill("small[: {load}].", _parts(load=""))[0] == "small."


def test_the_wiring_codes_own_term_comes_first() -> None:
    assert WORDS.fill("the {@panel}, the {@raceway}", ())[0] == "the panelboard, the conduit"


def test_what_a_text_leaves_out_stands_in_brackets() -> None:
    said = WORDS.sentence("findings", "plan.permit-inspection", _parts(spare_current=3.0))
    assert said.endswith("(spare current 3 A).")


@pytest.mark.parametrize(
    ("path", "words"),
    [
        ("prices.drive.saw", "the price of: drive (Panel saw)"),
        ("prices.rotary", "the price of: rotary converter"),
        ("prices.saw", "the price of: Panel saw"),
        ("machines.saw.hours_per_year", "Panel saw: how many hours a year it runs"),
        ("energy_price", "the price of energy"),
        ("supply.rating", "the rating of the main device"),
        ("supply.contract", "the power that the contract allows"),
    ],
)
def test_the_input_that_a_choice_hangs_on_is_said_in_words(path: str, words: str) -> None:
    one = Question(code="plan.decisive-input", field=path, changes="method",
                   parameters=_parts(input=path))  # fmt: skip
    assert WORDS.question(one).startswith(f"Are you sure of this input: {words}? ")


def test_an_unknown_code_is_shown_with_its_parameters() -> None:
    finding = Finding(code="new.code", severity="info", parameters=_parts(machine="saw", i=2.0))
    assert WORDS.finding(finding) == "new.code (machine Panel saw; i 2 A)."


def test_a_slot_without_its_parameter_is_no_error() -> None:
    assert WORDS.fill("needs {load}", ())[0] == "needs …"


def test_a_question_without_a_text_asks_for_its_field() -> None:
    question = Question(code="new.question", field="machines[2].length", choices=("star-delta",))
    assert WORDS.question(question) == (
        "Find out the length of the cable along its route. Answers: star-delta."
    )


@pytest.mark.parametrize(
    ("parts", "text"),
    [([], ""), (["a"], "a"), (["a", "b"], "a and b"), (list("abc"), "a, b and c")],
)
def test_a_list_in_a_sentence(parts: list[str], text: str) -> None:
    assert WORDS.listed(parts) == text


def test_units_follow_the_family_unless_the_region_says_otherwise() -> None:
    region = RegionUsed(id="x", edition="1", family="nec", title="X")
    assert customs(region) == Customs(feet=True, horsepower=True)
    metric = RegionUsed(id="x", edition="1", family="nec", title="X", terms=(("unit-length", "m"),))
    assert customs(metric) == Customs(feet=False, horsepower=True)


def test_every_text_fills_with_nothing_but_its_own_slots() -> None:
    for area in ("findings", "questions", "assumptions"):
        for code, text in catalogue().get(area, {}).items():
            assert re.fullmatch(r"[a-z0-9-]+\.[a-z0-9_-]+", code), code
            slots = set(re.findall(r"\{([a-z][A-Za-z0-9_]*)", text))
            parts = tuple(Parameter(name=name, value="word") for name in slots)
            filled, used = WORDS.fill(text, parts)
            assert used == slots, code
            assert not re.search(r"[\[\]{}…]", filled), (code, filled)


def test_no_slot_stays_open_but_the_few_that_are_always_given() -> None:
    always = {"field", "plugin", "region", "current", "duty", "percent", "given", "stated"}
    always |= {"derived", "temperature", "insulation", "place", "table", "source", "value"}
    for area in ("findings", "questions", "assumptions"):
        for code, text in catalogue()[area].items():
            parts = tuple(Parameter(name=name, value="word") for name in always)
            assert "…" not in WORDS.fill(text, parts)[0], code


def test_terms_that_texts_use_are_in_the_catalogue() -> None:
    texts = "".join(
        text for area in ("findings", "questions", "assumptions")
        for text in catalogue().get(area, {}).values()
    )  # fmt: skip
    for term in re.findall(r"\{@([a-z-]+)", texts):
        assert term.removesuffix("-cap") in catalogue()["terms"], term


def test_no_area_is_stated_in_two_files() -> None:
    seen: set[str] = set()
    for file in files("ampwright.report").joinpath("texts").iterdir():
        areas = tomllib.loads(file.read_text(encoding="utf-8")).keys()
        assert not seen & areas, file.name
        seen |= areas


def _german(**terms: str) -> Wording:
    language = language_for("de", "")
    spoken = Customs(feet=False, horsepower=False, language=language)
    return Wording(customs=spoken, terms=terms, names={"saw": "Kreissäge", "sets/0": "alles"})


def test_in_german_the_catalogues_term_stands_unless_one_is_stated_in_german() -> None:
    """An English term of the wiring code would not agree with a German sentence."""
    assert _german(panel="panelboard").term("panel") == "Stromkreisverteiler"
    stated = _german(panel="panelboard", **{"panel@de": "Verteiler", "panel@fr": "tableau"})
    assert stated.term("panel") == "Verteiler"
    assert stated.say("For the {@electrician}") == "Für die Elektrofachkraft"


def test_marking_of_the_made_leg_is_said_in_the_language() -> None:
    color = "the colour of the third line, and a label at every end that names the converter"
    marking = Finding(
        code="converter.made-leg-marking", severity="info", parameters=_parts(color=color)
    )
    assert WORDS.finding(marking).endswith(f"wherever it can be reached: {color}.")
    assert "die Farbe des dritten Außenleiters" in _german().finding(marking)
    stated = _german(**{"color-made-leg@de": "violett"})
    assert stated.finding(marking).endswith(": violett.")


def test_cross_sections_and_dates_in_parameters_follow_the_language() -> None:
    german = _german()
    assert german.value(Parameter(name="size", value="2.5 mm2")) == "2,5 mm²"
    assert german.value(Parameter(name="seen", value="2019-05-03")) == "3.5.2019"
    assert WORDS.value(Parameter(name="size", value="3 x 2.5 mm2 copper")) == "3 x 2.5 mm² copper"
    assert WORDS.value(Parameter(name="seen", value="2019-05-03")) == "2019-05-03"


def test_choices_that_are_words_of_a_field_stay_as_they_have_to_be_stated() -> None:
    question = Question(
        code="supply.standby-connection", field="supply.standby.connection",
        choices=("transfer-switch", "separately derived"),
    )  # fmt: skip
    assert (
        _german().question(question).endswith("Mögliche Antworten: transfer-switch, eigenes Netz.")
    )


def test_what_is_filled_in_is_not_read_as_a_text_again() -> None:
    assert WORDS.say("{name}, motor {n}", name="{n} {@panel}", n=2) == "{n} {@panel}, motor 2"


def test_sets_that_run_stand_behind_what_they_are_about() -> None:
    wording = attrs.evolve(_german(), sets=("sets/0",))
    assert wording.subject(("saw", "sets/0")) == "Kreissäge (alles)"


def test_a_translation_of_a_plugin_is_held_to_its_english_text() -> None:
    texts = {
        "findings": {"a.b": "[{x|up} at ]{y}", "a.c": "{@earth}"},
        "findings@de": {"a.b": "{y}[ bei {x|up}]", "a.c": "Erde {z}"},
        "findings@fr": {"a.b": "{y}"},
    }
    assert list(mistranslated(texts)) == ["a.c in findings@de", "a.b in findings@fr"]


@pytest.mark.parametrize(
    ("name", "value", "words"),
    [
        ("value", "copper", "Kupfer"),
        ("value", "surface", "auf der Wand"),
        ("reason", "transformer", "die Bemessung des Transformators des Netzbetreibers"),
        ("left", "saw, drill", "Kreissäge und Bohrmaschine"),
        ("turns", "saw; drill", "Kreissäge; Bohrmaschine"),
        ("turns", "saw, drill; saw", "Kreissäge und Bohrmaschine; Kreissäge"),
        ("lacking", "table sizes", "der Tabelle „sizes“"),
        ("token", "Acme, Works", "Acme, Works"),
    ],
)
def test_values_are_said_in_words_and_ids_by_name(name: str, value: str, words: str) -> None:
    wording = attrs.evolve(_german(), names={"saw": "Kreissäge", "drill": "Bohrmaschine"})
    assert wording.value(Parameter(name=name, value=value)) == words


def test_the_reason_of_a_refusal_says_what_stands_in_the_way() -> None:
    hard = Finding(code="machine.hard-start", severity="blocks")
    assert "do not use a smaller converter" in WORDS.finding(hard)
    assert WORDS.refusal(hard) == "It starts under load or often, which this way does not bear."
    other = Finding(code="relink.not-a-heater", severity="blocks")
    assert WORDS.refusal(other) == WORDS.finding(other)


def test_names_with_commas_in_them_are_kept_apart() -> None:
    wording = attrs.evolve(WORDS, names={"a": "Drive, relinking and static set", "b": "Drive"})
    assert wording.subject(("a", "b")) == "Drive, relinking and static set; Drive"


def test_no_refusal_has_a_text_that_no_finding_has() -> None:
    texts = catalogue()
    assert set(texts["refusals"]) <= set(texts["findings"])


@pytest.mark.parametrize("area", ["findings", "assumptions", "questions", "refusals"])
def test_no_article_stands_before_a_word_of_the_wiring_code(area: str) -> None:
    """An article would not agree with every code's word: an overcurrent device, a fuse."""
    for code, text in catalogue().get(area, {}).items():
        assert not re.search(r"\b[Aa]n? \{@", text), code


def test_words_use_the_terms_of_the_wiring_code() -> None:
    spoken = attrs.evolve(WORDS, terms={"made-leg": "manufactured phase"})
    assert spoken.word("features", "made-leg-marking") == (
        "distinctive marking of the manufactured phase"
    )
    assert _german().word("features", "made-leg-marking").endswith("des erzeugten Außenleiters")
