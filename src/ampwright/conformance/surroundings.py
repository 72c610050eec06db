"""What code may leave behind in its process: changed settings, threads, open files, output."""

import contextlib
import io
import locale
import os
import random
import sys
import threading
import warnings
from collections.abc import Iterator
from decimal import getcontext
from pathlib import Path


def settings() -> dict[str, object]:
    """Return the settings of this process that others rely on, by name."""
    found: dict[str, object] = {
        "locale": locale.setlocale(locale.LC_ALL),
        "warning filters": tuple(warnings.filters),
        "state of random": random.getstate(),
        "decimal context": str(getcontext()),
        "working directory": str(Path.cwd()),
        "environment": dict(os.environ),
        "recursion limit": sys.getrecursionlimit(),
        "search path of modules": tuple(sys.path),
    }
    numpy = sys.modules.get("numpy")
    if numpy is not None:
        found["numpy error state"] = dict(numpy.geterr())
        found["numpy print options"] = repr(numpy.get_printoptions())
        found["state of numpy.random"] = repr(numpy.random.get_state()[1:3])
    pint = sys.modules.get("pint")
    if pint is not None:
        found["pint registry"] = id(pint.application_registry.get())
    return found


def open_files() -> frozenset[str]:
    """Return what this process has open, where the system tells; else nothing."""
    place = Path("/proc/self/fd")
    found = set()
    if place.is_dir():
        for one in place.iterdir():
            with contextlib.suppress(OSError):
                found.add(f"{one.name} -> {one.readlink()}")
    return frozenset(one for one in found if "/proc/" not in one)


@contextlib.contextmanager
def watched() -> Iterator[list[str]]:
    """Collect what the code inside leaves behind; the list is filled when it is left.

    Yields:
        A list that then holds one text for each setting that changed, each thread that still runs,
        each file that is still open, and for output.
    """
    left: list[str] = []
    before, threads, files = settings(), set(threading.enumerate()), open_files()
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        yield left
    after = settings()
    left += [f"{name} was changed" for name in before if before[name] != after[name]]
    left += [f"the thread {one.name} still runs" for one in set(threading.enumerate()) - threads]
    left += [f"left open: {one}" for one in sorted(open_files() - files)]
    left += [f"wrote to {name}" for name, sink in (("output", out), ("errors", err))
             if sink.getvalue()]  # fmt: skip
