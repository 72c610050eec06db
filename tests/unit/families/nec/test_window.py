"""The window of plate currents: inside it every part stays right, and just outside one does not."""
# ruff: noqa: ANN401, FBT001 - builders take any field; drawn values come by position

from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ampwright.families.nec.ratings import next_down, next_up
from ampwright.region import CircuitAnswer

MANY = settings(
    max_examples=300, derandomize=True, database=None, deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)  # fmt: skip
powers = st.sampled_from([0.5, 0.75, 1, 1.5, 2, 3, 5, 7.5, 10, 15, 20, 30, 50]) | st.floats(0.3, 60)
terminals = st.sampled_from([None, "60 degC", "75 degC"])


def area(answer: CircuitAnswer) -> float:
    assert answer.circuit is not None
    return answer.circuit.conductor.area_mm2


def rating(answer: CircuitAnswer) -> float:
    assert answer.circuit is not None
    return answer.circuit.protective_device.rating_a or 0.0


def switch(answer: CircuitAnswer) -> float:
    assert answer.circuit is not None
    assert answer.circuit.disconnect is not None
    return answer.circuit.disconnect.rating_a or 0.0


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


def test_a_conductor_that_just_carries_the_border_needs_no_edge(us: Any) -> None:
    """Aluminum 1/0: 120 A at 75 C for 112.5 A, and exactly 100 A at 60 C for what is below."""
    drive = us.converter(90, id="d", method="drive", kind="drive")
    demand = us.single(role="supply", converter=drive, motors=(us.motor(40, 100),))
    answer = us.ask(demand, us.site(terminals=None, conductor_material="aluminum"))
    assert answer.circuit.conductor.size == "1/0 AWG"
    assert answer.windows[0].smallest_input_current_a == 0.0
