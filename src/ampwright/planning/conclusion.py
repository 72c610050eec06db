"""The decision, made in one go from what the stages found."""

import hashlib
import json
from collections.abc import Iterable, Mapping, Sequence
from typing import TypeVar

import attrs

from ampwright.case import Case
from ampwright.decision import Decision, PluginUsed, RegionUsed
from ampwright.finding import Assumption, Finding, Parameter, Question, parameters
from ampwright.option import Option
from ampwright.planning.circuits import Equipped
from ampwright.planning.costs import Prices
from ampwright.planning.ranking import IMPOSSIBLE, chosen, remarks
from ampwright.region import Region
from ampwright.registry import Offers, own_version
from ampwright.step import Step

One = TypeVar("One", Finding, Assumption, Question)
LIMITS = "limits/"
DECISIVE = ("method", "size")


def distinct(several: Iterable[One]) -> tuple[One, ...]:
    """Return each of *several* once, in order; what differs only in the steps it quotes is one."""
    seen: dict[object, One] = {}
    for one in several:
        said = tuple((part.name, part.value) for part in one.parameters)
        seen.setdefault((one.code, one.where, said), one)
    return tuple(seen.values())


def used(offers: Offers, region: Region) -> tuple[PluginUsed, ...]:
    """Return the plugins behind the region, and behind every method that was asked."""
    keys = [f"region:{region.id}", *(f"method:{name}" for name in offers.methods)]
    keys += [f"review:{name}" for name in offers.reviews]
    found = {offers.plugins[key] for key in keys if key in offers.plugins}
    return tuple(
        PluginUsed(name=name, version=number, texts=offers.texts.get(name, ()))
        for name, number in sorted(found)
    )


def canonical(thing: object) -> object:
    """Return what a statement says, whatever words it was said in: values, defaults left out."""
    if isinstance(thing, bool) or thing is None:
        return thing
    if isinstance(thing, float):
        return [float(thing), getattr(thing, "unit", "")]
    if isinstance(thing, tuple | list | frozenset):
        return [canonical(one) for one in thing]
    if isinstance(thing, Mapping):
        return {str(key): canonical(one) for key, one in thing.items()}
    kind = type(thing)
    if not attrs.has(kind):
        return thing
    found = {}
    for field in attrs.fields(kind):
        value = getattr(thing, field.name)
        if field.eq and not field.name.startswith("_") and value != field.default:
            found[field.name] = canonical(value)
    return found


def identity(
    case: Case, region: Region, plugins: Sequence[PluginUsed], steps: Iterable[Step]
) -> str:
    """Return the id of a plan: equal statement, plugins, versions and table cells, equal id."""
    machines = sorted(case.shop.machines, key=lambda one: one.id)
    shop = canonical(attrs.evolve(case.shop, machines=tuple(machines)))
    cells = sorted({(one.table, *one.cell, str(one.value)) for one in steps if one.table})
    parts = [
        shop,
        [region.id, region.edition, own_version()],
        [[one.name, one.version] for one in plugins],
        cells,
    ]
    # what an optional library would have found makes another plan
    parts += [[one.code] for one in case.findings if one.code == "plan.mix-not-sought"]
    text = json.dumps(parts, sort_keys=True, ensure_ascii=True, allow_nan=False)
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def warned(questions: Sequence[Question]) -> tuple[Finding, ...]:
    """Return the warning not to buy yet, where an open question may change method or size."""
    decisive = [one for one in questions if one.changes in DECISIVE]
    if not decisive:
        return ()
    names = tuple(dict.fromkeys(name for one in decisive for name in one.where))
    needed = tuple(
        Finding(
            code="plan.data-needed",
            severity="caution",
            where=one.where,
            parameters=parameters(field=one.field),
        )
        for one in decisive
        if one.changes == "method"
    )
    return (
        *needed,
        Finding(
            code="plan.do-not-buy-yet",
            severity="caution",
            where=names,
            parameters=parameters(questions=", ".join(sorted({one.code for one in decisive}))),
        ),
    )


def referred(steps: Iterable[Step], wholes: Sequence[object]) -> tuple[Step, ...]:
    """Return *steps* without the limits that nothing in *wholes* refers to.

    A limit that no number rests on could not be checked by anybody.
    """
    paths: set[str] = set()
    for one in wholes:
        note_references(one, paths)
    return tuple(one for one in steps if not one.path.startswith(LIMITS) or one.path in paths)


def note_references(thing: object, found: set[str]) -> None:
    """Add the paths of steps that anything in *thing* rests on to *found*."""
    if isinstance(thing, Step):
        for _, path in thing.inputs:
            found.add(path)
    elif isinstance(thing, Parameter):
        found.add(thing.step)
    elif isinstance(thing, list | tuple):
        for one in thing:
            note_references(one, found)
    elif isinstance(thing, Finding | Assumption | Question):
        note_references(thing.parameters, found)
    elif isinstance(thing, Case):
        note_references((thing.steps, thing.findings, thing.assumptions, thing.questions), found)
    elif isinstance(thing, Equipped):
        proposals = [
            (one.findings, one.assumptions, one.questions) for one in thing.draft.proposals
        ]
        note_references((proposals, thing.findings, thing.assumptions, thing.questions), found)


def conclude(
    case: Case,
    region: Region,
    offers: Offers,
    *,
    equipped: Sequence[Equipped],
    options: Sequence[Option],
    prices: Prices,
) -> Decision:
    """Return the decision."""
    proposals = [one for each in equipped for one in each.draft.proposals]
    best = chosen(options)
    inside = {each.draft.id: each for each in equipped}
    first = [inside[best]] if best else list(equipped)
    asked = [one for each in first for one in each.questions]
    asked += [one for each in first for plan in each.draft.proposals for one in plan.questions]
    questions = distinct([*case.questions, *asked])
    rested = [one for each in equipped for one in each.assumptions]
    rested += [one for plan in proposals for one in plan.assumptions]
    plugins = used(offers, region)
    steps = [*case.steps, *(one for each in options for one in each.steps)]
    steps += [one for each in options for circuit in each.circuits for one in circuit.steps]
    return Decision(
        id=identity(case, region, plugins, steps),
        version=own_version(),
        shop=case.shop,
        region=RegionUsed(
            id=region.id,
            edition=region.edition,
            family=region.family,
            title=region.title,
            terms=tuple(sorted(region.terms.items())),
        ),
        plugins=plugins,
        verdict=options[0].verdict if options else IMPOSSIBLE,
        options=tuple(options),
        chosen=best,
        findings=distinct([*warned(questions), *case.findings, *remarks(options, prices)]),
        questions=questions,
        assumptions=distinct([*case.assumptions, *rested]),
        steps=referred(case.steps, [steps, case, equipped]),
    )
