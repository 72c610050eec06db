"""The load of a dwelling on the same supply, which the wiring code is asked for once."""

import attrs

from ampwright.case import Case
from ampwright.finding import Finding, parameters
from ampwright.region import ExistingLoad, Region

PLACE = "dwelling"


def with_dwelling(case: Case, region: Region) -> Case:
    """Return *case* with the calculated load of the dwelling that its supply states.

    Where the code has no way of calculating it, that is said; without a stated load it is a
    caution, for then nothing stands for the dwelling.
    """
    supply = case.shop.supply
    if supply.dwelling is None:
        return case
    ask = getattr(region, "existing", None)
    found: ExistingLoad | None = ask(supply, PLACE) if ask is not None else None
    said: tuple[Finding, ...] = found.findings if found is not None else ()
    if found is None or found.load is None:
        severity = "caution" if supply.existing_load is None else "info"
        said += (
            Finding(code="supply.dwelling-not-used", severity=severity, where=("supply",),
                    parameters=parameters(region=region.title)),
        )  # fmt: skip
    if found is None:
        return attrs.evolve(case, findings=(*case.findings, *said))
    return attrs.evolve(
        case,
        existing=found if found.load is not None else None,
        steps=(*case.steps, *found.steps),
        findings=(*case.findings, *said),
        assumptions=(*case.assumptions, *found.assumptions),
        questions=(*case.questions, *found.questions),
    )
