"""What a plate belongs to: a motor, or which kind of load."""

from typing import Final, NamedTuple

from ampwright.nameplate.agreement import apparent_power, plausible_ratio
from ampwright.nameplate.phrases import Phrase
from ampwright.nameplate.reading import Reading
from ampwright.nameplate.vocabulary import KEYS

MOTOR: Final = "motor"
_MOTOR_FIELDS: Final = (
    *("speed", "poles", "service_factor", "service_factor_current", "code_letter", "design"),
    *("locked_rotor_current", "locked_rotor_ratio", "locked_rotor_torque_ratio"),
    *("breakdown_torque_ratio", "rotor_voltage", "efficiency_class", "frame", "power_factor"),
    *("minimum_circuit_ampacity", "insulation"),
)
_WELDER_FIELDS: Final = ("largest_current", "effective_current", "no_load_voltage")
HORSEPOWER: Final = frozenset({"hp", "PS", "cv", "ch", "hk", "pk"})
# power over volt-amperes of plain resistance, as far as three rounded figures can be off
_RESISTIVE: Final = (0.955, 1.045)
_LIGHTING_V: Final = frozenset({100.0, 110.0, 115.0, 120.0, 125.0, 127.0})


class Kind(NamedTuple):
    """A kind and whether the plate settles it.

    Attributes:
        name: ``motor`` or a kind of load; nothing if there is no load on the plate.
        certain: The plate says so; if not, it has to be asked.
    """

    name: str
    certain: bool


def phase_count(reading: Reading) -> int | None:
    """Return the number of phases stated; a load on two lines counts as one."""
    for phrase in reading.all("phases"):
        digits = [c for c in phrase.text if c.isdigit()]
        count = int(phrase.choices[0].first) if phrase.choices else int(digits[0]) if digits else 0
        if count:
            return 3 if count == 3 else 1
    return None


def assumed_phases(reading: Reading) -> int:
    """Return the number of phases that a plate most likely has where it states none."""
    volts = reading.series("voltage")
    small = volts is not None and set(volts.values()) <= _LIGHTING_V
    return 1 if small or reading.says("capacitor") else 3


def needs_neutral(reading: Reading) -> bool:
    """Does the plate ask for a neutral: ``3N~``, ``+ N``, ``3PH 4W``."""
    signs = " ".join(p.text for p in reading.phrases if p.field in {"phases", "neutral"})
    wires = reading.number("wires")
    return "N" in signs or (wires is not None and wires > 3 and phase_count(reading) == 3)


def kind(reading: Reading, phases: int) -> Kind:
    """Decide what the plate of *reading* belongs to."""
    words = [p.text for p in reading.phrases if p.field == "kind" and p.text]
    others = [one for one in words if one != MOTOR]
    in_horsepower = any(_in_horsepower(phrase) for phrase in reading.phrases)
    rated_load = any(p.label.casefold() == "rla" for p in reading.phrases)
    if reading.says(*_WELDER_FIELDS) or "welder" in words:
        return Kind("welder", certain=True)
    if others and not in_horsepower and not reading.says("speed"):
        return Kind(others[0], certain=True)
    if reading.says("largest_motor"):
        return Kind("constant-power", certain=False)
    if in_horsepower or rated_load or MOTOR in words or reading.says(*_MOTOR_FIELDS):
        return Kind(MOTOR, certain=True)
    return _by_figures(reading, phases)


def _in_horsepower(phrase: Phrase) -> bool:
    """Is *phrase* a power in horsepower, or the unit of one that could not be read."""
    unit = KEYS.get(phrase.text.replace(".", "").casefold()) if phrase.field == "word" else phrase
    return unit is not None and unit.unit in HORSEPOWER


def _by_figures(reading: Reading, phases: int) -> Kind:
    """Decide for a plate that names nothing and bears no mark of a motor."""
    power = reading.series("power")
    if power is not None:
        return _by_ratio(reading, power.values()[0], phases)
    if reading.says("power"):  # one that could not be read
        return Kind(MOTOR, certain=False)
    if not reading.says("current", "apparent"):
        return Kind("", certain=True)
    return Kind(MOTOR if _varies_with_frequency(reading) else "constant-power", certain=False)


def _by_ratio(reading: Reading, power_w: float, phases: int) -> Kind:
    """Tell a heater from a motor by power over volt-amperes."""
    volts, current = reading.series("voltage"), reading.series("current")
    if volts is None or current is None:
        return Kind(MOTOR, certain=False)
    ratio = power_w / apparent_power(volts.values()[0], current.values()[0], phases)
    if _RESISTIVE[0] <= ratio <= _RESISTIVE[1]:
        return Kind("resistive", certain=True)
    low, high = plausible_ratio(power_w, phases)
    return Kind(MOTOR, certain=low <= ratio <= high)


def _varies_with_frequency(reading: Reading) -> bool:
    hertz, current = reading.series("frequency"), reading.series("current")
    if hertz is None or current is None or len(hertz) < 2 or len(hertz) != len(current):
        return False
    return len(set(current.values())) > 1
