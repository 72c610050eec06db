"""A planner with its own plugins, and the default one behind the module's functions."""

import re
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from functools import cache, partial
from importlib import import_module
from pathlib import Path
from types import ModuleType
from typing import cast

import attrs

from ampwright.decision import Decision
from ampwright.discovery import Available, available, digest
from ampwright.errors import (
    ConsistencyError,
    InputError,
    LimitError,
    PluginContractError,
    PluginError,
    PluginLoadError,
)
from ampwright.finding import Assumption, Finding, parameters
from ampwright.guard.border import contained
from ampwright.hookspecs import hookimpl
from ampwright.method import ConversionMethod
from ampwright.records.shop import Shop
from ampwright.region import Region
from ampwright.registry import Offers, collect
from ampwright.result import Plan

DEFAULT_REGION = "us"
#: A plugin may ask for one plan of its own while it is asked; a plugin in that plan may not.
DEEPEST = 2
_CODE = re.compile(r"\[([a-z]+\.[a-z_-]+)\]$")
_depth: ContextVar[int] = ContextVar("ampwright_depth", default=0)


def _loaded(name: str) -> ModuleType:
    """Return a part of the library; a program that plans nothing, but reads plans, loads none."""
    return import_module(f"ampwright.{name}")


class _Given:
    """A region that was handed over as an object, in the shape of a plugin."""

    def __init__(self, region: Region, place: str = "") -> None:
        self.region = region
        self.__name__ = f"region-{region.id} {f'from {place}' if place else 'handed over'}"

    @hookimpl
    def ampwright_regions(self) -> Sequence[Region]:
        """Offer the one region."""
        return [self.region]


def _shaped(one: object, pins: Mapping[str, str]) -> object:
    """Return *one* in the shape of a plugin; a folder is read here, and nothing in it is run."""
    if isinstance(one, str | Path):
        region = _loaded("families.folder").region_from_folder(one)
        wanted, found = pins.get(region.id), digest(one) if pins else ""
        if wanted is not None and wanted != found:
            said = f"the content that was pinned, with the digest {wanted}"
            raise PluginLoadError(found, said, Path(one).name, code="plugin.digest")
        return _Given(region, Path(one).name)
    return _Given(cast("Region", one)) if hasattr(one, "in_edition") else one


#: What people call a region, and its id.
OTHER_NAMES = {
    **dict.fromkeys(("usa", "u.s.", "united states", "america", "nec"), "us"),
    **dict.fromkeys(("uk", "u.k.", "england", "britain", "great britain", "united kingdom"), "gb"),
    **dict.fromkeys(("germany", "deutschland"), "de"),
    **dict.fromkeys(("france",), "fr"),
    **dict.fromkeys(("brazil", "brasil"), "br"),
}


