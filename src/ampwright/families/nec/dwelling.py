"""The calculated load of a dwelling unit, by article 220: parts III and IV.

Which method stands follows from the rules: an existing dwelling of 120/240 V or 208Y/120 V, three
wires, that gets more load may be calculated by 220.83; any other by part III. The caller may ask
for another that is permitted. What the shop adds comes on top in full: the lists of 220.82 and
220.83 name appliances, which machines of a trade are not.
"""

from typing import NamedTuple

from ampwright.families.nec.book import Book
from ampwright.families.nec.cooking import cooking_demand
from ampwright.families.nec.draft import Draft
from ampwright.finding import parameters
from ampwright.records.dwelling import Appliance, Dwelling
from ampwright.records.supply import Supply
from ampwright.region import ExistingLoad
from ampwright.step import Figure, Worksheet

TABLE = "dwelling_load"
STATED = "shop/supply/dwelling"
#: Volts to earth of the lines that the optional methods are for: 120 V nominal.
LOWEST_V, HIGHEST_V = 110.0, 127.5
#: Share of the voltage of the service below which an appliance hangs between line and neutral.
LOW_SHARE = 0.6
#: Units of heating from which on a lower demand stands.
MANY_UNITS = 4
RULES = {"existing": "nec.220.83", "optional": "nec.220.82", "general": "nec.220.40"}


class Home(NamedTuple):
    """A dwelling while it is reckoned with.

    Attributes:
        draft: The sheet.
        stated: What was stated of it.
        rule: Rule of the method.
        volts: Voltage of the service [V].
        motors: Currents of its motors [A].
        wye: Its neutral is that of a star of three phases.
        values: Values of the rules that were stated.
        ratings: Apparent power of each appliance, by its place [VA].
    """

    draft: Draft
    stated: Dwelling
    rule: str
    volts: Figure
    motors: list[Figure]
    wye: bool
    values: dict[str, Figure]
    ratings: dict[str, Figure]

    def value(self, name: str, unit: str = "") -> Figure:
        """State a value of the rules, once."""
        if name not in self.values:
            row = self.draft.book.tables[TABLE].row(name) or {}
            self.values[name] = self.draft.read(
                name, name, unit, table=TABLE, key=name, column="value", rule=row["rule"]
            )
        return self.values[name]

    def given(self, name: str) -> Figure | None:
        """Return a figure as it was stated; ``None`` where it was not."""
        value = getattr(self.stated, name)
        return None if value is None else Figure(float(value), f"{STATED}/{name}")

    def total(self, name: str, symbol: str, terms: dict[str, Figure], rule: str = "") -> Figure:
        """State a sum [VA]."""
        formula = " + ".join(terms) or "0"
        return self.draft.work(name, symbol, "VA", formula, rule or self.rule, **terms)


def existing_load(book: Book, supply: Supply, place: str) -> ExistingLoad | None:
    """Return the load of the dwelling that *supply* states; ``None``: no way of this code.

    Args:
        book: The code; one that amends NFPA 70 states whether its articles on dwellings stand.
        supply: The supply with a dwelling.
        place: Where the steps stand.
    """
    known = book.factors.get("dwelling_calculation")
    if supply.dwelling is None or known is None or not known.value:
        return None
    draft = Draft(book, Worksheet(place), ("service",))
    method = _method(draft, supply.dwelling, supply)
    volts = Figure(float(supply.voltage_v), "shop/supply/voltage_v")
    wye = supply.arrangement == "line-line"
    home = Home(draft, supply.dwelling, RULES[method], volts, [], wye, {}, {})
    load_va = {"existing": _existing, "optional": _optional, "general": _general}[method](home)
    load = draft.work("load_a", "I_e", "A", "S / V", home.rule, S=load_va, V=volts)
    draft.assumed(
        "supply.existing-load-calculated",
        parameters("load=A", clause=book.rules[home.rule].clause, load=load),
    )
    draft.assumed("supply.dwelling-lines-alike")
    if method != "general":
        draft.ask("authority.shop-among-appliances", "", "figures", ("in full", "with the rest"))
    motors = {f"M{n}": one for n, one in enumerate(home.motors)} if method == "general" else {}
    largest = None
    if motors:
        formula = f"max({', '.join(motors)}, 0)"
        largest = draft.work("motor_a", "I_m", "A", formula, "nec.220.50", **motors)
    return ExistingLoad(
        load=load,
        rule=home.rule,
        motor=largest,
        steps=draft.sheet.steps,
        findings=tuple(draft.findings),
        assumptions=(*draft.assumptions, *draft.remembered()),
        questions=tuple(draft.questions),
    )


