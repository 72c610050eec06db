"""An invented plan, made by hand: what it says is plausible and proves nothing."""

import pytest

from ampwright.decision import Decision, PluginUsed, RegionUsed
from ampwright.equipment.capacitor import Capacitor
from ampwright.equipment.circuit import Circuit
from ampwright.equipment.conductor import Conductor, Raceway
from ampwright.equipment.converter import Converter, Window
from ampwright.equipment.device import ProtectiveDevice
from ampwright.finding import Assumption, Finding, Parameter, Question
from ampwright.method import Cost, Limit, MotorState, Refusal, Start, State
from ampwright.option import Assignment, Option
from ampwright.records.load import Load
from ampwright.records.machine import Machine
from ampwright.records.motor import Motor
from ampwright.records.shop import Shop
from ampwright.records.site import Site
from ampwright.records.supply import Supply
from ampwright.step import Worksheet
from ampwright.tables import Source

HP = 745.69987
NEC = "NFPA 70"


def _shop() -> Shop:
    saw = Machine(
        id="saw",
        name="Panel saw",
        plate="5 HP 3PH 60CY 1740 RPM 230/460 V 13.2/6.6 A CODE J",
        length="12 m",
    )
    dust = Machine(
        id="dust",
        name="Dust extraction",
        motors=(Motor(power="5 hp", voltage="230/460 V", current="12.8/6.4 A", frequency="60 Hz"),),
        length="18 m",
    )
    kiln = Machine(
        id="kiln",
        name="Kiln",
        loads=(Load(kind="resistive", power="6 kW", voltage="240 V", relinkable=True),),
        length="9 m",
    )
    return Shop(
        name="Alder Road cabinet works",
        supply=Supply(
            arrangement="split-phase", voltage="240 V", frequency="60 Hz", rating="100 A",
            existing_load="14 A", transformer="25 kVA",
        ),
        site=Site(ambient="30 degC"),
        machines=(saw, dust, kiln),
        together=(("saw", "dust"), ("kiln",)),
    )  # fmt: skip


def _circuit(name: str, role: str, feeds: str, amps: float) -> Circuit:
    sheet = Worksheet(f"options/rotary/circuits/{name}")
    rule = Source(document=NEC, clause="430.22", edition="2023", known="seen")
    full = sheet.table(
        "full-load", "I_FLC", amps, "A", table="flc_three_phase", cell=("5 hp", "230 V"),
        source=Source(document=NEC, clause="table 430.250", edition="2023", known="memory"),
    )  # fmt: skip
    design = sheet.formula(
        "design", "I_B", "A", "1.25 * I_FLC", rule="430.22", source=rule, I_FLC=full
    )
    return Circuit(
        id=name,
        role=role,
        feeds=(feeds,),
        fed_from="" if role == "supply" else "output.rotary",
        phases=1 if role == "supply" else 3,
        voltage_v=240.0,
        design_current_a=design.value,
        conductor=Conductor(
            size="10 AWG", area_mm2=5.26, material="copper", insulation="THWN-2", count=3,
            ampacity_a=30.0, length_m=12.0,
        ),
        protective_conductor=Conductor(
            size="10 AWG", area_mm2=5.26, material="copper", insulation="THWN-2", count=1,
            ampacity_a=None, length_m=12.0,
        ),
        protective_device=ProtectiveDevice(
            kind="breaker", rating_a=40.0, curve="inverse-time", poles=3, rating_v=240.0
        ),
        overloads=(
            ProtectiveDevice(
                id="saw/0", kind="overload", curve="class 10", poles=3, setting_a=15.2
            ),
        )
        if role == "branch"
        else (),
        disconnect=ProtectiveDevice(kind="disconnect", rating_a=30.0, poles=3, power_w=5 * HP),
        raceway=Raceway(kind="EMT", size="3/4", fill_fraction=0.1587, limit_fraction=0.4),
        voltage_drop_fraction=0.01234,
        starting_drop_fraction=0.0561,
        fault_current_a=8123.0,
        voltage_to_earth_v=(120.0, 120.0, 207.8),
        steps=sheet.steps,
    )  # fmt: skip


def _state(name: str, running: tuple[str, ...]) -> State:
    motors = (
        MotorState(
            id="saw/0", slip=0.031, torque_nm=20.3, shaft_w=5 * HP, current_a=(12.1, 13.9, 14.2),
            winding_fraction=1.0751, usable_fraction=0.9449, stalled=False,
        ),
    )  # fmt: skip
    return State(
        id=f"rotary/{name}", set=name, converter="rotary", running=running,
        line_voltage_v=(238.1, 234.6, 239.9), leg_to_earth_v=(119.1, 119.0, 205.9),
        negative_sequence_fraction=0.0142, deviation_fraction=0.0121, input_current_a=41.27,
        input_power_w=9120.0, input_power_factor=0.927, losses_w=640.0, equal_kva_current_a=45.03,
        motors=motors if running else (),
    )  # fmt: skip


