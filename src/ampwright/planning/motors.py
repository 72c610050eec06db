"""Motors: from the completed plate to a circuit with its band, a load and a start."""

import math
from pathlib import Path

from ampwright.case import Linking, MotorCase, SupplyCase, circuit_figures
from ampwright.finding import Assumption, Finding, parameters
from ampwright.kernels.identification import Identified, identify
from ampwright.kernels.induction import synchronous_speed
from ampwright.kernels.network import LoadLaw
from ampwright.kernels.torque_curve import locked_rotor
from ampwright.kernels.variants import at_frequency
from ampwright.nameplate.remarks import contradictions_of_rating
from ampwright.planning.rated import PlateReading, RatedFigures, Words, poles_of, rated
from ampwright.planning.ratings import suited
from ampwright.planning.relinking import TURNS, other_links, relinked_point
from ampwright.records.machine import Machine
from ampwright.records.motor import Motor
from ampwright.region import MotorDemand
from ampwright.step import Figure, Worksheet
from ampwright.tables import Source, read_table

PLACE = Path(__file__)
FLUX = Source(document="flux goes with voltage over frequency, speed with frequency",
              known="derived")  # fmt: skip
LETTERS = read_table(PLACE.with_name("code_letters.csv"))
LAWS = read_table(PLACE.with_name("load_laws.csv"))
DESIGNS = read_table(PLACE.with_name("design_torques.csv"))
INERTIA = read_table(PLACE.with_name("inertia.csv"))
MODEL = Source(document="double-cage equivalent circuit", known="model")
MECHANICS = Source(document="torque is power over speed", known="derived")
PRACTICE = Source(document="common practice", known="practice")
USUAL_SPEED = 0.96  # of a loaded motor over the synchronous one: common practice, no source
HORSEPOWER_W = 745.69987158227022


def locked_figure(reading: PlateReading, point: RatedFigures) -> tuple[Figure | None, str]:
    """Return the locked-rotor current that the plate states, and how: the upper end of a letter."""
    stated = reading.stated("locked_rotor_current_a")
    if stated is not None:
        return stated, "tested"
    ratio = reading.stated("locked_rotor_current_ratio")
    sheet = reading.sheet
    if ratio is not None:
        return sheet.formula("locked_rotor_current", "I_LR", "A", "k * I", k=ratio,
                             I=point.current), "tested"  # fmt: skip
    letter = reading.motor.code_letter
    row = LETTERS.row(letter) if letter else None
    if row is None or not row["kva_per_hp_max"]:
        return None, ""
    k = sheet.table(
        "kva_per_hp", "k", float(row["kva_per_hp_max"]), "kVA/hp", table=LETTERS.id,
        cell=(str(letter), "kva_per_hp_max"), source=LETTERS.source(),
    )  # fmt: skip
    figure = sheet.formula(
        "locked_rotor_current", "I_LR", "A", f"1000 * k * P / {HORSEPOWER_W} / ({reading.root}U)",
        k=k, P=point.power, U=point.voltage, source=LETTERS.source(),
    )  # fmt: skip
    return figure, "letter"


def identified(
    reading: PlateReading, point: RatedFigures, locked: Figure | None, how: str
) -> Identified:
    """Return the circuit of the plate, on what is known of it."""
    middle = None
    if locked is not None and how == "letter":
        row = LETTERS.row(str(reading.motor.code_letter))
        ends = (float(row["kva_per_hp_min"]), float(row["kva_per_hp_max"])) if row else (1.0, 1.0)
        middle = locked.value * (ends[0] + ends[1]) / 2.0 / ends[1]
    torque = torque_ratio(reading, point, "locked_rotor")
    breakdown = torque_ratio(reading, point, "breakdown")
    if torque is None:
        torque = DESIGNS.number(reading.motor.design or "", "locked_rotor_torque_ratio")
    return identify(
        power_w=point.power.value,
        voltage_v=point.voltage.value,
        frequency_hz=point.frequency.value,
        speed_rpm=point.speed.value if point.speed else None,
        poles=reading.motor.poles,
        current_a=point.current.value if point.current_known == "plate" else None,
        power_factor=valued(reading.stated("power_factor")),
        efficiency=valued(reading.stated("efficiency")),
        locked_rotor_current_a=middle or (locked.value if locked else None),
        locked_rotor_torque_ratio=torque,
        breakdown_torque_ratio=breakdown,
        no_load_current_a=at_link(reading, point, reading.motor.no_load_current_a),
    )


