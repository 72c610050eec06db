"""Insulation, terminals, ambient, raceways, grounding conductors."""
# ruff: noqa: ANN401 - the builders take any field of a record

from typing import Any

import attrs
import pytest
from tests.unit.families.nec.questions import bound

from ampwright.families.nec.answer import answer_circuit
from ampwright.families.nec.grounding import by_device, increased, smallest_of_area


def test_wet_places_and_their_insulation(us: Any) -> None:
    demand = us.demand(motors=(us.motor(5, 13),))
    buried = us.site(installation="buried-conduit", insulation="THHN")
    assert "conductor.insulation-unfit" in us.codes(us.ask(demand, buried))
    answer = us.ask(demand, us.site(installation="buried-conduit"))
    assert answer.circuit.raceway.kind == "PVC-40"
    assert answer.circuit.conductor.insulation == "THWN-2"
    warm = us.site(installation="buried-conduit", soil_temperature="20 degC")
    assert us.step(us.ask(demand, warm), "conditions/ambient_c") == 20


def test_converter_place_heats_what_ends_there(us: Any) -> None:
    site = us.site(converter_place={"ambient": "45 degC"})
    motors = (us.motor(5, 13),)
    assert (
        us.step(us.ask(us.demand(role="output", motors=motors), site), "conditions/ambient_c") == 45
    )
    assert us.step(us.ask(us.demand(motors=motors), site), "conditions/ambient_c") == 30


def test_nonmetallic_cable_keeps_to_60_c(us: Any) -> None:
    """31.25 A: NM-B 8 AWG by the 60 C column (40 A), although marked 75 C."""
    site = us.site(installation="cable", insulation="NM-B")
    answer = us.ask(us.single(loads=(us.load(25),)), site)
    assert us.step(answer, "conductor/terminal_c") == 60
    assert answer.circuit.raceway is None


def test_too_hot_for_any(us: Any) -> None:
    answer = us.ask(us.demand(motors=(us.motor(5, 13),)), us.site(ambient="88 degC"))
    assert "conductor.too-hot" in us.codes(answer)


@pytest.mark.parametrize(
    ("marked", "column"), [("60 degC", 60), ("74 degC", 60), ("75 degC", 75), ("85 degC", 75),
                           ("90 degC", 90), ("105 degC", 90), ("50 degC", 60)],
)  # fmt: skip
def test_terminals_marked_between_two_columns(us: Any, marked: str, column: float) -> None:
    answer = us.ask(us.single(loads=(us.load(25),)), us.site(terminals=marked))
    assert us.step(answer, "conductor/terminal_c") == column


@pytest.mark.parametrize(("ambient", "factor"), [("30", 1.0), ("30.2", 0.96), ("35", 0.96)])
def test_ambient_between_two_bands(us: Any, ambient: str, factor: float) -> None:
    answer = us.ask(us.single(loads=(us.load(25),)), us.site(ambient=f"{ambient} degC"))
    assert us.step(answer, "conductor/ambient_factor") == factor


def test_trunking_states_its_area(us: Any) -> None:
    """3 x 0.0097 + 0.0097 in2 of 14 AWG over a fifth: 0.194 in2."""
    site = us.site(installation="trunking")
    answer = us.ask(us.demand(motors=(us.motor(5, 13),)), site)
    assert us.step(answer, "raceway/needed_in2") == pytest.approx(0.194)
    assert answer.circuit.raceway is None


def test_raceway_that_is_not_tabulated(us: Any) -> None:
    answer = us.ask(us.demand(motors=(us.motor(5, 13),)), us.site(raceway="bamboo"))
    assert "plan.rule-not-checked" in us.codes(answer)
    assert answer.circuit is not None


@pytest.mark.parametrize(
    ("kind", "size"), [("EMT", "1/2"), ("IMC", "1/2"), ("PVC-80", "1/2"), ("RMC", "1/2")]
)
def test_raceway_as_stated(us: Any, kind: str, size: str) -> None:
    circuit = us.ask(us.demand(motors=(us.motor(5, 13),)), us.site(raceway=kind)).circuit
    assert (circuit.raceway.kind, circuit.raceway.size) == (kind, size)
    assert circuit.raceway.limit_fraction == 0.4


