"""The calculated load of a dwelling unit, by the general and by the optional method.

A shop at home hangs on a dwelling's service. Where no demand was measured, what is there already is
calculated; the amperes that result are what `Supply.existing_load` then states.
"""

from typing import NamedTuple

from ampwright.families.nec.draft import Draft
from ampwright.step import Figure

TABLE = "dwelling_load"


class Dwelling(NamedTuple):
    """What is in a dwelling unit.

    Attributes:
        area_ft2: Floor area [ft2].
        small_appliance_circuits: Small-appliance branch circuits.
        laundry_circuits: Laundry branch circuits.
        range_va: Plate of the range, up to 12 kW; nought for none [VA].
        dryer_va: Plate of the dryer; nought for none [VA].
        appliances_va: Plates of all other fastened appliances and motors [VA].
        heat_va: Electric space heating [VA].
        heat_units: Separately controlled units of it.
        cooling_va: Air conditioning [VA].
    """

    area_ft2: float
    small_appliance_circuits: int = 2
    laundry_circuits: int = 1
    range_va: float = 0.0
    dryer_va: float = 0.0
    appliances_va: float = 0.0
    heat_va: float = 0.0
    heat_units: int = 1
    cooling_va: float = 0.0


def _value(draft: Draft, name: str) -> Figure:
    row = draft.book.tables[TABLE].row(name) or {}
    return draft.read(
        f"dwelling/{name}", name, "", table=TABLE, key=name, column="value", rule=row["rule"]
    )


def _given(draft: Draft, home: Dwelling) -> dict[str, Figure]:
    return {
        name: draft.sheet.given(f"dwelling/{name}", name, value, "")
        for name, value in home._asdict().items()
    }


def lighting_and_circuits(draft: Draft, given: dict[str, Figure]) -> Figure:
    """State general lighting with the small-appliance and laundry circuits [VA]."""
    return draft.work(
        "dwelling/lighting_va", "S_l", "VA", "q * area + s * n_s + l * n_l", "nec.220.82",
        q=_value(draft, "lighting_va_per_ft2"), area=given["area_ft2"],
        s=_value(draft, "small_appliance_circuit_va"), n_s=given["small_appliance_circuits"],
        l=_value(draft, "laundry_circuit_va"), n_l=given["laundry_circuits"],
    )  # fmt: skip


def general_method(draft: Draft, home: Dwelling) -> tuple[Figure, Figure]:
    """State load and neutral load by the general method, heat and cooling by the larger [VA].

    Fastened appliances enter in full: the reduction for four or more of them is left out, on the
    safe side.
    """
    given = _given(draft, home)
    lighting = lighting_and_circuits(draft, given)
    first, rest = _value(draft, "general_first_va"), _value(draft, "general_rest")
    general = draft.work(
        "dwelling/general_va", "S_g", "VA", "min(S_l, f) + r * max(S_l - f, 0)", "nec.220.42",
        S_l=lighting, f=first, r=rest,
    )  # fmt: skip
    cooking = draft.work(
        "dwelling/range_demand_va", "S_r", "VA", "min(S, m)", "nec.220.55",
        S=given["range_va"], m=_value(draft, "range_up_to_12_kw_va"),
    )  # fmt: skip
    drying = given["dryer_va"]
    if home.dryer_va:
        drying = draft.work(
            "dwelling/dryer_demand_va", "S_d", "VA", "max(S, m)", "nec.220.54",
            S=given["dryer_va"], m=_value(draft, "dryer_least_va"),
        )  # fmt: skip
    load = draft.work(
        "dwelling/load_va", "S", "VA", "S_g + S_r + S_d + a + max(h, c)", "nec.220.42",
        S_g=general, S_r=cooking, S_d=drying, a=given["appliances_va"], h=given["heat_va"],
        c=given["cooling_va"],
    )  # fmt: skip
    neutral = draft.work(
        "dwelling/neutral_va", "S_n", "VA", "S_g + k * (S_r + S_d)", "nec.220.61",
        S_g=general, k=_value(draft, "neutral_of_range_and_dryer"), S_r=cooking, S_d=drying,
    )  # fmt: skip
    return load, neutral


def optional_method(draft: Draft, home: Dwelling, *, existing: bool = False) -> Figure:
    """State the load by the optional method [VA].

    Args:
        draft: Sheet; the steps stand below ``dwelling``.
        home: What is in the dwelling unit.
        existing: By the rule for an existing dwelling to which load is added.
    """
    rule, prefix = ("nec.220.83", "existing") if existing else ("nec.220.82", "optional")
    given = _given(draft, home)
    general = draft.work(
        "dwelling/general_va", "S_g", "VA", "S_l + r + d + a", rule,
        S_l=lighting_and_circuits(draft, given), r=given["range_va"], d=given["dryer_va"],
        a=given["appliances_va"],
    )  # fmt: skip
    demand = draft.work(
        "dwelling/general_demand_va", "S_d", "VA", "min(S_g, f) + k * max(S_g - f, 0)", rule,
        S_g=general, f=_value(draft, f"{prefix}_first_va"), k=_value(draft, f"{prefix}_rest"),
    )  # fmt: skip
    units = "heat_four_or_more_units" if home.heat_units >= 4 else "heat_under_four_units"
    climate = draft.work(
        "dwelling/climate_va", "S_c", "VA", "max(k * h, c)", rule,
        k=_value(draft, units), h=given["heat_va"], c=given["cooling_va"],
    )  # fmt: skip
    return draft.work("dwelling/load_va", "S", "VA", "S_d + S_c", rule, S_d=demand, S_c=climate)


def amperes(draft: Draft, load: Figure, voltage: Figure) -> Figure:
    """State a load in amperes of the service [A]."""
    return draft.work("dwelling/load_a", "I", "A", "S / V", "nec.220.82", S=load, V=voltage)
