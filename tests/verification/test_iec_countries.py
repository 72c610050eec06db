"""Plans under a country built on the IEC family are checked with the country's own tables."""

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import attrs
import pytest
from tests.verification import iec_shops
from tests.verification.planted import with_circuit
from tests.verification.test_random_shops import engine, objections

import ampwright as aw
from ampwright.verification.verify import verify

MANIFEST = """schema = "ampwright.region/1"
id = "fuseland"
family = "iec"
title = "Fuses only (invented)"
editions = ["1"]
[devices]
order = ["gG"]
"""


def breaches(found: tuple[aw.Finding, ...]) -> set[tuple[str, str]]:
    return {(one.code, one.rule) for one in found if one.severity != "info"}


def british() -> tuple[aw.Plan, Any]:
    made = engine(("gb",))
    for seed in range(60):
        plan = made.plan(iec_shops.random_shop(seed, ("gb",)), check=False)
        if any(one.fault_current_min_a for option in plan.options for one in option.circuits):
            return plan, made.regions()["gb"]
    raise LookupError("no plan with a fault current")


def test_a_factor_of_the_country_is_the_one_that_is_checked() -> None:
    """BS 7671 takes 0.95 of the voltage to earth; by the family's 1.0 every loop is off."""
    plan, code = british()
    assert not breaches(verify(plan, code.tables, code.stated))
    own = code.tables["factors"]
    assert own.number("voltage_factor", "value") == 0.95
    rows = [{**one, "value": "1.0"} if one["name"] == "voltage_factor" else one for one in own.rows]
    other = {**code.tables, "factors": attrs.evolve(own, rows=tuple(rows))}
    assert ("check.breach", "iec.411.4") in breaches(verify(plan, other, code.stated))


def test_a_stored_plan_of_a_country_that_is_not_at_hand_says_what_was_not_checked() -> None:
    plan, _ = british()
    found = aw.Engine(block=["region-gb"]).verify(plan)
    lacking = {
        part.value
        for one in found
        if one.code == "check.not-checked" and one.rule == "iec.433.1"
        for part in one.parameters
        if part.name == "lacking"
    }
    assert lacking == {"the tables of the region"}


def test_a_size_that_the_country_does_not_use_is_objected_to() -> None:
    plan, code = british()
    option = plan.options[0]
    used = {one.conductor.size for one in option.circuits if one.role != "service"}
    kept = [size for size in code.stated["sizes"]["mm2"] if f"{size:g} mm2" not in used]
    stated = {**code.stated, "sizes": {"mm2": kept}}
    assert ("check.breach", "iec.523") in breaches(verify(plan, code.tables, stated))


@pytest.fixture
def fuses(tmp_path: Path) -> aw.Engine:
    """Return an engine with a country that protects circuits by fuses alone."""
    folder = tmp_path / "fuseland"
    folder.mkdir()
    (folder / "manifest.toml").write_text(MANIFEST, encoding="utf-8")
    return aw.Engine([folder])


def circuits(plan: aw.Plan) -> Iterator[tuple[str, aw.Circuit]]:
    for option in plan.options:
        for one in option.circuits:
            if one.role != "service":
                yield option.id, one


def test_behind_fuses_all_but_their_times_is_checked(fuses: aw.Engine) -> None:
    plans = [fuses.plan(iec_shops.random_shop(seed, ("fuseland",))) for seed in range(8)]
    assert not [one for plan in plans for one in objections(plan)]
    kinds = {one.protective_device.kind for plan in plans for _, one in circuits(plan)}
    assert kinds == {"fuse"}
    skipped = {one.rule for plan in plans for one in plan.checks or () if one.severity == "info"}
    assert "iec.60269-1" in skipped


def test_a_fuse_below_the_load_is_objected_to(fuses: aw.Engine) -> None:
    code: Any = fuses.regions()["fuseland"]
    plan = fuses.plan(iec_shops.random_shop(2, ("fuseland",)), check=False)
    name, own = next((name, one) for name, one in circuits(plan) if one.design_current_a > 7)
    path = f"options/{name}/circuits/{own.id}/protective_device/rating_a"
    steps: Mapping[str, Any] = {"value": 6.0, "cell": ("6", "gG")}
    changed = attrs.evolve(
        own,
        protective_device=attrs.evolve(own.protective_device, rating_a=6.0),
        steps=tuple(attrs.evolve(one, **steps) if one.path == path else one for one in own.steps),
    )
    found = verify(with_circuit(plan, name, changed), code.tables, code.stated)
    assert ("check.breach", "iec.433.1") in breaches(found)


def drops(plan: aw.Plan) -> dict[str, float]:
    """Return the drop from the board to the end of each circuit, all circuits ahead included."""
    (option,) = plan.options
    by_id = {one.id: one for one in option.circuits}
    found = {}
    for name, one in by_id.items():
        found[name], ahead = 0.0, one
        while ahead is not None:
            found[name] += ahead.voltage_drop_fraction
            ahead = by_id.get(ahead.fed_from)
    return found


def test_a_binding_drop_counts_from_the_board_to_the_machine() -> None:
    """NBR 5410, 6.2.7 (from memory): 5 % from the point of delivery on, all circuits in series."""
    made = engine(("br",))
    saw = {
        "id": "saw", "length": "40 m", "start": "light", "load_torque": "friction",
        "motors": [{"power": "2.2 kW", "voltage": "220/380 V", "current": "8.6/5.0 A",
                    "frequency": "60 Hz", "speed": "1720 rpm"}],
    }  # fmt: skip
    shop = {
        "region": "br",
        "supply": {"arrangement": "line-line", "voltage": "220 V", "frequency": "60 Hz",
                   "rating": "63 A", "existing_load": "6 A", "fault_current": "2 kA",
                   "earthing": "tn-s"},
        "site": {"converter_place": {"length": "50 m"}},
        "machines": [saw],
    }  # fmt: skip
    plan = made.plan(aw.Shop.from_dict(shop), methods=["rotary"])
    assert {one.id for one in plan.options[0].circuits} >= {"supply.rotary", "branch.saw"}
    assert {one.code for one in plan.checks or ()} <= {"check.not-checked"}
    whole = drops(plan)
    assert 0.02 < max(whole.values()) <= 0.05
    # with less allowed than the whole way takes, but more than its last two circuits do
    code: Any = made.regions()["br"]
    least = 0.99 * whole["branch.saw"]
    by_id = {one.id: one for one in plan.options[0].circuits}
    assert whole["branch.saw"] - by_id["supply.rotary"].voltage_drop_fraction < 0.9 * least
    stricter = {**code.stated, "limits": {"drop_fraction": least}}
    objected = {
        part.value
        for one in verify(plan, code.tables, stricter)
        if (one.code, one.rule) == ("check.breach", "iec.525")
        for part in one.parameters
        if "branch.saw/conductor/size" in str(part.value)
    }
    assert objected
