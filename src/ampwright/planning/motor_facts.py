"""What the facts of motors and plates call for: windings, surroundings, ratings of plugs."""

from collections.abc import Iterator
from pathlib import Path

from ampwright.case import Case, MachineCase, MotorCase
from ampwright.finding import Finding, parameters
from ampwright.records.motor import Motor
from ampwright.step import Figure
from ampwright.tables import read_table

FIGURES = read_table(Path(__file__).with_name("motor_facts.csv"))
OPEN = read_table(Path(__file__).with_name("enclosures.csv"))
ROUGH = ("combustible-dust", "conductive-dust", "wash-down")


def figure(name: str) -> float:
    """Return one planning value."""
    value = FIGURES.number(name, "value")
    if value is None:
        raise KeyError(name)
    return value


def is_open(motor: Motor) -> bool:
    """Tell whether the enclosure of a motor lets in what is in the air."""
    name = (motor.enclosure or "").upper().replace(" ", "")
    return any(name.startswith(row["id"]) for row in OPEN.rows) if name else False


def of_winding(
    case: Case, machine: MachineCase, number: int, motor: MotorCase
) -> Iterator[Finding]:
    """Yield what the measured winding and its surroundings call for."""
    where, stated = (machine.id,), motor.motor
    place = f"{case.stated_at(machine.id)}/motors/{number}"
    insulation = stated.insulation_resistance_ohm
    if insulation is not None and insulation < figure("insulation"):
        measured = Figure(float(insulation), f"{place}/insulation_resistance_ohm")
        yield Finding(code="machine.insulation-low", severity="caution", where=where,
                      parameters=parameters("measured=ohm", measured=measured))  # fmt: skip
    relay = stated.overload_range_a
    if relay is not None and not relay[0] <= motor.demand.current.value <= relay[1]:
        said = parameters("current=A", current=motor.demand.current)
        yield Finding(
            code="protection.overload-range", severity="caution", where=where, parameters=said
        )
    at_factor = stated.service_factor_current_a
    most = figure("service-factor-current") * (stated.service_factor or 1.0)
    if at_factor is not None and not 1.0 <= at_factor / motor.demand.current.value <= most:
        printed = Figure(float(at_factor), f"{place}/service_factor_current_a")
        yield Finding(code="nameplate.implausible", severity="caution", where=where,
                      parameters=parameters("given=A", field="service_factor_current",
                                            given=printed))  # fmt: skip
    resistance = stated.winding_resistance_ohm
    if resistance is not None:
        expected = 2.0 * motor.circuit.r1_ohm / figure("hot")
        times = max(resistance / expected, expected / resistance)
        if times > figure("resistance"):
            measured = Figure(float(resistance), f"{place}/winding_resistance_ohm")
            yield Finding(code="machine.winding-resistance", severity="caution", where=where,
                          parameters=parameters("measured=ohm", measured=measured))  # fmt: skip
    hottest, most = case.shop.site.ambient_c, stated.ambient_c or figure("ambient")
    if hottest is not None and hottest > most:
        there = Figure(float(hottest), "shop/site/ambient_c")
        yield Finding(code="machine.too-warm-here", severity="caution", where=where,
                      parameters=parameters("ambient=degC", ambient=there))  # fmt: skip
    if is_open(stated) and any(one in machine.machine.traits for one in ROUGH):
        yield Finding(code="machine.enclosure-unfit", severity="caution", where=where,
                      parameters=parameters(enclosure=str(stated.enclosure)))  # fmt: skip
    if (stated.rotor_voltage_v or stated.rotor_current_a) and not machine.states(
        "traits", "wound-rotor"
    ):
        yield Finding(code="machine.wound-rotor", severity="caution", where=where)


def of_plate(case: Case, machine: MachineCase) -> Iterator[Finding]:
    """Yield what the plate of the whole machine says against its parts, and against the supply."""
    stated, where = machine.machine, (machine.id,)
    place = case.stated_at(machine.id)
    parts = sum(one.demand.current.value for one in machine.simultaneous_motors)
    parts += sum(one.three_phase.current.value for one in machine.loads if one.load.phases == 3)
    whole = stated.full_load_current_a
    if whole is not None and parts > 0.0 and abs(whole / parts - 1.0) > figure("machine-plate"):
        said = Figure(float(whole), f"{place}/full_load_current_a")
        yield Finding(code="nameplate.implausible", severity="caution", where=where,
                      parameters=parameters("given=A", field="full_load_current",
                                            given=said))  # fmt: skip
    bears, fault = stated.short_circuit_rating_a, case.supply.fault_largest
    if bears is not None and fault is not None and fault.value > bears:
        limit = Figure(float(bears), f"{place}/short_circuit_rating_a")
        values = parameters("fault=A limit=A", fault=fault, limit=limit)
        yield Finding(code="protection.short-circuit-rating", severity="caution", where=where,
                      parameters=values)  # fmt: skip


def of_plug(machine: MachineCase) -> Iterator[Finding]:
    """Yield a finding where plug and outlet are not made for the machine."""
    plug = machine.machine.plug
    if plug is None:
        return
    three = bool(machine.motors) or any(one.load.phases == 3 for one in machine.loads)
    drawn = sum(one.demand.current.value for one in machine.simultaneous_motors)
    power = sum(one.demand.power.value for one in machine.simultaneous_motors)
    volts = max((one.demand.voltage.value for one in machine.motors), default=0.0)
    short = (
        plug.current_a is not None and plug.current_a < drawn,
        plug.voltage_v is not None and plug.voltage_v < volts,
        plug.poles is not None and three and plug.poles < 3,
        plug.motor_rating_w is not None and plug.motor_rating_w < power * (1.0 - 1e-6),
    )
    if any(short):
        yield Finding(code="protection.plug-rating", severity="caution", where=(machine.id,))


def motor_facts(case: Case) -> Iterator[Finding]:
    """Yield what the motors and plates of all machines call for."""
    for machine in case.machines:
        for number, motor in enumerate(machine.motors):
            yield from of_winding(case, machine, number, motor)
        yield from of_plate(case, machine)
        yield from of_plug(machine)
