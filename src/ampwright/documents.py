"""JSON and TOML texts, read within limits that hold before anything is parsed, and written."""

import json
import re
from collections.abc import Iterable, Iterator
from importlib import import_module
from itertools import accumulate
from json.encoder import encode_basestring
from os import PathLike, fspath
from typing import IO, Any, NoReturn

from ampwright.errors import FormatError, InputError, LimitError, shown

#: What JSON makes of a text.
quoted = encode_basestring
LARGEST_FILE = 5_000_000
DEEPEST = 32
_MOST_DIGITS = 30

_COMPRESSED = (b"\x1f\x8b", b"BZh", b"\xfd7zXZ", b"\x28\xb5\x2f\xfd", b"PK\x03\x04", b"7z\xbc\xaf")
_BRACKETS = bytes(set(range(256)) - set(b"[]{}"))
_TOKENS = r'"(?:[^"\\]|\\.)*"|([\[{])|([\]}])'
_TOML_PART = r"(?:[A-Za-z0-9_-]+|\"(?:[^\"\\\n]|\\.)*\"|'[^'\n]*')"
_TOML_TOKENS = (
    r'(?s)"""(?:[^\\]|\\.)*?"""' + r"|'''.*?'''|#[^\n]*"
    rf"|({_TOML_PART}(?:[ \t]*\.[ \t]*{_TOML_PART})*)|([\[{{])|([\]}}])"
)
_TOML_HEADER = rf"\[\[?[ \t]*{_TOML_PART}(?:[ \t]*\.[ \t]*{_TOML_PART})*[ \t]*\]\]?"
_NONFINITE = r'"(?:[^"\\]|\\.)*"|(NaN|-?Infinity)'
_LONG_NUMBER = r'"(?:[^"\\]|\\.)*"|(-?[0-9]{31,})(?![0-9.eE])'


def contents(source: str | PathLike[str] | IO[Any]) -> tuple[str, str]:
    """Return name and text of a file, given by its path or open.

    Raises:
        FormatError: It is no text in UTF-8.
        LimitError: It is larger than 5 MB.
        InputError: It is neither a path nor a file.
        OSError: It cannot be read.
    """
    if isinstance(source, bytes | bytearray):
        raise InputError("bytes", "a path or an open file", code="type.file")
    if isinstance(source, str | PathLike):
        path = fspath(source)
        if "\n" in path or path.lstrip()[:1] == "{" or len(path) > 4096:
            wanted = "a path; text is read with Shop.from_dict once it is parsed"
            raise InputError(path, wanted, code="type.file")
        with open(path, "rb") as file:  # noqa: PTH123 - pathlib would be imported for one call
            return _base(path), decoded(file.read(LARGEST_FILE + 1))
    if not hasattr(source, "read"):
        raise InputError(source, "a path or an open file", code="type.file")
    data = source.read(LARGEST_FILE + 1)
    if not isinstance(data, str | bytes):
        raise InputError(type(data).__name__, "a file that gives text or bytes", code="type.file")
    name = _base(str(getattr(source, "name", "")))
    return name, decoded(data if isinstance(data, bytes) else data.encode("utf-8", "replace"))


def _base(path: str) -> str:
    return re.split(r"[/\\]", path)[-1]


def _too_large() -> LimitError:
    return LimitError(
        "a larger file", f"at most {LARGEST_FILE // 10**6} MB", code="limit.file_size"
    )


def decoded(data: bytes) -> str:
    """Return the text of *data*, which must be JSON or TOML in UTF-8, not compressed or pickled."""
    if len(data) > LARGEST_FILE:
        raise _too_large()
    if data.startswith(_COMPRESSED):
        wanted = "plain JSON or TOML"
        raise FormatError("a compressed file", wanted, code="file.compressed")
    if data[:1] == b"\x80" or data.lstrip()[:1] == b"<":
        raise FormatError("something else", "JSON or TOML text", code="file.format")
    if data.startswith((b"\xff\xfe", b"\xfe\xff")) or b"\0" in data[:4]:
        raise FormatError("UTF-16 or UTF-32", "text in UTF-8", code="file.encoding")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise FormatError(
            f"a byte that is not UTF-8 in line {line}", "text in UTF-8", code="file.encoding"
        ) from None


def _place(text: str, position: int) -> str:
    line = text.count("\n", 0, position) + 1
    return f"line {line}, column {position - text.rfind(chr(10), 0, position)}"


def _too_deep() -> LimitError:
    return LimitError("deeper data", f"a depth of at most {DEEPEST}", code="limit.depth")


def _hold_depth(text: str, tokens: Iterable[tuple[bool, bool]]) -> None:
    """Refuse *text* whose brackets nest too deep; *tokens* are looked at only in doubt."""
    found = text.encode("utf-8", "replace").translate(None, _BRACKETS)
    steps = (1 if one in b"[{" else -1 for one in found)
    if max(accumulate(steps), default=0) <= DEEPEST:
        return
    depth = 0
    for opens, closes in tokens:
        depth += opens - closes
        if depth > DEEPEST:
            raise _too_deep()


def _no_constant(name: str) -> NoReturn:
    raise FormatError(name, "finite numbers", code="json.nonfinite")


def _integer(digits: str) -> int:
    if len(digits) > _MOST_DIGITS:
        raise FormatError(
            f"a number of {len(digits)} digits",
            f"at most {_MOST_DIGITS} digits",
            code="json.number",
        )
    return int(digits)


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        seen: set[str] = set()
        for twice, _value in pairs:
            if twice in seen:
                break
            seen.add(twice)
        raise FormatError(f"{shown(twice)} twice", "each key once", code="json.duplicate_key")
    return found


