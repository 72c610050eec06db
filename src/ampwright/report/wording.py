"""The words of a report: codes turned into sentences, in the wiring code's own terms."""

import re
import tomllib
from collections.abc import Iterable, Mapping
from functools import cache
from importlib.resources import files

import attrs

from ampwright.decision import PluginUsed, RegionUsed
from ampwright.finding import Assumption, Finding, Parameter, Question
from ampwright.report.figures import Customs, measure

FAMILY_CUSTOMS = {"nec": Customs(feet=True, horsepower=True)}
METRIC = Customs(feet=False, horsepower=False)

_OPTIONAL = re.compile(r"\[([^\[\]]*)\]")
_SLOT = re.compile(r"\{(@?)([A-Za-z0-9_-]+)((?:\|(?:up|down|hp|pct|hide))*)\}")
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


def customs(region: RegionUsed) -> Customs:
    """Return what readers under *region* are used to; its terms may say otherwise."""
    usual = FAMILY_CUSTOMS.get(region.family, METRIC)
    terms = dict(region.terms)
    return Customs(
        feet=terms["unit-length"] == "ft" if "unit-length" in terms else usual.feet,
        horsepower=terms["unit-power"] == "hp" if "unit-power" in terms else usual.horsepower,
    )


def listed(parts: Iterable[str]) -> str:
    """Return *parts* as a list in a sentence: ``a, b and c``."""
    all_parts = list(parts)
    if len(all_parts) < 2:
        return "".join(all_parts)
    return f"{', '.join(all_parts[:-1])} and {all_parts[-1]}"


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
        own: Texts that plugins brought, by area and code; they name what is theirs.
    """

    customs: Customs
    terms: Mapping[str, str]
    names: Mapping[str, str]
    serves: Mapping[str, tuple[str, ...]] = attrs.field(factory=dict)
    machines: tuple[str, ...] = ()
    own: Mapping[str, Mapping[str, str]] = attrs.field(factory=dict)

    def text(self, area: str, code: str) -> str:
        """Return the text for *code* in an *area*, a plugin's where the catalogue has none."""
        known = catalogue().get(area, {}).get(code)
        return known or self.own.get(area, {}).get(code, "")

    def word(self, area: str, code: str) -> str:
        """Return the word for *code* in an *area* of the catalogue, or the code itself."""
        return self.text(area, code) or code.replace("-", " ")

    def term(self, code: str) -> str:
        """Return the wiring code's own word, or the catalogue's."""
        other = "circuit" if code == "branch" else code
        return self.terms.get(code) or self.terms.get(other) or self.word("terms", code)

    def name(self, one: str) -> str:
        """Return the words for an id, or the id."""
        return self.names.get(one) or catalogue().get("places", {}).get(one, one)

    def names_of(self, ids: Iterable[str]) -> str:
        """Return the words for *ids* as a list in a sentence."""
        return listed(self.name(one) for one in ids)

    def subject(self, ids: Iterable[str]) -> str:
        """Return what is concerned, each thing once: not its circuit or converter beside it."""
        named = dict.fromkeys(ids)
        own = [one for one in named if not set(self.serves.get(one, ())) & named.keys()]
        running = [self.name(one) for one in own if self.name(one).endswith(" running")]
        names = list(dict.fromkeys(capital(self.name(one)) for one in own))
        names = [one for one in names if not one.endswith(" running")]
        if len(self.machines) > 2 and set(self.machines) <= set(own):
            every = {capital(self.name(one)) for one in self.machines}
            names = ["All machines", *(one for one in names if one not in every)]
        return ", ".join(names) + (f" ({', '.join(running)})" if running else "")

    def value(self, part: Parameter, flags: Iterable[str] = ()) -> str:
        """Return a parameter as the reader reads it."""
        marks = set(flags)
        if "hide" in marks:
            return ""
        if isinstance(part.value, str):
            if part.name == "field":
                return self.field(part.value)
            if part.name == "method":
                return self.word("methods", part.value)
            return self.text("values", part.value) or self.name(part.value)
        toward = next(iter(marks & {"up", "down"}), "near")
        unit = "fraction" if "pct" in marks and not part.unit else part.unit
        return measure(part.value, unit, self.customs, toward=toward, shaft="hp" in marks)

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
            area: ``"findings"``, ``"assumptions"`` or ``"questions"``.
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

    def assumption(self, one: Assumption) -> str:
        """Return the text of an assumption."""
        return self.sentence("assumptions", one.code, one.parameters)

    def question(self, one: Question) -> str:
        """Return the text of a question, with its choices."""
        bare = f"Find out {self.field(one.field)}."
        text = self.sentence("questions", one.code, one.parameters, bare=bare)
        if one.choices:
            choices = (choice.replace("degC", "°C") for choice in one.choices)
            text += f" Answers: {', '.join(choices)}."
        return text

    def field(self, path: str) -> str:
        """Return the words for the last field of *path*."""
        names = [part.split("[", 1)[0] for part in path.split(".")]
        words = catalogue().get("fields", {})
        return words.get(".".join(names[-2:])) or words.get(names[-1]) or f"“{_spaced(names[-1])}”"


def clause(rule: str) -> str:
    """Return the id of a rule as it is cited: ``nec.430.22`` as ``NEC 430.22``."""
    book, _, place = rule.partition(".")
    return f"{book.upper()} {place}" if place and book.isalpha() else rule


def capital(text: str) -> str:
    """Return *text* with a capital letter in front."""
    return text[:1].upper() + text[1:]


def _spaced(name: str) -> str:
    return name.replace("_", " ").replace("-", " ")
