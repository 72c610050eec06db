"""Transformers: the device on the primary side, alone or with one on the secondary side."""

from ampwright.families.nec.device import Ceiling
from ampwright.families.nec.draft import Draft
from ampwright.families.nec.ratings import ceiling_up, next_down, write_rating
from ampwright.step import Figure

RULE = "nec.450.3(B)"
#: Below these primary currents the percentage is larger; Table 450.3(B), from memory [A].
SMALL_A, LEAST_A = 9.0, 2.0


def primary(draft: Draft, current: Figure) -> Ceiling | None:
    """State the largest device where the primary side alone is protected.

    Args:
        draft: Sheet of the circuit.
        current: Rated primary current [A].

    Returns:
        The ceiling; ``None`` where it lies below every breaker, so that a fuse of its own has to
        protect the transformer, which is said.
    """
    book, place = draft.book, "protective_device/ceiling"
    draft.find("transformer.inrush", "caution", RULE, "primary=A", primary=current)
    draft.ask("authority.separately-derived", "", "safety")
    name = "transformer_primary"
    if current.value < SMALL_A:
        name = (
            "transformer_primary_small" if current.value >= LEAST_A else "transformer_primary_least"
        )
    calculated = draft.work(
        f"{place}/calculated_a", "I_max", "A", f"{book.factor(name)!r} * I_1", RULE, I_1=current
    )
    whole = name == "transformer_primary"
    rating = ceiling_up(book, calculated.value) if whole else next_down(book, calculated.value)
    if not rating:
        said = {"largest": calculated}
        fuse = next_down(book, calculated.value, "fuse")
        if fuse:
            said["fuse"] = write_rating(
                draft, f"{place}/fuse_a", "I_max", fuse, RULE, [("I_max", calculated)]
            )
        draft.find("transformer.primary-fuse", "caution", RULE, "largest=A fuse=A", **said)
        return None
    return Ceiling(
        rating=write_rating(
            draft, f"{place}/rating_a", "I_max", rating, RULE, [("I_max", calculated)]
        ),
        rule=RULE,
    )
