"""Small shops drawn for relations between two plans."""

from collections.abc import Iterator, Mapping
from typing import Any

import attrs
from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st

import ampwright as aw
from ampwright.option import Option

#: A plan takes some hundredths of a second: few examples, the same ones in each run.
FEW = settings(
    max_examples=8,
    phases=(Phase.explicit, Phase.generate),
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)
POWERS = ("0.75 hp", "1.5 hp", "2 hp", "3 hp", "5 hp", "7.5 hp", "10 hp")
METHODS = ("static", "rotary", "drive", "electronic", "motor-swap", "utility", "relink", "direct")
PLAIN = ("direct", "relink")
SUPPLY: dict[str, Any] = {
    "arrangement": "split-phase", "voltage": "240 V", "frequency": "60 Hz", "rating": "200 A",
    "impedance": "0.04 ohm",
}  # fmt: skip


@st.composite
def machines(draw: st.DrawFn, *, most: int = 3) -> list[dict[str, Any]]:
    """Return some machines, each with one motor."""
    return [
        {
            "id": f"m{n}",
            "length": draw(st.sampled_from(("5 m", "12 m", "30 m"))),
            "start": draw(st.sampled_from(("none", "light", "normal"))),
            "load_torque": draw(st.sampled_from(("fan", "friction", "constant"))),
            "average_load": draw(st.sampled_from((0.4, 0.6, 0.8))),
            "hours_per_year": draw(st.sampled_from(("200 h", "1000 h"))),
            "motors": [
                {"power": draw(st.sampled_from(POWERS)), "voltage": "230/460 V",
                 "frequency": "60 Hz", "speed": "1740 rpm"}
            ],
        }
        for n in range(draw(st.integers(1, most)))
    ]  # fmt: skip


@st.composite
def shops(draw: st.DrawFn, *, most: int = 3) -> dict[str, Any]:
    """Return a shop, as a mapping."""
    made = draw(machines(most=most))
    found: dict[str, Any] = {"region": "us", "supply": SUPPLY, "machines": made}
    if draw(st.booleans()):
        found["together"] = [[one["id"]] for one in made]
    if draw(st.booleans()):
        found["energy_price"] = "0.2 USD/kWh"
    return found


def planned(shop: Mapping[str, Any], **asked: Any) -> aw.Plan:  # noqa: ANN401 - as of plan()
    """Return the plan of a shop that is stated as a mapping."""
    return aw.plan(aw.Shop.from_dict(dict(shop)), check=False, **asked)


def of_all(shop: Mapping[str, Any], **changes: Any) -> dict[str, Any]:  # noqa: ANN401 - any field
    """Return *shop* with *changes* of every machine."""
    return {**shop, "machines": [{**one, **changes} for one in shop["machines"]]}


def supplied(shop: Mapping[str, Any], **changes: Any) -> dict[str, Any]:  # noqa: ANN401 - any field
    """Return *shop* with *changes* of its supply."""
    return {**shop, "supply": {**shop["supply"], **changes}}


def pure(plan: aw.Plan) -> Iterator[tuple[str, Option]]:
    """Yield the ways in which one method serves every machine, each with its method."""
    for one in plan.options:
        used = {method for method in one.assignment.values() if method not in PLAIN}
        if len(used) == 1 and None not in used:
            (method,) = used
            yield str(method), one


def bare(one: Option) -> Option:
    """Return an option without the refusals, which speak of other methods."""
    return attrs.evolve(one, refusals=())
