"""The words of a report: codes turned into sentences, in the wiring code's own terms."""

import re
import tomllib
from collections.abc import Collection, Iterable, Iterator, Mapping
from functools import cache
from importlib.resources import files

import attrs

from ampwright.decision import PluginUsed, RegionUsed
from ampwright.finding import Assumption, Finding, Parameter, Question
from ampwright.report.figures import DIGITS, Customs, measure, written
from ampwright.report.language import ENGLISH, Language, language_for

FAMILY_CUSTOMS = {"nec": Customs(feet=True, horsepower=True)}
METRIC = Customs(feet=False, horsepower=False)
#: Name of the term in which a region states its own language and place, as ``"de-DE"``.
LANGUAGE = "language"

_OPTIONAL = re.compile(r"\[([^\[\]]*)\]")
_SLOT = re.compile(r"\{(@?)([A-Za-z0-9_-]+)((?:\|(?:up|down|hp|pct|hide))*)\}")
#: A cross-section, as conductors are named by it.
_SIZE = re.compile(r"(?<![0-9.])([0-9]+(?:\.[0-9]+)?) mm2(?![0-9A-Za-z])")
_CODE = re.compile(r"^[a-z0-9-]+\.[a-z0-9-]+$")


@cache
def catalogue() -> Mapping[str, Mapping[str, str]]:
    """Return every text, by area and code, from the files of this package."""
    found: dict[str, dict[str, str]] = {}
    for file in sorted(files("ampwright.report").joinpath("texts").iterdir(), key=lambda f: f.name):
        if file.name.endswith(".toml"):
            for area, texts in tomllib.loads(file.read_text(encoding="utf-8")).items():
                found.setdefault(area, {}).update(texts)
    return found


def customs(region: RegionUsed, asked: str | None = None) -> Customs:
    """Return what readers under *region* are used to; its terms may say otherwise.

    Args:
        region: The region.
        asked: Language of the report, as in `language_for`.

    Raises:
        InputError: There is no such language, or babel is not installed.
    """
    usual = FAMILY_CUSTOMS.get(region.family, METRIC)
    terms = dict(region.terms)
    return Customs(
        feet=terms["unit-length"] == "ft" if "unit-length" in terms else usual.feet,
        horsepower=terms["unit-power"] == "hp" if "unit-power" in terms else usual.horsepower,
        language=language_for(asked, terms.get(LANGUAGE, "")),
    )


def slots(text: str) -> list[str]:
    """Return the parameters that *text* wants, each with the way it is to be written, in order."""
    return sorted(f"{name}{flags}" for term, name, flags in _SLOT.findall(text) if not term)


def mistranslated(texts: Mapping[str, Mapping[str, str]]) -> Iterator[str]:
    """Yield area and code of each text that wants other parameters than its English one.

    Args:
        texts: What a plugin brings; an area such as ``findings@de`` holds translations.
    """
    for area, codes in texts.items():
        english, translated, _ = area.partition("@")
        for code, text in codes.items() if translated else ():
            if slots(text) != slots(texts.get(english, {}).get(code, "")):
                yield f"{code} in {area}"


def brought(plugins: Iterable[PluginUsed]) -> Mapping[str, Mapping[str, str]]:
    """Return the texts that *plugins* brought, by area and code."""
    found: dict[str, dict[str, str]] = {}
    for plugin in plugins:
        for area, code, text in plugin.texts:
            found.setdefault(area, {})[code] = text
    return found


