"""Finding plugins: asked for, sorted, reported."""

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from functools import cache
from typing import TYPE_CHECKING, Any, TypeVar, cast

import attrs
import pluggy

from ampwright import hookspecs
from ampwright.errors import (
    PluginConflictError,
    PluginContractError,
    PluginError,
    PluginLoadError,
)
from ampwright.method import ConversionMethod
from ampwright.region import Region
from ampwright.review import Review

if TYPE_CHECKING:
    from importlib.metadata import EntryPoint

GROUP = "ampwright"
REGION_PARTS = ("id", "edition", "editions", "family", "title", "terms", "rules", "tables")
REGION_CALLS = ("in_edition", "includes", "circuit", "service")
NOT_FINITE = frozenset(("nan", "inf", "infinity"))

Offer = TypeVar("Offer", Region, ConversionMethod, Review)


@attrs.frozen(kw_only=True)
class Offers:
    """What the plugins offer, by id, and which of them failed.

    Attributes:
        regions: Regions, sorted by id.
        methods: Methods, sorted by id.
        reviews: House rules, sorted by id.
        plugins: Name and version of the plugin behind each ``region:``, ``method:`` or ``review:``
            id.
        problems: What went wrong, each naming its plugin in ``path``.
    """

    regions: Mapping[str, Region]
    methods: Mapping[str, ConversionMethod]
    reviews: Mapping[str, Review]
    plugins: Mapping[str, tuple[str, str]]
    problems: tuple[PluginError, ...]


def name_of(plugin: object) -> str:
    """Return the name that messages use for *plugin*, never a memory address."""
    return str(getattr(plugin, "__name__", None) or type(plugin).__name__)


@cache
def own_version() -> str:
    """Return the version of ampwright that is installed."""
    from importlib.metadata import version  # noqa: PLC0415 - reads mail headers, slow to load

    return version("ampwright")


def _installed(block: Collection[str]) -> "list[EntryPoint]":
    from importlib.metadata import entry_points  # noqa: PLC0415 - likewise

    found = sorted(entry_points(group=GROUP), key=lambda entry: (entry.name, entry.value))
    return [entry for entry in found if entry.name not in block]


def _registered(
    manager: pluggy.PluginManager,
    plugins: Iterable[object],
    entries: "Iterable[EntryPoint]",
) -> Iterator[PluginError]:
    for plugin in plugins:
        try:
            manager.register(plugin, name=name_of(plugin))
        except Exception as error:  # a stranger's hooks may be of any shape
            yield PluginContractError(str(error), "hooks as specified", name_of(plugin))
    for entry in entries:
        try:
            plugin = entry.load()
        except (Exception, SystemExit) as error:  # a stranger's module may raise anything
            yield PluginLoadError(_said(error), "a plugin that can be imported", entry.name)
            continue
        try:
            manager.register(plugin, name=entry.name)
        except Exception as error:  # likewise
            yield PluginContractError(str(error), "hooks as specified", entry.name)


def _versions(entries: "Sequence[EntryPoint]") -> dict[str, str]:
    """Return the version behind each entry point; a distribution is asked once."""
    several = {id(entry.dist): entry.dist for entry in entries if entry.dist}
    found = {key: one.version for key, one in several.items()}
    return {entry.name: found.get(id(entry.dist), "") for entry in entries}


def _said(error: BaseException) -> str:
    return f"{type(error).__name__}: {error}"


def _misspelt(manager: pluggy.PluginManager) -> Iterator[PluginError]:
    """Yield the hooks that nobody asks for: pluggy finds them only when it is asked."""
    known = "ampwright_regions, ampwright_methods, ampwright_review"
    for name, hook in sorted(vars(manager.hook).items()):
        if isinstance(hook, pluggy.HookCaller) and not hook.has_spec():
            for answer in hook.get_hookimpls():
                yield PluginContractError(name, f"one of {known}", answer.plugin_name)


