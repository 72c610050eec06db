"""What runs at once."""

from itertools import combinations
from math import comb

from ampwright.case import RunningSet
from ampwright.finding import Assumption, parameters
from ampwright.records.shop import Shop

MOST_SETS = 12  # beyond which sets by the number of people are not told apart


def needed(shop: Shop) -> dict[str, tuple[str, ...]]:
    """Return for each machine the ids of those that must run with it, through any depth."""
    direct = {one.id: tuple(one.needs) for one in shop.machines}

    def reach(name: str, seen: tuple[str, ...]) -> tuple[str, ...]:
        for other in direct[name]:
            if other not in seen:
                seen = reach(other, (*seen, other))
        return seen

    return {name: tuple(one for one in reach(name, (name,)) if one != name) for name in direct}


def by_hands(
    closed: list[tuple[str, ...]], hands: int, order: list[str]
) -> tuple[tuple[RunningSet, ...], tuple[Assumption, ...]]:
    """Return the sets that so many people can run, each machine with what it needs.

    Where there are too many such sets, every machine runs at once as far as anybody can tell.
    """
    wanted = min(max(hands, 1), len(closed))
    if comb(len(closed), wanted) > MOST_SETS:
        wanted = len(closed)
    sets = [
        tuple(name for name in order if any(name in one for one in several))
        for several in combinations(closed, wanted)
    ]
    whole = [one for one in dict.fromkeys(sets) if not any(set(one) < set(more) for more in sets)]
    said = Assumption(
        code="plan.as-many-as-people",
        where=tuple(order),
        parameters=parameters(count=str(wanted)),
    )
    found = tuple(RunningSet(id=f"set-{n}", machines=one) for n, one in enumerate(whole, 1))
    return found, (said,)


def running_sets(
    shop: Shop, copies: dict[str, tuple[str, ...]]
) -> tuple[tuple[RunningSet, ...], tuple[Assumption, ...]]:
    """Return the sets of machines that run at once.

    Args:
        shop: The shop; ``together`` names the sets, and no statement means everything at once.
        copies: Ids of the copies of each machine, where its quantity is above one.

    Returns:
        The sets in the order stated, then one for each machine that stands in none, with what it
        needs; and the assumption made where nothing was stated.
    """
    order = [name for one in shop.machines for name in copies[one.id]]
    needs = needed(shop)

    def whole(names: tuple[str, ...]) -> tuple[str, ...]:
        ids = {other for name in names for other in (name, *needs[name])}
        members = {copy for name in ids for copy in copies[name]}
        return tuple(name for name in order if name in members)

    if shop.together is None and shop.operators is not None:
        return by_hands([whole((one.id,)) for one in shop.machines], shop.operators, order)
    if shop.together is None:
        everything = RunningSet(id="all", machines=tuple(order))
        said = Assumption(
            code="plan.everything-at-once",
            where=tuple(order),
            parameters=parameters(count=str(len(order))),
        )
        return (everything,), (said,) if len(order) > 1 else ()
    sets = [whole(tuple(names)) for names in shop.together]
    named = {name for names in shop.together for name in names}
    sets += [whole((one.id,)) for one in shop.machines if one.id not in named]
    distinct = list(dict.fromkeys(sets))
    return tuple(RunningSet(id=f"set-{n}", machines=one) for n, one in enumerate(distinct, 1)), ()
