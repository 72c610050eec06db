"""The rating that suits the supply: within a tenth of its voltage, at its frequency."""

import pytest

from ampwright.planning.ratings import nearest, suited
from ampwright.records.motor import Motor, Rating


def plate(voltage: str | None, frequency: str | None = "60 Hz") -> Motor:
    """Return a motor of which only voltage and frequency matter."""
    return Motor(power="5 hp", voltage=voltage, frequency=frequency)


@pytest.mark.parametrize(
    ("voltage", "supply_v", "number", "reckoned_v", "fits"),
    [
        # off by 240/230 - 1 = 4.3 %, and by 48 %: the first
        ("230/460 V", 240.0, 0, 230.0, True),
        ("230/460 V", 480.0, 1, 460.0, True),
        # of two that suit, the nearer one: 4.5 % against 0
        ("230/240 V", 240.0, 1, 240.0, True),
        # inside a range nothing is off; outside, its nearer end counts
        ("208-230 V", 220.0, 0, 220.0, True),
        ("208-230 V", 240.0, 0, 230.0, True),
        ("208-230 V", 200.0, 0, 208.0, True),
        ("208-230/460 V", 480.0, 1, 460.0, True),
        # the edge of a tenth: 220/200 = 1.10 suits, 221/200 = 1.105 does not; 0.90 below likewise
        ("200 V", 220.0, 0, 200.0, True),
        ("200 V", 221.0, 0, 200.0, False),
        ("200 V", 180.0, 0, 200.0, True),
        ("200 V", 179.0, 0, 200.0, False),
        # where none suits, the first as it stands
        ("400/690 V", 240.0, 0, 400.0, False),
        ("575/460 V", 240.0, 0, 575.0, False),
    ],
)
def test_the_voltage_decides(
    voltage: str, supply_v: float, number: int, reckoned_v: float, *, fits: bool
) -> None:
    found = suited(plate(voltage), supply_v, 60.0)
    assert (found.number, found.voltage_v, found.fits) == (number, reckoned_v, fits)
    assert found.rating == plate(voltage).ratings[number]


def test_a_plate_without_a_voltage_is_taken_at_its_word() -> None:
    found = suited(plate(None), 240.0, 60.0)
    assert (found.number, found.voltage_v, found.fits, found.frequency_fits) == (
        0,
        None,
        True,
        True,
    )


@pytest.mark.parametrize(
    ("frequency", "supply_hz", "number", "same"),
    [
        ("50/60 Hz", 60.0, 1, True),
        ("50/60 Hz", 50.0, 0, True),
        ("60/50 Hz", 60.0, 0, True),
        ("50 Hz", 60.0, 0, False),
        ("60 Hz", 59.1, 0, True),  # a generator's hertz are no other frequency
        ("60 Hz", 59.0, 0, False),
        ("60 Hz", 61.0, 0, False),
        (None, 60.0, 0, True),
    ],
)
def test_among_voltages_that_suit_the_frequency_decides(
    frequency: str | None, supply_hz: float, number: int, *, same: bool
) -> None:
    volts = "230/230 V" if frequency and "/" in frequency else "230 V"
    found = suited(plate(volts, frequency), 240.0, supply_hz)
    assert (found.number, found.fits, found.frequency_fits) == (number, True, same)


def test_a_voltage_that_suits_goes_before_a_frequency_that_does() -> None:
    """575 V at 60 Hz is no use on 240 V; 230 V at 50 Hz can be weighed."""
    found = suited(plate("575/230 V", "60/50 Hz"), 240.0, 60.0)
    assert (found.number, found.fits, found.frequency_fits) == (1, True, False)


def test_where_no_voltage_suits_the_frequency_of_the_first_is_told() -> None:
    assert not suited(plate("400/690 V", "50 Hz"), 240.0, 60.0).frequency_fits
    assert suited(plate("400/690 V", "60 Hz"), 240.0, 60.0).frequency_fits
    assert not suited(plate("400/690 V", "60 Hz"), 240.0, 59.0).frequency_fits


def test_two_links_and_two_frequencies_are_four_ratings() -> None:
    """Of 230/460 V and 50/60 Hz the one of 230 V and 60 Hz is the third: links run fastest."""
    found = suited(plate("230/460 V", "50/60 Hz"), 240.0, 60.0)
    assert (found.rating.voltage_v, found.rating.frequency_hz) == (230.0, 60.0)
    assert found.fits
    assert found.frequency_fits


def test_nearest_stays_inside_the_range_whichever_end_is_printed_first() -> None:
    for ends in ((208.0, 230.0), (230.0, 208.0)):
        rating = Rating(voltage_from_v=ends[0], voltage_v=ends[1])
        assert [nearest(rating, one) for one in (100.0, 215.0, 300.0)] == [208.0, 215.0, 230.0]
    assert nearest(Rating(), 240.0) is None
