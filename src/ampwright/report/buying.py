"""What has to be bought for a way, what has to be done, and what is there already."""

from collections.abc import Iterable, Iterator

from ampwright.decision import Decision
from ampwright.equipment.converter import Converter
from ampwright.finding import Finding
from ampwright.option import Option
from ampwright.report.blocks import NONE, Block, Grid, Row, Text, heads
from ampwright.report.figures import measure
from ampwright.report.phrases import converter_title, transformer_title
from ampwright.report.wording import Wording, capital

REUSE = "plan.reuse"


def purchases(decision: Decision, option: Option, wording: Wording) -> Iterator[Block]:
    """Yield what has to be bought, and what is there already, with what its plate has to say."""
    owned = _owned([*decision.findings, *option.findings])
    rows = [
        Row(
            cells=(
                converter_title(converter, wording),
                wording.names_of(converter.machines),
                _plate(converter, owned.get(converter.id, ""), wording),
            )
        )
        for converter in option.converters
        if converter.method != "utility"
    ]
    rows += [
        Row(
            cells=(
                transformer_title(transformer, wording),
                wording.names_of(transformer.machines),
                NONE,
            )
        )
        for transformer in option.transformers
    ]
    rows += [
        Row(
            cells=(
                capital(wording.word("methods", one.method)),
                wording.name(one.id),
                wording.say("Work on the machine itself"),
            )
        )
        for one in option.machines
        if one.method in ("relink", "motor-swap")
    ]
    brought = [one.id for one in option.machines if one.method == "utility"]
    if brought:
        what = capital(wording.word("methods", "utility"))
        how = wording.say("To be applied for with the utility")
        rows.append(Row(cells=(what, wording.names_of(brought), how)))
    if rows:
        columns = heads(wording.head, "What", "For", "What its plate has to say")
        yield Grid(columns=columns, rows=tuple(rows))
    yield Text(
        text=wording.say(
            "Conductors, {@protective-device}s, overloads and switches are in the schedules for "
            "the {@electrician}; have them quoted from there."
        ),
        tone="note",
    )


def _owned(findings: Iterable[Finding]) -> dict[str, str]:
    """Return by converter what of the caller's own equipment stands for it."""
    return {
        name: str(next((part.value for part in one.parameters if part.name == "what"), ""))
        for one in findings
        if one.code == REUSE
        for name in one.where
    }


def _plate(converter: Converter, owned: str, wording: Wording) -> str:
    """Return what the plate of a converter says, or what has to be looked for on it."""
    units = wording.customs
    volts = [
        measure(one, "V", units) for one in (converter.input_voltage_v, converter.output_voltage_v)
    ]
    amperes = [
        measure(one, "A", units, toward="up")
        for one in (converter.input_current_a, converter.output_current_a)
    ]
    parts = [
        wording.say("input {volts} single-phase, {amperes}", volts=volts[0], amperes=amperes[0]),
        wording.say("output {volts} three-phase, {amperes}", volts=volts[1], amperes=amperes[1]),
    ]
    if converter.largest_motor_w is not None:
        power = measure(converter.largest_motor_w, "W", units, shaft=True)
        parts.append(wording.say("starts a motor of {power}", power=power))
    given = converter.given
    state = wording.say("its plate as stated") if given else wording.say("to look for on its plate")
    text = f"{capital('; '.join(parts))} ({state})"
    there = wording.say("Not to be bought, it is there already: {what}.", what=owned)
    return f"{there} {text}" if owned else text
