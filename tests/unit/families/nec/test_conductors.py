"""Insulation, terminals, ambient, raceways, grounding conductors."""
# ruff: noqa: ANN401 - the builders take any field of a record

from typing import Any

import pytest

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
    """RMC is known from memory only, EMT was seen."""
    demand = us.demand(motors=(us.motor(5, 13),))
    for kind, said in (("RMC", True), ("EMT", False)):
        answer = us.ask(demand, us.site(raceway=kind))
        tables = {
            one.value for said_ in answer.assumptions for one in said_.parameters
            if said_.code == "table.from-memory" and one.name == "table"
        }  # fmt: skip
        assert ("raceway_rmc" in tables) is said


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
