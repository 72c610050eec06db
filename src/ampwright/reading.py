"""Plain data to any attrs record, driven by the record's own fields.

Every fault is kept with its path, and one error lists them all. A record that a caller states has
converters that check at the door; a record of results has none, and its plain types are checked
here.
"""

from collections.abc import Callable, Mapping
from types import NoneType, UnionType
from typing import Any, Literal, TypeVar, Union, cast, get_args, get_origin

import attrs

from ampwright import bounds
from ampwright.documents import quoted
from ampwright.errors import (
    AmpwrightError,
    FormatError,
    InputError,
    InternalError,
    LimitError,
    RangeError,
    SchemaVersionError,
    joined,
    placed,
    together,
)
from ampwright.notation import writes_comma
from ampwright.quantity import decimal_comma
from ampwright.record import values_of

Record = TypeVar("Record")
MOST_FAULTS = 200
DEEPEST = 32
_LONGEST_LIST = 100_000
MOST_STATED = 500


class Faults(list[AmpwrightError]):
    """Faults found so far; with *leftovers*, unknown keys are kept there and are no faults."""

    leftovers: "Leftovers | None" = None


#: Path of a record and unknown key in it: what stood there.
Leftovers = dict[tuple[str, str], object]
Reader = Callable[[Any, str, Faults], Any]


class _Faulty:
    """What stands in for a value that could not be read."""


FAULTY = _Faulty()


class Field:
    """What reading and writing need to know about one field."""

    __slots__ = (
        "_kind", "_read", "alias", "always", "converter", "default", "factory", "head", "integral",
        "name", "required", "texts",
    )  # fmt: skip

    def __init__(self, field: "attrs.Attribute[Any]") -> None:
        self.name, self.alias = field.name, field.alias or field.name
        self.converter = cast("Callable[[Any], Any] | None", field.converter)
        self.head = f"{quoted(self.alias)}:"
        self.required = field.default is attrs.NOTHING
        self.factory: Callable[[], Any] | None = getattr(field.default, "factory", None)
        self.default = field.default
        self.always = "always" in field.metadata
        self.integral = _has(field.type, int) or not _has(field.type, float)
        #: It holds texts, or lists of them, alone.
        self.texts = get_origin(field.type) is tuple and _texts_alone(field.type)
        self._kind, self._read = field.type, cast("Reader | None", None)

    @property
    def read(self) -> Reader:
        """What reads a value of the field, made once it is asked for: much is only written."""
        if self._read is None:
            self._read = _reader(self._kind, checked=self.converter is None)
        return self._read

    def usual(self) -> object:
        """Return the value of the field when it is left out."""
        return self.factory() if self.factory else self.default


class Layout:
    """The fields of one class of records, in order and by the names that files use."""

    __slots__ = (
        "by_alias", "empties", "fields", "flat", "localised", "schema", "sparse",
        "statement", "values", "word",
    )  # fmt: skip

    def __init__(self, cls: type) -> None:
        self.fields = [Field(one) for one in attrs.fields(cls) if one.init]
        self.by_alias = {one.alias: one for one in self.fields}
        self.schema: str = getattr(cls, "SCHEMA", "")
        self.word: str = getattr(cls, "WORD", "")
        self.statement = hasattr(cls, "_with_stated")
        self.localised = self.statement and "locale" in self.by_alias
        #: Fields that hold nothing, as their default does, are not written.
        self.sparse: bool = getattr(cls, "SPARSE", False)
        self.values = values_of([one.name for one in self.fields])
        #: It holds texts alone.
        self.flat = not self.statement and all(one.type is str for one in attrs.fields(cls))
        #: What a field holds that holds nothing; there is one object of each kind of nothing.
        self.empties = [
            one.default if one.default in (None, "", ()) else attrs.NOTHING for one in self.fields
        ]


_layouts: dict[type, Layout] = {}


def known_layout(cls: type) -> Layout | None:
    """Return the layout of *cls*; ``None`` where it is no attrs class."""
    return _layouts.get(cls) or (layout_of(cls) if attrs.has(cls) else None)


def layout_of(cls: type) -> Layout:
    """Return the layout of the attrs class *cls*, made once."""
    found = _layouts.get(cls)
    if found is None:
        found = _layouts[cls] = Layout(cls)
    return found


def _has(kind: Any, wanted: type) -> bool:  # noqa: ANN401 - an annotation may be anything
    return kind is wanted or any(_has(one, wanted) for one in get_args(kind))


def _texts_alone(kind: Any) -> bool:  # noqa: ANN401 - an annotation may be anything
    inside = [one for one in get_args(kind) if one is not ...]
    return all(_texts_alone(one) for one in inside) if inside else kind is str


# Reading: one function for each type of field, made once.


