"""Finding plugins: asked for, sorted, reported."""

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from functools import cache
from importlib import import_module
from typing import Any, NamedTuple, cast

import attrs
import pluggy

from ampwright import hookspecs
from ampwright.bounds import hint
from ampwright.discovery import GROUP, copies, installed, is_built_in, labels, versions
from ampwright.entry_points import EntryPoint, distributions
from ampwright.errors import (
    PluginConflictError,
    PluginContractError,
    PluginError,
    PluginLoadError,
    shown,
)
from ampwright.guard.border import contained
from ampwright.interface import ATTRIBUTE, misfit
from ampwright.method import ConversionMethod
from ampwright.record import Record
from ampwright.region import Region
from ampwright.review import Review
from ampwright.table_order import ID, SHORTEST_REGION, region_faults, word_faults
from ampwright.validity import Validity

#: Area, code and text of what a plugin says in words.
Texts = tuple[tuple[str, str, str], ...]
HOOKS = ("ampwright_regions", "ampwright_methods", "ampwright_review")


class Kind(NamedTuple):
    """What plugins offer through one hook.

    Attributes:
        name: Word for it in keys.
        hook: Name of the hook.
        calls: What an offer must be able to be asked.
        parts: What it must have beside.
    """

    name: str
    hook: str
    calls: tuple[str, ...]
    parts: tuple[str, ...]


REGIONS = Kind("region", HOOKS[0], ("in_edition", "includes", "circuit", "service"),
               ("id", "edition", "editions", "family", "title", "terms", "rules",
                "tables"))  # fmt: skip
METHODS = Kind("method", HOOKS[1], ("answer", "settle"), ("shared", "converts"))
REVIEWS = Kind("review", HOOKS[2], ("review",), ())


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Offers(Record):
    """What the plugins offer, by id, and which of them failed.

    Attributes:
        regions: Regions, sorted by id.
        methods: Methods, sorted by id.
        reviews: House rules, sorted by id.
        plugins: Name and version of the plugin behind each ``region:``, ``method:`` or ``review:``
            id.
        built_in: Names of the plugins that come with the library.
        asked: Names of the entry points that were asked.
        texts: Texts for reports by the name of the plugin that brings them: area, code, text.
        problems: What went wrong, each naming its plugin in ``path``.
    """

    regions: Mapping[str, Region]
    methods: Mapping[str, ConversionMethod]
    reviews: Mapping[str, Review]
    plugins: Mapping[str, tuple[str, str]]
    built_in: frozenset[str] = frozenset()
    asked: frozenset[str] = frozenset()
    texts: Mapping[str, tuple[tuple[str, str, str], ...]] = attrs.field(factory=dict)
    problems: tuple[PluginError, ...]

    def strange(self, kind: str, one: str) -> bool:
        """Tell whether the offer *one* of a *kind* comes from outside."""
        return self.plugins.get(f"{kind}:{one}", ("", ""))[0] not in self.built_in


def name_of(plugin: object) -> str:
    """Return the name that messages use for *plugin*, never a memory address."""
    return str(getattr(plugin, "__name__", None) or type(plugin).__name__)


@cache
def own_version() -> str:
    """Return the version of ampwright that is installed."""
    found = distributions("ampwright")
    if not found:  # not installed, which the library says in words
        import_module("importlib.metadata").version("ampwright")
    return found[0].version


def _wanted(block: Collection[str], allow: Collection[str] | None) -> list[EntryPoint]:
    return [
        entry
        for entry in installed()
        if entry.name not in block and (allow is None or entry.name in allow or is_built_in(entry))
    ]


def _registered(
    manager: pluggy.PluginManager,
    plugins: Iterable[object],
    entries: Iterable[EntryPoint],
) -> Iterator[PluginError]:
    for plugin in plugins:
        stated = getattr(plugin, ATTRIBUTE, None)
        problem = None if stated is None else misfit(stated, name_of(plugin))
        yield from [problem] if problem else _taken_in(manager, plugin, name_of(plugin))
    for entry in entries:
        twice = copies(entry)
        if twice is not None:
            yield twice
            continue
        try:
            with contained(entry.name):
                plugin = entry.load()
        except Exception as error:  # a stranger's module may raise anything
            yield PluginLoadError(_said(error), "a plugin that can be imported", entry.name)
            continue
        stated = getattr(plugin, ATTRIBUTE, None)
        free = stated is None and (entry.dist is None or is_built_in(entry))
        problem = None if free else misfit(stated, entry.name)
        yield from [problem] if problem else _taken_in(manager, plugin, entry.name)


def _taken_in(manager: pluggy.PluginManager, plugin: object, name: str) -> Iterator[PluginError]:
    try:
        manager.register(plugin, name=name)
    except Exception as error:  # a stranger's hooks may be of any shape
        yield PluginContractError(str(error), "hooks as specified", name)