@attrs.frozen(kw_only=True)
class Wording:
    """Turns codes, ids and numbers into what a reader reads. A missing text is never an error.

    Attributes:
        customs: Units that the reader is used to.
        terms: The wiring code's own words, by term.
        names: Words for ids: machines, motors, converters, circuits.
        serves: What each converter and circuit serves, by ids.
        machines: Ids of all machines.
        own: Texts that plugins brought, by area and code; they name what is theirs. Those in
            another language than English stand in an area of their own, as ``findings@de``.
        sets: Ids of sets of machines that run at once.
    """

    customs: Customs
    terms: Mapping[str, str]
    names: Mapping[str, str]
    serves: Mapping[str, tuple[str, ...]] = attrs.field(factory=dict)
    machines: tuple[str, ...] = ()
    own: Mapping[str, Mapping[str, str]] = attrs.field(factory=dict)
    sets: Collection[str] = ()

    @property
    def language(self) -> Language:
        """The language that everything is written in."""
        return self.customs.language

    def text(self, area: str, code: str) -> str:
        """Return the text for *code* in an *area*, a plugin's where the catalogue has none."""
        if known := catalogue().get(area, {}).get(code):
            return self.language.text(area, known)
        english = self.own.get(area, {}).get(code, "")
        brought = self.own.get(f"{area}@{self.language.code}", {}).get(code)
        return brought or self.language.text(area, english)

    def say(self, text: str, /, **slots: object) -> str:
        """Return one of the report's own texts in the reader's language, its slots filled."""
        return self._said(text, slots)

    def _said(self, text: str, slots: Mapping[str, object]) -> str:
        def slot(match: re.Match[str]) -> str:
            return self.term(match[2]) if match[1] else str(slots[match[2]])

        return _SLOT.sub(slot, self.language.text("report", text))

    def head(self, text: str) -> str:
        """Return one of the report's own texts as a head; a term in front gets a capital letter."""
        said = self._said(text, {})
        return capital(said) if text.startswith("{") else said

    def title(self, region: RegionUsed) -> str:
        """Return the name of the wiring code and its edition."""
        stated = self.terms.get(f"title@{self.language.code}")
        return f"{stated}, {region.edition}" if stated else region.title

    def number(self, value: float, toward: str = "near", digits: int = DIGITS) -> str:
        """Return a number without a unit."""
        return self.language.number(written(value, toward, digits))

    def listed(self, parts: Iterable[str]) -> str:
        """Return *parts* as a list in a sentence: ``a, b and c``."""
        all_parts = list(parts)
        if len(all_parts) < 2:
            return "".join(all_parts)
        return self.say("{first} and {last}", first=", ".join(all_parts[:-1]), last=all_parts[-1])

    def word(self, area: str, code: str) -> str:
        """Return the word for *code* in an *area* of the catalogue, or the code itself."""
        known = self.text(area, code)
        return self.fill(known, ())[0] if known else code.replace("-", " ")

    def term(self, code: str) -> str:
        """Return the wiring code's own word, or the catalogue's.

        In another language it is the code's own only where that is stated for the language: the
        sentences around it agree with the catalogue's.
        """
        other = "circuit" if code == "branch" else code
        if self.language.code == ENGLISH:
            return self.terms.get(code) or self.terms.get(other) or self.word("terms", code)
        stated = self.terms.get(f"{code}@{self.language.code}")
        return stated or self.word("terms", code)

    def choice(self, word: str) -> str:
        """Return one of the words that a field is stated with; in English it stands as stated."""
        return word if self.language.code == ENGLISH else self.text("choices", word) or word

    def color(self, term: str, words: str) -> str:
        """Return a colour, or the *words* for a marking, that the wiring code states as a term."""
        stated = self.terms.get(f"{term}@{self.language.code}")
        return stated or self.language.text("colors", words)

    def name(self, one: str) -> str:
        """Return the words for an id, or the id."""
        return self.names.get(one) or self.text("places", one) or one

    def names_of(self, ids: Iterable[str]) -> str:
        """Return the words for *ids* as a list in a sentence."""
        return self.listed(self.name(one) for one in ids)

    def subject(self, ids: Iterable[str]) -> str:
        """Return what is concerned, each thing once: not its circuit or converter beside it."""
        named = dict.fromkeys(ids)
        own = [one for one in named if not set(self.serves.get(one, ())) & named.keys()]
        running = [self.name(one) for one in own if one in self.sets]
        names = list(dict.fromkeys(capital(self.name(one)) for one in own if one not in self.sets))
        if len(self.machines) > 2 and set(self.machines) <= set(own):
            every = {capital(self.name(one)) for one in self.machines}
            names = [self.say("All machines"), *(one for one in names if one not in every)]
        between = "; " if any(", " in one for one in names) else ", "
        return between.join(names) + (f" ({', '.join(running)})" if running else "")

    def value(self, part: Parameter, flags: Iterable[str] = ()) -> str:
        """Return a parameter as the reader reads it."""
        marks = set(flags)
        if "hide" in marks:
            return ""
        if isinstance(part.value, str):
            if part.name in ("field", "input"):
                return self.input(part.value) if part.name == "input" else self.field(part.value)
            if part.name == "color":
                return self.color("color-made-leg", part.value)
            if part.name == "method":
                return self.word("methods", part.value)
            return self.sized(self.language.day(self._worded(part)))
        toward = next(iter(marks & {"up", "down"}), "near")
        unit = "fraction" if "pct" in marks and not part.unit else part.unit
        return measure(part.value, unit, self.customs, toward=toward, shaft="hp" in marks)

    def _worded(self, part: Parameter) -> str:
        """Return the words for a value, or for each of several that stand in a list."""
        whole = str(part.value)
        if part.name == "region" and f"title@{self.language.code}" in self.terms:
            return self.terms[f"title@{self.language.code}"]
        if part.name == "lacking" and whole.startswith("table "):
            return self.say("the table “{name}”", name=whole.removeprefix("table "))
        known = self._known(whole, part.name)
        if known:
            return known
        groups = [
            [self._known(one, part.name) for one in group.split(", ")]
            for group in whole.split("; ")
        ]
        if not all(all(group) for group in groups):
            return whole
        return "; ".join(self.listed(group) for group in groups)

    def _known(self, word: str, name: str) -> str:
        """Return what is said for *word* as a value, a word of a field or an id, or nothing."""
        said = (
            self.text("values", f"{name}.{word}")
            or self.text("values", word)
            or self.names.get(word)
            or self.text("places", word)
        )
        said = said or self.text("verdicts", word)
        return said or (self.choice(word) if self.text("choices", word) else "")

    def sized(self, text: str) -> str:
        """Return *text* with the cross-sections in it as they are written here."""
        return _SIZE.sub(lambda found: f"{self.language.number(found[1])} mm²", text)

    def fill(self, text: str, parts: Iterable[Parameter]) -> tuple[str, frozenset[str]]:
        """Return *text* with its slots filled, and the names of the parameters that it used."""
        given = {part.name: part for part in parts if part.value != ""}
        used: set[str] = set()

        def slot(match: re.Match[str]) -> str:
            term, name, flags = match.groups()
            if term:
                return self.term(name)
            used.add(name)
            if name not in given:
                return "…"
            return self.value(given[name], flags.split("|"))

        def optional(match: re.Match[str]) -> str:
            wanted = {name for term, name, _ in _SLOT.findall(match[1]) if not term}
            return match[1] if wanted <= given.keys() else ""

        return _SLOT.sub(slot, _OPTIONAL.sub(optional, text)), frozenset(used)

    def sentence(self, area: str, code: str, parts: tuple[Parameter, ...], bare: str = "") -> str:
        """Return the text of *code*; parameters that it does not use follow it in brackets.

        Args:
            area: ``"findings"``, ``"refusals"``, ``"assumptions"`` or ``"questions"``.
            code: The code.
            parts: Its parameters.
            bare: What stands in for a text that is missing; the code if empty.
        """
        text, used = self.fill(self.text(area, code) or bare or code, parts)
        rest = [part for part in parts if part.name not in used and part.value != ""]
        if rest:
            more = "; ".join(f"{_spaced(part.name)} {self.value(part)}".strip() for part in rest)
            text = f"{text.rstrip('.')} ({more})."
        return text

    def finding(self, one: Finding) -> str:
        """Return the text of a finding."""
        return self.sentence("findings", one.code, one.parameters)

    def refusal(self, one: Finding) -> str:
        """Return the text of a finding that is the reason for a refusal."""
        area = "refusals" if self.text("refusals", one.code) else "findings"
        return self.sentence(area, one.code, one.parameters)

    def assumption(self, one: Assumption) -> str:
        """Return the text of an assumption."""
        return self.sentence("assumptions", one.code, one.parameters)

    def question(self, one: Question) -> str:
        """Return the text of a question, with its choices."""
        bare = self.say("Find out {what}.", what=self.field(one.field))
        text = self.sentence("questions", one.code, one.parameters, bare=bare)
        if one.choices:
            # what has no blank in it is a word of the field, to be stated as it stands
            told = (self.choice(choice) if " " in choice else choice for choice in one.choices)
            choices = (choice.replace("degC", "°C") for choice in told)
            text += self.say(" Answers: {choices}.", choices=", ".join(choices))
        return text

    def input(self, path: str) -> str:
        """Return the words for an input of the plan: a price, or a field and whose it is."""
        of, _, name = path.partition(".")
        if of == "prices":
            method, _, machines = name.partition(".")
            piece = self.names.get(name) or self.word("methods", method)
            if machines and name not in self.names:
                piece += f" ({self.names_of(machines.split('+'))})"
            return self.say("the price of: {piece}", piece=piece)
        whose = self.name(name.partition(".")[0]) if of == "machines" else ""
        return f"{whose}: {self.field(path)}" if whose else self.field(path)

    def field(self, path: str) -> str:
        """Return the words for the last field of *path*."""
        names = [part.split("[", 1)[0] for part in path.split(".")]
        known = self.text("fields", ".".join(names[-2:])) or self.text("fields", names[-1])
        return known or f"“{_spaced(names[-1])}”"


def clause(rule: str) -> str:
    """Return the id of a rule as it is cited: ``nec.430.22`` as ``NEC 430.22``."""
    book, _, place = rule.partition(".")
    return f"{book.upper()} {place}" if place and book.isalpha() else rule


def capital(text: str) -> str:
    """Return *text* with a capital letter in front."""
    return text[:1].upper() + text[1:]


def _spaced(name: str) -> str:
    return name.replace("_", " ").replace("-", " ")