def from_json(text: str) -> Any:  # noqa: ANN401 - what a file holds
    """Return the data of JSON *text*, strictly: finite, each key once, nested at most 32 deep.

    Raises:
        FormatError: It is not that.
        LimitError: It nests deeper.
    """
    _hold_depth(text, ((bool(one[1]), bool(one[2])) for one in re.finditer(_TOKENS, text)))
    try:
        return json.loads(
            text, parse_constant=_no_constant, parse_int=_integer, object_pairs_hook=_once
        )
    except json.JSONDecodeError as error:
        place = f"line {error.lineno}, column {error.colno}"
        wanted = f"JSON ({error.msg})"
        remedy = (
            "this is TOML; of a plan, what to_json or plan --json wrote is wanted"
            if error.pos == text.find(text.strip()[:1]) and _is_toml(text)
            else ""
        )
        raise FormatError(place, wanted, code="json.syntax", remedy=remedy) from None
    except RecursionError:
        raise _too_deep() from None
    except FormatError as error:
        pattern = {"json.nonfinite": _NONFINITE, "json.number": _LONG_NUMBER}.get(error.code)
        hits = (one for one in re.finditer(pattern, text) if one[1]) if pattern else iter(())
        if hit := next(hits, None):
            error.remedy = _place(text, hit.start())
        raise


def _is_toml(text: str) -> bool:
    """Tell whether *text* reads as TOML that states something."""
    try:
        return bool(from_toml(text))
    except (FormatError, LimitError):
        return False


def from_toml(text: str) -> dict[str, Any]:
    """Return the data of TOML *text*.

    Raises:
        FormatError: It is not TOML.
        LimitError: It nests deeper than 32, or a key has more parts.
    """
    _hold_depth(text, ((bool(one[2]), bool(one[3])) for one in re.finditer(_TOML_TOKENS, text)))
    if max(map(_dots, text.splitlines()), default=0) >= DEEPEST:
        for one in re.finditer(_TOML_TOKENS, text):
            if one[1] and one[1].count(".") >= DEEPEST and len(_parts(one[1])) > DEEPEST:
                raise _too_deep()
    reader = import_module("tomllib")  # here, since most programs read no TOML
    try:
        found: dict[str, Any] = reader.loads(text)
    except reader.TOMLDecodeError as error:
        said = str(error)
        raise FormatError(said, "TOML", code="toml.syntax") from None
    except RecursionError:
        raise _too_deep() from None
    except ValueError:  # an integer that Python does not convert
        raise FormatError(
            "a longer number", "numbers of fewer digits", code="toml.number"
        ) from None
    return found


def _dots(line: str) -> int:
    return line.count(".")


def _parts(key: str) -> list[str]:
    return re.findall(_TOML_PART, key)


def parsed(text: str, name: str = "") -> Any:  # noqa: ANN401 - what a file holds
    """Return the data of *text*: JSON or TOML by the ending of *name*, else by how it begins."""
    ending = name.rpartition(".")[2].casefold()
    if ending not in ("json", "toml"):
        lines = (line.strip() for line in text.splitlines())
        first = next((line for line in lines if line and line[0] != "#"), "")
        is_json = first[:1] == "{" or (first[:1] == "[" and not re.match(_TOML_HEADER, first))
        ending = "json" if is_json else "toml"
    if not text.strip():
        raise FormatError("an empty file", "JSON or TOML text", code="file.empty")
    return from_json(text) if ending == "json" else from_toml(text)


def load(source: str | PathLike[str] | IO[Any]) -> Any:  # noqa: ANN401 - what a file holds
    """Return the data of a JSON or TOML file, given by its path or open."""
    name, text = contents(source)
    return parsed(text, name)


def to_json(data: object, *, indent: int | None = None) -> str:
    """Return plain *data* as JSON; equal data give equal text."""
    separators = (",", ":") if indent is None else (",", ": ")
    return json.dumps(
        data, ensure_ascii=False, allow_nan=False, indent=indent, separators=separators
    )


def to_toml(data: dict[str, Any]) -> str:
    """Return plain *data* as TOML; ``None``, which TOML does not have, is left out."""
    return "\n".join(_toml_lines(data, ())).strip("\n") + "\n"


def _toml_lines(data: dict[str, Any], path: tuple[str, ...]) -> Iterator[str]:
    tables = []
    for key, value in data.items():
        if isinstance(value, dict) or (
            isinstance(value, list) and value and all(isinstance(one, dict) for one in value)
        ):
            tables.append((key, value))
        elif value is not None:
            yield f"{_toml_key(key)} = {_toml_value(value)}"
    for key, value in tables:
        below = (*path, key)
        name = ".".join(map(_toml_key, below))
        for one in [value] if isinstance(value, dict) else value:
            yield f"\n[{name}]" if isinstance(value, dict) else f"\n[[{name}]]"
            yield from _toml_lines(one, below)


def _toml_key(key: str) -> str:
    return key if re.fullmatch(r"[A-Za-z0-9_-]+", key) else _toml_text(key)


def _toml_text(text: str) -> str:
    # JSON's escapes are TOML's, but for the slash, which json does not escape, and DEL
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def _toml_value(value: object) -> str:
    if isinstance(value, str):
        return _toml_text(value)
    if isinstance(value, list):
        return f"[{', '.join(_toml_value(one) for one in value if one is not None)}]"
    if isinstance(value, dict):
        pairs = (f"{_toml_key(key)} = {_toml_value(one)}" for key, one in value.items())
        return f"{{ {', '.join(pairs)} }}" if value else "{}"
    return json.dumps(value)
