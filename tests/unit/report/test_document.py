"""The document made from a decision."""

import re

import attrs
import pytest

from ampwright.decision import Decision, PluginUsed
from ampwright.errors import InputError
from ampwright.finding import Finding, Question
from ampwright.report.blocks import (
    Column,
    Document,
    Facts,
    Grid,
    Listing,
    Row,
    Signatures,
    Sources,
    Text,
    Trail,
)
from ampwright.report.document import document
from ampwright.report.trail import ranges


def _grid(made: Document, section: str) -> Grid:
    found = next(b for b in made.section(section).blocks if isinstance(b, Grid))
    assert all(len(row.cells) == len(found.columns) for row in found.rows)
    return found


def _texts(made: Document, section: str) -> list[str]:
    return [block.text for block in made.section(section).blocks if isinstance(block, Text)]


def test_the_answer_stands_first_and_names_every_machine(decision: Decision) -> None:
    made = document(decision)
    assert [one.id for one in made.sections][:2] == ["owner", "answer"]
    text, *_ = _texts(made, "answer")
    assert text == (
        "Yes, under the conditions below: Panel saw and Dust extraction on a rotary converter; "
        "Kiln relinked for single-phase."
    )


@pytest.mark.parametrize("change", ["method", "size"])
def test_a_question_that_changes_method_or_size_is_the_first_line(
    decision: Decision, change: str
) -> None:
    asked = Question(code="x.y", field="machines[0].controls", where=("saw",), changes=change)
    made = document(attrs.evolve(decision, questions=(*decision.questions, asked)))
    first = _texts(made, "answer")[0]
    assert first.startswith("Do not buy yet. Panel saw: Find out where the controls")


def test_a_question_of_figures_does_not_stop_anybody(decision: Decision) -> None:
    assert not any("Do not buy" in text for text in _texts(document(decision), "answer"))


def test_the_finding_alone_stops_too(decision: Decision) -> None:
    stop = Finding(code="plan.do-not-buy-yet", severity="caution")
    made = document(attrs.evolve(decision, findings=(stop, *decision.findings)))
    assert _texts(made, "answer")[0].startswith("Do not buy yet")


def test_an_honest_no_names_what_cannot_be_run(decision: Decision) -> None:
    made = document(
        attrs.evolve(decision, options=decision.options[1:], chosen=None, verdict="not-feasible")
    )
    assert _texts(made, "answer")[0] == (
        "No: Kiln cannot be run from this supply as it is. "
        "What can be run: Panel saw and Dust extraction each on a drive of its own."
    )


def test_no_option_at_all_is_still_a_document(decision: Decision) -> None:
    made = document(attrs.evolve(decision, options=(), chosen=None, verdict="not-feasible"))
    assert _texts(made, "answer")[0].startswith("No:")
    assert made.section("signatures")


def test_limits_show_what_governs_and_the_rule_of_thumb_apart(decision: Decision) -> None:
    rows = _grid(document(decision), "size").rows
    assert [row.cells[3] for row in rows] == [
        "governs", "", "cross-check only: common practice, no source",
    ]  # fmt: skip
    assert rows[0].cells[2] == "10 hp (7.46 kW)"


def test_the_window_says_how_far_the_conductor_holds(decision: Decision) -> None:
    row = _grid(document(decision), "windows").rows[0]
    assert row.cells[1] == "10 AWG holds up to 68 A of plate input"


def test_schedules_speak_the_codes_own_terms(decision: Decision) -> None:
    grid = _grid(document(decision), "conductors")
    assert "Equipment grounding conductor" in [column.title for column in grid.columns]
    assert grid.rows[1].cells[0].startswith("Branch circuit to Panel saw")
    assert grid.rows[1].cells[7] == "39.4 ft\n(12 m)"


def test_costs_are_added_once_and_yearly_apart(decision: Decision) -> None:
    grid = _grid(document(decision), "costs")
    assert [column.title for column in grid.columns] == ["For", "Purchase", "Idling\na year"]
    assert grid.rows[-1].cells == ("All together", "1400 to 2600 USD", "61 to 120 USD")


