"""Relations between two answers of region `us`, and between the parts of one."""

import math
from collections.abc import Sequence
from typing import Any

from hypothesis import assume, example, given
from hypothesis import strategies as st
from tests.properties.nec_questions import (
    AMBIENTS,
    AMPS,
    KINDS,
    LIMITS,
    MARKED,
    MARKS,
    METALS,
    POWERS,
    RATINGS,
    SAME,
    SIZES,
    SMALL_A,
    US,
    area,
    asked,
    limited,
    rating,
    size,
    steps_of,
    up_to,
)
from tests.unit.families.nec.questions import figure

import ampwright as aw
from ampwright.region import MotorDemand, ServiceDemand


@SAME
@given(KINDS, AMPS, st.floats(0, 200), st.floats(0, 200), st.none() | LIMITS)
def test_mr_20_a_longer_run_is_never_thinner(
    kind: str, amps: float, a: float, b: float, limit: float | None
) -> None:
    us = US if limit is None else limited(limit)
    short, long = (us.ask(asked(kind, amps, length=figure(one))) for one in sorted((a, b)))
    assert area(short) <= area(long)
    if short.circuit and long.circuit and area(short) == area(long):
        assert short.circuit.voltage_drop_fraction <= long.circuit.voltage_drop_fraction


@SAME
@given(KINDS, AMPS, st.floats(0, 200), LIMITS, LIMITS)
def test_mr_21_a_stricter_limit_on_the_drop_is_never_thinner(
    kind: str, amps: float, length: float, a: float, b: float
) -> None:
    demand = asked(kind, amps, length=figure(length))
    strict, loose = (limited(one).ask(demand) for one in sorted((a, b)))
    assert area(loose) <= area(strict)
    assert area(US.ask(demand)) <= area(loose)
    if strict.circuit:
        assert strict.circuit.voltage_drop_fraction <= min(a, b) * (1 + 1e-9)


@SAME
@given(KINDS, AMPS, AMBIENTS, AMBIENTS, MARKS, METALS)
def test_mr_22_hotter_is_never_thinner(
    kind: str, amps: float, a: int, b: int, mark: str | None, metal: str
) -> None:
    demand = asked(kind, amps)
    cool, hot = (
        US.ask(demand, US.site(ambient=f"{one} degC", terminals=mark, conductor_material=metal))
        for one in sorted((a, b))
    )
    assert area(cool) <= area(hot)


@SAME
@given(KINDS, AMPS, st.integers(1, 20), st.integers(1, 20), MARKS)
def test_mr_23_more_circuits_together_are_never_thinner(
    kind: str, amps: float, a: int, b: int, mark: str | None
) -> None:
    few, many = (
        US.ask(asked(kind, amps), US.site(grouped_circuits=one, terminals=mark))
        for one in sorted((a, b))
    )
    assert area(few) <= area(many)


@SAME
@given(KINDS, AMPS, st.floats(1.0, 3.0), MARKED, METALS)
def test_mr_24_more_load_is_never_thinner_with_one_terminal_temperature(
    kind: str, amps: float, factor: float, mark: str, metal: str
) -> None:
    assume(kind != "drive")  # what a drive's device falls back to goes by its motor: see below
    site = US.site(terminals=mark, conductor_material=metal)
    less, more = (US.ask(asked(kind, one), site) for one in (amps, factor * amps))
    assert area(less) <= area(more)
    assert rating(less) <= rating(more)


@SAME
@given(AMPS, st.floats(1.0, 3.0), POWERS, MARKED)
def test_mr_24_more_input_of_a_drive_is_never_thinner(
    amps: float, factor: float, power: float, mark: str
) -> None:
    """With the same motor behind it, which bounds the device."""
    drives = [US.converter(one, method="drive", kind="drive") for one in (amps, factor * amps)]
    less, more = (
        US.ask(
            US.single(role="supply", converter=one, motors=(US.motor(power, 1),)),
            US.site(terminals=mark),
        )
        for one in drives
    )
    assert area(less) <= area(more)


@SAME
@example(100.0, 101.0)
@given(st.floats(95.01, 100.0), st.floats(100.01, 115.0))
def test_mr_24_is_false_across_the_border_of_unmarked_terminals(less: float, more: float) -> None:
    """More load, thinner conductor: 110.14(C)(1) reads another column above 100 A. No repair here.

    Up to 100 A the column of 60 C: 1 AWG copper, 110 A. Above it that of 75 C: 2 AWG, 115 A. With
    terminals marked for one temperature the relation holds.
    """
    site = US.site(terminals=None)
    below, above = (
        US.ask(US.single(loads=(US.load(one, continuous=False),)), site) for one in (less, more)
    )
    assert (size(below), size(above)) == ("1", "2")
    assert area(above) < area(below)


