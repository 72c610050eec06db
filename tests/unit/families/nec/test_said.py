"""What an answer says beside its sizes: how grave, by which clause, with which figures."""
# ruff: noqa: ANN401 - the builders take any field of a record

from collections.abc import Callable
from typing import Any

import pytest

Build = Callable[[Any], Any]


def heat(us: Any, amps: float = 10, **more: Any) -> Any:
    return us.ask(us.single(loads=(us.load(amps),), **more))


def saw(us: Any, site: Any = None, **more: Any) -> Any:
    return us.ask(us.made(motors=(us.motor(5, 13),), **more), site)


def leg(us: Any, current: float) -> Any:
    motor = us.motor(5, 13, largest_leg=us.figure(current))
    return us.ask(us.made(motors=(motor,)))


def drive(us: Any, current: float, power: float) -> Any:
    made = us.converter(current, method="drive", kind="drive", largest_device=us.figure(400))
    return us.ask(us.single(role="supply", converter=made, motors=(us.motor(power, 13),)))


def long(us: Any, **more: Any) -> Any:
    """25 A over 60 m on 8 AWG copper, 0.78 ohm/kft: 2 x 25 x 60 / 304.8 x 0.78 / 240 = 3.2 %."""
    return heat(us, 25, length=us.figure(60), running_current=us.figure(25),
                power_factor=us.figure(1), **more)  # fmt: skip


def converter(us: Any, **more: Any) -> Any:
    return us.ask(us.single(role="supply", converter=us.converter(60), **more))