class Engine:
    """A planner with a plugin set of its own.

    Args:
        plugins: Modules or objects with hooks, regions as they are, or folders of data-only
            regions, as paths or texts.
        discover: Ask the installed plugins, the built-in ones among them.
        block: Names of entry points that are not asked.
        strict: Raise the first problem of a plugin instead of reporting it.
        allow: Names of the only entry points from outside that are asked, and even imported;
            ``None``: all.
        isolate: Ask methods, regions, house rules and checks from outside in processes of their
            own, which are ended after this time [s]; ``None``: they are asked here, where nothing
            can end them. A region that is data only runs no code of its own and stays here.
        pins: For each region id the digest of its folder of data; another content is not used.

    Raises:
        PluginError: With *strict*, the first plugin that cannot be used.
    """

    def __init__(
        self,
        plugins: Iterable[object] = (),
        *,
        discover: bool = True,
        block: Collection[str] = (),
        strict: bool = False,
        allow: Collection[str] | None = None,
        isolate: float | None = None,
        pins: Mapping[str, str] | None = None,
    ) -> None:
        wrapped: list[object] = []
        broken: list[PluginError] = []
        for one in plugins:
            try:
                with contained(type(one).__name__):
                    wrapped.append(_shaped(one, pins or {}))
                if isinstance(one, str | Path):
                    broken += _loaded("families.folder").remarks(one)
            except PluginError as error:
                broken.append(error)
            except Exception as error:  # what is handed over may raise when it is looked at
                said = f"{type(error).__name__}: {error}"
                broken.append(PluginContractError(said, "a plugin or region", type(one).__name__))
        offers = collect(wrapped, discover=discover, block=block, allow=allow)
        self._offers = attrs.evolve(offers, problems=(*broken, *offers.problems))
        self._raised: dict[str, PluginError] = {}
        self._deadline_s = isolate
        if strict and self._offers.problems:
            raise self._offers.problems[0]

    @property
    def problems(self) -> tuple[PluginError, ...]:
        """What went wrong with plugins, each naming its plugin; last the methods that raised."""
        return (*self._offers.problems, *self._raised.values())

    def available(self) -> tuple[Available, ...]:
        """Return every plugin that is installed, those that are not asked among them."""
        return available(self._offers.asked)

    @staticmethod
    def digest(folder: str | Path) -> str:
        """Return the digest of a folder of data, for ``pins``."""
        return digest(folder)

    def regions(self) -> Mapping[str, Region]:
        """Return the regions by id."""
        return self._offers.regions

    def methods(self) -> Mapping[str, ConversionMethod]:
        """Return the methods by id."""
        return self._offers.methods

    def offered(self, kind: str) -> Mapping[str, object]:
        """Return what the plugins offer of one *kind*, ``region``, ``method`` or ``review``."""
        found: Mapping[str, Mapping[str, object]] = {
            "region": self._offers.regions,
            "method": self._offers.methods,
            "review": self._offers.reviews,
        }
        return found[kind]

    def plugin_behind(self, kind: str, one: str) -> str:
        """Return the name of the plugin that offers what has the id *one*."""
        return self._offers.plugins[f"{kind}:{one}"][0]

    def plan(
        self,
        shop: Shop,
        *,
        region: str | None = None,
        methods: Collection[str] | None = None,
        limits: Mapping[str, float] | None = None,
        prices: Mapping[str, Mapping[str, float | str]] | None = None,
        check: bool = True,
    ) -> Plan:
        """Return the plan for *shop*; one that cannot be done is a plan like any other.

        Args:
            shop: What the caller states.
            region: Id of a region, ``"us"``, or with an edition, ``"us@2020"``.
            methods: Ids of the methods to weigh; all of them where none are named.
            limits: Limits by name that replace the built-in ones, for example
                ``{"run-up-time": 8.0}``; the names stand in the reference.
            prices: Prices by method id that replace the built-in rough ones.
            check: Derive every rule and number a second time and put the outcome into the plan.

        Raises:
            InputError: The shop is no `Shop`; an unknown region, edition, method or price.
            ConsistencyError: No region is stated and the default does not know such supplies.
            LimitError: A plugin asked for a plan, and a plugin asked for one while that was made.
            InternalError: A plugin changed what it was asked.
        """
        if not isinstance(shop, Shop):
            wanted = "a Shop; load_shop() reads files, Shop.from_dict() mappings"
            raise InputError(type(shop).__name__, wanted, "shop", code="type.shop")
        code, assumed, failed = self._region(shop, region)
        offers = self._narrowed(methods)
        rough = _loaded("planning.costs").built_in()
        known = {*rough.by_method, rough.currency, *self._offers.methods}
        unknown = sorted(set(prices or ()) - known)
        if unknown:
            wanted = f"prices of some of {', '.join(self._offers.methods)}"
            raise InputError(unknown[0], wanted, "prices", code="method.unknown")
        try:
            currency = _loaded("planning.currencies").currency_of(shop)
            costs = _loaded("planning.costs").stated(prices, currency)
        except (KeyError, TypeError, ValueError) as error:
            wanted = "numbers under fixed, per_kw, labour, low, high; a rate under USD"
            raise InputError(str(error), wanted, "prices", code="prices.form") from error
        bounds = _loaded("planning.bounds").bounded(limits)
        planner = _loaded("planning.procedure")
        decision, unasked = self._decided(planner, shop, code, offers, costs, bounds)
        decision = _loaded("planning.sensitivity").sensitivity(decision)
        failed += (*unasked, *self._failed(decision))
        findings = [*decision.findings, *self._reported(), *self._kept(failed)]
        for review in offers.reviews.values():
            guard = _loaded("guard.strangers")
            findings += self._kept(guard.reviewed(review, decision, self._deadline_s))
        decision = attrs.evolve(
            decision,
            findings=tuple(findings),
            assumptions=(*assumed, *decision.assumptions),
        )
        if check:
            decision = attrs.evolve(decision, checks=self._objections(decision, code))
        return Plan.of(decision)

    def _decided(
        self, planner: ModuleType, shop: Shop, code: Region, offers: Offers, costs: object,
        bounds: object,
    ) -> tuple[Decision, tuple[Finding, ...]]:  # fmt: skip
        """Return the decision and what could not be asked; the rest is asked through a guard."""
        asked, judge, failed = offers, code, ()
        strange = offers.strange("region", code.id)
        if not strange and not any(offers.strange("method", one) for one in offers.methods):
            with _one_deeper():
                return planner.decide(shop, judge, asked, costs, bounds), failed
        guard, outsider = _loaded("guard.strangers"), _loaded("guard.outsider")
        asked, failed = guard.guarded(offers, self._deadline_s)
        if strange:
            try:
                judge = guard.GuardedRegion.of(code, self._deadline_s)
            except Exception as error:  # a stranger's region may raise when it is looked at
                raise _unfit(code.id, error) from error
        try:
            with _one_deeper():
                decision = planner.decide(shop, judge, asked, costs, bounds)
        finally:
            outsider.ended(guard.outsiders(asked, judge))
        return decision, failed

    def verify(self, plan: Decision) -> tuple[Finding, ...]:
        """Return what the independent check objects to *plan*: breaches, and sizes too large.

        Tables and rules are those of the region that the plan names, in its edition; where this
        engine does not have it, the answer says that its tables were not at hand.
        """
        region = self._offers.regions.get(plan.region.id)
        try:
            with contained(f"region-{plan.region.id}"):
                edition = plan.region.edition
                if region is None or edition not in region.editions:
                    region = None
                elif region.edition != edition:
                    region = region.in_edition(edition)
        except Exception:  # a stranger's region may raise anything; then its tables are not at hand
            region = None
        return self._objections(plan, region)

    def _objections(self, decision: Decision, region: Region | None) -> tuple[Finding, ...]:
        checker = _loaded("verification.verify")
        strange = region is not None and self._offers.strange("region", region.id)
        own = None
        try:
            with contained(f"region-{decision.region.id}"):
                tables = region.tables if region is not None else {}
                stated, check = getattr(region, "stated", None), getattr(region, "check", None)
                if check is not None and strange:
                    outsider = _loaded("guard.outsider")
                    own = outsider.Outsider(
                        region, f"region-{decision.region.id}", self._deadline_s
                    )
                    check = partial(own.ask, "check")
                found: tuple[Finding, ...] = checker.verify(decision, tables, stated, check)
        except Exception as error:  # a stranger's tables, or a plan from elsewhere, of any shape
            said = parameters(lacking=f"{type(error).__name__}: {error}")
            found = (Finding(code="check.not-checked", severity="caution", parameters=said),)
        if own is not None:
            outsider.ended((own,))
        return found

    def _region(
        self, shop: Shop, asked: str | None
    ) -> tuple[Region, tuple[Assumption, ...], tuple[Finding, ...]]:
        known = self._offers.regions
        if not known:
            wanted = "an installed region; a checkout has its plugins only once it is installed"
            raise InputError(None, wanted, "region", code="region.none")
        name = asked or shop.region
        assumed: tuple[Assumption, ...] = ()
        failed: tuple[Finding, ...] = ()
        if name is None:
            fitting, failed = _fitting(known, shop)
            if DEFAULT_REGION not in fitting:
                wanted = f"a region; this supply occurs in {', '.join(fitting) or 'none known'}"
                raise ConsistencyError(None, wanted, "region", code="region.missing")
            name = DEFAULT_REGION
            said = parameters(region=known[name].title)
            assumed = (Assumption(code="region.assumed", where=("supply",), parameters=said),)
        stem, _, edition = name.partition("@")
        if stem not in known:
            broken = [one.path for one in self._offers.problems]
            hint = f"; these plugins failed: {', '.join(broken)}" if broken else ""
            others = "; other countries are plugins of their own, ampwright-region-..."
            wanted = f"one of {', '.join(known)}{hint or others}"
            remedy = _meant_region(stem, known)
            raise InputError(name, wanted, "region", code="region.unknown", remedy=remedy)
        if not edition:
            return known[stem], assumed, failed
        try:
            with contained(f"region-{stem}"):
                editions = tuple(known[stem].editions)
                found = known[stem].in_edition(edition) if edition in editions else None
        except Exception as error:  # a stranger's region may raise anything
            raise _unfit(name, error) from error
        if found is None:
            wanted = f"one of the editions {', '.join(editions)}"
            raise InputError(name, wanted, "region", code="region.edition")
        return found, assumed, failed

    def _narrowed(self, methods: Collection[str] | None) -> Offers:
        if methods is None:
            return self._offers
        unknown = sorted(set(methods) - set(self._offers.methods))
        if unknown:
            wanted = f"some of {', '.join(self._offers.methods)}"
            raise InputError(unknown[0], wanted, "methods", code="method.unknown")
        kept = {name: one for name, one in self._offers.methods.items() if name in methods}
        return attrs.evolve(self._offers, methods=kept)

    def _kept(self, findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
        """Return *findings*; the plugins that they name for raising are problems from now on."""
        for one in findings:
            if one.code == "plugin.failed":
                said = {part.name: str(part.value) for part in one.parameters}
                self._raised.setdefault(said["plugin"], _problem(said["plugin"], said["error"]))
        return findings

    @staticmethod
    def _failed(decision: Decision) -> tuple[Finding, ...]:
        """Return a finding for each plugin that raised while it was asked."""
        found: dict[str, Finding] = {}
        for option in decision.options:
            reasons = [reason for one in option.refusals for reason in one.reasons]
            for one in (*reasons, *option.findings):
                if one.code == "plugin.failed":
                    name = next(str(part.value) for part in one.parameters if part.name == "plugin")
                    found.setdefault(name, attrs.evolve(one, severity="caution", where=(name,)))
        return tuple(found.values())

    def _reported(self) -> tuple[Finding, ...]:
        return tuple(
            Finding(
                code=one.code,
                severity="caution",
                where=(one.path,),
                parameters=parameters(plugin=one.path, error=str(one)),
            )
            for one in self._offers.problems
        )


def _problem(plugin: str, error: str) -> PluginError:
    """Return the problem behind the text of what a plugin raised; its code ends the text."""
    code = _CODE.search(error)
    if code is None or code[1] in ("plugin.raised", "plugin.timeout", "plugin.died"):
        return PluginError(error, "an answer", plugin, code=code[1] if code else "plugin.raised")
    return PluginContractError(error, "a sound answer", plugin, code=code[1])


@contextmanager
def _one_deeper() -> Iterator[None]:
    """Count how deep plans stand in each other, and end it."""
    depth = _depth.get() + 1
    if depth > DEEPEST:
        wanted = f"plans at most {DEEPEST} deep, one inside the other"
        raise LimitError(depth, wanted, "plan", code="plugin.recursion")
    mark = _depth.set(depth)
    try:
        yield
    finally:
        _depth.reset(mark)


def _fitting(known: Mapping[str, Region], shop: Shop) -> tuple[list[str], tuple[Finding, ...]]:
    """Return the regions where the supply occurs, and a finding for each that could not say so."""
    fitting, failed = [], []
    for name, one in known.items():
        try:
            with contained(f"region-{name}"):
                if one.includes(shop.supply):
                    fitting.append(name)
        except Exception as error:  # a stranger's region may raise anything
            failed.append(_loaded("guard.strangers").failure(f"region-{name}", error))
    return fitting, tuple(failed)


def _meant_region(name: str, known: Iterable[str]) -> str:
    """Return the remedy that names the region that *name* probably means, or ``""``."""
    plain = name.strip().casefold()
    found = OTHER_NAMES.get(plain, plain)
    if found not in known and found == plain:
        return ""
    there = "" if found in known else " Its plugin is not installed here"
    return f'did you mean "{found}"?{there}'


def _unfit(region: str, error: Exception) -> InputError:
    """Return what is said of a region that raises when it is looked at."""
    wanted = f"a region that works; this one failed: {type(error).__name__}: {error}"
    return InputError(region, wanted, "region", code="region.unknown")


@cache
def default() -> Engine:
    """Return the engine behind the module's functions: built-in and installed plugins."""
    return Engine()


def plan(
    shop: Shop,
    *,
    region: str | None = None,
    methods: Collection[str] | None = None,
    limits: Mapping[str, float] | None = None,
    prices: Mapping[str, Mapping[str, float | str]] | None = None,
    check: bool = True,
) -> Plan:
    """Return the plan for *shop*, made by the default engine; see `Engine.plan`."""
    return default().plan(
        shop, region=region, methods=methods, limits=limits, prices=prices, check=check
    )


def verify(plan: Decision) -> tuple[Finding, ...]:
    """Return what the independent check objects to *plan*; see `Engine.verify`."""
    return default().verify(plan)
