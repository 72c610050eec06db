"""The words and signs met on nameplates, and what each of them announces."""

from typing import NamedTuple

from ampwright.units import UNITS

# Any of these may stand for a connection; several at once are alternatives or speeds.
STAR = "star"
DELTA = "delta"
DOUBLE_STAR = "double-star"
DOUBLE_DELTA = "double-delta"

CONNECTIONS = {
    "d": DELTA,
    "Δ": DELTA,
    "y": STAR,
    "1y": STAR,
    "1Δ": DELTA,
    "yy": DOUBLE_STAR,
    "2y": DOUBLE_STAR,
    "dd": DOUBLE_DELTA,
    "ΔΔ": DOUBLE_DELTA,
    "2Δ": DOUBLE_DELTA,
}

# What a word of that kind may count, widest that is met: a number outside belongs elsewhere.
BANDS = {
    "power": (1.0, 5e6),  # W
    "input_power": (1.0, 5e6),
    "apparent": (1.0, 5e6),
    "largest_motor": (1.0, 5e6),
    "voltage": (6.0, 15000.0),
    "rotor_voltage": (6.0, 5000.0),
    "control_voltage": (6.0, 1000.0),
    "dc_voltage": (6.0, 1000.0),
    "current": (0.02, 5000.0),
    "hermetic_current": (0.02, 5000.0),
    "rotor_current": (0.1, 5000.0),
    "locked_rotor_current": (0.1, 50000.0),
    "service_factor_current": (0.02, 5000.0),
    "largest_current": (0.1, 5000.0),
    "effective_current": (0.1, 5000.0),
    "minimum_circuit_ampacity": (0.1, 5000.0),
    "maximum_overcurrent_device": (1.0, 6000.0),
    "fuse": (0.1, 6000.0),
    "short_circuit_rating": (100.0, 3e5),
    "no_load_voltage": (6.0, 500.0),
    "welding_current": (1.0, 3000.0),
    "frequency": (15.0, 440.0),
    "speed": (100.0, 36000.0),
    "phases": (1.0, 3.0),
    "wires": (2.0, 5.0),
    "poles": (2.0, 48.0),
    "leads": (3.0, 12.0),
    "service_factor": (1.0, 2.0),
    "power_factor": (0.1, 100.0),
    "efficiency": (0.1, 100.0),
    "locked_rotor_ratio": (1.5, 15.0),
    "locked_rotor_torque_ratio": (0.2, 500.0),
    "breakdown_torque_ratio": (0.5, 500.0),
    "duty_cycle": (1.0, 100.0),
    "duty_minutes": (1.0, 600.0),
    "rise": (10.0, 200.0),
    "ambient": (-40.0, 65.0),
    "temperature": (-40.0, 250.0),
    "percent": (0.1, 100.0),
    "year": (1880.0, 2060.0),
    "quantity": (1.0, 20.0),
}


class Key(NamedTuple):
    """What a word announces.

    Attributes:
        field: What the number or letter beside it is.
        side: ``after`` if the number usually comes first (a unit), ``behind`` if it always does,
            ``before`` if the word comes first (a label).
        factor: What turns the number into the unit that the field is kept in.
        unit: The unit, spelt as the records take it.
        takes: ``number``, ``letter`` or ``run`` (everything up to the next blank).
    """

    field: str
    side: str = "after"
    factor: float = 1.0
    unit: str = ""
    takes: str = "number"


HP_W = UNITS["hp"][2]
METRIC_HP_W = UNITS["PS"][2]


_NEVER_FIRST = frozenset({"p", "c", "k", "h", "m", "min", "min-1", "~", "c/s"})