def _method(draft: Draft, home: Dwelling, supply: Supply) -> str:
    """Return the method that stands, and say where another was asked for."""
    earth = supply.earth_voltage_v
    wires = supply.arrangement == "split-phase" and supply.neutral is not False
    wires = wires or (supply.arrangement == "line-line" and supply.neutral is True)
    permitted = wires and earth is not None and LOWEST_V <= earth <= HIGHEST_V
    wanted = home.method or ("existing" if permitted else "general")
    least = draft.book.cell(TABLE, "optional_least_a", "value") or 0.0
    if wanted == "optional" and (supply.rating_a is None or supply.rating_a < least):
        permitted = False
    if wanted == "general" or permitted:
        return wanted
    rule = RULES[wanted]
    draft.find(
        "supply.dwelling-method", "caution", rule,
        clause=draft.book.rules[rule].clause, used=draft.book.rules[RULES["general"]].clause,
    )  # fmt: skip
    return "general"


def _rating(home: Home, place: str, one: Appliance) -> Figure:
    """State the apparent power of an appliance [VA]."""
    where = f"{STATED}/{place}"
    if one.rating_va is not None:
        return Figure(float(one.rating_va), f"{where}/rating_va")
    current, volts = float(one.current_a or 0.0), float(one.voltage_v or 0.0)
    return home.draft.work(
        f"{place}/rating_va", "S", "VA", "U * I",
        U=Figure(volts, f"{where}/voltage_v"), I=Figure(current, f"{where}/current_a"),
    )  # fmt: skip


def _current(home: Home, place: str, one: Appliance, rating: Figure) -> Figure:
    """State the current of the motor of an appliance, on the line that it hangs on [A]."""
    where = f"{STATED}/{place}"
    if one.current_a is not None:
        return Figure(float(one.current_a), f"{where}/current_a")
    stated = None if one.voltage_v is None else Figure(float(one.voltage_v), f"{where}/voltage_v")
    return home.draft.work(
        f"{place}/current_a", "I", "A", "S / U", S=rating, U=stated or home.volts
    )


def _ratings(home: Home, name: str) -> list[Figure]:
    """State the apparent power of every appliance of one kind, and note what is a motor."""
    found = []
    for n, one in enumerate(getattr(home.stated, name)):
        rating = _rating(home, f"{name}/{n}", one)
        found.append(rating)
        home.ratings[f"{name}/{n}"] = rating
        if one.motor or name == "cooling":
            home.motors.append(_current(home, f"{name}/{n}", one, rating))
    return found


def _lighting(home: Home) -> dict[str, Figure]:
    """State general lighting and the circuits of kitchen and laundry [VA]."""
    work, stated = home.draft.work, home.stated
    metres = Figure(float(stated.floor_area_m2), f"{STATED}/floor_area_m2")
    area = work("floor_area_ft2", "A", "ft2", "A_m / 0.09290304", A_m=metres)
    light = work(
        "lighting_va", "S_l", "VA", "q * A", "nec.220.41",
        q=home.value("lighting_va_per_ft2"), A=area,
    )  # fmt: skip
    terms = {"S_l": light}
    for symbol, name in (("S_k", "small_appliance"), ("S_w", "laundry")):
        count = Figure(float(getattr(stated, f"{name}_circuits")), f"{STATED}/{name}_circuits")
        terms[symbol] = work(
            f"{name}_va", symbol, "VA", "n * s", "nec.220.52",
            n=count, s=home.value(f"{name}_circuit_va", "VA"),
        )  # fmt: skip
    return terms


