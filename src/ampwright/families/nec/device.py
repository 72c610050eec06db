"""The overcurrent device at the head of a circuit: what it must carry, what it may not exceed."""

from collections.abc import Mapping
from typing import NamedTuple

from ampwright.families.nec.book import Book
from ampwright.families.nec.draft import Draft
from ampwright.families.nec.ratings import (
    below,
    ceiling_up,
    motor_most,
    next_down,
    next_up,
    reaches,
    write_rating,
)
from ampwright.step import Figure

HERE = "protective_device"
#: A device of a hermetic motor-compressor need not be smaller. 440.22(A), exception.
HERMETIC_LEAST_A = 15.0


class Ceiling(NamedTuple):
    """The largest standard rating that a rule allows.

    Attributes:
        rating: That rating [A].
        rule: The rule.
        raised: Larger rating allowed where the motor does not start otherwise [A]; ``None``: none.
        raised_rule: The rule behind it.
        exceeded: What is said where it carries the load, but not all else that is needed.
        otherwise: Largest rating where something else is protected too [A]; ``None``: nothing.
    """

    rating: Figure
    rule: str
    raised: Figure | None = None
    raised_rule: str = ""
    exceeded: str = "protection.trips-at-start"
    otherwise: Figure | None = None


def choose_device(
    draft: Draft, needs: Mapping[str, tuple[Figure, str]], ceiling: Ceiling | None
) -> Figure | None:
    """Choose the smallest standard rating that carries all *needs* and keeps the *ceiling*.

    Args:
        draft: Sheet of the circuit; the steps stand below ``protective_device``.
        needs: What it must carry, by name, with the rule behind it [A].
        ceiling: What it may not exceed; ``None``: only the conductor bounds it.

    Returns:
        Its rating [A]. Where the start asks for more than the ceiling, the largest allowed, and a
        finding; ``None`` where even the running load asks for more.
    """
    book = draft.book
    governs = max(needs, key=lambda name: needs[name][0].value)
    inputs = {f"I_{name}": one for name, (one, _) in needs.items()}
    formula = f"max({', '.join(inputs)})" if len(inputs) > 1 else next(iter(inputs))
    required = draft.work(f"{HERE}/required_a", "I_n", "A", formula, needs[governs][1], **inputs)
    for name, (one, rule) in needs.items():
        alone = next_up(book, one.value)
        if alone != float("inf"):
            write_rating(draft, f"{HERE}/limits/{name}/rating_a", "I_r", alone, rule, [("I", one)])
    rating = next_up(book, required.value)
    rule = needs[governs][1]
    asked = [("I_n", required)]
    if ceiling is not None:
        asked.append(("ceiling", ceiling.rating))
        most = ceiling.rating.value
        if rating > most and ceiling.raised is not None:
            most = max(most, ceiling.raised.value)
            asked.append(("raised", ceiling.raised))
            rule = ceiling.raised_rule
        if rating > most:
            carried = needs["load"][0]
            if not reaches(most, carried.value):
                draft.find(
                    "protection.device-too-small", "blocks", ceiling.rule, "needed=A largest=A",
                    needed=carried, largest=ceiling.rating,
                )  # fmt: skip
                return None
            more = {} if ceiling.otherwise is None else {"both": ceiling.otherwise}
            draft.find(
                ceiling.exceeded, "caution", ceiling.rule, "needed=A largest=A both=A",
                needed=required, largest=ceiling.raised or ceiling.rating, **more,
            )  # fmt: skip
            rating = next_down(book, most)
    if rating == float("inf"):
        draft.find("protection.device-too-small", "blocks", rule, "needed=A", needed=required)
        return None
    chosen = write_rating(draft, f"{HERE}/rating_a", "I_r", rating, rule, asked)
    smaller = below(book, rating)
    if smaller:
        write_rating(draft, f"{HERE}/smaller/rating_a", "I_r", smaller, rule, asked)
    return chosen


def motor_ceiling(
    draft: Draft, current: Figure, motor: str, device: str = "inverse_time_breaker"
) -> Ceiling:
    """State the largest breaker of a motor branch circuit, and the one where it does not start.

    Args:
        draft: Sheet of the circuit.
        current: Full-load current from the tables [A].
        motor: Row of the table of percentages.
        device: Column of it: a breaker, or a kind of fuse.
    """
    book, place = draft.book, f"{HERE}/ceiling"
    kind = "fuse" if device.endswith("fuse") else "breaker"
    percent = draft.read(
        f"{place}/percent", "p", "%", table="motor_device_percent", key=motor,
        column=device, rule="nec.430.52(C)(1)",
    )  # fmt: skip
    calculated = draft.work(
        f"{place}/calculated_a", "I_max", "A", "p / 100 * FLC", "nec.430.52(C)(1)",
        p=percent, FLC=current,
    )  # fmt: skip
    rating = write_rating(
        draft, f"{place}/rating_a", "I_max", motor_most(book, calculated.value, kind),
        "nec.430.52(C)(1)X1", [("I_max", calculated)],
    )  # fmt: skip
    row = next(
        row["device"]
        for row in book.tables["motor_device_ceiling"].rows
        if row["kind"] == device and current.value <= float(row["flc_max_a"])
    )
    raised_percent = draft.read(
        f"{place}/raised_percent", "p", "%", table="motor_device_ceiling", key=row,
        column="percent", rule="nec.430.52(C)(1)X2", inputs=[("FLC", current)],
    )  # fmt: skip
    raised_calculated = draft.work(
        f"{place}/raised_calculated_a", "I_max", "A", "p / 100 * FLC", "nec.430.52(C)(1)X2",
        p=raised_percent, FLC=current,
    )  # fmt: skip
    raised = None
    down = next_down(book, raised_calculated.value, kind)
    if down > rating.value:
        raised = write_rating(
            draft, f"{place}/raised_a", "I_max", down, "nec.430.52(C)(1)X2",
            [("I_max", raised_calculated)],
        )  # fmt: skip
    return Ceiling(
        rating=rating, rule="nec.430.52(C)(1)", raised=raised, raised_rule="nec.430.52(C)(1)X2"
    )


