"""What each trait of a machine changes in the answer of each method, found by asking them."""

from functools import cache
from typing import NamedTuple, get_args

from docs.making.markup import table

from ampwright import Option, Plan, Shop, plan
from ampwright.records.machine import Trait

METHODS = ("static", "rotary", "drive", "electronic", "motor-swap", "utility")
TRAITS: tuple[str, ...] = get_args(Trait)
#: A small machine that every method serves, so that what a trait changes is its own doing.
MOTOR = {"power": "3 hp", "voltage": "230/460 V", "current": "8.6/4.3 A", "frequency": "60 Hz"}
PLAIN: dict[str, object] = {
    "id": "m",
    "length": "10 m",
    "start": "light",
    "load_torque": "friction",
    "average_load": "40 %",
    "controls": "none",
    "motors": [MOTOR],
}
SUPPLY = {
    "arrangement": "split-phase",
    "voltage": "240 V",
    "frequency": "60 Hz",
    "rating": "200 A",
    "transformer": "50 kVA",
    "fault_current": "5 kA",
    "existing_load": "10 A",
    "three_phase": {"where": "at-meter", "current": "60 A", "price": "900 USD", "months": 1},
}
#: What a plain machine must have for a trait to matter.
WITH: dict[str, dict[str, object]] = {
    "continuous": {"motors": [{**MOTOR, "duty": "S3 25 %"}], "average_load": "60 %"}
}


class Answer(NamedTuple):
    """What one method answers: why it refuses, what it says, and its sizes."""

    refused: tuple[str, ...]
    said: tuple[str, ...]
    sizes: tuple[object, ...]


class Effect(NamedTuple):
    """What one trait changes in the answer of one method."""

    refused: tuple[str, ...]
    said: tuple[str, ...]
    resized: bool

    @property
    def text(self) -> str:
        """The effect as a cell holds it."""
        if self.refused:
            return "refused: " + ", ".join(f"`{one}`" for one in self.refused)
        said = [f"`{one}`" for one in self.said]
        return ", ".join(["other sizes"] * self.resized + said)


def asked(method: str, fields: dict[str, object]) -> Plan:
    """Return the plan of the plain machine with *fields*, by one method."""
    machine = {**PLAIN, **fields}
    stated = {"region": "us", "name": "one machine", "supply": SUPPLY, "machines": [machine]}
    return plan(Shop.from_dict(stated), methods=[method], check=False)


def answer(method: str, fields: dict[str, object]) -> Answer:
    """Return what *method* answers for the plain machine with *fields*."""
    option = asked(method, fields).options[0]
    reasons = [reason.code for one in option.refusals for reason in one.reasons]
    return Answer(
        tuple(dict.fromkeys(reasons)),
        tuple(dict.fromkeys(one.code for one in option.findings)),
        sizes(option),
    )


def sizes(option: Option) -> tuple[object, ...]:
    """Return everything of an option that has a size."""
    made = [(one.rating_w, one.rating_va, one.input_current_a) for one in option.converters]
    wired = [
        (one.id, one.conductor.size, one.protective_device.rating_a,
         *(each.setting_a for each in one.overloads))
        for one in option.circuits
    ]  # fmt: skip
    begun = [(one.time_s, one.torque_nm) for one in option.starts]
    return (*made, *wired, *begun)


def effect(trait: str, method: str) -> Effect:
    """Return what *trait* changes in the answer of *method*."""
    fields = WITH.get(trait, {})
    before, after = answer(method, fields), answer(method, {**fields, "traits": [trait]})
    refused = tuple(one for one in after.refused if one not in before.refused)
    said = tuple(one for one in after.said if one not in before.said)
    return Effect(refused, said, before.sizes != after.sizes and not refused)


def planned(trait: str) -> tuple[str, ...]:
    """Return what the plan says of a machine with *trait*, whichever way is taken."""
    before, after = asked("rotary", {}), asked("rotary", {"traits": [trait]})
    known = {one.code for one in before.findings}
    return tuple(one.code for one in after.findings if one.code not in known)


@cache
def effects() -> dict[str, dict[str, Effect]]:
    """Return the effect of every trait on every method."""
    return {trait: {method: effect(trait, method) for method in METHODS} for trait in TRAITS}


def page() -> str:
    """Return the table of all traits."""
    rows = []
    for trait, by_method in effects().items():
        always = ", ".join(f"`{one}`" for one in planned(trait))
        rows.append([f"`{trait}`", *(by_method[one].text for one in METHODS), always])
    return table(["Trait", *(f"`{one}`" for one in METHODS), "Whichever way"], rows)
