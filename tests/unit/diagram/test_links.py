"""How motors are linked: by hand, from what a plate states."""

import tomllib

import attrs
import pytest
from tests.unit.diagram.sheets import SVG, group, lines, overlaps, root, words
from tests.unit.diagram.shops import planned

import ampwright as aw
from ampwright.diagram.links import Leads, MotorLink, motor_links
from ampwright.diagram.terminal_box import described
from ampwright.report.phrases import wording_of

SHOP = """
schema = "ampwright.shop/1"
region = "us"
[supply]
arrangement = "split-phase"
voltage = "240 V"
frequency = "60 Hz"
rating = "200 A"
[[machines]]
id = "saw"
length = "9 m"
start = "light"
load_torque = "friction"
{machine}
[[machines.motors]]
power = "2 hp"
frequency = "60 Hz"
speed = "1740 rpm"
{motor}
"""


def _plan(motor: str, machine: str = "") -> aw.Plan:
    shop = aw.Shop.from_dict(tomllib.loads(SHOP.format(motor=motor, machine=machine)))
    return aw.plan(shop, methods=["rotary"])


def _link(plan: aw.Plan) -> MotorLink:
    (found,) = motor_links(plan, plan.options[0])
    return found


@pytest.mark.parametrize(
    ("motor", "link", "leads", "rated"),
    [
        # a star at 400 V is a delta at 400 / sqrt(3) = 231 V: both ends of three windings, six
        ('voltage = "230/400 V"', "delta", 6, 230.0),
        ('voltage = "230/400 V"\nconnection = "D/Y"', "delta", 6, 230.0),
        # twice the voltage in series: the low one is the same link in parallel
        ('voltage = "230/460 V"\nleads = 9\nconnection = "star"', "double-star", 9, 230.0),
        ('voltage = "230/460 V"\nleads = 12\nconnection = "delta"', "double-delta", 12, 230.0),
        ('voltage = "230/460 V"\nleads = 9\nconnection = "YY/Y"', "double-star", 9, 230.0),
        # nothing on the plate tells a star from a delta here
        ('voltage = "230/460 V"\nleads = 9', "", 9, 230.0),
        ('voltage = "230/460 V"', "", None, 230.0),
        ('voltage = "240 V"\nconnection = "delta"', "delta", None, 240.0),
        # a star of 415 V with all six ends out is a delta of 415 / sqrt(3) = 239.6 V
        ('voltage = "415 V"\nleads = 6\nconnection = "star"', "delta", 6, 415.0 / 3.0**0.5),
    ],
)
def test_the_link_follows_from_the_plate(
    motor: str, link: str, leads: int | None, rated: float
) -> None:
    found = _link(_plan(motor))
    assert (found.link, found.leads) == (link, leads)
    assert found.rating_v == pytest.approx(rated, rel=1e-12)


def test_a_plate_as_text_is_read_like_the_plan_reads_it() -> None:
    plan = planned("tanner-row")
    assert plan.best is not None
    found = {one.motor: one for one in motor_links(plan, plan.best)}
    assert found["press/0"].rating_v == 230.0  # 208-230/460 V on 240 V
    assert found["press/0"].plate_v == (230.0, 460.0)
    assert set(found) == {"splitter/0", "splitter/1", "splitter/2", "press/0", "compressor/0"}


@pytest.mark.parametrize(
    ("leads", "link", "marking", "lines_1_2_3", "joined"),
    [
        # IEC 60034-8 and NEMA MG 1 Part 2, both from memory
        (6, "star", "iec", ("U1", "V1", "W1"), ("U2 V2 W2",)),
        (6, "delta", "iec", ("U1 W2", "U2 V1", "V2 W1"), ()),
        (6, "delta", "ansi", ("T1 T6", "T2 T4", "T3 T5"), ()),
        (9, "star", "ansi", ("T1", "T2", "T3"), ("T4 T7", "T5 T8", "T6 T9")),
        (9, "double-star", "iec", ("T1 T7", "T2 T8", "T3 T9"), ("T4 T5 T6",)),
        (9, "double-delta", "ansi", ("T1 T6 T7", "T2 T4 T8", "T3 T5 T9"), ()),
        (12, "delta", "ansi", ("T1 T12", "T10 T2", "T11 T3"), ("T4 T7", "T5 T8", "T6 T9")),
    ],
)
def test_leads_are_joined_as_the_standards_have_it(
    leads: int, link: str, marking: str, lines_1_2_3: tuple[str, ...], joined: tuple[str, ...]
) -> None:
    one = MotorLink(motor="saw/0", volts=240.0, link=link, leads=leads)
    found = one.terminals(marking)
    assert found is not None
    assert tuple(" ".join(sorted(group)) for group in found.lines) == lines_1_2_3
    assert tuple(" ".join(sorted(group)) for group in found.joined) == joined


