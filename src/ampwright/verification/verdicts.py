"""Whether verdicts, choices, starts and limits follow from what the plan itself states."""

from collections.abc import Iterable

from ampwright.decision import Decision
from ampwright.option import Assignment, Option
from ampwright.verification.ledger import Ledger, close
from ampwright.verification.statements import every_machine

VERDICT, CHOSEN, IDS = "plan.verdict", "plan.chosen", "plan.unique-ids"
LIMIT, START, COVER = "plan.governing-limit", "plan.start", "plan.every-machine"
_ORDER = ("feasible", "feasible-with-conditions", "not-feasible")
_LAST = "not-feasible"


def check_verdicts(ledger: Ledger) -> None:
    """Check what the plan concludes against what it states."""
    decision = ledger.decision
    required = {one.id: one.required for one in every_machine(decision.shop)}
    _unique(ledger, "options", [one.id for one in decision.options])
    for option in decision.options:
        _option(ledger, option, required)
    _decision(ledger, decision, required)


def _unique(ledger: Ledger, path: str, ids: Iterable[str]) -> None:
    seen: set[str] = set()
    for one in ids:
        if one in seen:
            ledger.breach(IDS, f"{path}/{one}", "one", "several")
        seen.add(one)


def _worst(verdicts: Iterable[str]) -> str:
    return max(verdicts, key=_ORDER.index, default=_ORDER[0])


def _option(ledger: Ledger, option: Option, required: dict[str, bool]) -> None:
    place = f"options/{option.id}"
    for name in ("machines", "converters", "transformers", "circuits", "states", "limits"):
        _unique(ledger, f"{place}/{name}", [one.id for one in getattr(option, name)])
    _unique(ledger, f"{place}/starts", [one.id for one in option.starts])
    assigned = [one.id for one in option.machines]
    for missing in sorted(set(required) ^ set(assigned)):
        ledger.breach(COVER, f"{place}/machines/{missing}", "every machine once", missing)
    blocked, whole = _blocked(option)
    worst = _worst(one.verdict for one in option.machines if required.get(one.id, True))
    worst = _LAST if whole else worst
    if _dangerous_as_it_is(ledger, required):
        worst = _worst((worst, _ORDER[1]))
    # what has to be done about the feeder or the supply is a condition of the whole alone
    beside = worst == _ORDER[0] and option.verdict == _ORDER[1] and _concerns_the_whole(option)
    if option.verdict != worst and not beside:
        ledger.breach(VERDICT, f"{place}/verdict", worst, option.verdict)
    if option.feasible != (worst != _LAST):
        ledger.breach(VERDICT, f"{place}/feasible", worst, str(option.feasible))
    for one in option.machines:
        _machine(ledger, option, one, f"{place}/machines/{one.id}", blocked)
    _starts(ledger, option, place)
    _limits(ledger, option, place)


def _dangerous_as_it_is(ledger: Ledger, machines: Iterable[str]) -> bool:
    """Tell whether something that is there already, and is no machine, has to be removed first."""
    names = {*machines}
    return any(
        one.severity == "blocks" and one.where and names.isdisjoint(one.where)
        for one in ledger.decision.findings
    )


def _concerns_the_whole(option: Option) -> bool:
    """Tell whether something is wrong that is part of the supply and serves every machine."""
    return any(
        one.severity != "info" and not {"service", "supply"}.isdisjoint(one.where)
        for one in option.findings
    )


def _blocked(option: Option) -> tuple[dict[str, str], bool]:
    """Return the machines that blocking findings concern, with a code, and if any concerns none.

    What blocks without naming a machine, or something that serves machines, blocks the whole way:
    a service that is too small.
    """
    behind: dict[str, tuple[str, ...]] = {one.id: (one.id,) for one in option.machines}
    behind |= {one.id: one.machines for one in option.converters}
    behind |= {one.id: one.machines for one in option.transformers}
    for circuit in option.circuits:
        fed = [behind.get(one, ()) for one in circuit.feeds]
        behind[circuit.id] = tuple(one for group in fed for one in group)
    found: dict[str, str] = {}
    whole = False
    for finding in option.findings:
        if finding.severity == "blocks":
            hit = [one for where in finding.where for one in behind.get(where, ())]
            whole = whole or not hit
            for machine in hit:
                found.setdefault(machine, finding.code)
    return found, whole


