"""Several welders on one circuit: each has its own limit for a protective device."""
# ruff: noqa: ANN401 - the fixture is a code with its builders

from typing import Any


def welder(us: Any, amps: float, name: str, **changes: Any) -> Any:
    return us.load(amps, id=name, kind="welder", construction="arc", **changes)


def said(answer: Any) -> dict[str, Any]:
    found = [one for one in answer.findings if one.code == "machine.welders-share"]
    return {part.name: part.value for one in found for part in one.parameters}


def test_the_limit_of_the_smallest_is_said(us: Any) -> None:
    """630.12(A): twice the primary current; of 24 A 48 A, and 50 A is the next standard rating."""
    answer = us.ask(us.single(loads=(welder(us, 24, "w/0"), welder(us, 52, "w/1"))))
    assert said(answer) == {"largest": 50.0}
    (finding,) = [one for one in answer.findings if one.code == "machine.welders-share"]
    assert (finding.severity, finding.rule) == ("caution", "nec.630.12(A)")


def test_a_mark_counts_before_the_primary_current(us: Any) -> None:
    """Twice 30 A of the mark are 60 A; twice the 24 A would be 48 A."""
    marked = welder(us, 24, "w/0", largest_current=us.figure(30))
    answer = us.ask(us.single(loads=(marked, welder(us, 52, "w/1"))))
    assert said(answer) == {"largest": 60.0}


def test_one_welder_has_the_device_of_its_circuit(us: Any) -> None:
    assert said(us.ask(us.single(loads=(welder(us, 24, "w/0"),)))) == {}


def test_nothing_is_said_where_the_device_of_the_circuit_suits_each(us: Any) -> None:
    """Two of 40 A that count for 20 A each: 40 A of device, where each may have 80 A.

    Three that count for 27 A each ask for 27 + 27 + 0.85 x 27 = 76.95 A: 80 A is no more than 80 A.
    Three that count for 30 A each ask for 30 + 30 + 0.85 x 30 = 85.5 A: 90 A is more than 80 A.
    """
    for count, effective, wanted in ((2, 20, {}), (3, 27, {}), (3, 30, {"largest": 80.0})):
        marks = {"effective_current": us.figure(effective), "largest_current": us.figure(40)}
        each = tuple(welder(us, 40, f"w/{n}", **marks) for n in range(count))
        answer = us.ask(us.single(loads=each))
        assert said(answer) == wanted
        rating = answer.circuit.protective_device.rating_a
        assert rating == {20: 40, 27: 80, 30: 90}[effective]
