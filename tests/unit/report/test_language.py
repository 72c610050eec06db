"""Languages, and how numbers, money and dates are written.

What is written where follows the Unicode Common Locale Data Repository, which babel brings; the
expected spellings are from memory.
"""

import tomllib
from importlib import import_module
from pathlib import Path
from types import ModuleType

import pytest

from ampwright.errors import InputError
from ampwright.notation import writes_comma
from ampwright.report import language
from ampwright.report.figures import Customs, measure, money, written
from ampwright.report.language import PLAIN, Language, grouped, language_for, languages

ROOT = Path(__file__).parents[3]
NARROW, FIXED = "\u202f", "\u00a0"


def _homes() -> list[str]:
    """Return the language and place that each region here states."""
    found = []
    for folder in (ROOT / "src" / "ampwright" / "regions", ROOT / "plugins"):
        for path in folder.rglob("manifest.toml"):
            terms = tomllib.loads(path.read_text(encoding="utf-8")).get("terms", {})
            found += [str(terms["language"])] if "language" in terms else []
    return sorted(set(found))


def test_nothing_asked_for_and_no_home_is_plain_english() -> None:
    assert language_for(None, "") is PLAIN
    assert language_for("en", "") is PLAIN
    assert PLAIN.number("2.5") == "2.5"
    assert PLAIN.amount("12000", "USD") == "12 000 USD"
    assert PLAIN.day("2026-11-05") == "2026-11-05"


def test_there_are_texts_in_five_languages() -> None:
    assert languages() == ("en", "de", "es", "fr", "pt")


@pytest.mark.parametrize(
    ("asked", "home", "tag", "decimal"),
    [
        ("de", "", "de", ","),
        ("DE", "en-US", "de", ","),
        ("de-CH", "de-DE", "de-CH", "."),
        ("de_AT", "", "de-AT", ","),
        ("es", "en-US", "es", ","),
        ("es-MX", "", "es-MX", "."),
        (None, "de-DE", "en", ","),
        ("en", "fr-FR", "en", ","),
        ("en-US", "de-DE", "en-US", "."),
        ("region", "pt-BR", "pt-BR", ","),
        ("region", "", "en", "."),
        (None, "ja-JP", "en", "."),
        ("de-JP", "", "de-JP", ","),
    ],
)
def test_the_language_asked_for_decides_and_the_region_fills_in(
    asked: str | None, home: str, tag: str, decimal: str
) -> None:
    found = language_for(asked, home)
    assert (found.tag, found.decimal) == (tag, decimal)
    assert not found.lacking


def test_a_region_without_texts_in_its_language_is_said_to_lack_them() -> None:
    found = language_for("region", "ja-JP")
    assert (found.tag, found.lacking) == ("en", {"ja-JP"})
    assert found.day("2026-11-05") == "2026/11/5"


@pytest.mark.parametrize("asked", ["it", "xx", "", "german", "en-", "../de", 5])
def test_an_unknown_language_is_an_error_that_names_the_known(asked: object) -> None:
    if asked == "":
        assert language_for("", "") is PLAIN
        return
    with pytest.raises(InputError, match="one of en, de, es, fr, pt, region") as error:
        language_for(asked, "")  # type: ignore[arg-type]
    assert (error.value.code, error.value.path) == ("language.unknown", "language")


@pytest.mark.parametrize("home", _homes())
def test_what_a_region_states_is_known_and_both_readers_agree_on_its_comma(home: str) -> None:
    """The sign that is read with `locale=` is the one that the report writes."""
    assert language_for(None, home).decimal == ("," if writes_comma(home) else ".")
    assert language_for(None, home).locale is not None


def test_every_region_but_the_international_one_states_a_language() -> None:
    silent = {
        path.parent.name if path.parent.name != "tables" else path.parents[1].name
        for folder in (ROOT / "src" / "ampwright" / "regions", ROOT / "plugins")
        for path in folder.rglob("manifest.toml")
        if "language" not in tomllib.loads(path.read_text(encoding="utf-8"))["terms"]
    }
    assert silent == {"iec", "ampwright_region_lindmark"}  # the one is no place, the other invented


