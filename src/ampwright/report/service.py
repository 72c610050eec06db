"""The load of the service, line by line, so that an electrician can add it up."""

from collections.abc import Iterator, Mapping
from decimal import ROUND_FLOOR, ROUND_HALF_EVEN, Decimal

from ampwright.decision import Decision
from ampwright.option import Option
from ampwright.records.dwelling import Appliance, Dwelling
from ampwright.report.blocks import NONE, Block, Grid, Row, heads
from ampwright.report.phrases import shown_option
from ampwright.report.wording import Wording, capital

#: Currents have two places here, so that the lines add up to the sum.
CENT = Decimal("0.01")
#: Where the steps of a dwelling stand.
HOME = "dwelling"

Values = Mapping[str, float]


def service_load(decision: Decision, wording: Wording) -> Iterator[Block]:
    """Yield the load of the dwelling, if one was stated, and that of the service."""
    option = shown_option(decision)
    if option is None:
        return
    values = {
        one.path: one.value
        for one in (*decision.steps, *option.steps)
        if isinstance(one.value, float)
    }
    home, place = decision.shop.supply.dwelling, f"options/{option.id}/service"
    if home is not None and f"{HOME}/load_va" in values:
        yield _dwelling(home, values, decision, wording)
    if f"{place}/load_a" in values:
        yield _service(option, place, values, wording)


def _amperes(value: float, wording: Wording, rounding: str = ROUND_HALF_EVEN) -> str:
    rounded = str(Decimal(value).quantize(CENT, rounding)).replace("-", "−")
    return f"{wording.language.number(rounded)} A"


def _power(value: float | None, wording: Wording) -> str:
    return NONE if value is None else f"{wording.language.number(f'{value:.0f}')} VA"


def _service(option: Option, place: str, values: Values, wording: Wording) -> Grid:
    """Return the sum in amperes, and what the main device leaves."""
    say = wording.say
    governing = max(
        (one for one in option.states if not one.converter),
        key=lambda one: one.input_current_a,
        default=None,
    )
    running = capital(wording.names_of(governing.running)) if governing is not None else ""
    lines = [
        (say("There already"), values.get(f"{place}/existing_a")),
        (say("Added: {what}", what=running or NONE), values.get(f"{place}/added_a")),
        (say("A quarter of the largest motor"), values.get(f"{place}/largest_motor_a")),
    ]
    rows = [
        Row(cells=(name, _amperes(value, wording))) for name, value in lines if value is not None
    ]
    whole = _amperes(values[f"{place}/load_a"], wording)
    rows.append(Row(cells=(say("Load of the {@service}"), whole), tone="lead"))
    rating = values.get(f"{place}/allowed_a", values.get(f"{place}/rating_a"))
    if rating is not None:
        rows.append(Row(cells=(say("It may carry"), _amperes(rating, wording))))
    spare = values.get(f"{place}/spare_a")
    if spare is not None:
        rows.append(Row(cells=(say("Left"), _amperes(spare, wording, ROUND_FLOOR))))
    return Grid(
        columns=heads(wording.head, "What", "#Current"),
        rows=tuple(rows),
        note=_note(place, values, wording),
    )


def _note(place: str, values: Values, wording: Wording) -> str:
    """Say how what is there already is known."""
    stated, there = values.get(f"{place}/existing_stated_a"), values.get(f"{place}/existing_a")
    reckoned = values.get(f"{HOME}/load_a")
    parts = []
    if stated is not None:
        counted = values.get(f"{place}/measured_a", there or 0.0)
        text = wording.say(
            "There already: {stated} as stated, which counts as {counted}.",
            stated=_amperes(stated, wording),
            counted=_amperes(counted, wording),
        )
        parts.append(text)
    if reckoned is not None:
        text = wording.say("The dwelling by calculation: {amperes}.",
                           amperes=_amperes(reckoned, wording))  # fmt: skip
        parts.append(text)
    return " ".join(parts)


