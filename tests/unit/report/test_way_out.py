"""What would make it a yes: every way that a larger supply is enough for, and a record."""

import re
from typing import Any

import ampwright as aw

HOUSE: dict[str, Any] = {
    "floor_area": "1500 ft2", "small_appliance_circuits": 2, "laundry_circuits": 1,
    "dryer": "5 kW", "cooking": [{"name": "Range", "rating": "10 kW"}],
    "cooling": [{"name": "Window unit", "current": "12 A", "voltage": "240 V"}],
    "appliances": [{"name": "Water heater", "rating": "4.5 kW"}],
}  # fmt: skip
LATHE = {"id": "lathe", "length": "50 ft", "start": "normal",
         "plate": "5 HP 3PH 60 HZ 1745 RPM 230/460 V 13.0/6.5 A CODE J SF 1.15"}  # fmt: skip
BASE = {"arrangement": "split-phase", "voltage": "240 V", "frequency": "60 Hz"}


def planned(rating: str, **supply: object) -> aw.Plan:
    shop = {"region": "us", "supply": BASE | {"rating": rating} | supply, "machines": [LATHE]}
    return aw.plan(aw.Shop.from_dict(shop))


def way_out(plan: aw.Plan) -> str:
    text = plan.report("text")
    _, _, rest = text.partition("What would make it a yes\n---")
    return " ".join(rest.split("\n\n")[0].split())


def test_every_way_that_a_larger_service_is_enough_for_is_named_the_least_first() -> None:
    plan = planned("60 A", existing_load="50 A")
    assert plan.verdict == "not-feasible"
    said = [float(one) for one in re.findall(r"at least ([\d.]+) A: ", way_out(plan))]
    wanted = {one.assignment["lathe"] for one in plan.options}
    assert len(said) == len(wanted) >= 3
    assert said == sorted(said)


def test_on_each_service_that_is_named_something_is_feasible() -> None:
    """A figure rounded down would name a service that is still too small."""
    for amperes in re.findall(r"at least ([\d.]+) A: ", way_out(planned("60 A", dwelling=HOUSE))):
        assert planned(f"{amperes} A", dwelling=HOUSE).verdict != "not-feasible"


def test_the_size_at_which_another_way_comes_first_is_one_that_does() -> None:
    """The text of the input on which the choice hangs rounds what is needed up."""
    text = " ".join(planned("95 A", dwelling=HOUSE).report("text").split())
    found = re.search(r"rating of the main device, now 95 A; at ([\d.]+) A", text)
    assert found is not None
    assert planned(f"{found[1]} A", dwelling=HOUSE).verdict != "not-feasible"


def test_a_record_of_the_load_is_named_where_the_calculation_is_in_the_way() -> None:
    assert "30 days recorded without a break" in way_out(planned("60 A", dwelling=HOUSE))
    stated = way_out(planned("60 A", existing_load="50 A"))
    assert "30 days" not in stated
    assert "30 days" not in way_out(
        planned("60 A", dwelling=HOUSE, existing_load="50 A", demand_record="month")
    )


def test_what_any_way_asks_for_is_told_from_what_this_one_does() -> None:
    text = " ".join(planned("40 A", existing_load="50 A").report("text").split())
    assert "This is the least that any way asks for" in text