SAID: list[tuple[str, Build, str, str, dict[str, object]]] = [
    ("feeder.undersized", lambda us: heat(us, 3000, role="output"), "blocks", "nec.215.2(A)",
     {"needed": 3750.0}),
    ("circuit.nothing-on-it", lambda us: us.ask(us.demand()), "blocks", "", {}),
    ("protection.plug-rating", lambda us: heat(us, 25, cord=True), "caution", "nec.210.21(B)",
     {"receptacle": "6-50R", "cord": "8 AWG", "needed": 35.0}),
    ("protection.ground-fault-receptacle", lambda us: heat(us, cord=True), "caution",
     "nec.210.8(B)", {}),
    ("conductor.too-hot", lambda us: saw(us, us.site(ambient="90 degC")), "blocks", "nec.310.15(B)",
     {"ambient": 90.0}),
    ("conductor.insulation-unfit",
     lambda us: saw(us, us.site(installation="buried-conduit", insulation="THHN")), "blocks",
     "nec.310.4", {"insulation": "THHN", "place": "wet"}),
    ("conductor.insulation-unfit", lambda us: saw(us, us.site(insulation="no-such")), "blocks",
     "nec.310.4", {"insulation": "no-such", "place": "dry"}),
    # 9.6 A, at most 25 A, raised to 35 A; the start of 900 A: 1.4 x 900 / 5 = 252 A
    ("protection.trips-at-start",
     lambda us: us.ask(us.made(motors=(us.motor(3, 9),), starting_current=us.figure(900),
                               starting_time=us.figure(0.1))),
     "caution", "nec.430.52(C)(1)", {"needed": 252.0, "largest": 35.0}),
    # 60 A: at most 80 A by 455.7; the start asks for 1.4 x 500 / 5 = 140 A
    ("protection.trips-at-start",
     lambda us: converter(us, starting_current=us.figure(500), starting_time=us.figure(0.1)),
     "caution", "nec.455.7", {"needed": 140.0, "largest": 80.0}),
    ("protection.device-too-small", lambda us: heat(us, 9000), "blocks", "nec.210.20(A)",
     {"needed": 11250.0}),
    ("disconnect.none-large-enough",
     lambda us: us.ask(us.made(motors=(us.motor(500, 1300, voltage=us.figure(230)),))), "blocks",
     "nec.430.110(A)", {"needed": 1.15 * 1300}),
    # 5 hp: at most 40 A; 1.25 x 36 = 45 A
    ("drive.device-below-margin", lambda us: drive(us, 36, 5), "caution", "nec.430.130",
     {"wanted": 45.0, "largest": 40.0}),
    ("feeder.voltage-drop", long, "caution", "nec.210.19(A)",
     {"sufficient": "6 AWG", "recommended": 0.03, "recommended_total": 0.05}),
    # 2 x 60 x 200 / 304.8 x 0.32 / 240 = 10.5 % on 4 AWG; 350 kcmil 0.039 ohm/kft: 1.3 + 1 %
    ("feeder.voltage-drop",
     lambda us: converter(us, length=us.figure(200), running_current=us.figure(60),
                          power_factor=us.figure(1), drop_ahead=us.figure(0.01)),
     "caution", "nec.455.6(A)", {"sufficient": "3/0 AWG", "ahead": 0.01}),
    ("protection.fault-level", lambda us: heat(us, fault_largest=None), "caution", "nec.110.9", {}),
    ("protection.fault-level", lambda us: heat(us, fault_largest=us.figure(2.5e5)), "blocks",
     "nec.110.9", {"fault": 2.5e5}),
    ("supply.leg-voltage-to-earth",
     lambda us: heat(us, voltage_to_earth=(us.figure(700), us.figure(100))), "blocks", "nec.240.85",
     {"volts": 700.0}),
    ("supply.leg-voltage-to-earth", saw, "caution", "nec.240.85",
     {"volts": 208.0, "rating": 240.0, "marking": "240 V"}),
    # device of 30 A: ten times 30 A at most opens at once
    ("protection.made-leg-fault", lambda us: saw(us, fault_source=us.figure(70)), "caution",
     "nec.250.4(A)(5)", {"known": "yes", "remedy": "voltage-relay"}),
    ("protection.made-leg-fault", saw, "caution", "nec.250.4(A)(5)", {"known": "no"}),
    ("converter.made-leg-single-phase-load",
     lambda us: us.ask(us.made(phases=1, loads=(us.load(10),))), "blocks", "nec.455.9", {}),
    ("converter.made-leg-marking", saw, "info", "nec.455.6(B)", {}),
    ("plan.equipment-approval", converter, "caution", "nec.110.3(B)", {"converter": "rotary"}),
    ("protection.disconnect-in-sight", converter, "info", "nec.455.8(A)", {}),
    ("converter.capacitor-conductors", converter, "info", "nec.460.8", {"share": 1.35}),
    ("protection.overload-trips-running", lambda us: leg(us, 17), "caution", "nec.430.32(A)(1)",
     {"motor": "saw/0", "leg": 17.0, "setting": 16.25}),
    # trunking: two circuits of 3 x 0.0097 + 0.0097 in2 fill a fifth: 0.0776 / 0.2 = 0.388 in2
    ("raceway.wireway-area",
     lambda us: us.ask(us.made(motors=(us.motor(1, 4),)),
                       us.site(installation="trunking", grouped_circuits=2)),
     "info", "nec.376.22", {"area": 0.388}),
    ("raceway.none-large-enough",
     lambda us: us.ask(us.made(motors=(us.motor(50, 120),)),
                       us.site(raceway="FMC", grouped_circuits=9)),
     "blocks", "nec.9.1", {}),
    ("plan.rule-not-checked", lambda us: saw(us, us.site(insulation="RHW")), "caution", "nec.9.1",
     {"raceway": "EMT", "insulation": "RHW"}),
    ("machine.welder-duty",
     lambda us: us.ask(us.single(loads=(us.load(40, kind="welder", duty_cycle=us.figure(0.5)),))),
     "caution", "nec.630.11(A)", {"current": 28.4}),
    ("transformer.inrush",
     lambda us: us.ask(us.single(loads=(us.load(5, kind="transformer", continuous=False),))),
     "caution", "nec.450.3(B)", {"primary": 5.0}),
    # 12 x 20 / 5 = 48 A would stay closed, 1.25 x 20 = 25 A are allowed, 2.5 x 20 = 50 A with both
    ("transformer.trips-on-energising",
     lambda us: us.ask(us.single(loads=(us.load(20, kind="transformer", continuous=False),))),
     "caution", "nec.450.3(B)", {"needed": 48.0, "largest": 25.0, "both": 50.0}),
    ("transformer.primary-fuse",
     lambda us: us.ask(us.single(loads=(us.load(5, kind="transformer", continuous=False),))),
     "caution", "nec.450.3(B)", {"largest": 8.35, "fuse": 6.0}),
]  # fmt: skip


@pytest.mark.parametrize(
    ("code", "build", "severity", "rule", "values"), SAID, ids=[one[0] for one in SAID]
)
def test_a_finding_says_how_grave_and_by_which_clause(
    us: Any, code: str, build: Build, severity: str, rule: str, values: dict[str, object]
) -> None:
    answer = build(us)
    (said,) = [one for one in answer.findings if one.code == code]
    assert (said.severity, said.rule, said.where) == (severity, rule, ("c", "saw"))
    found = {one.name: one.value for one in said.parameters}
    for name, value in values.items():
        assert found[name] == (pytest.approx(value) if isinstance(value, float) else value), name
    assert (answer.circuit is None) == any(one.severity == "blocks" for one in answer.findings)


@pytest.mark.parametrize(
    ("build", "codes"),
    [
        (lambda us: leg(us, 16.25), {"protection.overload-trips-running"}),
        (lambda us: drive(us, 32, 5), {"drive.device-below-margin"}),
        (lambda us: heat(us, cord=False), {"protection.plug-rating", "feeder.voltage-drop"}),
        (heat, {"supply.leg-voltage-to-earth", "protection.fault-level", "plan.equipment-approval",
                "converter.made-leg-marking", "protection.made-leg-fault"}),
        (lambda us: heat(us, fault_largest=us.figure(2e5)), {"protection.fault-level"}),
    ],
)  # fmt: skip
def test_what_just_suffices_is_not_said(us: Any, build: Build, codes: set[str]) -> None:
    assert not codes & us.codes(build(us))


