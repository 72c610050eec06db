"""The units that fields take, and how unit libraries spell them."""

import math

# hp is 550 ft.lbf/s, by the definitions of foot, pound and standard gravity; metric horsepower is
# 75 kgf.m/s; both exact
_POUND_FORCE_N = 0.45359237 * 9.80665
_HORSEPOWER_W = 550 * 0.3048 * _POUND_FORCE_N
METRIC_HORSEPOWER = ("PS", "cv", "CV", "ch", "hk", "pk")

#: Unit: what it measures, power of ten, factor; the value in our unit is number * 10**n * factor.
UNITS: dict[str, tuple[str, int, float]] = {
    "W": ("active power", 0, 1.0),
    "kW": ("active power", 3, 1.0),
    "MW": ("active power", 6, 1.0),
    "mW": ("active power", -3, 1.0),
    "hp": ("active power", 0, _HORSEPOWER_W),
    "HP": ("active power", 0, _HORSEPOWER_W),
    **dict.fromkeys(METRIC_HORSEPOWER, ("active power", 0, 735.49875)),
    "VA": ("apparent power", 0, 1.0),
    "kVA": ("apparent power", 3, 1.0),
    "MVA": ("apparent power", 6, 1.0),
    "var": ("reactive power", 0, 1.0),
    "kvar": ("reactive power", 3, 1.0),
    "kVAr": ("reactive power", 3, 1.0),
    "V": ("voltage", 0, 1.0),
    "mV": ("voltage", -3, 1.0),
    "kV": ("voltage", 3, 1.0),
    "A": ("current", 0, 1.0),
    "mA": ("current", -3, 1.0),
    "kA": ("current", 3, 1.0),
    "Hz": ("frequency", 0, 1.0),
    "kHz": ("frequency", 3, 1.0),
    "rpm": ("speed", 0, 1.0),
    "RPM": ("speed", 0, 1.0),
    "r/min": ("speed", 0, 1.0),
    "degC": ("temperature", 0, 1.0),
    "degF": ("temperature", 0, 1.0),
    "K": ("temperature or temperature difference", 0, 1.0),
    "delta_degC": ("temperature difference", 0, 1.0),
    "delta_degF": ("temperature difference", 0, 5 / 9),
    "m": ("length", 0, 1.0),
    "mm": ("length", -3, 1.0),
    "cm": ("length", -2, 1.0),
    "km": ("length", 3, 1.0),
    "in": ("length", 0, 0.0254),
    "ft": ("length", 0, 0.3048),
    "yd": ("length", 0, 0.9144),
    "mm2": ("area", 0, 1.0),
    "cm2": ("area", 2, 1.0),
    "m2": ("floor area", 0, 1.0),
    "ft2": ("floor area", 0, 0.3048**2),
    "kcmil": ("area", 0, math.pi / 4 * 25.4**2 / 1000),  # a circle of one inch is 1000 kcmil
    "kg.m2": ("moment of inertia", 0, 1.0),
    "kg.cm2": ("moment of inertia", -4, 1.0),
    "lb.ft2": ("moment of inertia", 0, 0.45359237 * 0.3048**2),
    "lb.in2": ("moment of inertia", 0, 0.45359237 * 0.0254**2),
    "N.m": ("torque", 0, 1.0),
    "kN.m": ("torque", 3, 1.0),
    "lbf.ft": ("torque", 0, _POUND_FORCE_N * 0.3048),
    "lb.ft": ("torque", 0, _POUND_FORCE_N * 0.3048),
    "lbf.in": ("torque", 0, _POUND_FORCE_N * 0.0254),
    "s": ("time", 0, 1.0),
    "ms": ("time", -3, 1.0),
    "min": ("time", 0, 60.0),
    "h": ("time", 0, 3600.0),
    "ohm": ("resistance", 0, 1.0),
    "mohm": ("resistance", -3, 1.0),
    "kohm": ("resistance", 3, 1.0),
    "Mohm": ("resistance", 6, 1.0),
    "Gohm": ("resistance", 9, 1.0),
    "F": ("capacitance", 0, 1.0),
    "mF": ("capacitance", -3, 1.0),
    "uF": ("capacitance", -6, 1.0),
    "nF": ("capacitance", -9, 1.0),
    "K.m/W": ("thermal resistivity", 0, 1.0),
    "dB": ("sound level", 0, 1.0),
    "C": ("electric charge", 0, 1.0),
    "J": ("energy", 0, 1.0),
    "kWh": ("energy", 3, 3600.0),
    "N": ("force", 0, 1.0),
    "kg": ("mass", 0, 1.0),
    "lb": ("mass", 0, 0.45359237),
    "%": ("fraction", -2, 1.0),
}

