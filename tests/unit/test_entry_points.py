"""Entry points are read from plain folders as the standard library reads them."""

import sys
from importlib import metadata
from pathlib import Path
from zipfile import ZipFile

import pytest

from ampwright import registry
from ampwright.entry_points import Distribution, EntryPoint, distributions, entry_points

GROUPS = ("ampwright", "console_scripts", "pytest11", "nobody.has_this")


def put(
    place: Path, name: str, points: str, *, head: str = "", info: str = "", ending: str = "dist"
) -> Path:
    """Put what is installed of one distribution into a folder, and return that."""
    folder = place / (info or f"{name.replace('-', '_')}-1.0.{ending}-info")
    folder.mkdir(parents=True)
    stated = "METADATA" if folder.suffix == ".dist-info" else "PKG-INFO"
    head = head or f"Metadata-Version: 2.1\nName: {name}\nVersion: 1.0\n\nVersion: of nothing\n"
    (folder / stated).write_text(head, encoding="utf-8")
    (folder / "entry_points.txt").write_text(points, encoding="utf-8")
    return place


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return the only folder on the path of modules."""
    monkeypatch.setattr(sys, "path", [str(tmp_path)])
    return tmp_path


def as_the_library_reads(group: str) -> list[tuple[str, str, str, str]]:
    """Return name, value, distribution and version of each entry point, sorted."""
    found = metadata.entry_points(group=group)
    return sorted((one.name, one.value, one.dist.name, one.dist.version)
                  for one in found if one.dist)  # fmt: skip


def as_read_here(group: str) -> list[tuple[str, str, str, str]]:
    """Return the same, as it is read here."""
    found = entry_points(group)
    return sorted((one.name, one.value, one.dist.name, one.dist.version)
                  for one in found if one.dist)  # fmt: skip


@pytest.mark.parametrize("group", GROUPS)
def test_what_is_installed_here_is_read_as_the_library_reads_it(group: str) -> None:
    assert as_read_here(group) == as_the_library_reads(group)
    assert (group == GROUPS[-1]) == (as_read_here(group) == [])


def test_sections_remarks_and_gaps_are_read_as_the_library_reads_them(place: Path) -> None:
    text = (
        "# a remark\n[console_scripts]\nother = other:main\n\n[ampwright]\n"
        "one=somewhere.one\n  # another\n\n two  =  somewhere.two:thing.part [extra]\n"
        "[ampwright.more]\nthree = somewhere.three\n"
    )
    put(place, "Some-Thing", text)
    for group in ("ampwright", "console_scripts", "ampwright.more", "more"):
        assert as_read_here(group) == as_the_library_reads(group)
    assert [one.name for one in entry_points("ampwright")] == ["one", "two"]


def test_an_egg_info_folder_is_read_too(place: Path) -> None:
    put(place, "older", "[ampwright]\na = b\n", ending="egg")
    assert as_read_here("ampwright") == as_the_library_reads("ampwright")
    assert as_read_here("ampwright") == [("a", "b", "older", "1.0")]


def test_heads_of_several_lines_end_at_the_first_gap(place: Path) -> None:
    head = "Summary: two\n Version: of nothing\nName: real\nVersion: 2.5\n\nName: false\n"
    put(place, "real", "[ampwright]\na = b\n", head=head)
    assert as_read_here("ampwright") == [("a", "b", "real", "2.5")]
    assert as_read_here("ampwright") == as_the_library_reads("ampwright")


def test_a_folder_without_its_heads_is_known_by_its_name(place: Path) -> None:
    put(place, "bare", "[ampwright]\na = b\n")
    (place / "bare-1.0.dist-info" / "METADATA").unlink()
    assert as_read_here("ampwright") == [("a", "b", "bare", "1.0")]


def test_the_first_on_the_path_stands_for_a_distribution(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = put(tmp_path / "1", "My-Thing", "[ampwright]\na = first\n")
    second = put(
        tmp_path / "2", "my.thing", "[ampwright]\na = second\n", info="my.thing-1.0.dist-info"
    )
    monkeypatch.setattr(sys, "path", [str(first), str(tmp_path / "gone"), str(second)])
    assert [one.value for one in entry_points("ampwright")] == ["first"]
    assert as_read_here("ampwright") == as_the_library_reads("ampwright")
    assert distributions("my-thing") == [
        Distribution("My-Thing", "1.0", first.resolve()),
        Distribution("my.thing", "1.0", second.resolve()),
    ]


def test_an_archive_on_the_path_is_left_to_the_library(place: Path) -> None:
    archive = place / "packed.whl"
    with ZipFile(archive, "w") as file:
        file.writestr("packed-3.0.dist-info/METADATA", "Name: packed\nVersion: 3.0\n")
        file.writestr("packed-3.0.dist-info/entry_points.txt", "[ampwright]\na = packed\n")
    sys.path.append(str(archive))
    assert as_read_here("ampwright") == [("a", "packed", "packed", "3.0")]
    assert [one.version for one in distributions("packed")] == ["3.0"]


def test_a_finder_of_distributions_is_asked_through_the_library(
    place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    elsewhere = put(place / "elsewhere", "hidden", "[ampwright]\na = hidden\n")

    class Finder(metadata.DistributionFinder):
        """A finder that knows one distribution."""

        def find_spec(self, *_: object) -> None:
            """Find no module."""

        def find_distributions(self, context: object = None) -> list[metadata.Distribution]:
            del context
            return [metadata.PathDistribution(elsewhere / "hidden-1.0.dist-info")]

    monkeypatch.setattr(sys, "meta_path", [*sys.meta_path, Finder()])
    assert as_read_here("ampwright") == [("a", "hidden", "hidden", "1.0")]


def test_what_is_no_text_on_the_path_is_passed_over(place: Path) -> None:
    put(place, "real", "[ampwright]\na = b\n")
    sys.path.insert(0, place / "not-a-text")  # type: ignore[arg-type] # as some programs do
    assert as_read_here("ampwright") == [("a", "b", "real", "1.0")]


def test_a_program_that_is_not_installed_has_no_version(
    place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    del place
    monkeypatch.setattr(sys, "path", [])
    with pytest.raises(metadata.PackageNotFoundError):
        registry.own_version.__wrapped__()


def test_an_entry_point_leads_to_a_module_or_a_part_of_it() -> None:
    assert EntryPoint("a", "json").load() is sys.modules["json"]
    assert EntryPoint("a", "pathlib : Path.cwd [extra]").load() == Path.cwd
    with pytest.raises(ModuleNotFoundError):
        EntryPoint("a", "no.such.module").load()
    with pytest.raises(AttributeError):
        EntryPoint("a", "json:nothing").load()
