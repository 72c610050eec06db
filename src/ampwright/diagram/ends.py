"""What a row of a one-line diagram ends at: machines, motors, idlers."""

import re
from collections.abc import Mapping

import attrs

from ampwright.diagram.tree import Branch
from ampwright.equipment.device import ProtectiveDevice
from ampwright.records.machine import Machine
from ampwright.report.figures import measure
from ampwright.report.wording import Wording, capital

_MOTOR = re.compile(r".+/[0-9]+")


@attrs.frozen(kw_only=True)
class End:
    """What a row ends at.

    Attributes:
        symbol: Name of its symbol.
        title: Its name; empty for a further motor of the same machine.
        words: What was stated of it.
        machine: Id of the machine that it is; empty for an idler or a further motor.
        overload: The overload ahead of it.
    """

    symbol: str
    title: str
    words: str
    machine: str = ""
    overload: ProtectiveDevice | None = None


def row_ends(one: Branch, machines: Mapping[str, Machine], wording: Wording) -> list[End]:
    """Return what the row of *one* ends at, one thing at least.

    Args:
        one: A branch that nothing goes on from.
        machines: The caller's machines by id.
        wording: Words of the plan.
    """
    circuit = one.circuit
    phases = circuit.phases if circuit is not None else 3
    overloads = circuit.overloads if circuit is not None else ()
    if circuit is not None and circuit.role == "idler":
        return _idlers(one, phases, overloads, wording)
    found: list[End] = []
    for name in one.machines:
        own = [part for part in overloads if part.id.rpartition("/")[0] == name]
        own = own or [part for part in overloads if not part.id and len(one.machines) == 1]
        found += _machine(name, machines.get(name), own, phases, wording)
    if not found:
        names = circuit.feeds if circuit is not None else ()
        title = capital(wording.names_of(names))
        part = overloads[0] if overloads else None
        found = [End(symbol="load", title=title, words="", overload=part)]
    return found


def _motor(phases: int) -> str:
    return "motor-3" if phases == 3 else "motor-1"


def _idlers(
    one: Branch, phases: int, overloads: tuple[ProtectiveDevice, ...], wording: Wording
) -> list[End]:
    made, words = one.idler, ""
    if made is not None and made.idler_power_w is not None:
        power = made.idler_power_w / (made.idlers or 1)
        words = measure(power, "W", wording.customs, digits=5, shaft=True)
    first = End(
        symbol=_motor(phases),
        title=wording.say("Idler motor"),
        words=words,
        overload=overloads[0] if overloads else None,
    )
    rest = [attrs.evolve(first, title="", overload=part) for part in overloads[1:]]
    return [first, *rest]


def _machine(
    name: str,
    machine: Machine | None,
    overloads: list[ProtectiveDevice],
    phases: int,
    wording: Wording,
) -> list[End]:
    """Return a machine as it ends a row: each motor that has an overload of its own."""
    symbol = _motor(phases)
    motor = overloads[0].id if overloads else f"{name}/0"
    words = _stated(machine, motor, wording)
    if machine is not None and machine.loads and _loads_alone(machine, overloads, phases):
        kinds = {load.kind for load in machine.loads}
        symbol = "resistive" if kinds == {"resistive"} else "load"
        words = _load(machine, wording)
    first = End(
        symbol=symbol,
        title=capital(wording.name(name)),
        words=words,
        machine=name,
        overload=overloads[0] if overloads else None,
    )
    rest = [
        End(symbol=symbol, title="", words=_stated(machine, part.id, wording), overload=part)
        for part in overloads[1:]
    ]
    return [first, *rest]


def _loads_alone(machine: Machine, overloads: list[ProtectiveDevice], phases: int) -> bool:
    """Tell whether a circuit feeds none of a machine's motors, which need three lines each."""
    if not machine.motors:
        return True
    return phases == 1 and not overloads and all(one.phases == 3 for one in machine.motors)


def _load(machine: Machine, wording: Wording) -> str:
    """Return what the caller stated of the one load that is no motor: its power."""
    if len(machine.loads) != 1 or machine.loads[0].power_w is None:
        return ""
    return measure(machine.loads[0].power_w, "W", wording.customs)


def _stated(machine: Machine | None, motor: str, wording: Wording) -> str:
    """Return what the caller stated of a motor: its name and power."""
    if machine is None or not _MOTOR.fullmatch(motor):
        return ""
    units, n = wording.customs, int(motor.rpartition("/")[2])
    if n < len(machine.motors):
        one = machine.motors[n]
        name = str(one.name or "") if len(machine.motors) > 1 else ""
        power = "" if one.power_w is None else measure(one.power_w, "W", units, shaft=True)
        return ", ".join(part for part in (name, power) if part)
    return ""
