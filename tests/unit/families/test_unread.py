"""A built-in code is read when it is asked, and answers as the code itself does."""

import pickle
import subprocess
import sys
from pathlib import Path

import pytest

import ampwright.regions.us
from ampwright.engine import Engine
from ampwright.families.nec.code import NecCode
from ampwright.families.unread import CODES, Unread, unread

FOLDER = Path(ampwright.regions.us.__file__).parent


def loaded_after(code: str) -> set[str]:
    """Return which families of codes a fresh process has loaded after it ran *code*."""
    end = "import sys; print(*(name for name in sys.modules if name.endswith('.book')))"
    done = subprocess.run(  # noqa: S603 - our own interpreter, our own text
        [sys.executable, "-c", f"{code}; {end}"], check=True, capture_output=True, text=True
    )
    return {name.split(".")[2] for name in done.stdout.split() if ".families." in name}


def test_an_engine_reads_no_code_before_it_is_asked_and_no_other_then() -> None:
    start = "import ampwright as aw; engine = aw.Engine(allow=())"
    assert loaded_after(start) == set()
    assert loaded_after(f"{start}; list(engine.regions())") == set()
    assert loaded_after(f"{start}; engine.regions()['us'].title") == {"nec"}
    assert loaded_after(f"{start}; engine.regions()['iec'].title") == {"iec"}


@pytest.mark.parametrize("name", ["us", "iec"])
def test_every_built_in_region_is_of_a_family_that_is_known(name: str) -> None:
    region = Engine(allow=()).regions()[name]
    assert isinstance(region, Unread)
    assert (region.id, region.family) == (region.region.id, region.region.family)
    assert region.family in CODES


def test_it_has_what_the_code_has_and_nothing_else() -> None:
    region, code = unread("us", "nec", FOLDER), NecCode.read(FOLDER)
    for name in ("edition", "editions", "title", "terms", "rules", "tables"):
        assert getattr(region, name) == getattr(code, name)
    assert region.in_edition("2020") == code.in_edition("2020")
    with pytest.raises(AttributeError, match="nothing"):
        region.nothing  # type: ignore[attr-defined] # noqa: B018 - on purpose


def test_it_is_read_anew_where_it_was_sent() -> None:
    sent = pickle.loads(pickle.dumps(unread("us", "nec", FOLDER)))  # noqa: S301 - our own
    assert "region" not in vars(sent)
    assert sent.edition == NecCode.read(FOLDER).edition
