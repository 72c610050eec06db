"""Equipment, machines and places in words."""

from collections.abc import Iterable, Iterator, Mapping

import attrs

from ampwright.decision import Decision
from ampwright.equipment.capacitor import Capacitor
from ampwright.equipment.circuit import Circuit
from ampwright.equipment.conductor import Conductor, Raceway
from ampwright.equipment.converter import Converter
from ampwright.equipment.device import ProtectiveDevice
from ampwright.equipment.transformer import Transformer
from ampwright.finding import Finding
from ampwright.option import Assignment, Option
from ampwright.quantity import Held
from ampwright.records.machine import Machine
from ampwright.records.statement import Statement
from ampwright.report.blocks import NONE
from ampwright.report.figures import measure
from ampwright.report.language import ENGLISH
from ampwright.report.wording import Wording, brought, capital, customs

#: Ends the id of what a machine takes from one phase, beside what is converted for it.
BESIDE = ".single-phase"


#: What is said of a machine of which no figure is known.
UNKNOWN = "machine.figures-missing"


def is_unknown(one: Assignment) -> bool:
    """Tell whether a machine is left without a method because no figure of it is known."""
    return one.method is None and any(reason.code == UNKNOWN for reason in one.reasons)


def only_unknown(decision: Decision) -> bool:
    """Tell whether nothing is in the way but machines of which no figure is known."""
    option = decision.options[0] if decision.options else None
    if option is None or any(one.severity == "blocks" for one in option.findings):
        return False
    required = {name: one.required for name, one in machines_by_id(decision).items()}
    stuck = [
        one
        for one in option.machines
        if one.verdict == "not-feasible" and required.get(one.id, True)
    ]
    return bool(stuck) and all(map(is_unknown, stuck))


def _machine_names(decision: Decision, wording: Wording) -> Iterator[tuple[str, str]]:
    for one, machine in machines_by_id(decision).items():
        name = str(machine.name or machine.id)
        if one != machine.id:
            name = wording.say("{name} no. {n}", name=name, n=one.rpartition(":")[2])
        yield one, name
        yield f"{one}/0", name
        for index in range(len(machine.motors) if len(machine.motors) > 1 else 0):
            yield f"{one}/{index}", wording.say("{name}, motor {n}", name=name, n=index + 1)
        for index in range(len(machine.loads)):
            many = len(machine.loads) > 1 or machine.motors
            own = wording.say("{name}, load {n}", name=name, n=index + 1) if many else name
            yield f"{one}/load{index}", own


def _equipment_names(option: Option, wording: Wording) -> Iterator[tuple[str, str]]:
    methods = [one.method for one in option.converters if one.joins is None]
    for converter in option.converters:
        what = wording.word("methods", converter.method)
        if methods.count(converter.method) > 1 or len(converter.machines) == 1:
            names = wording.names_of(converter.machines)
            what = wording.say("{what} for {names}", what=what, names=names)
        if converter.joins is not None:
            method = wording.word("methods", converter.method)
            what = wording.say("second idler beside the {what}", what=method)
        yield converter.id, what
        for part in converter.capacitors:
            purpose = wording.word("purposes", part.purpose)
            named = wording.say("{what}, {purpose} capacitors", what=what, purpose=purpose)
            yield f"{converter.id}/{part.id}", named
    for limit in option.limits:
        old, _, motor = limit.subject.partition(".")
        if old == "motor" and motor in wording.names:
            yield limit.subject, wording.say("new motor of {name}", name=wording.name(motor))
    for state in option.states:
        machine, beside, _ = state.converter.rpartition(BESIDE)
        if beside:
            name = wording.name(machine)
            yield state.converter, wording.say("{name}, its part for one phase", name=name)
    for transformer in option.transformers:
        names = wording.names_of(transformer.machines)
        yield transformer.id, wording.say("transformer for {names}", names=names)


def _circuit_names(option: Option, wording: Wording) -> Iterator[tuple[str, str]]:
    for circuit in option.circuits:
        role = wording.term(circuit.role)
        feeds = "" if circuit.role == "service" else wording.names_of(circuit.feeds)
        yield (
            circuit.id,
            wording.say("{what} to {names}", what=role, names=feeds) if feeds else role,
        )


def _other_names(option: Option, wording: Wording) -> Iterator[tuple[str, str]]:
    methods = dict.fromkeys(one.method for one in option.machines if one.method)
    yield option.id, wording.listed(wording.word("methods", one) for one in methods)
    for state in option.states:
        if state.running and not state.converter:
            served = [one.id for one in option.machines if one.method]
            everything = len(served) > 2 and set(state.running) >= set(served)
            names = wording.say("everything") if everything else wording.names_of(state.running)
            yield state.set, wording.say("{names} running", names=names)


def _sets(decision: Decision) -> Iterator[str]:
    for option in decision.options:
        yield from (one.set for one in option.states if one.running and not one.converter)


