"""Regions from folders of data: what they inherit, and every fault named by file and row."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from ampwright.engine import Engine
from ampwright.errors import PluginContractError
from ampwright.families.folder import region_from_folder
from ampwright.families.iec.code import IecCode
from ampwright.families.nec.code import NecCode
from ampwright.records.site import Site
from ampwright.records.supply import Supply
from ampwright.region import CircuitDemand, LoadDemand, Region
from ampwright.step import Figure

MANIFEST = """schema = "ampwright.region/1"
id = "{id}"
family = "{family}"
title = "Rules of somewhere"
editions = ["{edition}"]
"""
HEADS = """# source: Rules of somewhere; clause 7
# known: memory
# status: invented for a test
"""
AMENDS = f"{HEADS}# amends: rows\n"

Write = Callable[..., Path]


@pytest.fixture
def write(tmp_path: Path) -> Write:
    """Return a writer of folders: manifest lines and tables by file name."""

    def made(
        manifest: str = "", *, family: str = "iec", edition: str = "2024", name: str = "somewhere",
        **tables: str,
    ) -> Path:  # fmt: skip
        folder = tmp_path / name
        folder.mkdir(exist_ok=True)
        heads = MANIFEST.format(id="somewhere", family=family, edition=edition)
        (folder / "manifest.toml").write_text(heads + manifest, encoding="utf-8")
        for table, text in tables.items():
            (folder / f"{table}.csv").write_text(text, encoding="utf-8")
        return folder

    return made


def figure(value: float) -> Figure:
    return Figure(float(value), "case/given")


def heater(code: Region, amperes: float) -> Any:  # noqa: ANN401 - a circuit that lacks fails the test
    load = LoadDemand(
        id="m/0", machine="m", kind="resistive", phases=1, current=figure(amperes),
        continuous=True,
    )  # fmt: skip
    demand = CircuitDemand(
        id="c", role="branch", feeds=("m",), phases=1, voltage=figure(230), frequency=figure(50),
        length=figure(10), running_current=figure(amperes), power_factor=figure(1), loads=(load,),
        voltage_to_earth=(figure(230), figure(0)), fault_largest=figure(3000),
    )  # fmt: skip
    supply = Supply(arrangement="line-neutral", voltage="230 V", frequency="50 Hz", earthing="tn-s")
    return code.circuit(demand, Site(), supply, "options/x/circuits/c")


def test_a_manifest_alone_inherits_the_whole_family(write: Write) -> None:
    code = region_from_folder(write())
    assert isinstance(code, IecCode)
    assert (code.id, code.edition, code.family) == ("somewhere", "2024", "iec")
    assert code.title == "Rules of somewhere, 2024"
    assert code.terms["neutral"] == "neutral"
    base = Engine().regions()["iec"]
    assert code.tables.keys() == base.tables.keys()
    assert code.rules == base.rules


def test_it_says_that_it_is_not_the_standard_itself_unless_it_denies_it(write: Write) -> None:
    said = [one.code for one in heater(region_from_folder(write()), 10).assumptions]
    assert said[0] == "region.rebased"
    own = region_from_folder(write("rebased = false\n"))
    assert "region.rebased" not in [one.code for one in heater(own, 10).assumptions]
    assert not [
        one
        for one in heater(Engine().regions()["iec"], 10).assumptions
        if one.code == "region.rebased"
    ]


def test_what_it_states_lies_on_the_family(write: Write) -> None:
    manifest = """
