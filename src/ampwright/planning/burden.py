"""What the machines ask of the supply as they were bought, and what it has left.

The currents are those of equal apparent power on one phase, as an electrician reckons them in the
head; what each way draws comes later.
"""

from collections.abc import Collection, Iterable, Iterator, Sequence
from typing import NamedTuple

import attrs

from ampwright.case import Case, RunningSet
from ampwright.finding import Finding, parameters
from ampwright.planning.demand import needed
from ampwright.step import Figure, Worksheet
from ampwright.tables import Source

SUM = Source(document="sum of currents of equal apparent power", known="practice")
SUPPLY = "shop/supply"


class Bearing(NamedTuple):
    """One thing that limits the current of the supply.

    Attributes:
        name: ``main``, ``contract`` or ``transformer``.
        most: What it bears [A].
        left: What is left of that beside the load already there [A].
    """

    name: str
    most: Figure
    left: Figure


def bearings(case: Case, sheet: Worksheet) -> tuple[Bearing, ...]:
    """Return everything that limits the current, as far as it is known."""
    supply, part = case.shop.supply, sheet.under("left")
    known: list[tuple[str, Figure]] = []
    if supply.rating_a is not None:
        known.append(("main", Figure(float(supply.rating_a), f"{SUPPLY}/rating_a")))
    for name in ("contract", "transformer"):
        value = getattr(supply, f"{name}_va")
        if value is not None:
            power = Figure(float(value), f"{SUPPLY}/{name}_va")
            most = part.formula(f"{name}_most_a", "I", "A", "S / U", S=power, U=case.supply.voltage)
            known.append((name, most))
    there = existing(case, part)
    terms = {"E": there} if there is not None else {}
    return tuple(
        Bearing(
            name,
            most,
            part.formula(
                f"{name}_a", "I_spare", "A", " - ".join(["max(I", *terms]) + ", 0)", terms, I=most
            ),
        )
        for name, most in known
    )


def existing(case: Case, sheet: Worksheet) -> Figure | None:
    """Return the current of the load that is there already [A]; ``None``: not known.

    Beside one that was recorded nothing has to be calculated; of one that may not have been, and
    the calculated one of a dwelling, the larger counts.
    """
    supply, reckoned = case.shop.supply, case.existing.load if case.existing else None
    stated = supply.existing_load
    if stated is None:
        return reckoned
    figure = Figure(float(stated), f"{SUPPLY}/existing_load")
    if getattr(stated, "unit", "A") == "VA":
        figure = sheet.formula("existing_a", "I_e", "A", "S / U", S=figure, U=case.supply.voltage)
    if reckoned is None or supply.demand_record in ("year", "month"):
        return figure
    return sheet.formula("larger_a", "I_e", "A", "max(I, C)", I=figure, C=reckoned)


def with_needs(case: Case) -> dict[str, tuple[str, ...]]:
    """Return each machine's id with those of what must run with it, in the shop's order."""
    order = [one.id for one in case.machines]
    stems = {one.id: one.id for one in case.shop.machines}
    stems |= {name: name.rpartition(":")[0] for name in order if name not in stems}
    needs = needed(case.shop)
    found = {}
    for name in order:
        wanted = set(needs[stems[name]])
        found[name] = tuple(one for one in order if one == name or stems[one] in wanted)
    return found


def asked(case: Case, machines: Iterable[str], name: str, sheet: Worksheet) -> Figure:
    """Return the current of equal apparent power of *machines* together [A]."""
    terms = {f"I{n}": case.machine(one).equal_kva for n, one in enumerate(machines)}
    return sheet.formula(name, "I_eq", "A", " + ".join(terms) or "0", terms, source=SUM)


def exceeded(
    case: Case, machines: Sequence[str], where: tuple[str, ...], sheet: Worksheet
) -> Iterator[Finding]:
    """Yield a finding for each kind of limit that *machines* together go beyond."""
    supply, there = case.shop.supply, existing(case, sheet)
    added = asked(case, machines, "added_a", sheet)
    terms = {"E": there} if there is not None else {}
    load = sheet.formula("load_a", "I_load", "A", " + ".join(["A", *terms]), terms, A=added,
                         source=SUM)  # fmt: skip
    limits = {
        one.name: one for one in bearings(case, Worksheet("burden")) if load.value > one.most.value
    }
    physical = min(
        (one for name, one in limits.items() if name != "contract"),
        key=lambda one: one.most.value,
        default=None,
    )
    if physical is not None:
        values = {"load": load, "rating": physical.most, "added": added}
        values |= {"existing": there} if there is not None else {}
        said = parameters("load=A rating=A added=A existing=A", least="any-way", **values)
        yield Finding(code="supply.undersized", severity="caution", where=where, parameters=said)
    if "contract" in limits:
        need = sheet.formula("need_va", "S", "VA", "U * I", U=case.supply.voltage, I=load)
        limit = Figure(float(supply.contract_va or 0.0), f"{SUPPLY}/contract_va")
        said = parameters("need=VA limit=VA", need=need, limit=limit)
        yield Finding(
            code="supply.single-phase-limit", severity="caution", where=where, parameters=said
        )