def _machine(
    ledger: Ledger, option: Option, one: Assignment, path: str, blocked: dict[str, str]
) -> None:
    why = next((reason.code for reason in one.reasons if reason.severity == "blocks"), "")
    why = why or blocked.get(one.id, "")
    if one.method is None and not why:
        why = "no method"
    if why and one.verdict != _LAST:
        ledger.breach(VERDICT, f"{path}/verdict", f"{_LAST}: {why}", one.verdict)
    if one.verdict != _LAST and not _is_fed(option, one.id):
        ledger.breach(COVER, path, "a circuit", "none")


def _is_fed(option: Option, machine: str) -> bool:
    fed = any(machine in circuit.feeds for circuit in option.circuits)
    within = any(machine in one.machines for one in option.converters)
    elsewhere = {"utility", "motor-swap"} & {one.method or "" for one in option.machines}
    return fed or within or bool(elsewhere)


def _starts(ledger: Ledger, option: Option, place: str) -> None:
    verdicts = option.verdicts
    said = {(finding.code, where) for finding in option.findings for where in finding.where}
    trips = {where for code, where in said if code.startswith("protection.")}
    for start in option.starts:
        path = f"{place}/starts/{start.id}"
        if not start.runs_up:
            hit = [start.id] if start.id in verdicts else list(_behind(option, start.id))
            for machine in hit:
                if verdicts.get(machine) != _LAST:
                    ledger.breach(START, f"{path}/runs_up", _LAST, verdicts.get(machine, "none"))
        torque, needed = start.torque_nm, start.needed_torque_nm
        if start.runs_up and torque is not None and needed is not None and torque < needed:
            ledger.breach(START, f"{path}/torque_nm", needed, torque, "N m")
        if not start.runs_up and start.time_s is not None:
            ledger.breach(START, f"{path}/time_s", "none", start.time_s, "s")
        if start.device_trips and not trips & {start.id, start.converter}:
            ledger.breach(START, f"{path}/device_trips", "a finding", "none")


def _behind(option: Option, converter: str) -> tuple[str, ...]:
    return next((one.machines for one in option.converters if one.id == converter), ())


def _limits(ledger: Ledger, option: Option, place: str) -> None:
    """Check that the governing limits are those that ask for most, and that this was chosen."""
    for one in option.limits:
        if one.cross_check and one.governs:
            path = f"{place}/limits/{one.id}/governs"
            ledger.breach(LIMIT, path, "no rule of thumb", one.constraint)
    for subject in dict.fromkeys(one.subject for one in option.limits):
        limits = [one for one in option.limits if one.subject == subject and not one.cross_check]
        asked = [one.asks for one in limits if one.asks is not None]
        if len(asked) < len(limits) or not asked:
            continue
        most = max(asked)
        for one in limits:
            if one.governs != close(one.asks or 0.0, most):
                path = f"{place}/limits/{one.id}/governs"
                ledger.breach(LIMIT, path, str(not one.governs), str(one.governs))
        _chosen_size(ledger, option, subject, most, place)


def _chosen_size(ledger: Ledger, option: Option, subject: str, most: float, place: str) -> None:
    converter = next((one for one in option.converters if one.id == subject), None)
    if converter is None or converter.given:
        return
    idler, rating = converter.idler_power_w, converter.rating_w
    sizes = [one for one in (idler, rating, converter.rating_va) if one is not None]
    if not sizes or any(close(one, most) for one in sizes):
        return
    path = f"{place}/converters/{subject}/rating_w"
    if max(sizes) < most:
        ledger.breach(LIMIT, path, most, max(sizes), "W")
    else:
        ledger.larger(LIMIT, path, most, max(sizes), "W")


def _decision(ledger: Ledger, decision: Decision, required: dict[str, bool]) -> None:
    best = decision.best
    if decision.chosen is not None and best is None:
        ledger.breach(CHOSEN, "chosen", "an option", decision.chosen)
    if best is not None:
        if not best.feasible:
            ledger.breach(CHOSEN, "chosen", "a feasible option", best.id)
        if decision.verdict != best.verdict:
            ledger.breach(VERDICT, "verdict", best.verdict, decision.verdict)
    elif decision.verdict != _LAST and any(required.values()):
        ledger.breach(VERDICT, "verdict", _LAST, decision.verdict)
    later = False
    for option in decision.options:
        if later and option.feasible:
            ledger.breach(CHOSEN, f"options/{option.id}", "ahead of those that fail", "behind them")
        later = later or not option.feasible
