"""Machines on balanced lines of another voltage than the single-phase supply's."""

import attrs

from ampwright.case import VOLTAGE_TOLERANCE, Linking, LoadCase, MachineCase, MotorCase
from ampwright.kernels.torque_curve import balanced_state, running_slip
from ampwright.kernels.variants import relinked
from ampwright.method import MotorState
from ampwright.record import Record
from ampwright.region import LoadDemand, MotorDemand
from ampwright.step import Figure, Worksheet
from ampwright.tables import Source

SAME_POWER = Source(document="the same power at another voltage", known="derived")
SQUARE = Source(document="torque goes with the square of voltage", known="derived")
RESISTANCE = Source(document="power of a resistance goes with the square of voltage",
                    known="derived")  # fmt: skip
MODEL = Source(document="double-cage circuit on balanced lines", known="model")
RESISTIVE = ("resistive", "lamp")


def at_voltage(
    motor: MotorCase, supply: Figure, nominal: Figure, sheet: Worksheet
) -> MotorCase | None:
    """Return *motor* as it is linked for lines of another voltage.

    Args:
        motor: The motor, completed for the single-phase supply.
        supply: Voltage of that supply [V].
        nominal: Voltage of the lines that it is to stand on [V].
        sheet: Where the steps stand, below ``linked/<motor>``.

    Returns:
        The motor with the demand, the circuits and the starting torque of the link that suits;
        ``None`` where none does.
    """
    found = motor.linking(nominal.value)
    if found is None:
        suits = abs(nominal.value / motor.demand.voltage.value - 1.0) <= VOLTAGE_TOLERANCE
        if not suits:
            return None
        found = Linking(voltage=motor.demand.voltage, current=motor.demand.current)
    part = sheet.under(f"linked/{motor.demand.id}")
    volts = found.voltage
    if found.voltage_from is not None:
        volts = part.formula(
            "voltage", "U_N", "V", "min(max(U, min(a, b)), max(a, b))", U=nominal, a=found.voltage,
            b=found.voltage_from,
        )  # fmt: skip
    old, ratio = motor.demand.voltage, volts.value / motor.demand.voltage.value
    known, current = motor.demand.current_known, motor.demand.current
    if abs(ratio - 1.0) > 1e-9:
        known = "plate" if found.current is not None else "derived"
        current = found.current or part.formula(
            "current", "I", "A", "I * U / V", I=current, U=old, V=volts, source=SAME_POWER
        )
    locked = motor.demand.locked_rotor_current
    if locked is not None and abs(ratio - 1.0) > 1e-9:
        locked = part.formula("locked_rotor_current", "I_LR", "A", "I * U / V", I=locked, U=old,
                              V=volts, source=SAME_POWER)  # fmt: skip
    torque = part.formula(
        "start_torque", "T_LR", "N m", "T * (L * U / (V * S)) ** 2", T=motor.start_torque,
        L=nominal, U=old, V=volts, S=supply, source=SQUARE,
    )  # fmt: skip
    nominal_circuit, low, high = (
        relinked(one, ratio) for one in (motor.circuit, motor.low, motor.high)
    )
    linked = motor.motor.linked_for_v
    several = len({one.voltage.value for one in motor.linkings}) > 1
    return attrs.evolve(
        motor,
        demand=attrs.evolve(motor.demand, voltage=volts, current=current, current_known=known,
                            locked_rotor_current=locked),
        circuit=nominal_circuit,
        low=low,
        high=high,
        start_torque=torque,
        relinked=(None if several else False)
        if linked is None
        else abs(linked / volts.value - 1.0) > VOLTAGE_TOLERANCE,
        fits=True,
    )  # fmt: skip


def load_at(
    load: LoadCase, supply: Figure, nominal: Figure, sheet: Worksheet
) -> tuple[LoadDemand, Figure] | None:
    """Return a load as it draws from lines of another voltage, and its power.

    Args:
        load: The load, completed for the single-phase supply.
        supply: Voltage of that supply [V].
        nominal: Voltage of the lines that it is to stand on [V].
        sheet: Where the steps stand, below ``linked/<load>``.

    Returns:
        What it draws and its power [W]; ``None`` where its voltage does not suit. A single-phase
        load stays on the supply.
    """
    demand = load.three_phase
    if load.load.phases == 1:
        single = load.single_phase
        return None if single is None or not load.fits else (single, load.power)
    rated = load.load.voltage_v or load.load.element_voltage_v
    if rated is not None and abs(nominal.value / rated - 1.0) > VOLTAGE_TOLERANCE + 1e-9:
        return None
    part = sheet.under(f"linked/{demand.id}")
    resistive = load.load.kind in RESISTIVE
    drawn = part.formula(
        "current", "I", "A", "I * L / U" if resistive else "I * U / L", I=demand.current, U=supply,
        L=nominal, source=RESISTANCE if resistive else SAME_POWER,
    )  # fmt: skip
    if resistive:
        power = part.formula("power", "P", "W", "P * (L / U) ** 2", P=load.power, U=supply,
                             L=nominal, source=RESISTANCE)  # fmt: skip
    else:
        power = part.formula("power", "P", "W", "P", P=load.power)
    return attrs.evolve(demand, current=drawn), power