def torque_ratio(reading: PlateReading, point: RatedFigures, name: str) -> float | None:
    """Return a torque of the plate over the rated one, stated so or in newton metres."""
    ratio: float | None = getattr(reading.motor, f"{name}_torque_ratio")
    torque: float | None = getattr(reading.motor, f"{name}_torque_nm")
    if ratio is not None or torque is None:
        return ratio
    poles = reading.motor.poles or poles_of(point.speed, point.frequency)
    synchronous = 4.0 * math.pi * point.frequency.value / poles
    turning = synchronous * USUAL_SPEED
    if point.speed is not None:
        turning = 2.0 * math.pi * point.speed.value / 60.0
    return torque * turning / point.power.value


def at_link(reading: PlateReading, point: RatedFigures, current_a: float | None) -> float | None:
    """Return a current of the plate in the link reckoned with, where that is another one [A]."""
    plate_v = reading.fit.voltage_v
    if current_a is None or plate_v is None:
        return current_a
    return float(current_a) * plate_v / point.voltage.value


def valued(figure: Figure | None) -> float | None:
    """Return the value of a figure that may not be there."""
    return figure.value if figure else None


def demanded(
    reading: PlateReading,
    point: RatedFigures,
    locked: Figure,
    machine: Machine,
    *,
    locked_known: str = "",
) -> MotorDemand:
    """Return the motor as a wiring rule looks at it."""
    motor = reading.motor
    made = MotorDemand(
        id=f"{reading.machine}/{reading.number}",
        machine=reading.machine,
        phases=motor.phases,
        power=point.power,
        voltage=point.voltage,
        current=point.current,
        current_known=point.current_known,
        speed=point.speed,
        service_factor=reading.stated("service_factor"),
        temperature_rise=reading.stated("temperature_rise_k"),
        locked_rotor_current=locked,
        locked_rotor_known=locked_known,
        design=motor.design or "",
        duty=motor.duty,
        overload_fitted=machine.overload_fitted,
        multispeed="two-speed" in machine.traits,
        wound_rotor="wound-rotor" in machine.traits and motor.phases == 3,
        hermetic="hermetic" in machine.traits or motor.current_kind == "rated-load",
        one_at_a_time=bool(machine.motors_one_at_a_time),
        starter=machine.starter or "",
        minimum_circuit_current=reading.stated("minimum_circuit_current_a"),
        largest_device=reading.stated("largest_protective_device_a"),
        rectified="rectifier-input" in machine.traits or "thyristor-input" in machine.traits,
    )
    say_duty(reading, made)
    return made


def say_duty(reading: PlateReading, demand: MotorDemand) -> None:
    """Say what a duty type other than S1 changes, and that it changes nothing else."""
    if demand.duty == "S1":
        return
    said = parameters(duty=demand.duty)
    if demand.duty_share < 1.0:
        share = reading.sheet.given("duty_share", "d", demand.duty_share, "", text=demand.duty)
        said = parameters(duty=demand.duty, share=share)
    reading.words.assumptions.append(
        Assumption(code="motor.duty-currents", where=(reading.machine,), parameters=said)
    )


