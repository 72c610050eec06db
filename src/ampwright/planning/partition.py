"""Cheapest way to part machines among pieces of equipment, each piece for certain machines.

Machines have the numbers 0, 1, 2 and so on. What counts is, in this order: few machines that no
piece serves, few pieces without a price, little cost.
"""

import math
from collections.abc import Sequence
from typing import NamedTuple

#: Machines up to which every way to part them is looked at.
SMALL = 12


class Piece(NamedTuple):
    """One piece of equipment that might be had.

    Attributes:
        machines: Numbers of the machines that it serves, one at least.
        cost: What it costs, nought or more; infinite without a price.
    """

    machines: frozenset[int]
    cost: float


class Worth(NamedTuple):
    """How good a way is; less is better.

    Attributes:
        unserved: Machines that no piece serves.
        unpriced: Pieces without a price.
        cost: Sum of the prices.
    """

    unserved: int
    unpriced: int
    cost: float


def worth(count: int, pieces: Sequence[Piece], chosen: Sequence[int]) -> Worth:
    """Return how good it is to take the pieces at the places *chosen* for *count* machines."""
    taken = [pieces[place] for place in chosen]
    return Worth(
        count - len({name for one in taken for name in one.machines}),
        sum(math.isinf(one.cost) for one in taken),
        sum(one.cost for one in taken if not math.isinf(one.cost)),
    )


def cheapest(count: int, pieces: Sequence[Piece]) -> tuple[int, ...]:
    """Return the places of the pieces that serve *count* machines best, none twice.

    Every way is looked at up to `SMALL` machines; more are left to integer programming.

    Raises:
        ImportError: There are more than `SMALL` machines, and scipy is not installed.
    """
    return exhaustive(count, pieces) if count <= SMALL else by_integers(count, pieces)


def exhaustive(count: int, pieces: Sequence[Piece]) -> tuple[int, ...]:
    """Return the places of the best pieces, every way looked at.

    The first machine of those that are left is served by some piece or by none; what is best for
    the others is worked out once for each set of them.
    """
    by_first: list[list[tuple[int, int, Worth]]] = [[] for _ in range(count)]
    for place, one in enumerate(pieces):
        own = Worth(0, 1, 0.0) if math.isinf(one.cost) else Worth(0, 0, one.cost)
        mask = sum(1 << number for number in one.machines)
        for number in one.machines:
            by_first[number].append((place, mask, own))
    known: dict[int, tuple[Worth, tuple[int, ...]]] = {0: (Worth(0, 0, 0.0), ())}

    def best(left: int) -> tuple[Worth, tuple[int, ...]]:
        if left in known:
            return known[left]
        first = (left & -left).bit_length() - 1
        rest, chosen = best(left & ~(1 << first))
        found = rest._replace(unserved=rest.unserved + 1), chosen
        for place, mask, own in by_first[first]:
            if mask & ~left:
                continue
            rest, chosen = best(left & ~mask)
            total = Worth(rest.unserved, rest.unpriced + own.unpriced, rest.cost + own.cost)
            if total < found[0]:
                found = total, (*chosen, place)
        known[left] = found
        return found

    return tuple(sorted(best((1 << count) - 1)[1]))


def by_integers(count: int, pieces: Sequence[Piece]) -> tuple[int, ...]:
    """Return the places of the best pieces, by integer programming.

    A variable for each piece says whether it is taken, one for each machine that none serves it;
    of the pieces that serve a machine and that variable exactly one is one.

    Raises:
        ImportError: scipy is not installed.
    """
    from scipy.optimize import Bounds, LinearConstraint, milp  # noqa: PLC0415 - an extra
    from scipy.sparse import csr_array  # noqa: PLC0415 - an extra

    total = sum(one.cost for one in pieces if not math.isinf(one.cost)) or 1.0
    costs = [2.0 if math.isinf(one.cost) else one.cost / total for one in pieces]
    costs += [2.0 * (count + 1)] * count
    cells = [(number, place) for place, one in enumerate(pieces) for number in one.machines]
    cells += [(number, len(pieces) + number) for number in range(count)]
    rows, columns = zip(*cells, strict=True)
    shape = (count, len(costs))
    found = milp(
        costs,
        integrality=[1] * len(costs),
        bounds=Bounds(0, 1),
        constraints=LinearConstraint(
            csr_array(([1.0] * len(cells), (rows, columns)), shape=shape), 1, 1
        ),
        options={"mip_rel_gap": 0.0},
    )
    return tuple(place for place in range(len(pieces)) if found.x[place] > 0.5)
