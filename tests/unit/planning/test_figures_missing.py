"""A machine of which no figure is known is no heater, and no supply is judged by it.

What is held here is the sense of the sentences: nobody has looked at such a machine, so nothing is
said of what it is made for, and what would help is its plate.
"""

import pytest
from tests.unit.planning.shops import machine, shop

from ampwright.decision import Decision
from ampwright.engine import plan
from ampwright.records.machine import Machine

CODE = "machine.figures-missing"
PLATE = "Grandpa's lathe, don't touch! THREE horses 3PH 230V RPM 1740 HZ 60 ask Bob"
LANGUAGES = ("en", "de", "fr", "es", "pt")


def unknown() -> Machine:
    return machine("lathe", plate=PLATE)


@pytest.fixture(scope="module")
def alone() -> Decision:
    return plan(shop(unknown()))


def test_nothing_is_said_of_what_it_is(alone: Decision) -> None:
    assert alone.verdict == "not-feasible"
    (assigned,) = alone.options[0].machines
    assert {one.code for one in assigned.reasons} == {CODE}
    assert {one.code for refusal in alone.options[0].refusals for one in refusal.reasons} == {CODE}


def test_its_power_is_asked_for(alone: Decision) -> None:
    asked = [one for one in alone.questions if one.where == ("lathe",)]
    assert "power" in {one.field for one in asked}
    assert any(one.changes == "size" for one in asked)
    assert "plan.do-not-buy-yet" in {one.code for one in alone.findings}


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_report_judges_no_supply(alone: Decision, language: str) -> None:
    english = " ".join(alone.report("text").split())
    text = " ".join(alone.report("text", language=language).split())
    for sentence in ("heater", "cannot be run", "A smaller machine", "Not at all"):
        assert sentence not in english
    assert english.count("Not known yet: ") == 1
    if language != "en":
        assert "Not known yet" not in text
        assert "figures" not in text.split("Grandpa")[0] or language == "fr"


def test_another_machine_is_planned_beside_it() -> None:
    made = plan(shop(unknown(), machine("saw")))
    first = made.options[0]
    by_id = {one.id: one for one in first.machines}
    assert by_id["lathe"].method is None
    assert {one.code for one in by_id["lathe"].reasons} == {CODE}
    assert by_id["saw"].method is not None
    text = " ".join(made.report("text").split())
    assert "cannot be run from this supply" not in text
    assert "What can be run: saw" in text
