"""From what a plate states to the record of a motor or of another load."""

from typing import Any, Final, get_args

from ampwright.nameplate.alignment import Aligned
from ampwright.nameplate.reading import Reading
from ampwright.nameplate.usual import slip
from ampwright.records.load import Load
from ampwright.records.motor import CodeLetter, Design, EfficiencyClass, InsulationClass, Motor

_LARGEST_USUAL_SLIP: Final = 0.10
_SMALLEST_FACTOR: Final = 0.2  # a power factor or an efficiency below is a slip of the pen
_FACTOR_LIMIT: Final = 1.0
_TORQUE_LIMIT: Final = 20.0
_OLDEST: Final = 1880
_ENCLOSURES: Final = frozenset({"tefc", "odp", "tenv", "teao", "xp", "epnv"})
_POLES: Final = frozenset(range(2, 17, 2))


def factor(reading: Reading, field: str, limit: float = _FACTOR_LIMIT) -> float | None:
    """Return a ratio that may be printed as a percentage; ``None`` if it can be neither."""
    found = reading.number(field)
    if found is None:
        return None
    percent = found > limit or reading.all(field)[0].unit == "%"
    value = float(f"{found / 100:.12g}") if percent else found
    return value if value <= limit and (limit > 1 or value >= _SMALLEST_FACTOR) else None


def frequency_of(reading: Reading) -> float | None:
    """Return the frequency that the speeds leave open, if it is only one of 50 and 60 Hz."""
    speed = reading.series("speed")
    if speed is None or reading.says("dc_voltage"):
        return None
    fits = [
        hertz
        for hertz in (50.0, 60.0)
        if all((slip(n, hertz) or 1.0) <= _LARGEST_USUAL_SLIP for n in speed.values())
    ]
    return fits[0] if len(fits) == 1 else None


def duty(reading: Reading) -> str:
    """Return the duty type in the spelling of IEC 60034-1 (its list from memory)."""
    phrase = next(iter(reading.all("duty")), None)
    if phrase is not None and phrase.text != "S3":
        return phrase.text.replace(" ", "") if " " in phrase.text[:2] else phrase.text
    minutes, share = reading.number("duty_minutes"), None
    for field in ("duty_cycle", "percent"):
        share = share if share is not None else reading.number(field)
    if minutes is not None:
        return f"S2 {minutes:.0f} min"
    if share is not None:
        return f"S3 {share:.0f} %"
    return phrase.text if phrase is not None else "S1"


def motor(
    reading: Reading, one: Aligned, phases: int, name: str, without: frozenset[str] = frozenset()
) -> Motor | None:
    """Build the record of one motor, or of one speed of it; *without* the figures named."""
    stated: dict[str, Any] = {"name": name, "phases": phases, "duty": duty(reading)}
    series = {field: s for field, s in one.series.items() if field not in without}
    if (
        "frequency" not in one.series
        and "speed" not in without
        and (hertz := frequency_of(reading))
    ):
        stated["frequency"] = f"{hertz:g} Hz"
    stated |= {field: found.text() for field, found in series.items()}
    if "power" not in series and "current" not in series:
        return None
    if one.links:
        stated["connection"] = "/".join(one.links)
    for take in (_factors, _amounts, _letters):
        stated |= take(reading)
    if one.two_speed:
        stated.pop("poles", None)
    return Motor(**{field: value for field, value in stated.items() if field not in without})


def _factors(reading: Reading) -> dict[str, Any]:
    found = {
        "power_factor": factor(reading, "power_factor"),
        "efficiency": factor(reading, "efficiency"),
        "service_factor": reading.number("service_factor"),
        "locked_rotor_current_ratio": reading.number("locked_rotor_ratio"),
        "locked_rotor_torque_ratio": factor(reading, "locked_rotor_torque_ratio", _TORQUE_LIMIT),
        "breakdown_torque_ratio": factor(reading, "breakdown_torque_ratio", _TORQUE_LIMIT),
    }
    return {field: value for field, value in found.items() if value is not None}


_AMOUNTS: Final = {
    "service_factor_current": ("service_factor_current", "A"),
    "locked_rotor_current": ("locked_rotor_current", "A"),
    "minimum_circuit_ampacity": ("minimum_circuit_current", "A"),
    "maximum_overcurrent_device": ("largest_protective_device", "A"),
    "rotor_voltage": ("rotor_voltage", "V"),
    "rotor_current": ("rotor_current", "A"),
    "input_power": ("input_power", "W"),
    "rise": ("temperature_rise", "K"),
    "ambient": ("ambient", "degC"),
}


def _amounts(reading: Reading) -> dict[str, Any]:
    found = {}
    for field, (name, unit) in _AMOUNTS.items():
        value = reading.number(field)
        if value is not None:
            found[name] = f"{value:.12g} {unit}"
    return found


def _letters(reading: Reading) -> dict[str, Any]:
    """Take what is a letter, a count or a word, if the records know it."""
    found: dict[str, Any] = {}
    for field, name, known in (
        ("code_letter", "code_letter", get_args(CodeLetter)),
        ("design", "design", get_args(Design)),
        ("insulation", "insulation_class", get_args(InsulationClass)),
    ):
        if (letter := reading.text(field)) in known:
            found[name] = letter
    grade = reading.text("efficiency_class").upper().replace(" ", "").replace("-", "")
    if grade in get_args(EfficiencyClass):
        found["efficiency_class"] = grade
    words = [p.text for p in reading.phrases if p.field in {"word", "protection"}]
    enclosure = [w.upper() for w in words if w in _ENCLOSURES or w.upper().startswith("IP")]
    if enclosure:
        found["enclosure"] = " ".join(dict.fromkeys(enclosure)).replace("IP ", "IP")
    if (poles := reading.number("poles")) in _POLES:
        found["poles"] = int(poles or 0)
    if (leads := reading.number("leads")) is not None:
        found["leads"] = int(leads)
    years = reading.series("year")
    if years is not None and years.values()[-1] >= _OLDEST:
        found["year"] = int(years.values()[-1])
    if any(p.label.casefold() in {"rla", "rated load amps"} for p in reading.all("current")):
        found["current_kind"] = "rated-load"
    return found


def load(
    reading: Reading, one: Aligned, phases: int, kind: str, without: frozenset[str] = frozenset()
) -> Load | None:
    """Build the record of a load that is no motor; its first rating, as it has no alternatives."""
    stated: dict[str, Any] = {"phases": phases}
    for field in ("voltage", "current", "frequency", "power"):
        if (found := one.series.get(field)) is not None and field not in without:
            stated[field] = f"{found.values()[0]:.12g} {_BASE[field]}"
    apparent = reading.number("apparent")
    if apparent is not None:
        stated["apparent_power"] = f"{apparent:.12g} VA"
    for field in ("largest_current", "effective_current"):
        if (amps := reading.number(field)) is not None:
            stated[field] = f"{amps:.12g} A"
    if (value := factor(reading, "power_factor")) is not None:
        stated["power_factor"] = value
    share = reading.number("duty_cycle") or reading.number("percent")
    if kind == "welder" and share is not None:
        stated["duty_cycle"] = share / 100
    sizes = ("power", "apparent_power", "current", "largest_current")
    if not any(field in stated for field in sizes):
        return None
    stated["kind"] = kind
    return Load(**stated)


_BASE: Final = {"voltage": "V", "current": "A", "frequency": "Hz", "power": "W"}
