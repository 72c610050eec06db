"""The rated point of a motor: what its plate says, completed and cross-checked."""

import math
from pathlib import Path
from typing import NamedTuple

import attrs

from ampwright.case import SupplyCase
from ampwright.finding import Assumption, Finding, Question, parameters
from ampwright.kernels.rated_point import typical_motor
from ampwright.nameplate.agreement import Disagreement
from ampwright.nameplate.remarks import contradictions, contradictions_of_rating
from ampwright.planning.ratings import Fit
from ampwright.records.motor import Motor
from ampwright.step import Figure, Worksheet
from ampwright.tables import Source, read_table

TYPICAL = Source(document="usual motors of this size", known="practice")
POWER = Source(document="definition of active power in three phases", known="derived")
CLASSES = read_table(Path(__file__).with_name("efficiency_classes.csv"))
#: Figures for which nothing of the plate stands in where its others contradict them, and units.
LEFT_OUT = {
    "efficiency": "",
    "power_factor": "",
    "locked_rotor_current_a": "A",
    "speed_rpm": "rpm",
}
ORDER = Source(document="the same power at a lower voltage draws more current", known="derived")
SWAPPED = 2  # ratings that can stand in each other's place
USUAL_PRODUCT = 0.7  # efficiency times power factor of a usual motor: common practice
FIELDS = {
    "power": "power_w",
    "voltage": "voltage_v",
    "current": "current_a",
    "efficiency": "efficiency",
    "power-factor": "power_factor",
    "locked-rotor-current": "locked_rotor_current_a",
    "speed": "speed_rpm",
}


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
    _doubted: dict[str, Disagreement] = attrs.field(init=False)

    def __attrs_post_init__(self) -> None:
        wrong = (
            *contradictions(self.motor),
            *contradictions_of_rating(self.motor, self.fit.rating),
        )
        self._doubted = {FIELDS[one.figure]: one for one in wrong}

    @property
    def root(self) -> str:
        """The factor of three phases in a formula of power."""
        return "sqrt(3) * " if self.motor.phases == 3 else ""

    def doubted(self, name: str) -> bool:
        """Tell whether the other figures of the plate contradict the one called *name*."""
        return name in self._doubted

    def stated(self, name: str) -> Figure | None:
        """Return a figure of the plate: of the rating picked, where the plate has several.

        One that the others contradict counts as not stated.
        """
        return None if self.doubted(name) else self.printed(name)

    def printed(self, name: str) -> Figure | None:
        """Return a figure as it stands on the plate, contradicted or not."""
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

    def leave_out(self) -> None:
        """Say of each figure that the others contradict, and nothing stands in for, that it is."""
        for name, unit in LEFT_OUT.items():
            printed = self.printed(name) if self.doubted(name) else None
            if printed is None:
                continue
            field = name.removesuffix("_a").removesuffix("_rpm")
            said = parameters(f"given={unit}" if unit else "", field=field, given=printed)
            self.words.findings.append(
                Finding(code="nameplate.implausible", severity="caution", where=(self.machine,),
                        parameters=said)
            )  # fmt: skip
            self.ask(field, "figures")

    def miss(self, field: str, changes: str = "figures") -> None:
        """Say that *field* is missing, and ask for it, unless the plate was said to be wrong."""
        if self._is_said("nameplate.implausible", field):
            return  # it stands on the plate, and the reader of plates has asked for it
        self.words.findings.append(
            Finding(code="nameplate.missing-field", severity="caution", where=(self.machine,),
                    parameters=parameters(field=field))
        )  # fmt: skip
        self.ask(field, changes)

    def _is_said(self, code: str, field: str) -> bool:
        return any(
            part.name == "field" and part.value == field
            for one in self.words.findings
            if one.code == code and self.machine in one.where
            for part in one.parameters
        )

    def ask(self, field: str, changes: str) -> None:
        """Ask for *field* of the plate."""
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
        used = reading.sheet.formula("voltage", "U", "V", "U", U=supply.voltage)
        replaced(reading, "voltage_v", used, "V")
        return used
    begin = reading.stated("voltage_from_v")
    if begin is None:
        return stated
    return reading.sheet.formula(
        "voltage", "U_N", "V", "min(max(U, min(a, b)), max(a, b))", U=supply.voltage, a=stated,
        b=begin,
    )  # fmt: skip


def current_at(reading: PlateReading, voltage: Figure) -> Figure | None:
    """Return the current at *voltage*: of a range of volts, on the line between its ends."""
    stated = reading.stated("current_a")
    ends = [reading.stated(name) for name in ("voltage_from_v", "voltage_v", "current_from_a")]
    first_v, last_v, first_a = ends
    if stated is None or first_v is None or last_v is None or first_a is None:
        return stated
    if first_v.value == last_v.value:
        return stated
    return reading.sheet.formula(
        "current", "I_N", "A", "a + (b - a) * (U - A) / (B - A)", U=voltage, A=first_v, B=last_v,
        a=first_a, b=stated,
    )  # fmt: skip


