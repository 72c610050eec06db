"""The supply at the panel: voltages, and an impedance from whatever is known of it."""

from pathlib import Path

from ampwright.case import SupplyCase
from ampwright.finding import Assumption, Question, parameters
from ampwright.kernels.network import Source, line_line, line_neutral, split_phase
from ampwright.records.supply import Supply
from ampwright.step import Figure, Worksheet
from ampwright.tables import Source as Origin
from ampwright.tables import read_table

FIGURES = read_table(Path(__file__).with_name("supply_figures.csv"))
OHM = Origin(document="Ohm's law", known="derived")
GAUGE = Origin(document="ASTM B258; definition of the American Wire Gauge", known="memory")


class Reading:
    """The supply while it is read: figures go in, assumptions and questions come along."""

    def __init__(self, supply: Supply, sheet: Worksheet) -> None:
        self.supply = supply
        self.sheet = sheet
        self.assumptions: list[Assumption] = []
        self.questions: list[Question] = []

    def stated(self, name: str) -> Figure | None:
        """Return what the caller stated in the field *name*."""
        value = getattr(self.supply, name)
        return None if value is None else Figure(float(value), f"shop/supply/{name}")

    def usual(self, name: str, code: str = "") -> Figure:
        """Return a planning value; with *code*, say that it was assumed."""
        row = FIGURES.row(name)
        if row is None:
            raise KeyError(name)
        figure = self.sheet.assumed(
            name, name, float(row["value"]), row["unit"], source=FIGURES.source(),
            low=float(row["low"]), high=float(row["high"]),
        )  # fmt: skip
        if code:
            said = parameters(f"value={row['unit']}" if row["unit"] else "", value=figure)
            self.assumptions.append(Assumption(code=code, where=("supply",), parameters=said))
        return figure

    def ask(self, code: str, field: str, changes: str = "figures") -> None:
        """Put a question about one field of the supply."""
        self.questions.append(
            Question(code=code, field=f"supply.{field}", where=("supply",), changes=changes)
        )


def edge(reading: Reading, name: str, stated: str, symbol: str) -> Figure:
    """Return the highest or lowest voltage: as measured, or a usual share of nominal."""
    known = reading.stated(stated)
    if known is not None:
        return known
    share = reading.usual(symbol, f"supply.{name}-assumed")
    volts = Figure(reading.supply.voltage_v, "shop/supply/voltage_v")
    return reading.sheet.formula(name, symbol, "V", "k * U", k=share, U=volts)


def area(reading: Reading, size: str) -> Figure:
    """Return the metal area of a conductor of standard *size* [mm2]."""
    number, _, unit = size.partition(" ")
    sheet = reading.sheet.under("feeder")
    if unit == "mm2":
        return sheet.given("area_mm2", "A", float(number), "mm2", text=size)
    if unit == "kcmil":
        mil = sheet.given("kcmil", "n", float(number), "kcmil", text=size)
        return sheet.formula("area_mm2", "A", "mm2", "0.506707479 * n", n=mil, source=GAUGE)
    gauge = 1.0 - float(number[0]) if number.endswith("/0") else float(number)
    n = sheet.given("gauge", "n", gauge, "", text=size)
    formula = "0.785398163397 * (0.127 * 92 ** ((36 - n) / 39)) ** 2"
    return sheet.formula("area_mm2", "A", "mm2", formula, n=n, source=GAUGE)


def feeder(reading: Reading) -> tuple[Figure, Figure] | None:
    """Return resistance and reactance of the loop of an existing feeder; ``None`` without one."""
    known = reading.supply.feeder
    if known is None or known.size is None or known.length_m is None:
        return None
    metal = reading.usual("rho_aluminum" if known.material == "aluminum" else "rho")
    length = Figure(known.length_m, "shop/supply/feeder/length_m")
    sets = Figure(float(known.parallel_sets), "shop/supply/feeder/parallel_sets")
    across = area(reading, known.size)
    sheet = reading.sheet.under("feeder")
    r = sheet.formula("resistance", "R", "ohm", "2 * rho * l / (A * n)", rho=metal, l=length,
                      A=across, n=sets, source=OHM)  # fmt: skip
    x = sheet.formula("reactance", "X", "ohm", "2 * x * l / n", x=reading.usual("x_feeder"),
                      l=length, n=sets, source=OHM)  # fmt: skip
    return r, x


def magnitude(reading: Reading, volts: Figure) -> tuple[Figure, bool]:
    """Return the loop impedance [ohm] from the best that is known, and whether at the panel."""
    sheet, supply = reading.sheet, reading.supply
    stated = reading.stated("impedance_ohm")
    if stated is not None:
        return stated, True
    if supply.measured_drop is not None:
        fall = Figure(supply.measured_drop.voltage_v, "shop/supply/measured_drop/voltage_v")
        current = Figure(supply.measured_drop.current_a, "shop/supply/measured_drop/current_a")
        return sheet.formula("loop", "Z", "ohm", "dU / I", dU=fall, I=current, source=OHM), True
    fault = reading.stated("fault_current_a")
    if fault is not None:
        return sheet.formula("loop", "Z", "ohm", "U / I", U=volts, I=fault, source=OHM), True
    rating = reading.stated("transformer_va")
    if rating is not None:
        share = reading.usual("z_transformer", "supply.impedance-assumed")
        formula = "z * U ** 2 / S"
        return sheet.formula("ahead", "Z_T", "ohm", formula, z=share, U=volts, S=rating), False
    reading.ask("supply.impedance", "impedance")
    main = reading.stated("rating_a")
    if main is None:
        main = reading.usual("rating", "supply.rating-assumed")
    share = reading.usual("drop", "supply.impedance-assumed")
    return sheet.formula("ahead", "Z", "ohm", "k * U / I", k=share, U=volts, I=main), False


