"""An electronic converter: sizes by what runs and what starts, its input, its output voltage."""
# ruff: noqa: ANN401 - fields of a record of any kind

import math
from typing import Any

import pytest
from tests.unit.planning.shops import case_of, heater, machine, motor, supply

import ampwright as aw
from ampwright.case import Case
from ampwright.method import Proposal, Refusal
from ampwright.methods.electronic import Electronic
from ampwright.methods.electronic.setup import set_up
from ampwright.methods.electronic.sizing import Sizing, limit_of
from ampwright.records.equipment import OwnedConverter
from ampwright.step import Worksheet

ROOT = math.sqrt(3.0)


def answer(case: Case) -> Proposal | Refusal:
    return Electronic().answer(case, case.machines)


def proposed(*machines: aw.Machine, **changes: Any) -> Proposal:
    found = answer(case_of(*machines, **changes))
    assert isinstance(found, Proposal), found
    return found


def rating(found: Proposal) -> float:
    return float(found.converters[0].rating_va or 0.0)


def codes(found: Proposal) -> set[str]:
    return {one.code for one in found.findings}


def test_two_machines_start_with_all_else_running_inside_the_overload() -> None:
    one = machine("saw", motors=(motor(locked_rotor_current="80 A"),))
    two = machine("planer", motors=(motor(locked_rotor_current="90 A"),))
    found = proposed(one, two)
    running = ROOT * 240.0 * 13.2
    asked = (ROOT * 240.0 * 80.0 + running) / 1.5  # the planer starts first, and softly
    assert rating(found) >= asked
    smaller = [size for size in (20e3, 25e3, 30e3, 40e3) if size < rating(found)]
    assert all(size < asked for size in smaller)


def test_machines_that_never_run_together_do_not_add_up() -> None:
    three = (machine("saw"), machine("planer"), machine("sander"))
    apart = proposed(*three, together=(("saw",), ("planer",), ("sander",)))
    assert rating(apart) < rating(proposed(*three))


def test_one_motor_alone_starts_softly_and_needs_less() -> None:
    alone = proposed(machine(start="light"))
    direct = proposed(machine(start="light", traits=("hermetic",)))
    assert rating(alone) < rating(direct)
    limits = {one.constraint for one in alone.limits}
    assert limits == {"running-current", "start-torque"}


def test_the_soft_start_holds_the_overload_current() -> None:
    found = proposed(machine(start="light"))
    most = limit_of(
        set_up(case_of(machine(start="light")), case_of(machine(start="light")).machines, 0,
               Worksheet("~")),
        rating(found), 1.5,
    )  # fmt: skip
    (begun,) = found.starts
    assert begun.motor_peak_a is not None
    assert begun.motor_peak_a <= most * (1.0 + 1e-9)


def test_the_largest_starts_first_and_softly_and_that_is_said() -> None:
    pair = (machine("saw"), machine("planer", motors=(motor(power="3 hp", current="8.6/4.3 A"),)))
    found = proposed(*pair)
    said = {one.code: one.where for one in found.findings}
    assert said["electronic.start-order"] == ("saw",)
    itself = proposed(machine("saw", traits=("restarts-by-itself",)), pair[1])
    assert "electronic.start-order" not in codes(itself)
    assert rating(found) < rating(itself)


def test_controls_behind_a_soft_start_may_drop_out() -> None:
    assert "control.dropout-at-start" in codes(proposed(machine(controls="own-transformer")))
    assert "control.dropout-at-start" not in codes(proposed(machine(controls="supply-lines")))


def test_a_harder_start_never_asks_for_less() -> None:
    kinds = ("none", "light", "normal", "hard")
    sizes = [rating(proposed(machine(start=kind, load_torque="constant"))) for kind in kinds]
    assert sizes == sorted(sizes)
    assert sizes[-1] > sizes[0]


def test_star_delta_asks_for_a_third_of_the_current() -> None:
    itself = {"traits": ("restarts-by-itself",)}
    pair = (machine("saw", **itself),
            machine("planer", starter="star-delta", start="none", **itself))  # fmt: skip
    case = case_of(*pair)
    sizing = Sizing(set_up(case, case.machines, 0, Worksheet("~")), Worksheet("~"), "electronic")
    asked = {one.path.rsplit("/", 2)[1]: float(one.value) for one in sizing.sheet.steps
             if one.path.endswith("asked_va")}  # fmt: skip
    locked = case.machines[0].motors[0].demand.locked_rotor_current
    assert locked is not None
    rest = ROOT * 240.0 * 13.2
    assert asked["saw"] == pytest.approx((ROOT * 240.0 * locked.value + rest) / 1.5, rel=1e-9)
    assert asked["planer"] == pytest.approx(
        (ROOT * 240.0 * locked.value / 3.0 + rest) / 1.5, rel=1e-9
    )


def test_its_input_is_power_over_efficiency_and_power_factor() -> None:
    found = proposed()
    full = next(one for one in found.states if one.load == "full" and one.set == "all")
    output = full.input_power_w * 0.94
    assert full.input_current_a == pytest.approx(output / (0.94 * 0.98 * 240.0), rel=1e-9)
    shaft = sum(one.shaft_w for one in full.motors)
    assert full.losses_w == pytest.approx(full.input_power_w - shaft, rel=1e-9)


def test_idling_it_takes_its_standby_losses() -> None:
    found = proposed()
    idle = next(one for one in found.states if one.set == "idle")
    assert idle.input_power_w == pytest.approx(0.025 * rating(found), rel=1e-9)
    assert found.converters[0].losses_w == pytest.approx(idle.losses_w, rel=1e-9)


