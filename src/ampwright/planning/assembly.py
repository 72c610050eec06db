"""Which machines go on which equipment: the mixes worth looking at."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

import attrs

from ampwright.case import Case, MachineCase
from ampwright.method import ConversionMethod, Proposal, Refusal
from ampwright.planning.answers import Inquiry

NOTHING = "none"


@attrs.frozen(kw_only=True)
class Draft:
    """One way to run the shop, before the wiring code was asked.

    Attributes:
        id: Methods used, joined by ``+``.
        proposals: What is bought, each for its machines.
        left_out: Ids of the machines that no proposal serves.
    """

    id: str
    proposals: tuple[Proposal, ...]
    left_out: tuple[str, ...]

    @property
    def assignment(self) -> dict[str, str]:
        """Method of each machine that is served."""
        return {name: one.method for one in self.proposals for name in one.machines}


def weight(machine: MachineCase) -> float:
    """Return the current that ranks *machine* among the others [A]."""
    return machine.equal_kva.value


def plain(inquiry: Inquiry, methods: Iterable[ConversionMethod]) -> dict[str, Proposal]:
    """Return for each machine that needs no conversion the proposal that says so."""
    found: dict[str, Proposal] = {}
    for method in methods:
        if not method.converts:
            found = {**inquiry.alone(method.id), **found}
    return found


def blamed(answer: Refusal, asked: Sequence[MachineCase]) -> set[str]:
    """Return the ids of the machines that a refusal lays on some of *asked*, not on them all."""
    named = {name for reason in answer.reasons for name in reason.where}
    found = {one.id for one in asked} & named
    return found if len(found) < len(asked) else set()


def lightened(
    inquiry: Inquiry, method: str, machines: Sequence[MachineCase]
) -> Sequence[MachineCase]:
    """Return *machines* without as few of the heaviest as lets *method* take the others.

    The heaviest alone is tried first, then halving finds how many: whoever takes some machines
    takes them without the heaviest of them too. What is found is taken, or refused for the sake of
    some only.
    """
    order = sorted(machines, key=weight, reverse=True)

    def without(count: int) -> list[MachineCase]:
        return [one for one in machines if one not in order[:count]]

    few, many = 0, len(order)
    while many - few > 1:
        middle = (few + many) // 2 if few else 1
        rest = without(middle)
        answer = inquiry.ask(method, rest)
        if isinstance(answer, Refusal) and not blamed(answer, rest):
            few = middle
        else:
            many = middle
    return without(many)


def group(inquiry: Inquiry, method: str, machines: Sequence[MachineCase]) -> Proposal | None:
    """Return *method* sized for all of *machines* that it accepts together; ``None`` for none.

    Machines that the reasons of a refusal name are dropped; where they name all, those that weigh
    most.
    """
    asked = list(machines)
    while asked:
        answer = inquiry.ask(method, asked)
        if isinstance(answer, Proposal):
            return answer
        named = blamed(answer, asked)
        if named:
            asked = [one for one in asked if one.id not in named]
        else:
            asked = list(lightened(inquiry, method, asked))
    return None


def filled(
    inquiry: Inquiry,
    way: Sequence[Proposal],
    machines: Sequence[MachineCase],
    own: Mapping[str, Proposal],
    shared: Sequence[str],
) -> tuple[Proposal, ...]:
    """Return *way* with the machines that it does not serve on the cheapest piece of their own.

    What has no piece of its own goes on the first shared one that takes it.
    """
    found = list(way)
    missing = [one for one in machines if one.id not in served(found)]
    found += [own[one.id] for one in missing if one.id in own]
    left = [one for one in missing if one.id not in own]
    for method in shared:
        together = group(inquiry, method, left) if left else None
        if together is not None:
            found.append(together)
            left = [one for one in left if one.id not in together.machines]
    return tuple(found)


def mixes(
    inquiry: Inquiry,
    shared: str,
    own: Mapping[str, Proposal],
    machines: Sequence[MachineCase],
) -> Iterator[tuple[Proposal, ...]]:
    """Yield ways to split *machines* between one shared piece and pieces of their own.

    The heaviest machines get their own first: a machine that alone sets the size of the shared
    piece is the one that pays for itself elsewhere. Looked at are the heaviest alone, and the
    heavier half.
    """
    willing = sorted((one for one in machines if one.id in own), key=weight, reverse=True)
    for count in sorted({1, (len(willing) + 1) // 2}):
        apart = willing[:count]
        rest = [one for one in machines if one not in apart]
        together = group(inquiry, shared, rest) if rest else None
        if together is not None:
            way = (together, *(own[one.id] for one in apart))
            yield filled(inquiry, way, machines, own, ())


def cheapest(
    own: Iterable[Mapping[str, Proposal]], cost: Callable[[Proposal], float]
) -> dict[str, Proposal]:
    """Return for each machine the cheapest piece of its own."""
    found: dict[str, Proposal] = {}
    for proposals in own:
        for name, one in proposals.items():
            if name not in found or cost(one) < cost(found[name]):
                found[name] = one
    return found


def on_this_supply(inquiry: Inquiry, method: str, machines: Sequence[MachineCase]) -> bool:
    """Tell whether pieces of a shared *method* hang on the single-phase supply."""
    answers = (inquiry.ask(method, (one,)) for one in machines)
    first = next((one for one in answers if isinstance(one, Proposal)), None)
    return first is None or not first.own_supply


def assemble(
    case: Case, inquiry: Inquiry, cost: Callable[[Proposal], float], *, hopeless: bool = False
) -> tuple[Draft, ...]:
    """Return the drafts worth working out: one for all, one each, and the cheapest mix of both.

    Args:
        case: The shop.
        inquiry: The methods, through which they are asked.
        cost: Rough cost of a proposal, to choose among mixes of the same methods.
        hopeless: The supply does not bear what runs at once, whatever the way. Then no shared
            piece that hangs on it is asked for, since a large one takes long to be found
            impossible, and of pieces of their own only the cheapest are looked at.
    """
    methods = list(inquiry.methods.values())
    spared = plain(inquiry, methods)
    rest = [one for one in case.machines if one.id not in spared]
    shared = [one.id for one in methods if one.converts and one.shared]
    if hopeless:
        shared = [one for one in shared if not on_this_supply(inquiry, one, rest)]
    own = {one.id: inquiry.alone(one.id) for one in methods if one.converts and not one.shared}
    own = {
        method: {name: one for name, one in proposals.items() if name not in spared}
        for method, proposals in own.items()
    }
    best = cheapest(own.values(), cost)
    together = {method: group(inquiry, method, rest) for method in shared}
    able = [(method, one) for method, one in together.items() if one is not None]
    able.sort(key=lambda pair: (-len(pair[1].machines), cost(pair[1])))
    ways = [filled(inquiry, (one,), rest, best, ()) for _, one in able]
    if able:
        split = list(mixes(inquiry, able[0][0], best, rest))
        ways += [min(split, key=lambda way: sum(map(cost, way)))] if split else []
    order = [method for method, _ in able]
    ways += [
        filled(inquiry, tuple(proposals.values()), rest, best, order)
        for proposals in (best, *(() if hopeless else own.values()))
        if proposals
    ]
    return named(case, [(*spared.values(), *way) for way in ways or [()]])


def served(way: Iterable[Proposal]) -> set[str]:
    """Return the ids of the machines that *way* serves."""
    return {name for one in way for name in one.machines}


def named(case: Case, ways: Iterable[tuple[Proposal, ...]]) -> tuple[Draft, ...]:
    """Return a draft for each distinct way, with an id of its own; ``none`` if nothing serves."""
    drafts: dict[str, Draft] = {}
    seen: set[tuple[tuple[str, tuple[str, ...]], ...]] = set()
    order = {one.id: n for n, one in enumerate(case.machines)}
    for way in ways:
        kept = sorted(way, key=lambda one: (order[one.machines[0]], one.method))
        shape = tuple((one.method, one.machines) for one in kept)
        if shape in seen:
            continue
        seen.add(shape)
        name = "+".join(sorted({one.method for one in kept})) or NOTHING
        while name in drafts:
            stem, _, number = name.partition(":")
            name = f"{stem}:{int(number or 1) + 1}"
        left = tuple(one.id for one in case.machines if one.id not in served(kept))
        drafts[name] = Draft(id=name, proposals=tuple(kept), left_out=left)
    if len(drafts) > 1:
        drafts.pop(NOTHING, None)
    return tuple(drafts.values())
