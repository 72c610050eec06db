"""The language of a report: its texts, and how it writes numbers, dates and money.

The English texts are the keys of the catalogues, ``languages/*.po``, which are read as they are: no
compiled file can be older than its source. English needs no catalogue.
"""

import re
from collections.abc import Iterator, Mapping
from datetime import date
from decimal import Decimal
from functools import cache
from importlib import import_module
from importlib.resources import files
from importlib.resources.abc import Traversable
from types import ModuleType
from typing import Any

import attrs

from ampwright.bounds import hint
from ampwright.errors import InputError
from ampwright.notation import writes_comma

ENGLISH = "en"
#: What is asked for where the region's own language is wanted.
OF_REGION = "region"
_TAG = re.compile(r"([A-Za-z]{2,3})(?:[-_]([A-Za-z]{2}))?")
_SLOT = re.compile(r"\{([a-z_]+)\}")
_CODE_OF_CURRENCY = re.compile(r"[A-Z]{3}")
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_EXTRA = "the package babel: pip install 'ampwright[report]'"


@attrs.frozen(kw_only=True)
class Language:
    """What a report is written in; without arguments, English with international figures.

    Attributes:
        tag: Tag of the language of its texts, as ``"de"`` or ``"de-AT"``.
        texts: Its texts, by area and English text; none for English.
        decimal: Its decimal sign.
        locale: How it writes money and dates; ``None``: with the code of the currency, and from
            year to day.
        lacking: English texts that were asked for and have no translation; it grows in use.
    """

    tag: str = ENGLISH
    texts: Mapping[tuple[str, str], str] = attrs.field(factory=dict, repr=False)
    decimal: str = "."
    locale: Any = None
    lacking: set[str] = attrs.field(factory=set, eq=False, repr=False)

    @property
    def code(self) -> str:
        """Its language without the place."""
        return self.tag.partition("-")[0]

    @property
    def between(self) -> str:
        """What stands between numbers in a row: no comma where that is the decimal sign."""
        return "; " if self.decimal == "," else ", "

    def text(self, area: str, english: str) -> str:
        """Return the text of an *area* of the catalogue; the English one where none is there."""
        if not english or self.code == ENGLISH:
            return english
        found = self.texts.get((area, english))
        if found is None:
            self.lacking.add(english)
        return found or english

    def say(self, english: str) -> str:
        """Return one of the report's own texts, such as a heading."""
        return self.text("report", english)

    def number(self, digits: str) -> str:
        """Return a number in digits, written with a point, with the decimal sign used here."""
        return digits.replace(".", self.decimal)

    def amount(self, digits: str, currency: str) -> str:
        """Return an amount of money: *digits* as it has them, with its *currency*."""
        if self.locale is None or not _CODE_OF_CURRENCY.fullmatch(currency):
            return f"{self.number(grouped(digits))} {currency}"
        value = Decimal(digits.replace("−", "-"))
        places = max(-int(value.as_tuple().exponent), 0)
        shown = f"0.{'0' * max(places, 2)}" if places else "0"  # half a coin is no price
        pattern = str(self.locale.currency_formats["standard"].pattern)
        written: str = _babel("numbers").format_currency(
            value,
            currency,
            format=re.sub(r"0\.0+", shown, pattern),
            locale=self.locale,
            currency_digits=False,
            decimal_quantization=False,
        )
        return written

    def day(self, text: str) -> str:
        """Return a date that is written from year to day as it is written here."""
        if self.locale is None or not _DAY.fullmatch(text):
            return text
        written: str = _babel("dates").format_skeleton(
            "yMd", date.fromisoformat(text), locale=self.locale
        )
        return written


PLAIN = Language()


def slotted(text: str, slots: Mapping[str, object]) -> str:
    """Return *text* with its slots filled; what is filled in is not read again."""
    return _SLOT.sub(lambda found: str(slots[found[1]]), text)


