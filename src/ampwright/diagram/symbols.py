"""Symbols of two families of standards, as strokes along a line.

Drawn after IEC 60617 and IEEE Std 315, both from memory; check against the originals. Every symbol
begins at its left end and is `LENGTH` long.
"""

from typing import NamedTuple

from ampwright.diagram.scene import Scene

IEC, ANSI = "iec", "ansi"
SETS = (IEC, ANSI)
LENGTH = 30.0
#: Half the height of the tallest symbol.
HALF = 13.0


class Symbol(NamedTuple):
    """One symbol.

    Attributes:
        strokes: What is drawn, as steps of a path.
        letters: Words inside it, each with its middle.
    """

    strokes: str
    letters: tuple[tuple[str, float, float], ...] = ()


_CIRCLE = "M4 0a13 13 0 1 0 26 0a13 13 0 1 0 -26 0"
_RING = "M0 0H30M11 0a4 7 0 1 0 8 0a4 7 0 1 0 -8 0"
_FUSE = "M5 -4H25V4H5Z"
_PLAIN = "M0 0H4M4 -9H30V9H4Z"
_SOURCE = Symbol("M0 0a11 11 0 1 0 22 0a11 11 0 1 0 -22 0M22 0H30", (("~", 11.0, -0.5),))

SYMBOLS: dict[str, dict[str, Symbol]] = {
    IEC: {
        "breaker": Symbol("M0 0H8L21 -8.5M22 0H30M19.5 -2.5L24.5 2.5M19.5 2.5L24.5 -2.5"),
        "disconnect": Symbol("M0 0H8L20 -9M23 -4.5V4.5M23 0H30M18.6 0a2.2 2.2 0 1 0 4.4 0"
                             "a2.2 2.2 0 1 0 -4.4 0"),
        "fuse": Symbol(f"M0 0H30{_FUSE}"),
        "overload": Symbol("M0 0H11V-3.5H19V0H30M6 -7H24V7H6Z"),
        "residual-current": Symbol(_RING),
        "voltage-relay": Symbol("M0 0H30M15 0V-4M9 -4H21V-15H9Z", (("U", 15.0, -9.5),)),
        "transformer": Symbol("M0 0H3M3 0a7.5 7.5 0 1 0 15 0a7.5 7.5 0 1 0 -15 0"
                              "M12 0a7.5 7.5 0 1 0 15 0a7.5 7.5 0 1 0 -15 0M27 0H30"),
        "capacitor": Symbol("M0 0H13M13 -7V7M17 -7V7M17 0H30"),
        "contact": Symbol("M0 0H8L21 -8.5M22 0H30"),
        "discharge": Symbol("M7 0V-13H10M20 -13H23V0M10 -16.5H20V-9.5H10Z"),
        "motor-3": Symbol(f"M0 0H4{_CIRCLE}", (("M", 17.0, -4.0), ("3~", 17.0, 6.0))),
        "motor-1": Symbol(f"M0 0H4{_CIRCLE}", (("M", 17.0, -4.0), ("1~", 17.0, 6.0))),
        "resistive": Symbol("M0 0H4M4 -5H30V5H4Z"),
        "load": Symbol(_PLAIN),
        "source": _SOURCE,
        "converter": Symbol("M0 -20H30V20H0ZM0 20L30 -20", (("1~", 8.0, -9.0), ("3~", 22.0, 9.0))),
    },
    ANSI: {
        "breaker": Symbol("M0 0H7M23 0H30M7 -1.5Q15 -13 23 -1.5M5.2 0a1.8 1.8 0 1 0 3.6 0"
                          "a1.8 1.8 0 1 0 -3.6 0M21.2 0a1.8 1.8 0 1 0 3.6 0a1.8 1.8 0 1 0 -3.6 0"),
        "disconnect": Symbol("M0 0H5M25 0H30M7 -1L23 -10M5 0a2 2 0 1 0 4 0a2 2 0 1 0 -4 0"
                             "M21 0a2 2 0 1 0 4 0a2 2 0 1 0 -4 0"),
        "fuse": Symbol("M0 0H6M24 0H30M6 0a4.5 5 0 0 1 9 0a4.5 5 0 0 0 9 0"),
        "overload": Symbol("M0 0H8M22 0H30M8 0a4 4 0 1 1 6 3M22 0a4 4 0 1 0 -6 3"),
        "residual-current": Symbol(_RING),
        "voltage-relay": Symbol("M0 0H30M15 0V-4M9.5 -9.5a5.5 5.5 0 1 0 11 0a5.5 5.5 0 1 0 -11 0",
                                (("V", 15.0, -9.5),)),
        "transformer": Symbol("M0 0H8M8 -9a3 3 0 0 1 0 6a3 3 0 0 1 0 6a3 3 0 0 1 0 6"
                              "M22 -9a3 3 0 0 0 0 6a3 3 0 0 0 0 6a3 3 0 0 0 0 6M22 0H30"),
        "capacitor": Symbol("M0 0H13M13 -7V7M20 -7Q14 0 20 7M17 0H30"),
        "contact": Symbol("M0 0H11M11 -7V7M19 -7V7M19 0H30"),
        "discharge": Symbol("M7 0V-13H9L10 -16.5L12 -9.5L14 -16.5L16 -9.5L18 -16.5L20 -9.5L21 -13"
                            "H23V0"),
        "motor-3": Symbol(f"M0 0H4{_CIRCLE}", (("MOT", 17.0, -4.0), ("3 PH", 17.0, 5.0))),
        "motor-1": Symbol(f"M0 0H4{_CIRCLE}", (("MOT", 17.0, -4.0), ("1 PH", 17.0, 5.0))),
        "resistive": Symbol("M0 0H4L6 -5L10 5L14 -5L18 5L22 -5L26 5L28 0H30"),
        "load": Symbol(_PLAIN),
        "source": _SOURCE,
        "converter": Symbol("M0 -20H30V20H0ZM15 -20V20", (("1 PH", 7.5, 0.0), ("3 PH", 22.5, 0.0))),
    },
}  # fmt: skip


def place(scene: Scene, standard: str, name: str, at: tuple[float, float], *, down: bool) -> None:
    """Draw the symbol *name* with its beginning *at*, to the right or, where *down*, downwards."""
    symbol = SYMBOLS[standard][name]
    scene.path(symbol.strokes, at=at, turned=down, fill="none")
    for letters, x, y in symbol.letters:
        shift = (-y, x) if down else (x, y)
        size = 9.0 if len(letters) == 1 else 8.0 if len(letters) == 2 else 6.5
        where = (at[0] + shift[0], at[1] + shift[1] + size * 0.36)
        scene.words(letters, where, size=size, middle=True)
