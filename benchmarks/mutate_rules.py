"""Mutation test of rule modules: which share of small faults do their tests notice?

Run ``python -m benchmarks.mutate_rules FOLDER TESTS... [--only NAME...] [--deselect TEST...]``. The
tests are collected once and traced, so that each fault meets only the tests that run the faulty
function. For each fault the process is forked, the code of that one function exchanged in the
child, and the tests run until one fails. Drawn examples are the same in each run, never shrunk.

A fault counts as killed where a test fails, or where the tests take more than ten times their usual
time of the processor, so that it does not matter what else the machine does. Faults outside of
functions are written into every module that holds the value; for those in default values the child
imports package and tests again, with the fault in the module.
"""

import argparse
import ast
import importlib.abc
import importlib.machinery
import os
import signal
import sys
import time
from collections.abc import Iterator, Sequence
from pathlib import Path
from types import CodeType, FrameType, FunctionType, ModuleType
from typing import Any

import hypothesis
import pytest
from benchmarks.mutants import Mutant, changed, mutants

hypothesis.settings.register_profile(
    "faults",
    derandomize=True,
    database=None,
    deadline=None,
    phases=(hypothesis.Phase.explicit, hypothesis.Phase.generate),
)
hypothesis.settings.load_profile("faults")
LEAST_S = 5.0


class Faults:
    """A pytest plugin that runs the tests once, and then against each fault."""

    def __init__(self, folder: Path, only: Sequence[str]) -> None:
        self.files = [
            one
            for one in sorted(folder.resolve().glob("*.py"))
            if one.stem != "__init__" and (not only or one.stem in only)
        ]
        self.ran: dict[tuple[str, str], list[pytest.Item]] = {}
        self.took: dict[pytest.Item, float] = {}
        self.outcome: dict[str, list[tuple[Path, Mutant]]] = {"killed": [], "survived": []}

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Trace every test, then go through the faults."""
        for item in session.items:
            self._trace(session, item)
        print(f"{len(session.items)} tests pass in {sum(self.took.values()):.1f} s", flush=True)
        self._control(session)
        began = time.monotonic()
        for path in self.files:
            source = path.read_text(encoding="utf-8")
            for mutant in mutants(ast.parse(source)):
                self._meet(session, path, source, mutant)
            self._report(path)
        self._total(time.monotonic() - began)
        return True

    def _trace(self, session: pytest.Session, item: pytest.Item) -> None:
        seen: set[tuple[str, str]] = set()
        names = {str(one) for one in self.files}

        def tracer(frame: FrameType, event: str, _: object) -> None:
            if event == "call" and frame.f_code.co_filename in names:
                seen.add((frame.f_code.co_filename, outermost(frame.f_code)))

        sys.settrace(tracer)
        failed = run(session, item)
        sys.settrace(None)
        assert not failed, f"{item.nodeid} fails without any fault"
        began = time.process_time()
        assert not run(session, item), f"{item.nodeid} fails when it is run again"
        self.took[item] = time.process_time() - began
        for place in seen:
            self.ran.setdefault(place, []).append(item)

    def _control(self, session: pytest.Session) -> None:
        """Without any fault the tests pass in either kind of child."""
        path = self.files[0]
        tree = ast.parse(path.read_text(encoding="utf-8"))
        again = [str(one) for one in session.config.invocation_params.args]
        for anew in (False, True):
            child = os.fork()
            if not child:
                code = compile(tree, str(path), "exec")
                items = list(self.took)
                os._exit(
                    _anew(loaded(path).__name__, code, again)
                    if anew
                    else _child(session, items, lambda: None, 10 * sum(self.took.values()))
                )
            assert os.waitpid(child, 0)[1] == 0, f"tests fail without a fault: {anew=}"

    def _meet(self, session: pytest.Session, path: Path, source: str, mutant: Mutant) -> None:
        module = loaded(path)
        tree = changed(source, mutant)
        name = function_at(tree, mutant.line)
        items = self.ran.get((str(path), name), []) if name else list(self.took)
        items = sorted(items, key=self.took.__getitem__)
        put = exchanged(module, tree, name, mutant.line)
        limit = max(LEAST_S, 10 * sum(self.took[one] for one in items))
        child = os.fork()
        if not child:
            whole = compile(tree, str(path), "exec")
            again = session.config.invocation_params.args
            os._exit(
                _child(session, items, put, limit)
                if put is not None
                else _anew(module.__name__, whole, [str(one) for one in again])
            )
        _, status = os.waitpid(child, 0)
        self.outcome["killed" if status else "survived"].append((path, mutant))

    def _report(self, path: Path) -> None:
        here = {name: [one for at, one in found if at == path]
                for name, found in self.outcome.items()}  # fmt: skip
        counts = ", ".join(f"{len(found)} {name}" for name, found in here.items())
        print(f"\n{path.name}: {counts}", flush=True)
        for one in sorted(here["survived"], key=lambda one: (one.line, one.what)):
            print(f"  survived {path.name}:{one.line}: {one.what}", flush=True)

    def _total(self, seconds: float) -> None:
        killed, survived = (len(found) for found in self.outcome.values())
        share = killed / max(killed + survived, 1)
        print(f"\n{killed} of {killed + survived} faults killed: {share:.1%}; "
              f"{seconds:.0f} s")  # fmt: skip


def _child(session: pytest.Session, items: list[pytest.Item], put: Any, limit: float) -> int:  # noqa: ANN401
    """Put the fault in and run *items*; return 1 where one fails."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
    os.dup2(1, 2)
    signal.signal(signal.SIGPROF, lambda *_: os._exit(1))
    signal.setitimer(signal.ITIMER_PROF, limit)
    put()
    # what earlier tests have left in the fixtures of a session is made anew, with the fault in it
    session._setupstate.teardown_exact(None)  # noqa: SLF001 - pytest offers no other way
    return int(any(run(session, item) for item in items))


