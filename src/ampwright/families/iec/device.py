"""The overcurrent device at the head of a circuit: the smallest that carries load and start."""

from typing import NamedTuple

from ampwright.families.iec.curves import ROUNDING, Curve, curves, fuse_bears
from ampwright.families.iec.draft import Draft
from ampwright.step import Figure

HERE = "protective_device"


class Start(NamedTuple):
    """A start that the device has to let pass.

    Attributes:
        current: Largest rms current during it, all that runs included [A].
        before: Current carried long before it [A].
        time: How long it lasts [s].
    """

    current: Figure
    before: Figure
    time: Figure


class Needs(NamedTuple):
    """What a device has to carry.

    Attributes:
        load: Design current [A].
        rule: Rule behind it.
        start: The worst start; ``None``: none.
        peak: First half-wave after switching on, as an rms value [A]; ``None``: none.
        largest: Largest rating that instructions allow [A]; ``None``: not bounded.
    """

    load: Figure
    rule: str
    start: Start | None = None
    peak: Figure | None = None
    largest: Figure | None = None


class Device(NamedTuple):
    """A device that was chosen.

    Attributes:
        curve: Its curve.
        rating: Its rating [A].
    """

    curve: Curve
    rating: Figure


class Candidate(NamedTuple):
    """What one curve asks for.

    Attributes:
        curve: The curve.
        required: Smallest rating that it needs by calculation [A].
        rating: Smallest standard rating of it that suffices [A]; ``None``: none does.
    """

    curve: Curve
    required: Figure
    rating: float | None


def choose_device(draft: Draft, needs: Needs) -> Device | None:
    """Choose the smallest standard rating; of several curves with it, the first of the code.

    Args:
        draft: Sheet of the circuit; the steps stand below ``protective_device``.
        needs: What it has to carry.

    Returns:
        The device. Where the start asks for more than instructions allow, the largest allowed, and
        a finding; ``None`` where even the load asks for more.
    """
    candidates: list[Candidate] = []
    best: tuple[float, Candidate] | None = None
    for curve in curves(draft.book):
        ratings = curve.ratings(draft.book)
        # a series that begins above what was found has nothing to offer
        if not ratings or (best is not None and ratings[0] > best[0]):
            continue
        one = _candidate(draft, curve, needs)
        candidates.append(one)
        if one.rating is not None and (best is None or one.rating < best[0]):
            best = (one.rating, one)
    if needs.largest is not None and (best is None or best[0] > needs.largest.value):
        return _bounded(draft, candidates, needs, needs.largest)
    if best is None:
        asked = [needs.load, *(one.required for one in candidates)]
        most = max(asked, key=lambda figure: figure.value)
        draft.find("protection.device-too-small", "blocks", needs.rule, "needed=A", needed=most)
        return None
    rating, chosen = best
    return _stated(draft, chosen, rating, needs)


def _candidate(draft: Draft, curve: Curve, needs: Needs) -> Candidate:
    """State what one curve asks for, below ``protective_device/curves/<row>``."""
    place = f"{HERE}/curves/{curve.row}"
    asks = {"I_load": needs.load}
    if curve.instant_low is not None:
        asks |= _breaker(draft, place, curve, needs)
    formula = f"max({', '.join(asks)})" if len(asks) > 1 else "I_load"
    required = draft.work(f"{place}/required_a", "I_n", "A", formula, curve.rule, **asks)
    rating = next(
        (
            one
            for one in curve.ratings(draft.book)
            if one >= required.value * (1 - ROUNDING) and _fuse_passes(curve, one, needs)
        ),
        None,
    )
    if rating is not None:
        write_rating(draft, f"{place}/rating_a", curve, rating, [("I_n", required)])
    return Candidate(curve=curve, required=required, rating=rating)