def _said(error: BaseException) -> str:
    return f"{type(error).__name__}: {error}"


def _misspelt(manager: pluggy.PluginManager) -> Iterator[PluginError]:
    """Yield the hooks that nobody asks for: pluggy finds them only when it is asked."""
    for name, hook in sorted(vars(manager.hook).items()):
        if isinstance(hook, pluggy.HookCaller) and not hook.has_spec():
            for answer in hook.get_hookimpls():
                wanted, remedy = f"one of {', '.join(HOOKS)}", hint(name, HOOKS)
                yield PluginContractError(name, wanted, answer.plugin_name, remedy=remedy)


def _judged(offer: object, plugin: str, kind: Kind) -> PluginError | None:
    """Return why *offer* cannot be used, if so."""
    name = getattr(offer, "id", None)
    if not isinstance(name, str) or not name:
        return PluginContractError(name_of(offer), "an object with an id, a text", plugin)
    lacking = [call for call in kind.calls if not callable(getattr(offer, call, None))]
    lacking += [part for part in kind.parts if not hasattr(offer, part)]
    if lacking:
        wanted = f"an object that has {', '.join(lacking)}"
        return PluginContractError(name_of(offer), wanted, plugin)
    least = SHORTEST_REGION if kind is REGIONS else 1
    if not ID.fullmatch(name) or len(name) < least:
        wanted = f"an id of {least} to 40 small letters, digits and hyphens"
        return PluginContractError(name, wanted, plugin, code="plugin.id")
    stated = getattr(offer, "validity", None)
    if stated is not None and not (isinstance(stated, Validity) and stated.sound()):
        wanted = "a Validity with ranges and a source"
        return PluginContractError(shown(stated), wanted, plugin, code="plugin.provenance")
    return _unreadable(offer, plugin)


def _unreadable(offer: object, plugin: str) -> PluginError | None:
    """Return what is wrong with the texts that *offer* brings for reports."""
    try:
        texts = list(_stated_texts(offer))
    except AttributeError:
        wanted = "texts as a mapping of areas to mappings of codes to texts"
        return PluginContractError(shown(getattr(offer, "texts", None)), wanted, plugin)
    words = ((f"the text of {code} in {area}", text) for area, code, text in texts)
    fault = next(word_faults(words), None)
    if fault is None:
        return None
    return PluginContractError(fault.found, fault.wanted, plugin, code=fault.code)


def _unsound(region: object, plugin: str) -> PluginError | None:
    """Return the first thing that is wrong with the tables and words of a *region*."""
    try:
        fault = next(iter(region_faults(region)), None)
    except Exception as error:  # a stranger's tables may be of any shape
        return PluginContractError(_said(error), "tables as read_table gives them", plugin)
    if fault is None:
        return None
    return PluginContractError(fault.found, fault.wanted, plugin, code=fault.code)


def _asked(answer: Any, hook: str) -> Sequence[object] | PluginError:  # noqa: ANN401 - pluggy's own
    """Return what one hook offers, or why that is no answer."""
    plugin = answer.plugin_name
    try:
        with contained(plugin):
            offers = cast("Callable[[], object]", answer.function)()
    except Exception as error:  # a stranger's hook may raise anything
        return PluginContractError(_said(error), f"{hook}() that answers", plugin)
    if offers is None:
        wanted = f"a list from {hook}(), empty where there is nothing"
        return PluginContractError(None, wanted, plugin, code="plugin.no_answer")
    if not isinstance(offers, list | tuple):
        return PluginContractError(type(offers).__name__, f"a list from {hook}()", plugin)
    return offers


def _looked_at(offer: object, plugin: str, kind: Kind) -> PluginError | None:
    """Return the first thing that is wrong with an *offer* from outside."""
    try:
        with contained(plugin):
            problem = _judged(offer, plugin, kind)
            if problem is None and kind is REGIONS:
                problem = _unsound(offer, plugin)
    except Exception as error:  # a stranger's object may raise when it is looked at
        problem = PluginContractError(_said(error), "an offer that can be looked at", plugin)
    return problem