#: Units that a unit library spells in another way; it has none for reactive power.
FOREIGN = {
    "": "dimensionless", "%": "percent", "hp": "horsepower", "HP": "horsepower",
    "RPM": "rpm", "r/min": "rpm", "kg.m2": "kg*m**2", "kg.cm2": "kg*cm**2",
    "lb.ft2": "lb*ft**2", "lb.in2": "lb*in**2", "N.m": "N*m", "kN.m": "kN*m",
    "lbf.ft": "lbf*ft", "lb.ft": "lbf*ft", "lbf.in": "lbf*inch", "in": "inch",
    "m2": "m**2", "ft2": "ft**2", "mm2": "mm**2", "cm2": "cm**2", "K.m/W": "K*m/W",
    "mohm": "milliohm", "Mohm": "megaohm",
    "1": "dimensionless", "A2.s": "A**2*s", "var": "volt*ampere", "kvar": "kilovolt*ampere",
    "kVAr": "kilovolt*ampere", **dict.fromkeys(METRIC_HORSEPOWER, "metric_horsepower"),
}  # fmt: skip

#: How unit libraries print units that `UNITS` spells shorter.
LONG_NAMES = {
    "watt": "W", "kilowatt": "kW", "horsepower": "hp", "metric_horsepower": "PS",
    "volt_ampere": "VA", "kilovolt_ampere": "kVA", "volt": "V", "kilovolt": "kV",
    "millivolt": "mV", "ampere": "A", "milliampere": "mA", "kiloampere": "kA", "hertz": "Hz",
    "kilohertz": "kHz", "revolutions_per_minute": "rpm", "meter": "m", "millimeter": "mm",
    "centimeter": "cm", "kilometer": "km", "foot": "ft", "inch": "in", "yard": "yd",
    "degree_Celsius": "degC", "degree_Fahrenheit": "degF", "kelvin": "K",
    "delta_degree_Celsius": "delta_degC", "delta_degree_Fahrenheit": "delta_degF",
    "second": "s", "millisecond": "ms", "minute": "min", "hour": "h", "ohm": "ohm",
    "milliohm": "mohm", "kiloohm": "kohm", "megaohm": "Mohm", "microfarad": "uF",
    "kilogram * meter ** 2": "kg.m2", "foot ** 2 * pound": "lb.ft2",
    "meter ** 2": "m2", "foot ** 2": "ft2", "newton * meter": "N.m",
    "meter * newton": "N.m", "foot * force_pound": "lbf.ft", "percent": "%",
}  # fmt: skip

#: Kinds that share a dimension and are no substitutes for each other.
CONFUSABLE = (
    {"active power", "apparent power", "reactive power"},
    {"frequency", "speed"},
    {"temperature", "temperature difference", "temperature or temperature difference"},
    {"moment of inertia", "torque"},
)

#: Words that people write for units, and the units that they mean.
UNIT_WORDS = {
    **dict.fromkeys(("amp", "amps", "ampere", "amperes"), "A"),
    **dict.fromkeys(("volt", "volts"), "V"),
    **dict.fromkeys(("watt", "watts"), "W"),
    **dict.fromkeys(("kilowatt", "kilowatts"), "kW"),
    **dict.fromkeys(("horsepower", "horse power", "horses"), "hp"),
    **dict.fromkeys(("hertz", "cycle", "cycles", "cps"), "Hz"),
    **dict.fromkeys(("foot", "feet"), "ft"),
    **dict.fromkeys(("inch", "inches"), "in"),
    **dict.fromkeys(("yard", "yards"), "yd"),
    **dict.fromkeys(("meter", "meters", "metre", "metres"), "m"),
    **dict.fromkeys(("second", "seconds", "sec"), "s"),
    **dict.fromkeys(("minute", "minutes", "mins"), "min"),
    **dict.fromkeys(("hour", "hours", "hr", "hrs"), "h"),
    **dict.fromkeys(("ohms",), "ohm"),
    **dict.fromkeys(("u/min", "upm", "min-1", "1/min", "tr/min"), "rpm"),
    **dict.fromkeys(("celsius", "deg celsius"), "degC"),
    **dict.fromkeys(("fahrenheit", "deg fahrenheit"), "degF"),
    **dict.fromkeys(("pound", "pounds", "lbs"), "lb"),
}