def _plates(home: Home) -> dict[str, Figure]:
    """Return what enters the optional methods with its plate [VA]."""
    terms = {f"C{n}": one for n, one in enumerate(_ratings(home, "cooking"))}
    terms |= {f"A{n}": one for n, one in enumerate(_ratings(home, "appliances"))}
    terms |= {
        symbol: one
        for symbol, name in (("D", "dryer_va"), ("V", "vehicle_va"))
        if (one := home.given(name)) is not None
    }
    return terms


def _reduced(
    home: Home, name: str, symbol: str, whole: str, prefix: str, **terms: Figure
) -> Figure:
    """State the first part in full and a share of the rest [VA]."""
    return home.draft.work(
        name, symbol, "VA", f"min({whole}, f) + k * max({whole} - f, 0)", home.rule, **terms,
        f=home.value(f"{prefix}_first_va", "VA"), k=home.value(f"{prefix}_rest"),
    )  # fmt: skip


def _climate(home: Home) -> tuple[Figure | None, Figure | None, Figure | None]:
    """State heating, heat pump and cooling [VA], each ``None`` where there is none."""
    cooling = None
    if home.stated.cooling:
        ratings = {f"K{n}": one for n, one in enumerate(_ratings(home, "cooling"))}
        cooling = home.total("cooling_va", "S_k", ratings)
    pump = home.given("heat_pump_va")
    if pump is not None:
        home.motors.append(home.draft.work("heat_pump_a", "I", "A", "S / V", S=pump, V=home.volts))
    return home.given("heating_va"), pump, cooling


def _existing(home: Home) -> Figure:
    """State the load by 220.83; heating or cooling in full, as 220.83(B) has it [VA].

    (A) does not name what heats and cools already. That it counts as under (B), where such
    equipment is added, is our reading, on the safe side. The larger of heating and cooling is the
    one that asks for more; heating in four units and more stands among the other loads.
    """
    draft, rule = home.draft, home.rule
    general = home.total("general_va", "S_g", _lighting(home) | _plates(home))
    demand = _reduced(home, "general_demand_va", "S_d", "S_g", "existing", S_g=general)
    heating, pump, cooling = _climate(home)
    terms = {
        name: one for name, one in (("H", heating), ("P", pump), ("K", cooling)) if one is not None
    }
    if not terms:
        return home.total("load_va", "S", {"S_d": demand})
    many = home.stated.heating_units >= MANY_UNITS and not home.stated.heating_continuous
    if heating is not None and many and pump is None:
        both = draft.work("with_heating_va", "S_h", "VA", "S_g + H", rule, S_g=general, H=heating)
        share = _reduced(home, "heating_demand_va", "S_hd", "S_h", "existing", S_h=both)
        terms["H"] = draft.work("heating_share_va", "S_he", "VA", "S_hd - S_d", rule,
                                S_hd=share, S_d=demand)  # fmt: skip
    draft.assumed("supply.dwelling-climate-in-full")
    heats = " + ".join(one for one in ("H", "P") if one in terms) or "0"
    formula = f"max({heats}, {'K' if 'K' in terms else '0'})"
    climate = draft.work("climate_va", "S_c", "VA", formula, rule, **terms)
    return home.total("load_va", "S", {"S_d": demand, "S_c": climate})


def _optional(home: Home) -> Figure:
    """State the load by 220.82 [VA]."""
    draft, stated = home.draft, home.stated
    general = home.total("general_va", "S_g", _lighting(home) | _plates(home))
    demand = _reduced(home, "general_demand_va", "S_d", "S_g", "optional", S_g=general)
    heating, pump, cooling = _climate(home)
    terms = {"P": pump} if pump is not None else {}
    heats = ["P"] if pump is not None else []
    if heating is not None:
        many = stated.heating_units >= MANY_UNITS
        share = "heat_four_or_more_units" if many else "heat_under_four_units"
        share = "heat_beside_heat_pump" if pump is not None else share
        if stated.heating_continuous:
            heats.append("H")
        else:
            heats.append("k * H")
            terms["k"] = home.value(share)
        terms["H"] = heating
    if cooling is not None:
        terms["K"] = cooling
    if not terms:
        return home.total("load_va", "S", {"S_d": demand})
    formula = f"max({' + '.join(heats) or '0'}, {'K' if 'K' in terms else '0'})"
    climate = draft.work("climate_va", "S_c", "VA", formula, home.rule, **terms)
    return home.total("load_va", "S", {"S_d": demand, "S_c": climate})