def test_its_plate_is_the_input_at_rated_output() -> None:
    found = proposed()
    expected = rating(found) * 0.8 / (0.94 * 0.98 * 240.0)
    assert found.converters[0].input_current_a == pytest.approx(expected, rel=1e-9)


def test_a_converter_that_is_there_brings_its_own_plate() -> None:
    own = OwnedConverter(id="box", method="electronic", apparent_power="40 kVA",
                         input_current="150 A", output_voltage="240 V")  # fmt: skip
    found = proposed(machine(), equipment=(own,))
    assert found.converters[0].given
    assert found.converters[0].input_current_a == 150.0
    assert not proposed(machine()).converters[0].given


def british(*machines: aw.Machine) -> Case:
    single = aw.Supply(arrangement="line-neutral", voltage="230 V", frequency="50 Hz",
                       rating="63 A")  # fmt: skip
    return case_of(*machines, supply=single)


def fifty(voltage: str, current: str) -> aw.Motor:
    return motor(power="2.2 kW", voltage=voltage, current=current, frequency="50 Hz",
                 speed="1420 rpm")  # fmt: skip


def test_a_star_motor_gets_an_output_of_its_own_voltage() -> None:
    found = answer(british(machine(motors=(fifty("415 V", "4.6 A"),))))
    assert isinstance(found, Proposal)
    (made,) = found.converters
    assert made.output_voltage_v == 400.0
    assert "electronic.raises-voltage" in codes(found)


def test_a_motor_that_suits_the_supply_keeps_its_voltage() -> None:
    found = answer(british(machine(motors=(fifty("230/400 V", "8/4.6 A"),))))
    assert isinstance(found, Proposal)
    assert found.converters[0].output_voltage_v == 230.0
    assert "electronic.raises-voltage" not in codes(found)


def test_mixed_machines_are_linked_for_the_one_voltage_that_suits_all() -> None:
    star = machine("lathe", motors=(fifty("400 V", "4.6 A"),))
    both = machine("grinder", motors=(fifty("230/400 V", "8/4.6 A"),))
    found = answer(british(star, both))
    assert isinstance(found, Proposal)
    assert found.converters[0].output_voltage_v == 400.0
    branches = {one.id: one.motors[0] for one in found.demands if one.role == "branch"}
    assert branches["branch.grinder"].current.value == 4.6


def test_a_machine_that_no_common_voltage_suits_is_named() -> None:
    star = machine("lathe", motors=(fifty("400 V", "4.6 A"),))
    old = machine("saw", motors=(fifty("230 V", "8 A"),))
    second = machine("mill", motors=(fifty("400 V", "4.6 A"),))
    found = answer(british(star, old, second))
    assert isinstance(found, Refusal)
    assert {one.where for one in found.reasons} == {("saw",)}


def test_a_neutral_asks_for_a_rating_that_is_made_with_one() -> None:
    small = machine(motors=(motor(power="1/2 hp", current="2/1 A"),), start="light")
    plain = proposed(small)
    wanted = proposed(machine(motors=small.motors, start="light", needs_neutral=True))
    assert rating(plain) == 3000.0
    assert rating(wanted) == 5000.0
    assert "electronic.output-neutral" in codes(wanted)
    assert "output-neutral" in wanted.converters[0].protective_features


def test_a_rectifier_takes_up_more_than_its_apparent_power() -> None:
    def line(kind: str) -> aw.Machine:
        load = aw.Load(kind=kind, apparent_power="4.5 kVA", voltage="240 V")  # type: ignore[arg-type]
        return machine(loads=(load,))

    assert rating(proposed(line("constant-power"))) == 5000.0
    assert rating(proposed(line("rectifier"))) == 7500.0


def test_a_compressor_with_a_monitor_is_served() -> None:
    found = proposed(machine(traits=("hermetic",), unbalance_limit="2 %"))
    assert "electronic.compressor-direct" in codes(found)


def test_a_monitor_below_its_unbalance_blocks() -> None:
    found = proposed(machine(unbalance_limit="0.5 %"))
    assert any(one.severity == "blocks" for one in found.findings)


def test_heaters_and_what_is_too_large_are_refused() -> None:
    hot = answer(case_of(heater()))
    assert isinstance(hot, Refusal)
    assert {one.code for one in hot.reasons} == {"machine.resistive-load-no-conversion"}
    huge = motor(power="100 hp", current="250/125 A", speed="1780 rpm")
    large = answer(case_of(machine("a", motors=(huge,)), machine("b", motors=(huge,))))
    assert isinstance(large, Refusal)
    assert {one.code for one in large.reasons} == {"electronic.too-large"}


def test_a_motor_for_another_frequency_is_refused() -> None:
    """The converter keeps the supply's frequency."""
    fifty_only = motor(voltage="230 V", current="13.2 A", frequency="50 Hz", speed="1430 rpm")
    found = answer(case_of(machine("a", motors=(fifty_only,))))
    assert isinstance(found, Refusal)
    assert {one.code for one in found.reasons} == {"supply.frequency-mismatch"}


def test_the_circuits_lead_from_the_panel_through_the_converter() -> None:
    found = proposed(machine("saw"), machine("planer"), supply=supply())
    chain = {one.id: one.fed_from for one in found.demands}
    assert chain == {
        "supply.electronic": "",
        "output.electronic": "supply.electronic",
        "branch.saw": "output.electronic",
        "branch.planer": "output.electronic",
    }