@SAME
@given(KINDS, st.floats(0.5, 120), MARKS)
def test_mr_25_twice_the_load_never_has_a_smaller_device(
    kind: str, amps: float, mark: str | None
) -> None:
    site = US.site(terminals=mark)
    once, twice = (US.ask(asked(kind, one), site) for one in (amps, 2 * amps))
    assert rating(once) <= rating(twice)


def several(powers: Sequence[float]) -> tuple[MotorDemand, ...]:
    return tuple(US.motor(one, 3 * one, id=f"m{n}/0") for n, one in enumerate(powers))


@SAME
@given(st.lists(POWERS, min_size=1, max_size=5), POWERS, st.floats(0, 60), st.floats(0.1, 60))
def test_mr_26_one_machine_more_never_lowers_demand(
    powers: list[float], another: float, running: float, added: float
) -> None:
    feeders = [
        US.ask(US.made(role="output", motors=several(one))) for one in (powers, [*powers, another])
    ]
    if all(one.circuit for one in feeders):
        before, after = (steps_of(one)["design_current_a"] for one in feeders)
        assert before <= after
    loads = []
    for sets in ([running], [running, added]):
        demand = ServiceDemand(
            prefix="options/x/service",
            voltage=figure(240),
            running=tuple((f"s{n}", figure(one)) for n, one in enumerate(sets)),
        )
        loads.append(US.code.service(demand, US.site(), US.supply()).load_a)
    assert loads[0] <= loads[1]


@SAME
@given(KINDS, AMPS, MARKS, AMBIENTS, st.integers(1, 6))
def test_mr_27_aluminum_never_has_less_metal(
    kind: str, amps: float, mark: str | None, ambient: int, grouped: int
) -> None:
    copper, aluminum = (
        US.ask(
            asked(kind, amps),
            US.site(conductor_material=metal, terminals=mark, ambient=f"{ambient} degC",
                    grouped_circuits=grouped),
        )
        for metal in ("copper", "aluminum")
    )  # fmt: skip
    assert area(copper) <= area(aluminum)


def run_on_one_phase(**motor: Any) -> tuple[float, float, float, float]:  # noqa: ANN401
    """Return current, active, reactive and lost power of a 3 hp motor on the panel."""
    plate = {"power": "3 hp", "voltage": "230 V", "frequency": "60 Hz", "phases": 1, **motor}
    supply = {"arrangement": "split-phase", "voltage": "240 V", "frequency": "60 Hz",
              "rating": "200 A", "existing_load": "10 A"}  # fmt: skip
    machine = {"id": "a", "length": "9 m", "motors": [plate], "hours_per_year": "400 h",
               "average_load": 1.0}  # fmt: skip
    shop = aw.Shop.from_dict(
        {"schema": "ampwright.shop/1", "name": "x", "region": "us", "supply": supply,
         "machines": [machine], "energy_price": "0.2 USD/kWh", "currency": "USD"}
    )  # fmt: skip
    (option,) = aw.plan(shop, methods=("direct",), check=False).options
    state = next(one for one in option.states if one.input_current_a > 0)
    reactive = math.sqrt((state.input_current_a * 240) ** 2 - state.input_power_w**2)
    return state.input_current_a, state.input_power_w, reactive, state.losses_w


EFFICIENCIES = st.integers(60, 95)


@SAME
@given(EFFICIENCIES, EFFICIENCIES)
def test_mr_28_lower_efficiency_never_lowers_the_input(a: int, b: int) -> None:
    worse, better = (run_on_one_phase(efficiency=f"{one} %") for one in sorted((a, b)))
    assert better[:2] <= worse[:2]


@SAME
@given(EFFICIENCIES, EFFICIENCIES)
def test_mr_29_lower_power_factor_never_lowers_current_or_reactive_power(a: int, b: int) -> None:
    worse, better = (run_on_one_phase(power_factor=one / 100) for one in sorted((a, b)))
    assert better[0] <= worse[0] * (1 + 1e-12)
    assert better[2] <= worse[2] * (1 + 1e-9)


