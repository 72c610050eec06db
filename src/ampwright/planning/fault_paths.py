"""Loops of earth faults: what lies between the source and the head of a circuit."""

from collections.abc import Iterator, Mapping, Sequence

import attrs

from ampwright.case import Case
from ampwright.equipment.transformer import Transformer
from ampwright.region import CircuitAnswer, CircuitDemand
from ampwright.step import Figure, Step, Worksheet
from ampwright.tables import Source

SERIES = Source(
    document="magnitudes in series; two lines of a converter's supply each carry as much as the "
    "made line at most, and so do the lines of its idler",
    known="derived",
)
WINDINGS = Source(
    document="ideal transformer, delta to star; through the primary flows the current of the "
    "fault times the ratio of turns",
    known="derived",
)


class Ahead:
    """The circuits of one option, as far as they are sized, asked for what lies ahead of one.

    Attributes:
        demands: Every circuit by id.
        answers: What the wiring code answered so far.
        transformers: Transformers of the option by id.
    """

    def __init__(
        self,
        demands: Sequence[CircuitDemand],
        answers: Mapping[str, CircuitAnswer],
        transformers: Mapping[str, Transformer],
    ) -> None:
        self.demands = {one.id: one for one in demands}
        self.answers, self.transformers = answers, transformers

    def chain(self, demand: CircuitDemand) -> Iterator[CircuitDemand]:
        """Yield the circuits ahead of *demand*, the nearest first, up to a generator or the panel.

        What drives a generator is no conductor to what it generates.
        """
        ahead = self.demands.get(demand.fed_from)
        while ahead is not None and ahead.role != "idler":
            yield ahead
            ahead = self.demands.get(ahead.fed_from)

    def winding(self, demand: CircuitDemand) -> Transformer | None:
        """Return the transformer that *demand* runs from; ``None``: it does not."""
        ahead = self.demands.get(demand.fed_from)
        names = () if ahead is None else ahead.feeds
        return next((self.transformers[one] for one in names if one in self.transformers), None)

    def is_sized(self, demand: CircuitDemand) -> bool:
        """Tell whether every circuit in the loop ahead of *demand* has a size."""
        chain = tuple(self.chain(demand))
        beside = [
            each
            for one in chain
            if one.converter is not None and demand.role != "idler"
            for each in self._idlers_of(one)
        ]
        answers = [self.answers.get(one.id) for one in (*chain, *beside)]
        return all(one is not None and one.line is not None for one in answers)

    def lines(self, demand: CircuitDemand) -> Iterator[tuple[str, Figure]]:
        """Yield how often the line conductors of each circuit ahead count, and their impedance."""
        for one in self.chain(demand):
            answer = self.answers.get(one.id)
            if answer is None or answer.line is None:
                continue
            yield ("1" if one.phases == 3 else "2"), answer.line
            if one.converter is not None and demand.role != "idler":
                yield from self._idlers(one)

    def _idlers(self, supply: CircuitDemand) -> Iterator[tuple[str, Figure]]:
        """Yield the lines of the idlers of the converter that *supply* feeds, side by side."""
        beside = [
            answer.line
            for one in self._idlers_of(supply)
            if (answer := self.answers.get(one.id)) is not None and answer.line is not None
        ]
        if beside:
            thinnest = max(beside, key=lambda one: one.value)
            yield (f"3 / {len(beside)}", thinnest)

    def _idlers_of(self, supply: CircuitDemand) -> Iterator[CircuitDemand]:
        """Yield the circuits of the idlers of the converter that *supply* feeds.

        One that joins it does not always turn.
        """
        for one in self.demands.values():
            own = not set(one.feeds).isdisjoint(supply.feeds)
            if one.role == "idler" and one.fed_from == supply.id and own:
                yield one

    def backs(self, demand: CircuitDemand) -> Iterator[Figure]:
        """Yield the impedance of the protective conductor of each circuit ahead."""
        for one in self.chain(demand):
            answer = self.answers.get(one.id)
            if answer is not None and answer.protective is not None:
                yield answer.protective


def with_fault_path(
    demand: CircuitDemand, ahead: Ahead, case: Case, place: str
) -> tuple[CircuitDemand, tuple[Step, ...]]:
    """Return *demand* with what lies ahead of it in the loop of an earth fault, and its steps.

    Where no standard size suffices for a circuit ahead, nobody knows what flows in the loop.

    Args:
        demand: The circuit.
        ahead: What is ahead of it.
        case: The shop, its supply as it is at the panel.
        place: Path of the option.
    """
    if demand.fault_source is None or not demand.fed_from:
        return demand, ()
    if not ahead.is_sized(demand):
        return attrs.evolve(demand, fault_source=None), ()
    sheet = Worksheet(f"{place}/wiring/{demand.id}")
    made = ahead.winding(demand)
    if made is not None:
        return attrs.evolve(demand, fault_path=_primary(demand, made, ahead, case, sheet, place)), (
            sheet.steps
        )
    terms: dict[str, Figure] = {}
    parts = []
    for n, (times, figure) in enumerate(ahead.lines(demand)):
        terms[f"Z{n}"] = figure
        parts.append(f"{times} * Z{n}" if times != "1" else f"Z{n}")
    for n, figure in enumerate(ahead.backs(demand)):
        terms[f"B{n}"] = figure
        parts.append(f"B{n}")
    if not parts:
        return demand, ()
    found = sheet.formula("fault_path", "Z_a", "ohm", " + ".join(parts), terms, source=SERIES)
    return attrs.evolve(demand, fault_path=found), sheet.steps


def _primary(
    demand: CircuitDemand, made: Transformer, ahead: Ahead, case: Case, sheet: Worksheet, place: str
) -> Figure:
    """Return what stands on the primary side, seen at the secondary [ohm].

    The loop there goes out and back between two lines. What a converter gives between two lines is
    no less than what it gives from the made one to earth. The network ahead of three lines is taken
    to be no weaker than that of one phase.
    """
    own = f"{place}/transformers/{made.id}"
    first = Figure(made.primary_v, f"{own}/primary_v")
    second = Figure(made.secondary_v, f"{own}/secondary_v")
    feeder = ahead.demands[demand.fed_from]
    source = case.supply.impedance
    if feeder.fault_source is not None:
        source = sheet.formula("fault_source_ohm", "Z", "ohm", "U / I", U=first,
                               I=feeder.fault_source, source=WINDINGS)  # fmt: skip
    terms = {"Z": source, "U_1": first, "U_2": second}
    parts = ["Z"]
    for n, (times, figure) in enumerate(ahead.lines(demand)):
        terms[f"Z{n}"] = figure
        parts.append(f"{'2' if times == '1' else times} * Z{n}")
    turns = "(U_2 / U_1) ** 2 / 3" if made.phases == 3 else "(U_2 / U_1) ** 2"
    return sheet.formula("fault_path", "Z_a", "ohm", f"{turns} * ({' + '.join(parts)})", terms,
                         source=WINDINGS)  # fmt: skip