def test_the_fill_of_a_raceway_step_by_step(us: Any) -> None:
    """Three 10 AWG at 0.0211 in2 and one: 0.0844 in2; 1/2 EMT 0.304 in2: 27.8 % of 40 %."""
    circuit = us.ask(us.demand(motors=(us.motor(10, 26),))).circuit
    steps = {one.path.removeprefix("options/x/circuits/c/raceway/"): one
             for one in circuit.steps}  # fmt: skip
    assert steps["phase_area_in2"].value == steps["protective_area_in2"].value == 0.0211
    assert (steps["phase_area_in2"].symbol, steps["protective_area_in2"].symbol) == ("a_p", "a_g")
    assert steps["conductors"].value == 4
    assert steps["filled_in2"].value == pytest.approx(0.0844)
    assert steps["fill_fraction"].value == pytest.approx(0.0844 / 0.304)
    assert (steps["size"].value, steps["size"].cell) == ("1/2", ("1/2", "area_100"))


def test_a_wireway_step_by_step(us: Any) -> None:
    """Three 14 AWG at 0.0097 in2 and one: 0.0388 in2 fill a fifth: 0.194 in2."""
    answer = us.ask(us.demand(motors=(us.motor(1, 4),)), us.site(installation="trunking"))
    rules = {one.path.rpartition("/")[2]: one.rule for one in answer.circuit.steps
             if "/raceway/" in one.path}  # fmt: skip
    assert set(rules) == {"phase_area_in2", "protective_area_in2", "needed_in2"}
    assert set(rules.values()) == {"nec.376.22"}
    assert us.step(answer, "raceway/needed_in2") == pytest.approx(0.194)


def test_grouped_circuits_share_the_raceway(us: Any) -> None:
    """Two circuits of 3 + 1 conductors 14 AWG: 8 x 0.0097 = 0.0776 of 0.304 in2."""
    circuit = us.ask(us.demand(motors=(us.motor(3, 9),)), us.site(grouped_circuits=2)).circuit
    assert circuit.conductor.size == "14 AWG"
    assert circuit.raceway.fill_fraction == pytest.approx(0.0776 / 0.304)


def test_grounding_conductor_rows(us: Any) -> None:
    book = us.code.book
    assert by_device(book, 10, "cu") == ("15", "14")
    assert by_device(book, 60, "cu") == ("60", "10")
    assert by_device(book, 61, "al") == ("100", "6")
    assert by_device(book, 7000, "cu") is None


def test_never_larger_than_the_phase_conductor(us: Any) -> None:
    assert increased(us.code.book, "10", "14", "14") == "14"
    assert increased(us.code.book, "10", "8", "8") == "10"
    assert smallest_of_area(us.code.book, 4111) == "12"
    assert smallest_of_area(us.code.book, 1e8) is None


def test_next_smaller_raceway_is_shown(us: Any) -> None:
    """Three 6 AWG, 80 A device, 8 AWG: 0.1521 + 0.0366 = 0.1887 of 0.304 in2 in 1/2 EMT."""
    answer = us.ask(us.demand(motors=(us.motor(15, 40),)))
    assert us.step(answer, "raceway/smaller/fill_fraction") == pytest.approx(0.1887 / 0.304)
    least = us.ask(us.demand(motors=(us.motor(1, 4),)))
    with pytest.raises(StopIteration):
        us.step(least, "raceway/smaller/fill_fraction")


def test_a_table_read_from_memory_is_said(us: Any) -> None:
    """Table 310.16 was seen to 600 kcmil; what lies above is known from memory only."""
    for amps, said in ((400, False), (430, True)):
        answer = us.ask(us.demand(phases=1, loads=(us.load(amps, continuous=False),)))
        tables = {
            one.value for said_ in answer.assumptions for one in said_.parameters
            if said_.code == "table.from-memory" and one.name == "table"
        }  # fmt: skip
        assert ("ampacity" in tables) is said, answer.circuit.conductor.size


def test_the_lower_marking_of_both_ends_governs(us: Any) -> None:
    """Site 75 C, panel 60 C: 31.25 A takes 8 AWG by the 60 C column; either alone is taken."""
    demand = us.single(loads=(us.load(25),))
    low = us.supply(panel={"terminals": "60 degC"})
    assert us.step(us.ask(demand, us.site(), low), "conductor/terminal_c") == 60
    assert us.step(us.ask(demand, us.site(terminals=None), low), "conductor/terminal_c") == 60
    high = us.supply(panel={"terminals": "75 degC"})
    assert us.step(us.ask(demand, us.site(terminals=None), high), "conductor/terminal_c") == 75


