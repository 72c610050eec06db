"""Region `us` as a whole: editions, supplies, words, and what a manifest adds."""

import tomllib
from pathlib import Path

import pytest

import ampwright.regions.us
from ampwright.records.supply import Supply
from ampwright.regions.us import ampwright_regions

(US,) = ampwright_regions()


def test_it_is_a_region() -> None:
    assert US.id == "us"
    assert US.family == "nec"
    assert US.edition == "2023"
    assert US.editions == ("2023", "2020")
    assert US.title == "NFPA 70, National Electrical Code, 2023"


def test_another_edition_is_asked_for_by_name() -> None:
    older = US.in_edition("2020")
    assert older.edition == "2020"
    assert older.in_edition("2023").edition == "2023"
    with pytest.raises(KeyError):
        US.in_edition("1999")


def test_clauses_move_with_the_edition() -> None:
    rule = "nec.430.52(C)(1)X2"
    assert US.rules[rule].clause == "430.52(C)(1)(b)"
    assert US.in_edition("2020").rules[rule].clause == "430.52(C)(1) Exception 2"


@pytest.mark.parametrize(
    ("arrangement", "volts", "hertz", "known"),
    [
        ("split-phase", 240, 60, True),
        ("split-phase", 240, 50, False),
        ("split-phase", 300, 60, False),
        ("split-phase", 200, 60, False),
        ("split-phase", 208, 60, True),
        ("split-phase", 207, 60, False),
        ("split-phase", 252, 60, True),
        ("split-phase", 253, 60, False),
        ("line-line", 208, 60, True),
        ("line-line", 480, 60, True),
        ("line-line", 690, 60, False),
        ("line-neutral", 120, 60, True),
        ("line-neutral", 277, 60, True),
        ("line-neutral", 230, 50, False),
    ],
)
def test_supplies_that_exist(arrangement: str, volts: int, hertz: int, known: bool) -> None:  # noqa: FBT001 - a case of the table above
    supply = Supply(arrangement=arrangement, voltage=f"{volts} V", frequency=f"{hertz} Hz")  # type: ignore[arg-type]
    assert US.includes(supply) is known


def test_words_of_the_code() -> None:
    assert US.terms["protective-conductor"] == "equipment grounding conductor"
    assert US.terms["authority"] == "authority having jurisdiction"


def test_every_table_beside_the_manifest_is_read() -> None:
    folder = Path(ampwright.regions.us.__file__).parent
    assert set(US.tables) == {path.stem for path in folder.glob("*.csv")}
    manifest = tomllib.loads((folder / "manifest.toml").read_text(encoding="utf-8"))
    usual = manifest["usual"]
    assert US.tables["insulation"].row(usual["insulation"]) is not None
    assert US.tables["installations"].row(usual["installation"]) is not None


def test_installations_name_raceways_and_insulations_that_exist() -> None:
    for row in US.tables["installations"].rows:
        assert not row["raceway"] or US.tables["raceways"].row(row["raceway"])
        assert not row["insulation"] or US.tables["insulation"].row(row["insulation"])
    for row in US.tables["raceways"].rows:
        assert not row["sizes"] or row["sizes"] in US.tables
