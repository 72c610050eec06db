"""What the first page says of a plan: a yes with its conditions, or a no with its way out."""

from functools import cache
from typing import Any

import attrs
import pytest

import ampwright as aw
from ampwright.finding import Finding
from ampwright.report.blocks import Document, Grid, Listing, Text
from ampwright.report.document import document

SUPPLY = {"arrangement": "split-phase", "voltage": "240 V", "frequency": "60 Hz"}
BIG = {"id": "big", "name": "Big saw", "start": "light", "length": "5 m",
       "plate": "30 HP 230/460 V 74/37 A 60 HZ 3PH 1750 RPM"}  # fmt: skip
SMALL = {"id": "small", "name": "Small saw", "start": "light", "length": "5 m",
         "plate": "2 HP 230/460 V 6/3 A 60 HZ 3PH 1750 RPM"}  # fmt: skip


def planned(rating: str, *machines: dict[str, Any]) -> aw.Plan:
    return aw.plan(
        aw.Shop.from_dict(
            {
                "region": "us",
                "supply": SUPPLY | {"rating": rating, "existing_load": "20 A"},
                "machines": list(machines),
            }
        )
    )


@cache
def example(name: str) -> aw.Plan:
    return aw.plan(aw.load_shop(f"docs/examples/{name}.toml"))


def said(made: Document, section: str) -> list[str]:
    """Return the texts and entries of a section, each with what it is about."""
    found = []
    for block in made.section(section).blocks:
        if isinstance(block, Text):
            found.append(block.text)
        elif isinstance(block, Listing):
            found += [f"{one.subject}: {one.text}" for one in block.entries]
    return found


def sections(made: Document) -> list[str]:
    return [one.id for one in made.sections]


def test_a_no_sells_nothing_and_says_what_would_make_it_a_yes() -> None:
    plan = planned("60 A", BIG)
    assert plan.verdict == "not-feasible"
    made = document(plan)
    assert not {"buy", "size", "order"} & set(sections(made))
    assert any(
        "On a service or feeder that carries at least" in text for text in said(made, "way-out")
    )
    assert any("Nothing is to be bought" in text for text in said(made, "way-out"))
    (row,) = next(b for b in made.section("machines").blocks if isinstance(b, Grid)).rows
    assert row.cells[2].startswith("Considered, but not possible")


def test_on_the_service_that_it_names_the_no_is_a_yes() -> None:
    """The service calculation of the plan at 60 A asks for what a plan at 225 A finds there."""
    made = document(planned("60 A", BIG))
    (drive,) = (text for text in said(made, "way-out") if "drive" in text)
    least = float(drive.partition("at least ")[2].partition(" A")[0])
    assert 150.0 < least < 225.0
    assert planned(f"{least:.0f} A", BIG).verdict != "not-feasible"


def test_the_rest_is_named_without_what_cannot_run() -> None:
    made = document(planned("60 A", BIG, SMALL))
    assert ": Without Big saw: Small saw on a drive of its own." in said(made, "way-out")


def test_a_no_that_nothing_mends_says_so() -> None:
    plan = planned("60 A", BIG)
    bare = attrs.evolve(plan, options=(), chosen=None, findings=(), checks=())
    assert any("Nothing that was looked at" in text for text in said(document(bare), "way-out"))


def test_a_yes_has_no_way_out() -> None:
    assert "way-out" not in sections(document(planned("200 A", SMALL)))


@pytest.mark.parametrize(
    ("name", "machine", "leg", "setting"),
    [
        # 1.15 times 12.8 A, for want of a service factor; 1.25 times 5.8 A at a factor of 1.15
        ("quarry-lane", "Dust extraction", "16.8 A", "14.7 A"),
        ("tanner-row", "Swing-arm cutting press", "7.47 A", "7.25 A"),
    ],
)
def test_an_overload_that_opens_at_full_load_stands_on_the_first_page(
    name: str, machine: str, leg: str, setting: str
) -> None:
    (text,) = (
        one for one in said(document(example(name)), "answer") if one.startswith(f"{machine}: ")
        and "would open" in one
    )  # fmt: skip
    assert f"{leg} in one line against a setting of {setting}" in text
    assert "At its full rating for long" in text


@pytest.mark.parametrize("name", ["quarry-lane", "tanner-row"])
def test_the_load_that_was_planned_for_is_said_with_it(name: str) -> None:
    plan = example(name)
    for machine in plan.shop.machines:
        for text in said(document(plan), "answer"):
            if text.startswith(f"{machine.name}: ") and "would open" in text:
                stated = machine.average_load is not None
                assert ("Nobody stated" in text) is not stated
                share = 100.0 * (machine.average_load or 0.6)
                assert f"{share:g} % of its rating on average" in text


