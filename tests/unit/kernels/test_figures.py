"""Tables of the kernels: every one names its source."""

from importlib.resources import files

import pytest

from ampwright.kernels import figures


def test_every_table_of_the_kernels_begins_with_its_source() -> None:
    for file in files("ampwright.kernels").iterdir():
        if file.name.endswith(".csv"):
            first, second = file.read_text(encoding="utf-8").splitlines()[:2]
            assert first.startswith("# source: "), file.name
            assert second.startswith("# "), file.name


def test_rows_are_read_once() -> None:
    assert figures.rows("self_ventilated") is figures.rows("self_ventilated")
    assert figures.rows("self_ventilated")[0] == {"speed": "0.1", "torque": "0.4"}


def test_a_table_without_source_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("pkgutil.get_data", lambda *_: b"a,b\n1,2\n")
    with pytest.raises(ValueError, match="source"):
        figures.rows("invented")


def test_a_missing_table_is_an_error() -> None:
    with pytest.raises(FileNotFoundError):
        figures.rows("not_there")
