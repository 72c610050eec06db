"""Region `iec` as a whole: supplies, words, sources; and a shop planned under it."""

import pickle

import pytest

from ampwright.engine import Engine
from ampwright.records.shop import Shop
from ampwright.records.supply import Supply
from ampwright.regions.iec import ampwright_regions
from ampwright.result import Plan

(IEC,) = ampwright_regions()
SHOP = {
    "schema": "ampwright.shop/1",
    "name": "Mill Lane joinery",
    "together": [["saw", "fan"], ["planer", "fan"]],
    "supply": {
        "arrangement": "line-neutral", "voltage": "230 V", "frequency": "50 Hz",
        "rating": "80 A", "existing_load": "12 A", "earthing": "tn-c-s", "fault_current": "3 kA",
    },
    "machines": [
        {
            "id": "saw", "name": "Panel saw", "length": "14 m", "start": "light",
            "plate": "4 kW 230/400 V 14.6/8.4 A 50 Hz 1440 rpm cos phi 0.83",
        },
        {
            "id": "planer", "name": "Thicknesser", "length": "18 m", "start": "light",
            "motors": [
                {
                    "power": "3 kW", "voltage": "230/400 V", "current": "11/6.3 A",
                    "frequency": "50 Hz", "speed": "2870 rpm",
                },
            ],
        },
        {
            "id": "fan", "name": "Dust extraction", "length": "10 m", "load_torque": "fan",
            "motors": [
                {
                    "power": "2.2 kW", "voltage": "230/400 V", "frequency": "50 Hz",
                    "speed": "2860 rpm",
                },
            ],
        },
    ],
}  # fmt: skip


def test_it_is_a_region() -> None:
    assert IEC.id == "iec"
    assert IEC.family == "iec"
    assert IEC.editions == (IEC.edition,)
    assert IEC.title.startswith("IEC 60364")
    assert IEC.in_edition(IEC.edition).edition == IEC.edition
    with pytest.raises(KeyError):
        IEC.in_edition("1999")


def test_it_survives_pickling() -> None:
    again = pickle.loads(pickle.dumps(IEC))  # noqa: S301 - our own object
    assert again.tables.keys() == IEC.tables.keys()
    assert again.terms == IEC.terms


@pytest.mark.parametrize(
    ("arrangement", "volts", "hertz", "known"),
    [
        ("line-neutral", 230, 50, True),
        ("line-neutral", 240, 50, True),
        ("line-neutral", 120, 60, False),
        ("line-neutral", 220, 60, True),
        ("line-line", 400, 50, True),
        ("line-line", 690, 50, False),
        ("split-phase", 480, 50, True),
        ("split-phase", 240, 60, False),
    ],
)
def test_supplies_that_exist(arrangement: str, volts: int, hertz: int, known: bool) -> None:  # noqa: FBT001 - a case of the table above
    supply = Supply(arrangement=arrangement, voltage=f"{volts} V", frequency=f"{hertz} Hz")  # type: ignore[arg-type]
    assert IEC.includes(supply) is known


def test_words_and_colours() -> None:
    assert IEC.terms["protective-conductor"] == "protective conductor"
    assert IEC.terms["color-protective-conductor"] == "green-and-yellow"
    assert IEC.terms["unit-length"] == "m"


@pytest.fixture(scope="module")
def plan() -> Plan:
    return Engine(strict=True).plan(Shop.from_dict(SHOP), region="iec")


def test_a_shop_on_line_and_neutral_is_planned(plan: Plan) -> None:
    """IEC 61000-3-3 (from memory): 7 % of 230 V over 0.4717 ohm are 34.1 A; a start takes more."""
    assert plan.verdict == "feasible-with-conditions"
    assert plan.region.id == "iec"
    assert plan.best is not None
    assert max(one.current_a for one in plan.best.starts) > 34.1
    assert "supply.voltage-change" in {one.code for one in plan.best.findings}
    rotary = next(one for one in plan.options if one.id == "rotary")
    roles = {one.role for one in rotary.circuits}
    assert {"supply", "idler", "output", "branch"} <= roles
    for one in rotary.circuits:
        rating, capacity = one.protective_device.rating_a, one.conductor.ampacity_a
        assert rating is not None
        assert capacity is not None
        assert one.design_current_a <= rating <= capacity
        assert one.conductor.size.endswith(" mm2")


def test_every_figure_of_the_plan_holds_when_it_is_reckoned_again(plan: Plan) -> None:
    assert plan.checks is not None
    assert not [one for one in plan.checks if one.code in ("check.breach", "check.not-minimal")]


def test_the_plan_says_what_it_rests_on(plan: Plan) -> None:
    said = {one.code for one in plan.assumptions}
    assert {"site.installation-method", "site.usual-value", "table.from-memory"} <= said


def test_the_report_prints_it_in_square_millimetres_and_its_own_words(plan: Plan) -> None:
    text = str(plan.report(format="markdown"))
    assert "mm2" in text or "mm²" in text
    assert "rotective conductor" in text
    assert "grounding conductor" not in text
    assert "AWG" not in text


def test_equal_shops_get_equal_plans(plan: Plan) -> None:
    again = Engine().plan(Shop.from_dict(SHOP), region="iec")
    assert again.id == plan.id
