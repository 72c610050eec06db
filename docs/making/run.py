"""Run tests and keep what they compared: ``python -m docs.making.run KEPT.json TESTS``."""

import json
import sys
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[2]


class Keeper:
    """A plugin of pytest that keeps name, docstring and comparisons of every test that passes."""

    def __init__(self) -> None:
        self.texts: dict[str, str] = {}
        self.kept: list[dict[str, Any]] = []

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        """Note the docstrings."""
        for item in items:
            self.texts[item.nodeid] = getattr(getattr(item, "function", None), "__doc__", "") or ""

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Keep what a test compared."""
        if report.when != "call" or not report.passed:
            return
        file, _, name = report.nodeid.partition("::")
        compared = []
        for key, value in report.user_properties:
            if key == "published" and isinstance(value, tuple):
                what, printed, ours, unit = value
                compared.append((str(what), float(printed), float(ours), str(unit)))
        text = self.texts.get(report.nodeid, "")
        self.kept.append({"file": file, "name": name, "text": text, "compared": compared})


def main(kept: str, *tests: str) -> int:
    """Run *tests*, write what they compared to *kept*, and return pytest's exit status."""
    keeper = Keeper()
    arguments = ["-q", "-p", "no:cacheprovider", f"--rootdir={ROOT}", *tests]
    status = pytest.main(arguments, plugins=[keeper])
    Path(kept).write_text(json.dumps(keeper.kept), encoding="utf-8")
    return int(status)


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
