"""Every module imports only from lines of layers.txt above its own."""

import ast
from fnmatch import fnmatch
from pathlib import Path

import ampwright

ROOT = Path(ampwright.__file__).parent
LINES = Path(__file__).with_name("layers.txt").read_text(encoding="utf-8").splitlines()
ROOMS = 3  # parts of the name of a folder two deep, whose modules see each other


def rank(name: str) -> int:
    """Return the line that holds *name*, a module or something in one; in no line, it fails."""
    path = name.removeprefix("ampwright.").replace(".", "/") + "/"
    places = [[f"{place}/*" for place in line.split()] for line in LINES]
    return next(n for n, line in enumerate(places) if any(fnmatch(path, place) for place in line))


def imported(path: Path) -> list[str]:
    """Return every name of ours that the file imports, anywhere in it."""
    found = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        for alias in node.names if isinstance(node, ast.Import | ast.ImportFrom) else ():
            name = f"{getattr(node, 'module', '')}.{alias.name}".strip(".")
            if name.split(".")[0] == "ampwright":
                found.append(name)
    return found


def modules() -> list[Path]:
    """Return every module that stands in a layer."""
    built_in = [*ROOT.glob("methods/*/__init__.py"), *ROOT.glob("regions/*/__init__.py")]
    return sorted([*ROOT.rglob("[!_]*.py"), *built_in])


def test_every_module_imports_from_lines_above_only() -> None:
    wrong = []
    for path in modules():
        parts = path.relative_to(ROOT).with_suffix("").parts
        parts = parts[:-1] if parts[-1] == "__init__" else parts
        module = ".".join(["ampwright", *parts])
        own = rank(module)
        for name in imported(path):
            same_room = len(parts) > 1 and name.split(".")[:ROOMS] == module.split(".")[:ROOMS]
            if rank(name) >= own and not same_room:
                wrong.append(f"{module} imports {name}")
    assert not wrong


def test_the_test_would_see_an_import_upwards() -> None:
    assert rank("ampwright.planning.intake") > rank("ampwright.kernels.network")
    assert rank("ampwright.engine") > rank("ampwright.planning.procedure")
    assert rank("ampwright.methods.rotary.sizing") > rank("ampwright.plugin")


def test_every_folder_but_a_built_in_opens_with_a_docstring_only() -> None:
    wrong = []
    for path in ROOT.rglob("__init__.py"):
        place = path.parent.relative_to(ROOT).as_posix()
        if place == "." or place.startswith(("methods/", "regions/")):
            continue
        body = ast.parse(path.read_text(encoding="utf-8")).body
        if len(body) != 1 or not isinstance(body[0], ast.Expr):
            wrong.append(place)
    assert not wrong


def test_no_import_hides_in_a_function_but_for_an_optional_dependency() -> None:
    allowed = {"pint", "jinja2", "weasyprint", "scipy", "click", "importlib", "hypothesis"}
    wrong = []
    for path in sorted(ROOT.rglob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        for function in ast.walk(tree):
            if not isinstance(function, ast.FunctionDef | ast.AsyncFunctionDef):
                continue
            for node in ast.walk(function):
                names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
                if isinstance(node, ast.ImportFrom):
                    names = [str(node.module)]
                wrong += [
                    f"{path.name}: {name}" for name in names if name.split(".")[0] not in allowed
                ]
    assert not wrong