[usual]
installation = "cable"
ambient_c = 40
[devices]
order = ["C"]
[sizes]
mm2 = [4, 6, 10]
[terms]
breaker = "miniature circuit-breaker"
"""
    code = region_from_folder(write(manifest))
    answer = heater(code, 10)
    circuit = answer.circuit
    assert circuit.protective_device.curve == "C"
    assert circuit.conductor.size == "4 mm2"
    assert circuit.conductor.ampacity_a == pytest.approx(36 * 0.87)  # C, 40 C
    assert code.terms["breaker"] == "miniature circuit-breaker"
    assert code.terms["neutral"] == "neutral"


def test_rows_are_amended_with_their_own_source(write: Write) -> None:
    factors = f"{AMENDS}name,value,rule\nvoltage_factor,0.95,iec.411.4\n"
    rules = f"{AMENDS}rule,document,clause,edition\niec.411.4,Rules of somewhere,9.1,2024\n"
    code = region_from_folder(write(factors=factors, rules=rules))
    assert isinstance(code, IecCode)
    assert code.book.factor("voltage_factor") == 0.95
    assert code.book.factor("touch_voltage_v") == 50
    source = code.book.source("factors", "voltage_factor")
    assert (source.document, source.clause) == ("Rules of somewhere", "clause 7")
    assert code.book.source("factors", "touch_voltage_v").document.startswith("IEC")
    assert code.rules["iec.411.4"].document == "Rules of somewhere"
    assert code.rules["iec.411.4"].known == "memory"


def test_a_table_of_the_same_name_stands_for_the_whole(write: Write) -> None:
    switches = f"{HEADS}rating,rating_a\n20,20\n63,63\n"
    code = region_from_folder(write(switch_ratings=switches))
    assert [row["rating"] for row in code.tables["switch_ratings"].rows] == ["20", "63"]


def test_own_ampacities_go_before_those_of_the_family(write: Write) -> None:
    rows = "cell,insulation,loaded,material,method,size_mm2,iz_a\na,pvc,2,copper,B2,1.5,15\n"
    code = region_from_folder(write(ampacity_somewhere=f"{HEADS}{rows}b,pvc,2,copper,B2,2.5,22\n"))
    answer = heater(code, 15)
    assert answer.circuit.conductor.ampacity_a == 22


def test_a_code_may_have_a_way_of_laying_of_its_own(write: Write) -> None:
    rows = "cell,insulation,loaded,material,method,size_mm2,iz_a\na,pvc,2,copper,D,1.5,22\n"
    code = region_from_folder(
        write(
            '[usual]\ninstallation = "buried-cable"\n',
            ampacity_somewhere=f"{HEADS}{rows}b,pvc,2,copper,D,2.5,29\n",
            installations=f"{AMENDS}installation,method,grouping\nburied-cable,D,heaped\n",
            grouping_ground=f"{AMENDS}circuits,heaped\n1,0.9\n",
            soil=f"{AMENDS}k_m_per_w,d\n2.5,1\n",
        )
    )
    answer = heater(code, 15)
    assert answer.circuit.conductor.ampacity_a == pytest.approx(22 * 0.9)


def test_a_binding_drop_makes_conductors_larger(write: Write) -> None:
    free, bound = write(), write("[limits]\ndrop_fraction = 0.005\n", name="bound")
    sizes = [heater(region_from_folder(one), 10).circuit.conductor.size for one in (free, bound)]
    assert sizes == ["1.5 mm2", "4 mm2"]


def test_a_folder_of_the_other_family(write: Write) -> None:
    rules = f"{AMENDS}rule,document,clause_2024\nnec.430.22,Rules of somewhere,28-106\n"
    code = region_from_folder(write(family="nec", rules=rules))
    assert isinstance(code, NecCode)
    own, inherited = code.rules["nec.430.22"], code.rules["nec.430.24"]
    assert (own.document, own.clause, own.edition) == ("Rules of somewhere", "28-106", "2024")
    assert (inherited.document, inherited.edition) == ("NFPA 70", "2023")
    assert code.book.source("ampacity").edition == "2023"


FAULTS = {
    "no manifest key": ("", {}, "manifest.toml usaul", "one of"),
    "wrong kind": ('[usual]\nambient_c = "warm"\n', {}, "usual.ambient_c", "kind float"),
    "infinite": ("[usual]\nambient_c = inf\n", {}, "usual.ambient_c", "kind float"),
    "unknown word": ('[usual]\ninstallation = "duct"\n', {}, "usual.installation", "one of"),
    "unknown curve": ('[devices]\norder = ["K"]\n', {}, "devices.order", "one of"),
    "sizes that fall": ("[sizes]\nmm2 = [4, 2.5]\n", {}, "sizes.mm2", "rise"),
    "size without resistance": ("[sizes]\nmm2 = [3]\n", {}, "sizes.mm2", "resistance"),
    "supply upside down": (
        '[[supplies]]\narrangement = "line-line"\nfrequency_hz = 50\nlowest_v = 5\nhighest_v = 4\n',
        {}, "supplies[0].lowest_v", "at most",
    ),
    "supply unknown": (
        '[[supplies]]\narrangement = "star"\nfrequency_hz = 50\nlowest_v = 5\nhighest_v = 9\n',
        {}, "supplies[0].arrangement", "one of",
    ),
    "empty clause": ('[clauses]\n"a.b" = ""\n', {}, "clauses.a.b", "a text"),
    "clause unknown": ('[clauses]\n"a.b" = "c"\n', {}, "clauses.a.b", "a row of the table rules"),
    "empty word": ('[terms]\nneutral = " "\n', {}, "terms.neutral", "a text"),
    "drop beyond reason": ("[limits]\ndrop_fraction = 5\n", {}, "limits.drop_fraction", "share"),
    "unknown table": ("", {"facotrs": f"{HEADS}a,b\n1,2\n"}, "facotrs.csv", "name of a table"),
    "no source": ("", {"factors": "name,value,rule\n"}, "factors.csv", "source"),
    "no rows": ("", {"factors": f"{HEADS}name,value,rule,known\n"}, "factors.csv", "row"),
    "ragged": ("", {"factors": f"{HEADS}name,value,rule,known\na,1\n"}, "factors.csv", "rows"),
    "not finite": (
        "", {"factors": f"{AMENDS}name,value,rule\nvoltage_factor,nan,iec.411.4\n"},
        "factors.csv row 1 (voltage_factor) value", "finite",
    ),
    "not a number": (
        "", {"factors": f"{AMENDS}name,value,rule\nvoltage_factor,1,iec.411.4\n"
             "touch_voltage_v,fifty,iec.411.5\n"},
        "factors.csv row 2 (touch_voltage_v) value", "finite",
    ),
    "unknown rule": (
        "", {"factors": f"{AMENDS}name,value,rule\nvoltage_factor,1,iec.0\n"},
        "factors.csv row 1 (voltage_factor) rule", "table of rules",
    ),
    "missing column": (
        "", {"switch_ratings": f"{HEADS}rating\n20\n"}, "switch_ratings.csv columns", "missing",
    ),
    "strange column": (
        "", {"switch_ratings": f"{HEADS}rating,rating_a,colour\n20,20,red\n"},
        "switch_ratings.csv columns", "among",
    ),
    "hole": (
        "", {"switch_ratings": f"{HEADS}rating,rating_a\n20,\n"},
        "switch_ratings.csv row 1 (20) rating_a", "a value",
    ),
    "key twice as a number": (
        "", {"switch_ratings": f"{HEADS}rating,rating_a\n20,20\n20.0,20\n"},
        "switch_ratings.csv row 20", "once",
    ),
    "size twice": (
        "", {"ampacity_own": f"{HEADS}cell,insulation,loaded,material,method,size_mm2,iz_a\n"
             "a,pvc,2,copper,B2,1.5,15\nb,pvc,2,copper,B2,1.50,16\n"},
        "ampacity_own.csv row b", "once",
    ),
    "ampacity that falls": (
        "", {"ampacity_own": f"{HEADS}cell,insulation,loaded,material,method,size_mm2,iz_a\n"
             "a,pvc,2,copper,B2,1.5,15\nb,pvc,2,copper,B2,2.5,14\n"},
        "ampacity_own.csv row b", "rises with size",
    ),
    "way of laying without ampacities": (
        "", {"installations": f"{AMENDS}installation,method,grouping\nconduit,X,bunched\n"},
        "installations.csv row conduit method", "ampacity",
    ),
    "way of laying without factors": (
        "", {"installations": f"{AMENDS}installation,method,grouping\nconduit,B1,heaped\n"},
        "installations.csv row conduit grouping", "column of the table grouping",
    ),
    "key twice": (
        "", {"switch_ratings": f"{HEADS}rating,rating_a\n20,20\n20,20\n"},
        "switch_ratings.csv", "rows",
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", FAULTS)
def test_a_fault_is_named_by_file_and_row(write: Write, case: str) -> None:
    manifest, tables, place, wanted = FAULTS[case]
    if case == "no manifest key":
        manifest = "[usaul]\nambient_c = 3\n"
    with pytest.raises(PluginContractError) as caught:
        region_from_folder(write(manifest, **tables))
    faults = caught.value.faults or (caught.value,)
    assert any(place in one.path and wanted in one.expected for one in faults), str(caught.value)
    assert all(one.path.startswith("somewhere") for one in faults)


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("id = ", "manifest.toml"),
        ("", "manifest.toml schema"),
        (MANIFEST.format(id="Some Where", family="iec", edition="1"), "manifest.toml id"),
        (MANIFEST.format(id="iec", family="iec", edition="1"), "manifest.toml id"),
        (MANIFEST.format(id="x", family="bs", edition="1"), "manifest.toml family"),
        (MANIFEST.format(id="x", family="iec", edition=""), "manifest.toml editions"),
        (MANIFEST.format(id="x", family="nec", edition="third"), "manifest.toml editions"),
    ],
)
def test_a_manifest_that_cannot_be_used(tmp_path: Path, text: str, place: str) -> None:
    (tmp_path / "manifest.toml").write_text(text, encoding="utf-8")
    with pytest.raises(PluginContractError) as caught:
        region_from_folder(tmp_path)
    faults = caught.value.faults or (caught.value,)
    assert any(one.path.endswith(place) for one in faults)


def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    for path in (tmp_path / "none", tmp_path):
        with pytest.raises(PluginContractError):
            region_from_folder(path)


def test_all_faults_are_told_at_once(write: Write) -> None:
    factors = f"{AMENDS}name,value,rule\nvoltage_factor,x,iec.411.4\ntouch_voltage_v,y,iec.0\n"
    with pytest.raises(PluginContractError) as caught:
        region_from_folder(write(factors=factors))
    assert len(caught.value.faults) == 3
    assert str(caught.value).count("\n") == 2


def test_the_engine_takes_a_folder_and_reports_a_broken_one(write: Write) -> None:
    good, broken = write(), write("[usaul]\n", name="broken")
    engine = Engine([str(good), broken])
    assert engine.regions()["somewhere"].title == "Rules of somewhere, 2024"
    (problem,) = engine.problems
    assert isinstance(problem, PluginContractError)
    assert problem.path.startswith("broken/manifest.toml")
    with pytest.raises(PluginContractError):
        Engine([broken], strict=True)


def test_two_folders_with_one_id_conflict(write: Write) -> None:
    engine = Engine([write(), write(name="again")])
    (problem,) = engine.problems
    assert problem.code == "plugin.conflict"


def test_nothing_in_a_folder_is_run(write: Write) -> None:
    folder = write()
    (folder / "__init__.py").write_text("raise SystemExit", encoding="utf-8")
    (folder / "conftest.py").write_text("raise SystemExit", encoding="utf-8")
    assert region_from_folder(folder).id == "somewhere"


def test_a_changed_folder_is_read_anew(write: Write) -> None:
    assert region_from_folder(write()).terms["neutral"] == "neutral"
    again = region_from_folder(write('[terms]\nneutral = "zero"\n'))
    assert again.terms["neutral"] == "zero"


def test_clauses_behind_what_the_planner_says_are_added_and_replaced(write: Write) -> None:
    """The rule may be one that the folder brings along itself."""
    assert region_from_folder(write()).clauses == {"machine.two-sources": "iec.60204-1.5.3"}
    rules = AMENDS + "# units: as in the family\nrule,document,clause,edition,known,about\n"
    rules += "somewhere.9,Rules of somewhere,9,2024,memory,more than one source\n"
    code = region_from_folder(
        write('[clauses]\n"machine.two-sources" = "somewhere.9"\n', rules=rules)
    )
    assert code.clauses == {"machine.two-sources": "somewhere.9"}
    assert code.rules["somewhere.9"].clause == "9"
