"""Labels before their numbers: the order of the statements does not matter.

3 HP is 2.24 kW by the definition of the horsepower, sold as 2.2 kW; 5 HP is 3.73 kW, sold as 3.7.
"""

from itertools import permutations

import pytest

from ampwright.nameplate.plate import read_plate

STATEMENTS = {
    "kw": ("KW 2.2", "HP 3", "V 230/460", "A 8.5/4.25", "HZ 60", "PH 3"),
    "words": ("KW 3.7", "HP 5", "VOLTS 230/460", "AMPS 13.2/6.6", "RPM 1740", "PH 3"),
}
HP = 745.6998715822702


@pytest.mark.parametrize("name", STATEMENTS)
def test_any_order_of_labels_gives_the_same_figures(name: str) -> None:
    rows = STATEMENTS[name]
    kilowatts, horses = (float(one.split()[1]) for one in rows[:2])
    for order in permutations(rows):
        text = " ".join(order)
        plate = read_plate(text)
        assert plate.motor is not None, text
        power = plate.motor.power_w
        assert power is not None, text
        # whichever stands first, but never the figure of one label in the unit of the other
        wanted = horses * HP if text.index("HP") < text.index("KW") else kilowatts * 1000.0
        assert power == pytest.approx(wanted), text
        assert [one.voltage_v for one in plate.motor.ratings] == [230.0, 460.0], text
        amps = [float(one) for one in rows[3].split()[1].split("/")]
        assert [one.current_a for one in plate.motor.ratings] == pytest.approx(amps), text
        assert not [one for one in plate.tokens if one.status == "not-read"], text


@pytest.mark.parametrize(
    ("text", "power"),
    [
        ("5 HP 3.7 KW 230/460 V 13.2/6.6 A 60 HZ 3 PH", 5 * HP),
        ("3.7 KW 5 HP 230/460 V 13.2/6.6 A 60 HZ 3 PH", 3700.0),
        ("POWER 5 HP VOLTS 230/460 AMPS 13.2/6.6 PH 3", 5 * HP),
        ("OUTPUT 3.7 KW VOLTS 230/460 AMPS 13.2/6.6 PH 3", 3700.0),
    ],
)
def test_units_behind_their_numbers_stay_units(text: str, power: float) -> None:
    motor = read_plate(text).motor
    assert motor is not None
    assert motor.power_w == pytest.approx(power)
    assert [one.voltage_v for one in motor.ratings] == [230.0, 460.0]


def test_powers_that_disagree_are_asked_for() -> None:
    """3 HP is 2.24 kW; 4 kW beside it goes with no other figure than 3 HP does."""
    plate = read_plate("HP 3 KW 4 V 230/460 PH 3 HZ 60")
    assert "power" in {one.field for one in plate.questions}
