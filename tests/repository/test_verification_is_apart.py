"""The independent check shares no rule and no model with what it checks."""

import ast
from pathlib import Path

import ampwright
from ampwright.verification.verify import FAMILIES

ROOT = Path(ampwright.__file__).parent
ALLOWED = (
    "ampwright.decision.",
    "ampwright.equipment.",
    "ampwright.errors.",
    "ampwright.finding.",
    "ampwright.method.",
    "ampwright.nameplate.",
    "ampwright.option.",
    "ampwright.records.",
    "ampwright.step.",
    "ampwright.tables.",
    "ampwright.verification.",
)
#: What computes for the planner stands in these modules beside records; the check has its own.
SHARED_CODE = {"evaluate", "Worksheet", "rebased", "moved"}


def imports(path: Path) -> list[tuple[str, str]]:
    """Return module and name of everything of ours that the file imports."""
    found = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom):
            found += [(str(node.module), alias.name) for alias in node.names]
        elif isinstance(node, ast.Import):
            found += [(alias.name, "") for alias in node.names]
    return [(module, name) for module, name in found if module.split(".")[0] == "ampwright"]


def test_it_imports_records_and_tables_only() -> None:
    modules = sorted((ROOT / "verification").rglob("*.py"))
    assert len(modules) > 5
    wrong = [
        f"{path.name}: {module}.{name}"
        for path in modules
        for module, name in imports(path)
        if not f"{module}.".startswith(ALLOWED)
    ]
    assert not wrong


def test_every_family_of_the_core_has_a_check_and_each_is_held_by_this_test() -> None:
    families = {path.parent.name for path in (ROOT / "families").glob("*/code.py")}
    assert families == set(FAMILIES)
    for family in families:
        modules = list((ROOT / "verification" / family).glob("*.py"))
        assert len(modules) > 10
        assert any(path.name == "circuits.py" for path in modules)


def test_it_loads_by_name_nothing_but_itself() -> None:
    loaded = [
        (path.name, line.strip())
        for path in (ROOT / "verification").rglob("*.py")
        for line in path.read_text(encoding="utf-8").splitlines()
        if "import_module(" in line or "__import__" in line
    ]
    assert loaded == [
        ("verify.py", 'rules = import_module(f"ampwright.verification.{family}.circuits")')
    ]


def test_it_evaluates_no_formula_with_the_planners_evaluator() -> None:
    wrong = [
        f"{path.name}: {name}"
        for path in (ROOT / "verification").rglob("*.py")
        for module, name in imports(path)
        if module == "ampwright.step" and name in SHARED_CODE
    ]
    assert not wrong


def test_nothing_that_plans_imports_the_check() -> None:
    allowed = {"engine.py", "cli.py", "commissioning.py"}
    wrong = [
        path.relative_to(ROOT).as_posix()
        for path in ROOT.rglob("*.py")
        if "verification" not in path.parts
        and path.name not in allowed
        and any(module.startswith("ampwright.verification") for module, _ in imports(path))
    ]
    assert not wrong
