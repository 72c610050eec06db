"""The load of the service in a report: its lines add up, in every language."""

import re
from functools import cache

import pytest
from tests.unit.planning.shops import machine, motor, supply

import ampwright as aw
from ampwright.records.dwelling import Appliance, Dwelling

LANGUAGES = ("en", "de", "fr", "es", "pt")


@cache
def plan(method: str | None = None, load: str | None = None, rating: str = "200 A") -> aw.Plan:
    home = Dwelling(
        floor_area="2100 ft2", cooking=(Appliance(name="Range", rating="12 kW"),), dryer="5 kW",
        appliances=(Appliance(rating="4.5 kW"), Appliance(rating="1.2 kW", voltage="120 V")),
        heating="9 kW", cooling=(Appliance(name="Attic unit", current="18 A", voltage="240 V"),),
        vehicle="7.2 kW", method=method,
    )  # fmt: skip
    shop = aw.Shop(
        region="us",
        supply=supply(rating=rating, existing_load=load, dwelling=home if method else None),
        machines=(machine("saw"), machine("planer")),
    )
    return aw.plan(shop, check=False)


def section(text: str, title: str) -> list[list[str]]:
    """Return the cells of the rows of the tables below a heading."""
    part = text.split(f"### {title}\n", 1)[1].split("\n### ", 1)[0]
    rows = [line for line in part.splitlines() if line.startswith("|") and "---" not in line]
    return [[cell.strip(" *") for cell in line.strip("|").split("|")] for line in rows]


def number(cell: str) -> float:
    return float(re.sub(r"[^0-9.\-]", "", cell.replace("−", "-")))


def sums(text: str, title: str = "Load of the service") -> dict[str, float]:
    return {row[0]: number(row[-1]) for row in section(text, title)
            if row[-1].endswith("A") and not row[-1].endswith("VA")}  # fmt: skip


@pytest.mark.parametrize(("method", "load"), [
    (None, "10 A"), ("existing", None), ("general", None), ("optional", "40 A"),
])  # fmt: skip
def test_the_printed_lines_add_up_to_the_printed_load(method: str | None, load: str | None) -> None:
    found = sums(plan(method, load).report(format="markdown"))
    added = next(value for name, value in found.items() if name.startswith("Added"))
    parts = found["There already"] + added + found["A quarter of the largest motor"]
    assert parts == pytest.approx(found["Load of the service"], abs=0.016)
    assert found["It may carry"] == 200
    left = found["It may carry"] - found["Load of the service"]
    assert found["Left"] == pytest.approx(left, abs=0.011)
    assert added > 10


def test_the_quarter_of_the_largest_motor_is_named_where_the_service_is_exceeded() -> None:
    shown = plan("general", None, "100 A").report(format="markdown")
    found = sums(shown)
    assert found["Left"] < 0
    assert "for a quarter of the largest motor" in shown


def test_the_dwelling_line_by_line() -> None:
    """6300 + 3000 + 1500 + 12 000 + 5000 + 4500 + 1200 + 7200 = 40 700; 8000 + 0.4 x 32 700."""
    rows = section(plan("existing").report(format="markdown"), "Load of the service")
    lines = {row[0]: row[1:] for row in rows if len(row) == 3}
    assert lines["Lighting and outlets of 2100 ft²"][0] == "6300 VA"
    assert lines["Range"][0] == "12000 VA"
    assert lines["Appliance 1"][0] == "4500 VA"
    assert lines["All these together"] == ["40700 VA", "21080 VA"]
    assert lines["Attic unit"][0] == "4320 VA"
    assert lines["Heating or cooling, whichever asks for more"][1] == "9000 VA"
    assert lines["Dwelling"][1] == "30080 VA"
    connected = sum(number(row[0]) for name, row in lines.items()
                    if name not in ("All these together", "Heating", "Attic unit", "Dwelling")
                    and row[0].endswith("VA"))  # fmt: skip
    assert connected == 40700


def test_the_counted_lines_of_the_general_method_add_up() -> None:
    rows = section(plan("general").report(format="markdown"), "Load of the service")
    counted = {row[0]: number(row[2]) for row in rows if len(row) == 3 and row[2].endswith("VA")}
    assert len(counted) > 5
    total = counted.pop("Dwelling")
    assert sum(counted.values()) == pytest.approx(total, abs=3)


@pytest.mark.parametrize("language", LANGUAGES[1:])
def test_nothing_of_it_stays_english(language: str) -> None:
    one = plan("general", "40 A")
    # the list of numbers has paths and stated words in it
    english = one.report(format="markdown").split("\\[1\\]")[0]
    other = one.report(format="markdown", language=language).split("\\[1\\]")[0]
    words_in_it = (
        "Load of the", "There already", "A quarter of", "Laundry", "Cooking together",
        "whichever", "floor area", "spread evenly", "not known that the stated",
    )  # fmt: skip
    for words in words_in_it:
        assert words.casefold() in english.casefold(), words
        assert words.casefold() not in other.casefold(), words


def test_the_intake_of_another_family_adds_up_too() -> None:
    plate = motor(voltage="230/400 V", current="13.2/7.6 A", frequency="50 Hz", speed="1450 rpm")
    shop = aw.Shop(
        region="iec",
        supply=supply(arrangement="line-neutral", voltage="230 V", frequency="50 Hz"),
        machines=(machine("saw", motors=(plate,)),),
    )
    one = aw.plan(shop, check=False)
    title = f"Load of the {dict(one.region.terms)['service']}"
    found = sums(one.report(format="markdown"), title)
    added = next(value for name, value in found.items() if name.startswith("Added"))
    assert found["There already"] + added == pytest.approx(found[title], abs=0.011)
