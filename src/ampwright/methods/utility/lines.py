"""The three lines, and the machines as they are linked for them."""

from pathlib import Path
from typing import NamedTuple

from ampwright.plugin import (
    Assumption,
    Case,
    Figure,
    Question,
    Source,
    ThreePhase,
    Worksheet,
    parameters,
    read_table,
)

FIGURES = read_table(Path(__file__).with_name("figures.csv"))
CONNECTIONS = read_table(Path(__file__).with_name("connections.csv"))
VOLTAGES = read_table(Path(__file__).with_name("voltages.csv"))
GEOMETRY = Source(document="geometry of three phases", known="derived")
POWER = Source(document="definition of apparent power in three phases", known="derived")
TOLERANCE = 0.10


class Lines(NamedTuple):
    """Real three-phase.

    Attributes:
        stated: The caller's record.
        voltage: Between two lines [V].
        to_earth: Of each line [V].
        current: What each line gives [A]; ``None``: not known.
        assumptions: What had to be assumed of it.
        questions: What should be asked.
    """

    stated: ThreePhase
    voltage: Figure
    to_earth: tuple[Figure, ...]
    current: Figure | None
    assumptions: tuple[Assumption, ...]
    questions: tuple[Question, ...]

    @property
    def there(self) -> bool:
        """It only has to be connected."""
        row = CONNECTIONS.row(self.stated.where)
        return row is not None and row["there"] == "yes"


def usual(name: str, sheet: Worksheet) -> Figure:
    """Return a planning value as a figure."""
    row = FIGURES.row(name)
    if row is None:
        raise KeyError(name)
    return sheet.assumed(
        name, name, float(row["value"]), row["unit"], source=FIGURES.source(),
        low=float(row["low"]), high=float(row["high"]),
    )  # fmt: skip


def asked(field: str, changes: str) -> Question:
    """Return a question about the three-phase that could be had."""
    return Question(code=f"supply.three-phase-{field.replace('_', '-')}", where=("supply",),
                    field=f"supply.three_phase.{field}", changes=changes)  # fmt: skip


def beside(case: Case) -> str | None:
    """Return the line voltage usual beside this supply, a formula on its voltage *U*.

    ``None`` where networks of such a voltage are too different for any to be usual.
    """
    supply, volts = case.shop.supply, case.supply.voltage.value
    hertz = 50.0 if case.supply.frequency.value < 55.0 else 60.0
    for row in VOLTAGES.rows:
        if (
            row["arrangement"] == supply.arrangement
            and float(row["frequency_hz"]) in (0.0, hertz)
            and float(row["lowest_v"]) <= volts <= float(row["highest_v"])
        ):
            return row["formula"]
    return None


def voltage(case: Case, known: ThreePhase, part: Worksheet) -> Figure | None:
    """Return the line voltage: stated, or what usually stands beside such a supply [V]."""
    if known.voltage_v is not None:
        return Figure(float(known.voltage_v), "shop/supply/three_phase/voltage_v")
    formula = beside(case)
    if formula is None:
        return None
    return part.formula("voltage", "U", "V", formula, U=case.supply.voltage,
                        source=VOLTAGES.source())  # fmt: skip


def current(known: ThreePhase, volts: Figure, part: Worksheet) -> Figure | None:
    """Return what each line gives: stated, or by apparent power [A]."""
    place = "shop/supply/three_phase"
    if known.current_a is not None:
        return Figure(float(known.current_a), f"{place}/current_a")
    if known.apparent_power_va is None:
        return None
    power = Figure(float(known.apparent_power_va), f"{place}/apparent_power_va")
    return part.formula("current", "I", "A", "S / (sqrt(3) * U)", S=power, U=volts, source=POWER)


def earthed(case: Case, volts: Figure, part: Worksheet) -> tuple[Figure, ...]:
    """Return the volts to earth of the three lines: of a star, or of a delta with a mid-point."""
    one = case.supply.voltage_to_earth[0]
    delta = case.shop.supply.arrangement == "split-phase" and (
        abs(volts.value / (2.0 * one.value) - 1.0) < TOLERANCE / 2.0
    )
    shares = ("1 / 2", "1 / 2", "sqrt(3) / 2") if delta else ("1 / sqrt(3)",) * 3
    return tuple(
        part.formula(f"to_earth/{n}", "U_0", "V", f"{share} * U", U=volts, source=GEOMETRY)
        for n, share in enumerate(shares)
    )


def lines(case: Case, known: ThreePhase, sheet: Worksheet) -> Lines | None:
    """Return what is known, assumed and to be asked of the lines; ``None``: not their voltage."""
    part = sheet.under("lines")
    assumptions, questions = [], []
    volts = voltage(case, known, part)
    if volts is None:
        return None
    if known.voltage_v is None:
        assumptions.append(
            Assumption(code="utility.voltage-assumed", where=("supply",),
                       parameters=parameters("value=V", value=volts))
        )  # fmt: skip
        questions.append(asked("voltage", "method"))
    gives = current(known, volts, part)
    if gives is None:
        questions.append(asked("current", "size"))
    if known.price is None and known.where != "at-meter":
        questions.append(asked("price", "method"))
    if known.months is None and known.where != "at-meter":
        questions.append(asked("months", "figures"))
    return Lines(
        stated=known,
        voltage=volts,
        to_earth=earthed(case, volts, part),
        current=gives,
        assumptions=tuple(assumptions),
        questions=tuple(questions),
    )
