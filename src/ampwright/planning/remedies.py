"""What makes a no a yes: the rest without a machine, a larger supply, less at once."""

from collections.abc import Iterator, Sequence

import attrs

from ampwright.case import Case
from ampwright.finding import Finding, Question, parameters
from ampwright.option import Option
from ampwright.planning.ranking import (
    IMPOSSIBLE,
    comparable,
    kept_apart,
    overloads,
    weighed_cost,
)
from ampwright.records.supply import Supply, Upgrade
from ampwright.step import Figure

UPGRADE = "shop/supply/upgrade"
RAISED = ("rating_a", "contract_va", "transformer_va", "feeder")


def the_rest(case: Case, options: Sequence[Option]) -> tuple[Finding, ...]:
    """Return which machines can run without those that cannot, and by which way."""
    if not options or any(one.feasible for one in options):
        return ()
    required = [one.id for one in case.machines if one.machine.required]

    def able(one: Option) -> list[str]:
        return [name for name in required if one.verdicts[name] != IMPOSSIBLE]

    fit = [one for one in options if not overloads(one) and able(one)]
    if not fit:
        return ()
    alike = comparable(*fit)
    best = min(fit, key=lambda one: (-len(able(one)), weighed_cost(one) if alike else 0.0, one.id))
    runs = able(best)
    left = [name for name in required if name not in runs]
    said = parameters(option=best.id, runs=", ".join(runs), left=", ".join(left))
    return (
        Finding(code="plan.runs-the-rest", severity="info", where=(best.id, *left),
                parameters=said),
    )  # fmt: skip


def upgraded(case: Case) -> Case | None:
    """Return *case* on the larger supply that was quoted; ``None`` without a quote."""
    quote = case.shop.supply.upgrade
    if quote is None:
        return None
    changes = {name: getattr(quote, name) for name in RAISED if getattr(quote, name) is not None}
    aliases = {field.name: field.alias for field in attrs.fields(Supply)}
    supply = attrs.evolve(
        case.shop.supply, **{aliases[name] or name: value for name, value in changes.items()}
    )
    return attrs.evolve(case, shop=attrs.evolve(case.shop, supply=supply))


def quoted(quote: Upgrade, options: Sequence[Option], after: Sequence[Option]) -> Finding:
    """Return what the quoted upgrade is worth: it is a way out, does not suffice, or is not needed.

    Args:
        quote: The quote.
        options: The ways on the supply as it is, best first.
        after: The ways on the larger supply, best first.
    """
    free = bool(options) and options[0].feasible and not kept_apart(options[0])
    helped = any(one.feasible for one in after)
    code = "supply.upgrade-needless" if free else "supply.upgrade-option"
    if not free and not helped:
        code = "supply.upgrade-too-small"
    currency = getattr(quote.price, "unit", "")
    values: dict[str, Figure | str] = {"what": quote.what}
    for name, key in (("rating_a", "rating"), ("price", "price"), ("months", "months"),
                      ("yearly_charge", "charge")):  # fmt: skip
        value = getattr(quote, name)
        if value is not None:
            values[key] = Figure(float(value), f"{UPGRADE}/{name}")
    charged = getattr(quote.yearly_charge, "unit", "")
    units = f"rating=A price={currency or 'USD'} charge={charged or 'USD'}"
    severity = "caution" if code == "supply.upgrade-too-small" else "info"
    return Finding(code=code, severity=severity, where=("supply",),
                   parameters=parameters(units, **values))  # fmt: skip


def asked(case: Case, options: Sequence[Option]) -> Iterator[Question]:
    """Yield the question for a larger supply, where the present one stands in the way."""
    blocked = not any(one.feasible for one in options) and any(map(overloads, options))
    less = bool(options) and options[0].feasible and kept_apart(options[0])
    if case.shop.supply.upgrade is None and (blocked or less):
        yield Question(code="supply.upgrade-quote", field="supply.upgrade", where=("supply",),
                       changes="method" if blocked else "figures")  # fmt: skip
