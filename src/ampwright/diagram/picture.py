"""A drawing of a plan, ready to be shown or saved; what draws it is loaded once it is asked."""

from os import PathLike
from pathlib import Path

import attrs

from ampwright.errors import InputError


@attrs.frozen(kw_only=True)
class Diagram:
    """A drawing of one way to run the shop. The same plan gives the same drawing, to the byte.

    Attributes:
        kind: What it shows, ``"one-line"``, ``"connection"`` or ``"phasor"``.
        symbols: Symbols that it is drawn with, ``"iec"`` or ``"ansi"``.
        option: Id of the option that it shows.
        svg: The drawing as a text of SVG, without scripts and without anything from outside.
    """

    kind: str
    symbols: str
    option: str
    svg: str = attrs.field(repr=False)

    def _repr_svg_(self) -> str:
        """Return the drawing for a notebook, which asks by this name."""
        return self.svg

    def save(self, path: str | PathLike[str]) -> None:
        """Write the drawing to the file *path*, whose name ends in ``.svg``.

        Raises:
            InputError: The name ends otherwise.
            OSError: The file cannot be written.
        """
        file = Path(path)
        if file.suffix.casefold() != ".svg":
            raise InputError(str(path), "a name that ends in .svg", "path", code="format.unknown")
        file.write_bytes(self.svg.encode("utf-8"))