def _dwelling(home: Dwelling, values: Values, decision: Decision, wording: Wording) -> Grid:
    """Return what the dwelling is connected for, and what of it counts."""
    rows = [
        Row(cells=(name, _power(connected, wording), _power(counted, wording)), tone=tone)
        for name, connected, counted, tone in _lines(home, values, wording)
    ]
    rule = next(one.rule for one in decision.steps if one.path == f"{HOME}/load_a")
    source = next(one.source for one in decision.steps if one.path == f"{HOME}/load_a")
    place = source.clause if source is not None else rule
    note = wording.say(
        "By {clause}. {power} are {amperes} at {volts} V.",
        clause=place,
        power=_power(values[f"{HOME}/load_va"], wording),
        amperes=_amperes(values[f"{HOME}/load_a"], wording),
        volts=wording.number(float(decision.shop.supply.voltage_v)),
    )
    return Grid(
        columns=heads(wording.head, "Load of the dwelling", "#Connected", "#Counts"),
        rows=tuple(rows),
        note=note,
    )


Line = tuple[str, float | None, float | None, str]


def _lines(home: Dwelling, values: Values, wording: Wording) -> Iterator[Line]:
    """Yield name, what is connected, what counts, and tone of each line of a dwelling."""
    say = wording.say

    def at(name: str) -> float | None:
        return values.get(f"{HOME}/{name}")

    area = wording.number(at("floor_area_ft2") or 0.0, digits=5)
    yield say("Lighting and outlets of {area} ft²", area=area), at("lighting_va"), None, ""
    kitchen = say("Small-appliance circuits: {n}", n=home.small_appliance_circuits)
    yield kitchen, at("small_appliance_va"), None, ""
    yield say("Laundry circuits: {n}", n=home.laundry_circuits), at("laundry_va"), None, ""
    by_parts = at("neutral_va") is not None
    if by_parts:
        yield say("These together"), at("general_va"), at("general_demand_va"), ""
    yield from _plates(home, values, wording)
    if not by_parts:
        yield say("All these together"), at("general_va"), at("general_demand_va"), ""
    if home.heating_va is not None:
        yield say("Heating"), home.heating_va, None, ""
    if home.heat_pump_va is not None:
        yield say("Heat pump"), home.heat_pump_va, None, ""
    yield from _group(home.cooling, "cooling", values, wording)
    if at("climate_va") is not None:
        yield say("Heating or cooling, whichever asks for more"), None, at("climate_va"), ""
    yield say("Dwelling"), None, at("load_va"), "lead"


def _plates(home: Dwelling, values: Values, wording: Wording) -> Iterator[Line]:
    """Yield a line for each plate, and one for the demand of several where that is stated."""
    say = wording.say

    def at(name: str) -> float | None:
        return values.get(f"{HOME}/{name}")

    yield from _group(home.cooking, "cooking", values, wording)
    if at("cooking_demand_va") is not None:
        yield say("Cooking together"), None, at("cooking_demand_va"), ""
    if home.dryer_va is not None:
        yield say("Clothes dryer"), home.dryer_va, at("dryer_demand_va"), ""
    yield from _group(home.appliances, "appliances", values, wording)
    if at("appliances_demand_va") is not None:
        yield say("Appliances together"), None, at("appliances_demand_va"), ""
    if home.vehicle_va is not None:
        yield say("Electric vehicle"), home.vehicle_va, at("vehicle_demand_va"), ""


def _group(
    several: tuple[Appliance, ...], kind: str, values: Values, wording: Wording
) -> Iterator[Line]:
    names = {
        "cooking": wording.say("Cooking appliance"),
        "appliances": wording.say("Appliance"),
        "cooling": wording.say("Air conditioner"),
    }
    for n, one in enumerate(several):
        place = f"{kind}/{n}/rating_va"
        stated = values.get(f"shop/supply/{HOME}/{place}")
        rating = values.get(f"{HOME}/{place}") if stated is None else stated
        yield one.name or f"{names[kind]} {n + 1}", rating, None, ""