def shares(reading: PlateReading, power_w: float, poles: int) -> tuple[Figure, Figure]:
    """Return efficiency and power factor: stated, or those of a usual motor of that power."""
    usual = typical_motor(power_w, max(poles // 2, 1))
    efficiency = reading.stated("efficiency")
    factor = reading.stated("power_factor")
    drawn, given = reading.stated("input_power_w"), reading.stated("power_w")
    if efficiency is None and drawn is not None and given is not None and drawn.value > given.value:
        efficiency = reading.sheet.formula("efficiency", "eta", "", "P / P_in", P=given, P_in=drawn,
                                           source=POWER)  # fmt: skip
    if efficiency is None:
        of_class = CLASSES.number(reading.motor.efficiency_class or "", "loss")
        share = usual.efficiency
        if of_class is not None:
            share = 1.0 / (1.0 + (1.0 / share - 1.0) * of_class)
        efficiency = reading.assume("efficiency", "eta", share, "", 0.96, 1.03)
    if factor is None:
        factor = reading.assume("power_factor", "cos phi", usual.power_factor, "", 0.94, 1.06)
    return efficiency, factor


def rated(reading: PlateReading, supply: SupplyCase) -> RatedFigures:
    """Return the rated point; a current that contradicts power and voltage is not used."""
    reading.leave_out()
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
    power, current = reading.stated("power_w"), current_at(reading, voltage)
    if power is None and current is not None:
        guess = math.sqrt(reading.motor.phases) * voltage.value * current.value * USUAL_PRODUCT
        efficiency, factor = shares(reading, guess, poles)
        power = reading.sheet.formula(
            "power", "P", "W", f"{reading.root}U * I * e * c", U=voltage, I=current, e=efficiency,
            c=factor, source=POWER,
        )  # fmt: skip
        replaced(reading, "power_w", power, "W")
        return RatedFigures(power, voltage, current, "plate", frequency, speed, efficiency, factor)
    if power is None:
        raise ValueError("a motor states power or current")
    efficiency, factor = shares(reading, power.value, poles)
    known = "plate"
    other = swapped_current(reading) if current is None else None
    if other is not None:
        current = reading.sheet.formula("current", "I", "A", "I", I=other, source=ORDER)
        replaced(reading, "current_a", current, "A", swapped=True)
    elif current is None:
        known = "derived" if reading.doubted("current_a") else "assumed"
        current = reading.sheet.formula(
            "current", "I", "A", f"P / ({reading.root}U * e * c)", P=power, U=voltage,
            e=efficiency, c=factor, source=POWER,
        )  # fmt: skip
        replaced(reading, "current_a", current, "A")
    return RatedFigures(power, voltage, current, known, frequency, speed, efficiency, factor)


def swapped_current(reading: PlateReading) -> Figure | None:
    """Return the current printed for the other voltage, where the two stand in the wrong order.

    At the same power the larger current belongs to the lower voltage. Two that stand the other way
    round, and agree with all else once they are exchanged, are read so; ``None``: it is not that.
    """
    motor, used = reading.motor, reading.fit.rating
    pair = [one for one in motor.ratings if one.voltage_v and one.current_a]
    if len(pair) != SWAPPED or used not in pair or pair[0].power_w != pair[1].power_w:
        return None
    low, high = sorted(pair, key=lambda one: one.voltage_v or 0.0)
    if low.voltage_v == high.voltage_v or (low.current_a or 0.0) >= (high.current_a or 0.0):
        return None
    again = [
        attrs.evolve(low, current_a=high.current_a),
        attrs.evolve(high, current_a=low.current_a),
    ]
    if any(one.figure == "current" for each in again
           for one in contradictions_of_rating(motor, each)):  # fmt: skip
        return None
    other = high if used is low else low
    place = f"{reading.where}/ratings/{motor.ratings.index(other)}/current_a"
    return Figure(float(other.current_a or 0.0), place)


def replaced(
    reading: PlateReading, name: str, used: Figure, unit: str, *, swapped: bool = False
) -> None:
    """Say what stands for a figure that is missing, or that the others contradict, and ask.

    Args:
        reading: The motor.
        name: The figure.
        used: What stands for it.
        unit: Unit of both.
        swapped: It is what is printed for the other voltage.
    """
    field = name.rpartition("_")[0]
    printed = reading.printed(name)
    if printed is None:
        reading.miss(field, "size" if field == "power" else "figures")
        return
    said = parameters(f"stated={unit} derived={unit}", field=field, stated=printed, derived=used)
    reading.words.findings.append(
        Finding(
            code="nameplate.implausible",
            severity="caution",
            where=(reading.machine,),
            parameters=parameters("stated=A swapped=A", field=field, stated=printed, swapped=used)
            if swapped
            else said,
        )
    )
    reading.words.questions.append(
        Question(
            code="motor.contradiction",
            where=(reading.machine,),
            changes="size",
            field=f"machines.{reading.machine}.motors[{reading.number}].{field}",
            parameters=said,
        )
    )


def poles_of(speed: Figure | None, frequency: Figure) -> int:
    """Return the number of poles that a speed goes with; four without a speed."""
    if speed is None:
        return 4
    return 2 * max(int(60.0 * frequency.value / speed.value * 1.002), 1)