@pytest.mark.parametrize("leads", [6, 9, 12])
@pytest.mark.parametrize("link", ["star", "delta", "double-star", "double-delta"])
def test_every_lead_is_somewhere_and_once(leads: int, link: str) -> None:
    found = MotorLink(motor="x/0", volts=240.0, link=link, leads=leads).terminals("ansi")
    if found is None:
        assert (leads, link) in {(6, "double-star"), (6, "double-delta")}
        return
    names = [name for group in (*found.lines, *found.joined) for name in group]
    assert sorted(names) == sorted(f"T{n}" for n in range(1, leads + 1))


def _ends(found: Leads, windings: list[tuple[str, str]]) -> list[tuple[str, str]]:
    """Return which nodes each winding lies between."""
    node = {name: f"L{n}" for n, group in enumerate(found.lines, 1) for name in group}
    node |= {name: f"x{n}" for n, group in enumerate(found.joined) for name in group}
    return [(node[a], node[b]) for a, b in windings]


def test_twelve_leads_in_double_delta_put_each_half_winding_on_two_lines() -> None:
    # halves 1-4, 7-10; 2-5, 8-11; 3-6, 9-12: each half lies on the full line voltage in parallel
    halves = [("T1", "T4"), ("T7", "T10"), ("T2", "T5"), ("T8", "T11"), ("T3", "T6"), ("T9", "T12")]
    found = MotorLink(motor="x/0", volts=240.0, link="double-delta", leads=12).terminals("ansi")
    assert found is not None
    ends = _ends(found, halves)
    assert ends[0] == ends[1] == ("L1", "L2")
    assert ends[2] == ends[3] == ("L2", "L3")
    assert ends[4] == ends[5] == ("L3", "L1")


def test_six_leads_in_delta_turn_like_the_lines() -> None:
    found = MotorLink(motor="x/0", volts=230.0, link="delta", leads=6).terminals("iec")
    assert found is not None
    pairs = [("U1", "U2"), ("V1", "V2"), ("W1", "W2")]
    assert _ends(found, pairs) == [("L1", "L2"), ("L2", "L3"), ("L3", "L1")]


def test_bridges_of_a_delta_stand_upright_and_that_of_a_star_lies() -> None:
    plan = _plan('voltage = "230/400 V"')
    assert plan.options
    svg = plan.diagram("connection", option=plan.options[0].id, symbols="iec").svg
    board = group(svg, "motor", "saw/0")
    bridges = [one for one in board.iter(f"{SVG}path") if one.get("stroke-width") == "2.6"]
    assert len(bridges) == 3 * 3  # beside each pair: out, down and back
    assert [name for name in words(board).split() if name[0] in "UVW" and len(name) == 2] == [
        "W2", "U1", "U2", "V1", "V2", "W1",
    ]  # fmt: skip
    assert len(list(lines(board))) > 3
    assert overlaps(svg) == []


@pytest.mark.parametrize("leads", [9, 12])
def test_more_leads_are_drawn_in_chains_that_do_not_meet(leads: int) -> None:
    plan = _plan(f'voltage = "230/460 V"\nleads = {leads}\nconnection = "star"')
    svg = plan.diagram("connection", option=plan.options[0].id).svg
    board = words(group(svg, "motor", "saw/0")).split()
    assert {f"T{n}" for n in range(1, leads + 1)} <= set(board)
    assert "(parallel)" in board
    assert overlaps(svg) == []


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"link": "", "leads": None}, "Leads and link are not in the plan: go by its plate."),
        ({"leads": None}, "The number of leads is not in the plan."),
        ({"rating_v": None}, "the plan knows no link that suits"),
        ({"plate_v": (), "link": "", "rating_v": None}, "The plan knows no voltage of its plate."),
        ({"by_starter": True}, "star-delta starter makes the links"),
    ],
)
def test_what_the_plan_lacks_is_said(change: dict[str, object], said: str) -> None:
    whole = MotorLink(
        motor="saw/0", volts=240.0, plate_v=(230.0, 400.0), rating_v=230.0, link="delta", leads=6
    )
    one = attrs.evolve(whole, **change)  # type: ignore[arg-type]
    assert said in described(one, wording_of(planned("saw")))
    assert one.terminals("iec") is None or change.keys() == {"rating_v"}


def test_a_starter_of_star_and_delta_makes_the_links() -> None:
    plan = _plan('voltage = "230/400 V"', 'starter = "star-delta"')
    found = _link(plan)
    assert found.by_starter
    assert found.terminals("iec") is None
    said = words(root(plan.diagram("connection", option=plan.options[0].id).svg))
    assert "take all bridges out" in said


def test_a_motor_that_is_exchanged_for_one_of_one_phase_has_no_such_box() -> None:
    plan = planned("tanner-row")
    option = next(one for one in plan.options if one.assignment["press"] == "motor-swap")
    left = {one.motor for one in motor_links(plan, option)}
    assert "press/0" not in left
    assert "splitter/0" in left


def test_motors_that_one_phase_feeds_have_no_such_box() -> None:
    plan = planned("saw")
    assert plan.best is not None
    assert motor_links(plan, plan.best) == ()
    assert "Terminal boxes" not in words(root(plan.diagram("connection").svg))
