"""One document made from a decision, neutral to the form that it is written in."""

from collections.abc import Iterable, Iterator
from itertools import chain

import attrs

from ampwright.decision import Decision
from ampwright.diagram.drawing import pages
from ampwright.finding import Finding, Parameter
from ampwright.option import Option
from ampwright.records.machine import Machine
from ampwright.report.blocks import (
    Document,
    Entry,
    Facts,
    Grid,
    Listing,
    Row,
    Section,
    Signatures,
    Text,
    heads,
)
from ampwright.report.electrician import electrician_sections
from ampwright.report.owner import DO_NOT_BUY, asked, owner_sections
from ampwright.report.phrases import (
    licence,
    machines_by_id,
    reasons,
    shown_option,
    wording_of,
)
from ampwright.report.trail import trail_sections
from ampwright.report.weighing import ALONE
from ampwright.report.wording import Wording, capital, clause

CHECKED = "Rules and numbers were checked again by a second procedure with rules of its own."
#: How high a drawing may be that is 840 wide and has to fit on either paper, below a heading.
PAGE = 980.0
SUBTITLE = "Plan for running three-phase machines from a single-phase supply"
LACKING = "Some texts have no translation yet; they stand here in English."


def document(decision: Decision, language: str | None = None, *, drawn: bool = True) -> Document:
    """Return the report of *decision*; the same decision gives the same document.

    Args:
        decision: The plan.
        language: The reader's: a tag such as ``"de"`` or ``"pt-BR"``, ``"region"`` for the one of
            the region, ``None`` for English. The texts that have no translation stand in English,
            and the document says so once.
        drawn: The drawings are made as well, which a writer of text has no use for.

    Raises:
        InputError: There is no such language, or babel is not installed.
    """
    wording = wording_of(decision, language)
    subtitle = wording.say(SUBTITLE)
    sections = tuple(_sections(decision, wording))
    if wording.language.lacking:
        note = Text(text=wording.say(LACKING), tone="note")
        first, *rest = sections
        sections = (first, attrs.evolve(rest[0], blocks=(*rest[0].blocks, note)), *rest[1:])
    letter = wording.customs.feet or wording.terms.get("paper") == "letter"
    return Document(
        title=str(decision.shop.name or wording.say("Shop")),
        subtitle=subtitle,
        plan=decision.id,
        edition=wording.title(decision.region),
        version=decision.version,
        paper="letter" if letter else "A4",
        sections=sections,
        language=wording.language,
        drawing=_drawing(decision, wording, "one-line") if drawn else (),
        wiring=_drawing(decision, wording, "connection") if drawn else (),
    )


def _drawing(decision: Decision, wording: Wording, kind: str) -> tuple[str, ...]:
    option = shown_option(decision)
    if option is None or not option.circuits:
        return ()
    return pages(decision, option, wording, most=PAGE, kind=kind)


def _sections(decision: Decision, wording: Wording) -> Iterator[Section]:
    yield _part("owner", wording.say("For the owner"))
    yield from owner_sections(decision, wording)
    yield _part("electrician", wording.say("For the {@electrician}"))
    yield from electrician_sections(decision, wording)
    yield from _said(decision, wording)
    yield _made_with(decision, wording)
    yield _signatures(wording)
    if trail := tuple(trail_sections(decision, wording)):
        yield _part("basis", wording.say("How each number came about"))
        yield from trail


def _part(name: str, title: str) -> Section:
    return Section(id=name, title=title, blocks=(), part=True)


def _about(said: Iterable[Parameter], where: tuple[str, ...]) -> tuple[str, ...]:
    """Return what something is said of: the motor, where it names one, else what it names."""
    motors = (part.value for part in said if part.name == "motor")
    motor = next((one for one in motors if isinstance(one, str)), "")  # a number is a current
    return (motor,) if motor else where


