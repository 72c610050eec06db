"""A host brings its own registry of units: we take its quantities and leave it as it was."""

import subprocess
import sys
from typing import Any

import numpy as np
import pint
import pytest

from ampwright.errors import InputError, UnitError
from ampwright.quantity import q
from ampwright.records.machine import Machine
from ampwright.records.motor import Motor
from ampwright.records.site import Site
from ampwright.records.supply import Supply


def state(registry: Any) -> tuple[object, ...]:  # noqa: ANN401 - pint's registry is untyped
    """Return what a host could see change in its registry."""
    return (
        frozenset(registry._units),  # noqa: SLF001 - nothing public lists them
        frozenset(registry._prefixes),  # noqa: SLF001 - likewise
        registry.default_system,
        registry.formatter.default_format,
        registry.autoconvert_offset_to_baseunit,
    )


@pytest.fixture
def host() -> Any:  # noqa: ANN401 - pint's registry is untyped
    """Return a registry as a host sets one up, with a unit and a format of its own."""
    registry: Any = pint.UnitRegistry()
    registry.define("horse = 700 watt")
    registry.formatter.default_format = "~P"
    return registry


def test_quantities_of_a_hosts_registry_come_in(host: Any) -> None:  # noqa: ANN401 - untyped
    motor = Motor(
        power=host.Quantity(7.5, "hp"),
        voltage=host.Quantity(230, "V"),
        speed=host.Quantity(1750, "rpm"),
        inertia=host.Quantity(0.9, "lb*ft**2"),
        temperature_rise=host.Quantity(80, "delta_degC"),
        efficiency=host.Quantity(88, "percent"),
        overload_range=(host.Quantity(7, "A"), host.Quantity(10, "A")),
    )
    plain = Motor(
        power="7.5 hp", voltage="230 V", speed="1750 rpm", inertia="0.9 lb.ft2",
        temperature_rise="80 K", efficiency=0.88, overload_range="7-10 A",
    )  # fmt: skip
    assert motor == plain
    supply = Supply(
        arrangement="split-phase", voltage=host.Quantity(0.24, "kV"),
        frequency=host.Quantity(60, "1/s"), transformer=host.Quantity(25, "kVA"),
        existing_load=host.Quantity(2.4, "kVA"),
    )  # fmt: skip
    assert (supply.voltage_v, supply.frequency_hz, supply.transformer_va) == (240.0, 60.0, 25000.0)
    assert supply.existing_load_a == pytest.approx(10.0)
    site = Site(ambient=host.Quantity(86, "degF"), altitude=host.Quantity(1000, "ft"))
    assert site.ambient_c == pytest.approx(30.0)
    assert site.altitude_m == pytest.approx(304.8)


def test_a_unit_that_only_the_host_knows_comes_in(host: Any) -> None:  # noqa: ANN401 - untyped
    assert Motor(power=host.Quantity(2, "horse")).power_w == pytest.approx(1400.0)


def test_what_came_in_as_a_quantity_is_written_as_text_that_reads_the_same(host: Any) -> None:  # noqa: ANN401 - untyped
    for measured in (
        host.Quantity(2, "horse"),
        host.Quantity(7.5, "hp"),
        host.Quantity(1 / 3, "kW"),
    ):
        motor = Motor(power=measured)
        given: Any = motor.power_w
        assert Motor(power=given.given) == motor


@pytest.mark.parametrize(
    ("unit", "code"), [("kVA", "unit.kind"), ("volt*ampere", "unit.kind"), ("V", "unit.dimension")]
)
def test_another_kind_is_refused_in_every_format(host: Any, unit: str, code: str) -> None:  # noqa: ANN401 - untyped
    for style in ("D", "~D", "P", "~P", "C", "~C", "L"):
        host.formatter.default_format = style
        with pytest.raises(UnitError) as caught:
            Motor(power=host.Quantity(5, unit))
        assert caught.value.code == code
        with pytest.raises(UnitError):
            Motor(power="5 hp", frequency=host.Quantity(1750, "rpm"))
        with pytest.raises(UnitError):
            Motor(power="5 hp", temperature_rise=host.Quantity(80, "degC"))


