"""Loads that are no motors: what they draw on three lines, and linked for one phase."""

import math
import re
from typing import NamedTuple

from ampwright.case import LoadCase, SupplyCase
from ampwright.finding import Assumption, Finding, Question, parameters
from ampwright.planning.rated import Words
from ampwright.planning.ratings import TOLERANCE
from ampwright.records.load import Load
from ampwright.region import LoadDemand
from ampwright.step import Figure, Worksheet
from ampwright.tables import Source

POWER = Source(document="definition of active power", known="derived")
RESISTANCE = Source(document="power of a resistance goes with the square of voltage",
                    known="derived")  # fmt: skip
PRACTICE = Source(document="common practice", known="practice")
STAR = Source(document="geometry of a star", known="derived")
RESISTIVE = ("resistive", "lamp")
#: Words that tell how a welder or a transformer is made; the trade words of several languages.
RESISTANCE_WELDING = frozenset((
    "spot", "seam", "projection", "butt", "flash", "resistance", "punkten", "punktschweißgerät",
    "punktschweissgerät", "punktschweißmaschine", "widerstandsschweißmaschine", "points",
    "résistance", "puntatrice", "puntos", "resistencia", "resistenza",
))  # fmt: skip
#: No resistance welder is made for more than this duty cycle; common practice, no source.
RESISTANCE_DUTY = 0.5
ARC_WELDING = frozenset((
    "arc", "mig", "mag", "tig", "wig", "mma", "smaw", "gmaw", "gtaw", "fcaw", "stick", "plasma",
    "inverter", "lichtbogen", "arco",
))  # fmt: skip
AUTOTRANSFORMER = frozenset((
    "autotransformer", "auto-transformer", "autotransformateur", "autotransformator",
    "autotrasformatore", "autotransformador", "spartransformator", "spartrafo",
))  # fmt: skip


class LoadPlace(NamedTuple):
    """Where a load stands: its machine, its number, the path of its statement.

    Attributes:
        machine: Id of the machine.
        number: Its number.
        where: Path of its statement.
        continuous: Its machine runs three hours or more at a stretch.
        said: What is said of its machine in words: name and plate.
    """

    machine: str
    number: int
    where: str
    continuous: bool = False
    said: str = ""

    @property
    def id(self) -> str:
        """Id of the load."""
        return f"{self.machine}/load{self.number}"


def rated_voltage(
    load: Load, place: LoadPlace, supply: SupplyCase, words: Words, sheet: Worksheet
) -> Figure:
    """Return the voltage that the load's power is stated at; the supply's where none is."""
    for name in ("voltage_v", "element_voltage_v"):
        value = getattr(load, name)
        if value is not None:
            return Figure(float(value), f"{place.where}/{name}")
    figure = sheet.formula("voltage", "U", "V", "U", U=supply.voltage)
    said = parameters("value=V", value=figure)
    words.assumptions.append(
        Assumption(code="load.voltage-assumed", where=(place.machine,), parameters=said)
    )
    return figure


def linked(load: Load, volts: Figure, sheet: Worksheet) -> Figure:
    """Return the voltage at which the load gives its power, linked for the supply.

    Elements that stand in star have the voltage between lines over the square root of three; side
    by side between two lines they give the same power at that voltage.
    """
    own = load.element_voltage_v
    if own is None or abs(volts.value / (math.sqrt(3) * own) - 1.0) > TOLERANCE:
        return volts
    return sheet.formula("voltage_of_element", "U", "V", "U / sqrt(3)", U=volts, source=STAR)


def near(fed: Figure, made_for: Figure) -> bool:
    """Tell whether a load is fed within a tenth of the voltage that it is made for."""
    return abs(fed.value / made_for.value - 1.0) <= TOLERANCE + 1e-9


def fed_with(load: Load, made_for: Figure, supply: SupplyCase) -> Figure:
    """Return the voltage that a load is fed with: line to neutral where only that suits it."""
    other = supply.to_neutral
    if load.phases == 3 or other is None or near(supply.voltage, made_for):
        return supply.voltage
    return other if near(other, made_for) else supply.voltage


def of_unknown_phases(load: Load, place: LoadPlace, words: Words) -> None:
    """Say that a load whose phases nobody stated is taken for three-phase, and ask.

    A resistance that can be linked for one phase is fed alike either way, so that nothing hangs
    on the answer.
    """
    if load.phases_stated is not None or (load.kind in RESISTIVE and load.relinkable is not False):
        return
    words.assumptions.append(Assumption(code="load.phases-assumed", where=(place.machine,)))
    words.questions.append(
        Question(code="load.phases", field=f"machines.{place.machine}.loads[{place.number}].phases",
                 where=(place.machine,), changes="method")
    )  # fmt: skip


def factor_of(load: Load, place: LoadPlace, sheet: Worksheet) -> Figure:
    """Return the power factor: stated, or the usual one of its kind."""
    if load.power_factor is not None:
        return Figure(float(load.power_factor), f"{place.where}/power_factor")
    usual = 1.0 if load.kind in RESISTIVE else 0.8
    return sheet.assumed("power_factor", "cos phi", usual, "", source=PRACTICE, low=usual * 0.8,
                         high=1.0)  # fmt: skip