@pytest.mark.parametrize(
    ("home", "amount", "small", "day"),
    [
        ("en-US", "$12,000", "$2.50", "11/5/2026"),
        ("en-GB", "US$12,000", "US$2.50", "05/11/2026"),
        ("de-DE", f"12.000{FIXED}$", f"2,50{FIXED}$", "5.11.2026"),
        ("fr-FR", f"12{NARROW}000{FIXED}$US", f"2,50{FIXED}$US", "05/11/2026"),
        ("pt-BR", f"US${FIXED}12.000", f"US${FIXED}2,50", "05/11/2026"),
    ],
)
def test_money_and_dates_are_written_as_at_home(
    home: str, amount: str, small: str, day: str
) -> None:
    found = language_for(None, home)
    assert found.amount("12000", "USD") == amount
    assert found.amount("2.5", "USD") == small
    assert found.day("2026-11-05") == day
    assert found.day("2019") == "2019"


@pytest.mark.parametrize("home", ["weird!", "x" * 500, "../../etc", "zz-ZZ", 'en"><b>'])
def test_whatever_a_region_states_the_report_is_written(home: str) -> None:
    assert language_for(None, home) is PLAIN
    assert language_for("region", home).tag == "en"
    assert language_for("de", home).tag == "de"


def test_what_is_no_currency_code_keeps_its_words() -> None:
    assert language_for("de", "").amount("12000.5", "Taler") == "12000,5 Taler"


def test_a_range_of_money_has_two_figures_and_the_words_of_the_language() -> None:
    german = language_for("de", "de-DE")
    assert money(1234.0, 5678.0, "EUR", german) == f"1.200{FIXED}€ bis 5.700{FIXED}€"
    assert money(1200.0, 1200.0, "EUR", german) == f"1.200{FIXED}€"
    assert money(1234.0, 5678.0, "EUR", language_for(None, "en-IE")) == "€1,200 to €5,700"
    assert money(1234.0, 56780.0, "EUR") == "1200 to 57 000 EUR"


def test_a_comma_changes_the_sign_and_nothing_else() -> None:
    german = Customs(feet=True, horsepower=True, language=language_for("de", ""))
    assert measure(2.5, "A", german) == "2,5 A"
    assert measure(3728.5, "W", german, shaft=True) == "5 hp (3,73 kW)"
    assert measure(-0.0304, "fraction", german) == "−3,04 %"
    assert measure(3.81, "m", german) == "12,5 ft (3,81 m)"
    assert written(2.5) == "2.5"  # numbers that are read again never change
    assert german.language.between == "; "


def test_a_gap_groups_thousands_of_whole_numbers_only() -> None:
    assert [grouped(one) for one in ("1234", "12345", "−12345", "12345.5")] == [
        "1234", "12 345", "−12 345", "12345.5",
    ]  # fmt: skip


def test_an_english_text_without_a_translation_stands_and_is_remembered() -> None:
    found = Language(tag="de", texts={("report", "Plan"): "Plan"})
    assert found.say("Plan") == "Plan"
    assert found.say("Sheet") == "Sheet"
    assert found.text("terms", "Plan") == "Plan"
    assert found.lacking == {"Sheet", "Plan"}


@pytest.fixture
def without_babel(monkeypatch: pytest.MonkeyPatch) -> None:
    """Take babel away."""

    def gone(name: str) -> ModuleType:
        if name.startswith("babel"):
            raise ImportError(name)
        return import_module(name)

    monkeypatch.setattr(language, "import_module", gone)


@pytest.mark.usefixtures("without_babel")
def test_without_babel_english_has_the_regions_sign_and_other_languages_are_an_error() -> None:
    found = language_for(None, "de-DE")
    assert (found.tag, found.decimal) == ("en", ",")
    assert found.amount("12000", "USD") == "12 000 USD"
    assert language_for(None, "en-US").decimal == "."
    assert language_for(None, "xx-YY") is PLAIN
    for asked in ("de", "en-US"):
        with pytest.raises(InputError, match=r"ampwright\[report\]"):
            language_for(asked, "")
