"""The existing feeder as it lies, and the separate building behind it."""
# ruff: noqa: ANN401 - the builders take any field of a record

from typing import Any

import pytest
from tests.unit.families.nec.services import ask, codes, parameter

FEEDER = {"size": "2 AWG", "material": "copper", "length": "30 m", "insulation": "THWN-2"}


def test_existing_feeder_as_it_lies(us: Any) -> None:
    """2 AWG copper: 115 A at 75 C; 100 A main; 67.5 A over 30 m in steel.

    2 x 67.5 x 30 / 304.8 x (0.20 x 0.85 + 0.057 x 0.5268) = 2.658 V, 1.11 %.
    """
    answer = ask(us, rating="100 A", feeder=FEEDER)
    circuit = answer.circuit
    assert circuit is not None
    assert circuit.role == "service"
    assert circuit.conductor.ampacity_a == 115
    assert circuit.conductor.count == 2
    assert circuit.design_current_a == pytest.approx(67.5)
    assert circuit.voltage_drop_fraction == pytest.approx(2.658 / 240, rel=1e-3)
    assert "feeder.undersized" not in codes(answer)


def test_feeder_below_its_device(us: Any) -> None:
    """115 A may be protected by 125 A at most: 125 A is right, 150 A is not."""
    assert "feeder.undersized" not in codes(ask(us, rating="125 A", feeder=FEEDER))
    assert "feeder.undersized" in codes(ask(us, rating="150 A", feeder=FEEDER))


def test_feeder_below_its_load(us: Any) -> None:
    answer = ask(us, amps=100, rating="125 A", feeder=FEEDER)
    assert answer.load_a == pytest.approx(117.5)
    assert "feeder.undersized" in codes(answer)


def test_two_sets_carry_twice_as_much_and_drop_half(us: Any) -> None:
    one = ask(us, rating="100 A", feeder=FEEDER).circuit
    two = ask(us, rating="100 A", feeder=FEEDER | {"parallel_sets": 2}).circuit
    assert two.conductor.ampacity_a == 2 * one.conductor.ampacity_a
    assert two.conductor.count == 4
    assert two.voltage_drop_fraction == pytest.approx(one.voltage_drop_fraction / 2)


def test_long_feeder_drops_too_much(us: Any) -> None:
    answer = ask(us, rating="100 A", feeder=FEEDER | {"length": "90 m"})
    assert "feeder.voltage-drop" in codes(answer)
    assert "feeder.voltage-drop" not in codes(ask(us, rating="100 A", feeder=FEEDER))


@pytest.mark.parametrize("missing", ["size", "length"])
def test_feeder_not_known_is_asked_for(us: Any, missing: str) -> None:
    feeder = {key: value for key, value in FEEDER.items() if key != missing}
    answer = ask(us, feeder=feeder)
    assert answer.circuit is None
    assert f"supply.feeder.{missing}" in {one.field for one in answer.questions}


@pytest.mark.parametrize(("size", "material"), [("14 AWG", "aluminum"), ("4 mm2", "copper")])
def test_feeder_of_a_size_that_the_tables_lack(us: Any, size: str, material: str) -> None:
    """There is no 14 AWG aluminum in Table 310.16, and no metric size."""
    answer = ask(us, feeder=FEEDER | {"size": size, "material": material})
    assert answer.circuit is None
    assert "supply.feeder.size" in {one.field for one in answer.questions}


def test_numbers_of_the_feeder_have_steps(us: Any, walked: Any) -> None:
    for sets in (1, 2):
        circuit = ask(us, rating="100 A", feeder=FEEDER | {"parallel_sets": sets}).circuit
        steps = {one.path: one.value for one in circuit.steps}
        for path, value in walked(circuit, "options/x/circuits/service"):
            assert steps[path] == value, path


@pytest.mark.parametrize(
    ("size", "material", "conductor"),
    [
        ("2 AWG", "copper", "8 AWG"),
        ("1 AWG", "copper", "6 AWG"),
        ("1/0 AWG", "aluminum", "8 AWG"),
        ("2/0 AWG", "aluminum", "6 AWG"),
        ("250 kcmil", "copper", "2 AWG"),
    ],
)
def test_separate_building(us: Any, size: str, material: str, conductor: str) -> None:
    """Table 250.66 by the feeder, copper electrode conductor."""
    feeder = FEEDER | {"size": size, "material": material}
    answer = ask(us, feeder=feeder, site=us.site(detached_building=True))
    assert parameter(answer, "supply.earthing-export", "electrode_conductor") == conductor
    assert parameter(answer, "supply.earthing-export", "disconnect") == 60