def load_of(machine: Machine, reading: PlateReading, torque: Figure) -> tuple[LoadLaw, Figure]:
    """Return the load while running, and the torque that it asks at standstill [N m]."""
    kind, hard = machine.load_torque or "constant", machine.start or "normal"
    row = next(one for one in LAWS.rows if (one["load_torque"], one["start"]) == (kind, hard))
    share = reading.sheet.assumed(
        "breakaway_share", "k_b", float(row["breakaway"]), "", source=LAWS.source(), low=0.1,
        high=1.5,
    )  # fmt: skip
    breakaway = reading.sheet.formula("breakaway", "T_b", "N m", "k * T", k=share, T=torque)
    law = LoadLaw(
        constant_nm=float(row["constant"]) * torque.value,
        linear_nm=float(row["linear"]) * torque.value,
        square_nm=float(row["square"]) * torque.value,
    )
    return law, breakaway


def run_up_law(machine: Machine, running: LoadLaw, breakaway_nm: float) -> LoadLaw:
    """Return the load while it runs up: what comes only with the work is left out."""
    kind, hard = machine.load_torque or "constant", machine.start or "normal"
    row = next(one for one in LAWS.rows if (one["load_torque"], one["start"]) == (kind, hard))
    whole = running.constant_nm / float(row["constant"])
    return LoadLaw(
        constant_nm=float(row["run_up"]) * whole,
        linear_nm=running.linear_nm,
        square_nm=running.square_nm,
        breakaway_nm=breakaway_nm,
    )


def inertia_of(
    machine: Machine, stem: str, reading: PlateReading, power: Figure, poles: int
) -> Figure:
    """Return the inertia of motor and load [kg m2]; the machine is stated under the id *stem*."""
    sheet = reading.sheet
    rotor = reading.stated("inertia_kgm2")
    if rotor is None:
        pairs = sheet.assumed("pole_pairs", "p", poles / 2, "", source=PRACTICE)
        rotor = sheet.formula("rotor_inertia", "J_r", "kg m2", "0.015 * (P / 3730) ** 1.25"
                              " * (p / 2) ** 2", P=power, p=pairs, source=PRACTICE)  # fmt: skip
    if machine.load_inertia_kgm2 is not None:
        path = f"shop/machines/{stem}/load_inertia_kgm2"
        load = Figure(float(machine.load_inertia_kgm2), path)
    else:
        kind = (
            "high-inertia"
            if "high-inertia" in machine.traits
            else ("fan" if machine.load_torque == "fan" else "usual")
        )
        times = float(INERTIA.number(kind, "load_over_rotor") or 0.0)
        ratio = sheet.assumed("load_over_rotor", "k_J", times, "", source=INERTIA.source(),
                              low=times / 2, high=times * 2)  # fmt: skip
        load = sheet.formula("load_inertia", "J_L", "kg m2", "k * J", k=ratio, J=rotor)
    return sheet.formula("inertia", "J", "kg m2", "J_r + J_L", J_r=rotor, J_L=load)


def single_phase_demand(
    machine: Machine, number: int, motor: Motor, where: str, supply: SupplyCase, words: Words
) -> tuple[MotorDemand, Worksheet]:
    """Return a single-phase motor as a wiring rule looks at it."""
    fit = suited(motor, supply.voltage.value, supply.frequency.value)
    sheet = Worksheet(f"machines/{machine.id}/motors/{number}")
    reading = PlateReading(motor, fit, where, machine.id, number, sheet, words)
    point = rated(reading, supply)
    locked, _ = locked_figure(reading, point)
    if locked is None:
        ratio = sheet.assumed(
            "locked_rotor_ratio", "k", 6.0, "", source=PRACTICE, low=5.0, high=8.0
        )
        locked = sheet.formula("locked_rotor_current", "I_LR", "A", "k * I", k=ratio,
                               I=point.current)  # fmt: skip
        return demanded(reading, point, locked, machine, locked_known="assumed"), sheet
    return demanded(reading, point, locked, machine), sheet


