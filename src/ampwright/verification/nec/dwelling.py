"""The load of a dwelling unit, reckoned again from the text of article 220.

Read: 220.14(J) or 220.41, 220.42 or 220.45, 220.50 to 220.60, Table 220.55 with its notes, 220.82,
220.83. Kilowatts count as kilovolt-amperes throughout.
"""

import math
from collections.abc import Iterable
from typing import NamedTuple

from ampwright.records.dwelling import Appliance, Dwelling
from ampwright.records.supply import Supply
from ampwright.verification.ledger import Ledger, close
from ampwright.verification.nec.book import Book

SQUARE_FOOT_M2 = 0.3048**2
RECORDED = frozenset({"year", "month"})
#: What the plan says where its code does not calculate a dwelling.
NOT_USED = "supply.dwelling-not-used"


class Reckoned(NamedTuple):
    """What a dwelling comes to.

    Attributes:
        rule: Rule of the method.
        amperes: Its load at the voltage of the service [A].
        motor: Current of its largest motor, where 430.24 asks for a quarter of it; else nought [A].
        neutral: Load of its neutral by 220.61, where it is stated; else nought [VA].
    """

    rule: str
    amperes: float
    motor: float = 0.0
    neutral: float = 0.0


def reckoned(book: Book, supply: Supply) -> Reckoned | None:
    """Return what the dwelling of *supply* comes to; ``None`` where the code does not say."""
    home = supply.dwelling
    switch = book.ledger.cell("factors", "dwelling_calculation", "value")
    if home is None or not switch:
        return None
    rules = _Rules(book)
    optional = _three_wires(supply)
    if home.method == "optional":
        rated = supply.rating_a or 0.0
        optional = optional and rated >= rules("optional_least_a")
    volts = float(supply.voltage_v)
    if home.method == "general" or not optional:
        whole, neutral = _by_part_three(rules, home), _neutral(rules, home, supply)
        return Reckoned("nec.220.40", whole / volts, _motor(home, volts), neutral)
    if home.method == "optional":
        return Reckoned("nec.220.82", _by_220_82(rules, home) / volts)
    return Reckoned("nec.220.83", _by_220_83(rules, home) / volts)


class _Rules:
    """The values of the rules by name, from the table of the code."""

    def __init__(self, book: Book) -> None:
        self.book = book

    def __call__(self, name: str) -> float:
        found = self.book.ledger.cell("dwelling_load", name, "value")
        if found is None:
            self.book.ledger.skipped("plan.table-cell", "dwelling_load", f"{name} of dwelling_load")
            return math.nan
        return found

    def edition(self) -> int:
        """Return the edition that the clauses are read in; the newest for a code of another."""
        held = self.book.ledger.tables["dwelling_load"].heads["edition"]
        years = [int(one) for one in held.split(",")]
        own = self.book.ledger.edition
        return int(own) if own.isdigit() and int(own) in years else max(years)


def _three_wires(supply: Supply) -> bool:
    """Tell whether it is 120/240 V or 208Y/120 V with three wires, as 220.82 and 220.83 ask."""
    to_earth = supply.earth_voltage_v or 0.0
    if not 110.0 <= to_earth <= 127.5:
        return False
    if supply.arrangement == "split-phase":
        return supply.neutral is not False
    return supply.arrangement == "line-line" and bool(supply.neutral)


def _va(one: Appliance) -> float:
    if one.rating_va is not None:
        return float(one.rating_va)
    return float((one.current_a or 0.0) * (one.voltage_v or 0.0))


def _sum(several: Iterable[Appliance]) -> float:
    return math.fsum(_va(one) for one in several)


def _basic(rules: _Rules, home: Dwelling) -> float:
    """Return lighting with kitchen and laundry circuits: 220.41, 220.52 [VA]."""
    light = float(home.floor_area_m2) / SQUARE_FOOT_M2 * rules("lighting_va_per_ft2")
    kitchen = home.small_appliance_circuits * rules("small_appliance_circuit_va")
    return light + kitchen + home.laundry_circuits * rules("laundry_circuit_va")


def _listed(rules: _Rules, home: Dwelling) -> float:
    """Return what 220.82(B) and 220.83 list: the above, and every plate [VA]."""
    plates = _sum(home.cooking) + _sum(home.appliances)
    return _basic(rules, home) + plates + (home.dryer_va or 0.0) + (home.vehicle_va or 0.0)


def _stepped(whole: float, first: float, share: float) -> float:
    return whole if whole <= first else first + share * (whole - first)


def _by_220_83(rules: _Rules, home: Dwelling) -> float:
    """Return the load of an existing dwelling: what heats or cools, whichever asks for more [VA].

    It counts in full, as in (B), but four and more units of heating, which stand with the rest.
    """

    def rest(whole: float) -> float:
        return _stepped(whole, rules("existing_first_va"), rules("existing_rest"))

    listed, heat, pump = _listed(rules, home), home.heating_va or 0.0, home.heat_pump_va or 0.0
    with_the_rest = home.heating_units >= 4 and not home.heating_continuous and not pump
    winter = rest(listed + heat) if with_the_rest else rest(listed) + heat + pump
    return max(winter, rest(listed) + _sum(home.cooling))