def test_what_the_operator_of_the_network_must_agree_to_stands_on_the_first_page() -> None:
    """A direct start of 11 kW at 230 V moves the voltage by far more than 4 %."""
    plan = aw.plan(
        aw.Shop.from_dict(
            {
                "region": "iec",
                "supply": {"arrangement": "line-neutral", "voltage": "230 V", "frequency": "50 Hz",
                           "rating": "100 A", "existing_load": "5 A"},
                "machines": [{"id": "saw", "name": "Saw", "start": "light", "plate":
                              "5.5 kW 230/400 V 19.9/11.5 A 50 Hz 3PH 1450 rpm"},
                             {"id": "jointer", "name": "Jointer", "start": "light", "plate":
                              "4 kW 230/400 V 14.7/8.5 A 50 Hz 3PH 1450 rpm"}],
            }
        ),
        methods=["rotary"],
    )  # fmt: skip
    assert "supply.voltage-change" in {one.code for one in plan.options[0].findings}
    assert any("operator" in text for text in said(document(plan), "answer"))
    german = said(document(plan, "de"), "answer")
    assert any("Netzbetreiber" in text for text in german)


def test_a_plan_that_its_check_objects_to_is_no_yes() -> None:
    objection = Finding(code="check.breach", severity="blocks")
    made = document(attrs.evolve(planned("200 A", SMALL), checks=(objection,)))
    assert not any(text.startswith("Yes") for text in said(made, "answer"))
    assert any(text.startswith("No answer") for text in said(made, "answer"))
    assert "buy" not in sections(made)


def test_the_licence_is_deferred_to_on_the_first_page() -> None:
    assert any(
        "no licence to wire" in text for text in said(document(example("tanner-row")), "answer")
    )


def test_between_a_drive_and_its_motor_stands_no_device() -> None:
    plan = planned("200 A", SMALL)
    assert plan.best is not None
    circuit = next(one for one in plan.best.circuits if one.role == "output")
    assert circuit.devices_at_head == ()
    made = document(plan)
    grid = next(b for b in made.section("devices").blocks if isinstance(b, Grid))
    (row,) = (row for row in grid.rows if row.cells[0].startswith("Output circuit"))
    assert row.cells[1] == "none here: the device ahead of the drive protects it, too"
    assert "breaker" not in " ".join(row.cells)


def test_what_is_there_already_is_not_to_be_bought() -> None:
    owned = {"kind": "converter", "id": "box", "name": "Blue box", "method": "rotary",
             "rating": "10 hp", "idler_power": "10 hp"}  # fmt: skip
    data = {
        "region": "us",
        "supply": SUPPLY | {"rating": "100 A", "existing_load": "20 A"},
        "equipment": [owned],
        "machines": [SMALL],
    }
    plan = aw.plan(aw.Shop.from_dict(data), methods=["rotary"])
    made = document(plan)
    grid = next(b for b in made.section("buy").blocks if isinstance(b, Grid))
    (row,) = grid.rows
    assert row.cells[2].startswith("Not to be bought, it is there already: Blue box.")


def test_real_three_phase_is_applied_for() -> None:
    plan = aw.plan(aw.load_shop("tests/scenarios/shops/three-phase-at-the-meter.toml"))
    assert plan.best is not None
    assert "utility" in {one.method for one in plan.best.machines}
    grid = next(b for b in document(plan).section("buy").blocks if isinstance(b, Grid))
    assert [row.cells[2] for row in grid.rows if "utility" in row.cells[0]] == [
        "To be applied for with the utility"
    ]


def test_assumptions_of_other_ways_are_left_out() -> None:
    """The joinery is weighed with an electronic converter, too, and the plan is a rotary one."""
    plan = example("quarry-lane")
    circuits = {str(part.value) for one in plan.assumptions for part in one.parameters}
    assert {"supply.rotary", "supply.electronic"} <= circuits
    assumed = said(document(plan), "assumptions")
    assert any("supply circuit to rotary converter" in text for text in assumed)
    assert not any("electronic" in text for text in assumed)


@pytest.mark.parametrize(
    ("name", "methods"),
    [("quarry-lane", ("rotary", "relink")), ("tanner-row", ("rotary", "static", "relink"))],
)
def test_all_that_the_way_itself_assumes_is_said(name: str, methods: tuple[str, ...]) -> None:
    alone = aw.plan(aw.load_shop(f"docs/examples/{name}.toml"), methods=methods)
    assert alone.chosen == example(name).chosen
    ways = [one for one in alone.options if one.id == alone.chosen]
    only = attrs.evolve(alone, options=tuple(ways))
    assert set(said(document(only), "assumptions")) <= set(
        said(document(example(name)), "assumptions")
    )


def test_what_speaks_against_a_way_is_said_once_of_all_machines() -> None:
    grid = next(
        b for b in document(example("quarry-lane")).section("others").blocks if isinstance(b, Grid)
    )
    for row in grid.rows:
        texts = [line.partition(": ")[2] for line in row.cells[-1].split("\n") if ": " in line]
        assert len(texts) == len(set(texts))
    assert any(row.cells[-1].startswith("Panel saw, Dust extraction") for row in grid.rows)


