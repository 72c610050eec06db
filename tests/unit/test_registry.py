"""Plugins are found in a fixed order, each fault is its owner's, and the rest goes on."""

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from types import ModuleType

import pytest

from ampwright import discovery, registry
from ampwright.entry_points import EntryPoint
from ampwright.errors import PluginConflictError, PluginContractError, PluginLoadError
from ampwright.hookspecs import hookimpl
from ampwright.tables import Table

Entries = Callable[..., None]


class Named:
    """An object with an id and whatever a method needs, which nobody asks here."""

    shared = False
    converts = True

    def __init__(self, name: object) -> None:
        self.id = name

    def answer(self) -> None:
        """Stand for a method's answer."""

    def settle(self) -> None:
        """Stand for a method's second look."""


class Offering:
    """A plugin that offers methods."""

    def __init__(self, name: str, *offers: object) -> None:
        self.__name__ = name
        self.offers = offers

    @hookimpl
    def ampwright_methods(self) -> Sequence[object]:
        return self.offers


class Code:
    """An object that has all parts of a region, none of which is asked here."""

    id = "invented"
    edition = family = title = ""
    editions = ()
    terms: Mapping[str, str] = {}
    rules: Mapping[str, object] = {}
    in_edition = includes = circuit = service = staticmethod(lambda: None)

    def __init__(self, tables: Mapping[str, object]) -> None:
        self.tables = tables


class Country:
    """A plugin that offers one region."""

    def __init__(self, region: object) -> None:
        self.region = region
        self.__name__ = "country"

    @hookimpl
    def ampwright_regions(self) -> Sequence[object]:
        return [self.region]


def table(*cells: str) -> Table:
    """Return a table of one column."""
    rows = [{"a": cell} for cell in cells]
    return Table(id="sizes", heads={"source": "x"}, columns=["a"], rows=rows, known="practice")


@pytest.fixture
def install(monkeypatch: pytest.MonkeyPatch) -> Entries:
    """Return a call that makes the given pairs of name and module the installed entry points."""

    def made(*pairs: tuple[str, str]) -> None:
        entries = [EntryPoint(name, value) for name, value in pairs]
        monkeypatch.setattr(discovery, "entry_points", lambda _: entries)

    return made


def test_offers_stand_in_the_order_of_their_ids_whatever_the_order_of_plugins() -> None:
    one, two = Offering("one", Named("b"), Named("d")), Offering("two", Named("a"), Named("c"))
    for plugins in ([one, two], [two, one]):
        found = registry.collect(plugins, discover=False)
        assert list(found.methods) == ["a", "b", "c", "d"]
        assert found.problems == ()


def test_the_plugin_behind_each_offer_is_known() -> None:
    found = registry.collect([Offering("one", Named("b"))], discover=False)
    assert found.plugins == {"method:b": ("one", "")}


def test_installed_plugins_carry_the_version_of_their_distribution() -> None:
    found = registry.collect([], discover=True)
    name, version = found.plugins["method:rotary"]
    assert name == "method-rotary"
    assert version


def test_of_two_that_claim_one_id_neither_is_used_and_both_are_named() -> None:
    plugins = [Offering(name, Named("same"), Named(name)) for name in ("one", "two")]
    for given in (plugins, plugins[::-1]):
        found = registry.collect(given, discover=False)
        assert list(found.methods) == ["one", "two"]
        (problem,) = found.problems
        assert isinstance(problem, PluginConflictError)
        assert (problem.path, problem.value) == (given[1].__name__, "same")
        assert "one" in problem.expected
        assert "two" in problem.expected


def test_a_third_claim_does_not_settle_the_dispute_of_two() -> None:
    plugins = [Offering(name, Named("same")) for name in ("one", "two", "three")]
    found = registry.collect(plugins, discover=False)
    assert not found.methods
    assert [one.path for one in found.problems] == ["two", "three"]


def test_one_plugin_that_offers_an_id_twice_offers_it_not_at_all() -> None:
    found = registry.collect([Offering("one", Named("same"), Named("same"))], discover=False)
    assert not found.methods
    assert [one.path for one in found.problems] == ["one"]


def test_a_stranger_does_not_take_a_built_in_id() -> None:
    found = registry.collect([Offering("stranger", Named("drive"))], discover=True)
    assert type(found.methods["drive"]).__name__ == "Drive"
    assert [one.path for one in found.problems] == ["stranger"]


@pytest.mark.parametrize("name", [None, "", 5])
def test_an_offer_without_an_id_is_refused(name: object) -> None:
    found = registry.collect([Offering("one", Named(name), Named("sound"))], discover=False)
    assert list(found.methods) == ["sound"]
    (problem,) = found.problems
    assert isinstance(problem, PluginContractError)
    assert problem.path == "one"
    assert "id" in problem.expected


