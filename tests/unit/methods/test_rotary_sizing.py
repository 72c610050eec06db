"""The size of an idler: the smallest that meets everything, and never smaller for a harder job."""
# ruff: noqa: ANN401 - fields of a record of any kind

from itertools import pairwise
from typing import Any

import attrs
import pytest
from tests.unit.methods.rotaries import HORSEPOWER_W, bound, proposed, size_hp, sized
from tests.unit.planning.shops import case_of, machine, motor, shop, supply

from ampwright.method import Proposal
from ampwright.methods.rotary import Rotary
from ampwright.methods.rotary.idlers import RATINGS, idlers
from ampwright.methods.rotary.setup import set_up
from ampwright.methods.rotary.sizing import CONSTRAINTS, Sizing, meets

RATINGS_HP = [2, 3, 5, 7.5, 10, 15, 20, 25, 30, 40, 50, 60, 75]


def saw(**changes: Any) -> Any:
    usual: dict[str, Any] = {
        "load_torque": "friction", "start": "light", "average_load": 0.6,
        "motors": (motor(locked_rotor_torque_ratio=2.0, locked_rotor_current_ratio=6.5),),
    }  # fmt: skip
    return machine("a", **(usual | changes))


def never_falls(sizes: list[float]) -> None:
    for one, two in pairwise(sizes):
        assert two >= one, sizes


@pytest.fixture(scope="module")
def found() -> Proposal:
    return proposed(saw())


def test_idlers_stand_in_order_of_size_in_the_units_of_their_frequency() -> None:
    at_60 = [one.power_w / HORSEPOWER_W for one in idlers(240.0, 60.0)]
    assert at_60 == pytest.approx(RATINGS_HP)
    at_50 = [one.power_w for one in idlers(230.0, 50.0)]
    assert at_50 == sorted(at_50)
    assert at_50[0] == 1500.0
    assert len(at_60) + len(at_50) == len(RATINGS.rows)


def test_what_is_chosen_meets_every_constraint_and_the_next_smaller_does_not() -> None:
    """The smaller one is measured with the capacitors that balance it alone."""
    for one in (saw(), saw(start="normal"), saw(average_load=0.9), saw(load_torque="constant")):
        case = case_of(one)
        sizing = Sizing(set_up(case, case.machines))
        chosen = sizing.smallest()
        assert chosen is not None
        place, trial = chosen
        assert all(ok(trial) for ok in CONSTRAINTS.values())
        if place:
            assert not meets(sizing.trial(place - 1))


def test_a_larger_idler_meets_whatever_a_smaller_one_meets() -> None:
    """Halving finds the smallest only if that holds; the next few sizes are looked at."""
    case = case_of(saw(start="normal"))
    sizing = Sizing(set_up(case, case.machines))
    chosen = sizing.smallest()
    assert chosen is not None
    for name, ok in CONSTRAINTS.items():
        answers = [ok(sizing.trial(n)) for n in range(min(chosen[0] + 3, len(sizing.sizes)))]
        assert answers == sorted(answers), name


def test_every_constraint_says_what_it_alone_would_ask(found: Proposal) -> None:
    own = {one.constraint: one for one in found.limits}
    assert set(CONSTRAINTS) <= set(own)
    size = found.converters[0].idler_power_w
    assert size is not None
    for one in found.limits:
        assert one.unit == "W"
        assert one.subject == "rotary"
        assert one.asks is not None
        assert one.asks / HORSEPOWER_W == pytest.approx(round(one.asks / HORSEPOWER_W, 1))
        if not one.cross_check:
            assert one.asks <= size
            assert one.governs == (one.asks == size)
    assert any(one.governs for one in found.limits)


def test_the_trades_rule_is_shown_and_never_governs(found: Proposal) -> None:
    """Twice the largest motor, on the next standard size: 5 hp ask for 10, 3 hp for 7.5."""
    (one,) = [each for each in found.limits if each.cross_check]
    assert (one.constraint, one.governs) == ("rule-of-thumb", False)
    assert one.asks == pytest.approx(10 * HORSEPOWER_W)
    small = motor(power="3 hp", current="8.4/4.2 A")
    (two,) = [each for each in proposed(saw(motors=(small,))).limits if each.cross_check]
    assert two.asks == pytest.approx(7.5 * HORSEPOWER_W)


