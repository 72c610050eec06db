"""Device curves as a code lists them: what each bears, when it has certainly acted."""

import math
from collections.abc import Mapping
from functools import lru_cache
from typing import NamedTuple

from ampwright.families.iec.book import Book
from ampwright.kernels.protection import PointCurve, fuse_band, passage

#: Rounding of a calculated value is not a reason for the next rating.
ROUNDING = 1e-9


class Curve(NamedTuple):
    """One row of the table of device curves.

    Attributes:
        row: Its key.
        name: Curve or class, ``"C"``.
        series: Column of the ratings.
        kind: ``"breaker"`` or ``"fuse"``.
        over_a: Holds for ratings above this [A].
        upto_a: Holds up to this [A].
        hold: Multiple of the rating that it bears for ever.
        instant_low: Below this multiple it never acts at once; ``None``: no instantaneous part.
        instant_high: From this multiple on it acts at once.
        cable_factor: By what the capacity of the conductor must exceed the rating.
        rule: Rule behind it.
    """

    row: str
    name: str
    series: str
    kind: str
    over_a: float
    upto_a: float
    hold: float
    instant_low: float | None
    instant_high: float | None
    cable_factor: float
    rule: str

    def ratings(self, book: Book) -> tuple[float, ...]:
        """Return its ratings, smallest first [A]."""
        listed = book.column("device_ratings", self.series)
        return tuple(
            rating for key in listed if self.over_a < (rating := float(key)) <= self.upto_a
        )


@lru_cache(maxsize=64)
def curves(book: Book) -> tuple[Curve, ...]:
    """Return the curves in the code's order of preference."""
    order = list(book.manifest["devices"]["order"])
    rows = [row for row in book.tables["device_curves"].rows if row["curve"] in order]
    return tuple(_curve(row) for row in sorted(rows, key=lambda one: order.index(one["curve"])))


def _curve(row: Mapping[str, str]) -> Curve:
    return Curve(
        row=row["row"],
        name=row["curve"],
        series=row["series"],
        kind=row["kind"],
        over_a=float(row["over_a"]),
        upto_a=float(row["upto_a"]),
        hold=float(row["hold"]),
        instant_low=float(row["instant_low"]) if row["instant_low"] else None,
        instant_high=float(row["instant_high"]) if row["instant_high"] else None,
        cable_factor=float(row["cable_factor"]),
        rule=row["rule"],
    )


def fuse_bears(rating_a: float, start_a: float, before_a: float, time_s: float) -> bool:
    """Tell whether the quickest gG fuse of a rating lets a start pass."""
    try:
        band = fuse_band("gG", rating_a)
    except ValueError:  # a rating that the kernel has no gates of
        return False
    found = passage(
        band, rating_a, (0.0, time_s), (start_a, start_a), preload_a=before_a, asymmetry=1.0,
        then_a=0.0,
    )  # fmt: skip
    return found.earliest_s > time_s


def fuse_operates_at(rating_a: float, time_s: float) -> float | None:
    """Return the current with which the slowest gG fuse has operated in time [A].

    Returns:
        The current; ``None`` for a rating that has no gates.
    """
    try:
        late = fuse_band("gG", rating_a).late
    except ValueError:
        return None
    return rating_a * _multiple(late, time_s) if isinstance(late, PointCurve) else None


def _multiple(curve: PointCurve, time_s: float) -> float:
    """Return the multiple at which a curve of points reaches a time."""
    multiples, times = curve.multiples, curve.times_s
    if time_s >= times[0]:
        return multiples[0]
    for place in range(1, len(times)):
        if time_s >= times[place]:
            part = math.log(times[place - 1] / time_s) / math.log(times[place - 1] / times[place])
            return multiples[place - 1] * math.exp(
                part * math.log(multiples[place] / multiples[place - 1])
            )
    return multiples[-1] * math.sqrt(times[-1] / time_s)


def let_through_row(
    book: Book, curve: str, rating_a: float, fault_a: float
) -> Mapping[str, str] | None:
    """Return the row that bounds the energy that a device lets through; ``None``: there is none.

    A fuse limits it only where the current is large enough to melt it in a few milliseconds.
    """
    for row in book.tables["let_through"].rows:
        least = float(row.get("from_a") or 0.0) * (1 - ROUNDING)
        if (
            row["curve"] == curve
            and float(row["over_a"]) < rating_a <= float(row["upto_a"])
            and least <= fault_a <= float(row["fault_a"]) * (1 + ROUNDING)
        ):
            return row
    return None
