"""Connection diagrams of whole plans: complete, legible, and true to the records."""

from collections import Counter
from xml.etree import ElementTree as ET

import attrs
import pytest
from tests.unit.diagram.sheets import (
    SVG,
    Line,
    boxes,
    dots,
    group,
    lines,
    marked,
    overlaps,
    place,
    root,
    words,
)
from tests.unit.diagram.shops import planned

import ampwright as aw
from ampwright.diagram.rails import PLACES

#: A make contact after IEEE Std 315.
CONTACT = "M0 0H11M11 -7V7M19 -7V7M19 0H30"
SHOPS = ("tanner-row", "quarry-lane", "mill", "lathe", "sander", "saw", "abroad")


@pytest.fixture(params=SHOPS)
def plan(request: pytest.FixtureRequest) -> aw.Plan:
    """Return the plan of a shop."""
    return planned(str(request.param))


def test_every_part_of_every_option_is_drawn_once_and_nothing_else(plan: aw.Plan) -> None:
    for option in plan.options:
        svg = plan.diagram("connection", option=option.id).svg
        circuits = [one for one in option.circuits if one.role != "service"]
        capacitors = [f"{one.id}/{part.id}" for one in option.converters for part in one.capacitors]
        for kind, wanted in (
            ("circuit", [one.id for one in circuits]),
            ("converter", [one.id for one in option.converters]),
            ("transformer", [one.id for one in option.transformers]),
            ("capacitor", capacitors),
        ):
            assert marked(svg, kind) == Counter(wanted), (option.id, kind)
        fed = {name for one in circuits for name in one.feeds}
        machines = {one.id for one in option.machines} & fed
        assert marked(svg, "machine").keys() == machines, option.id


@pytest.mark.parametrize("symbols", ["iec", "ansi"])
def test_no_words_run_into_others_or_into_lines_or_off_the_sheet(
    plan: aw.Plan, symbols: str
) -> None:
    for option in plan.options[:3]:
        drawn = plan.diagram("connection", option=option.id, symbols=symbols)  # type: ignore[arg-type]
        assert overlaps(drawn.svg) == [], option.id


def test_what_the_records_say_of_a_circuit_stands_at_it(plan: aw.Plan) -> None:
    option = plan.best
    assert option is not None
    svg = plan.diagram("connection").svg
    for circuit in option.circuits:
        if circuit.role == "service":
            continue
        said = words(group(svg, "circuit", circuit.id))
        assert circuit.conductor.size.replace(" mm2", " mm²") in said, circuit.id
        for one in circuit.devices_at_head:
            assert one.rating_a is None or f"{one.rating_a:g} A" in said, circuit.id
        if circuit.disconnect is not None and circuit.disconnect.rating_a is not None:
            assert f"{circuit.disconnect.rating_a:g} A" in said, circuit.id


def test_a_capacitor_stands_between_the_legs_that_the_plan_states() -> None:
    plan = planned("tanner-row")
    assert plan.best is not None
    svg = plan.diagram("connection").svg
    for converter in plan.best.converters:
        frame = group(svg, "converter", converter.id)
        joints = dots(frame)
        for part in converter.capacitors:
            drawn = group(svg, "capacitor", f"{converter.id}/{part.id}")
            (_, level) = place(next(iter(drawn.iter(f"{SVG}path"))))
            ends = {x for x, y in joints if y == level}
            own = {PLACES[leg] for leg in part.between}
            assert own <= ends, part.id
            strokes = [place(one)[0] for one in drawn.iter(f"{SVG}path")]
            assert min(own) < min(strokes) <= max(strokes) < max(own), part.id
            # the plan has 375e-6 F, the drawing 375 µF
            assert f"{part.capacitance_f * 1e6:.3g} µF" in words(drawn), part.id


def test_start_and_switched_capacitors_have_a_contact_and_others_none() -> None:
    plan = planned("tanner-row")
    assert plan.best is not None
    svg = plan.diagram("connection").svg
    switched = set()
    for converter in plan.best.converters:
        for part in converter.capacitors:
            drawn = group(svg, "capacitor", f"{converter.id}/{part.id}")
            has = any(one.get("d") == CONTACT for one in drawn.iter(f"{SVG}path"))
            assert has == (part.purpose == "start" or bool(part.sets)), part.id
            switched.add(has)
    assert switched == {True, False}