def entries(findings: Iterable[Finding], wording: Wording) -> tuple[Entry, ...]:
    """Return findings as entries, the gravest first, each text once."""
    order = {"blocks": 0, "caution": 1, "info": 2}
    severities: dict[tuple[str, str], str] = {}
    merged: dict[tuple[str, str, str], tuple[dict[str, None], dict[str, None]]] = {}
    for one in sorted(findings, key=lambda finding: order[finding.severity]):
        text = wording.finding(one)
        gravest = severities.setdefault((text, one.code), one.severity)
        key = (text, one.code, gravest)
        where, rules = merged.setdefault(key, ({}, {}))
        where |= dict.fromkeys(_about(one.parameters, one.where))
        rules |= dict.fromkeys([clause(one.rule)] if one.rule else [])
    return tuple(
        Entry(
            text=text,
            subject=wording.subject(where),
            detail=" · ".join([code, *rules]),
            tone=severity,
        )
        for (text, code, severity), (where, rules) in merged.items()
    )


def _said(decision: Decision, wording: Wording) -> Iterator[Section]:
    option = shown_option(decision)
    findings = [*decision.findings, *(option.findings if option else ())]
    findings += [reason for one in (option.machines if option else ()) for reason in one.reasons]
    listed = entries((one for one in findings if one.code != DO_NOT_BUY), wording)
    groups = (
        ("blocking", wording.say("What has to be settled first"), "blocks"),
        ("cautions", wording.say("Cautions"), "caution"),
        ("notes", wording.say("To know"), "info"),
    )
    for name, title, tone in groups:
        if found := tuple(one for one in listed if one.tone == tone):
            yield Section(id=name, title=title, blocks=(Listing(entries=found),))
    yield from _questions(decision, wording)
    yield from _assumptions(decision, wording)
    yield from _refused(decision, wording)
    yield _checks(decision, wording)
    yield _safety(option, wording)


def _questions(decision: Decision, wording: Wording) -> Iterator[Section]:
    if found := asked(decision.questions, wording):
        blocks = (Listing(entries=found, ordered=True),)
        yield Section(id="questions", title=wording.say("Questions"), blocks=blocks)


def _elsewhere(decision: Decision) -> set[str]:
    """Return the ids of equipment and circuits that the reported way does not have."""
    shown = shown_option(decision)

    def parts(option: Option) -> set[str]:
        several = (option.converters, option.transformers, option.circuits)
        return {one.id for each in several for one in each}

    return {name for option in decision.options for name in parts(option)} - (
        parts(shown) if shown else set()
    )


def _below(path: str) -> str:
    """Return *path* below the option that it belongs to."""
    return path.split("/", 2)[-1]


def _reckoned(option: Option) -> dict[str, float | str]:
    """Return every number of *option* by its path below it.

    What is assumed of several ways alike is said once, with the path of the first of them.
    """
    circuits = (one.steps for one in option.circuits)
    return {_below(one.path): one.value for one in chain(option.steps, *circuits)}


def _assumptions(decision: Decision, wording: Wording) -> Iterator[Section]:
    merged: dict[tuple[str, str], dict[str, None]] = {}
    elsewhere, shown = _elsewhere(decision), shown_option(decision)
    reckoned = _reckoned(shown) if shown else {}
    for one in decision.assumptions:
        named = {*one.where, *(str(part.value) for part in one.parameters)}
        of_ways = [part for part in one.parameters if part.step.startswith("options/")]
        if not elsewhere.isdisjoint(named) or not all(
            reckoned.get(_below(part.step)) == part.value for part in of_ways
        ):
            continue  # it is about another way than the one that is reported
        where = merged.setdefault((wording.assumption(one), one.code), {})
        where |= dict.fromkeys(_about(one.parameters, one.where))
    if merged:
        found = tuple(
            Entry(text=text, subject=wording.subject(where), detail=code)
            for (text, code), where in merged.items()
        )
        title = wording.say("Assumptions")
        yield Section(id="assumptions", title=title, blocks=(Listing(entries=found),))


