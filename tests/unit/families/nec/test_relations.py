"""What must hold between two answers, and between the parts of one."""
# ruff: noqa: ANN401, FBT001 - builders take any field; drawn values come by position

import math
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ampwright.families.nec.book import size_key
from ampwright.families.nec.ratings import next_down, next_up
from ampwright.region import CircuitAnswer
from ampwright.step import Figure

CALM = settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
MANY = settings(CALM, max_examples=300)
amps = st.floats(0.5, 250)
powers = st.sampled_from([0.5, 0.75, 1, 1.5, 2, 3, 5, 7.5, 10, 15, 20, 30, 50]) | st.floats(0.3, 60)
ambients = st.integers(-10, 75)
terminals = st.sampled_from([None, "60 degC", "75 degC"])
SIXTY = "60 degC"


def figure(value: float, name: str = "x") -> Figure:
    return Figure(float(value), f"case/{name}")


def area(answer: CircuitAnswer) -> float:
    """Return the metal area; none at all counts as larger than any."""
    return answer.circuit.conductor.area_mm2 if answer.circuit else math.inf


def rating(answer: CircuitAnswer) -> float:
    return (answer.circuit.protective_device.rating_a or 0.0) if answer.circuit else math.inf


def switch(answer: CircuitAnswer) -> float:
    assert answer.circuit is not None
    assert answer.circuit.disconnect is not None
    return answer.circuit.disconnect.rating_a or 0.0


@CALM
@given(amps, st.floats(0, 200), st.floats(0, 200))
def test_longer_is_never_thinner(us: Any, load: float, a: float, b: float) -> None:
    short, long = (
        us.ask(us.single(loads=(us.load(load),), length=figure(one), running_current=figure(load)))
        for one in sorted((a, b))
    )
    assert area(short) <= area(long)
    if short.circuit and long.circuit:
        assert short.circuit.voltage_drop_fraction <= long.circuit.voltage_drop_fraction


@CALM
@given(amps)
def test_no_length_no_drop(us: Any, load: float) -> None:
    answer = us.ask(us.single(loads=(us.load(load),), length=figure(0)))
    assert answer.circuit is None or answer.circuit.voltage_drop_fraction == 0.0


@CALM
@given(powers, ambients, ambients, st.integers(1, 8), st.integers(1, 8), terminals)
def test_hotter_and_fuller_is_never_thinner(
    us: Any, power: float, a: int, b: int, m: int, n: int, mark: str | None
) -> None:
    demand = us.made(motors=(us.motor(power, 1.0),))
    less, more = (
        us.ask(demand, us.site(ambient=f"{t} degC", grouped_circuits=g, terminals=mark))
        for t, g in zip(sorted((a, b)), sorted((m, n)), strict=True)
    )
    assert area(less) <= area(more)


@CALM
@given(amps, st.floats(1.0, 3.0), st.booleans(), st.sampled_from([SIXTY, "75 degC"]))
def test_more_load_is_never_thinner_with_marked_terminals(
    us: Any, load: float, factor: float, continuous: bool, mark: str
) -> None:
    site = us.site(terminals=mark)
    less, more = (
        us.ask(us.single(loads=(us.load(one, continuous=continuous),)), site)
        for one in (load, factor * load)
    )
    assert area(less) <= area(more)
    assert rating(less) <= rating(more)


@CALM
@given(powers, powers, terminals)
def test_more_horsepower_never_has_a_smaller_device(
    us: Any, a: float, b: float, mark: str | None
) -> None:
    small, large = (
        us.ask(us.made(motors=(us.motor(one, one * 3),)), us.site(terminals=mark))
        for one in sorted((a, b))
    )
    assert rating(small) <= rating(large)


@CALM
@given(amps, st.booleans(), terminals)
def test_aluminum_never_has_less_metal(
    us: Any, load: float, continuous: bool, mark: str | None
) -> None:
    demand = us.single(loads=(us.load(load, continuous=continuous),))
    copper, aluminum = (
        us.ask(demand, us.site(conductor_material=metal, terminals=mark))
        for metal in ("copper", "aluminum")
    )
    assert area(copper) <= area(aluminum)


@MANY
@given(amps, st.booleans(), ambients, st.integers(1, 6), terminals)
def test_load_device_and_conductor_are_in_order(
    us: Any, load: float, continuous: bool, ambient: int, grouped: int, mark: str | None
) -> None:
    """Load at most device, device at most what 240.4 lets the conductor have."""
    site = us.site(ambient=f"{ambient} degC", grouped_circuits=grouped, terminals=mark)
    circuit = us.ask(us.single(loads=(us.load(load, continuous=continuous),)), site).circuit
    if circuit is None:
        return
    book = us.code.book
    device = circuit.protective_device.rating_a or 0.0
    carried = circuit.conductor.ampacity_a or 0.0
    assert load * (1.25 if continuous else 1.0) <= device * (1 + 1e-9)
    assert load <= carried
    assert device <= carried or (device <= 800 and device == next_up(book, carried))
    cap = {"14": 15, "12": 20, "10": 30}.get(size_key(circuit.conductor.size))
    assert cap is None or device <= cap
    smaller = next_down(book, device - 1)
    assert smaller < load * (1.25 if continuous else 1.0), "a smaller device would do"


@MANY
@given(powers, ambients, st.integers(1, 6), terminals, st.sampled_from(["copper", "aluminum"]))
def test_the_next_smaller_conductor_breaks_a_rule(
    us: Any, power: float, ambient: int, grouped: int, mark: str | None, metal: str
) -> None:
    """Motor: the smaller size fails at the terminals or after corrections."""
    site = us.site(
        ambient=f"{ambient} degC", grouped_circuits=grouped, terminals=mark,
        conductor_material=metal,
    )  # fmt: skip
    circuit = us.ask(us.made(motors=(us.motor(power, 1.0),)), site).circuit
    if circuit is None:
        return
    steps = {one.path.removeprefix("options/x/circuits/c/"): one.value for one in circuit.steps}
    assert circuit.design_current_a <= (circuit.conductor.ampacity_a or 0.0)
    if "conductor/smaller/ampacity_a" in steps:
        assert steps["conductor/smaller/ampacity_a"] < circuit.design_current_a


@MANY
@given(st.floats(1, 300), st.booleans(), terminals, powers)
def test_window_holds_the_plate_and_its_edges_are_right(
    us: Any, plate: float, fixed: bool, mark: str | None, power: float
) -> None:
    site = us.site(terminals=mark)

    def asked(current: float) -> CircuitAnswer:
        converter = us.converter(current, fixed_loads=fixed)
        motors = (us.motor(power, 1.0),)
        answer: CircuitAnswer = us.ask(
            us.single(role="supply", converter=converter, motors=motors), site
        )
        return answer

    answer = asked(plate)
    if answer.circuit is None:
        return
    (window,) = answer.windows
    low, high = window.smallest_input_current_a, window.largest_input_current_a
    assert low < plate <= high * (1 + 1e-12)
    for inside in (low + 1e-6 * low, high * (1 - 1e-9)):
        if inside < 4000:
            other = asked(inside)
            # sized anew, a smaller switch may bring its unmarked terminals below the border
            assert mark is None or area(other) <= area(answer)
            assert rating(other) <= rating(answer)
            assert switch(other) <= switch(answer)
    device = rating(answer)
    assert device <= next_up(us.code.book, 1.25 * (low + 1e-6 * low + 1e-9))
    if low and mark and next_down(us.code.book, device - 1):
        assert device > next_up(us.code.book, 1.25 * low * (1 - 1e-6))