def _serves(option: Option) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield what each converter and circuit serves, machines behind a converter included."""
    behind = {one.id: one.machines for one in option.converters}
    yield from behind.items()
    for one in option.circuits:
        inner = [machine for fed in one.feeds for machine in behind.get(fed, ())]
        yield one.id, (*one.feeds, *inner)


def wording_of(decision: Decision, language: str | None = None) -> Wording:
    """Return the words that suit the plan: its region's terms, its machines' names.

    Args:
        decision: The plan.
        language: The reader's, as in `language_for`.

    Raises:
        InputError: There is no such language, or babel is not installed.
    """
    names: dict[str, str] = {}
    serves: dict[str, tuple[str, ...]] = {}
    found = Wording(
        customs=customs(decision.region, language),
        terms=dict(decision.region.terms),
        names=names,
        serves=serves,
        machines=tuple(machines_by_id(decision)),
        own=brought(decision.plugins),
        sets=frozenset(_sets(decision)),
    )
    names |= dict(_machine_names(decision, found))
    # the shown option comes last, so that its names win where options use one id for two things
    for parts in (_other_names, _equipment_names, _circuit_names):
        for option in _shown_last(decision):
            names |= dict(parts(option, found))
            serves |= dict(_serves(option))
    return found


def _shown_last(decision: Decision) -> Iterable[Option]:
    shown = shown_option(decision)
    return [*(one for one in decision.options if one is not shown), *([shown] if shown else [])]


def shown_option(decision: Decision) -> Option | None:
    """Return the option that the report is about: the best, or the first where none is advised."""
    return decision.best or next(iter(decision.options), None)


def stated_fields(
    record: attrs.AttrsInstance, wording: Wording, ahead: str = ""
) -> Iterator[tuple[str, str]]:
    """Yield name and value of every field of *record* that was stated, in the caller's words."""
    for field in attrs.fields(type(record)):
        if field.name.startswith("_"):
            continue
        value = getattr(record, field.name)
        if value is False and field.default is False:
            continue
        label = wording.language.text("labels", (field.alias or field.name).replace("_", " "))
        yield from _stated(f"{ahead}{label}", value, wording)


def _stated(label: str, value: object, wording: Wording) -> Iterator[tuple[str, str]]:
    if value is None or value in ((), {}, ""):
        return
    if isinstance(value, Statement):
        yield from stated_fields(value, wording, f"{label}, ")
    elif isinstance(value, bool):
        yield capital(label), wording.say("yes") if value else wording.say("no")
    elif isinstance(value, Held):
        yield capital(label), value.given
    elif isinstance(value, float | int):
        yield capital(label), wording.number(value)
    elif isinstance(value, tuple):
        for index, part in enumerate(value):
            yield from _stated(f"{label} {index + 1}", part, wording)
    elif isinstance(value, str):
        yield capital(label), wording.choice(value)


def machines_by_id(decision: Decision) -> Mapping[str, Machine]:
    """Return the caller's machines by id; the copies of several equal ones count as well."""
    found = {}
    for one in decision.shop.machines:
        found[str(one.id)] = one
        found |= {f"{one.id}:{n}": one for n in range(2, one.quantity + 1)}
    return found


def conductors(part: Conductor | None, wording: Wording) -> str:
    """Return count, size, material and insulation: ``3 × 6 AWG copper THWN-2``."""
    if part is None:
        return NONE
    count = f"{part.count} × " if part.count > 1 else ""
    material = wording.word("materials", part.material)
    return f"{count}{size(part, wording)} {material} {part.insulation}".strip()


def size(part: Conductor, wording: Wording) -> str:
    """Return the size of a conductor with the decimal sign of the reader and proper squares."""
    return wording.sized(part.size)


def raceway(part: Raceway | None, wording: Wording) -> str:
    """Return kind and trade size of a raceway and how full it is."""
    if part is None:
        return NONE
    fill = measure(part.fill_fraction, "fraction", wording.customs, toward="up")
    limit = measure(part.limit_fraction, "fraction", wording.customs, toward="down")
    kind = wording.text("values", part.kind) or part.kind
    used = wording.say("{fill} full, {limit} allowed", fill=fill, limit=limit)
    return f"{kind} {part.size}\n{used}"


