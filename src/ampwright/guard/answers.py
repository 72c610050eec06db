"""Whether the answer of a method can be used: numbers, units, energy, sources, money, size."""

import math
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cache
from typing import NamedTuple

import attrs

from ampwright.case import Case
from ampwright.method import Proposal, State
from ampwright.region import CircuitDemand, ConverterInput, LoadDemand, MotorDemand
from ampwright.step import Figure, Step

#: Most that one answer may hold, and the longest text in it; far above any plan of 500 machines.
MOST_STEPS, MOST_PARTS, LONGEST_TEXT = 200_000, 10_000, 20_000
#: Share of a power by which sums may miss, for figures are solved to a residual.
CLOSE = 1e-6
CURRENCY = re.compile(r"[A-Z]{3}")
#: Kinds of steps that have to say where they come from.
WITH_SOURCE = frozenset(("table", "assumed", "solved", "given"))
#: Units of the figures of a demand, by the last word of their name, else by the whole of it.
UNITS = {"current": "A", "voltage": "V", "length": "m", "frequency": "Hz", "power": "W",
         "factor": "", "time": "s", "ahead": "", "largest": "A", "source": "A", "leg": "A",
         "speed": "1/min", "rise": "K", "cycle": "", "device": "A", "earth": "V"}  # fmt: skip
#: Spellings of a unit that count as the same.
SAME = {"rpm": "1/min", "degC": "K"}
PARTS = (CircuitDemand, MotorDemand, LoadDemand, ConverterInput)


class Fault(NamedTuple):
    """What is wrong with an answer: code, what was found, what would be right."""

    code: str
    found: str
    wanted: str


def faults(answer: Proposal, case: Case, names: tuple[str, ...]) -> Iterator[Fault]:
    """Yield what is wrong with a proposal, the worst first.

    Args:
        answer: The proposal.
        case: The shop that it is for.
        names: Ids of the machines that were asked about.
    """
    yield from _too_much(answer)
    if answer.machines != names:
        yield Fault("plugin.contract", ", ".join(map(str, answer.machines)), f"machines {names}")
    yield from _amounts(answer)
    yield from _figures(answer, case)
    yield from _sources(answer.steps)
    for state in answer.states:
        for said in impossible(state, set(names)):
            yield Fault("physics.energy", said, f"what can be in the state {state.id}")
    for step in answer.steps:
        if step.symbol == "eta" and isinstance(step.value, float) and step.value > 1.0:
            yield Fault("physics.energy", f"{step.path} = {step.value}", "an efficiency up to 1")
    yield from _money(answer)


def _too_much(answer: Proposal) -> Iterator[Fault]:
    counts = {
        "steps": (len(answer.steps), MOST_STEPS),
        "parts": (
            sum(len(one) for one in (answer.converters, answer.transformers, answer.demands,
                                     answer.states, answer.starts, answer.limits, answer.costs,
                                     answer.findings, answer.assumptions, answer.questions)),
            MOST_PARTS,
        ),
    }  # fmt: skip
    for name, (count, most) in counts.items():
        if count > most:
            yield Fault("limit.answer", f"{count} {name}", f"at most {most} {name}")
            return
    for step in answer.steps:
        texts = (step.path, step.formula, step.text, step.symbol, str(step.value))
        if any(len(text) > LONGEST_TEXT for text in texts):
            yield Fault("limit.answer", f"{max(map(len, texts))} characters",
                        f"texts of at most {LONGEST_TEXT} characters")  # fmt: skip
            return


def _amounts(answer: Proposal) -> Iterator[Fault]:
    """Yield numbers of converters, states and starts that are none."""
    groups: Iterable[Iterable[attrs.AttrsInstance]] = (
        answer.converters, answer.states, answer.starts,
    )  # fmt: skip
    for group in groups:
        for one in group:
            for field in attrs.fields(type(one)):
                value = getattr(one, field.name)
                if isinstance(value, float) and not math.isfinite(value):
                    place = f"{getattr(one, 'id', '')} {field.name}"
                    yield Fault("plugin.nonfinite", f"{place} = {value}", "a finite number")