def grouped(digits: str) -> str:
    """Return *digits* with a thin gap before every third figure of a whole number."""
    if "." in digits or len(digits) <= 4:
        return digits
    return f"{int(digits.replace('−', '-')):,}".replace(",", " ").replace("-", "−")


def language_for(asked: str | None, home: str) -> Language:
    """Return the language that was asked for.

    Args:
        asked: Tag of a language, with a place or without, as ``"de"`` or ``"pt-BR"``; ``"region"``
            for the one of the region; ``None`` for English.
        home: Tag of the region's own language and place, ``""`` where it has none. Where only a
            language was asked for, it decides how figures are written, as far as it is English or
            the same language.

    Raises:
        InputError: There are no texts in that language, or babel is not installed.
    """
    if not isinstance(asked, str | None):
        raise _unknown(asked)
    wanted = home or ENGLISH if asked == OF_REGION else asked or ENGLISH
    code, place = _parts(wanted)
    if code not in languages():
        if asked != OF_REGION:
            raise _unknown(asked)
        return attrs.evolve(_english(home), lacking={home})
    if code == ENGLISH and not place:
        return _english(home)
    near = not place and _parts(home)[0] == code
    own = _locale(home if near else wanted) or _locale(code)
    if own is None:
        raise InputError(asked, _EXTRA, "language")
    tag = f"{code}-{place}" if place else code
    texts = {} if code == ENGLISH else catalogue(code)
    return Language(tag=tag, texts=texts, decimal=_decimal(own), locale=own)


def _english(home: str) -> Language:
    """Return English as it is written under a region: its decimal sign, money and dates."""
    if not home:
        return PLAIN
    own = _locale(home)
    if own is not None:
        return Language(decimal=_decimal(own), locale=own)
    try:
        return Language(decimal="," if writes_comma(home) else ".")
    except InputError:
        return PLAIN


def _parts(tag: str) -> tuple[str, str]:
    """Return language and place of a tag, ``""`` for what it does not name."""
    found = _TAG.fullmatch(tag)
    return (found[1].lower(), (found[2] or "").upper()) if found else ("", "")


def _unknown(asked: object) -> InputError:
    known = [*languages(), OF_REGION]
    wanted = f"one of {', '.join(known)}"
    return InputError(asked, wanted, "language", code="language.unknown", remedy=hint(asked, known))


def _babel(name: str) -> ModuleType:
    """Return a module of babel, which only a report needs."""
    return import_module(f"babel.{name}")


def _locale(tag: str) -> Any:  # noqa: ANN401 - babel is optional, its type as well
    """Return what is known of a place's figures, ``None`` where that or babel is missing."""
    code, place = _parts(tag)
    try:
        core = _babel("core")
    except ImportError:
        return None
    try:
        return core.Locale(code, place or None)
    except (core.UnknownLocaleError, ValueError):
        return None


def _decimal(locale: Any) -> str:  # noqa: ANN401 - babel is optional, its type as well
    sign: str = _babel("numbers").get_decimal_symbol(locale)
    return sign


def _catalogues() -> Iterator[Traversable]:
    for one in files("ampwright.report").joinpath("languages").iterdir():
        if one.name.endswith(".po"):
            yield one


@cache
def languages() -> tuple[str, ...]:
    """Return the languages that there are texts in, English first."""
    return (ENGLISH, *sorted(one.name.removesuffix(".po") for one in _catalogues()))


@cache
def catalogue(code: str) -> Mapping[tuple[str, str], str]:
    """Return the texts in a language, by area and English text; needs babel."""
    (file,) = (one for one in _catalogues() if one.name == f"{code}.po")
    with file.open("rb") as opened:
        read = _babel("messages.pofile").read_po(opened, locale=code)
    return {
        (one.context or "", one.id): one.string
        for one in read
        if isinstance(one.string, str) and one.string and not one.fuzzy
    }