def _refused(decision: Decision, wording: Wording) -> Iterator[Section]:
    option = shown_option(decision)
    merged: dict[tuple[str, str], dict[str, None]] = {}
    by_id = machines_by_id(decision)
    for one in option.refusals if option else ():
        without = one.method in ALONE and not any(_has_motors(by_id[at]) for at in one.machines)
        why = (
            wording.say("It has no three-phase motor.")
            if without
            else reasons(one.reasons, wording)
        )
        names = merged.setdefault((one.method, why), {})
        names |= dict.fromkeys(one.machines)
    rows = [
        Row(cells=(capital(wording.word("methods", method)), wording.subject(names), why))
        for (method, why), names in merged.items()
    ]
    if rows:
        columns = heads(wording.head, "Method", "Machines", "Why not")
        grid = Grid(columns=columns, rows=tuple(rows))
        yield Section(id="refused", title=wording.say("Methods that were refused"), blocks=(grid,))


def _has_motors(machine: Machine) -> bool:
    return bool(machine.motors) or machine.plate is not None


def _known(ids: tuple[str, ...], wording: Wording) -> tuple[str, ...]:
    """Return those of *ids* that there are words for: the check names parts of paths, too."""
    return tuple(one for one in ids if wording.name(one) != one or one in wording.machines)


def _checks(decision: Decision, wording: Wording) -> Section:
    checks = decision.checks
    if checks is None:
        blocks: tuple[Text | Listing, ...] = (
            Text(text=wording.say("No independent check was asked for.")),
        )
    else:
        objections = [one for one in checks if one.severity != "info"]
        none = "" if objections else wording.say(" It has no objection.")
        verdict = (
            Text(text=wording.say("The independent check objects to this plan."), tone="stop")
            if any(one.severity == "blocks" for one in objections)
            else Text(text=wording.say(CHECKED) + none)
        )
        named = [attrs.evolve(one, where=_known(one.where, wording)) for one in checks]
        said = (Listing(entries=entries(named, wording)),) if checks else ()
        blocks = (verdict, *said)
    return Section(id="checks", title=wording.say("Independent check"), blocks=blocks)


def _safety(option: Option | None, wording: Wording) -> Section:
    dead = wording.say(
        "Before opening anything: switch off, lock, wait, and prove it dead at every terminal. "
        "Capacitors hold their charge after switching off; measure and short each one."
    )
    leg = wording.say(
        "The {@made-leg} is for three-phase motors only. Nothing single-phase and "
        "no control circuit is connected to it; it is marked wherever it can be reached."
    )
    first = wording.say(
        "First start: prove the direction of every machine with its tool off, measure the three "
        "voltages and currents empty and loaded, and stop when they leave what this plan states."
    )
    silent = wording.say(
        "Not examined: the building's structure, the state of old wiring and machines, guards and "
        "emergency stops, and anything that was not stated."
    )
    made = any(one.converter and one.leg_to_earth_v for one in (option.states if option else ()))
    texts = (licence(wording), dead, leg if made else "", first, silent)
    listing = Listing(entries=tuple(Entry(text=text) for text in texts if text))
    return Section(id="safety", title=wording.say("What holds in any case"), blocks=(listing,))


def _made_with(decision: Decision, wording: Wording) -> Section:
    region, say = decision.region, wording.say
    plugins = ", ".join(f"{one.name} {one.version}".strip() for one in decision.plugins)
    pairs = [
        (say("Wiring code"), wording.title(region)),
        (say("Region and edition"), f"{region.id}, {region.edition}"),
        (say("Plan"), decision.id),
        (say("Made by"), f"ampwright {decision.version}"),
        (say("Plugins"), plugins),
        (say("Form of the stored plan"), decision.schema),
    ]
    return Section(
        id="made-with",
        title=say("Basis of this plan"),
        blocks=(
            Facts(pairs=tuple((name, value) for name, value in pairs if value), wide=True),
            Text(
                text=say("The same shop file with the same versions gives the same plan id."),
                tone="note",
            ),
        ),
    )


def _signatures(wording: Wording) -> Section:
    lines = (
        (
            capital(wording.term("electrician")),
            wording.say("figures checked against the real plates and place"),
        ),
        (capital(wording.term("authority")), wording.say("examined")),
    )
    title = wording.say("Signatures")
    return Section(id="signatures", title=title, blocks=(Signatures(lines=lines),))