def _units() -> dict[str, Key]:
    """Return the units, each with what it counts."""
    found: dict[str, Key] = {}

    def add(field: str, unit: str, factor: float, *words: str) -> None:
        for word in words:
            side = "behind" if word in _NEVER_FIRST else "after"
            found[word] = Key(field, side, factor, unit)

    add("power", "hp", HP_W, "hp", "bhp", "horsepower", "horse power", "h p")
    add("power", "cv", METRIC_HP_W, "cv")
    add("power", "PS", METRIC_HP_W, "ps", "pse")
    add("power", "ch", METRIC_HP_W, "ch")
    add("power", "hk", METRIC_HP_W, "hk")
    add("power", "pk", METRIC_HP_W, "pk")
    add("power", "kW", 1e3, "kw", "kilowatt", "kilowatts")
    add("power", "W", 1.0, "w", "watt", "watts")
    add("apparent", "kVA", 1e3, "kva")
    add("apparent", "VA", 1.0, "va")
    add("voltage", "V", 1.0, "v", "volt", "volts", "vac", "v ac", "volts ac", "vca", "v ca")
    add("dc_voltage", "V", 1.0, "v dc", "vdc", "volts dc")
    add("voltage", "kV", 1e3, "kv")
    add("current", "A", 1.0, "a", "amp", "amps", "ampere", "amperes", "ampère", "ampères")
    add("short_circuit_rating", "kA", 1e3, "ka", "kaic")
    add("frequency", "Hz", 1.0, "hz", "cy", "cyc", "cycle", "cycles", "cps", "hertz", "c/s", "~")
    add("frequency", "Hz", 1.0, "period", "periods", "per", "pps")
    add("speed", "rpm", 1.0, "rpm", "min-1", "upm", "rev/min", "revs", "rpm fl")
    add("phases", "", 1.0, "ph", "phase", "phases", "phasen", "fases", "fasi", "ø", "φ", "phasé")
    add("wires", "", 1.0, "wire", "wires")
    add(
        "poles",
        "",
        1.0,
        "p",
        "pole",
        "poles",
        "pol",
        "極",
        "polig",
        "poli",
        "polos",
        "pôles",
        "polos",
    )
    add("leads", "", 1.0, "lead", "leads", "wire leads", "terminals", "klemmen", "bornes")
    add("duty_minutes", "min", 1.0, "min", "mins", "minutes", "minuten")
    add("duty_minutes", "min", 60.0, "hr", "hrs", "hour", "hours", "h")
    add("temperature", "degC", 1.0, "c", "°c", "deg c", "k", "°k")
    add("weight", "kg", 1.0, "kg", "lb", "lbs")
    add("torque", "Nm", 1.0, "nm", "n m", "lbft", "lb ft")
    add("capacitor", "uF", 1.0, "uf", "µf", "μf", "mfd", "mf")
    add("pressure", "bar", 1.0, "bar", "psi", "mpa")
    add("length", "mm", 1.0, "mm", "cm", "m")
    add("flow", "l/min", 1.0, "l/min", "gpm", "cfm", "m3/h")
    return found