ASKED: list[tuple[str, str, str, tuple[str, ...], Build]] = [
    ("plan.data-needed", "supply.fault_current", "safety", (),
     lambda us: heat(us, fault_largest=None)),
    ("plan.data-needed", "site.terminals", "figures", ("60 degC", "75 degC"),
     lambda us: saw(us, us.site(terminals=None))),
    ("plan.data-needed", "machines.oven.loads.duty_cycle", "figures", (),
     lambda us: us.ask(us.single(loads=(us.load(40, kind="welder"),)))),
    ("plan.data-needed", "machines.saw.motors.current", "size", (),
     lambda us: us.ask(us.made(motors=(us.motor(5, 13, multispeed=True,
                                                current_known="assumed"),)))),
    ("authority.ground-fault-receptacle", "", "safety", (), lambda us: saw(us, cord=True)),
    ("authority.drive-input-device", "equipment.rotary.largest_device", "safety", (),
     lambda us: us.ask(us.single(role="supply", motors=(us.motor(5, 13),),
                                 converter=us.converter(28, kind="drive")))),
    ("authority.separately-derived", "", "safety",
     ("extension of the supply", "separately derived"), converter),
    ("authority.electronic-converter-article", "", "safety", ("455", "430 Part X"),
     lambda us: us.ask(us.single(role="supply", converter=us.converter(60, method="electronic")))),
]  # fmt: skip


@pytest.mark.parametrize(
    ("code", "field", "changes", "choices", "build"), ASKED, ids=[one[1] or one[0] for one in ASKED]
)
def test_a_question_says_what_hangs_on_it(
    us: Any, code: str, field: str, changes: str, choices: tuple[str, ...], build: Build
) -> None:
    """What was settled to the safe side changes no size: nobody has to wait with buying."""
    (asked,) = [one for one in build(us).questions if (one.code, one.field) == (code, field)]
    assert (asked.changes, asked.choices) == (changes, choices)


def assumed(answer: Any) -> dict[str, dict[str, object]]:
    return {
        one.code + "/" + str(found.get("field", "")): found
        for one in answer.assumptions
        if (found := {said.name: said.value for said in one.parameters}) is not None
    }


def test_usual_values_are_said_where_none_was_stated(us: Any) -> None:
    site = us.site(ambient=None, terminals=None)
    found = assumed(saw(us, site))
    wanted = {"conductor_material": "copper", "installation": "conduit", "insulation": "THWN-2",
              "ambient": 30.0, "grouped_circuits": 1.0}  # fmt: skip
    for field, value in wanted.items():
        assert found[f"site.usual-value/{field}"]["value"] == value, field
    assert found["site.terminals-unmarked/"] == {"temperature": 60.0}
    stated = us.site(
        conductor_material="aluminum", installation="conduit", insulation="THHN",
        grouped_circuits=1,
    )  # fmt: skip
    found = assumed(saw(us, stated))
    assert not [one for one in found if one.startswith("site.usual")]
    assert found["site.terminals-to-buy/"] == {"temperature": 75.0}
    assert "site.terminals-unmarked/" not in found


def test_assumptions_of_converters_welders_and_motors(us: Any) -> None:
    """2.5 x 15.2 = 38 A of fixed loads against 1.25 x 60 = 75 A of plate."""
    fixed = us.single(role="supply", motors=(us.motor(5, 13),),
                      converter=us.converter(60, fixed_loads=True))  # fmt: skip
    assert assumed(us.ask(fixed))["converter.fixed-loads/"] == {"current": 38.0}
    welder = us.ask(us.single(loads=(us.load(40, kind="welder"),)))
    assert assumed(welder)["machine.welder-kind/"] == {"load": "oven/0"}
    between = us.ask(us.made(motors=(us.motor(6, 15),)))
    said = assumed(between)["motor.current-interpolated/"]
    assert said == {"motor": "saw/0", "current": pytest.approx(17.92)}
    plate = us.ask(us.made(motors=(us.motor(5, 11, hermetic=True),)))
    assert assumed(plate)["motor.current-from-plate/"] == {
        "motor": "saw/0", "current": 11.0, "why": "hermetic", "known": "plate",
    }  # fmt: skip
    for changes, why in (({"speed": us.figure(870)}, "slow"), ({"voltage": us.figure(400)},
                         "voltage"), ({"power": us.figure(1e6)}, "power")):  # fmt: skip
        other = us.ask(us.made(motors=(us.motor(5, 11, **changes),)))
        assert assumed(other)["motor.current-from-plate/"]["why"] == why
    duty = us.ask(us.made(motors=(us.motor(5, 10, duty="S3 25 %"),)))
    assert assumed(duty)["motor.duty-class/"] == {
        "motor": "saw/0", "duty": "S3 25 %", "service": "intermittent", "percent": 140.0,
    }  # fmt: skip