def loop(reading: Reading, volts: Figure) -> tuple[Figure, Figure]:
    """Return resistance and reactance of the supply's loop at the panel [ohm]."""
    sheet = reading.sheet
    size, at_panel = magnitude(reading, volts)
    ratio = reading.usual("angle")
    r = sheet.formula("resistance", "R", "ohm", "Z * a / sqrt(1 + a ** 2)", Z=size, a=ratio)
    x = sheet.formula("reactance", "X", "ohm", "Z / sqrt(1 + a ** 2)", Z=size, a=ratio)
    lying = None if at_panel else feeder(reading)
    if lying is not None:
        r = sheet.formula("resistance_at_panel", "R", "ohm", "R + F", R=r, F=lying[0])
        x = sheet.formula("reactance_at_panel", "X", "ohm", "X + F", X=x, F=lying[1])
    return r, x


def earthed(reading: Reading) -> tuple[Figure, Figure]:
    """Return the volts to earth of the two conductors."""
    supply, sheet = reading.supply, reading.sheet
    volts = Figure(supply.voltage_v, "shop/supply/voltage_v")
    stated = reading.stated("voltage_to_earth_v")
    if supply.arrangement == "line-neutral":
        first = stated or sheet.formula("voltage_to_earth/0", "U_0", "V", "U", U=volts)
        return first, sheet.formula("voltage_to_earth/1", "U_0", "V", "0 * U", U=volts)
    if stated is not None:
        return stated, stated
    divisor = "2" if supply.arrangement == "split-phase" else "sqrt(3)"
    if supply.earthing == "it":
        reading.assumptions.append(Assumption(code="supply.earth-floating", where=("supply",)))
        divisor = "1"
    elif supply.arrangement == "line-line":
        reading.assumptions.append(Assumption(code="supply.order-of-lines", where=("supply",)))
    one = sheet.formula("voltage_to_earth/0", "U_0", "V", f"U / {divisor}", U=volts)
    two = sheet.formula("voltage_to_earth/1", "U_0", "V", f"U / {divisor}", U=volts)
    return one, two


def to_neutral(supply: Supply, to_earth: Figure) -> Figure | None:
    """Return the volts between a line and a neutral beside both conductors [V]."""
    beside = supply.arrangement == "split-phase" and supply.neutral is not False
    beside = beside or (supply.arrangement == "line-line" and supply.neutral is True)
    return to_earth if beside else None


def network_source(supply: Supply, volts: float, to_earth: float, z: complex) -> Source:
    """Return the supply as the network model takes it, at *volts* between its conductors.

    Of two lines of a star the one that is called A is ours to choose: with the sequence that the
    star itself has, the made leg stands near its missing phase, and not twice as far from earth.
    """
    if supply.arrangement == "line-neutral":
        return line_neutral(volts, z / 2.0, z / 2.0)
    if supply.arrangement == "split-phase":
        return split_phase(volts, z)
    found = line_line(volts, max(to_earth, volts / 2.0), z)
    if supply.earthing == "it":  # nothing fixes earth: the worst is taken
        return found
    return found._replace(e_a_v=found.e_a_v.conjugate(), e_b_v=found.e_b_v.conjugate())


def supply_case(supply: Supply) -> tuple[SupplyCase, Reading]:
    """Return the supply completed, and the reading with its steps, assumptions and questions."""
    reading = Reading(supply, Worksheet("supply"))
    volts = Figure(float(supply.voltage_v), "shop/supply/voltage_v")
    to_earth = earthed(reading)
    r, x = loop(reading, volts)
    size = reading.sheet.formula("impedance", "Z", "ohm", "sqrt(R ** 2 + X ** 2)", R=r, X=x)
    fault = reading.stated("fault_current_a")
    if fault is None:
        reading.ask("supply.fault-current", "fault_current", "safety")
    z = complex(r.value, x.value)
    case = SupplyCase(
        source=network_source(supply, volts.value, to_earth[0].value, z),
        voltage=volts,
        highest=edge(reading, "highest", "highest_voltage_v", "V_high"),
        lowest=edge(reading, "lowest", "lowest_voltage_v", "V_low"),
        frequency=Figure(float(supply.frequency_hz), "shop/supply/frequency_hz"),
        impedance=size,
        resistance=r,
        reactance=x,
        voltage_to_earth=to_earth,
        to_neutral=to_neutral(supply, to_earth[0]),
        fault_largest=fault,
    )
    return case, reading
