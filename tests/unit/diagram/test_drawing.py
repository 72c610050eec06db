"""Drawings of whole plans: complete, legible, the same every time."""

import subprocess
import sys
from collections import Counter
from functools import cache
from itertools import combinations
from pathlib import Path
from xml.etree import ElementTree as ET

import attrs
import pytest

import ampwright as aw
from ampwright.diagram.scene import width
from ampwright.errors import InputError

SVG = "{http://www.w3.org/2000/svg}"
EXAMPLES = Path(__file__).parents[3] / "docs" / "examples"
ABROAD = """
schema = "ampwright.shop/1"
name = "Works <No. 7> & sons"
region = "iec"
[supply]
arrangement = "line-neutral"
voltage = "230 V"
frequency = "50 Hz"
rating = "63 A"
fault_current = "3 kA"
earthing = "tn-s"
[site]
ambient = "30 degC"
"""
MACHINE = """
[[machines]]
id = "{id}"
name = "{name}"
length = "9 m"
start = "light"
load_torque = "friction"
[[machines.motors]]
power = "{power}"
voltage = "{volts}"
frequency = "50 Hz"
speed = "1420 rpm"
"""


def _abroad(folder: Path) -> aw.Shop:
    rows = (
        ("lathe", 'Lathe \\"large\\" </text>', "2.2 kW", "230/400 V"),
        ("mill", "Universalwerkzeugfräsmaschine", "1.5 kW", "400 V"),
    )
    text = ABROAD + "".join(
        MACHINE.format(id=one, name=name, power=power, volts=volts)
        for one, name, power, volts in rows
    )
    path = folder / "abroad.toml"
    path.write_text(text, encoding="utf-8")
    return aw.load_shop(path)


def _doubled() -> aw.Shop:
    """Return twelve machines."""
    stated = aw.load_shop(EXAMPLES / "quarry-lane.toml").to_dict()
    more = [
        {**one, "id": f"{one['id']}2", "name": f"{one['name']} in the second bay"}
        for one in stated["machines"]
    ]
    stated["machines"] += more
    stated["supply"] |= {"rating": "400 A", "transformer": "75 kVA"}
    return aw.Shop.from_dict(stated)


@cache
def _planned(name: str) -> aw.Plan:
    return aw.plan(_doubled() if name == "twelve" else aw.load_shop(EXAMPLES / name))


@pytest.fixture(params=["quarry-lane.toml", "tanner-row.toml", "twelve", "abroad"])
def plan(request: pytest.FixtureRequest, tmp_path: Path) -> aw.Plan:
    """Return the plan of a shop."""
    name = str(request.param)
    return aw.plan(_abroad(tmp_path)) if name == "abroad" else _planned(name)


@pytest.fixture
def one() -> aw.Plan:
    """Return one plan."""
    return _planned("tanner-row.toml")


def _root(svg: str) -> ET.Element:
    return ET.fromstring(svg)  # noqa: S314 - our own text


def _marked(svg: str, kind: str) -> Counter[str]:
    found = (group.get(f"data-{kind}") for group in _root(svg).iter(f"{SVG}g"))
    return Counter(name for name in found if name is not None)


def test_every_part_of_every_option_is_drawn_once(plan: aw.Plan) -> None:
    for option in plan.options:
        svg = plan.diagram(option=option.id).svg
        for kind, parts in (
            ("circuit", option.circuits),
            ("converter", option.converters),
            ("transformer", option.transformers),
        ):
            assert _marked(svg, kind) == Counter(part.id for part in parts), (option.id, kind)
        circuits = {fed for circuit in option.circuits for fed in circuit.feeds}
        wanted = {machine.id for machine in option.machines} & circuits
        assert _marked(svg, "machine").keys() == wanted, option.id


def test_no_words_run_into_others_or_off_the_sheet(plan: aw.Plan) -> None:
    for option in plan.options:
        root = _root(plan.diagram(option=option.id).svg)
        across, down = float(root.get("width", "0")), float(root.get("height", "0"))
        boxes = [_box(text) for text in root.iter(f"{SVG}text")]
        for left, top, right, bottom, words in boxes:
            assert left >= 0.0, words
            assert right <= across, words
            assert top >= 0.0, words
            assert bottom <= down, words
        for first, second in combinations(boxes, 2):
            apart = (
                first[2] <= second[0]
                or second[2] <= first[0]
                or first[3] <= second[1]
                or second[3] <= first[1]
            )
            assert apart, (option.id, first, second)


def _box(text: ET.Element) -> tuple[float, float, float, float, str]:
    """Return the corners of a line of words, from the top of its letters to below their tails."""
    x, y, size = (float(text.get(name, "0")) for name in ("x", "y", "font-size"))
    words = text.text or ""
    across = width(words, size, bold=text.get("font-weight") == "700")
    left = x - across / 2.0 if text.get("text-anchor") == "middle" else x
    return left, y - 0.75 * size, left + across, y + 0.22 * size, words


def test_what_the_plan_says_of_a_circuit_stands_in_the_drawing(one: aw.Plan) -> None:
    assert one.best is not None
    root = _root(one.diagram().svg)
    for circuit in one.best.circuits:
        (group,) = (g for g in root.iter(f"{SVG}g") if g.get("data-circuit") == circuit.id)
        words = " ".join(text.text or "" for text in group.iter(f"{SVG}text"))
        words = words.replace("\u00a0", " ")
        assert circuit.conductor.size in words, circuit.id
        assert f"{circuit.protective_device.rating_a:g} A" in words, circuit.id
        assert circuit.disconnect is None or f"{circuit.disconnect.rating_a:g} A" in words


