"""Running the contracts of a plugin's offers without a test runner."""

from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from ampwright.conformance.methods import MethodContract
from ampwright.conformance.regions import RegionContract
from ampwright.conformance.reviews import ReviewContract
from ampwright.engine import Engine
from ampwright.errors import InputError, PluginError

BEGIN = "test_"


class Outcome(NamedTuple):
    """What became of a claim: on what, its words, and what is wrong, ``""`` if nothing."""

    subject: str
    claim: str
    wrong: str


def run(subject: str, contract: type) -> Iterator[Outcome]:
    """Yield the outcome of each claim of a *contract*, in the order in which they stand."""
    names = [name for cls in reversed(contract.__mro__) for name in vars(cls)]
    for name in dict.fromkeys(names):
        if not name.startswith(BEGIN):
            continue
        wrong = ""
        try:
            getattr(contract(), name)()
        except Exception as error:  # a claim that fails, and whatever a stranger raises
            said = str(error) if isinstance(error, AssertionError) else f"{error!r}"
            wrong = said or type(error).__name__
        yield Outcome(subject, name.removeprefix(BEGIN).replace("_", " "), wrong)


def contracts(engine: Engine, plugin: str, shops: int) -> Iterator[tuple[str, type]]:
    """Yield a contract for each thing that a *plugin* of an *engine* offers.

    Args:
        engine: An engine that knows it.
        plugin: Its name, as problems use it.
        shops: How many random shops each contract plans.
    """
    kinds: tuple[tuple[str, type, str], ...] = (
        ("region", RegionContract, "region"),
        ("method", MethodContract, "method"),
        ("review", ReviewContract, "house_rule"),
    )
    for kind, contract, field in kinds:
        for one, offer in engine.offered(kind).items():
            if engine.plugin_behind(kind, one) == plugin:
                own = {field: offer, "shops": shops}
                yield f"{kind} {one}", type("Contract", (contract,), own)


def inspected(name: str, shops: int) -> Iterator[Outcome]:
    """Yield the outcome of every claim on what a plugin offers.

    Args:
        name: Entry point of an installed plugin, or a folder of a region that is data only.
        shops: How many random shops each contract plans.

    Raises:
        PluginError: The plugin is not taken in.
        InputError: There is none of that name, or it offers nothing.
    """
    folder = Path(name)
    if folder.is_dir():
        engine = Engine([folder], strict=True, allow=())
        known = {one.path for one in engine.problems}
        plugins = {engine.plugin_behind("region", one) for one in engine.regions()} - known
        plugin = next(one for one in sorted(plugins) if one.endswith(f" from {folder.name}"))
    else:
        engine, plugin = Engine(), name
        if name not in {one.name for one in engine.available()}:
            names = ", ".join(one.name for one in engine.available())
            raise InputError(name, f"a folder, or one of {names}", "plugin", code="plugin.unknown")
        for problem in engine.problems:
            if problem.path == name:
                raise problem
    found = list(contracts(engine, plugin, shops))
    if not found:
        raise PluginError(name, "a plugin that offers something", name, code="plugin.no_answer")
    for subject, contract in found:
        yield from run(subject, contract)