def test_separate_building_with_a_small_main(us: Any) -> None:
    answer = ask(us, amps=5, rating="40 A", site=us.site(detached_building=True))
    assert parameter(answer, "supply.panel-unfit", "reason") == "building-disconnect"
    assert parameter(answer, "supply.earthing-export", "electrode_conductor") == ""
    assert "supply.feeder.size" in {one.field for one in answer.questions}
    assert "supply.earthing-export" not in codes(ask(us))


def test_parallel_sets_count_together_for_the_electrode(us: Any) -> None:
    """Two sets of 2/0: 266 200 cmil, up to 350 kcmil: 2 AWG."""
    feeder = FEEDER | {"size": "2/0 AWG", "parallel_sets": 2}
    answer = ask(us, feeder=feeder, site=us.site(detached_building=True))
    assert parameter(answer, "supply.earthing-export", "electrode_conductor") == "2 AWG"


def test_a_main_that_just_suffices_for_a_building(us: Any) -> None:
    exact = ask(us, amps=5, rating="60 A", site=us.site(detached_building=True))
    assert "supply.panel-unfit" not in codes(exact)
    unknown = ask(us, amps=5, rating=None, site=us.site(detached_building=True))
    assert "supply.panel-unfit" not in codes(unknown)


def test_how_the_feeder_lies_is_its_own(us: Any) -> None:
    """In plastic 0.19 + j0.045, in steel 0.20 + j0.057 ohm/kft for 2 AWG copper."""
    steel = ask(us, rating="100 A", feeder=FEEDER).circuit
    plastic = ask(us, rating="100 A", feeder=FEEDER | {"installation": "buried-conduit"}).circuit
    assert plastic.voltage_drop_fraction / steel.voltage_drop_fraction == pytest.approx(
        (0.19 * 0.85 + 0.045 * 0.5268) / (0.20 * 0.85 + 0.057 * 0.5268), rel=1e-3
    )
    grouped = us.site(grouped_circuits=3)
    alone = ask(us, rating="100 A", feeder=FEEDER, site=grouped).circuit
    assert alone.conductor.ampacity_a == steel.conductor.ampacity_a


def test_the_feeder_has_its_own_metal_insulation_and_surroundings(us: Any) -> None:
    """2 AWG aluminum: 90 A at 75 C. What is stated of the feeder goes before the site's."""
    site = us.site(conductor_material="copper", insulation="THW",
                   converter_place={"ambient": "50 degC"})  # fmt: skip
    feeder = FEEDER | {"material": "aluminum"}
    circuit = ask(us, amps=20, rating="90 A", feeder=feeder, site=site).circuit
    assert (circuit.conductor.material, circuit.conductor.ampacity_a) == ("aluminum", 90)
    assert circuit.conductor.insulation == "THWN-2"
    steps = {one.path: one for one in circuit.steps}
    assert steps["options/x/circuits/service/conditions/ambient_c"].value == 30
    assert steps["options/x/circuits/service/conductor/insulation_c"].value == 90
    unstated = {key: value for key, value in FEEDER.items() if key in ("size", "length")}
    circuit = ask(us, amps=20, rating="90 A", feeder=unstated, site=site).circuit
    assert (circuit.conductor.material, circuit.conductor.insulation) == ("copper", "THW")


def test_the_electrode_conductor_is_a_step_with_its_clause(us: Any) -> None:
    answer = ask(us, feeder=FEEDER, site=us.site(detached_building=True))
    (step,) = [one for one in answer.steps if "grounding_electrode" in one.path]
    assert (step.value, step.rule, step.cell) == ("8 AWG", "nec.250.66", ("first", "cu"))
    (said,) = [one for one in answer.findings if one.code == "supply.earthing-export"]
    assert (said.severity, said.rule) == ("caution", "nec.250.32")
    small = ask(us, amps=5, rating="40 A", site=us.site(detached_building=True))
    (unfit,) = [one for one in small.findings if one.code == "supply.panel-unfit"]
    assert (unfit.severity, unfit.rule) == ("caution", "nec.225.39")
    (asked,) = [one for one in small.questions if one.field == "supply.feeder.size"]
    assert (asked.changes, asked.where) == ("safety", ())


@pytest.mark.parametrize(("size", "sets", "conductor"), [("2000 kcmil", 6, "3/0 AWG"),
                                                         ("16 mm2", 1, "")])  # fmt: skip
def test_electrode_conductor_past_the_table(us: Any, size: str, sets: int, conductor: str) -> None:
    """The last row holds for all that is larger; a metric size is in no row."""
    feeder = FEEDER | {"size": size, "parallel_sets": sets}
    answer = ask(us, feeder=feeder, site=us.site(detached_building=True))
    assert parameter(answer, "supply.earthing-export", "electrode_conductor") == conductor