class Faulty(importlib.abc.MetaPathFinder, importlib.abc.Loader):
    """Imports one module with a fault in it."""

    def __init__(self, name: str, code: CodeType) -> None:
        self.name, self.code = name, code

    def find_spec(self, name: str, *_: object) -> importlib.machinery.ModuleSpec | None:
        """Answer for that module only."""
        if name != self.name:
            return None
        return importlib.machinery.ModuleSpec(name, self, origin=self.code.co_filename)

    def exec_module(self, module: ModuleType) -> None:
        """Run it."""
        module.__file__ = self.code.co_filename
        exec(self.code, vars(module))  # noqa: S102 - our own


def _anew(name: str, code: CodeType, again: list[str]) -> int:
    """Import package and tests again, module *name* with its fault; return 1 where one fails."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
    os.dup2(1, 2)
    for other in list(sys.modules):
        if other.split(".")[0] in (name.split(".", maxsplit=1)[0], "tests"):
            del sys.modules[other]
    sys.meta_path.insert(0, Faulty(name, code))
    return int(pytest.main(["-x", *again]) != 0)


def run(session: pytest.Session, item: pytest.Item) -> bool:
    """Run one test with its fixtures; tell whether it failed."""
    from _pytest.runner import runtestprotocol  # noqa: PLC0415 - pytest offers no other way

    # what lasts a session is kept, all else is made anew
    rest: Any = session
    reports = runtestprotocol(item, log=False, nextitem=rest)
    return any(one.failed for one in reports)


def outermost(code: CodeType) -> str:
    """Return the name of the function that *code* stands in, ``Class.method`` or ``function``."""
    return code.co_qualname.split(".<locals>")[0]


def function_at(tree: ast.Module, line: int) -> str:
    """Return the name of the outermost function at *line*; ``""``: none, or its head."""
    for name, node in functions(tree):
        if node.body[0].lineno <= line <= (node.end_lineno or 0):
            return name
    return ""


def functions(tree: ast.Module) -> Iterator[tuple[str, ast.FunctionDef]]:
    """Yield functions and methods by name."""
    for node in tree.body:
        if isinstance(node, ast.FunctionDef):
            yield node.name, node
        for part in node.body if isinstance(node, ast.ClassDef) else ():
            if isinstance(part, ast.FunctionDef):
                yield f"{node.name}.{part.name}", part  # type: ignore[attr-defined]


def loaded(path: Path) -> ModuleType:
    """Return the module of a file."""
    return next(
        one for one in list(sys.modules.values()) if getattr(one, "__file__", "") == str(path)
    )


def exchanged(module: ModuleType, tree: ast.Module, name: str, line: int) -> Any:  # noqa: ANN401
    """Return what puts the fault in; ``None`` where that cannot be done."""
    whole = compile(tree, str(module.__file__), "exec")
    if name:
        function = live(module, name)
        code = next((one for one in codes(whole) if one.co_qualname == name), None)
        if function is None or code is None:
            return None
        return lambda: setattr(function, "__code__", code)
    return constant(module, tree, line)


def live(module: ModuleType, name: str) -> FunctionType | None:
    """Return the function object that callers hold."""
    found: Any = module
    for part in name.split("."):
        found = vars(found).get(part)
    if isinstance(found, property):
        found = found.fget
    found = getattr(found, "__func__", found)
    found = getattr(found, "__wrapped__", found)
    return found if isinstance(found, FunctionType) else None


def codes(code: CodeType) -> Iterator[CodeType]:
    """Yield every code object inside *code*."""
    for one in code.co_consts:
        if isinstance(one, CodeType):
            yield one
            yield from codes(one)


def constant(module: ModuleType, tree: ast.Module, line: int) -> Any:  # noqa: ANN401
    """Return what puts a changed value of the module into every module that holds it."""
    for node in tree.body:
        if isinstance(node, ast.Assign) and node.lineno <= line <= (node.end_lineno or 0):
            space = dict(vars(module))
            exec(compile(ast.Module([node], []), "value", "exec"), space)  # noqa: S102 - our own
            found = ast.walk(node.targets[0])
            return spread(module, {one.id: space[one.id] for one in found if hasattr(one, "id")})
    return None


def spread(module: ModuleType, values: dict[str, object]) -> Any:  # noqa: ANN401
    """Return what puts *values* into every module that has taken them from *module*."""

    def put() -> None:
        for name, value in values.items():
            old = vars(module)[name]
            for other in list(sys.modules.values()):
                if vars(other).get(name) is old:
                    setattr(other, name, value)

    return put


def main() -> int:
    """Read the command line and run."""
    reader = argparse.ArgumentParser(description=__doc__)
    reader.add_argument("folder", type=Path)
    reader.add_argument("tests", nargs="+")
    reader.add_argument("--only", nargs="*", default=())
    reader.add_argument("--deselect", nargs="*", default=())
    asked = reader.parse_args()
    options = ["-q", "-p", "no:cacheprovider", "-p", "no:faulthandler",
               "-W", "ignore::pytest.PytestAssertRewriteWarning", *asked.tests]  # fmt: skip
    options += [f"--deselect={one}" for one in asked.deselect]
    return int(pytest.main(options, plugins=[Faults(asked.folder, asked.only)]))


if __name__ == "__main__":
    sys.exit(main())