@attrs.frozen(kw_only=True, eq=False, repr=False)
class LinkedMachine(Record):
    """One machine as it stands on balanced lines.

    Attributes:
        machine: The machine.
        motors: Its three-phase motors, linked for the lines.
        single: Its single-phase motors.
        loads: Its other loads, as they draw there.
        watts: Their powers [W].
        misfit: Rated voltage of what suits in no way, as text; ``""``: everything suits.
    """

    machine: MachineCase
    motors: tuple[MotorCase, ...]
    single: tuple[MotorDemand, ...]
    loads: tuple[LoadDemand, ...]
    watts: tuple[Figure, ...]
    misfit: str

    @property
    def id(self) -> str:
        """The caller's id."""
        return self.machine.id

    @property
    def running(self) -> tuple[MotorCase, ...]:
        """The motors that run at once."""
        at_once = {motor.demand.id for motor in self.machine.simultaneous_motors}
        return tuple(one for one in self.motors if one.demand.id in at_once)

    @property
    def drawn(self) -> dict[str, Figure]:
        """The current of each motor that runs and of each load, under names for formulas [A]."""
        found = {f"M{n}": motor.demand.current for n, motor in enumerate(self.running)}
        found |= {f"S{n}": demand.current for n, demand in enumerate(self.single)}
        return found | {f"L{n}": load.current for n, load in enumerate(self.loads)}


def machine_at(
    machine: MachineCase, supply: Figure, nominal: Figure, sheet: Worksheet
) -> LinkedMachine:
    """Return *machine* on lines of *nominal* volts; what suits in no way is its ``misfit``."""
    motors, loads, watts = [], [], []
    misfit = ""
    for motor in machine.motors:
        found = at_voltage(motor, supply, nominal, sheet)
        if found is None:
            misfit = f"{motor.demand.voltage.value:g} V"
        else:
            motors.append(found)
    for load in machine.loads:
        fitting = load_at(load, supply, nominal, sheet)
        if fitting is None:
            rated = load.load.voltage_v or load.load.element_voltage_v
            misfit = misfit or (f"{rated:g} V" if rated else "?")
        else:
            loads.append(fitting[0])
            watts.append(fitting[1])
    return LinkedMachine(
        machine=machine,
        motors=tuple(motors),
        single=machine.single_phase,
        loads=tuple(loads),
        watts=tuple(watts),
        misfit=misfit,
    )


def balanced_motor(
    motor: MotorCase, volts: Figure, load: Figure, part: Worksheet
) -> tuple[MotorState, Figure]:
    """Return a motor on balanced lines that gives the share *load* of its rated torque.

    Args:
        motor: The motor, linked for the lines.
        volts: Voltage between the lines [V].
        load: Share of the rated torque.
        part: Sheet of the operating point; the steps stand below ``motors/<motor>``.

    Returns:
        Its state, and its input power [W]; a load beyond its breakdown torque stalls it.
    """
    own = part.under(f"motors/{motor.demand.id}")
    asked = own.formula("asked_nm", "T", "N m", "x * T", x=load, T=motor.rated_torque)
    slip = running_slip(motor.circuit, volts.value, asked.value)
    found = balanced_state(motor.circuit, volts.value, 1.0 if slip is None else slip)
    left = 0.0 if slip is None else found.shaft_torque_nm / max(asked.value, 1e-9) - 1.0
    inputs = [("U", volts), ("T", asked)]

    def put(name: str, symbol: str, value: float, unit: str) -> Figure:
        return own.solved(name, symbol, value, unit, model="balanced running point", source=MODEL,
                          residual=left, inputs=inputs, unknowns=("slip",))  # fmt: skip

    amperes = [put(f"current_a/{n}", "I", abs(found.current1_a), "A").value for n in range(3)]
    rated = motor.circuit.rated_current_a
    state = MotorState(
        id=motor.demand.id,
        slip=put("slip", "s", 1.0 if slip is None else slip, "").value,
        torque_nm=put("torque_nm", "T", found.shaft_torque_nm, "N m").value,
        shaft_w=put("shaft_w", "P", found.shaft_w, "W").value,
        current_a=(amperes[0], amperes[1], amperes[2]),
        winding_fraction=put("winding_fraction", "i_w", abs(found.current1_a) / rated, "").value,
        usable_fraction=own.assumed("usable_fraction", "p", 1.0, "", source=MODEL).value,
        stalled=slip is None,
    )
    return state, put("input_w", "P_in", found.input_w, "W")