def test_names_of_the_caller_are_text_and_nothing_else(tmp_path: Path) -> None:
    made = aw.plan(_abroad(tmp_path))
    svg = made.diagram().svg
    texts = {text.text for text in _root(svg).iter(f"{SVG}text")}
    assert "Works <No. 7> & sons" in texts
    assert {element.tag for element in _root(svg).iter()} == {
        f"{SVG}{name}" for name in ("svg", "title", "rect", "g", "path", "text")
    }


def test_symbols_are_those_of_the_region_unless_others_are_asked_for(
    one: aw.Plan, tmp_path: Path
) -> None:
    assert one.diagram().symbols == "ansi"
    assert aw.plan(_abroad(tmp_path)).diagram().symbols == "iec"
    iec, ansi = (one.diagram(symbols=name).svg for name in ("iec", "ansi"))
    strokes = [
        Counter(path.get("d") for path in _root(svg).iter(f"{SVG}path")) for svg in (iec, ansi)
    ]
    assert strokes[0] != strokes[1]
    assert one.diagram(symbols="ansi").svg == one.diagram().svg != iec


def test_the_drawing_says_that_it_is_no_licence_and_which_plan_it_is_of(one: aw.Plan) -> None:
    words = " ".join(text.text or "" for text in _root(one.diagram().svg).iter(f"{SVG}text"))
    assert "no licence to wire" in words
    assert one.id in words


def test_a_machine_without_a_circuit_is_named_below(one: aw.Plan) -> None:
    best = one.best
    assert best is not None
    left = tuple(part for part in best.circuits if "cabinet" not in part.feeds)
    poor = attrs.evolve(one, options=(attrs.evolve(best, circuits=left), *one.options[1:]))
    words = " ".join(text.text or "" for text in _root(poor.diagram().svg).iter(f"{SVG}text"))
    assert "no circuit leads there: Drying cabinet" in words.replace("\u00a0", " ")


def test_a_drawing_in_another_language(one: aw.Plan) -> None:
    words = one.diagram(language="de").svg
    assert "Einpoliger Übersichtsschaltplan" in words
    assert "One-line diagram" not in words


@pytest.mark.parametrize("kind", ["connections", "one line", ""])
def test_other_drawings_are_refused_and_what_exists_is_named(one: aw.Plan, kind: str) -> None:
    with pytest.raises(InputError, match="one-line") as caught:
        one.diagram(kind)
    assert caught.value.code == "diagram.unknown"


def test_other_symbols_and_options_are_refused(one: aw.Plan) -> None:
    with pytest.raises(InputError, match="iec, ansi"):
        one.diagram(symbols="din")  # type: ignore[arg-type]
    with pytest.raises(InputError, match="rotary"):
        one.diagram(option="perpetual-motion")
    with pytest.raises(InputError, match="option"):
        attrs.evolve(one, options=(), chosen=None).diagram()


def test_saved_it_is_the_text_to_the_byte_in_every_process(one: aw.Plan, tmp_path: Path) -> None:
    stored, path = tmp_path / "plan.json", tmp_path / "plan.svg"
    stored.write_text(one.to_json(), encoding="utf-8")
    drawn = one.diagram()
    drawn.save(path)
    code = (
        "import sys, pathlib, ampwright as aw;"
        "text = pathlib.Path(sys.argv[1]).read_text(encoding='utf-8');"
        "sys.stdout.buffer.write(aw.Plan.from_json(text).diagram().svg.encode('utf-8'))"
    )
    done = subprocess.run(  # noqa: S603 - our own interpreter, our own text
        [sys.executable, "-c", code, str(stored)], check=True, capture_output=True
    )
    assert done.stdout == path.read_bytes() == drawn.svg.encode("utf-8")
    assert drawn._repr_svg_() == drawn.svg


def test_it_is_saved_under_a_name_that_says_what_it_is(one: aw.Plan, tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"\.svg"):
        one.diagram().save(tmp_path / "plan.png")


def test_the_page_holds_the_drawing_in_parts_and_every_circuit_once() -> None:
    made = _planned("twelve")
    assert made.best is not None
    page = made.report("html")
    start = page.index('<section id="diagram"')
    part = page[start : page.index("</section>", start)]
    assert part.count("<svg ") > 1
    for circuit in made.best.circuits:
        assert part.count(f'data-circuit="{circuit.id}"') == 1
    assert "<script" not in page


def test_a_report_in_text_draws_nothing(one: aw.Plan, monkeypatch: pytest.MonkeyPatch) -> None:
    def drawn(*_: object, **__: object) -> tuple[str, ...]:
        raise AssertionError("drawn for nobody")

    monkeypatch.setattr("ampwright.report.document.pages", drawn)
    assert one.report("text")
    assert one.report("markdown")
    with pytest.raises(AssertionError, match="for nobody"):
        one.report("html")


def test_planning_loads_nothing_that_draws() -> None:
    code = (
        "import sys, ampwright as aw; aw.plan(aw.load_shop(sys.argv[1]));"
        "print([name for name in sys.modules if name.startswith('ampwright.diagram')])"
    )
    done = subprocess.run(  # noqa: S603 - our own interpreter, our own text
        [sys.executable, "-c", code, str(EXAMPLES / "tanner-row.toml")],
        check=True,
        capture_output=True,
        text=True,
    )
    assert done.stdout.strip() == "[]"