def motor_case(
    machine: Machine, number: int, motor: Motor, where: str, supply: SupplyCase, words: Words,
    *, stem: str = "",
) -> tuple[MotorCase, Worksheet]:  # fmt: skip
    """Return one three-phase motor completed, with the sheet that its steps stand on.

    *stem* is the id under which the machine is stated, where it is another than its own.
    """
    fit = suited(motor, supply.voltage.value, supply.frequency.value)
    sheet = Worksheet(f"machines/{machine.id}/motors/{number}")
    reading = PlateReading(motor, fit, where, machine.id, number, sheet, words)
    plate = rated(reading, supply)
    links = tuple(other_links(reading, plate, machine))
    again = None if fit.fits else relinked_point(plate, links, supply.voltage)
    point = again or plate
    locked, how = locked_figure(reading, point)
    if again is not None and locked is not None and motor.locked_rotor_current_a is not None:
        locked = sheet.formula("locked_rotor_current", "I_LR", "A", "I * V / U", I=locked,
                               V=plate.voltage, U=point.voltage, source=TURNS)  # fmt: skip
    found = identified(reading, point, locked, how)
    supply_hz = supply.frequency.value
    nominal, low, high = (at_frequency(one, supply_hz) for one in found[:3])
    given = [("P", point.power), ("U", point.voltage), ("I", point.current), ("f", point.frequency)]
    circuit_figures(sheet.under("circuit"), nominal, MODEL, found.residual, given)
    standstill = locked_rotor(nominal, supply.voltage.value)
    spread = found.start_torque_spread
    start = sheet.solved(
        "start_torque", "T_LR", standstill.torque_nm, "N m", model="locked rotor", source=MODEL,
        residual=found.residual, inputs=[("U", supply.voltage), *given],
        low=standstill.torque_nm * (1 - spread), high=standstill.torque_nm * (1 + spread),
    )  # fmt: skip
    if locked is None:
        most = locked_rotor(high, point.voltage.value).current_a
        locked = sheet.solved("locked_rotor_current", "I_LR", most, "A", model="locked rotor",
                              source=MODEL, residual=found.residual, inputs=given)  # fmt: skip
    speed = sheet.solved(
        "rated_speed", "omega", synchronous_speed(found.circuit) * (1 - found.point.slip), "rad/s",
        model="rated point", source=MODEL, residual=found.residual, inputs=given,
    )  # fmt: skip
    torque = sheet.formula("rated_torque", "T_N", "N m", "P / w", P=point.power, w=speed,
                           source=MECHANICS)  # fmt: skip
    law, breakaway = load_of(machine, reading, torque)
    said_of(
        reading,
        point,
        supply,
        same_frequency=fit.frequency_fits,
        relinked=again is not None,
    )
    return MotorCase(
        demand=demanded(reading, point, locked, machine),
        motor=motor,
        frequency=point.frequency,
        efficiency=point.efficiency,
        power_factor=point.power_factor,
        circuit=nominal,
        low=low,
        high=high,
        start_torque=start,
        rated_torque=torque,
        load=law,
        run_up=run_up_law(machine, law, breakaway.value),
        breakaway=breakaway,
        inertia=inertia_of(
            machine,
            stem or machine.id,
            reading,
            point.power,
            poles_of(point.speed, point.frequency),
        ),
        relinked=relink_needed(motor, point.voltage.value)
        if again is None or motor.linked_for_v is not None
        else True,
        fits=fit.fits or again is not None,
        linkings=(*linkings(reading), *links),
    ), sheet


