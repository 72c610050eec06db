"""The rated point of a motor: what its plate says, completed and cross-checked."""

import math
from typing import NamedTuple

import attrs

from ampwright.case import SupplyCase
from ampwright.finding import Assumption, Finding, Question, parameters
from ampwright.kernels.rated_point import typical_motor
from ampwright.planning.ratings import Fit
from ampwright.records.motor import Motor
from ampwright.step import Figure, Worksheet
from ampwright.tables import Source

TYPICAL = Source(document="usual motors of this size", known="practice")
POWER = Source(document="definition of active power in three phases", known="derived")
LARGEST_PRODUCT, SMALLEST_PRODUCT = 0.95, 0.42  # efficiency times power factor of any motor


class Words(NamedTuple):
    """What a motor gave cause to say."""

    findings: list[Finding]
    assumptions: list[Assumption]
    questions: list[Question]


@attrs.define
class PlateReading:
    """One motor while its plate is completed."""

    motor: Motor
    fit: Fit
    where: str
    machine: str
    number: int
    sheet: Worksheet
    words: Words

    def stated(self, name: str) -> Figure | None:
        """Return a figure of the plate: of the rating picked, where the plate has several."""
        if hasattr(self.fit.rating, name):
            value = getattr(self.fit.rating, name)
            path = f"{self.where}/ratings/{self.fit.number}/{name}"
        else:
            value, path = getattr(self.motor, name), f"{self.where}/{name}"
        return None if value is None else Figure(float(value), path)

    def assume(
        self, name: str, symbol: str, value: float, unit: str, low: float, high: float
    ) -> Figure:
        """Return a usual value, said as an assumption and a missing field."""
        figure = self.sheet.assumed(
            name, symbol, value, unit, source=TYPICAL, low=value * low, high=value * high
        )
        code = f"motor.{name.replace('_', '-')}-assumed"
        said = parameters(f"value={unit.replace(' ', '_')}" if unit else "", value=figure)
        self.words.assumptions.append(Assumption(code=code, where=(self.machine,), parameters=said))
        return figure

    def miss(self, field: str, changes: str = "figures") -> None:
        """Say that *field* is missing, and ask for it."""
        self.words.findings.append(
            Finding(code="nameplate.missing-field", severity="caution", where=(self.machine,),
                    parameters=parameters(field=field))
        )  # fmt: skip
        self.words.questions.append(
            Question(code="motor.field", where=(self.machine,), changes=changes,
                     field=f"machines.{self.machine}.motors[{self.number}].{field}",
                     parameters=parameters(field=field))
        )  # fmt: skip


class RatedFigures(NamedTuple):
    """The rated point as figures."""

    power: Figure
    voltage: Figure
    current: Figure
    current_known: str
    frequency: Figure
    speed: Figure | None
    efficiency: Figure
    power_factor: Figure


def voltage_of(reading: PlateReading, supply: SupplyCase) -> Figure:
    """Return the rated voltage to reckon with; within a range, the one nearest the supply."""
    stated = reading.stated("voltage_v")
    if stated is None:
        reading.miss("voltage", "method")
        return reading.sheet.formula("voltage", "U", "V", "U", U=supply.voltage)
    begin = reading.stated("voltage_from_v")
    if begin is None:
        return stated
    return reading.sheet.formula(
        "voltage", "U_N", "V", "min(max(U, min(a, b)), max(a, b))", U=supply.voltage, a=stated,
        b=begin,
    )  # fmt: skip


def shares(reading: PlateReading, power_w: float, poles: int) -> tuple[Figure, Figure]:
    """Return efficiency and power factor: stated, or those of a usual motor of that power."""
    usual = typical_motor(power_w, max(poles // 2, 1))
    efficiency = reading.stated("efficiency")
    factor = reading.stated("power_factor")
    if efficiency is None:
        efficiency = reading.assume("efficiency", "eta", usual.efficiency, "", 0.96, 1.03)
    if factor is None:
        factor = reading.assume("power_factor", "cos phi", usual.power_factor, "", 0.94, 1.06)
    return efficiency, factor


def rated(reading: PlateReading, supply: SupplyCase) -> RatedFigures:
    """Return the rated point; a current that contradicts power and voltage is not used."""
    voltage = voltage_of(reading, supply)
    frequency = reading.stated("frequency_hz")
    if frequency is None:
        frequency = reading.sheet.formula("frequency", "f", "Hz", "f", f=supply.frequency)
        reading.words.assumptions.append(
            Assumption(code="motor.frequency-assumed", where=(reading.machine,),
                       parameters=parameters("value=Hz", value=frequency))
        )  # fmt: skip
    speed = reading.stated("speed_rpm")
    poles = reading.motor.poles or poles_of(speed, frequency)
    power, current = reading.stated("power_w"), reading.stated("current_a")
    if power is None and current is not None:
        reading.miss("power", "size")
        guess = math.sqrt(3.0) * voltage.value * current.value * 0.7
        efficiency, factor = shares(reading, guess, poles)
        power = reading.sheet.formula(
            "power", "P", "W", "sqrt(3) * U * I * e * c", U=voltage, I=current, e=efficiency,
            c=factor, source=POWER,
        )  # fmt: skip
        return RatedFigures(power, voltage, current, "plate", frequency, speed, efficiency, factor)
    if power is None:
        raise ValueError("a motor states power or current")
    efficiency, factor = shares(reading, power.value, poles)
    if current is not None:
        product = power.value / (math.sqrt(3.0) * voltage.value * current.value)
        if SMALLEST_PRODUCT <= product <= LARGEST_PRODUCT:
            return RatedFigures(
                power, voltage, current, "plate", frequency, speed, efficiency, factor
            )
    derived = reading.sheet.formula(
        "current", "I", "A", "P / (sqrt(3) * U * e * c)", P=power, U=voltage, e=efficiency,
        c=factor, source=POWER,
    )  # fmt: skip
    if current is None:
        reading.miss("current")
    else:
        contradicted(reading, current, derived)
    known = "assumed" if current is None else "derived"
    return RatedFigures(power, voltage, derived, known, frequency, speed, efficiency, factor)


def contradicted(reading: PlateReading, stated: Figure, derived: Figure) -> None:
    """Say that power, voltage and current of the plate cannot all be true, and ask."""
    reading.words.findings.append(
        Finding(code="nameplate.implausible", severity="caution", where=(reading.machine,),
                parameters=parameters("stated=A derived=A", field="current", stated=stated,
                                      derived=derived))
    )  # fmt: skip
    reading.words.questions.append(
        Question(code="motor.contradiction", where=(reading.machine,), changes="size",
                 field=f"machines.{reading.machine}.motors[{reading.number}].current",
                 parameters=parameters("stated=A derived=A", stated=stated, derived=derived))
    )  # fmt: skip


def poles_of(speed: Figure | None, frequency: Figure) -> int:
    """Return the number of poles that a speed goes with; four without a speed."""
    if speed is None:
        return 4
    return 2 * max(int(60.0 * frequency.value / speed.value * 1.002), 1)
