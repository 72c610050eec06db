"""JSON and TOML texts, and the limits that hold before they are parsed."""

import bz2
import gzip
import io
import json
import lzma
import pickle
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from tests.growth import growth

from ampwright.documents import contents, from_json, from_toml, load, parsed, to_json, to_toml
from ampwright.errors import AmpwrightError, FormatError, InputError, LimitError


def refused(text: str | bytes, name: str = "") -> AmpwrightError:
    """Return the error that reading *text* gives."""
    with pytest.raises(AmpwrightError) as caught:
        load(io.BytesIO(text)) if isinstance(text, bytes) else parsed(text, name)
    return caught.value


HOSTILE = {
    "brackets": ("", lambda size: "[" * size + "]" * size),
    "objects": ("", lambda size: '{"a":' * size + "1" + "}" * size),
    "a text that never ends": ("", lambda size: "[" * 40 + '"\\' * size),
    "NaN in a text": ("", lambda size: '{"a": "' + "NaN" * size + '", "b": NaN}'),
    "one key twice": ("", lambda size: "{" + '"a": 1, ' * size + '"b": 1}'),
    "digits": ("", lambda size: '{"a": ' + "9" * size + "}"),
    "dotted keys": ("shop.toml", lambda size: ".".join(["a"] * size) + " = 1"),
    "a dotted header": ("shop.toml", lambda size: "[" + ".".join(["a"] * size) + "]"),
    "quoted keys": ("shop.toml", lambda size: " . ".join(['"a.b"'] * size) + " = 1"),
    "a dotted key inside": ("shop.toml", lambda size: "x = {" + "a." * size + "a = 1}"),
    "brackets of TOML": ("shop.toml", lambda size: "a = " + "[" * size + "]" * size),
    "digits of TOML": ("shop.toml", lambda size: "a = " + "9" * size),
    "one key again and again": ("shop.toml", lambda size: "a = 1\n" * size),
    "quotes": ("shop.toml", lambda size: 'a = """' + '"' * size),
    "headers that never end": ("shop.toml", lambda size: "[ a . " * size),
    "a header of blanks": ("", lambda size: "[a" + " " * size + "\n"),
}


@pytest.mark.parametrize("kind", HOSTILE)
def test_refusing_takes_no_more_work_than_the_text_is_long(kind: str) -> None:
    """Eight times the text takes about eight times the work; by its square it would be 64."""
    name, text = HOSTILE[kind]

    def work(size: int) -> Callable[[], AmpwrightError]:
        made = text(size)
        return lambda: refused(made, name)

    assert growth(work(5000), work(40_000)) < 24.0


@pytest.mark.parametrize(
    ("text", "code", "said"),
    [
        ('{"a": NaN}', "json.nonfinite", "line 1, column 7"),
        ('{"a": "NaN",\n "b": -Infinity}', "json.nonfinite", "line 2, column 7"),
        ('{"a": 1, "a": 2}', "json.duplicate_key", "'a' twice"),
        ('{"a": ' + "9" * 5000 + "}", "json.number", "5000 digits"),
        ('{"a": {"pow', "json.syntax", "line 1, column"),
        ('{"a": 1,}', "json.syntax", "line 1"),
        ('{"a": 1} // remark', "json.syntax", "line 1"),
        ("[" * 100_000 + "]" * 100_000, "limit.depth", "32"),
        ("{" + '"a":{' * 40 + "}" * 41, "limit.depth", "32"),
        ('{"a": "raw\ncontrol"}', "json.syntax", "line 1"),
    ],
)
def test_json_that_is_refused(text: str, code: str, said: str) -> None:
    error = refused(text)
    assert error.code == code
    assert said in str(error)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        (".".join(["a"] * 16_000) + " = 1", "limit.depth"),
        ("[" + ".".join(["a"] * 16_000) + "]", "limit.depth"),
        (" . ".join(['"a.b"'] * 16_000) + " = 1", "limit.depth"),
        ("x = {" + ".".join(["a"] * 16_000) + " = 1}", "limit.depth"),
        ("a = " + "[" * 20_000 + "]" * 20_000, "limit.depth"),
        ("a = 1\na = 2", "toml.syntax"),
        ("a = ", "toml.syntax"),
        ("a = " + "9" * 5000, "toml.number"),
        ("a = 'x", "toml.syntax"),
    ],
)
def test_toml_that_is_refused(text: str, code: str) -> None:
    assert refused(text, "shop.toml").code == code


def test_brackets_and_dots_in_texts_are_no_depth() -> None:
    text = "[" * 500 + "." * 500 + "a.b" * 200
    assert from_json(json.dumps({"a": text})) == {"a": text}
    assert from_toml(f'# {text}\na = "{text}"\nb = 1.5') == {"a": text, "b": 1.5}
    assert from_toml(f'a = """{text}"""') == {"a": text}
    assert from_toml(f"a = '''{text}'''") == {"a": text}


def test_as_deep_as_is_allowed() -> None:
    assert from_json("[" * 32 + "]" * 32)
    assert from_toml(".".join(["a"] * 32) + " = 1")
    assert refused("[" * 33 + "]" * 33).code == "limit.depth"
    assert refused(".".join(["a"] * 33) + " = 1").code == "limit.depth"