def _reader(kind: Any, *, checked: bool) -> Reader:  # noqa: ANN401 - an annotation may be anything
    """Return the function that reads *kind*; unless *checked*, plain values pass to a converter."""
    origin, parts = get_origin(kind), get_args(kind)
    if origin in (Union, UnionType):
        found = _union(parts, checked=checked)
    elif origin is tuple:
        found = _tuple(parts, checked=checked)
    elif isinstance(kind, type) and attrs.has(kind):
        found = _one_record((kind,), checked=checked)
    elif not checked:
        found = _as_it_is
    elif origin is Literal:
        found = _simple(lambda value: bounds.one_of(value, parts, "word"))
    elif isinstance(origin, type) and issubclass(origin, Mapping):
        found = _table(parts[1])
    else:
        found = _simple(_PLAIN[kind]) if kind in _PLAIN else _as_it_is
    return found


def _as_it_is(value: object, _path: str, _faults: Faults) -> object:
    return value


def _finite(value: object) -> float:
    number = bounds.plain_number(value)
    if number - number != 0.0:
        raise RangeError(value, "a finite number", code="range.nonfinite")
    return number


_PLAIN: dict[Any, Callable[[Any], Any]] = {
    bool: bounds.flag,
    int: lambda value: bounds.whole(value, -(10**15), 10**15, "integer"),
    float: _finite,
    str: lambda value: bounds.text(value, 100_000),
}


def _simple(check: Callable[[Any], Any]) -> Reader:
    def read_simple(value: object, path: str, faults: Faults) -> object:
        try:
            return check(value)
        except AmpwrightError as error:
            faults.extend(placed(error, path))
            return FAULTY

    return read_simple


def _union(parts: tuple[Any, ...], *, checked: bool) -> Reader:
    left = [one for one in parts if one is not NoneType]
    records = tuple(one for one in left if isinstance(one, type) and attrs.has(one))
    if records:
        inner = _one_record(records, checked=checked)
    elif len(left) == 1:
        inner = _reader(left[0], checked=checked)
    elif checked and set(left) == {float, str}:
        inner = _simple(lambda value: value if isinstance(value, str) else _finite(value))
    elif checked:
        raise InternalError(parts, "a union of records, or of a float and text")
    else:
        inner = _as_it_is
    if NoneType not in parts:
        return inner
    return lambda value, path, faults: None if value is None else inner(value, path, faults)


def _tuple(parts: tuple[Any, ...], *, checked: bool) -> Reader:
    endless = len(parts) == 2 and parts[1] is Ellipsis
    readers = [_reader(one, checked=checked) for one in parts[: 1 if endless else None]]

    def read_tuple(value: object, path: str, faults: Faults) -> object:
        if not isinstance(value, list | tuple):
            if not checked:
                return value  # the converter says what it wants
            faults.append(InputError(value, "a list", path, code="type.list"))
            return FAULTY
        if len(value) > (_LONGEST_LIST if checked else MOST_STATED) or (
            not endless and checked and len(value) != len(readers)
        ):
            most = _LONGEST_LIST if checked else MOST_STATED
            wanted = f"{most} entries at most" if endless else f"{len(readers)} entries"
            faults.append(LimitError(f"{len(value)} entries", wanted, path, code="limit.entries"))
            return FAULTY
        before = len(faults)
        each = readers * len(value) if endless else readers
        found = tuple(
            reader(one, f"{path}[{number}]", faults)
            for number, (reader, one) in enumerate(zip(each, value, strict=False))
        )
        return found if len(faults) == before else FAULTY

    return read_tuple


def _table(kind: Any) -> Reader:  # noqa: ANN401 - an annotation may be anything
    inner = _reader(kind, checked=True)

    def read_table(value: object, path: str, faults: Faults) -> object:
        if not isinstance(value, Mapping):
            faults.append(InputError(value, "a table", path, code="type.table"))
            return FAULTY
        before = len(faults)
        found = {str(key): inner(one, joined(path, str(key)), faults) for key, one in value.items()}
        return found if len(faults) == before else FAULTY

    return read_table


def _one_record(kinds: tuple[type, ...], *, checked: bool) -> Reader:
    """Return the reader of a record; of several, the field ``kind`` tells which."""

    def read_one(value: object, path: str, faults: Faults) -> object:
        if not isinstance(value, Mapping):
            if not checked:
                return value  # a record already, or a shorthand: the converter knows
            names = " or ".join(kind.__name__ for kind in kinds)
            wanted = f"a table with the fields of {names}"
            faults.append(InputError(value, wanted, path, code="type.record"))
            return FAULTY
        if len(kinds) == 1:
            return _record(kinds[0], value, path, faults)
        by_kind = {layout_of(kind).by_alias["kind"].default: kind for kind in kinds}
        try:
            word = bounds.one_of(value.get("kind"), [str(one) for one in by_kind], "kind")
        except AmpwrightError as error:
            faults.extend(placed(error, joined(path, "kind")))
            return FAULTY
        return _record(by_kind[word], value, path, faults)

    return read_one