@cache
def _named(kind: type[attrs.AttrsInstance]) -> tuple[str, ...]:
    """Return the fields of a demand that hold figures."""
    return tuple(one.name for one in attrs.fields(kind) if "Figure" in str(one.type))


def _of(part: attrs.AttrsInstance) -> Iterator[tuple[str, object]]:
    for name in _named(type(part)):
        value = getattr(part, name)
        if name == "voltage_to_earth":
            yield from ((name, one) for one in value)
        elif value is not None:
            yield name, value


def _figures(answer: Proposal, case: Case) -> Iterator[Fault]:
    """Yield the figures of demands that are none, or of another unit than theirs."""
    steps: Mapping[str, Step] = {one.path: one for one in (*case.steps, *answer.steps)}
    for demand in answer.demands:
        ahead = (demand.converter,) if demand.converter is not None else ()
        parts: Sequence[attrs.AttrsInstance] = (demand, *demand.motors, *demand.loads, *ahead)
        for part in parts:
            if not isinstance(part, PARTS):
                yield Fault("plugin.contract", type(part).__name__, "parts of a demand")
                continue
            for name, value in _of(part):
                place = f"{name} of {getattr(part, 'id', '')}"
                if not isinstance(value, Figure):
                    said = f"{type(value).__name__} {value!r}"
                    yield Fault("unit.missing", said, f"a Figure with its step as {place}")
                    continue
                if not isinstance(value.value, float) or not math.isfinite(value.value):
                    yield Fault("plugin.nonfinite", f"{place} = {value.value}", "a finite number")
                yield from _unit(name, place, value, steps)


def _unit(name: str, place: str, value: Figure, steps: Mapping[str, Step]) -> Iterator[Fault]:
    step = steps.get(value.path)
    wanted = UNITS.get(name.rpartition("_")[2])
    if step is None or wanted is None or step.kind == "given":
        return
    unit = SAME.get(step.unit, step.unit)
    if unit != wanted:
        found = f"{place} in {step.unit or 'no unit'}"
        yield Fault("unit.dimension", found, f"a figure in {wanted or 'no unit'}")


def _sources(steps: Iterable[Step]) -> Iterator[Fault]:
    for step in steps:
        bare = step.source is None or not step.source.document
        if step.kind in WITH_SOURCE and bare:
            yield Fault("plugin.provenance", f"{step.path} without a source",
                        "a source for what is given, read, assumed or solved")  # fmt: skip
            return


def impossible(state: State, machines: set[str]) -> Iterator[str]:
    """Yield what cannot be in a *state* of the *machines*."""
    shafts = sum(
        one.shaft_w for one in state.motors if one.id.split("/")[0] in machines and one.shaft_w > 0
    )
    room = CLOSE * max(state.input_power_w, 1.0)
    if state.input_power_w + room < shafts:
        yield f"{shafts:.1f} W at the shafts and {state.input_power_w:.1f} W drawn"
    if state.losses_w < -room:
        yield f"losses of {state.losses_w:.1f} W"
    if not -1.0 - CLOSE <= state.input_power_factor <= 1.0 + CLOSE:
        yield f"a power factor of {state.input_power_factor}"
    for name in ("negative_sequence_fraction", "deviation_fraction"):
        value = getattr(state, name)
        if value is not None and value < 0.0:
            yield f"{name} of {value}"


def _money(answer: Proposal) -> Iterator[Fault]:
    currencies = sorted({str(one.currency) for one in answer.costs})
    odd = [one for one in currencies if not CURRENCY.fullmatch(one)]
    if odd:
        yield Fault("cost.currency", ", ".join(odd), "three capital letters, ISO 4217")
    elif len(currencies) > 1:
        yield Fault("cost.currency", ", ".join(currencies), "costs in one currency")
    for one in answer.costs:
        if not (math.isfinite(one.low) and math.isfinite(one.high) and 0.0 <= one.low <= one.high):
            yield Fault("cost.range", f"{one.low} to {one.high}", "a range of amounts from nought")