def apparent(
    load: Load, place: LoadPlace, volts: Figure, factor: Figure, sheet: Worksheet
) -> Figure:
    """Return the rated apparent power [VA]."""
    if load.apparent_power_va is not None:
        return Figure(float(load.apparent_power_va), f"{place.where}/apparent_power_va")
    if load.power_w is not None:
        power = Figure(float(load.power_w), f"{place.where}/power_w")
        return sheet.formula("apparent_power", "S", "VA", "P / c", P=power, c=factor, source=POWER)
    name = "current_a" if load.current_a is not None else "largest_current_a"
    current = Figure(float(getattr(load, name)), f"{place.where}/{name}")
    root = "sqrt(3) * " if load.phases == 3 else ""
    return sheet.formula("apparent_power", "S", "VA", f"{root}U * I", U=volts, I=current,
                         source=POWER)  # fmt: skip


def marks(load: Load, place: LoadPlace) -> dict[str, Figure]:
    """Return the supply currents on a welder's plate; they hold for the phases it is made for."""
    stated = {"largest_current": load.largest_current_a,
              "effective_current": load.effective_current_a}  # fmt: skip
    return {
        name: Figure(float(value), f"{place.where}/{name}_a")
        for name, value in stated.items()
        if value is not None
    }


def construction(load: Load, said: str) -> str:
    """Return how a load is made as far as marks or words tell; see the field of `LoadDemand`.

    Only arc welders are marked with a largest and an effective supply current: NFPA 70, 630.14 and
    630.34.

    Args:
        load: What was stated.
        said: What is said of its machine in words.
    """
    words = set(re.findall(r"[^\W\d_]+(?:-[^\W\d_]+)*", f"{load.name} {said}".casefold()))
    if load.kind == "transformer":
        return "auto" if words & AUTOTRANSFORMER else ""
    if load.kind != "welder":
        return ""
    if load.largest_current_a is not None or load.effective_current_a is not None:
        return "arc"
    arc, resistance = bool(words & ARC_WELDING), bool(words & RESISTANCE_WELDING)
    if arc == resistance:
        return "arc" if not arc and (load.duty_cycle or 0.0) > RESISTANCE_DUTY else ""
    return "arc" if arc else "resistance"


def load_case(
    load: Load, place: LoadPlace, supply: SupplyCase, words: Words
) -> tuple[LoadCase, Worksheet]:
    """Return one load completed, with the sheet that its steps stand on."""
    sheet = Worksheet(f"machines/{place.machine}/loads/{place.number}")
    of_unknown_phases(load, place, words)
    volts = rated_voltage(load, place, supply, words, sheet)
    factor = factor_of(load, place, sheet)
    rated = apparent(load, place, volts, factor, sheet)
    resistive = load.kind in RESISTIVE
    made_for = linked(load, volts, sheet)
    fed = fed_with(load, made_for, supply)
    fits = near(fed, made_for)
    here = rated
    if resistive:
        here = sheet.formula(
            "apparent_power_here", "S", "VA", "S_N * (U / U_N) ** 2", S_N=rated, U=fed,
            U_N=made_for, source=RESISTANCE,
        )  # fmt: skip
    power = sheet.formula("power", "P", "W", "S * c", S=here, c=factor, source=POWER)
    on_three = sheet.formula("current_three_phase", "I_3", "A", "S / (sqrt(3) * U)", S=here,
                             U=supply.voltage, source=POWER)  # fmt: skip
    on_one = sheet.formula("current_single_phase", "I_1", "A", "S / U", S=here, U=fed,
                           source=POWER)  # fmt: skip
    duty = None
    if load.duty_cycle is not None:
        duty = Figure(float(load.duty_cycle), f"{place.where}/duty_cycle")
    made = construction(load, place.said)
    demands = {
        phases: LoadDemand(id=place.id, machine=place.machine, kind=load.kind, phases=phases,
                           current=current, continuous=place.continuous or resistive,
                           duty_cycle=duty, construction=made,
                           **(marks(load, place) if phases == load.phases else {}))
        for phases, current in ((3, on_three), (1, on_one))
    }  # fmt: skip
    linkable = load.phases == 1 or (resistive and load.relinkable is not False)
    if not fits:
        heat = {}
        if resistive:
            heat["heat"] = sheet.formula("heat", "q_P", "", "(U / U_N) ** 2", U=fed, U_N=made_for,
                                         source=RESISTANCE)  # fmt: skip
        words.findings.append(
            Finding(code="supply.voltage-mismatch", severity="caution", where=(place.machine,),
                    parameters=parameters("rated=V supply=V", rated=made_for,
                                          supply=supply.voltage, **heat))
        )  # fmt: skip
    return LoadCase(
        load=load,
        voltage=fed,
        three_phase=demands[3],
        single_phase=demands[1] if linkable else None,
        apparent=rated,
        power=power,
        fits=fits,
    ), sheet
