"""Where the shop stands."""

from typing import Any

import pytest

from ampwright.errors import InputError
from ampwright.exchange import read, write
from ampwright.records.site import ConverterPlace, Site, conductor_size

FULL = {
    "ambient": "86 degF",
    "altitude": "1000 ft",
    "conductor_material": "copper",
    "insulation": "THWN-2",
    "installation": "conduit",
    "grouped_circuits": 3,
    "terminals": "75 degC",
    "detached_building": True,
    "soil_resistivity": "0.9 K.m/W",
    "soil_temperature": "20 degC",
    "burial_depth": "0.6 m",
    "future_machines": 0,
    "converter_place": {"length": "0 m", "room": "lean-to", "dust": "heavy", "noise": "65 dB"},
}


def test_everything_about_the_site_can_be_stated() -> None:
    site = read(Site, FULL)
    assert write(site) == FULL
    assert site.ambient_c == 30.0
    assert site.altitude_m == pytest.approx(304.8)
    assert site.converter_place == ConverterPlace(
        length="0 m", room="lean-to", dust="heavy", noise="65 dB"
    )
    assert site.converter_place.length_m == 0.0


def test_nothing_need_be_stated_and_nought_differs_from_unknown() -> None:
    assert write(Site()) == {}
    assert Site().future_machines is None
    assert Site(future_machines=0) != Site()


@pytest.mark.parametrize(
    ("fields", "path", "code"),
    [
        ({"ambient": "40 C"}, "ambient", "unit.dimension"),
        ({"ambient": "30"}, "ambient", "unit.missing"),
        ({"ambient": "300 degC"}, "ambient", "range.temperature"),
        ({"altitude": "9000 m"}, "altitude", "range.altitude"),
        ({"conductor_material": "aluminium"}, "conductor_material", "enum.conductor_material"),
        ({"installation": "pipe"}, "installation", "enum.installation"),
        ({"grouped_circuits": 0}, "grouped_circuits", "range.grouped_circuits"),
        ({"detached_building": "yes"}, "detached_building", "type.boolean"),
        ({"converter_place": {"dust": "much"}}, "converter_place.dust", "enum.dust"),
    ],
)
def test_what_is_refused(fields: dict[str, Any], path: str, code: str) -> None:
    with pytest.raises(InputError) as caught:
        read(Site, fields)
    assert (caught.value.path, caught.value.code) == (path, code)


@pytest.mark.parametrize(
    "size",
    ["14 AWG", "6 AWG", "1/0 AWG", "4/0 AWG", "250 kcmil", "1000 kcmil", "2.5 mm2", "10 mm2"],
)
def test_sizes_of_conductors(size: str) -> None:
    assert conductor_size(size) == size


@pytest.mark.parametrize(
    "size", ["6", "#6", "AWG 6", "6AWG", "5/0 AWG", "0 AWG", "10 mm", "10mm²", ""]
)
def test_what_is_no_size(size: str) -> None:
    with pytest.raises(InputError) as caught:
        conductor_size(size)
    assert caught.value.code == "conductor.size"
