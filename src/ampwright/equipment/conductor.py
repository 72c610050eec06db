"""Conductors and what they lie in."""

import attrs

from ampwright.record import Record


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Conductor(Record):
    """Conductors of one kind in a circuit.

    Attributes:
        size: Standard size, ``"6 AWG"``, ``"250 kcmil"`` or ``"10 mm2"``.
        area_mm2: Metal area of one conductor [mm2].
        material: ``"copper"`` or ``"aluminum"``.
        insulation: Insulation by its public designation, for example ``"THWN-2"``.
        count: Number of such conductors, parallel ones included.
        ampacity_a: Current that it may carry here, all corrections made [A]; ``None`` where the
            conductor carries no current in service.
        length_m: One-way length [m].
    """

    size: str
    area_mm2: float
    material: str
    insulation: str
    count: int
    ampacity_a: float | None
    length_m: float


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Raceway(Record):
    """A raceway, and how full it is.

    Attributes:
        kind: ``"EMT"``, ``"PVC-40"``, ``"RMC"`` ...
        size: Trade size.
        fill_fraction: Conductor area over the area inside.
        limit_fraction: Fill that is allowed for this number of conductors.
    """

    kind: str
    size: str
    fill_fraction: float
    limit_fraction: float