def test_the_schedules_of_a_no_say_that_nothing_is_to_be_built() -> None:
    made = document(planned("60 A", BIG))
    places = sections(made)
    assert places.index("not-to-be-built") < places.index("conductors")
    assert said(made, "not-to-be-built")[0].startswith("Not to be built")
    assert "not-to-be-built" not in sections(document(planned("200 A", SMALL)))


def test_no_text_of_an_example_shows_a_parameter_that_it_does_not_use() -> None:
    for name in ("quarry-lane", "tanner-row"):
        made = document(example(name))
        refused = next(b for b in made.section("refused").blocks if isinstance(b, Grid))
        texts = [cell for row in refused.rows for cell in row.cells]
        for section in ("cautions", "notes", "assumptions"):
            texts += said(made, section)
        assert not [text for text in texts if "(value" in text or "°C °C" in text]


def test_behind_a_transformer_the_overload_is_judged_by_the_current_there() -> None:
    """Ahead of the transformer the motor of 415 V draws 1.7 times as much as its overload sees."""
    machine = {
        "id": "mill", "name": "Mill", "start": "light", "length": "8 m",
        "motors": [{"power": "3 hp", "voltage": "415 V", "current": "4.8 A", "frequency": "50 Hz",
                    "speed": "1430 rpm", "connection": "delta"}],
    }  # fmt: skip
    plan = aw.plan(
        aw.Shop.from_dict(
            {
                "region": "iec",
                "supply": {"arrangement": "line-neutral", "voltage": "230 V", "frequency": "50 Hz",
                           "rating": "63 A", "existing_load": "5 A"},
                "machines": [machine],
            }
        ),
        methods=["rotary"],
    )  # fmt: skip
    option = plan.options[0]
    assert option.transformers
    (trips,) = (one for one in option.findings if one.code == "protection.overload-trips-running")
    values = {part.name: part.value for part in trips.parameters}
    drawn = {
        load: max(
            max(one.current_a)
            for state in option.states
            for one in state.motors
            if state.load == load and one.id == "mill/0"
        )
        for load in ("average", "full")
    }
    ratio = float(values["leg"]) / drawn["full"]
    assert drawn["average"] > float(values["setting"]) > ratio * drawn["average"]
    (text,) = (one for one in said(document(plan), "answer") if one.startswith("Mill: Nobody"))
    assert "At its full rating for long" in text


def test_what_a_condition_says_is_not_said_again_below_it() -> None:
    """A condition of what is fed by a converter names the converter, its machine the condition."""
    plan = example("tanner-row")
    limit = Finding(code="supply.operator-start-limit", severity="caution", where=("rotary",))
    best = plan.best
    assert best is not None
    first, *rest = best.machines
    first = attrs.evolve(first, verdict="feasible-with-conditions", reasons=(limit,))
    option = attrs.evolve(best, machines=(first, *rest), findings=(*best.findings, limit))
    options = tuple(option if one.id == option.id else one for one in plan.options)
    texts = said(document(attrs.evolve(plan, options=options)), "answer")
    assert sum("more than this operator allows" in text for text in texts) == 1


def test_a_contract_that_is_too_small_is_named_where_the_main_device_is_not() -> None:
    supply = {"arrangement": "line-neutral", "voltage": "230 V", "frequency": "50 Hz",
              "rating": "63 A", "contract": "6 kVA", "existing_load": "2 A"}  # fmt: skip
    plate = "5.5 kW 230/400 V 19.9/11.5 A 50 Hz 3PH 1450 rpm"
    machine = {"id": "saw", "name": "Saw", "start": "light", "length": "6 m", "plate": plate}
    data = {"region": "iec", "supply": supply, "machines": [machine]}
    plan = aw.plan(aw.Shop.from_dict(data), methods=["rotary", "drive"])
    assert plan.verdict == "not-feasible"
    texts = said(document(plan), "way-out")
    assert any(text.startswith(": Under a contract for at least") for text in texts)
    assert not any("service or feeder that carries" in text for text in texts)


def test_three_phase_that_is_not_there_yet_stands_in_the_way() -> None:
    supply = SUPPLY | {"rating": "60 A", "existing_load": "20 A", "three_phase":
                       {"where": "extension", "voltage": "240 V", "current": "200 A",
                        "price": "9000 USD", "months": 6}}  # fmt: skip
    data = {"region": "us", "supply": supply, "machines": [BIG]}
    plan = aw.plan(aw.Shop.from_dict(data), methods=["utility"])
    assert plan.verdict == "not-feasible"
    made = document(plan)
    assert any("Three-phase is not there yet" in text for text in said(made, "answer"))
    assert any(
        "Once three-phase from the utility is there" in text for text in said(made, "way-out")
    )


def test_each_thing_is_said_once_by_its_gravest_and_of_something_with_a_name() -> None:
    made = document(planned("60 A", BIG))
    blocking = said(made, "blocking")
    assert any("The supply does not carry this" in text for text in blocking)
    texts = [text for name in ("blocking", "cautions", "notes") for text in said(made, name)]
    assert len(texts) == len({text.partition(": ")[2] for text in texts})
    assert not [text for text in texts if text[:1].isdigit()]