def test_a_code_without_a_text_is_shown_and_no_error(decision: Decision) -> None:
    listing = document(decision).section("cautions").blocks[0]
    assert isinstance(listing, Listing)
    assert any(
        "invented.never-heard-of (leg current 13.9 A)" in one.text for one in listing.entries
    )


def test_every_step_is_numbered_once_and_inputs_lead_to_steps(decision: Decision) -> None:
    made = document(decision)
    trails = [block for block in made.section("numbers").blocks if isinstance(block, Trail)]
    steps = [one for trail in trails for one in trail.derivations]
    shown = [f"{trail.path}/{one.path}" for trail in trails for one in trail.derivations]
    option = decision.options[0]
    paths = [step.path for step in (*decision.steps, *option.steps)]
    paths += [step.path for circuit in option.circuits for step in circuit.steps]
    assert sorted(shown) == sorted(paths)
    assert [one.number for one in steps] == list(range(1, len(steps) + 1))
    by_number = {one.number: one for one in steps}
    design = next(one for one in steps if one.symbol == "I_B")
    (name, value, number) = design.inputs[0]
    assert (name, value) == ("I_FLC", "15.2 A")
    assert by_number[number].symbol == "I_FLC"
    (sources,) = made.section("sources").blocks
    assert isinstance(sources, Sources)
    assert sources.lines[design.source - 1][0] == "NFPA 70 430.22 (2023)"


def test_runs_of_numbers_are_written_short() -> None:
    assert ranges([9, 3, 4, 5, 0, 12, 11]) == "3–5, 9, 11–12"


def test_a_row_as_wide_as_the_heads_or_none() -> None:
    with pytest.raises(ValueError, match="not as wide"):
        Grid(columns=(Column(title="a"),), rows=(Row(cells=("1", "2")),), caption="x")


def _checked(decision: Decision, *severities: str) -> Document:
    checks = tuple(Finding(code="check.breach", severity=one) for one in severities)
    return document(attrs.evolve(decision, checks=checks))


def test_a_check_that_objects_stands_on_the_first_line(decision: Decision) -> None:
    made = _checked(decision, "info", "blocks")
    assert _texts(made, "answer")[0] == "Do not use this plan: its independent check objects."
    assert _texts(made, "checks") == ["The independent check objects to this plan."]


def test_a_check_without_objection_says_so(decision: Decision) -> None:
    assert "no objection" in _texts(_checked(decision), "checks")[0]
    assert "no objection" in _texts(_checked(decision, "info"), "checks")[0]
    assert "no objection" not in _texts(_checked(decision, "caution"), "checks")[0]
    assert "No independent check" in _texts(document(decision), "checks")[0]


def test_a_supply_that_does_not_suffice_is_said_on_the_first_page(decision: Decision) -> None:
    small = Finding(code="supply.undersized", severity="blocks", where=("service",))
    option = attrs.evolve(decision.options[0], findings=(small,), verdict="not-feasible")
    made = document(attrs.evolve(decision, options=(option,), chosen=None, verdict="not-feasible"))
    listing = next(b for b in made.section("answer").blocks if isinstance(b, Listing))
    assert listing.entries[0].text.startswith("The supply does not carry this")
    assert _texts(made, "answer")[0].startswith("No, not on this supply as it is.")


def test_what_is_said_of_every_machine_names_none(decision: Decision) -> None:
    said = Finding(code="protection.fault-level", severity="caution", where=("saw", "dust", "kiln"))
    made = document(attrs.evolve(decision, findings=(said,)))
    listing = made.section("cautions").blocks[0]
    assert isinstance(listing, Listing)
    assert "All machines" in [one.subject for one in listing.entries]


def _german(decision: Decision) -> Document:
    return document(decision, "de")