@attrs.frozen(kw_only=True)
class Burden:
    """What the machines ask of the supply.

    Attributes:
        left: What limits the current, and what of it is left.
        beyond: Findings on each machine that is beyond the supply with what it needs, by its id.
        sets: Findings on each stated set that is beyond the supply.
        hopeless: Some stated set gives more power than the main device passes, even without what
            is beyond the supply alone; no way on this supply bears it.
        sheet: The steps.
    """

    left: tuple[Bearing, ...]
    beyond: dict[str, tuple[Finding, ...]]
    sets: tuple[Finding, ...]
    hopeless: bool
    sheet: Worksheet

    @property
    def spare_a(self) -> float:
        """Least of what is left [A]; infinite where nothing is known."""
        return min((one.left.value for one in self.left), default=float("inf"))

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Everything to be said, the machines first."""
        return (*(one for several in self.beyond.values() for one in several), *self.sets)


def burden(case: Case) -> Burden:
    """Return what the machines of *case* ask of its supply."""
    sheet = Worksheet("burden")
    left = bearings(case, sheet)
    beyond = {}
    for name, members in with_needs(case).items():
        found = tuple(exceeded(case, members, (name, "supply"), sheet.under(f"machines/{name}")))
        if found:
            beyond[name] = found
    sets = [
        finding
        for one in case.sets
        for finding in exceeded(
            case, one.machines, ("supply", *one.machines), sheet.under(f"sets/{one.id}")
        )
    ]
    hopeless = any(too_much_power(case, set(one.machines) - beyond.keys()) for one in case.sets)
    return Burden(left=left, beyond=beyond, sets=tuple(sets), hopeless=hopeless, sheet=sheet)


def too_much_power(case: Case, machines: Collection[str]) -> bool:
    """Tell whether what *machines* give together is more than the main device passes.

    It is their rated power, with no loss and at unity power factor, so no way draws less current.
    """
    main = case.shop.supply.rating_a
    if main is None or len(machines) < 2:
        return False
    members = [one for one in case.machines if one.id in machines]
    given = sum(one.demand.power.value for each in members for one in each.simultaneous_motors)
    return given > case.supply.voltage.value * main


def split(case: Case, members: Sequence[str], most_a: float) -> tuple[tuple[str, ...], ...]:
    """Return sets of *members* that keep within *most_a* and hold each of them at least once.

    Each set begins with the heaviest machine that none holds yet, with what it needs, and takes in
    what still fits: first what none holds yet, then the others, the heaviest first. A machine that
    is beyond the supply alone stands alone.
    """
    needs = with_needs(case)
    weight = {one.id: one.equal_kva.value for one in case.machines}
    order = sorted(members, key=lambda name: (-weight[name], name))
    made: list[set[str]] = []
    held: set[str] = set()
    for first in order:
        if first in held:
            continue
        inside = set(needs[first])
        for other in sorted(order, key=held.__contains__):
            more = inside | set(needs[other])
            if sum(weight[name] for name in more) <= most_a:
                inside = more
        made.append(inside)
        held |= inside
    place = [one.id for one in case.machines]
    return tuple(tuple(sorted(one, key=place.index)) for one in made)


def apart(case: Case, most_a: float) -> tuple[RunningSet, ...]:
    """Return running sets that keep within *most_a*, each stated one split where it does not."""
    weight = {one.id: one.equal_kva.value for one in case.machines}
    found = [
        part
        for one in case.sets
        for part in (
            (one.machines,)
            if sum(weight[name] for name in one.machines) <= most_a
            else split(case, one.machines, most_a)
        )
    ]
    whole = [one for one in found if not any(set(one) < set(other) for other in found)]
    return tuple(
        RunningSet(id=f"apart-{n}", machines=one) for n, one in enumerate(dict.fromkeys(whole), 1)
    )
