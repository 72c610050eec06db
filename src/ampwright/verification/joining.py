"""A second idler that joins a converter: it turns with its machine only, and all of it with it."""

from collections.abc import Iterator

from ampwright.equipment.converter import Converter
from ampwright.option import Option
from ampwright.verification.ledger import Ledger

RULE = "plan.joined-idler"
SAID = "rotary.joined-idler"
IDLE = "idle"


def check_joining(ledger: Ledger) -> None:
    """Check every converter that joins another one."""
    for option in ledger.decision.options:
        for one in option.converters:
            if one.joins is not None:
                for path, wanted, found in _amiss(option, one):
                    ledger.breach(RULE, f"options/{option.id}/{path}", wanted, found)


def _amiss(option: Option, one: Converter) -> Iterator[tuple[str, str, str]]:
    """Yield path, what is wanted and what is there instead."""
    place = f"converters/{one.id}"
    head = next((each for each in option.converters if each.id == one.joins), None)
    if head is None or head.joins is not None or not set(one.machines) <= set(head.machines):
        yield f"{place}/joins", "a converter that serves its machines", one.joins or "none"
        return
    supplies = {each.id for each in option.circuits if head.id in each.feeds}
    own = [each for each in option.circuits if one.id in each.feeds and each.role == "idler"]
    if len(own) != 1 or own[0].fed_from not in supplies:
        yield f"circuits/idler.{one.id}", "one circuit beside that of the first", str(len(own))
    said = [each for each in option.findings if each.code == SAID and one.id in each.where]
    if not any(set(one.machines) <= set(each.where) for each in said):
        yield f"findings/{SAID}", "a finding that names its machine", "none"
    turning = set()
    for state in option.states:
        if state.converter != head.id:
            continue
        turns = any(motor.id == one.id for motor in state.motors)
        wanted = not set(one.machines).isdisjoint(state.running)
        if turns:
            turning.add(state.set)
        if turns is not wanted and (state.running or state.set == IDLE):
            path = f"states/{state.id}/motors/{one.id}"
            yield path, "turning" if wanted else "standing", "turning" if turns else "standing"
    for part in one.capacitors:
        if part.purpose == "run" and not (part.sets and set(part.sets) <= turning):
            path = f"{place}/capacitors/{part.id}/sets"
            yield path, "connected only while its idler turns", ", ".join(part.sets) or "always"