def test_a_report_in_german_has_german_headings_verdict_and_terms(decision: Decision) -> None:
    made = _german(decision)
    titles = {one.id: one.title for one in made.sections}
    assert titles["answer"] == "Die Antwort"
    assert titles["cautions"] == "Vorsicht"
    assert titles["electrician"] == "Für die Elektrofachkraft"
    text, *_ = _texts(made, "answer")
    assert text == (
        "Ja, unter den Bedingungen unten: Panel saw und Dust extraction an einem rotierenden "
        "Phasenumformer; Kiln auf einphasig umgeklemmt."
    )
    heads = [column.title for column in _grid(made, "conductors").columns]
    assert "Schutzleiter" in heads
    assert made.language.tag == "de"


def test_a_report_in_german_says_the_same_of_everything(decision: Decision) -> None:
    """Sections, rows, numbers and codes are those of the English one, but for the sign."""
    english, german = document(decision), _german(decision)
    assert [one.id for one in german.sections] == [one.id for one in english.sections]
    for section in ("size", "conductors", "devices", "states"):
        ours, theirs = _grid(english, section).rows, _grid(german, section).rows
        for one, other in zip(ours, theirs, strict=True):
            figures = [
                re.findall(r"[0-9]+(?:[.,][0-9]+)?", "/".join(row.cells[1:]))
                for row in (one, other)
            ]
            assert [each.replace(",", ".") for each in figures[1]] == figures[0]
    details = [
        [
            entry.detail
            for b in made.section("cautions").blocks
            if isinstance(b, Listing)
            for entry in b.entries
        ]
        for made in (english, german)
    ]
    assert details[0] == details[1]


def test_the_size_of_the_idler_has_a_decimal_comma(decision: Decision) -> None:
    assert _grid(_german(decision), "size").rows[0].cells[2] == "10 hp (7,46 kW)"


def test_a_text_without_a_translation_stands_in_english_and_that_is_said_once(
    decision: Decision,
) -> None:
    lacking = "Einige Texte sind noch nicht übersetzt; sie stehen hier auf Englisch."
    assert lacking not in _texts(_german(decision), "answer")
    plugin = PluginUsed(
        name="house",
        version="1",
        texts=(
            ("findings", "house.door", "Keep the door shut."),
            ("findings", "house.light", "Put the light out."),
            ("findings@de", "house.light", "Licht aus."),
        ),
    )
    said = tuple(Finding(code=f"house.{n}", severity="info") for n in ("door", "light"))
    made = _german(attrs.evolve(decision, findings=said, plugins=(plugin,)))
    listing = next(b for b in made.section("notes").blocks if isinstance(b, Listing))
    assert {"Keep the door shut.", "Licht aus."} <= {entry.text for entry in listing.entries}
    everywhere = [text for one in made.sections for text in _texts(made, one.id)]
    assert everywhere.count(lacking) == 1
    english = document(attrs.evolve(decision, findings=said, plugins=(plugin,)))
    assert lacking not in [text for one in english.sections for text in _texts(english, one.id)]


def test_a_region_states_its_language_paper_and_words_in_it(decision: Decision) -> None:
    terms = {
        "language": "de-DE", "paper": "letter", "title@de": "Verdrahtungsordnung",
        "authority": "grid operator", "authority@de": "Stelle am Ort",
        "color-line-1": "violet", "color-line-1@de": "violett", "color-line-2": "brown",
    }  # fmt: skip
    region = attrs.evolve(decision.region, family="iec", terms=tuple(terms.items()))
    made = document(attrs.evolve(decision, region=region), "region")
    assert (made.language.tag, made.paper) == ("de-DE", "letter")
    assert made.edition == "Verdrahtungsordnung, 2023"
    facts = next(b for b in made.section("conductors").blocks if isinstance(b, Facts))
    assert [value for _, value in facts.pairs] == ["violett", "braun"]
    signed = next(b for b in made.section("signatures").blocks if isinstance(b, Signatures))
    assert signed.lines[1][0] == "Stelle am Ort"
    plain = document(attrs.evolve(decision, region=region))
    assert (plain.language.tag, plain.language.decimal) == ("en", ",")
    assert plain.edition == decision.region.title


def test_an_unknown_language_is_an_error(decision: Decision) -> None:
    with pytest.raises(InputError, match="one of en, de"):
        document(decision, "tlh")