def _by_220_82(rules: _Rules, home: Dwelling) -> float:
    """Return the load by 220.82: (B) and the largest of (C) [VA]."""
    general = _stepped(_listed(rules, home), rules("optional_first_va"), rules("optional_rest"))
    heat, pump = home.heating_va or 0.0, home.heat_pump_va or 0.0
    if home.heating_continuous or not heat:
        share = 1.0
    elif pump:
        share = rules("heat_beside_heat_pump")
    elif home.heating_units < 4:
        share = rules("heat_under_four_units")
    else:
        share = rules("heat_four_or_more_units")
    return general + max(_sum(home.cooling), pump + share * heat)


def _by_part_three(rules: _Rules, home: Dwelling) -> float:
    """Return the load by part III [VA]."""
    basic = _basic(rules, home)
    found = _stepped(basic, rules("general_first_va"), rules("general_rest"))
    found += _cooking(rules.book, [_va(one) for one in home.cooking])
    if home.dryer_va is not None:
        found += max(float(home.dryer_va), rules("dryer_least_va"))
    plates = [_va(one) for one in home.appliances]
    reduced = [one for one in plates if one >= rules("appliances_least_va")]
    if len(reduced) >= rules("appliances_from"):
        found -= (1.0 - rules("appliances_demand")) * math.fsum(reduced)
    found += math.fsum(plates)
    if home.vehicle_va is not None:
        least = rules("vehicle_least_va") if rules.edition() >= rules("vehicle_least_since") else 0
        found += max(float(home.vehicle_va), least)
    heat = (home.heating_va or 0.0) + (home.heat_pump_va or 0.0)
    return found + max(heat, _sum(home.cooling))


def _neutral(rules: _Rules, home: Dwelling, supply: Supply) -> float:
    """Return the load of the neutral: 220.61(A), (B)(1) and (C)(1) [VA].

    Beside two of the three phases of a star nothing may be taken off.
    """
    volts = float(supply.voltage_v)
    share = rules("neutral_of_range_and_dryer") if supply.arrangement != "line-line" else 1.0
    basic = _basic(rules, home)
    light = _stepped(basic, rules("general_first_va"), rules("general_rest"))
    heavy = _cooking(rules.book, [_va(one) for one in home.cooking])
    if home.dryer_va is not None:
        heavy += max(float(home.dryer_va), rules("dryer_least_va"))
    on_one_line = [one for one in (*home.appliances, *home.cooling)
                   if one.voltage_v is not None and one.voltage_v < 0.6 * volts]  # fmt: skip
    return light + share * heavy + _sum(on_one_line)


def _cooking(book: Book, plates: list[float]) -> float:
    """Return the demand of cooking appliances by Table 220.55 [VA]."""

    def cell(column: str, count: int) -> float:
        rows = {int(key): row for key, row in (book.ledger.table("cooking_demand") or {}).items()}
        return float(rows[min(count, max(rows))][f"column_{column}"])

    demand = math.fsum(one for one in plates if one <= 1750)
    for column, low, high in (("a", 1750.000001, 3500), ("b", 3500, 8750.000001)):
        within = [one for one in plates if low <= one < high]
        if within:
            demand += cell(column, len(within)) * math.fsum(within)
    ranges = [one for one in plates if one >= 8750.000001]
    if ranges:
        mean_kw = math.fsum(max(one, 12e3) for one in ranges) / len(ranges) / 1e3
        over, whole = mean_kw - 12.0, math.floor(mean_kw - 12.0)
        steps = whole + (1 if over - whole > 0.5 else 0)
        demand += cell("c", len(ranges)) * (1 + 0.05 * steps)
    return demand


def _motor(home: Dwelling, volts: float) -> float:
    """Return the current of the largest motor: 220.50, 430.24, and 440.33 for what cools [A]."""
    driven = [one for one in (*home.cooking, *home.appliances) if one.motor]
    own = (one.current_a or _va(one) / (one.voltage_v or volts) for one in (*driven, *home.cooling))
    return float(max((home.heat_pump_va or 0.0) / volts, *own, 0.0))


def check_dwelling(ledger: Ledger, book: Book) -> Reckoned | None:
    """Check the load of a dwelling, and that one which is not reckoned with is said to be so."""
    supply = ledger.decision.shop.supply
    if supply.dwelling is None:
        return None
    found, stated = reckoned(book, supply), ledger.number("dwelling/load_a")
    if found is None:
        said = {one.code for one in ledger.decision.findings}
        if stated is not None or NOT_USED not in said:
            ledger.breach("nec.220.83", "dwelling", NOT_USED, "nothing is said")
        return None
    if stated is None or not close(stated, found.amperes):
        ledger.breach(found.rule, "dwelling/load_a", found.amperes, stated or 0.0, "A")
    step = ledger.steps.get("dwelling/load_a")
    if step is not None and step.rule != found.rule:
        ledger.breach(found.rule, "dwelling/load_a", found.rule, step.rule)
    beside = (("nec.430.24", "motor_a", found.motor, "A"),
              ("nec.220.61", "neutral_va", found.neutral, "VA"))  # fmt: skip
    for rule, name, wanted, unit in beside:
        number = ledger.number(f"dwelling/{name}") or 0.0
        if not close(number, wanted):
            ledger.breach(rule, f"dwelling/{name}", wanted, number, unit)
    return found