@pytest.mark.parametrize(
    ("data", "code"),
    [
        ("{}".encode("utf-16"), "file.encoding"),
        ("{}".encode("utf-32"), "file.encoding"),
        ("{}".encode("utf-16-le"), "file.encoding"),
        ('name = "M\xfcller"'.encode("cp1252"), "file.encoding"),
        (gzip.compress(b"{}"), "file.compressed"),
        (bz2.compress(b"{}"), "file.compressed"),
        (lzma.compress(b"{}"), "file.compressed"),
        (b"PK\x03\x04rest", "file.compressed"),
        (pickle.dumps({"machines": []}), "file.format"),
        (b"<?xml version='1.0'?><shop/>", "file.format"),
        (b"", "file.empty"),
        (b" \n ", "file.empty"),
        (b"x" * 5_000_001, "limit.file_size"),
    ],
)
def test_bytes_that_are_refused(data: bytes, code: str) -> None:
    assert refused(data).code == code


def test_the_line_of_a_wrong_byte_is_said() -> None:
    assert "line 2" in str(refused(b'a = 1\nname = "M\xfcller"'))


def test_a_file_of_five_megabytes_is_read() -> None:
    text = json.dumps({"a": "x" * 4_999_990})
    assert len(text) == 5_000_000 - 1
    assert len(load(io.BytesIO(text.encode()))["a"]) == 4_999_990


@pytest.mark.parametrize("text", ['{"a": "5 hp"}', 'a = "5 hp"', '# said\n\na = "5 hp"'])
def test_paths_and_open_files_of_both_kinds(text: str, tmp_path: Path) -> None:
    path = tmp_path / "shop"
    path.write_text(text, encoding="utf-8")
    assert load(path) == load(str(path)) == {"a": "5 hp"}
    assert load(io.StringIO(text)) == load(io.BytesIO(text.encode())) == {"a": "5 hp"}
    with path.open("rb") as file:
        assert load(file) == {"a": "5 hp"}
    assert load(io.BytesIO(b"\xef\xbb\xbf" + text.encode())) == {"a": "5 hp"}


def test_the_ending_decides_before_the_look() -> None:
    assert parsed("[a]", "shop.toml") == {"a": {}}
    assert refused("a = 1", "shop.json").code == "json.syntax"
    assert refused('{"a": 1}', "shop.toml").code == "toml.syntax"


@pytest.mark.parametrize(
    ("text", "data"),
    [
        ("[machine]", {"machine": {}}),
        ("[[machines]]\nid = 1", {"machines": [{"id": 1}]}),
        ("[a.b] # said", {"a": {"b": {}}}),
        ('[{"power": "5 hp"}]', [{"power": "5 hp"}]),
        ("[1, 2]", [1, 2]),
        ("[[1, 2]]", [[1, 2]]),
        ("[[1]]", {"1": [{}]}),  # a bare key may be all digits: TOML wins
    ],
)
def test_the_look_tells_a_table_from_a_list(text: str, data: object) -> None:
    assert parsed(text) == data


@pytest.mark.parametrize("source", [b"{}", 5, None, '{"a": 1}', "a = 1\nb = 2", "x" * 5000])
def test_what_is_no_file_is_refused(source: Any) -> None:  # noqa: ANN401 - anything
    with pytest.raises(InputError) as caught:
        contents(source)
    assert caught.value.code == "type.file"


def test_a_file_that_gives_neither_text_nor_bytes_is_refused() -> None:
    class Odd(io.StringIO):
        def read(self, _size: int | None = -1) -> Any:  # noqa: ANN401 - that is the point
            return 5

    with pytest.raises(InputError):
        contents(Odd())


def test_a_file_that_is_not_there_is_an_os_error(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError):
        contents(tmp_path / "none.toml")


def test_json_is_written_strictly_and_equally() -> None:
    assert to_json({"b": 1.5, "a": ["ü", None]}) == '{"b":1.5,"a":["ü",null]}'
    assert json.loads(to_json({"a": [1]}, indent=1)) == {"a": [1]}
    with pytest.raises(ValueError, match="not JSON compliant"):
        to_json({"a": float("nan")})


def test_toml_is_written_so_that_it_reads_the_same() -> None:
    data = {
        "a": 'quotes " and \\ and \n and ü and \x7f',
        "key with blanks": 1,
        "t": {"x": 1.5, "deep": {"y": True}, "none": {}},
        "rows": [{"a": 1, "in": {"b": []}}, {"a": 2, "list": [[1, 2], ["x"]]}],
        "mixed": [{"a": 1}, 2, {}],
    }
    assert tomllib.loads(to_toml(data)) == data
    assert tomllib.loads(to_toml({"a": None, "b": 1})) == {"b": 1}


def test_limits_have_their_class() -> None:
    assert isinstance(refused(b"x" * 5_000_001), LimitError)
    assert isinstance(refused("[" * 40 + "]" * 40), LimitError)
    assert isinstance(refused('{"a": NaN}'), FormatError)