@SAME
@given(KINDS, AMPS, AMBIENTS, st.integers(1, 6), MARKS, METALS)
def test_mr_46_load_device_and_conductor_are_in_order(
    kind: str, amps: float, ambient: int, grouped: int, mark: str | None, metal: str
) -> None:
    """Load at most device, and device at most what the rule of this circuit lets it be."""
    site = US.site(ambient=f"{ambient} degC", grouped_circuits=grouped, terminals=mark,
                   conductor_material=metal)  # fmt: skip
    answer = US.ask(asked(kind, amps), site)
    if answer.circuit is None:
        return
    device, steps = rating(answer), steps_of(answer)
    carried = answer.circuit.conductor.ampacity_a or 0.0
    up = next(one for one in (*RATINGS, math.inf) if one >= carried)
    design = answer.circuit.design_current_a
    if kind == "load":  # 210.19, 210.20, 240.4(B), 240.4(D)
        assert 1.25 * amps <= device * (1 + 1e-9)
        assert amps <= carried * (1 + 1e-9)
        assert device <= max(carried, min(up, 800))
        if metal == "copper":
            assert device <= SMALL_A.get(size(answer), math.inf)
        return
    assert design <= carried * (1 + 1e-9)
    if kind == "motor":  # 430.52: a percentage of the table current, exception 2 at most 400 %
        current = steps["motors/saw/0/full_load_current_a"]
        assert 1.25 * current <= device * (1 + 1e-9)
        assert device <= max(4.0 * current, up_to(2.5 * current))
    if kind == "converter":  # 455.7
        assert 1.25 * amps <= device * (1 + 1e-9)
        assert device <= up_to(1.25 * amps)
    if kind == "drive":  # 430.130
        assert amps <= device * (1 + 1e-9)
        assert device <= up_to(2.5 * steps["motors/saw/0/full_load_current_a"])
    if kind == "welder":  # 630.12(A) and (B)
        assert device <= up_to(2.0 * amps)
        assert device <= up_to(2.0 * carried)


@SAME
@given(KINDS, AMPS, AMBIENTS, st.integers(1, 6), MARKS, METALS)
def test_mr_47_the_next_smaller_size_breaks_a_rule_that_is_named(
    kind: str, amps: float, ambient: int, grouped: int, mark: str | None, metal: str
) -> None:
    site = US.site(ambient=f"{ambient} degC", grouped_circuits=grouped, terminals=mark,
                   conductor_material=metal)  # fmt: skip
    answer = US.ask(asked(kind, amps), site)
    if answer.circuit is None:
        return
    steps, chosen, device = steps_of(answer), size(answer), rating(answer)
    assert chosen in SIZES
    alone = {
        path.split("/")[2]: value.split()[0]
        for path, value in steps.items()
        if path.startswith("conductor/limits/") and path.endswith("/size")
    }
    assert max(alone.values(), key=SIZES.index) == chosen
    if "conductor/smaller/size" in steps:
        smaller = steps["conductor/smaller/size"].split()[0]
        assert SIZES.index(smaller) == SIZES.index(chosen) - 1
        named = {rule for rule, at in alone.items() if at == chosen}
        assert named & set(broken(kind, amps, steps, device, smaller, metal)), named
    else:
        assert chosen in ("14", "12"), "the smallest size of its metal"
    assert device in RATINGS
    below = [one for one in RATINGS if one < device]
    if below and not any(one.code.startswith("protection.trips") for one in answer.findings):
        asks = max(value for path, value in steps.items() if path == "protective_device/required_a")
        assert below[-1] < asks


def broken(
    kind: str, amps: float, steps: dict[str, Any], device: float, smaller: str, metal: str
) -> list[str]:
    """Return the rules that a conductor of the next *smaller* size breaks."""
    terminal = steps["conductor/smaller/terminal_ampacity_a"]
    free = steps["conductor/smaller/table_ampacity_a"] * steps["conductor/ambient_factor"]
    free *= steps["conductor/adjustment_factor"]
    least = steps["design_current_a"] * (1 - 1e-9)
    found = ["terminals"] if terminal < least else []
    if free < (amps if kind == "load" else least) * (1 - 1e-9):
        found.append("corrections")
    carried = min(terminal, free)
    if kind == "load" and device > max(carried, min(up_to(carried), 800)):
        found.append("device")
    if kind == "welder" and device > up_to(2 * carried):
        found.append("device")
    caps = SMALL_A if metal == "copper" else {"12": 15, "10": 25}
    if kind == "load" and device > caps.get(smaller, math.inf):
        found.append("small-conductor")
    return found


@SAME
@given(KINDS, AMPS, st.floats(1e-12, 1e-6), LIMITS)
def test_mr_52_without_length_there_is_no_drop(
    kind: str, amps: float, length: float, limit: float
) -> None:
    """And a binding limit on the drop does not bear on the size."""
    none = US.ask(asked(kind, amps, length=figure(0)))
    tiny = US.ask(asked(kind, amps, length=figure(length)))
    bound = limited(limit).ask(asked(kind, amps, length=figure(0)))
    assert area(none) == area(tiny) == area(bound)
    if none.circuit and tiny.circuit:
        assert none.circuit.voltage_drop_fraction == 0.0
        assert tiny.circuit.voltage_drop_fraction < 1e-6
