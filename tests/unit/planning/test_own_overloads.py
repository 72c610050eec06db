"""Each motor of a machine of several has its own overload, judged by its own start."""

import attrs
from tests.unit.planning.stand_ins import circuit, proposal, start
from tests.unit.planning.test_starting import breaker, overload, run

from ampwright.method import MotorStart
from ampwright.planning.starting import judged, opens, remarks


def of_motor(name: str, amperes: float, seconds: float) -> MotorStart:
    return MotorStart(id=name, motor_current_a=amperes, motor_peak_a=amperes, time_s=seconds)


def test_each_overload_of_a_machine_is_judged_by_the_start_of_its_own_motor() -> None:
    """A large motor runs up for long beside a small one that is up at once."""
    large, small = of_motor("a/0", 300.0, 9.0), of_motor("a/1", 12.0, 0.4)
    whole = start("a", motor_current_a=300.0, motor_peak_a=300.0, time_s=9.0,
                  motors=(large, small))  # fmt: skip
    own = (attrs.evolve(overload(60.0), id="a/0"), attrs.evolve(overload(2.0), id="a/1"))
    found = judged(whole, (circuit("c", ["a"], overloads=own),))
    assert [one.overload_trips for one in found.motors] == [
        opens(own[0], large), opens(own[1], small)
    ]  # fmt: skip
    assert [one.overload_trips for one in found.motors] == [True, False]
    assert found.overload_trips is True
    assert opens(own[1], whole) is True  # as it would be by the start of the other
    quick = attrs.evolve(whole, motors=(of_motor("a/0", 300.0, 2.0), small))
    assert judged(quick, (circuit("c", ["a"], overloads=own),)).overload_trips is False


def test_a_motor_without_an_overload_is_not_judged() -> None:
    whole = start("a", motor_current_a=60.0, motor_peak_a=60.0, time_s=9.0,
                  motors=(of_motor("a/0", 60.0, 9.0),))  # fmt: skip
    bare = judged(whole, (circuit("c", ["a"], overloads=()),))
    assert (bare.overload_trips, bare.motors[0].overload_trips) == (None, None)


def test_of_several_overloads_none_is_judged_by_the_start_of_nobody_knows_which() -> None:
    both = circuit("c", ["a"], overloads=(overload(100.0), overload(10.0)),
                   protective_device=breaker(200.0))  # fmt: skip
    assert judged(run(60.0, 30.0), (both,)).overload_trips is None


def test_what_trips_is_said_of_the_motor_whose_overload_it_is() -> None:
    motors = (MotorStart(id="a/0", overload_trips=False), MotorStart(id="a/1", overload_trips=True))
    one = start("a", overload_trips=True, motors=motors)
    (found,) = remarks([proposal("rotary", "a", starts=(one,))])
    assert [(part.name, part.value) for part in found.parameters] == [("motor", "a/1")]
