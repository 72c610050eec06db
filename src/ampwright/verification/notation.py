"""How tables write sizes and powers."""


def horsepower(text: str) -> float:
    """Return the horsepower that a row is called by: ``"7-1/2"`` is 7.5."""
    whole, _, part = text.partition("-") if "/" in text else (text, "", "")
    if "/" in whole:
        whole, part = "0", whole
    over, _, under = part.partition("/")
    return float(whole) + (float(over) / float(under) if part else 0.0)


def bare(size: str) -> str:
    """Return a size as the tables write it: ``"6"`` for ``"6 AWG"``."""
    return size.removesuffix(" AWG").removesuffix(" kcmil")
