"""The text of a plate cut into pieces, none of which is lost."""

import re
from typing import Final, NamedTuple

# Signs that look alike on metal and in type, one for one so that places stay the same.
_ALIKE: Final = str.maketrans(
    {
        **dict.fromkeys("∆△▵", "Δ"),
        **dict.fromkeys("‐‑‒–—−﹣－", "-"),
        **dict.fromkeys("⁄∕／", "/"),
        **dict.fromkeys("×✕✖", "x"),
        **dict.fromkeys("∼～〜˜", "~"),
        **dict.fromkeys("\t\n\r\v\f\xa0\u2002\u2003\u2007\u2009\u202f\u3000", " "),
        **dict.fromkeys("ϕΦɸ", "φ"),
        **dict.fromkeys("Øø⌀∅", "ø"),
        **dict.fromkeys("º˚", "°"),
        **dict.fromkeys("⅄λ人", "Y"),
        **dict.fromkeys("μ", "µ"),
        **dict(zip("：；．，％", ":;.,%", strict=True)),
        **{chr(0xFF10 + n): str(n) for n in range(10)},
    }
)
# a sign that is composed of two, as some keyboards write it, stays two and is not read

_DIGITS = r"(?:[0-9]+(?:[.,][0-9]+)*|(?<![0-9])[.,][0-9]+)"
_MIXED = r"[0-9]{1,2}(?: ?- ?| )[1-9][0-9]?/(?:16|[2348])(?![0-9.,/-])"
_VULGAR = r"(?:[0-9]{1,2}[ -]?)?[½¼¾⅓⅔⅛⅜⅝⅞]"
_ONE = rf"(?:{_MIXED}|{_VULGAR}|{_DIGITS})"
_SPAN = rf"{_ONE}(?:(?: - |-|÷| ÷ |\.\.\.?|…| to |~(?=[0-9])){_ONE})*"
_LINK = r"(?:YY|Y|DD|D|ΔΔ|Δ)"
_SLASH = r" ?/ ?"

_LINKS = r"(?:[12]?Y|YY|DD?|[12]?Δ|ΔΔ)"
_PLAIN_LINKS = r"(?:YY?|DD?|ΔΔ?)"
_NO_DIGIT = r"(?<![0-9.,])"
_STANDARDS = "iec|en|vde|nbr|din|bs|jis|nema mg|is|as|nf|cei|une|iso|csa|ul|gb"
_PERCENT = r"[0-9]{1,2}(?:[.,][0-9]+)?(?: ?/ ?-[0-9]{1,2})? ?%"
_PARTS = r"(?:[-/.:][0-9A-Z]+)*"
_MOUNTING = "b3|b5|b14|b35|v1"

