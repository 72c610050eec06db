"""What must not run together, and in which order what runs together is started."""

from collections.abc import Iterator

from ampwright.decision import Decision
from ampwright.option import Option
from ampwright.report.blocks import Block, Entry, Listing, Text
from ampwright.report.wording import Wording, capital


def running(option: Option) -> tuple[tuple[str, ...], ...]:
    """Return the sets of machines that run at once, as the totals at the supply state them."""
    return tuple(
        dict.fromkeys(one.running for one in option.states if not one.converter and one.running)
    )


def apart(decision: Decision, option: Option, wording: Wording) -> Iterator[Block]:
    """Yield what must not run together, each pair once, then what was reckoned with at once."""
    others: dict[str, list[str]] = {}
    entries = []
    for one in option.apart:
        if len(one) == 2:
            others.setdefault(one[0], []).append(one[1])
        else:
            text = wording.say("{machines}: never all of them at once.",
                               machines=wording.names_of(one))  # fmt: skip
            entries.append(Entry(text=capital(text), tone="caution"))
    for name, several in others.items():
        text = (
            wording.say(
                "{machine}: not together with any of these: {machines}.",
                machine=wording.name(name), machines=wording.names_of(several),
            )
            if len(several) > 1
            else wording.say("{machines}: one at a time.",
                             machines=wording.names_of((name, *several)))
        )  # fmt: skip
        entries.append(Entry(text=capital(text), tone="caution"))
    if entries:
        yield Listing(entries=tuple(entries))
    sets = running(option) or tuple(decision.shop.together or ())
    everything = len(sets) < 2 and decision.shop.together is None
    groups = "; ".join(wording.names_of(group) for group in sets)
    text = (
        wording.say("This plan reckons with every machine running at once.")
        if everything
        else wording.say(
            "This plan reckons with these at once: {groups}. More was not examined.", groups=groups
        )
    )
    yield Text(text=text, tone="note")


def order(option: Option, wording: Wording) -> Iterator[Block]:
    """Yield the order of starting: one list where all run at once, else one entry for each set.

    What has nothing to wait for stands in no entry: a machine that runs alone, from no converter
    that is started first.
    """
    if not option.sequence:
        return
    several = running(option)
    if len(several) < 2:
        entries = [Entry(text=f"{capital(wording.name(one))}.") for one in option.sequence]
        yield Listing(entries=tuple(entries), ordered=True)
    else:
        found = [one for one in (in_set(option, each) for each in several) if len(one) > 1]
        if not found:
            yield Text(text=wording.say("Nothing that runs together waits for anything else."))
            return
        yield Listing(
            entries=tuple(
                Entry(
                    text=wording.say("{first}, then {rest}.", first=capital(names[0]),
                                     rest=", ".join(names[1:]))
                )
                for names in ([wording.name(one) for one in each] for each in found)
            )
        )  # fmt: skip
    yield Text(
        text=wording.say(
            "Start one after the other, each when the one before has reached its speed. "
            "Stop in the opposite order."
        ),
    )


def in_set(option: Option, machines: tuple[str, ...]) -> tuple[str, ...]:
    """Return what is started for *machines*, in order: their converters, and they themselves."""
    elsewhere = {one.id for one in option.machines if one.id not in machines}
    elsewhere |= {one.id for one in option.converters if not {*machines} & {*one.machines}}
    return tuple(one for one in option.sequence if one not in elsewhere)
