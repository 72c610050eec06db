"""Why each way stands where it stands in the ranking, in words a buyer understands."""

from collections.abc import Sequence

from ampwright.finding import Finding, parameters
from ampwright.option import Option
from ampwright.planning.conditions import changes, far_above, unmet
from ampwright.planning.ranking import (
    comparable,
    overloads,
    rivals,
    total_cost,
    waits,
    weighed_cost,
)

#: Share of its cost by which a way may be dearer and still be a near tie: common practice, no
#: source.
NEAR = 0.10


def served(one: Option) -> int:
    """Return how many machines *one* serves."""
    return sum(each.method is not None for each in one.machines)


def reason(one: Option, first: Option) -> str:
    """Return in one word why *one* comes after *first*: the first that tells them apart."""
    stuck = not one.feasible and (first.feasible or waits(first))
    dearer = weighed_cost(one) > weighed_cost(first)
    kept = sum(total_cost(one)) <= sum(total_cost(first))
    told = (
        ("waits", stuck and first.feasible and waits(one)),
        ("beyond-the-supply", stuck and overloads(one)),
        ("cannot-be-done", stuck and not waits(one)),
        ("serves-fewer", served(one) < served(first)),
        ("far-above-a-limit", far_above(one) and not far_above(first)),
        ("leaves-out-a-wish", unmet(one) > unmet(first)),
        ("other-currency", not comparable(one, first)),
        ("has-no-price", total_cost(one)[0] == float("inf")),
        ("changes-a-machine", dearer and kept and changes(one)),
        ("dearer", dearer),
        ("no-better", True),
    )
    return next(word for word, holds in told if holds)


def explained(options: Sequence[Option]) -> tuple[Finding, ...]:
    """Return for each of *options* after the first the reason why it comes after it.

    It is said of the plan: an option itself stays what it is, whatever others there are.
    """
    return tuple(
        Finding(
            code="plan.comes-after",
            severity="info",
            where=(one.id, options[0].id),
            parameters=parameters(first=options[0].id, reason=reason(one, options[0])),
        )
        for one in options[1:]
    )


def near_tie(options: Sequence[Option]) -> tuple[Finding, ...]:
    """Return the finding that the first two ways that can be done cost nearly the same."""
    able = [one for one in options if one.feasible and weighed_cost(one) < float("inf")]
    if len(able) < 2:
        return ()
    first, second = able[:2]
    if not comparable(first, second) or not rivals(first, second):
        return ()
    if weighed_cost(second) > (1.0 + NEAR) * weighed_cost(first):
        return ()
    return (
        Finding(
            code="plan.near-tie",
            severity="info",
            where=(first.id, second.id),
            parameters=parameters(first=first.id, second=second.id),
        ),
    )
