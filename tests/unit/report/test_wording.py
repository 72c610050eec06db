"""Codes, ids and numbers in words."""

import re
import tomllib
from importlib.resources import files

import pytest

from ampwright.decision import RegionUsed
from ampwright.finding import Finding, Parameter, Question
from ampwright.report.figures import Customs
from ampwright.report.wording import Wording, catalogue, customs

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