def _breaker(draft: Draft, place: str, curve: Curve, needs: Needs) -> dict[str, Figure]:
    """State what a breaker of a curve must be rated for so that nothing opens it at a start."""
    asks: dict[str, Figure] = {}
    low = _cell(draft, place, curve, "instant_low", "m") if needs.start or needs.peak else None
    if needs.peak is not None and low is not None:
        asks["I_inrush"] = draft.work(
            f"{place}/inrush_a", "I_inrush", "A", "I / m", curve.rule, I=needs.peak, m=low
        )
    start = needs.start
    if start is None or low is None:
        return asks
    asks["I_peak"] = draft.work(
        f"{place}/peak_a", "I_peak", "A", "k * I_s / m", "iec.60898-1",
        k=_first_half_cycle(draft), I_s=start.current, m=low,
    )  # fmt: skip
    tau = _cell(draft, place, curve, "time_constant_s", "tau")
    hold = _cell(draft, place, curve, "hold", "p")
    asks["I_heat"] = draft.work(
        f"{place}/heat_a", "I_heat", "A",
        "sqrt(I_s ** 2 * (1 - 2.718281828459045 ** (-t / tau))"
        " + I_b ** 2 * 2.718281828459045 ** (-t / tau)) / p",
        "iec.60898-1.hold", I_s=start.current, I_b=start.before, t=start.time, tau=tau, p=hold,
    )  # fmt: skip
    return asks


def _first_half_cycle(draft: Draft) -> Figure:
    path = f"{draft.sheet.prefix}/{HERE}/first_half_cycle"
    known = any(step.path == path for step in draft.sheet.steps)
    if known:
        return Figure(draft.book.factor("first_half_cycle"), path)
    return draft.factor(f"{HERE}/first_half_cycle", "k", "first_half_cycle")


def _cell(draft: Draft, place: str, curve: Curve, column: str, symbol: str) -> Figure:
    return draft.read(
        f"{place}/{column}", symbol, "s" if column.endswith("_s") else "", table="device_curves",
        key=curve.row, column=column, rule=curve.rule,
    )  # fmt: skip


def _fuse_passes(curve: Curve, rating: float, needs: Needs) -> bool:
    if curve.kind != "fuse" or needs.start is None:
        return True
    start = needs.start
    return fuse_bears(rating, start.current.value, start.before.value, start.time.value)


def _bounded(
    draft: Draft, candidates: list[Candidate], needs: Needs, largest: Figure
) -> Device | None:
    """Choose under the largest rating that instructions allow; the start may open it."""
    load, most = needs.load.value * (1 - ROUNDING), largest.value * (1 + ROUNDING)
    carrying = [
        (max(allowed), one)
        for one in candidates
        if (allowed := [r for r in one.curve.ratings(draft.book) if load <= r <= most])
    ]
    if not carrying:
        draft.find(
            "protection.device-too-small", "blocks", needs.rule, "needed=A largest=A",
            needed=needs.load, largest=largest,
        )  # fmt: skip
        return None
    # the curve that bears most at once comes last in every code's order
    rating, chosen = max(
        reversed(carrying), key=lambda pair: (pair[1].curve.instant_low or 0.0) * pair[0]
    )
    draft.find(
        "protection.trips-at-start", "caution", needs.rule, "needed=A largest=A",
        needed=chosen.required, largest=largest,
    )  # fmt: skip
    return _stated(draft, chosen, rating, needs)


def _stated(draft: Draft, chosen: Candidate, rating: float, needs: Needs) -> Device:
    asked = [("I_n", chosen.required)]
    if needs.largest is not None:
        asked.append(("largest", needs.largest))
    draft.read(
        f"{HERE}/curve", "curve", "", table="device_curves", key=chosen.curve.row, column="curve",
        value=chosen.curve.name, rule=chosen.curve.rule, inputs=asked,
    )  # fmt: skip
    figure = write_rating(draft, f"{HERE}/rating_a", chosen.curve, rating, asked)
    below = [one for one in chosen.curve.ratings(draft.book) if one < rating]
    if below:
        write_rating(draft, f"{HERE}/smaller/rating_a", chosen.curve, below[-1], asked)
    return Device(curve=chosen.curve, rating=figure)


def write_rating(
    draft: Draft, name: str, curve: Curve, rating: float, inputs: list[tuple[str, Figure]]
) -> Figure:
    """State a standard rating of a curve's series."""
    return draft.read(
        name, "I_n", "A", table="device_ratings", key=f"{rating:g}", column=curve.series,
        value=rating, rule=curve.rule, inputs=inputs,
    )  # fmt: skip
