"""Transformers: the device on the primary side, alone or with one on the secondary side.

Switched on, a core draws many times its rated current for some cycles. The device ought to let that
pass, but the rules seldom allow one so large where it protects the transformer alone.
"""

from ampwright.families.nec.device import Ceiling
from ampwright.families.nec.draft import Draft
from ampwright.families.nec.ratings import ceiling_up, next_down, write_rating
from ampwright.step import Figure

RULE, AUTO_RULE = "nec.450.3(B)", "nec.450.4"
#: Below these primary currents the percentage is larger; Table 450.3(B) and 450.4(A) [A].
SMALL_A, LEAST_A = 9.0, 2.0
HERE = "protective_device"


def factor_name(current: float, *, auto: bool) -> str:
    """Return the name of the factor for the largest device on a primary of this current [A]."""
    if auto:
        return "autotransformer" if current >= SMALL_A else "autotransformer_small"
    if current >= SMALL_A:
        return "transformer_primary"
    return "transformer_primary_small" if current >= LEAST_A else "transformer_primary_least"


def inrush(draft: Draft, current: Figure, rule: str) -> Figure:
    """State what a breaker is rated for that lets a core of this rated *current* magnetise [A]."""
    band = {
        symbol: draft.read(
            f"{HERE}/inrush/{name}", symbol, "", table="breaker_band", key=name, column="value",
            rule=rule,
        )
        for symbol, name in (("k", "transformer_inrush"), ("m", "instantaneous_lower"))
    }  # fmt: skip
    return draft.work(f"{HERE}/inrush/peak_a", "I_peak", "A", "k * I_1 / m", rule, I_1=current,
                      **band)  # fmt: skip


def primary(draft: Draft, current: Figure, *, auto: bool) -> tuple[Ceiling | None, Figure]:
    """State the largest device where the primary side alone is protected.

    Args:
        draft: Sheet of the circuit.
        current: Rated primary current [A].
        auto: It is an autotransformer, so that 450.4 takes the place of 450.3(B).

    Returns:
        The ceiling, ``None`` where it lies below every breaker, so that a fuse of its own has to
        protect the transformer, which is said; and what a breaker must be rated for so that it
        stays closed while the transformer is switched on [A].
    """
    book, rule = draft.book, AUTO_RULE if auto else RULE
    if auto:
        draft.ask("authority.autotransformer", "", "safety")
    else:
        draft.ask("authority.separately-derived", "", "safety")
    name = factor_name(current.value, auto=auto)
    calculated = draft.work(
        f"{HERE}/ceiling/calculated_a", "I_max", "A", f"{book.factor(name)!r} * I_1", rule,
        I_1=current,
    )  # fmt: skip
    needed = inrush(draft, current, rule)
    whole = current.value >= SMALL_A
    rating = ceiling_up(book, calculated.value) if whole else next_down(book, calculated.value)
    if not rating:
        said = {"largest": calculated}
        fuse = next_down(book, calculated.value, "fuse")
        if fuse:
            said["fuse"] = write_rating(
                draft, f"{HERE}/ceiling/fuse_a", "I_max", fuse, rule, [("I_max", calculated)]
            )
        draft.find("transformer.primary-fuse", "caution", rule, "largest=A fuse=A", **said)
        draft.find("transformer.inrush", "caution", rule, "primary=A", primary=current)
        return None, needed
    written = write_rating(
        draft, f"{HERE}/ceiling/rating_a", "I_max", rating, rule, [("I_max", calculated)]
    )
    return Ceiling(
        rating=written,
        rule=rule,
        exceeded="transformer.trips-on-energising",
        otherwise=None if auto else with_secondary(draft, current),
    ), needed


def with_secondary(draft: Draft, current: Figure) -> Figure:
    """State the largest primary device where the secondary has one of 125 % at most [A]."""
    both = draft.work(
        f"{HERE}/ceiling/both_a", "I_max", "A",
        f"{draft.book.factor('transformer_primary_both')!r} * I_1", RULE, I_1=current,
    )  # fmt: skip
    return write_rating(
        draft, f"{HERE}/ceiling/with_secondary_a", "I_max", next_down(draft.book, both.value), RULE,
        [("I_max", both)],
    )  # fmt: skip
