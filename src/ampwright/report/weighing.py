"""Why this size and this way: limits, costs, the other ways."""

from collections.abc import Iterator, Sequence

from ampwright.decision import Decision
from ampwright.finding import Finding
from ampwright.method import Cost, Limit
from ampwright.option import Option
from ampwright.report.blocks import NONE, Block, Column, Grid, Row, heads
from ampwright.report.figures import measure, money
from ampwright.report.wording import Wording, capital

YEARLY = ("energy", "idle", "standing")
COST_KINDS = ("purchase", "installation", *YEARLY)
#: By finding, another one that says as much.
ASKS_TOO = {"plan.utility-consent": "supply.start-disturbance"}
#: Methods that take a piece of equipment for each machine.
ALONE = ("static", "drive", "motor-swap")


def limits(option: Option, wording: Wording) -> Iterator[Block]:
    """Yield what each constraint on each sized thing asks for, and which one governs."""
    subjects: dict[str, list[Limit]] = {}
    for limit in option.limits:
        subjects.setdefault(limit.subject, []).append(limit)
    rows = []
    for subject, limits in subjects.items():
        name = capital(wording.name(subject))
        ordered = sorted(limits, key=lambda one: (one.cross_check, -(one.asks or 1e18)))
        for number, one in enumerate(ordered):
            words = capital(wording.word("constraints", one.constraint))
            tone = "lead" if one.governs else "note" if one.cross_check else ""
            first = "" if number else name
            rows.append(
                Row(cells=(first, words, _asked(one, wording), _role(one, wording)), tone=tone)
            )
    if rows:
        yield Grid(
            columns=heads(
                wording.head,
                "What",
                "Has to meet",
                "#Smallest standard size\nthat does so alone",
                "",
            ),
            rows=tuple(rows),
        )


def _asked(limit: Limit, wording: Wording) -> str:
    if limit.asks is None:
        return wording.say("no standard size does")
    return measure(limit.asks, limit.unit, wording.customs, digits=5, shaft=True)


def _role(limit: Limit, wording: Wording) -> str:
    if limit.cross_check:
        return wording.say("cross-check only: common practice, no source")
    return wording.say("governs") if limit.governs else ""


def totals(costs: Sequence[Cost], kinds: Sequence[str], wording: Wording) -> list[str]:
    """Return the range of all costs of *kinds*, one text a currency."""
    sums: dict[str, tuple[float, float]] = {}
    for cost in costs:
        if cost.kind in kinds:
            low, high = sums.get(cost.currency, (0.0, 0.0))
            sums[cost.currency] = (low + cost.low, high + cost.high)
    speech = wording.language
    return [money(low, high, currency, speech) for currency, (low, high) in sums.items()]


def costs(option: Option, wording: Wording) -> Iterator[Block]:
    """Yield the costs, a row for each thing and a column for each kind."""
    kinds = [kind for kind in COST_KINDS if any(one.kind == kind for one in option.costs)]
    if not kinds:
        return
    things: dict[str, list[Cost]] = {}
    for cost in option.costs:
        if cost.high > 0.0:
            things.setdefault(_payer(cost, option, wording), []).append(cost)
    rows = [
        Row(cells=(thing, *("\n".join(totals(costs, [kind], wording)) or NONE for kind in kinds)))
        for thing, costs in things.items()
    ]
    both = ("\n".join(totals(option.costs, [kind], wording)) or NONE for kind in kinds)
    rows.append(Row(cells=(wording.say("All together"), *both), tone="lead"))
    titles = [Column(title=wording.word("costs", kind), numeric=True) for kind in kinds]
    yield Grid(
        columns=(*heads(wording.head, "For"), *titles),
        rows=tuple(rows),
        note=wording.say(
            "Rough ranges, good enough to choose a way and not to order by. Ask for quotes."
        ),
    )


def _payer(cost: Cost, option: Option, wording: Wording) -> str:
    """Return what a cost is for: its id is that of a thing, or of a method and a machine."""
    thing = cost.id.partition("/")[0]
    if thing in wording.names:
        return capital(wording.name(thing))
    method, _, machine = thing.partition(".")
    if machine in {one.id for one in option.machines}:
        return f"{wording.name(machine)}: {wording.word('methods', method)}"
    return capital(wording.word("methods", thing))


def other_ways(decision: Decision, option: Option, wording: Wording) -> Iterator[Block]:
    """Yield every option beside the others, with what speaks against it."""
    rows = []
    for one in decision.options:
        once = sorted({cost.kind for cost in one.costs} - set(YEARLY))
        remark = wording.say("this plan") if one is option else _against(one, wording)
        rows.append(
            Row(
                cells=(
                    way(one, wording),
                    wording.word("verdicts", one.verdict),
                    "\n".join(totals(one.costs, once, wording)) or NONE,
                    "\n".join(totals(one.costs, YEARLY, wording)) or NONE,
                    remark,
                ),
                tone="lead" if one is option else "",
            )
        )
    if len(rows) > 1:
        yield Grid(
            columns=heads(wording.head, "Way", "Verdict", "#Once", "#A year", "Against it"),
            rows=tuple(rows),
        )


def clauses(option: Option, wording: Wording) -> Iterator[str]:
    """Yield which machines run how, a clause for each method."""
    how: dict[str, list[str]] = {}
    for one in option.machines:
        if one.method is not None:
            how.setdefault(one.method, []).append(wording.name(one.id))
    for method, names in how.items():
        area = "method_runs_many" if len(names) > 1 and method in ALONE else "method_runs"
        yield f"{wording.listed(names)} {wording.word(area, method)}"


def way(option: Option, wording: Wording) -> str:
    """Return how an option serves the machines, in a few words."""
    without = [wording.name(one.id) for one in option.machines if one.method is None]
    words = list(clauses(option, wording))
    if without:
        words.append(f"{wording.listed(without)} {wording.word('method_runs', 'none')}")
    return capital("; ".join(words))


def told(reasons: Sequence[Finding]) -> tuple[Finding, ...]:
    """Return *reasons* without the consent that another one of them asks for already."""
    codes = {one.code for one in reasons}
    return tuple(one for one in reasons if ASKS_TOO.get(one.code) not in codes)


def _against(option: Option, wording: Wording) -> str:
    seen: dict[str, dict[str, None]] = {}
    for one in option.machines:
        for reason in told(one.reasons):
            if reason.severity != "info":
                seen.setdefault(wording.finding(reason), {})[one.id] = None
    for finding in option.findings:
        if finding.severity == "blocks":
            seen.setdefault(wording.finding(finding), {})
    texts = [f"{wording.subject(names)}: {text}" if names else text for text, names in seen.items()]
    return "\n".join(texts[:3]) or wording.say("ranked lower by what it costs")