def test_arrays_are_refused(host: Any) -> None:  # noqa: ANN401 - untyped
    for array in (np.array([5.0]), np.array([1.0, 2.0]), np.zeros((0,))):
        with pytest.raises(UnitError) as caught:
            Motor(power=host.Quantity(array, "hp"))
        assert caught.value.path == "power"


def test_the_hosts_registries_are_left_as_they_were(host: Any) -> None:  # noqa: ANN401 - untyped
    application = pint.get_application_registry()  # type: ignore[no-untyped-call]
    inertia = host.Quantity(0.9, "lb*ft**2")
    power, current = host.Quantity(7.5, "kW"), host.Quantity(13, "A")
    wrongs = [host.Quantity(5, "kVA"), host.Quantity(5, "kg"), host.Quantity(5, "horse*hour")]
    before = state(host), state(application)  # the host's own parsing adds prefixed units
    Motor(power=power, current=current, inertia=inertia)
    Machine(id="a", motors=[Motor(power=q(5, "hp"))], length=q(40, "ft"))
    for wrong in wrongs:
        with pytest.raises(InputError):
            Motor(power=wrong)
    with pytest.raises(UnitError):
        q(5, "no such unit")
    assert (state(host), state(application)) == before


def test_q_is_built_on_the_application_registry_of_the_host() -> None:
    script = (
        "import pint; host = pint.UnitRegistry(); pint.set_application_registry(host)\n"
        "from ampwright.quantity import q\n"
        "assert q(7.5, 'hp') + host.Quantity(1, 'W') > host.Quantity(5593, 'W')\n"
        "assert pint.get_application_registry().get() is host\n"
    )
    subprocess.run([sys.executable, "-W", "error", "-c", script], check=True)  # noqa: S603 - our own text


def test_planning_loads_nothing_that_only_a_report_needs() -> None:
    script = (
        "import sys\n"
        "import ampwright as aw\n"
        "plan = aw.plan(aw.Shop.from_dict({'region': 'us', 'supply': {'arrangement': 'split-phase',"
        " 'voltage': '240 V', 'frequency': '60 Hz'}, 'machines': [{'id': 'a', 'motors':"
        " [{'power': '5 hp', 'voltage': '230 V', 'current': '13.2 A'}]}]}))\n"
        "plan.to_json()\n"
        "heavy = {'babel', 'jinja2', 'ampwright.report.language'}\n"
        "assert not heavy & set(sys.modules), heavy & set(sys.modules)\n"
    )
    subprocess.run([sys.executable, "-W", "error", "-c", script], check=True)  # noqa: S603 - our own text


def test_any_library_that_knows_m_as_will_do() -> None:
    class Amps:
        units = "A"

        def m_as(self, units: str) -> float:
            if units != "A":
                raise ValueError(units)
            return 13.2

    assert Motor(current=Amps()).current_a == 13.2
    with pytest.raises(UnitError) as caught:
        Motor(power=Amps())
    assert caught.value.code == "unit.dimension"


def test_stating_a_shop_loads_no_unit_library() -> None:
    script = (
        "import sys\n"
        "from ampwright.records.shop import Shop\n"
        "Shop.from_dict({'supply': {'arrangement': 'split-phase', 'voltage': '240 V',"
        " 'frequency': '60 Hz'}, 'machines': [{'id': 'a', 'motors': [{'power': '5 hp'}]}]})\n"
        "heavy = {'pint', 'numpy', 'scipy', 'jinja2', 'importlib.metadata', 'pluggy', 'difflib'}\n"
        "assert not heavy & set(sys.modules), heavy & set(sys.modules)\n"
    )
    subprocess.run([sys.executable, "-W", "error", "-c", script], check=True)  # noqa: S603 - our own text