def test_each_number_of_a_feeder_names_its_clause(us: Any) -> None:
    circuit = ask(us, rating="100 A", feeder=FEEDER | {"parallel_sets": 2}).circuit
    assert circuit is not None
    rules = {one.path.removeprefix("options/x/circuits/service/"): one.rule
             for one in circuit.steps}  # fmt: skip
    assert rules["conductor/ampacity_a"] == rules["conductor/count"] == "nec.310.10(G)"
    assert rules["conductor/pair"] == rules["conductor/together"] == "nec.310.15(C)(1)"
    assert rules["design_current_a"] == "nec.215.2(A)"
    for name in ("impedance/r_ohm_per_kft", "impedance/x_ohm_per_kft", "frequency_hz",
                 "voltage_drop_fraction"):  # fmt: skip
        assert rules[name] == "nec.9.9"
    assert rules["protective_device/poles"] == "nec.240.15(B)"
    assert circuit.conductor.count == 4


@pytest.mark.parametrize(("amps", "blocks"), [(97.5, False), (97.6, True)])
def test_a_feeder_just_carries_its_load(us: Any, amps: float, *, blocks: bool) -> None:
    """17.5 + 97.5 = 115 A on 2 AWG (115 A); the main of 125 A is the next rating."""
    answer = ask(us, amps=amps, rating="125 A", feeder=FEEDER)
    said = [one for one in answer.findings if one.code == "feeder.undersized"]
    assert bool(said) is blocks
    for one in said:
        assert (one.severity, one.rule, one.where) == ("blocks", "nec.215.2(A)", ("service",))
        values = {each.name: each.value for each in one.parameters}
        assert values == {"ampacity": 115, "load": pytest.approx(115.1), "device": 125}


def test_a_feeder_that_drops_too_much_names_the_note(us: Any) -> None:
    answer = ask(us, rating="100 A", feeder=FEEDER | {"length": "90 m"})
    (said,) = [one for one in answer.findings if one.code == "feeder.voltage-drop"]
    assert (said.severity, said.rule) == ("caution", "nec.215.2(A)")
    values = {one.name: one.value for one in said.parameters}
    assert values["recommended"] == 0.03
    assert values["drop"] == pytest.approx(3 * 2.658 / 240, rel=1e-3)


@pytest.mark.parametrize(
    ("amps", "rating", "code"),
    [
        (77.5, "100 A", ""),  # 95 A: just carried by the 60 C column
        (77.6, "100 A", "feeder.terminals-decide"),  # 95.1 A; 115 A if marked for 75 C
        (97.5, "100 A", "feeder.terminals-decide"),  # 115 A
        (97.6, "100 A", "feeder.undersized"),
    ],
)
def test_unmarked_terminals_may_decide_on_a_feeder(
    us: Any, amps: float, rating: str, code: str
) -> None:
    """2 AWG copper: 95 A at 60 C, 115 A at 75 C; 17.5 A are there already."""
    site = us.site(terminals=None)
    answer = ask(us, amps=amps, rating=rating, feeder=FEEDER, site=site)
    said = [one for one in answer.findings if one.code.startswith("feeder.")]
    assert [one.code for one in said if one.code != "feeder.voltage-drop"] == [code] * bool(code)
    if code == "feeder.terminals-decide":
        (one,) = [one for one in said if one.code == code]
        assert (one.severity, one.rule) == ("caution", "nec.110.14(C)")
        values = {each.name: each.value for each in one.parameters}
        assert values["marked"] == 115
        assert values["marking"] == "75"
        assert values["ampacity"] == 95
        assert answer.circuit is not None
        (step,) = [one for one in answer.circuit.steps if "marked_ampacity" in one.path]
        assert (step.rule, step.cell) == ("nec.110.14(C)", ("2", "cu_75c"))
        asked = {(q.field, q.changes, q.choices) for q in answer.questions}
        assert ("site.terminals", "size", ("60 degC", "75 degC")) in asked


def test_marked_terminals_decide_nothing_more(us: Any) -> None:
    answer = ask(us, amps=80, rating="100 A", feeder=FEEDER, site=us.site(terminals="60 degC"))
    assert "feeder.undersized" in codes(answer)
    assert "feeder.terminals-decide" not in codes(answer)


def test_a_cable_for_60_c_gains_nothing_by_its_terminals(us: Any) -> None:
    """NM-B keeps to the 60 C column (95 A) whatever its terminals are marked for."""
    feeder = FEEDER | {"installation": "cable", "insulation": "NM-B"}
    answer = ask(us, amps=80, rating="100 A", feeder=feeder, site=us.site(terminals=None))
    assert "feeder.undersized" in codes(answer)
    assert "feeder.terminals-decide" not in codes(answer)