def test_unmarked_terminals_by_the_smallest_end(us: Any) -> None:
    """Converter of 84 A plate: 105 A, 110 A device, 96.6 A asks for a 100 A switch: 60 C.

    At 90 A: 112.5 A, 125 A device, 103.5 A asks for a 200 A switch: 75 C.
    """
    site = us.site(terminals=None)
    for plate, column, size in ((84, 60, "1 AWG"), (90, 75, "2 AWG")):
        demand = us.single(role="supply", converter=us.converter(plate))
        answer = us.ask(demand, site)
        assert us.step(answer, "conductor/terminal_c") == column
        assert answer.circuit.conductor.size == size


def test_the_marking_of_the_panel_bears_on_its_own_circuits(us: Any) -> None:
    supply = us.supply(panel={"terminals": "75 degC"})
    for ahead, column in (("", 75), ("output.rotary", 60)):
        demand = us.demand(motors=(us.motor(5, 13),), fed_from=ahead)
        answer = us.ask(demand, us.site(terminals=None), supply)
        assert us.step(answer, "conductor/terminal_c") == column


def values(circuit: Any) -> dict[str, Any]:
    return {one.path.removeprefix("options/x/circuits/c/"): one.value for one in circuit.steps}


def test_the_next_smaller_size_is_shown_with_what_it_would_carry(us: Any) -> None:
    """35 A: 10 AWG (75 C: 35 A, 90 C: 40 A); below it 12 AWG: 25 and 30 A."""
    found = values(us.ask(us.demand(motors=(us.motor(10, 26),))).circuit)
    assert found["conductor/size"] == "10 AWG"
    assert found["conductor/smaller/size"] == "12 AWG"
    assert found["conductor/smaller/terminal_ampacity_a"] == 25
    assert found["conductor/smaller/table_ampacity_a"] == 30
    assert found["conductor/smaller/ampacity_a"] == 25
    least = values(us.ask(us.demand(motors=(us.motor(1, 4),))).circuit)
    assert least["conductor/size"] == "14 AWG"
    assert "conductor/smaller/size" not in least
    second = values(us.ask(us.demand(motors=(us.motor(7.5, 20),))).circuit)
    assert (second["conductor/size"], second["conductor/smaller/size"]) == ("10 AWG", "12 AWG")
    third = values(us.ask(us.demand(motors=(us.motor(5, 13),), voltage=us.figure(208))).circuit)
    assert third["conductor/size"] == "14 AWG"


def test_only_the_smallest_size_of_a_metal_has_none_below(us: Any) -> None:
    """Aluminum begins with 12 AWG: 20 A at 75 C; 22 A x 1.25 = 27.5 A asks for 10 AWG (30 A)."""
    site = us.site(conductor_material="aluminum")
    first = values(us.ask(us.demand(motors=(us.motor(5, 13),)), site).circuit)
    assert first["conductor/size"] == "12 AWG"
    assert "conductor/smaller/size" not in first
    next_one = values(us.ask(us.demand(motors=(us.motor(7.5, 20),)), site).circuit)
    assert next_one["conductor/size"] == "10 AWG"
    assert next_one["conductor/smaller/size"] == "12 AWG"


def test_metal_areas_are_those_of_the_circular_mils(us: Any) -> None:
    """10 AWG: 10 380 cmil; one is pi/4 x (0.0254 mm)^2 = 5.06707e-4 mm2: 5.2596 mm2."""
    circuit = us.ask(us.demand(motors=(us.motor(10, 26),))).circuit
    found = values(circuit)
    assert circuit.conductor.area_mm2 == pytest.approx(5.2596, rel=1e-4)
    for rule in ("terminals", "corrections"):
        assert found[f"conductor/limits/{rule}/area_mm2"] == pytest.approx(5.2596, rel=1e-4)


def test_the_next_standard_device_just_protects(us: Any) -> None:
    """82 A: device of 90 A. 4 AWG carries 85 A; 90 A is the next rating above it: 240.4(B)."""
    circuit = us.ask(us.single(loads=(us.load(82, continuous=False),))).circuit
    assert (circuit.conductor.size, circuit.protective_device.rating_a) == ("4 AWG", 90)
    found = values(circuit)
    assert found["conductor/limits/device/size"] == "4 AWG"


def test_above_800_a_no_next_device(us: Any) -> None:
    """Device of 1000 A: the conductor itself has to carry 1000 A, which no single size does."""
    answer = us.ask(us.single(role="output", loads=(us.load(790),)))
    assert "feeder.undersized" in us.codes(answer)