def device(
    part: ProtectiveDevice | None, wording: Wording, *, kind: bool = True, lines_v: float = 0.0
) -> str:
    """Return a device by class and rating: ``2-pole breaker 60 A, inverse-time``.

    A rated voltage below *lines_v*, that between the lines, is the lower one of a slash rating.
    """
    if part is None:
        return NONE
    units = wording.customs
    name = _device_name(part.kind, wording)
    words = [wording.say("{n}-pole {device}", n=part.poles, device=name)] if kind else []
    if part.rating_a is not None:
        words.append(measure(part.rating_a, "A", units, digits=6))
    sizes = []
    if part.rating_v is not None:
        volts = measure(part.rating_v, "V", units, toward="up")
        lower = part.rating_v < 0.9 * lines_v
        sizes.append(wording.say("{volts} to {@earth}", volts=volts) if lower else volts)
    if part.power_w is not None:
        power = measure(part.power_w, "W", units, toward="up", shaft=True)
        sizes.append(wording.say("at least {size}", size=power))
    if part.setting_a is not None:
        amperes = measure(part.setting_a, "A", units, toward="down")
        sizes.append(wording.say("set to {amperes}", amperes=amperes))
    if part.setting_v is not None:
        volts = measure(part.setting_v, "V", units, toward="down")
        sizes.append(wording.say("drops below {volts} between lines", volts=volts))
    if part.delay_s is not None:
        seconds = measure(part.delay_s, "s", units, toward="up")
        sizes.append(wording.say("after {seconds}", seconds=seconds))
    if part.curve and not (kind and part.curve in wording.terms.get(part.kind, "")):
        sizes.append(_curve(part.curve, wording))
    return ", ".join([" ".join(words), *sizes] if words else sizes)


def _device_name(kind: str, wording: Wording) -> str:
    if wording.language.code == ENGLISH:
        return wording.terms.get(kind) or wording.word("devices", kind)
    return wording.terms.get(f"{kind}@{wording.language.code}") or wording.word("devices", kind)


def _curve(curve: str, wording: Wording) -> str:
    kind, _, name = curve.partition(" ")
    if kind == "class":
        return wording.say("class {name}", name=name)
    if kind == "type":
        return wording.say("type {name}", name=name)
    return wording.text("curves", curve) or curve


def overloads(circuit: Circuit, wording: Wording) -> str:
    """Return the overload of every motor on *circuit*, one a line."""
    lines = []
    for one in circuit.overloads:
        name = f"{wording.name(one.id)}: " if len(circuit.overloads) > 1 and one.id else ""
        lines.append(f"{name}{device(one, wording, kind=False)}")
    return "\n".join(lines) or NONE


def converter_title(part: Converter, wording: Wording) -> str:
    """Return what a converter is, by method, rating and idler."""
    units = wording.customs
    method = wording.word("methods", part.method)
    if part.joins is not None:
        method = wording.say("second idler beside the {what}", what=method)
    words = [capital(method)]
    if part.rating_w is not None:
        words.append(measure(part.rating_w, "W", units, digits=5, shaft=True))
    if part.rating_va is not None:
        words.append(measure(part.rating_va, "VA", units, digits=5))
    title = " ".join(words)
    if part.idler_power_w is not None and part.idlers is not None:
        power = measure(part.idler_power_w / part.idlers, "W", units, digits=5, shaft=True)
        title += wording.say(", {n} idlers of {power}", n=part.idlers, power=power)
    elif part.idler_power_w is not None and part.idler_power_w != part.rating_w:
        power = measure(part.idler_power_w, "W", units, digits=5, shaft=True)
        title += wording.say(", idler {power}", power=power)
    return title


def capacitor(part: Capacitor, wording: Wording) -> str:
    """Return capacitors by purpose, legs and size: ``run c–a: 60 µF ± 10 %, 330 V ac``."""
    units = wording.customs
    size = measure(part.capacitance_f, "F", units)
    volts = measure(part.voltage_v, "V", units, toward="up")
    band = measure(part.tolerance_fraction, "fraction", units)
    legs = "–".join(part.between)
    purpose = wording.word("purposes", part.purpose)
    rated = wording.say("{volts} ac", volts=volts)
    return f"{purpose} {legs}: {size} ± {band}, {rated}"


def transformer_title(part: Transformer, wording: Wording) -> str:
    """Return what a transformer is, by kind, phases, rating and voltages."""
    units = wording.customs
    rating = measure(part.rating_va, "VA", units, digits=5)
    volts = [measure(one, "V", units, digits=5) for one in (part.primary_v, part.secondary_v)]
    isolating = part.kind == "isolating"
    kind = wording.say("isolating transformer") if isolating else wording.say("autotransformer")
    title = wording.say("{n}-phase {kind} {size}", n=part.phases, kind=kind, size=rating)
    return wording.say("{title}, {first} to {second}", title=title, first=volts[0], second=volts[1])


def reasons(findings: Iterable[Finding], wording: Wording) -> str:
    """Return the reasons of a refusal as sentences one after the other, each once."""
    return " ".join(dict.fromkeys(wording.refusal(one) for one in findings))


def licence(wording: Wording) -> str:
    """Return what a plan is not."""
    return wording.say(
        "This plan is arithmetic on what was stated. It is no licence to wire: the wiring code in "
        "force where the shop stands, the utility's rules and the {@authority} go before it, and "
        "where the law reserves work to the {@electrician}, nobody else does it."
    )