def test_two_sets_reach_twice_as_far_by_their_terminals(us: Any) -> None:
    """Two sets of 2 AWG: 190 A at 60 C, 230 A at 75 C."""
    site = us.site(terminals=None)
    feeder = FEEDER | {"parallel_sets": 2}
    for amps, code in ((212, "feeder.terminals-decide"), (213, "feeder.undersized")):
        answer = ask(us, amps=amps, rating="90 A", feeder=feeder, site=site)
        assert code in codes(answer), amps


def test_the_device_bears_on_what_terminals_may_prove(us: Any) -> None:
    """115 A may stand behind 125 A; a main of 100 A is the last that reads the 60 C column."""
    site = us.site(terminals=None)
    hot = us.site(terminals=None, ambient="50 degC")
    answer = ask(us, amps=5, rating="100 A", feeder=FEEDER, site=site)
    assert "feeder.undersized" not in codes(answer)
    small = FEEDER | {"size": "4 AWG"}  # 70 A at 60 C, 85 A at 75 C: up to 90 A
    for rating, code in (("90 A", "feeder.terminals-decide"), ("100 A", "feeder.undersized")):
        answer = ask(us, amps=60, rating=rating, feeder=small, site=site)
        assert code in codes(answer), rating
    # 50 C: 95 x 0.82 = 77.9 A of insulation, less than the 85 A of the terminals
    answer = ask(us, amps=62, rating="80 A", feeder=small, site=hot)
    assert "feeder.undersized" in codes(answer)


def test_the_marking_of_the_panel_bears_on_its_feeder(us: Any) -> None:
    """Site 75 C, panel 60 C: 2 AWG copper carries 95 A."""
    answer = ask(us, amps=20, rating="90 A", feeder=FEEDER, panel={"terminals": "60 degC"})
    assert answer.circuit is not None
    assert answer.circuit.conductor.ampacity_a == 95


@pytest.mark.parametrize(
    ("sets", "neutral", "protective", "short"),
    [
        (1, "8 AWG", "8 AWG", set()),
        (1, "10 AWG", "8 AWG", {"neutral"}),
        (1, "8 AWG", "10 AWG", {"protective"}),
        (2, "10 AWG", "8 AWG", set()),  # 2 x 10 380 cmil together
        (2, "8 AWG", "10 AWG", {"protective"}),  # each has the full size
        (1, None, None, set()),
        (1, "10 mm2", "10 mm2", set()),  # no gauge, and not compared
    ],
)
def test_neutral_and_protective_conductor_of_a_feeder(
    us: Any, sets: int, neutral: str | None, protective: str | None, short: set[str]
) -> None:
    """100 A: 8 AWG copper by Table 250.122, 16 510 cmil; 215.2(A)(2) asks the same of a neutral."""
    feeder = FEEDER | {
        "parallel_sets": sets, "neutral_size": neutral, "protective_size": protective,
    }  # fmt: skip
    answer = ask(us, amps=20, rating="100 A", feeder=feeder)
    rules = {"neutral": "nec.215.2(A)", "protective": "nec.250.122(A)"}
    said = {one.code: one for one in answer.findings if one.code.endswith("-undersized")}
    assert set(said) == {f"feeder.{name}-undersized" for name in short}
    for name in short:
        one = said[f"feeder.{name}-undersized"]
        assert (one.severity, one.rule) == ("caution", rules[name])
        values = {each.name: each.value for each in one.parameters}
        assert values == {"size": "10 AWG", "device": 100.0, "wanted": "8 AWG"}


def test_a_main_past_the_grounding_table_asks_nothing_of_the_neutral(us: Any) -> None:
    answer = ask(us, rating="7000 A", feeder=FEEDER | {"neutral_size": "10 AWG"})
    assert "feeder.neutral-undersized" not in codes(answer)


@pytest.mark.parametrize(
    ("stated", "taken"), [("75 degC", "75"), ("90 degC", "90"), ("60 degC", "60")]
)
def test_the_temperature_of_a_feeders_insulation(us: Any, stated: str, taken: str) -> None:
    """Where no designation is known, an insulation made for that temperature is taken."""
    bare = {key: value for key, value in FEEDER.items() if key != "insulation"}
    answer = ask(us, amps=20, rating="90 A", feeder=bare | {"insulation_temperature": stated})
    assert answer.circuit is not None
    (step,) = [one for one in answer.circuit.steps if one.path.endswith("insulation_c")]
    assert f"{step.value:.0f}" == taken
    own = ask(us, amps=20, rating="90 A", feeder=FEEDER | {"insulation_temperature": "60 degC"})
    assert own.circuit is not None
    assert own.circuit.conductor.insulation == "THWN-2"