@pytest.mark.parametrize("part", ["answer", "settle", "shared", "converts"])
def test_an_offer_without_one_of_its_parts_is_refused_and_the_part_is_named(part: str) -> None:
    whole = {"id": "x", "answer": len, "settle": len, "shared": True, "converts": True}
    offer = type("Offer", (), {name: one for name, one in whole.items() if name != part})()
    found = registry.collect([Offering("one", offer)], discover=False)
    assert not found.methods
    assert f"has {part}" in found.problems[0].expected


def test_a_call_that_cannot_be_called_is_lacking() -> None:
    offer = Named("x")
    offer.answer = "yes"  # type: ignore[method-assign,assignment] # on purpose
    found = registry.collect([Offering("one", offer)], discover=False)
    assert "answer" in found.problems[0].expected


def test_a_region_is_taken_with_its_tables() -> None:
    found = registry.collect([Country(Code({"sizes": table("1", "2.5")}))], discover=False)
    assert list(found.regions) == ["invented"]


@pytest.mark.parametrize("cell", ["nan", "NaN", "inf", "-inf", "+Infinity"])
def test_a_table_with_a_number_that_orders_nothing_is_refused(cell: str) -> None:
    tables = {"sizes": table("1", "2.5", cell)}
    found = registry.collect([Country(Code(tables))], discover=False)
    assert not found.regions
    (problem,) = found.problems
    assert (problem.code, problem.path) == ("plugin.table_nonfinite", "country")
    assert "sizes, row 3" in problem.expected


def test_words_in_tables_are_no_numbers() -> None:
    """*Nan* may be part of a word, as in a name."""
    found = registry.collect([Country(Code({"sizes": table("nance", "info")}))], discover=False)
    assert not found.problems


def test_tables_of_another_shape_are_their_owners_problem() -> None:
    found = registry.collect([Country(Code({"sizes": "no table"}))], discover=False)
    assert not found.regions
    assert found.problems[0].path == "country"


def test_a_module_that_cannot_be_imported_is_named_and_the_rest_goes_on(install: Entries) -> None:
    install(("method-gone", "no.such.module"), ("method-drive", "ampwright.methods.drive"))
    found = registry.collect([], discover=True)
    assert list(found.methods) == ["drive"]
    (problem,) = found.problems
    assert isinstance(problem, PluginLoadError)
    assert problem.path == "method-gone"
    assert "ModuleNotFoundError" in str(problem)


def test_a_module_that_ends_the_program_does_not(
    install: Entries, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "leaves_at_once.py").write_text("raise SystemExit(3)\n", encoding="utf-8")
    monkeypatch.syspath_prepend(str(tmp_path))
    install(("method-leaves", "leaves_at_once"))
    found = registry.collect([], discover=True)
    assert [(type(one), one.path) for one in found.problems] == [(PluginLoadError, "method-leaves")]


def test_blocked_entry_points_are_not_even_imported(install: Entries) -> None:
    install(("method-gone", "no.such.module"))
    found = registry.collect([], discover=True, block=["method-gone"])
    assert found.problems == ()


def test_entry_points_are_asked_in_the_order_of_their_names(
    install: Entries, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    text = (
        "from ampwright.plugin import hookimpl\n"
        "class One:\n"
        "    id, shared, converts = 'same', False, True\n"
        "    def answer(self, case, machines): ...\n"
        "    def settle(self, case, proposal, circuits): ...\n"
        "@hookimpl\n"
        "def ampwright_methods():\n"
        "    return [One()]\n"
    )
    for name in ("first_of_two", "second_of_two"):
        (tmp_path / f"{name}.py").write_text(text, encoding="utf-8")
    monkeypatch.syspath_prepend(str(tmp_path))
    pairs = [("method-b", "second_of_two"), ("method-a", "first_of_two")]
    for order in (pairs, pairs[::-1]):
        install(*order)
        found = registry.collect([], discover=True)
        assert "method:same" not in found.plugins
        assert [one.path for one in found.problems] == ["method-b"]


def test_a_hook_with_an_argument_that_nobody_gives_is_refused() -> None:
    class Asking:
        @hookimpl
        def ampwright_methods(self, shop: object) -> list[object]:
            return []

    found = registry.collect([Asking(), Offering("sound", Named("a"))], discover=False)
    assert list(found.methods) == ["a"]
    assert [(type(one), one.path) for one in found.problems] == [(PluginContractError, "Asking")]


def test_a_hook_that_answers_no_list_is_reported() -> None:
    module = ModuleType("odd")
    module.ampwright_methods = hookimpl(lambda: None)  # type: ignore[attr-defined]
    found = registry.collect([module], discover=False)
    assert [one.path for one in found.problems] == ["odd"]


def test_one_plugin_given_twice_is_told_so() -> None:
    plugin = Offering("one", Named("a"))
    found = registry.collect([plugin, plugin], discover=False)
    assert list(found.methods) == ["a"]
    assert [one.path for one in found.problems] == ["one"]


def test_names_hold_no_memory_address() -> None:
    assert registry.name_of(Named("a")) == "Named"
    assert registry.name_of(registry) == "ampwright.registry"