def _joined(svg: str, circuit: str, terminals: str) -> dict[str, float]:
    """Return at which rail the line to each terminal of a motor begins."""
    part = group(svg, "circuit", circuit)
    found = {}
    for box in boxes(part):
        if box.words in terminals.split() and box.left > 600.0:
            level = box.bottom - 0.22 * 8.0 + 3.0
            (rail,) = {x for x, y in dots(part) if abs(y - level) < 0.1 and x < 340.0}
            found[box.words] = rail
    return found


def test_lines_reach_the_terminals_in_the_order_of_the_lines() -> None:
    svg = planned("tanner-row").diagram("connection").svg
    # L1 to U, L2 to V, the made leg to W; the rails of L1, L3 and L2 stand in this order
    wanted = {"U": PLACES["a"], "V": PLACES["b"], "W": PLACES["c"], "PE": PLACES["pe"]}
    assert _joined(svg, "idler.rotary", "U V W PE") == wanted
    assert _joined(svg, "branch.press", "U V W PE") == wanted
    assert PLACES["a"] < PLACES["c"] < PLACES["b"]


def test_the_made_leg_begins_at_the_converter() -> None:
    svg = planned("tanner-row").diagram("connection", option="relink+rotary").svg
    frame = group(svg, "converter", "rotary")
    (name,) = (one for one in boxes(frame) if one.words.startswith("L3"))
    above = [
        one
        for one in lines(group(svg, "circuit", "supply.rotary"))
        if one.a == one.c == PLACES["c"]
    ]
    assert above == []
    assert "manufactured phase" in name.words
    starts = [one.b for one in lines(root(svg)) if one.a == one.c == PLACES["c"]]
    assert min(starts) >= name.bottom


def test_each_motor_of_a_machine_has_its_own_overload_and_lines() -> None:
    plan = planned("tanner-row")
    svg = plan.diagram("connection").svg
    part = group(svg, "circuit", "branch.splitter")
    assert [one.words for one in boxes(part)].count("U") == 3 + 1  # three motors, a voltage relay
    said = words(part)
    # settings 16.75, 4.25 and 4 A, rounded down to three figures
    for setting in ("16.7 A", "4.25 A", "4 A"):
        assert f"set to {setting}" in said


def test_a_circuit_of_line_and_neutral_is_drawn_so() -> None:
    svg = planned("abroad").diagram("connection").svg
    tops = [one.words for one in boxes(root(svg)) if one.words in ("L1", "L2", "N", "PE")]
    assert tops[:3] == ["L1", "N", "PE"] or set(tops[:3]) == {"L1", "N", "PE"}
    assert "L2" not in tops


def test_a_single_pole_stands_in_the_line_and_never_in_the_neutral() -> None:
    plan = planned("saw")
    option = plan.best
    assert option is not None
    (branch,) = (one for one in option.circuits if one.role == "branch")
    one = attrs.evolve(
        branch,
        voltage_v=120.0,
        voltage_to_earth_v=(120.0, 0.0),
        protective_device=attrs.evolve(branch.protective_device, poles=1),
        disconnect=None,
    )
    rest = tuple(part for part in option.circuits if part is not branch)
    poor = attrs.evolve(plan, options=(attrs.evolve(option, circuits=(*rest, one)),))
    svg = poor.diagram("connection", symbols="ansi").svg
    part = group(svg, "circuit", one.id)
    breaker = [place(path) for path in part.iter(f"{SVG}path") if "Q15 -13" in path.get("d", "")]
    assert len(breaker) == 1
    rails = {x for x, y in dots(part) if y == breaker[0][1]}
    assert rails == {PLACES["a"]}
    assert {x for x, _ in dots(part)} == {PLACES["a"], PLACES["n"], PLACES["pe"]}
    assert "On which of the lines it hangs is not in the plan." in words(part)


def test_a_transformer_says_that_its_earthing_is_not_in_the_plan() -> None:
    plan = planned("mill")
    svg = plan.diagram("connection").svg
    said = words(group(svg, "transformer", "transformer.mill"))
    assert "240 V → 480 V" in said
    assert "not in the plan: it must be decided and made" in said
    assert "H1" in said
    assert "X3" in said
    abroad = words(root(plan.diagram("connection", symbols="iec").svg))
    assert "1U" in abroad
    assert "2W" in abroad


def test_a_drive_is_a_box_from_two_lines_to_three_terminals() -> None:
    plan = planned("sander")
    said = words(group(plan.diagram("connection").svg, "converter", "drive.sander"))
    for name in ("L1", "L2", "U", "V", "W"):
        assert name in said.split()
    assert "overload protection of the motor" in said