def test_conductors_count(us: Any) -> None:
    """Two on one phase, three on three; both times all of them carry current."""
    for demand, count in (
        (us.single(loads=(us.load(10),)), 2),
        (us.demand(motors=(us.motor(5, 13),)), 3),
    ):
        circuit = us.ask(demand).circuit
        assert circuit.conductor.count == count
        assert values(circuit)["conductor/count"] == count
        assert values(circuit)["conductor/together"] == count
        assert circuit.protective_conductor.count == 1


def test_nonmetallic_cable_below_and_above_the_border(us: Any) -> None:
    """NM-B is kept to 60 C whatever the terminals; its limit is a step with its clause."""
    site = us.site(terminals=None, installation="cable", insulation="NM-B")
    circuit = us.ask(us.single(role="supply", converter=us.converter(90)), site).circuit
    found = values(circuit)
    assert (found["conductor/unmarked_terminal_c"], found["conductor/terminal_c"]) == (75, 60)
    assert found["conductor/limit_c"] == 60
    assert circuit.conductor.size == "1/0 AWG"  # 125 A at 60 C; 1 AWG has 110 A
    (rule,) = {one.rule for one in circuit.steps if one.path.endswith("conductor/limit_c")}
    assert rule == "nec.310.4"


def test_soil_matters_only_to_what_lies_in_it(us: Any) -> None:
    motors = (us.motor(5, 13),)
    site = us.site(soil_temperature="20 degC", installation="conduit")
    assert us.step(us.ask(us.demand(motors=motors), site), "conditions/ambient_c") == 30
    buried = us.site(installation="buried-conduit")
    assert us.step(us.ask(us.demand(motors=motors), buried), "conditions/ambient_c") == 30


def test_the_grounding_conductor_step_by_step(us: Any) -> None:
    """25 A over 60 m at 3 %: 8 to 6 AWG; Table 250.122 at 35 A: 10 AWG, 10 380 cmil.

    10 380 x 26 240 / 16 510 = 16 497 cmil: 8 AWG (16 510 cmil, 8.366 mm2).
    """
    demand = us.single(
        loads=(us.load(25),), length=us.figure(60), running_current=us.figure(25),
        power_factor=us.figure(1),
    )  # fmt: skip
    book = us.code.book
    strict = bound(book, 0.03)
    answer = answer_circuit(strict, demand, us.site(), us.supply(), "options/x/circuits/c")
    assert answer.circuit is not None
    found = values(answer.circuit)
    assert found["protective_conductor/table/size"] == "10 AWG"
    assert found["protective_conductor/size"] == "8 AWG"
    assert found["protective_conductor/wanted_mm2"] == pytest.approx(16497 * 5.06707e-4, rel=1e-4)
    plain = values(us.ask(demand).circuit)
    assert plain["protective_conductor/wanted_mm2"] == pytest.approx(10380 * 5.06707e-4, rel=1e-4)


def test_the_grounding_conductor_is_bounded_by_the_phase(us: Any) -> None:
    """10 hp with a 50 A device: 10 AWG by the table, and 10 AWG of phase; 5 hp: 14 AWG."""
    for power, size in ((10, "10 AWG"), (5, "14 AWG")):
        found = values(us.ask(us.demand(motors=(us.motor(power, 13),))).circuit)
        assert found["protective_conductor/size"] == size
        assert found["protective_conductor/wanted_mm2"] == found["conductor/area_mm2"]


def test_a_device_past_the_grounding_table_blocks(us: Any) -> None:
    """A region whose table ends at 60 A: an 80 A device has no row."""
    book = us.code.book
    table = book.tables["grounding_conductor"]
    short = attrs.evolve(table, rows=[one for one in table.rows if float(one[table.key]) <= 60])
    cut = attrs.evolve(book, tables={**book.tables, "grounding_conductor": short}, columns={})
    demand = us.single(role="supply", converter=us.converter(60))
    answer = answer_circuit(cut, demand, us.site(), us.supply(), "options/x/circuits/c")
    (said,) = [one for one in answer.findings if one.severity == "blocks"]
    assert (said.code, said.rule) == ("feeder.undersized", "nec.250.122(A)")
    assert {one.name: one.value for one in said.parameters} == {"rating": 80.0}


@pytest.mark.parametrize(
    ("installation", "said"), [("tray", True), ("overhead", True), ("conduit", False)]
)
def test_a_table_on_the_safe_side_is_said(us: Any, installation: str, said: bool) -> None:  # noqa: FBT001 - a case
    """In free air Table 310.17 allows more than 310.16, which is taken."""
    answer = us.ask(us.demand(motors=(us.motor(5, 13),)), us.site(installation=installation))
    assert ("site.free-air-not-used" in us.assumed(answer)) is said
