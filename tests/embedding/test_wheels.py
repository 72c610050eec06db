"""Core and two plugins, installed from built wheels, plan out of reach of any source folder."""

import json
import subprocess
import sys
import venv
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PLUGINS = ("ampwright-region-za", "ampwright-method-motor-generator")
PLAN = """
import json, sys
from pathlib import Path
import ampwright as aw
import ampwright_method_motor_generator, ampwright_region_za
from ampwright.report.language import languages

shop = aw.Shop.from_dict({
    "region": "za",
    "supply": {"arrangement": "line-neutral", "voltage": "230 V", "frequency": "50 Hz",
               "rating": "60 A", "fault_current": "2 kA", "earthing": "tn-s"},
    "machines": [{"id": "saw", "length": "9 m", "start": "light",
                  "motors": [{"power": "1.5 kW", "voltage": "230/400 V", "current": "6.2/3.6 A",
                              "frequency": "50 Hz"}]}],
})
engine = aw.Engine(strict=True)
plan = engine.plan(shop, methods=["motor-generator"])
homes = [aw, ampwright_method_motor_generator, ampwright_region_za]
print(json.dumps({
    "region": plan.region.id,
    "assignment": plan.options[0].assignment,
    "plugins": sorted(one.name for one in plan.plugins),
    "rebased": [one.code for one in plan.assumptions].count("region.rebased"),
    "breaches": [one.code for one in plan.checks if one.severity != "info"],
    "homes": [one.__file__ for one in homes],
    "path": sys.path,
    "stored": aw.Plan.from_json(plan.to_json()) == plan,
    "languages": languages(),
}))
"""


def run(*words: str | Path, cwd: Path) -> str:
    """Return what a command prints; it must succeed."""
    done = subprocess.run(  # noqa: S603 - our own interpreter, our own words
        [str(one) for one in words], cwd=cwd, check=False, capture_output=True, text=True
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def python(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the interpreter of a fresh environment with the wheels in it."""
    place = tmp_path_factory.mktemp("wheels")
    sources = [ROOT, *(ROOT / "plugins" / name for name in PLUGINS)]
    run(sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "--wheel-dir", place,
        *sources, cwd=place)  # fmt: skip
    wheels = sorted(place.glob("*.whl"))
    assert len(wheels) == len(sources)
    home = tmp_path_factory.mktemp("fresh")
    venv.EnvBuilder(with_pip=True).create(home)
    own = home / ("Scripts" if sys.platform == "win32" else "bin") / "python"
    run(own, "-m", "pip", "install", "--quiet", *wheels, "click", cwd=place)
    return own


@pytest.mark.slow
def test_plugins_from_wheels_plan_in_a_fresh_environment(python: Path, tmp_path: Path) -> None:
    said = json.loads(run(python, "-I", "-W", "error", "-c", PLAN, cwd=tmp_path))
    assert said["region"] == "za"
    assert said["assignment"] == {"saw": "motor-generator"}
    assert {"region-za", "method-motor-generator"} <= set(said["plugins"])
    assert said["rebased"] == 1
    assert said["breaches"] == []
    assert said["stored"] is True
    assert said["languages"] == ["en", "de", "es", "fr", "pt"]
    home = str(python.parents[1])
    assert all(one.startswith(home) for one in said["homes"])
    assert not [one for one in said["path"] if one.startswith(str(ROOT))]


@pytest.mark.slow
def test_the_command_line_lists_them(python: Path, tmp_path: Path) -> None:
    listed = json.loads(
        run(python, "-I", "-m", "ampwright", "plugins", "list", "--json", cwd=tmp_path)
    )
    strange = {one["distribution"] for one in listed["plugins"] if not one["built_in"]}
    assert strange == set(PLUGINS)
    assert listed["problems"] == []