def test_an_overload_inside_a_drive_is_told_and_not_drawn() -> None:
    svg = planned("sander").diagram("connection", symbols="ansi").svg
    part = group(svg, "circuit", "output.drive.sander")
    assert "in the drive" in words(part)
    assert not any("a4 4 0 1 1 6 3" in path.get("d", "") for path in part.iter(f"{SVG}path"))


def test_a_contactor_stands_where_the_plan_asks_for_one() -> None:
    plan = planned("lathe")
    option = next(one for one in plan.options if one.id == "static")
    said = words(root(plan.diagram("connection", option="static").svg))
    assert "Output contactor that drops all three lines" in said
    bare = attrs.evolve(option.converters[0], protective_features=(), capacitors=())
    poor = attrs.evolve(plan, options=(attrs.evolve(option, converters=(bare,)),), chosen=None)
    svg = poor.diagram("connection").svg
    assert "contactor" not in words(root(svg))
    assert not any(path.get("d") == CONTACT for path in root(svg).iter(f"{SVG}path"))


def test_a_contactor_drops_all_three_lines() -> None:
    svg = planned("lathe").diagram("connection", option="static").svg
    drawn = [place(path) for path in root(svg).iter(f"{SVG}path") if path.get("d") == CONTACT]
    level = max(y for _, y in drawn)  # below the capacitors with their own contacts
    assert {x for x, y in drawn if y == level} == {PLACES["a"], PLACES["b"], PLACES["c"]}


def test_a_single_pole_ahead_of_a_converter_leaves_the_neutral_through() -> None:
    plan = planned("abroad")
    option = plan.options[0]
    (supply,) = (one for one in option.circuits if one.role == "supply")
    poles = attrs.evolve(supply.protective_device, poles=1)
    one = attrs.evolve(supply, protective_device=poles, disconnect=None)
    circuits = tuple(one if part is supply else part for part in option.circuits)
    poor = attrs.evolve(plan, options=(attrs.evolve(option, circuits=circuits),), chosen=None)
    part = group(poor.diagram("connection", symbols="ansi").svg, "circuit", one.id)
    breaker = [place(path) for path in part.iter(f"{SVG}path") if "Q15 -13" in path.get("d", "")]
    assert [x for x, _ in breaker] == [PLACES["a"]]


def test_a_conductor_that_is_lacking_ahead_is_named() -> None:
    plan = planned("saw")
    option = plan.options[0]
    (branch,) = (one for one in option.circuits if one.role == "branch")
    ahead = attrs.evolve(branch, id="output.any", role="output", feeds=("saw",))
    behind = attrs.evolve(
        branch, fed_from="output.any", conductor=attrs.evolve(branch.conductor, count=3)
    )
    rest = tuple(part for part in option.circuits if part is not branch)
    odd = attrs.evolve(
        plan, options=(attrs.evolve(option, circuits=(*rest, ahead, behind)),), chosen=None
    )
    said = words(group(odd.diagram("connection").svg, "circuit", branch.id))
    assert "What it hangs on has no such conductor in the plan: N." in said


def test_a_voltage_relay_hangs_on_every_line() -> None:
    svg = planned("tanner-row").diagram("connection").svg
    part = group(svg, "circuit", "output.rotary")
    assert {x for x, _ in dots(part)} == {PLACES["a"], PLACES["b"], PLACES["c"]}


def test_what_no_circuit_feeds_is_said() -> None:
    plan = planned("sander")
    option = next(one for one in plan.options if one.id == "drive")
    left = tuple(one for one in option.circuits if one.role != "supply")
    poor = attrs.evolve(plan, options=(attrs.evolve(option, circuits=left),), chosen=None)
    assert "No circuit of the plan feeds it." in words(root(poor.diagram("connection").svg))


def test_a_drawing_in_another_language_holds_no_english() -> None:
    plan = planned("tanner-row")
    english = {one.words for one in boxes(root(plan.diagram("connection").svg))}
    drawn = root(plan.diagram("connection", language="de").svg)
    german, said = {one.words for one in boxes(drawn)}, words(drawn)
    for word in ("Anschlussplan", "Klemmenkästen", "nur zum Anlauf geschlossen", "Muss haben"):
        assert word in said
    shared = " ".join(english & german)
    for word in ("closed", "leads", "plate", "From", "running"):
        assert word not in shared


def test_the_page_holds_the_converters_once_and_leaves_out_what_needs_none() -> None:
    plan = planned("tanner-row")
    page = plan.report("html")
    start = page.index('id="wiring"')
    part = page[start : page.index("</section>", start)]
    assert part.count('data-converter="rotary"') == 1
    assert part.count('data-circuit="output.rotary"') == 1
    assert "branch.cabinet" not in part  # a heater on the panel itself
    assert 'id="wiring"' not in planned("saw").report("html")


