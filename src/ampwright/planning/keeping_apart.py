"""What a way that runs less at once has to say: what is kept apart, and what may run."""

from collections.abc import Sequence
from itertools import combinations

import attrs

from ampwright.case import Case
from ampwright.finding import Finding, parameters
from ampwright.planning.assembly import Draft

SUFFIX = "in-turn"


def parted(whole: Case, part: Case) -> tuple[tuple[str, ...], ...]:
    """Return the sets that the caller meant to run at once and that *part* does not let run so.

    Two machines that never run at once in *part* are such a set; where each two may, the stated
    set itself.
    """
    known = [set(one.machines) for one in part.sets]
    served = {one.id for one in part.machines}
    found: list[tuple[str, ...]] = []
    for stated in whole.sets:
        members = tuple(name for name in stated.machines if name in served)
        if any(set(members) <= one for one in known):
            continue
        pairs = [
            pair for pair in combinations(members, 2) if not any(set(pair) <= one for one in known)
        ]
        found += pairs or [members]
    return tuple(dict.fromkeys(found))


def turns(part: Case, names: Sequence[str]) -> str:
    """Return, as text, the sets of *part* in which *names* may run."""
    wanted = set(names)
    return "; ".join(
        " + ".join(one.machines) for one in part.sets if wanted.intersection(one.machines)
    )


def kept_apart(draft: Draft, whole: Case, part: Case) -> Draft:
    """Return *draft* as one of *part*: a name of its own, and what must not run at once said."""
    if part is whole:
        return draft
    left = {one.id for one in whole.machines} - {one.id for one in part.machines}
    order = [one.id for one in whole.machines]
    proposals = list(draft.proposals)
    sets = parted(whole, part)
    if sets and proposals:
        names = tuple(name for name in order if any(name in one for one in sets))
        said = Finding(
            code="plan.keep-apart",
            severity="caution",
            where=names,
            parameters=parameters(turns=turns(part, names)),
        )
        first = proposals[0]
        proposals[0] = attrs.evolve(
            first, apart=(*first.apart, *sets), findings=(*first.findings, said)
        )
    return attrs.evolve(
        draft,
        id=f"{draft.id}:{SUFFIX}",
        proposals=tuple(proposals),
        left_out=tuple(name for name in order if name in left or name in draft.left_out),
    )