def _rotary() -> Option:
    condition = Finding(
        code="control.manufactured-leg", severity="caution", where=("saw",), rule="455.9"
    )
    sheet = Worksheet("options/rotary/converters/rotary")
    sheet.solved(
        "start", "P_start", 7.2 * HP, "W", model="torque balance at standstill", residual=3.1e-11,
        unknowns=("P_start",), source=Source(document="induction network", known="model"),
        low=6.8 * HP, high=7.9 * HP,
    )  # fmt: skip
    converter = Converter(
        id="rotary", method="rotary", machines=("saw", "dust"), rating_w=10 * HP,
        idler_power_w=10 * HP, input_voltage_v=240.0, output_voltage_v=240.0, input_current_a=48.3,
        output_current_a=28.04, largest_motor_w=5 * HP, losses_w=512.0,
        capacitors=(
            Capacitor(id="run-ca", purpose="run", between="ca", capacitance_f=120e-6,
                      voltage_v=370.0, tolerance_fraction=0.06),
        ),
        protective_features=("output-contactor",),
        window=(Window(id="supply.rotary", part="conductor", largest_input_current_a=68.09,
                       smallest_input_current_a=30.4),),
    )  # fmt: skip
    limits = (
        Limit(id="rotary/start-torque", subject="rotary", constraint="start-torque", asks=10 * HP,
              unit="W", governs=True),
        Limit(id="rotary/running-load", subject="rotary", constraint="running-load", asks=7.5 * HP,
              unit="W", governs=False),
        Limit(id="rotary/rule-of-thumb", subject="rotary", constraint="rule-of-thumb",
              asks=7.5 * HP, unit="W", governs=False, cross_check=True),
    )  # fmt: skip
    return Option(
        id="rotary",
        machines=(
            Assignment(id="saw", method="rotary", verdict="feasible-with-conditions",
                       reasons=(condition,)),
            Assignment(id="dust", method="rotary", verdict="feasible"),
            Assignment(id="kiln", method="relink", verdict="feasible"),
        ),
        feasible=True,
        verdict="feasible-with-conditions",
        refusals=(
            Refusal(method="drive", machines=("kiln",), reasons=(
                Finding(code="drive.no-motor", severity="blocks", where=("kiln",)),)),
        ),
        converters=(converter,),
        circuits=(
            _circuit("supply.rotary", "supply", "rotary", 15.2),
            _circuit("branch.saw", "branch", "saw", 15.2),
        ),
        states=(_state("idle", ()), _state("set-1", ("saw", "dust"))),
        starts=(
            Start(id="dust", converter="rotary", runs_up=True, time_s=1.84, lowest_voltage_v=204.9,
                  current_a=131.2, torque_nm=31.2, needed_torque_nm=12.0, device_trips=False,
                  overload_trips=None),
        ),
        costs=(
            Cost(id="rotary", kind="purchase", low=1400.0, high=2600.0, currency="USD"),
            Cost(id="rotary", kind="idle", low=61.0, high=118.0, currency="USD"),
        ),
        limits=limits,
        sequence=("rotary", "dust", "saw"),
        apart=(("saw", "kiln"),),
        findings=(
            Finding(code="converter.idler-start-sequence", severity="info", where=("rotary",)),
        ),
        steps=sheet.steps,
    )  # fmt: skip


def _drives() -> Option:
    return Option(
        id="drives",
        machines=(
            Assignment(id="saw", method="drive", verdict="feasible"),
            Assignment(id="dust", method="drive", verdict="feasible"),
            Assignment(id="kiln", method=None, verdict="not-feasible", reasons=(
                Finding(code="machine.unreachable", severity="blocks", where=("kiln",)),)),
        ),
        feasible=False,
        verdict="not-feasible",
        costs=(Cost(id="saw", kind="purchase", low=500.0, high=900.0, currency="USD"),),
    )  # fmt: skip


@pytest.fixture
def decision() -> Decision:
    """Return a plan for three machines: two on a rotary converter, a kiln relinked."""
    sheet = Worksheet("shop")
    sheet.given("supply/voltage", "U", 240.0, "V", text="240 V")
    return Decision(
        id="p-0123456789abcdef",
        version="0.1.0",
        shop=_shop(),
        region=RegionUsed(
            id="us", edition="2023", family="nec", title="NFPA 70 (National Electrical Code), 2023",
            terms=(("branch", "branch circuit"),
                   ("protective-conductor", "equipment grounding conductor")),
        ),
        plugins=(PluginUsed(name="region-us", version="0.1.0"),),
        verdict="feasible-with-conditions",
        options=(_rotary(), _drives()),
        chosen="rotary",
        findings=(
            Finding(code="plan.permit-inspection", severity="info", where=("shop",)),
            Finding(code="invented.never-heard-of", severity="caution", where=("saw",),
                    parameters=(Parameter(name="leg_current", value=13.94, unit="A"),)),
        ),
        questions=(
            Question(code="invented.length", field="machines[2].length", where=("kiln",),
                     changes="figures"),
        ),
        assumptions=(
            Assumption(code="invented.ambient", where=("shop",),
                       parameters=(Parameter(name="ambient", value=30.0, unit="degC"),)),
        ),
        steps=sheet.steps,
    )  # fmt: skip
