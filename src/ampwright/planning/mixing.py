"""The cheapest mix of pieces of equipment, among all groups of machines that were asked about.

Candidates are all pieces that any method was heard to propose: one for each machine alone, the
shared ones that one way or another asked for, and shared ones that are asked for here:

- up to `EVERY_GROUP` machines every group that `floor` does not rule out, so that the mix is the
  cheapest of all;
- of more machines those groups, neighbours in the order of their weights, with which an estimate
  promises a cheaper mix, at most `ASKS` rounds of each method; of more than
  `ampwright.planning.partition.SMALL` the lightest and the heaviest only.

Of these candidates the cheapest mix is found exactly. An estimate only says what is asked next;
nothing that was only estimated is ever taken.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

import attrs

from ampwright.case import MachineCase
from ampwright.method import Proposal
from ampwright.planning.answers import Inquiry
from ampwright.planning.assembly import Draft, named, served, weight
from ampwright.planning.partition import SMALL, Piece, cheapest, worth

EVERY_GROUP = 3
ASKS = 2
ENOUGH = 1.0 - 1e-9

Shape = tuple[str, tuple[str, ...]]


class Worths(NamedTuple):
    """How proposals are weighed.

    Attributes:
        cost: What one costs, roughly.
        floor: What any piece of a method costs at least, whatever it serves.
    """

    cost: Callable[[Proposal], float]
    floor: Callable[[str], float]


def shape(one: Proposal) -> Shape:
    """Return what tells a proposal from the others of one inquiry."""
    return one.method, one.machines


@attrs.frozen
class Mixing:
    """The candidates for certain machines.

    Attributes:
        inquiry: The methods, through which they are asked.
        machines: The machines that need a conversion.
        own: Ids of the methods whose pieces serve one machine each.
        shared: Ids of those whose pieces serve several.
        worths: How proposals are weighed.
    """

    inquiry: Inquiry
    machines: tuple[MachineCase, ...]
    own: tuple[str, ...]
    shared: tuple[str, ...]
    worths: Worths

    @property
    def names(self) -> tuple[str, ...]:
        """Ids of the machines."""
        return tuple(one.id for one in self.machines)

    def heard(self, methods: Iterable[str]) -> list[Proposal]:
        """Return what *methods* were heard to propose for some of the machines."""
        wanted, names = set(methods), set(self.names)
        return [
            one
            for one in self.inquiry.proposals()
            if one.method in wanted and names.issuperset(one.machines)
        ]

    def piece(self, machines: Iterable[str], cost: float) -> Piece:
        """Return a piece as the partition takes it."""
        place = {name: number for number, name in enumerate(self.names)}
        return Piece(frozenset(place[name] for name in machines), cost)

    def best(self, proposals: Sequence[Proposal]) -> tuple[Proposal, ...]:
        """Return the cheapest mix of some of *proposals*."""
        pieces = [self.piece(one.machines, self.worths.cost(one)) for one in proposals]
        return tuple(proposals[place] for place in cheapest(len(self.names), pieces))

    def ask_shared(self) -> None:
        """Ask the shared methods for the groups worth it."""
        heard = [one for one in self.shared if self.heard((one,))]
        if len(self.names) <= EVERY_GROUP:
            self._ask_all(heard)
        else:
            for method in heard:
                self._ask_promising(method)

    def _ask_all(self, methods: Sequence[str]) -> None:
        """Ask for every group that may be part of a cheaper mix than is known.

        What pieces of their own serve as cheaply as the shared piece at its floor is no such
        group; nor is one with which the floors alone come to what a known mix costs.
        """
        floors = {method: self.worths.floor(method) for method in methods}
        alone = self.alone()
        for group in groups(self.machines):
            inside = {one.id for one in group}
            apart = sum(cost for name, cost in alone.items() if name not in inside)
            for method, floor in floors.items():
                least = floor + min(apart, *floors.values())
                kept = sum(alone[name] for name in inside)
                if floor < kept * ENOUGH and least < self.known_best() * ENOUGH:
                    self.inquiry.ask(method, group)

    def alone(self) -> dict[str, float]:
        """Return what the cheapest piece of its own costs each machine; infinite without one."""
        found = dict.fromkeys(self.names, float("inf"))
        for one in self.heard(self.own):
            (name,) = one.machines
            found[name] = min(found[name], self.worths.cost(one))
        return found

    def known_best(self) -> float:
        """Return what the cheapest mix costs so far; infinite where it does not serve all."""
        known = self.heard((*self.own, *self.shared))
        pieces = [self.piece(one.machines, self.worths.cost(one)) for one in known]
        found = worth(len(self.names), pieces, cheapest(len(self.names), pieces))
        return float("inf") if found.unserved or found.unpriced else found.cost

    def _ask_promising(self, method: str) -> None:
        """Ask *method* for groups of neighbours in weight that an estimate makes part of the best.

        The estimate draws a line from the floor to what the largest group that was heard costs,
        by the mean of the shares of the heaviest machine and of the sum.
        """
        alone = self.alone()
        for _ in range(ASKS):
            known = self.heard((*self.own, method))
            mine = [one for one in known if one.method == method and len(one.machines) > 1]
            if not mine:
                return
            largest = max(mine, key=lambda one: len(one.machines))
            members = [one for one in self.machines if one.id in largest.machines]
            asked = {one.machines for one in mine}
            guesses = {
                one: self.estimate(one, largest, members)
                for one in self.neighbours(members)
                if tuple(each.id for each in one) not in asked
            }
            kept = [one for one in guesses if guesses[one] < sum(alone[each.id] for each in one)]
            if not kept:
                return
            pieces = [self.piece(one.machines, self.worths.cost(one)) for one in known]
            pieces += [self.piece((each.id for each in one), guesses[one]) for one in kept]
            chosen = cheapest(len(self.names), pieces)
            promising = [kept[place - len(known)] for place in chosen if place >= len(known)]
            if not promising:
                return
            for one in promising:
                self.inquiry.ask(method, one)

    def neighbours(self, members: Sequence[MachineCase]) -> Iterator[tuple[MachineCase, ...]]:
        """Yield groups of two and more that are neighbours in weight, in the shop's order.

        Of more than `SMALL` machines these are the lightest and the heaviest only.
        """
        order = sorted(members, key=weight)
        count = len(order)
        ends = [(low, high) for low in range(count) for high in range(low + 2, count + 1)]
        if count > SMALL:
            ends = [(0, high) for high in range(2, count + 1)]
            ends += [(low, count) for low in range(1, count - 1)]
        for low, high in ends:
            inside = {one.id for one in order[low:high]}
            yield tuple(one for one in members if one.id in inside)

    def estimate(
        self,
        group: Sequence[MachineCase],
        largest: Proposal,
        members: Sequence[MachineCase],
    ) -> float:
        """Return what a piece for *group* would cost, by that of the *largest* for *members*."""
        floor = self.worths.floor(largest.method)
        heaviest = max(map(weight, group)) / max(map(weight, members))
        sums = sum(map(weight, group)) / sum(map(weight, members))
        return floor + (self.worths.cost(largest) - floor) * (heaviest + sums) / 2.0


def groups(machines: Sequence[MachineCase]) -> Iterator[tuple[MachineCase, ...]]:
    """Yield every group of *machines*, the largest first."""
    masks = sorted(range(1, 1 << len(machines)), key=lambda mask: (-mask.bit_count(), mask))
    for mask in masks:
        yield tuple(one for n, one in enumerate(machines) if mask >> n & 1)


def clashing(way: Iterable[Proposal]) -> bool:
    """Tell whether two pieces of a mix cannot stand beside each other.

    They cannot where they bear one name, for then nobody could tell which is meant; and there is
    one connection to the network, whatever is hung on it.
    """
    names = [made.id for one in way for made in one.converters]
    names += [one.method for one in way if one.own_supply]
    return len(set(names)) < len(names)


def mixed(
    inquiry: Inquiry,
    drafts: Sequence[Draft],
    spared: Mapping[str, Proposal],
    worths: Worths,
    blocked: frozenset[Shape],
) -> Draft | None:
    """Return the cheapest mix of what was heard, and of shared pieces asked for to that end.

    Args:
        inquiry: The methods; what they were asked before is known.
        drafts: Ways that were put together before: such a one is returned itself.
        spared: By id, the machines that need no conversion, with what says so.
        worths: How proposals are weighed.
        blocked: Pieces that turned out not to do.

    Returns:
        The mix; ``None`` where no machine needs a conversion or none can have one, and where the
        pieces of the cheapest cannot stand beside each other.

    Raises:
        ImportError: There are many machines, and scipy is not installed.
    """
    methods = [one for one in inquiry.methods.values() if one.converts]
    rest = tuple(one for one in inquiry.case.machines if one.id not in spared)
    own = tuple(one.id for one in methods if not one.shared)
    shared = tuple(one.id for one in methods if one.shared)
    search = Mixing(inquiry, rest, own, shared, worths)
    if not blocked:
        search.ask_shared()
    pieces = [one for one in search.heard((*own, *shared)) if shape(one) not in blocked]
    found = search.best(pieces) if rest and pieces else ()
    if not found or clashing(found):
        return None
    way = (*spared.values(), *found)
    same = next((one for one in drafts if set(map(shape, one.proposals)) == set(map(shape, way))),
                None)  # fmt: skip
    if same is not None:
        return same
    ways = [one.proposals for one in drafts]
    return named(inquiry.case, [*ways, way])[-1] if served(way) else None
