"""Forty ways in which a plugin can be at fault, each with the outcome that is promised.

The numbers are those of the list of plugin faults that door and guard were written to. Here stand
the faults that are found when plugins are taken in; those in their answers stand in
``test_plugin_faults_in_answers.py``.
"""

import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from importlib.metadata import entry_points
from pathlib import Path

import attrs
import pytest
from tests.embedding.strange_plugins import SHOP, engine, module

import ampwright as aw
import ampwright.regions.us
from ampwright.plugin import Source, Table, hookimpl
from ampwright.testing import EUROPE, random_shop

REGION_TEXT = """
from ampwright.families.folder import region_from_folder
from ampwright.plugin import hookimpl
ampwright_interface = "1.0"

@hookimpl
def ampwright_regions():
    return [region_from_folder({folder!r})]
"""
METHOD_TEXT = """
from ampwright.plugin import hookimpl
{version}

class Never:
    id, shared, converts = {id!r}, False, True
    def answer(self, case, machines): raise RuntimeError("asked")
    def settle(self, case, proposal, circuits): return proposal

@hookimpl
def ampwright_methods():
    return [Never()]
"""
US = ampwright.regions.us.ampwright_regions()[0]


@pytest.fixture
def installed(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Callable[..., None]:
    """Return a call that installs distributions by name, version and text of their module."""

    def install(name: str, text: str, *, version: str = "1.0", entry: str = "") -> None:
        place = tmp_path / f"{name}-{version}"
        package = name.replace("-", "_")
        info = place / f"{package}-{version}.dist-info"
        info.mkdir(parents=True)
        (place / f"{package}.py").write_text(text, encoding="utf-8")
        (info / "METADATA").write_text(f"Name: {name}\nVersion: {version}\n", encoding="utf-8")
        entry = entry or name.removeprefix("ampwright-")
        (info / "entry_points.txt").write_text(
            f"[ampwright]\n{entry} = {package}\n", encoding="utf-8"
        )
        monkeypatch.syspath_prepend(str(place))

    return install


@pytest.fixture
def country(tmp_path: Path) -> Path:
    """Return a folder of a region that is data only."""
    folder = tmp_path / "country"
    folder.mkdir()
    (folder / "manifest.toml").write_text(
        'schema = "ampwright.region/1"\nid = "zz"\nfamily = "iec"\n'
        'title = "Rules of nowhere"\neditions = ["1"]\n',
        encoding="utf-8",
    )
    return folder


def table(folder: Path, name: str, text: str, heads: str = "") -> None:
    """Write a table into a folder."""
    top = f"# source: Rules of nowhere; table 1\n# known: practice\n# status: invented\n{heads}"
    (folder / f"{name}.csv").write_text(top + text, encoding="utf-8")


def ampacities(folder: Path, *rows: str) -> None:
    """Write a table of ampacities of copper in PVC, method B2, two loaded."""
    lines = [f"x{n},pvc,2,copper,B2,{row},seen" for n, row in enumerate(rows)]
    head = "cell,insulation,loaded,material,method,size_mm2,iz_a,known\n"
    table(folder, "ampacity_b_52_2", head + "\n".join(lines) + "\n", "# units: A\n")


def problem(folder: Path) -> aw.PluginError:
    """Return what an engine says of a folder that it does not take."""
    made = engine(folder)
    assert "zz" not in made.regions()
    return made.problems[0]


def test_pf_01_import_fails(installed: Callable[..., None]) -> None:
    installed("ampwright-region-gone", "raise ImportError('no such library')")
    made = aw.Engine(allow=["region-gone"])
    (found,) = made.problems
    assert isinstance(found, aw.PluginLoadError)
    assert "no such library" in str(found)
    assert {"us", "iec"} <= set(made.regions())
    with pytest.raises(aw.InputError, match="region-gone") as caught:
        made.plan(SHOP, region="gone")
    assert caught.value.code == "region.unknown"


@pytest.mark.parametrize("hook", ["ampwright_methods", "ampwright_regions", "ampwright_review"])
def test_pf_05_hook_returns_none(hook: str) -> None:
    (found,) = engine(module("silent", **{hook: hookimpl(lambda: None)})).problems
    assert isinstance(found, aw.PluginContractError)
    assert (found.code, found.path) == ("plugin.no_answer", "silent")


@pytest.mark.parametrize("answer", [{"a": 1}, "text", iter("ab")], ids=type)
def test_pf_06_hook_returns_the_wrong_type(answer: object) -> None:
    (found,) = engine(module("odd", ampwright_methods=hookimpl(lambda: answer))).problems
    assert isinstance(found, aw.PluginContractError)
    assert found.value == type(answer).__name__
    assert "list" in found.expected


@pytest.mark.parametrize("cell", ["nan", "inf", "-41"])
def test_pf_09_number_that_is_none_or_negative_in_a_table(cell: str, country: Path) -> None:
    ampacities(country, "1.5,16.5", f"2.5,{cell}", "4,30")
    found = problem(country)
    assert isinstance(found, aw.PluginContractError)
    assert "ampacity_b_52_2" in str(found)
    assert "iz_a" in str(found) or "x1" in str(found)


def test_pf_09_number_that_is_none_in_a_region_made_by_code() -> None:
    bad = Table(id="sizes", heads={"source": "x; y"}, columns=["size", "limit_a"],
                rows=[{"size": "1", "limit_a": "-3"}], known="practice")  # fmt: skip
    found = engine(Changed({"sizes": bad})).problems[0]
    assert (found.code, found.value) == ("table.negative", "-3")
    assert "row 1, limit_a" in found.expected


def test_pf_10_ampacity_does_not_rise(country: Path) -> None:
    ampacities(country, "1.5,16.5", "2.5,23", "4,22")
    found = problem(country)
    assert isinstance(found, aw.PluginContractError)
    assert found.code == "table.not_monotone"
    assert "2.5 mm2: 23 A, 4 mm2: 22 A" in str(found)


def test_pf_10_both_rows_are_shown() -> None:
    rows = [{"size": "14", "cu_60c": "15"}, {"size": "12", "cu_60c": "15"}]
    found = engine(Changed({"ampacity": changed_table("ampacity", rows)})).problems[0]
    assert found.code == "table.not_monotone"
    assert "14: 15" in str(found.value)
    assert "12: 15" in str(found.value)


@pytest.mark.parametrize("factors", [("0.9", "0.95"), ("1.1", "1.05")])
def test_pf_11_factor_rises_with_temperature_or_is_above_one(factors: tuple[str, str]) -> None:
    rows = [{"from_c": "41", "to_c": "45", "f_60c": factors[0]},
            {"from_c": "46", "to_c": "50", "f_60c": factors[1]}]  # fmt: skip
    table_ = changed_table("ambient_factors", rows)
    found = engine(Changed({"ambient_factors": table_})).problems[0]
    assert found.code == "table.not_monotone"


def test_pf_12_hole_in_the_sizes() -> None:
    rows = [{"size": "14", "cu_60c": "15"}, {"size": "10", "cu_60c": "30"}]
    found = engine(Changed({"ampacity": changed_table("ampacity", rows)})).problems[0]
    assert found.code == "table.gap"
    assert "12" in str(found.value)
    declared = changed_table("ampacity", rows, series="sizes as sold in nowhere")
    assert engine(Changed({"ampacity": declared})).problems == ()


def test_pf_13_repeated_size() -> None:
    rows = [{"cell": "a", "size_mm2": "4", "iz_a": "30"}, {"cell": "b", "size_mm2": "4.0",
                                                           "iz_a": "31"}]  # fmt: skip
    found = engine(Changed({"ampacity_x": changed_table("ampacity_x", rows)})).problems[0]
    assert found.code == "table.repeated"


def test_pf_13_unsorted_rows_are_sorted_and_said(country: Path) -> None:
    table(country, "switch_ratings", "rating,rating_a\n63,63\n20,20\n", "# units: A\n")
    made = engine(country)
    assert [one.code for one in made.problems] == ["table.unsorted"]
    rows = made.regions()["zz"].tables["switch_ratings"].rows
    assert [row["rating"] for row in rows] == ["20", "63"]
    plan = made.plan(random_shop(1, EUROPE), region="zz")
    assert "table.unsorted" in {one.code for one in plan.findings}


def test_pf_14_empty_table(country: Path) -> None:
    ampacities(country)
    found = problem(country)
    assert isinstance(found, aw.PluginContractError)
    assert found.code == "table.empty"
    empty = changed_table("ampacity", [])
    assert engine(Changed({"ampacity": empty})).problems[0].code == "table.empty"


def test_pf_15_nothing_is_read_between_rows() -> None:
    table_ = US.tables["ambient_factors"]
    assert table_.number("12", "f_75c") is None
    shop = attrs.evolve(SHOP, site=aw.Site(ambient="30.4 degC"))
    plan = engine().plan(shop, methods=["drive"])
    assert plan.best is not None
    steps = [step for one in plan.best.circuits for step in one.steps
             if step.path.endswith("/ambient_factor")]  # fmt: skip
    bands = {step.cell[0] for step in steps}
    row = next(one for one in table_.rows if float(one["from_c"]) <= 31 <= float(one["to_c"]))
    assert bands == {row[table_.key]}, "30.4 degC counts as 31, in the direction that is safe"


def test_pf_16_two_plugins_with_one_region(installed: Callable[..., None], country: Path) -> None:
    text = REGION_TEXT.format(folder=str(country))
    installed("ampwright-region-one", text, version="1.1")
    installed("ampwright-region-two", text, version="2.2")
    names = ["region-one", "region-two"]
    made = aw.Engine(allow=names)
    (found,) = made.problems
    assert isinstance(found, aw.PluginConflictError)
    assert "ampwright-region-one 1.1" in found.expected
    assert "ampwright-region-two 2.2" in found.expected
    assert "zz" not in made.regions()
    picked = aw.Engine(allow=names, block=["region-one"])
    assert picked.problems == ()
    assert "zz" in picked.regions()
    handed = aw.Engine([country], allow=["region-one"])
    assert handed.problems == (), "what the host hands over is its pick"
    assert handed.plugin_behind("region", "zz") == "region-zz from country"


@pytest.mark.parametrize("name", ["US", "u s", "уs", "x" * 41, "z"])
def test_pf_17_id_of_other_characters(name: str) -> None:
    found = engine(Changed({}, name=name)).problems[0]
    assert isinstance(found, aw.PluginContractError)
    assert found.code == "plugin.id"


@pytest.mark.parametrize("version", ["2.0", "0.9", "1.999"])
def test_pf_18_interface_too_new_or_too_old(version: str, installed: Callable[..., None]) -> None:
    stated = f'ampwright_interface = "{version}"'
    installed("ampwright-method-x", METHOD_TEXT.format(version=stated, id="x"))
    made = aw.Engine(allow=["method-x"])
    (found,) = made.problems
    assert isinstance(found, aw.PluginVersionError)
    assert version in str(found)
    assert "1.0" in str(found)
    assert "x" not in made.methods()


def test_pf_18_schema_of_a_folder_too_new(country: Path) -> None:
    manifest = country / "manifest.toml"
    text = manifest.read_text(encoding="utf-8").replace("region/1", "region/2")
    manifest.write_text(text, encoding="utf-8")
    found = problem(country)
    assert "ampwright.region/1" in str(found)
    assert "ampwright.region/2" in str(found)


def test_pf_19_no_version_stated(installed: Callable[..., None]) -> None:
    installed("ampwright-method-x", METHOD_TEXT.format(version="", id="x"))
    (found,) = aw.Engine(allow=["method-x"]).problems
    assert isinstance(found, aw.PluginContractError)
    assert found.code == "plugin.no_version"


def test_pf_20_hook_misspelt() -> None:
    (found,) = engine(module("typo", ampwright_metods=hookimpl(_offers_nothing))).problems
    assert isinstance(found, aw.PluginContractError)
    assert "ampwright_methods" in found.remedy


def test_pf_21_hook_with_an_unknown_argument() -> None:
    (found,) = engine(module("asking", ampwright_methods=hookimpl(_asks_for_context))).problems
    assert isinstance(found, aw.PluginContractError)
    assert "context" in str(found.value)


def _offers_nothing() -> list[object]:
    return []


def _asks_for_context(context: object) -> list[object]:
    return [context]


def test_pf_23_plugin_changes_a_table_after_loading(country: Path) -> None:
    made = engine(country)
    rows = made.regions()["zz"].tables["ampacity_b_52_2"].rows
    with pytest.raises(TypeError):
        rows[0]["iz_a"] = "999"  # type: ignore[index] # on purpose
    before = made.plan(random_shop(1, EUROPE), region="zz")
    ampacities(country, "1.5,1")
    assert made.plan(random_shop(1, EUROPE), region="zz").options == before.options


def test_pf_31_markup_is_escaped_and_control_characters_are_refused(country: Path) -> None:
    manifest = country / "manifest.toml"
    text = manifest.read_text(encoding="utf-8")
    manifest.write_text(text.replace("Rules of nowhere", "<b>Rules</b> of nowhere"), "utf-8")
    shop = attrs.evolve(random_shop(1, EUROPE), region=None)
    plan = engine(country).plan(shop, region="zz")
    html = plan.report("html")
    assert "<b>Rules</b>" not in html
    assert "&lt;b&gt;Rules" in html
    manifest.write_text(text.replace("Rules of nowhere", "Rules\\u001b[31m of nowhere"), "utf-8")
    assert isinstance(problem(country), aw.PluginContractError)


def test_pf_37_one_plugin_installed_twice(installed: Callable[..., None]) -> None:
    text = METHOD_TEXT.format(version='ampwright_interface = "1.0"', id="x")
    installed("ampwright-method-x", text, version="1.0")
    installed("ampwright-method-x", text, version="1.1")
    made = aw.Engine(allow=["method-x"])
    (found,) = made.problems
    assert isinstance(found, aw.PluginConflictError)
    assert "ampwright-method-x 1.0" in str(found.value)
    assert "ampwright-method-x 1.1" in str(found.value)
    assert "x" not in made.methods()


def test_pf_38_plugin_not_allowed_is_not_imported(installed: Callable[..., None]) -> None:
    installed("ampwright-method-y", "raise SystemExit('imported')")
    made = aw.Engine(allow=[])
    assert made.problems == ()
    assert "ampwright_method_y" not in sys.modules
    assert "method-y" in {one.name for one in entry_points(group="ampwright")}
    assert "method-y" in {one.name for one in made.available() if not one.active}


def test_pf_39_folder_changed_after_it_was_pinned(country: Path) -> None:
    made = engine(country)
    digest = made.digest(country)
    assert engine(country, pins={"zz": digest}).problems == ()
    ampacities(country, "1.5,16.5", "2.5,23")
    pinned = engine(country, pins={"zz": digest})
    (found,) = pinned.problems
    assert isinstance(found, aw.PluginLoadError)
    assert found.code == "plugin.digest"
    assert "zz" not in pinned.regions()


def test_pf_40_edition_that_a_region_does_not_have() -> None:
    with pytest.raises(aw.InputError) as caught:
        engine().plan(SHOP, region="us@2026")
    assert caught.value.code == "region.edition"
    assert "2023" in str(caught.value)


def changed_table(name: str, rows: Sequence[Mapping[str, str]], **heads: str) -> Table:
    """Return a table."""
    columns = list(rows[0]) if rows else ["size"]
    return Table(id=name, heads={"source": "x; y", "status": "invented", **heads},
                 columns=columns, rows=rows, known="practice")  # fmt: skip


class Changed:
    """A plugin that offers the region of the United States under another id, tables changed."""

    def __init__(self, tables: Mapping[str, Table], name: str = "zz") -> None:
        self.tables, self.name = tables, name
        self.__name__ = "changed"

    @hookimpl
    def ampwright_regions(self) -> Sequence[object]:
        """Offer it."""
        return [Other(self.tables, self.name)]


class Other:
    """A region with tables of its own."""

    edition, editions, family, title = "1", ("1",), "nec", "Rules of nowhere, 1"
    terms: Mapping[str, str] = {}
    rules: Mapping[str, Source] = {}

    def __init__(self, tables: Mapping[str, Table], name: str) -> None:
        self.tables, self.id = tables, name

    def in_edition(self, edition: str) -> "Other":
        """Return itself."""
        del edition
        return self

    def includes(self, supply: aw.Supply) -> bool:
        """Know no supply."""
        del supply
        return False

    def circuit(self) -> None:
        """Stand for a circuit."""

    def service(self) -> None:
        """Stand for a service."""


@pytest.fixture(autouse=True)
def fresh_modules() -> Iterator[None]:
    """Forget the modules that a test installed."""
    before = set(sys.modules)
    yield
    for name in set(sys.modules) - before:
        if name.startswith("ampwright_"):
            del sys.modules[name]


def test_every_fault_has_its_test() -> None:
    files = Path(__file__).parent.glob("test_plugin_faults*.py")
    text = "".join(path.read_text(encoding="utf-8") for path in files)
    missing = [n for n in range(1, 41) if f"def test_pf_{n:02d}_" not in text]
    assert not missing
