"""Capacitors between two legs."""

import attrs

from ampwright.record import Record


@attrs.frozen(kw_only=True, eq=False, repr=False)
class Capacitor(Record):
    """Capacitors of one purpose between two legs.

    Attributes:
        id: Id inside the converter, for example ``"run-ca"``.
        purpose: ``"run"``, ``"start"`` or ``"input"``.
        between: The two legs, ``"ca"``, ``"bc"`` or ``"ab"``; c is the made leg.
        capacitance_f: Sum of the parts [F].
        voltage_v: Smallest rated voltage that suffices [V].
        tolerance_fraction: Tolerance that the figures allow for.
        sets: Running sets that they are switched in for, ``"idle"`` for none running,
            ``"both-idle"`` for none but two idlers; empty: they stay connected.
    """

    id: str
    purpose: str = attrs.field(validator=attrs.validators.in_(("run", "start", "input")))
    between: str = attrs.field(validator=attrs.validators.in_(("ab", "bc", "ca")))
    capacitance_f: float
    voltage_v: float
    tolerance_fraction: float
    sets: tuple[str, ...] = ()