def _fault(offer: object, calls: Iterable[str], parts: Iterable[str]) -> str:
    """Return what *offer* lacks, or an empty text."""
    name = getattr(offer, "id", None)
    if not isinstance(name, str) or not name:
        return "an object with an id, a text"
    lacking = [call for call in calls if not callable(getattr(offer, call, None))]
    lacking += [part for part in parts if not hasattr(offer, part)]
    return f"an object that has {', '.join(lacking)}" if lacking else ""


def _unsound_table(offer: object, plugin: str) -> PluginContractError | None:
    """Return what is wrong with the tables that *offer* brings: a number that orders nothing."""
    for name, table in getattr(offer, "tables", {}).items():
        for number, row in enumerate(table.rows, 1):
            for column, cell in row.items():
                if cell.casefold().lstrip("+-") in NOT_FINITE:
                    wanted = f"finite numbers in the table {name}, row {number}, {column}"
                    return PluginContractError(cell, wanted, plugin, code="plugin.table_nonfinite")
    return None


def _judged(
    offer: object,
    plugin: str,
    calls: Iterable[str],
    parts: Iterable[str],
) -> PluginError | None:
    """Return why *offer* cannot be used, if so."""
    fault = _fault(offer, calls, parts)
    if fault:
        return PluginContractError(name_of(offer), fault, plugin)
    try:
        return _unsound_table(offer, plugin)
    except Exception as error:  # a stranger's tables may be of any shape
        return PluginContractError(_said(error), "tables as read_table gives them", plugin)


def _collected(
    manager: pluggy.PluginManager,
    hook: str,
    calls: Iterable[str],
    parts: Iterable[str],
    problems: list[PluginError],
) -> dict[str, tuple[Any, str]]:
    found: dict[str, tuple[Any, str]] = {}
    given = {name: index for index, (name, _) in enumerate(manager.list_name_plugin())}
    answers = getattr(manager.hook, hook).get_hookimpls()
    for answer in sorted(answers, key=lambda one: given[one.plugin_name]):
        plugin = answer.plugin_name
        try:
            offers = list(cast("Callable[[], Iterable[object]]", answer.function)())
        except (Exception, SystemExit) as error:  # a stranger's hook may raise anything
            problems.append(PluginContractError(_said(error), f"{hook}() that answers", plugin))
            continue
        for offer in offers:
            problem = _judged(offer, plugin, calls, parts)
            if problem is not None:
                problems.append(problem)
            elif (taken := str(getattr(offer, "id", ""))) in found:
                first = found[taken][1]
                problems.append(
                    PluginConflictError(taken, f"an id of its own; {first} offers it too", plugin)
                )
            else:
                found[taken] = (offer, plugin)
    return dict(sorted(found.items()))


def collect(plugins: Iterable[object], *, discover: bool, block: Collection[str] = ()) -> Offers:
    """Ask *plugins* and, with *discover*, the installed ones; a broken one is reported.

    Args:
        plugins: Modules or objects that carry hooks.
        discover: Ask the entry points of the group ``ampwright`` as well.
        block: Names of entry points that are not asked.

    Returns:
        What they offer; installed plugins come first, so that a stranger cannot take a built-in id.
    """
    manager = pluggy.PluginManager(GROUP)
    manager.add_hookspecs(hookspecs)
    entries = _installed(block) if discover else []
    problems = [*_registered(manager, (), entries), *_registered(manager, plugins, ())]
    problems += _misspelt(manager)
    regions = _collected(manager, "ampwright_regions", REGION_CALLS, REGION_PARTS, problems)
    methods = _collected(
        manager, "ampwright_methods", ("answer", "settle"), ("shared", "converts"), problems
    )
    reviews = _collected(manager, "ampwright_review", ("review",), (), problems)
    versions = _versions(entries)
    behind = {
        f"{kind}:{one}": (plugin, versions.get(plugin, ""))
        for kind, offers in (("region", regions), ("method", methods), ("review", reviews))
        for one, (_, plugin) in offers.items()
    }
    return Offers(
        regions={one: offer for one, (offer, _) in regions.items()},
        methods={one: offer for one, (offer, _) in methods.items()},
        reviews={one: offer for one, (offer, _) in reviews.items()},
        plugins=behind,
        problems=tuple(problems),
    )
