"""What a message at the door proposes is something that would be right there."""

import pytest

from ampwright.documents import from_json
from ampwright.engine import default
from ampwright.errors import AmpwrightError, FormatError, InputError
from ampwright.records.shop import Shop
from ampwright.result import Plan

SUPPLY = {
    "arrangement": "split-phase",
    "voltage": "240 V",
    "frequency": "60 Hz",
    "rating": "100 A",
}
MACHINES = [{"id": "saw", "plate": "5 HP 230 V 3 PH 60 HZ 13.2 A 1745 RPM", "length": "40 ft"}]
SHOP_TOML = 'schema = "ampwright.shop/1"\n[supply]\nvoltage = "240 V"\n'


def _faults(**changes: object) -> dict[str, AmpwrightError]:
    with pytest.raises(AmpwrightError) as caught:
        Shop.from_dict({"supply": SUPPLY, "machines": MACHINES, **changes})
    return {one.path: one for one in caught.value.faults or (caught.value,)}


@pytest.mark.parametrize(
    ("field", "value", "remedy"),
    [
        ("rating", "100 amps", 'write "100 A"'),
        ("rating", "100 a", 'write "100 A"'),
        ("voltage", "240 volts", 'write "240 V"'),
        ("voltage", "240 v", 'write "240 V"'),
        ("voltage", "0.24 KV", 'write "0.24 kV"'),
        ("frequency", "60 cycles", 'write "60 Hz"'),
        ("frequency", "60 hz", 'write "60 Hz"'),
        ("rating", "100 volts", ""),
    ],
)
def test_a_word_for_a_unit_is_spelt_as_the_unit(field: str, value: str, remedy: str) -> None:
    found = _faults(supply={**SUPPLY, field: value})[f"supply.{field}"]
    assert found.remedy == remedy


@pytest.mark.parametrize(
    ("given", "remedy"),
    [
        ("86 F", 'write "86 degF"'),
        ("30 C", 'write "30 degC"'),
        ("30C", 'write "30 degC"'),
        ("86 f", 'write "86 degF"'),
        ("86 fahrenheit", 'write "86 degF"'),
    ],
)
def test_a_temperature_is_never_called_a_capacitance(given: str, remedy: str) -> None:
    assert _faults(site={"ambient": given})["site.ambient"].remedy == remedy


def test_an_unknown_key_is_named_and_not_what_it_held() -> None:
    line = _faults(colour="blue")["colour"].line()
    assert "got 'colour'" in line
    assert "blue" not in line


@pytest.mark.parametrize(
    ("number", "hint"), [(1.2, ""), (9.0, ""), (88, '0.88 or "88 %"'), (79.5, '0.795 or "79.5 %"')]
)
def test_a_power_factor_that_no_motor_has_is_not_proposed(number: float, hint: str) -> None:
    motor = {"power": "3 hp", "voltage": "230 V", "power_factor": number}
    found = _faults(machines=[{"id": "saw", "motors": [motor]}])
    remedy = found["machines[0].motors[0].power_factor"].remedy
    assert remedy == (f"{hint} if a percentage is meant" if hint else "")


@pytest.mark.parametrize(
    ("region", "meant"), [("US", "us"), ("uk", "gb"), ("UK", "gb"), ("USA", "us"), ("xx", "")]
)
def test_a_region_by_another_name_is_recognised(region: str, meant: str) -> None:
    shop = Shop.from_dict({"supply": SUPPLY, "machines": MACHINES, "region": region})
    with pytest.raises(InputError) as caught:
        default().plan(shop)
    assert caught.value.code == "region.unknown"
    assert caught.value.remedy.startswith(f'did you mean "{meant}"?' if meant else "")
    assert bool(caught.value.remedy) == bool(meant)


def test_a_shop_file_where_a_plan_is_wanted_is_called_toml() -> None:
    for read in (from_json, Plan.from_json):
        with pytest.raises(FormatError, match="this is TOML") as caught:
            read(SHOP_TOML)
        assert caught.value.code == "json.syntax"
    with pytest.raises(FormatError) as caught:
        from_json('{"a": 1')
    assert not caught.value.remedy