def _unknown(layout: Layout, data: Mapping[str, Any], path: str, faults: Faults) -> None:
    known = [*layout.by_alias, *(["schema"] if layout.schema else [])]
    for key in data:
        if key not in known and faults.leftovers is not None:
            faults.leftovers[path, key] = data[key]
        elif key not in known:
            if len(faults) > MOST_FAULTS:
                return
            remedy = bounds.hint(key, known)
            wanted = "no such field" if remedy else f"one of the fields {', '.join(known)}"
            name = bounds.shortened(key)
            place = joined(path, name)
            faults.append(InputError(name, wanted, place, code="field.unknown", remedy=remedy))


def _value(field: Field, raw: object, path: str, faults: Faults) -> object:
    """Return one field's value, through its converter, or `FAULTY`."""
    value = field.read(raw, joined(path, field.alias), faults)
    if value is FAULTY or field.converter is None:
        return value
    try:
        return field.converter(value)
    except AmpwrightError as error:
        faults.extend(placed(error, path))
        return FAULTY


def _record(cls: type, data: Mapping[str, Any], path: str, faults: Faults) -> object:
    if not layout_of(cls).localised:
        return _read_record(cls, data, path, faults)
    token = decimal_comma.set(speaks_comma(data.get("locale")))
    try:
        return _read_record(cls, data, path, faults)
    finally:
        decimal_comma.reset(token)


def speaks_comma(locale: object) -> bool:
    """Return whether *locale* writes a decimal comma; not for ``None`` or one unknown."""
    try:
        return isinstance(locale, str) and writes_comma(locale)
    except InputError:  # reported where the field is read
        return False


def _read_record(cls: type, data: Mapping[str, Any], path: str, faults: Faults) -> object:
    layout, before = layout_of(cls), len(faults)
    if len(faults) > MOST_FAULTS:
        return FAULTY
    _unknown(layout, data, path, faults)
    values = {}
    for field in layout.fields:
        if field.alias in data:
            values[field.alias] = _value(field, data[field.alias], path, faults)
        elif field.required:
            place = joined(path, field.alias)
            faults.append(InputError(None, "a value", place, code="field.missing"))
    if len(faults) > before:
        told = getattr(cls, "told_in_parts", None)  # what can be told of the rest
        if told is not None and len(faults) <= MOST_FAULTS:
            faults.extend(fault for one in told(data, values) for fault in placed(one, path))
        return FAULTY
    try:
        found = cls(**values)
    except AmpwrightError as error:
        faults.extend(placed(error, path))
        return FAULTY
    except (TypeError, ValueError) as error:  # a plain validator of a result
        said = str(error.args[0]) if error.args else type(error).__name__
        faults.append(FormatError(said, f"a sound {cls.__name__}", path, code="record.value"))
        return FAULTY
    return found._with_stated(data) if layout.statement else found


def read(cls: type[Record], data: object, *, leftovers: Leftovers | None = None) -> Record:
    """Return the record of class *cls* that *data* describes.

    Args:
        cls: An attrs class.
        data: Plain data: a mapping by the fields' aliases.
        leftovers: Where unknown keys go; ``None``: they are refused.

    Raises:
        AmpwrightError: All faults together, in ``faults``; checks across fields are made of what
            is otherwise sound.
    """
    if not isinstance(data, Mapping):
        got = "an array" if isinstance(data, list | tuple) else type(data).__name__
        wanted = "an object (a table) at the top level"
        raise FormatError(got, wanted, code="schema.top_level")
    faults = Faults()
    faults.leftovers = leftovers
    found = _record(cls, data, "", faults)
    if faults:
        raise together(faults)
    return cast("Record", found)


def newer(number: str, than: str) -> bool:
    """Return whether the digits *number* are more than those of *than*; of any length."""
    left, right = number.lstrip("0"), than.lstrip("0")
    return (len(left), left) > (len(right), right)


def known_schema(data: object, schema: str, *, required: bool = True) -> None:
    """Check that *data* states the *schema*, as ``"ampwright.plan/1"``.

    Raises:
        FormatError: It states none, or one of another kind.
        SchemaVersionError: It states a newer version.
    """
    stated = data.get("schema") if isinstance(data, Mapping) else None
    if stated is None and not required:
        return
    if isinstance(stated, str) and stated == schema:
        return
    if stated is None:
        wanted = f'schema = "{schema}"'
        raise FormatError(None, wanted, "schema", code="schema.missing")
    kind, _, number = stated.partition("/") if isinstance(stated, str) else ("", "", "")
    ours, _, version = schema.partition("/")
    if kind == ours and number.isascii() and number.isdigit() and newer(number, version):
        raise SchemaVersionError(
            stated, f"{schema} at most", "schema", code="schema.too_new",
            remedy="written by a newer version: upgrade ampwright",
        )  # fmt: skip
    raise FormatError(stated, schema, "schema", code="schema.unknown")
