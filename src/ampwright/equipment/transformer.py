"""Transformers between supply, converter and machine."""

import attrs

from ampwright.record import Record


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Transformer(Record):
    """One transformer.

    Attributes:
        id: Id inside the option.
        kind: ``"isolating"`` or ``"auto"``.
        phases: 1 or 3.
        rating_va: Rated apparent power [VA].
        primary_v: Rated primary voltage [V].
        secondary_v: Rated secondary voltage [V].
        machines: Ids of the machines behind it.
    """

    id: str
    kind: str = attrs.field(validator=attrs.validators.in_(("isolating", "auto")))
    phases: int
    rating_va: float
    primary_v: float
    secondary_v: float
    machines: tuple[str, ...]
