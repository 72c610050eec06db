"""Everything that ampwright raises on purpose."""

from collections.abc import Sequence
from typing import ClassVar

import attrs

_LONGEST = 80
_ABSENT = ("field.missing", "schema.missing")


def shown(value: object) -> str:
    """Return *value* as a message shows it: on one line, control characters visible, cut short."""
    if isinstance(value, str):
        text = repr(value[: _LONGEST + 1])
    elif isinstance(value, bool | None):
        text = {True: "true", False: "false", None: "none"}[value]
    elif isinstance(value, list | tuple | dict | set | frozenset):
        text = f"{type(value).__name__} of {len(value)}"
    else:
        try:
            text = str(value)
        except Exception:  # a stranger's object may refuse to be printed
            text = f"an object of type {type(value).__name__}"
    text = "".join(one if one.isprintable() else repr(one)[1:-1] for one in text)
    return text if len(text) <= _LONGEST else f"{text[: _LONGEST - 3]}..."


@attrs.define(eq=False, slots=False)
class AmpwrightError(Exception):
    """Root: what was given, what would be right, and where; ``faults`` when there are several.

    Attributes:
        value: What was given.
        expected: What would be right.
        path: Where, as ``machines[0].motors[0].power``.
        faults: Every fault found, this one included; empty when it is the only one.
        code: Stable word for programs, ``area.slug``.
        remedy: What to do, where *expected* alone does not say it.
    """

    default_code: ClassVar[str] = "error.any"
    value: object
    expected: str
    path: str = ""
    faults: tuple["AmpwrightError", ...] = ()
    code: str = ""
    remedy: str = ""

    def __attrs_post_init__(self) -> None:
        self.code = self.code or self.default_code

    def line(self) -> str:
        """Return this fault alone, on one line."""
        remedy = f"; {self.remedy}" if self.remedy else ""
        place = self.path or "value"
        return f"{place}: expected {self.expected}, got {shown(self.value)}{remedy} [{self.code}]"

    def __str__(self) -> str:
        return "\n".join(fault.line() for fault in self.faults or (self,))


class InputError(AmpwrightError, ValueError):
    """A value given by the caller cannot be used."""

    default_code = "input.value"


class UnitError(InputError):
    """A quantity without a unit, with one of another kind, or in a spelling that is not read."""

    default_code = "unit.dimension"


class RangeError(InputError):
    """A number outside what is possible."""

    default_code = "range.value"


class ConsistencyError(InputError):
    """Two statements that cannot both be true."""

    default_code = "consistency.value"


class FormatError(AmpwrightError, ValueError):
    """A file or text that is not of the form it should have."""

    default_code = "file.format"


class LimitError(AmpwrightError, ValueError):
    """More than is read or worked on: file size, depth, length of a text."""

    default_code = "limit.any"


class SchemaVersionError(AmpwrightError, ValueError):
    """A stored file of a schema that this version does not read."""

    default_code = "schema.version"


class PluginError(AmpwrightError, RuntimeError):
    """A plugin cannot be used; ``path`` is its name."""

    default_code = "plugin.any"


class PluginContractError(PluginError, TypeError):
    """A plugin breaks what its protocol asks for."""

    default_code = "plugin.contract"


class PluginLoadError(PluginError):
    """A plugin cannot be imported."""

    default_code = "plugin.load"


class PluginVersionError(PluginError):
    """A plugin was made for another version of the plugin interface."""

    default_code = "plugin.version"


class PluginConflictError(PluginError):
    """Two plugins claim the same id."""

    default_code = "plugin.conflict"


class InternalError(AmpwrightError, RuntimeError):
    """A broken promise of ours: please report it."""

    default_code = "internal.broken"


def together(faults: Sequence[AmpwrightError]) -> AmpwrightError:
    """Return one error for all *faults*: of the class and code of the one that leads.

    What was given wrongly leads; what is merely missing follows from much else and leads only
    where nothing else is wrong.
    """
    lead = next((one for one in faults if one.code not in _ABSENT), faults[0])
    if len(faults) == 1:
        return lead
    return type(lead)(lead.value, lead.expected, lead.path, tuple(faults), lead.code, lead.remedy)


def joined(path: str, below: str) -> str:
    """Return the path of *below* under *path*."""
    return f"{path}{below}" if not path or not below or below[0] == "[" else f"{path}.{below}"


def placed(error: AmpwrightError, path: str) -> list[AmpwrightError]:
    """Put *error* and its faults below *path*; return the faults one by one."""
    faults = list(error.faults)
    for one in (*faults, error):
        one.path = joined(path, one.path)
    return faults or [error]
