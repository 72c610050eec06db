"""Motors and loads on a circuit, as the rules of the family ask about them."""

import attrs

from ampwright.records.load import Load

#: Nominal voltages for which there are guide currents, with their columns [V].
GUIDES = ((230.0, "i_230v"), (400.0, "i_400v"))
NEAR_GUIDE, SAME_POWER = 0.10, 0.005
RECTIFYING = ("rectifier", "thyristor", "welder")


@attrs.frozen(kw_only=True)
class SeenMotor:
    """One motor on a circuit.

    Attributes:
        id: Machine id and number, or the id of the converter whose idler it is.
        machine: Id of the machine, ``""`` for an idler.
        phases: 1 or 3.
        power: Rated power [W].
        volts: Rated voltage as it is linked here [V].
        plates: Currents that may count as the one on the plate [A].
        current: Current that conductors are sized for [A].
        locked: Locked-rotor current [A].
        at_once: ``False``: of its machine only one motor runs at a time.
    """

    id: str
    machine: str
    phases: int
    power: float
    volts: float
    plates: tuple[float, ...]
    current: float
    locked: float
    at_once: bool = True


@attrs.frozen(kw_only=True)
class SeenLoad:
    """One load that is no motor.

    Attributes:
        id: Machine id and ``load`` with its number, or the id of a transformer.
        kind: Kind of load.
        current: What it draws at the circuit's voltage [A].
        counted: What it heats a conductor with [A].
    """

    id: str
    kind: str
    current: float
    counted: float


def heating(load: Load, current: float) -> float:
    """Return the current that heats a conductor as a load does [A]: a welder by its duty."""
    if load.kind != "welder":
        return current
    if load.effective_current_a is not None:
        return float(load.effective_current_a)
    return current if load.duty_cycle is None else float(current * load.duty_cycle**0.5)


def together(motors: tuple[SeenMotor, ...]) -> tuple[SeenMotor, ...]:
    """Return the motors that run at once: of a machine with one at a time, its largest."""
    kept: dict[str, SeenMotor] = {}
    for one in motors:
        key = one.id if one.at_once else one.machine
        if key not in kept or kept[key].current < one.current:
            kept[key] = one
    return tuple(kept.values())
