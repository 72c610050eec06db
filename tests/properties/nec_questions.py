"""Questions to region `us` for relations between answers, and what is read from an answer.

The same 200 examples in every run. Circuits are asked for directly, so that no other method may
take over between two questions.
"""

import math
from typing import Any

import attrs
from hypothesis import settings
from hypothesis import strategies as st
from tests.unit.families.nec.questions import PLACE, Asker, asker, bound, figure

from ampwright.region import CircuitAnswer, CircuitDemand

US = asker()
SAME = settings(max_examples=200, derandomize=True, database=None, deadline=None)
AMPS = st.floats(0.5, 250)
POWERS = st.sampled_from([0.5, 0.75, 1, 1.5, 2, 3, 5, 7.5, 10, 15, 20, 30, 50]) | st.floats(0.3, 60)
AMBIENTS = st.integers(-10, 75)
MARKS = st.sampled_from([None, "60 degC", "75 degC"])
MARKED = st.sampled_from(["60 degC", "75 degC"])
METALS = st.sampled_from(["copper", "aluminum"])
KINDS = st.sampled_from(["load", "motor", "converter", "drive", "welder"])
LIMITS = st.floats(0.001, 0.1)
TABLES = US.code.tables
#: Sizes with an ampacity and an impedance: the code has no impedance for 700 kcmil and others.
SIZES = [
    row["size"]
    for row in TABLES["ampacity"].rows
    if TABLES["conductor_impedance"].row(row["size"]) is not None
]
RATINGS = US.code.book.ratings()
SMALL_A = {"14": 15, "12": 20, "10": 30}


def asked(kind: str, amps: float, **more: Any) -> CircuitDemand:  # noqa: ANN401
    """Return a question about a circuit of *kind* that runs at about *amps*."""
    running = {"running_current": figure(amps)} | more
    if kind == "motor":
        return US.made(motors=(US.motor(amps / 3.0, amps),), **running)
    if kind == "converter":
        return US.single(role="supply", converter=US.converter(amps), **running)
    if kind == "drive":
        drive = US.converter(amps, id="d", method="drive", kind="drive")
        motors = (US.motor(amps / 6.0, amps / 2),)
        return US.single(role="supply", converter=drive, motors=motors, **running)
    if kind == "welder":
        welder = US.load(amps, kind="welder", duty_cycle=figure(0.5))
        return US.single(loads=(welder,), **running)
    return US.single(loads=(US.load(amps),), **running)


def limited(fraction: float) -> Asker:
    """Return the region as it would be with a binding limit on the drop."""
    return Asker(attrs.evolve(US.code, book=bound(US.code.book, fraction)))


def area(answer: CircuitAnswer) -> float:
    """Return the metal area [mm2]; where no size suffices, more than any."""
    return answer.circuit.conductor.area_mm2 if answer.circuit else math.inf


def rating(answer: CircuitAnswer) -> float:
    """Return the rating of the device [A]; where none suffices, more than any."""
    return (answer.circuit.protective_device.rating_a or 0.0) if answer.circuit else math.inf


def size(answer: CircuitAnswer) -> str:
    assert answer.circuit is not None, answer.findings
    return answer.circuit.conductor.size.split()[0]


def steps_of(answer: CircuitAnswer) -> dict[str, Any]:
    assert answer.circuit is not None
    return {one.path.removeprefix(f"{PLACE}/"): one.value for one in answer.circuit.steps}


def up_to(amps: float) -> float:
    """Return the standard rating at or above *amps*."""
    return next((one for one in RATINGS if one >= amps * (1 - 1e-9)), RATINGS[-1])
