"""The single conductors of a circuit, as a drawing names them."""

import attrs

from ampwright.equipment.circuit import Circuit
from ampwright.records.supply import Supply

NEUTRAL, PROTECTIVE = "n", "pe"


@attrs.frozen(kw_only=True)
class Wires:
    """The conductors of a circuit; parallel ones count as one.

    Attributes:
        lines: Legs that carry current, of ``"a"``, ``"b"``, ``"c"``; a and b are those of the
            single-phase supply, c is the third.
        earthed: The leg b is the neutral of the supply.
        neutral: A neutral comes beside the lines.
        protective: A protective conductor comes with them.
        either: It hangs on one line and the neutral, and the plan does not say on which line.
    """

    lines: tuple[str, ...]
    earthed: bool = False
    neutral: bool = False
    protective: bool = False
    either: bool = False

    @property
    def all(self) -> tuple[str, ...]:
        """The conductors in the order in which they are drawn, the protective one last."""
        ends = (*([NEUTRAL] if self.neutral else []), *([PROTECTIVE] if self.protective else []))
        return (*self.lines, *ends)

    def name(self, wire: str) -> str:
        """Return the name of a conductor: L1, L2, L3, L, N or PE."""
        if wire == "a" and self.either:
            return "L"
        if wire == "b" and self.earthed:
            return "N"
        return {"a": "L1", "b": "L2", "c": "L3", NEUTRAL: "N", PROTECTIVE: "PE"}[wire]


def wires(circuit: Circuit, supply: Supply) -> Wires:
    """Return the conductors of *circuit*, by its own records.

    Args:
        circuit: The circuit.
        supply: The supply, which says what its second conductor is where the circuit does not.
    """
    protective = circuit.protective_conductor is not None
    count, volts = circuit.conductor.count, circuit.voltage_to_earth_v
    of_neutral = supply.arrangement == "line-neutral"
    earthed = volts[1] == 0.0 if len(volts) > 1 else of_neutral and circuit.phases == 1
    if circuit.phases == 3:
        return Wires(
            lines=("a", "b", "c"), earthed=earthed, neutral=count == 4, protective=protective
        )
    if earthed and not of_neutral:
        return Wires(lines=("a",), neutral=True, protective=protective, either=True)
    return Wires(lines=("a", "b"), earthed=earthed, neutral=count == 3, protective=protective)