def test_a_long_shop_is_parted_where_nothing_is_cut() -> None:
    plan = planned("quarry-lane")
    page = plan.report("html")
    start = page.index('id="wiring"')
    part = page[start : page.index("</section>", start)]
    option = plan.best
    assert option is not None
    behind = [one for one in option.circuits if one.fed_from]
    assert behind
    for circuit in behind:
        assert part.count(f'data-circuit="{circuit.id}"') == 1
    drawings = [one.partition("</figure>")[0] for one in part.split("<figure>")[1:]]
    assert len(drawings) > 1
    assert all(overlaps(_shifted(one)) == [] for one in drawings)


def _shifted(svg: str) -> str:
    """Return a part of a drawing with its beginning at the top of its sheet."""
    tree = root(svg)
    top = float((tree.get("viewBox") or "").split()[1])
    for text in tree.iter(f"{SVG}text"):
        text.set("y", f"{float(text.get('y', '0')) - top}")
    for path in list(tree.iter(f"{SVG}path")):
        path.set("d", "")  # lines that run on to the next page are cut by its edge
    return ET.tostring(tree, encoding="unicode")


def test_idlers_side_by_side_have_their_circuits_and_their_own_power() -> None:
    plan = planned("pair")
    option = plan.options[0]
    assert option.converters[0].idlers == 2
    for kind in ("one-line", "connection"):
        svg = plan.diagram(kind).svg
        for name in ("idler.rotary.1", "idler.rotary.2"):
            said = words(group(svg, "circuit", name))
            assert "Idler motor" in said
            # 2 x 44.742 kW together; one has 60 hp of 745.7 W
            assert "60 hp (44.7 kW)" in said
            assert "2 ×" not in said.partition("Idler motor")[2]
    assert overlaps(plan.diagram("connection").svg) == []


@pytest.mark.parametrize("kind", ["one-line", "connection"])
def test_heat_that_is_fed_apart_from_its_motor_is_no_motor(kind: str) -> None:
    plan = planned("dryer")
    option = next(one for one in plan.options if one.assignment["dryer"] == "drive")
    apart = next(one for one in option.circuits if one.id == "branch.dryer.single-phase")
    assert apart.phases == 1
    svg = plan.diagram(kind, option=option.id).svg
    said = words(group(svg, "circuit", apart.id))
    assert "2 kW" in said
    assert "1~" not in said
    assert "1 PH" not in said
    assert "M" not in said.split()


def test_sides_of_rectangles_and_dots_are_seen_by_these_tests() -> None:
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="100" height="100">'
        '<path d="M0 0H40V20H0Z" transform="translate(10 10)"/>'
        '<text x="30" y="33" font-size="10">struck</text>'
        '<text x="60" y="80" font-size="10">off the sheet</text></svg>'
    )
    assert Line(10.0, 30.0, 50.0, 30.0) in set(lines(root(svg)))
    wrong = overlaps(svg)
    assert len([one for one in wrong if one.startswith("struck through")]) >= 1
    assert len([one for one in wrong if one.startswith("off the sheet")]) == 1


def test_all_five_conductors_of_a_motor_with_a_neutral_reach_it() -> None:
    """The outermost of five lie farther apart than the circle is wide."""
    shop = {
        "region": "iec",
        "supply": {"arrangement": "line-neutral", "voltage": "230 V", "frequency": "50 Hz",
                   "rating": "80 A", "existing_load": "5 A", "fault_current": "3 kA"},
        "machines": [{"id": "lathe", "length": "20 m", "start": "light", "needs_neutral": True,
                      "third_harmonic": "20 %",
                      "motors": [{"power": "3 kW", "voltage": "400 V", "current": "6.5 A",
                                  "frequency": "50 Hz", "speed": "1440 rpm"}]}],
    }  # fmt: skip
    plan = aw.plan(aw.Shop.from_dict(shop), methods=["electronic"])
    body = group(plan.diagram("connection").svg, "machine", "lathe")
    (circle,) = (one for one in body.iter(f"{SVG}path") if "a34 34 0 1 0" in one.get("d", ""))
    x, y = place(circle)
    touched = sum(
        abs(((one.c - x) ** 2 + (one.d - y) ** 2) ** 0.5 - 34.0) < 0.1 for one in lines(body)
    )
    assert touched == len(("U", "V", "W", "N", "PE"))