# Each kind of piece with its forms; the first that fits is taken.
_FORMS: Final = {
    "space": (r" +",),
    # three or one phase, as the signs of the standards write it
    "phases": (
        rf"{_NO_DIGIT}[123] ?(?:/ ?N)? ?/ ?PE(?: ?~| ?AC)?",  # 3/N/PE~
        rf"{_NO_DIGIT}[123] ?(?:N|/ ?N)? ?~",  # 3~ 3N~
        rf"{_NO_DIGIT}[13] ?/ ?N(?![\w/])",
        r"(?<![0-9.,/])[13] ?x ?(?=[1-9][0-9]{2}(?! ?[kK]?W))",  # 3x400
        r"(?<![0-9])~ ?[13](?![0-9.,])",
        rf"{_NO_DIGIT}[13] ?[-/] ?(?=(?:50|60) ?[Hh][Zz])",  # 3-50 Hz
        rf"{_NO_DIGIT}[123] ?N(?!\w)",
    ),
    "neutral": (r"\+ ?N\b(?: ?\+ ?PE\b)?", r"\+ ?PE\b", r"[1-3]?N ?\+ ?PE\b"),
    "tolerance": (
        rf"(?<![0-9A-Za-z])(?:±|\+ ?/ ?-|\+-) ?{_PERCENT}",
        rf"(?<![0-9A-Za-z])[+-]{_PERCENT}",
    ),
    "times": (
        r"(?<!\w)x ?[1-9][0-9]?(?![0-9.,%]| ?%)",
        r"(?<![0-9.,/])[1-9] ?x(?= ?[0-9])",
    ),
    "speed": (
        r"(?i:(?:tr|t|u|r|rev|o|omw|omdr|giri|g|rot|1)?/min|tr/mn)\b\.?",
        r"(?i:min) ?(?:\^?-1|⁻¹)(?![0-9])",
    ),
    "cycles": (r"(?i:c/s|~/s|cycles?/s(?:ec)?|per?/s)\b\.?",),
    "ratio": (r"(?i:i[apdst]{1,3} ?/ ?i[nf]|lr[ac] ?/ ?fl[ac]|i[kl] ?/ ?in)(?![A-Za-z])",),
    "torque": (r"(?i:(?:m[aksx]|c[pdks]|t[sak]|cmax|tst|tmax) ?/ ?(?:mn|cn|tn))(?![A-Za-z])",),
    "grade": (r"(?<![A-Za-z])(?i:ie ?-?[1-5]|eff\.? ?[123](?![0-9.,]))(?![A-Za-z0-9])",),
    "duty": (r"(?<![A-Za-z0-9])S ?(?:10|[1-9])(?![0-9A-Za-z])",),
    "standard": (
        rf"\b(?i:{_STANDARDS})\b(?: ?[A-Z](?= ?[0-9]))? ?[0-9]{{1,6}}{_PARTS}(?![.,]?[0-9])",
    ),
    "protection": (
        r"(?<![A-Za-z])(?i:ip ?w?[0-9]{2}[a-z]?|ic ?[0-9]{2,4})(?![A-Za-z0-9])",
        rf"(?<![A-Za-z])(?i:im ?[bv]?[0-9]{{1,4}}|{_MOUNTING})(?![A-Za-z0-9])",
    ),
    "cosine": (r"(?i:cos\.? ?(?:φ|phi|fi|f))(?![A-Za-z])", r"φ(?= ?[:=]? ?0?[.,][0-9])"),
    "symbol": (r"(?<![A-Za-z])(?i:i1 ?max|i1 ?eff|i2|u[012]|p[12])(?![A-Za-z0-9])",),
    "linked": (rf"(?<![A-Za-z0-9]){_LINK} ?{_SPAN}(?:{_SLASH}{_LINK} ?{_SPAN})+",),  # Δ230/Y400
    "link": (
        rf"(?<![A-Za-z0-9.,]){_LINKS}(?: ?[/-] ?{_LINKS})*(?![A-Za-z0-9.])",
        rf"(?<=[0-9 ]){_PLAIN_LINKS}(?:[/-]{_PLAIN_LINKS})*(?![A-Za-z0-9.])",
        r"(?<=V)[YΔ](?![A-Za-z0-9.])",
    ),
    "number": (
        rf"{_SPAN} ?{_LINK}{_SLASH}{_SPAN}(?: ?{_LINK}(?!\w))?",  # 208Y/120
        rf"{_SPAN}(?:{_SLASH}{_SPAN})*",
    ),
    "word": (
        r"°[CFK]?",
        r"(?i:s/n|kva/hp|n°)(?![A-Za-z])",
        r"V(?=[YΔ](?![A-Za-z0-9]))",
        r"[^\W\d_Δ]+(?:[.'’][^\W\d_Δ]+)*\.?",
    ),
    "mark": (r".",),
}
# compiled when the first plate is read: no small cost, and many programs read none
_PIECES: Final = "(?s)" + "|".join(
    f"(?P<{kind}>{'|'.join(forms)})" for kind, forms in _FORMS.items()
)


_KINDS: Final = {"linked": "number"}


class Atom(NamedTuple):
    """One piece of a plate.

    Attributes:
        kind: Name of the pattern that it fits.
        text: As it stands on the plate.
        plain: The same with look-alike signs unified.
        start: Place of its first character.
    """

    kind: str
    text: str
    plain: str
    start: int

    @property
    def key(self) -> str:
        """The word as the vocabulary spells it: no dots, no capitals."""
        return self.plain.replace(".", "").replace("’", "'").casefold()


def atoms(text: str) -> tuple[Atom, ...]:
    """Cut *text* into pieces; put together again they are the text."""
    plain = text.translate(_ALIKE)
    return tuple(
        Atom(
            _KINDS.get(str(m.lastgroup), str(m.lastgroup)),
            text[m.start() : m.end()],
            m.group(),
            m.start(),
        )
        for m in re.finditer(_PIECES, plain)
    )
