"""What every record that a caller states has in common: its fields are checked at the door."""

import inspect
from collections.abc import Callable, Iterable, Iterator, Mapping
from types import NoneType
from typing import Any, ClassVar, Literal, Self, TypeVar, cast, get_args, get_origin

import attrs

from ampwright import bounds
from ampwright.errors import AmpwrightError, InputError, LimitError, RangeError, placed, together
from ampwright.record import Record

Item = TypeVar("Item")
MOST_ITEMS = 500
DEEPEST = 32


def several(values: Iterable[Item]) -> tuple[Item, ...]:
    """Accept any number of things; what each may be follows from the field's type."""
    if isinstance(values, str | bytes | Mapping) or not isinstance(values, Iterable):
        raise InputError(values, "a list", code="type.list")
    items = tuple(values)
    if len(items) > MOST_ITEMS:
        got = f"{len(items)} entries"
        raise LimitError(got, f"at most {MOST_ITEMS} entries", code="limit.entries")
    return items


def ids(values: Iterable[str]) -> tuple[str, ...]:
    """Accept any number of ids."""
    return several(values)


class Extra(Mapping[str, Any]):
    """The caller's own data: plain, and not to be changed."""

    __slots__ = ("_items",)

    def __init__(self, items: Mapping[str, Any]) -> None:
        self._items = dict(items)

    def __getitem__(self, key: str) -> Any:  # noqa: ANN401 - the caller's own data
        return self._items[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self._items)

    def __len__(self) -> int:
        return len(self._items)

    def __hash__(self) -> int:
        return hash(frozenset(self._items))

    def __repr__(self) -> str:
        return f"Extra({self._items!r})"


def own_data(value: Mapping[str, object]) -> Mapping[str, Any]:
    """Accept plain data: text, finite numbers, true, false, lists and tables; take a copy."""
    if not isinstance(value, Mapping):
        raise InputError(value, "a table", code="type.table")
    found: Mapping[str, Any] = _frozen(value, DEEPEST)
    return found


def _frozen(value: object, room: int) -> Any:  # noqa: ANN401 - the caller's own data
    if room == 0:
        raise LimitError("nested data", f"a depth of at most {DEEPEST}", code="limit.depth")
    if isinstance(value, Mapping):
        return Extra({bounds.text(key): _frozen(one, room - 1) for key, one in value.items()})
    if isinstance(value, list | tuple):
        return tuple(_frozen(one, room - 1) for one in value)
    if isinstance(value, str):
        return bounds.text(value, 100_000)
    if value is None or isinstance(value, bool) or type(value) in (int, float):
        if isinstance(value, float) and value - value != 0.0:
            raise RangeError(value, "a finite number", code="range.nonfinite")
        return value
    raise InputError(value, "text, a number, true, false, a list or a table", code="type.plain")


class Door:
    """Converts and checks one field, and puts the field's name into what goes wrong."""

    __slots__ = ("checks", "name", "optional")
    __signature__: ClassVar[inspect.Signature] = inspect.Signature()  # spares attrs the search

    def __init__(
        self, name: str, checks: tuple[Callable[[Any], Any], ...], *, optional: bool
    ) -> None:
        self.name, self.checks, self.optional = name, checks, optional

    def __call__(self, value: Any) -> Any:  # noqa: ANN401 - what may pass is what it is for
        """Return *value* as the field holds it."""
        if value is None:
            if self.optional:
                return None
            raise InputError(value, "a value", self.name, code="field.missing")
        try:
            for check in self.checks:
                value = check(value)
        except AmpwrightError as error:
            placed(error, self.name)
            raise
        except Exception as error:  # a stranger's object may raise anything when it is looked at
            said = f"an object of type {type(value).__name__}"
            wanted = "a value that can be read"
            raise InputError(said, wanted, self.name, code="type.unreadable") from error
        return value


def _every(check: Callable[[Any], Any]) -> Callable[[tuple[Any, ...]], tuple[Any, ...]]:
    def all_of_them(items: tuple[Any, ...]) -> tuple[Any, ...]:
        found: list[Any] = []
        faults: list[AmpwrightError] = []
        for number, item in enumerate(items):
            try:
                found.append(check(item))
            except AmpwrightError as error:
                faults.extend(placed(error, f"[{number}]"))
        if faults:
            raise together(faults)
        return tuple(found)

    return all_of_them


def _kept(kinds: tuple[type, ...]) -> Callable[[Any], Any]:
    def instance(value: object) -> object:
        if not isinstance(value, kinds):
            names = " or ".join(kind.__name__ for kind in kinds)
            wanted = f"a table with the fields of {names}"
            raise InputError(value, wanted, code="type.record")
        return value

    return instance


def _check(kind: Any, field: "attrs.Attribute[Any]") -> Callable[[Any], Any] | None:  # noqa: ANN401 - an annotation may be anything
    """Return the check that follows from a type, or ``None``: the converter does it all."""
    parts, name = get_args(kind), field.alias or field.name
    if get_origin(kind) is tuple:
        inner = _check(parts[0], field)
        return _every(inner) if inner else None
    records = tuple(one for one in parts or (kind,) if isinstance(one, type) and attrs.has(one))
    if records:
        return _kept(records)
    if get_origin(kind) is Literal:
        return lambda value: bounds.one_of(value, parts, name)
    return _simple_check(kind, field, name)


def _simple_check(
    kind: object, field: "attrs.Attribute[Any]", name: str
) -> Callable[[Any], Any] | None:
    if kind is bool:
        return bounds.flag
    if kind is int:
        low, high = field.metadata.get("band", (0, 1000))
        return lambda value: bounds.whole(value, low, high, name)
    if kind is str and "id" in field.metadata:
        return bounds.name
    if kind is str:
        longest = field.metadata.get("longest", bounds.LONGEST_TEXT)
        return lambda value: bounds.text(value, longest)
    return None


def doors(_cls: type, fields: list["attrs.Attribute[Any]"]) -> list["attrs.Attribute[Any]"]:
    """Give every field of a record its door; attrs calls this when the class is made.

    The fields are this class's own copies, so that they take their doors as they are: copying
    hundreds of them once more is a tenth of the time that the records take to load.
    """
    for field in fields:
        if not field.init or isinstance(field.converter, Door):  # the latter is inherited
            continue
        parts = get_args(field.type)
        optional = NoneType in parts
        left = [one for one in parts if one is not NoneType]
        kind = left[0] if optional and len(left) == 1 else field.type
        checks = (cast("Callable[[Any], Any] | None", field.converter), _check(kind, field))
        found = tuple(one for one in checks if one is not None)
        door = Door(field.alias or field.name, found, optional=optional)
        object.__setattr__(field, "converter", door)
    return fields


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Statement(Record):
    """A record that a caller states. It is equal to every other that says the same."""

    #: Keys that a file or mapping stated, so that what was said explicitly is written back.
    _stated: frozenset[str] = attrs.field(init=False, default=frozenset(), eq=False)

    def __repr__(self) -> str:
        said = [
            f"{field.alias}={getattr(value, 'given', value)!r}"
            for field in attrs.fields(type(self))
            if field.init and (value := getattr(self, field.name)) != field.default
        ]
        return f"{type(self).__name__}({', '.join(said)})"

    def _with_stated(self, keys: Iterable[str]) -> Self:
        """Note the *keys* that were stated; for the reader of files, once, before handing over."""
        object.__setattr__(self, "_stated", frozenset(keys))
        return self