def _general(home: Home) -> Figure:
    """State the load by part III of article 220 [VA]."""
    draft = home.draft
    light = home.total("general_va", "S_l", _lighting(home), "nec.220.42")
    terms = {
        "S_g": draft.work(
            "general_demand_va", "S_g", "VA", "min(S_l, f) + r * max(S_l - f, 0)", "nec.220.42",
            S_l=light, f=home.value("general_first_va", "VA"), r=home.value("general_rest"),
        )
    }  # fmt: skip
    if home.stated.cooking:
        terms["S_r"] = cooking_demand(draft, _ratings(home, "cooking"))
    dryer, vehicle = home.given("dryer_va"), home.given("vehicle_va")
    if dryer is not None:
        terms["S_t"] = draft.work("dryer_demand_va", "S_t", "VA", "max(S, m)", "nec.220.54",
                                  S=dryer, m=home.value("dryer_least_va", "VA"))  # fmt: skip
    if home.stated.appliances:
        terms["S_a"] = _fastened(home)
    if vehicle is not None:
        since = draft.book.cell(TABLE, "vehicle_least_since", "value") or 0.0
        known = {"m": home.value("vehicle_least_va", "VA")} if _year(draft) >= since else {}
        formula = f"max({', '.join(['S', *known])}, 0)"
        terms["S_v"] = draft.work(
            "vehicle_demand_va", "S_v", "VA", formula, "nec.220.57", S=vehicle, **known
        )
    heating, pump, cooling = _climate(home)
    climate = {name: one for name, one in (("H", heating), ("P", pump), ("K", cooling)) if one}
    if climate:
        heats = " + ".join(one for one in ("H", "P") if one in climate) or "0"
        formula = f"max({heats}, {'K' if cooling else '0'})"
        terms["S_c"] = draft.work("climate_va", "S_c", "VA", formula, "nec.220.60", **climate)
    _neutral(home, terms)
    return home.total("load_va", "S", terms)


def _neutral(home: Home, terms: dict[str, Figure]) -> None:
    """State the load of the neutral: 70 % of range and dryer, and what is stated for 120 V [VA].

    In the neutral beside two lines of a star the currents of both do not cancel: 220.61(C)(1) lets
    nothing be reduced there.
    """
    known = {"S_g": terms["S_g"]}
    heavy: dict[str, Figure] = {name: terms[name] for name in ("S_r", "S_t") if name in terms}
    formula = "S_g"
    if heavy and home.wye:
        known |= heavy
        formula = " + ".join(known)
    elif heavy:
        known |= heavy | {"k": home.value("neutral_of_range_and_dryer")}
        formula += f" + k * ({' + '.join(heavy)})"
    for kind in ("appliances", "cooling"):
        for n, one in enumerate(getattr(home.stated, kind)):
            if one.voltage_v is not None and one.voltage_v < LOW_SHARE * home.volts.value:
                name = f"{kind[0].upper()}{n}"
                known[name] = home.ratings[f"{kind}/{n}"]
                formula += f" + {name}"
    home.draft.work("neutral_va", "S_n", "VA", formula, "nec.220.61", **known)


def _year(draft: Draft) -> float:
    return float(draft.book.base_edition)


def _fastened(home: Home) -> Figure:
    """State the demand of fastened appliances: three quarters of four and more, 220.53 [VA]."""
    ratings = _ratings(home, "appliances")
    count, least = home.value("appliances_from"), home.value("appliances_least_va", "VA")
    terms = {f"A{n}": one for n, one in enumerate(ratings)}
    large = [name for name, one in terms.items() if one.value >= least.value]
    if len(large) < count.value:
        return home.total("appliances_demand_va", "S_a", terms, "nec.220.53")
    rest = "".join(f" + {name}" for name in terms if name not in large)
    return home.draft.work(
        "appliances_demand_va", "S_a", "VA", f"k * ({' + '.join(large)}){rest}", "nec.220.53",
        k=home.value("appliances_demand"), **terms,
    )  # fmt: skip