def test_a_rule_beyond_every_size_asks_for_none() -> None:
    """Twice 50 hp is 100 hp; the largest idler looked at has 75."""
    big = motor(power="50 hp", voltage="230 V", current="125 A", speed="1770 rpm",
                locked_rotor_torque_ratio=2.0)  # fmt: skip
    one = proposed(saw(motors=(big,), start="none", average_load=0.3), supply=supply(
        rating="600 A", impedance="0.01 ohm"
    ))  # fmt: skip
    (rule,) = [each for each in one.limits if each.cross_check]
    assert rule.asks is None


def test_a_harder_start_never_asks_for_a_smaller_idler() -> None:
    never_falls([sized(saw(start=one)) for one in ("none", "light", "normal", "hard")])


def test_more_inertia_never_asks_for_a_smaller_idler() -> None:
    times = [sized(saw(load_inertia=f"{one} kg.m2")) for one in (0.01, 0.5, 3.0)]
    never_falls(times)
    assert times[-1] > times[0]


def test_a_higher_average_load_never_asks_for_a_smaller_idler() -> None:
    never_falls([sized(saw(average_load=one)) for one in (0.2, 0.5, 0.8, 0.95)])


def test_a_larger_motor_never_asks_for_a_smaller_idler() -> None:
    plates = (("2 hp", "6/3 A"), ("5 hp", "13.2/6.6 A"), ("10 hp", "25/12.5 A"))
    sizes = [sized(saw(motors=(motor(power=power, current=current),))) for power, current in plates]
    never_falls(sizes)
    assert sizes[0] < sizes[-1]


def test_another_machine_at_the_same_time_never_asks_for_a_smaller_idler() -> None:
    other = attrs.evolve(saw(), id="b")
    third = attrs.evolve(saw(), id="c")
    never_falls([
        sized(*several) for several in ((saw(),), (saw(), other), (saw(), other, third))
    ])  # fmt: skip


def test_running_one_after_another_never_asks_for_a_larger_idler() -> None:
    both = (saw(), attrs.evolve(saw(), id="b"))
    apart = sized(*both, together=(("a",), ("b",)))
    assert apart <= sized(*both)


@pytest.mark.parametrize(
    ("limit", "values"),
    [
        ("run_up_time", (20.0, 10.0, 1.0, 0.4)),
        ("start_torque_margin", (0.5, 1.0, 2.0, 3.0)),
        ("idler_winding", (2.0, 1.0, 0.8)),
    ],
)
def test_a_narrower_limit_never_asks_for_a_smaller_idler(
    limit: str, values: tuple[float, ...]
) -> None:
    cases = [bound(shop(saw(start="normal")), **{limit: one}) for one in values]
    never_falls([size_hp(Rotary().answer(one, one.machines)) for one in cases])


def test_a_weaker_supply_never_asks_for_a_smaller_idler() -> None:
    ohms = ("0.02 ohm", "0.1 ohm", "0.25 ohm")
    never_falls([
        sized(saw(start="normal"), supply=supply(impedance=one)) for one in ohms
    ])  # fmt: skip


def test_the_order_of_machines_is_no_matter() -> None:
    a, b = saw(), attrs.evolve(saw(start="normal"), id="b")
    assert sized(a, b) == sized(b, a)


def test_names_are_no_matter() -> None:
    one, two = proposed(saw()), proposed(attrs.evolve(saw(), id="z"))
    assert size_hp(one) == size_hp(two)
    assert [each.asks for each in one.limits] == [each.asks for each in two.limits]


def test_twice_the_voltage_and_half_the_current_are_the_same_job() -> None:
    """480 V with motors linked for 460 V: every impedance is four times as large."""
    low = proposed(saw(), supply=supply(impedance="0.05 ohm"))
    high = proposed(saw(), supply=supply(voltage="480 V", impedance="0.2 ohm"))
    assert size_hp(high) == size_hp(low)
    for one, two in zip(low.states[1:], high.states[1:], strict=True):
        # capacitors come in the same stock sizes, so they fit one voltage better than the other
        assert two.input_power_w == pytest.approx(one.input_power_w, rel=0.05)
        assert two.input_current_a == pytest.approx(one.input_current_a / 2, rel=0.08)
