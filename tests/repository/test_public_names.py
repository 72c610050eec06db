"""The public names: what `import ampwright` shows, and what it costs."""

import subprocess
import sys
from importlib import import_module
from pathlib import Path

import ampwright

ROOT = Path(ampwright.__file__).parent
HEAVY = ("pint", "numpy", "scipy", "jinja2", "importlib.metadata")


def fresh(code: str) -> str:
    """Return what a fresh interpreter prints."""
    done = subprocess.run(  # noqa: S603 - our own interpreter, our own text
        [sys.executable, "-c", code], check=True, capture_output=True, text=True
    )
    return done.stdout.strip()


def test_names_are_sorted_and_unique() -> None:
    assert list(ampwright.__all__) == sorted(set(ampwright.__all__))


def test_every_public_name_can_be_had_and_has_a_docstring() -> None:
    for name in ampwright.__all__:
        assert getattr(ampwright, name).__doc__, name


def test_dir_shows_the_public_names_and_dunders_only() -> None:
    shown = set(dir(ampwright))
    assert {name for name in shown if not name.startswith("__")} == set(ampwright.__all__)


def test_no_module_bears_a_public_name() -> None:
    modules = {path.stem for path in ROOT.iterdir() if not path.stem.startswith("__")}
    assert not modules & set(ampwright.__all__)


def test_plugin_face_is_complete() -> None:
    plugin = import_module("ampwright.plugin")
    assert len(plugin.__all__) == len(set(plugin.__all__))
    for name in plugin.__all__:
        assert getattr(plugin, name) is not None


def test_importing_loads_nothing_heavy() -> None:
    code = f"import sys, ampwright; print([n for n in {HEAVY!r} if n in sys.modules])"
    assert fresh(code) == "[]"


def test_no_public_name_loads_what_draws_or_reports() -> None:
    code = (
        "import sys, ampwright as aw; [getattr(aw, name) for name in aw.__all__];"
        "print([n for n in ('ampwright.diagram.drawing', 'ampwright.diagram.scene',"
        " 'ampwright.report.document') if n in sys.modules], 'ampwright.engine' in sys.modules)"
    )
    assert fresh(code) == "[] True"


def test_a_name_that_does_not_exist_is_an_attribute_error() -> None:
    code = (
        "import ampwright\n"
        "try:\n    ampwright.Moter\nexcept AttributeError as error:\n    print(error)"
    )
    assert "Moter" in fresh(code)


def test_planning_one_shop_loads_no_numpy_pint_or_scipy() -> None:
    example = ROOT.parents[1] / "docs" / "examples" / "quarry-lane.toml"
    code = (
        f"import sys, ampwright as aw; aw.plan(aw.load_shop({str(example)!r})).to_json();"
        "print([n for n in ('numpy', 'pint', 'scipy', 'jinja2') if n in sys.modules])"
    )
    assert fresh(code) == "[]"