class _Collection:
    """What is offered through one hook, while the plugins are asked."""

    def __init__(self, kind: Kind, built_in: Collection[str], names: Mapping[str, str]) -> None:
        self.kind, self.built_in, self.names = kind, built_in, names
        self.found: dict[str, tuple[Any, str]] = {}
        self.texts: dict[str, Texts] = {}
        self.problems: list[PluginError] = []
        self._disputed: dict[str, str] = {}

    def ask(self, manager: pluggy.PluginManager) -> None:
        """Ask every plugin, in the order in which they were given."""
        given = {name: index for index, (name, _) in enumerate(manager.list_name_plugin())}
        answers = getattr(manager.hook, self.kind.hook).get_hookimpls()
        for answer in sorted(answers, key=lambda one: given[one.plugin_name]):
            offers = _asked(answer, self.kind.hook)
            if isinstance(offers, PluginError):
                self.problems.append(offers)
                continue
            for offer in offers:
                self.take(offer, answer.plugin_name)

    def take(self, offer: object, plugin: str) -> None:
        """Take one offer in, unless it is unsound or its id is taken."""
        texts: Texts = ()
        if plugin not in self.built_in:  # those are held to it by the tests, and read when asked
            try:
                with contained(plugin):
                    problem = _looked_at(offer, plugin, self.kind)
                    texts = () if problem else tuple(_stated_texts(offer))
            except Exception as error:  # a stranger's texts may raise when they are read again
                problem = PluginContractError(_said(error), "texts that can be read", plugin)
            if problem is not None:
                self.problems.append(problem)
                return
        name = str(getattr(offer, "id", ""))
        first = self._disputed.get(name) or self.found.get(name, (None, ""))[1]
        if not first or self.picked(plugin, first):
            self.found[name], self.texts[name] = (offer, plugin), texts
            self._disputed.pop(name, None)
            return
        if first in self.built_in:
            wanted, remedy = f"an id of its own; {self.label(first)} offers it too", ""
        else:
            # two strangers claim one id: which is right is not ours to say
            self.found.pop(name, None)
            self._disputed[name] = first
            wanted = f"an id of its own; {self.label(first)} and {self.label(plugin)} offer it"
            remedy = f"neither is used; block {first} or {plugin}"
        self.problems.append(PluginConflictError(name, wanted, plugin, remedy=remedy))

    def picked(self, plugin: str, first: str) -> bool:
        """Tell whether the host handed *plugin* over where *first* is merely installed."""
        return first in self.names and plugin not in self.names and plugin not in self.built_in

    def label(self, plugin: str) -> str:
        """Return name, distribution and version of a plugin."""
        return self.names.get(plugin, plugin)


def _stated_texts(offer: object) -> Iterator[tuple[str, str, str]]:
    """Yield area, code and text of what an offer says in words."""
    for area, texts in (getattr(offer, "texts", None) or {}).items():
        for code, text in texts.items():
            yield area, code, text


def _texts(collections: "Iterable[_Collection]") -> dict[str, Texts]:
    """Return the texts that each plugin brings, sorted."""
    found: dict[str, set[tuple[str, str, str]]] = {}
    for one in collections:
        for name, (_, plugin) in one.found.items():
            if one.texts[name]:  # those of the built-in ones stand among the texts of the reports
                found.setdefault(plugin, set()).update(one.texts[name])
    return {plugin: tuple(sorted(texts)) for plugin, texts in found.items()}


def collect(
    plugins: Iterable[object],
    *,
    discover: bool,
    block: Collection[str] = (),
    allow: Collection[str] | None = None,
) -> Offers:
    """Ask *plugins* and, with *discover*, the installed ones; a broken one is reported.

    Args:
        plugins: Modules or objects that carry hooks.
        discover: Ask the entry points of the group ``ampwright`` as well.
        block: Names of entry points that are not asked.
        allow: Names of the only entry points from outside that are asked; ``None``: all.

    Returns:
        What they offer; installed plugins come first, so that a stranger cannot take a built-in id.
        What the host hands over stands in the place of an installed stranger of the same id; of two
        strangers that claim one id neither is used.
    """
    manager = pluggy.PluginManager(GROUP)
    manager.add_hookspecs(hookspecs)
    entries = _wanted(block, allow) if discover else []
    built_in = frozenset(entry.name for entry in entries if is_built_in(entry))
    problems = [*_registered(manager, (), entries), *_registered(manager, plugins, ())]
    problems += _misspelt(manager)
    named, numbers = labels(entries), versions(entries)
    collections = [_Collection(kind, built_in, named) for kind in (REGIONS, METHODS, REVIEWS)]
    behind = {}
    for one in collections:
        one.ask(manager)
        problems += one.problems
        for name, (_, plugin) in one.found.items():
            behind[f"{one.kind.name}:{name}"] = (plugin, numbers.get(plugin, ""))
    regions, methods, reviews = (
        {name: offer for name, (offer, _) in sorted(one.found.items())} for one in collections
    )
    return Offers(
        regions=regions,
        methods=methods,
        reviews=reviews,
        plugins=behind,
        built_in=built_in,
        asked=frozenset(entry.name for entry in entries),
        texts=_texts(collections),
        problems=tuple(problems),
    )
