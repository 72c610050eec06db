"""Motors and loads on a circuit, as the rules ask about them."""

import math
import re
from typing import NamedTuple

from ampwright.records.load import Load
from ampwright.records.machine import Machine
from ampwright.records.motor import Motor, Rating
from ampwright.verification.notation import HORSEPOWER_W

#: No resistance welder is made for more than this duty cycle; common practice, no source.
RESISTANCE_DUTY = 0.5
#: Words by which a welder is told; spot, seam, projection, butt and flash are resistance welding.
WELDING = {
    "arc": {"arc", "mig", "mag", "tig", "wig", "mma", "smaw", "gmaw", "gtaw", "fcaw", "stick",
            "plasma", "inverter", "lichtbogen", "arco"},
    "resistance": {"spot", "seam", "projection", "butt", "flash", "resistance", "résistance",
                   "resistencia", "resistenza", "points", "puntos", "puntatrice", "punkten",
                   "punktschweissgerät", "punktschweißgerät", "punktschweißmaschine",
                   "widerstandsschweißmaschine"},
}  # fmt: skip
#: Efficiency times power factor of any ordinary motor of a workshop lies well inside this; common
#: practice, no source.
PLAUSIBLE = (0.45, 0.92)
#: Of rated voltage that motors stand: IEC 60034-1 and NEMA MG 1, from memory.
VOLTAGE_TOLERANCE = 0.10


class SeenMotor(NamedTuple):
    """One motor on a circuit, as the rules ask about it.

    Attributes:
        id: Machine id and number, or the id of the converter whose idler it is.
        machine: Id of the machine, ``""`` for an idler.
        record: What was stated; ``None`` for an idler.
        phases: 1 or 3.
        hp: Rated power [hp].
        current: Current for conductors and devices, 430.6(A)(1) [A].
        plates: Currents that may count as the one on the plate [A].
        volts: Rated voltage as it is linked here [V].
        one_at_a_time: Only one motor of its machine runs at a time.
        locked: Locked-rotor current that the plan reckons with [A].
    """

    id: str
    machine: str
    record: Motor | None
    phases: int
    hp: float
    current: float
    plates: tuple[float, ...]
    volts: float
    one_at_a_time: bool = False
    locked: float | None = None


class SeenLoad(NamedTuple):
    """One load that is no motor.

    Attributes:
        id: Machine id and ``load`` with its number.
        record: What was stated.
        auto: It is an autotransformer.
        welding: ``"arc"`` or ``"resistance"``; ``""`` where nothing tells, or for another load.
        continuous: It counts as continuous.
        current: What it draws at the circuit's voltage [A].
    """

    id: str
    record: Load
    continuous: bool
    current: float
    welding: str = ""
    auto: bool = False


def is_auto(load: Load, machine: Machine) -> bool:
    """Tell whether a stated transformer is called an autotransformer."""
    text = f"{load.name} {machine.name} {machine.plate or ''}".casefold()
    return any(word in text for word in ("autotr", "auto-tr", "spartr"))


def welding_of(load: Load, machine: Machine) -> str:
    """Return the kind of a welder by its marks, which arc welders alone have, or by its words."""
    if load.kind != "welder":
        return ""
    if (load.largest_current_a, load.effective_current_a) != (None, None):
        return "arc"
    text = " ".join((load.name, machine.name, machine.plate or "")).casefold()
    spoken = {word.strip("-") for word in re.split(r"[^\w-]|[\d_]", text)}
    kinds = [kind for kind, words in WELDING.items() if spoken & words]
    if not kinds and (load.duty_cycle or 0.0) > RESISTANCE_DUTY:
        return "arc"
    return kinds[0] if len(kinds) == 1 else ""


def rating_for(motor: Motor, volts: float) -> Rating:
    """Return the alternative of the plate whose voltage lies nearest to *volts*."""
    known = [one for one in motor.ratings if one.voltage_v is not None]
    if not known:
        return motor.ratings[0] if motor.ratings else Rating()
    return min(known, key=lambda one: abs((volts_of(one, volts) or 1.0) / volts - 1))


def volts_of(rating: Rating, volts: float) -> float:
    """Return the voltage of *rating*; of a range, what of it lies nearest to *volts*."""
    one = rating.voltage_v or volts
    other = rating.voltage_from_v or one
    return min(max(volts, min(one, other)), max(one, other))


def is_plausible(hp: float, volts: float, amperes: float, phases: int) -> bool:
    """Tell whether power, voltage and current of a plate go together; if so, the current counts."""
    factor = math.sqrt(3) if phases == 3 else 1.0
    low, high = PLAUSIBLE
    return low <= hp * HORSEPOWER_W / (factor * volts * amperes) <= high