def linkings(reading: PlateReading) -> tuple[Linking, ...]:
    """Return every voltage that the motor can be linked for, at the power and frequency in use."""
    used = reading.fit.rating
    found: dict[float, Linking] = {}
    for number, one in enumerate(reading.motor.ratings):
        alike = (one.frequency_hz, one.power_w) == (used.frequency_hz, used.power_w)
        if one.voltage_v is None or not alike or reading.doubted("voltage_v"):
            continue
        place = f"{reading.where}/ratings/{number}"
        begin = one.voltage_from_v
        wrong = contradictions_of_rating(reading.motor, one)
        doubtful = reading.doubted("current_a") or any(each.figure == "current" for each in wrong)
        current = None if doubtful else one.current_a
        made = Linking(
            voltage=Figure(float(one.voltage_v), f"{place}/voltage_v"),
            voltage_from=None if begin is None else Figure(float(begin), f"{place}/voltage_from_v"),
            current=None if current is None else Figure(float(current), f"{place}/current_a"),
        )
        found.setdefault(one.voltage_v, made)
    return tuple(found.values())


def relink_needed(motor: Motor, voltage_v: float) -> bool | None:
    """Tell whether the motor has to be linked for another voltage than now; ``None``: not known."""
    if motor.linked_for_v is not None:
        return abs(motor.linked_for_v / voltage_v - 1.0) > 0.1
    several = {one.voltage_v for one in motor.ratings if one.voltage_v}
    return None if len(several) > 1 else False


def nearest_flux(motor: Motor, point: RatedFigures, supply: SupplyCase, part: Worksheet) -> Figure:
    """Return the stated voltage at which the supply's leaves the flux nearest to the rated one [V].

    What counts between frequencies is volts over hertz: 460 V at 60 Hz are 383 V at 50 Hz.
    """
    wanted = supply.voltage.value * point.frequency.value / supply.frequency.value
    stated = [
        float(one.voltage_v)
        for one in motor.ratings
        if one.voltage_v and one.frequency_hz in (None, point.frequency.value)
    ]
    best = min([point.voltage.value, *stated], key=lambda volts: abs(volts / wanted - 1.0))
    return point.voltage if best == point.voltage.value else part.given("voltage", "V", best, "V")


def said_of(
    reading: PlateReading,
    point: RatedFigures,
    supply: SupplyCase,
    *,
    same_frequency: bool,
    relinked: bool,
) -> None:
    """Say what rating was taken, and where voltage or frequency do not suit.

    Args:
        reading: The plate.
        point: The rated point reckoned with.
        supply: The supply.
        same_frequency: It is rated for the supply's frequency.
        relinked: Its leads allow a link that the plate does not state, and that one is taken.
    """
    findings, where = reading.words.findings, (reading.machine,)
    volts = parameters("rated=V supply=V", rated=point.voltage, supply=supply.voltage)
    several = {one.voltage_v for one in reading.motor.ratings if one.voltage_v}
    if len(several) > 1 or relinked:
        findings.append(
            Finding(code="nameplate.dual-voltage", severity="info", where=where, parameters=volts)
        )
        if relinked or relink_needed(reading.motor, point.voltage.value) is not False:
            findings.append(
                Finding(code="machine.relink-consequences", severity="caution", where=where,
                        parameters=volts)
            )  # fmt: skip
    elif not reading.fit.fits:
        findings.append(
            Finding(code="nameplate.single-voltage", severity="caution", where=where,
                    parameters=volts)
        )  # fmt: skip
    if not same_frequency:
        part = reading.sheet.under("other_frequency")
        linked = nearest_flux(reading.motor, point, supply, part)
        flux = part.formula("flux", "q_f", "", "U / V * f_N / f", U=supply.voltage, V=linked,
                            f_N=point.frequency, f=supply.frequency, source=FLUX)  # fmt: skip
        speed = part.formula("speed", "n", "", "f / f_N", f=supply.frequency, f_N=point.frequency,
                             source=FLUX)  # fmt: skip
        hertz = parameters("rated=Hz supply=Hz", rated=point.frequency, supply=supply.frequency,
                           flux=flux, speed=speed)  # fmt: skip
        findings.append(
            Finding(code="supply.frequency-mismatch", severity="caution", where=where,
                    parameters=hertz)
        )  # fmt: skip
