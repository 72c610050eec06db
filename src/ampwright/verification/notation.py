"""How tables write sizes and powers."""

HORSEPOWER_W = 550 * 0.3048 * 0.45359237 * 9.80665  # 550 ft.lbf/s


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


def watts(text: str) -> float | None:
    """Return the power that a row is called by: ``"7.5 hp"``, ``"5.5 kW"``; else ``None``."""
    number, _, unit = text.partition(" ")
    factor = {"hp": HORSEPOWER_W, "kW": 1e3}.get(unit)
    try:
        return None if factor is None else horsepower(number) * factor
    except ValueError:
        return None