def _labels() -> dict[str, Key]:  # noqa: PLR0915 - a list of words, a line each
    """Return the labels, each with what it announces."""
    found: dict[str, Key] = {}

    def add(field: str, *words: str, takes: str = "number", factor: float = 1.0) -> None:
        found.update(dict.fromkeys(words, Key(field, "before", factor, "", takes)))

    add("current", "fla", "flc", "in", "full load amps", "full load current", "full load amp")
    add("current", "fl amps", "rated amps", "rated current", "max amps", "nennstrom", "i n", "flca")
    add("hermetic_current", "rla", "rated load amps")
    add("locked_rotor_current", "lra", "lrc", "locked rotor amps", "lr amps", "ist", "ia")
    add(
        "service_factor_current", "sfa", "sf amps", "sf amp", "service factor amps", "max load amps"
    )
    add("minimum_circuit_ampacity", "mca", "min circuit ampacity", "min circuit amps")
    add("maximum_overcurrent_device", "mop", "mocp", "max fuse", "max ocpd", "max breaker")
    add("fuse", "fuse", "fuses", "sicherung", "fusible", "fusibile", "vorsicherung", "breaker")
    add(
        "short_circuit_rating", "sccr", "short circuit rating", "short circuit", "icc", "icw", "icu"
    )
    add("short_circuit_rating", "interrupting capacity", "interrupting rating")
    add("largest_motor", "largest motor", "largest mtr", "grösster motor", "größter motor")
    add("largest_current", "i1max")
    add("effective_current", "i1eff")
    add("welding_current", "i2")
    add("no_load_voltage", "u0", "u2")
    add("voltage", "u", "un", "u1", "spannung", "tension", "voltage", "rated voltage")
    add("dc_voltage", "dc", "gleichstrom")
    add("control_voltage", "control", "control voltage", "ctrl", "steuerspannung", "coil")
    add("rotor", "sec", "secondary", "rotor", "läufer", "rot", "sek")
    add("input_power", "p1", "input", "aufnahme", "pabs", "power input", "input power")
    add("power", "p2", "output", "pn", "power", "leistung", "puissance", "potenza", "potencia")
    add("power", "potência", "rated power", "rated output")
    add("apparent", "s1")
    add("frequency", "freq", "frequency", "frequenz", "fréquence", "frequenza", "f")
    add("speed", "speed", "drehzahl", "vitesse", "velocidad", "n")
    add("service_factor", "sf", "service factor", "fs", "ser fac", "serv factor", "servf")
    add("power_factor", "pf", "power factor", "cosphi", "fp", "cos", "facteur puissance")
    add("efficiency", "eff", "efficiency", "nom eff", "nema nom eff", "nema nom efficiency", "eta")
    add("efficiency", "rend", "η", "wirkungsgrad", "fl eff", "gtd eff", "rendement", "rendimento")
    add("locked_rotor_va_per_hp", "kva/hp", "kva per hp")
    add("code_letter", "code", "kva code", "code letter", "code ltr", "lr kva code", takes="letter")
    add("code_letter", "cod", "código", "codigo", "locked rotor code", takes="letter")
    add("design", "des", "design", "nema design", "nema des", "cat", "des ltr", takes="letter")
    add("insulation", "cl", "class", "ins", "ins cl", "ins class", "insul class", takes="letter")
    add("insulation", "insulation class", "insulation", "insul", "insul cl", "kl", takes="letter")
    add(
        "insulation",
        "insl cl",
        "isol cl",
        "isol kl",
        "iso kl",
        "is kl",
        "isol",
        "iso cl",
        "cl isol",
        takes="letter",
    )
    add("insulation", "i cl", "icl", "th cl", "thcl", "iskl", "isokl", "wkl", takes="letter")
    add("insulation", "cl is", "cl iso", "classe", "klasse", "temp class", takes="letter")
    add("rise", "rise", "temp rise", "temperature rise", "δt", "echauf", "erwärmung")
    add("ambient", "amb", "ambient", "max amb", "max ambient", "umg", "amb temp", "t amb", "tamb")
    add("duty_cycle", "ed", "duty cycle", "x", "af")
    add(
        "year",
        "year",
        "yr",
        "bj",
        "baujahr",
        "année",
        "annee",
        "anno",
        "año",
        "ano",
        "mfg",
        "built",
    )
    add("year", "date", "dated")
    add("leads", "no leads")
    add("frame", "fr", "frame", "bg", "baugrösse", "baugröße", takes="run")
    add("type", "type", "typ", "tipo", "typ nr", "style", "model", "mod", "modell", takes="run")
    add("type", "modèle", "modelo", "modello", takes="run")
    add("serial", "serial", "ser", "serial no", "ser no", "serial number", "s/n", takes="run")
    add("serial", "sn", "nr", "no", "n°", "nº", "num", "id", "id no", "cat no", takes="run")
    add("serial", "fabr nr", "fab nr", "masch nr", "serien nr", "order no", "part no", takes="run")
    add("serial", "diagram", "diagram no", "drawing no", "dwg", "schaltplan", takes="run")
    add("bearing", "brg", "bearing", "bearings", "de brg", takes="run")
    return found


def _run_together(labels: dict[str, Key]) -> dict[str, Key]:
    """Spell labels of several words as one, as in ``INS.CL.F``."""
    return {word.replace(" ", ""): key for word, key in labels.items() if " " in word}


LETTERS = {
    "code_letter": frozenset("ABCDEFGHJKLMNPRSTUV"),
    "design": frozenset(("A", "B", "C", "D", "E", "N", "NE", "NY", "NEY", "H", "HE", "HY", "HEY")),
    "insulation": frozenset("YAEBFHNRC"),
}

KEYS = {**_units(), **_run_together(_labels()), **_labels()}