def hermetic_most(book: Book, factor: str, current: float) -> float:
    """Return the largest device of a hermetic motor-compressor by one of its factors [A].

    Since 2023 the next standard rating up is allowed, not where it does not start otherwise.
    """
    since = book.factor("hermetic_device_rounds_up_since")
    if factor == "hermetic_device" and float(book.edition) >= since:
        return max(HERMETIC_LEAST_A, ceiling_up(book, book.factor(factor) * current))
    return max(HERMETIC_LEAST_A, next_down(book, book.factor(factor) * current))


def hermetic_ceiling(draft: Draft, current: Figure) -> Ceiling:
    """State the largest device of a hermetic motor-compressor, and where it does not start.

    Args:
        draft: Sheet of the circuit.
        current: Rated-load current on its plate [A].
    """
    rule, made = "nec.440.22", {}
    for name, factor, path in (
        ("rating", "hermetic_device", "calculated_a"),
        ("raised", "hermetic_device_raised", "raised_calculated_a"),
    ):
        calculated = draft.work(
            f"{HERE}/ceiling/{path}", "I_max", "A", f"{draft.book.factor(factor)!r} * I_RL", rule,
            I_RL=current,
        )  # fmt: skip
        made[name] = write_rating(
            draft, f"{HERE}/ceiling/{name}_a", "I_max",
            hermetic_most(draft.book, factor, current.value), rule, [("I_max", calculated)],
        )  # fmt: skip
    return Ceiling(rating=made["rating"], raised=made["raised"], rule=rule, raised_rule=rule)


def marked_most(book: Book, marked: float) -> float:
    """Return the largest standard rating that a marking allows [A]; the first, if it is below."""
    return next_down(book, marked) or book.ratings()[0]


def marked_ceiling(draft: Draft, marked: Figure) -> Ceiling:
    """State the largest device by the marking of hermetic equipment.

    Args:
        draft: Sheet of the circuit.
        marked: Largest protective device on its plate [A].
    """
    rule = "nec.440.4(B)"
    rating = write_rating(
        draft, f"{HERE}/ceiling/rating_a", "I_max", marked_most(draft.book, marked.value), rule,
        [("MOP", marked)],
    )  # fmt: skip
    return Ceiling(rating=rating, rule=rule)


def start_needs(
    draft: Draft, start: Figure, before: Figure, time: Figure | None
) -> dict[str, tuple[Figure, str]]:
    """State what the quickest breaker must be rated for so that a start does not open it.

    Args:
        draft: Sheet of the circuit.
        start: Largest rms current during the start, all that runs included [A].
        before: Current carried long before it [A].
        time: How long the start lasts [s]; ``None``: not reckoned.
    """
    place, band = f"{HERE}/start", {}
    for name in ("hold", "heating_time_constant_s", "instantaneous_lower", "first_half_cycle"):
        band[name] = draft.read(
            f"{place}/{name}", name, "s" if name.endswith("_s") else "", table="breaker_band",
            key=name, column="value", rule="nec.430.52",
        )  # fmt: skip
    if time is None:
        time = draft.read(
            f"{place}/time_s", "t", "s", table="breaker_band", key="start_time_s", column="value",
            rule="nec.430.52",
        )  # fmt: skip
        draft.assumed("motor.start-time")
    peak = draft.work(
        f"{place}/peak_a", "I_peak", "A", "k * I_s / m", "nec.430.52",
        k=band["first_half_cycle"], I_s=start, m=band["instantaneous_lower"],
    )  # fmt: skip
    cooled = draft.work(
        f"{place}/kept_fraction", "q", "", "2.718281828459045 ** (-t / tau)", "nec.430.52",
        t=time, tau=band["heating_time_constant_s"],
    )  # fmt: skip
    heat = draft.work(
        f"{place}/heat_a", "I_heat", "A", "sqrt(I_s ** 2 * (1 - q) + I_b ** 2 * q) / p",
        "nec.430.52", I_s=start, I_b=before, q=cooled, p=band["hold"],
    )  # fmt: skip
    return {"start_peak": (peak, "nec.430.52"), "start_heat": (heat, "nec.430.52")}
