"""Operating points of the converter, as records with their steps."""

from collections.abc import Sequence

from ampwright.case import circuit_figures, circuit_values
from ampwright.kernels.network import RotorState
from ampwright.kernels.network import State as Solved
from ampwright.methods.rotary.setup import Running
from ampwright.methods.rotary.trial import BOTH_IDLE, IDLE, Trial
from ampwright.plugin import Figure, MotorCase, MotorState, Source, State, Worksheet

MODEL = Source(document="network of idler and motors, symmetrical components", known="model")
ONE_PHASE = Source(document="equal apparent power on one phase", known="derived")
IDENTIFIED = Source(document="double-cage circuit of a usual motor", known="model")
VOLTS, AMPERES = "V", "A"


class Solution:
    """One solved state, put on a sheet number by number."""

    def __init__(self, sheet: Worksheet, solved: Solved, inputs: Sequence[tuple[str, Figure]],
                 unknowns: tuple[str, ...]) -> None:  # fmt: skip
        self.sheet = sheet
        self.residual = solved.residual
        self.network = sheet.solved(
            "network", "r", solved.residual, "", model="network", source=MODEL,
            residual=solved.residual, unknowns=unknowns, inputs=inputs,
        )  # fmt: skip

    def put(self, name: str, symbol: str, value: float, unit: str = "") -> float:
        """State one number of the solution and return it."""
        return self.sheet.solved(
            name, symbol, value, unit, model="network", source=MODEL, residual=self.residual,
            inputs=(("network", self.network),),
        ).value  # fmt: skip

    def three(
        self, name: str, symbol: str, values: Sequence[float], unit: str
    ) -> tuple[float, float, float]:
        """State three numbers of the solution, by place."""
        a, b, c = (self.put(f"{name}/{n}", symbol, one, unit) for n, one in enumerate(values))
        return a, b, c


def network_inputs(trial: Trial, running: Running | None, name: str,
                   sheet: Worksheet, here: str) -> tuple[tuple[str, Figure], ...]:  # fmt: skip
    """Return what a solved state rests on, so that it can be put back into its equations."""
    setup = trial.setup
    supply = setup.case.supply
    given = [("U", supply.voltage), ("R", supply.resistance), ("X", supply.reactance)]
    banks = [(name, one) for one in trial.banks]
    banks += [(trial.second_of(name), one) for one in trial.more_banks]
    for owner, bank in banks:
        if not bank.sets or here in bank.sets:
            path = f"{sheet.prefix}/converters/{owner}/capacitors/{bank.id}/capacitance_f"
            given.append((f"C.{bank.id}", Figure(bank.capacitance_f, path)))
    for number, (own, idler) in enumerate(trial.turning_in(here, name), 1):
        each = idler.of(1).found.circuit
        place = f"{sheet.prefix}/idlers/{own}/circuit"
        symbol = "idler" if own == name else f"idler{number}"
        given += [
            (f"{symbol}.{field}", Figure(float(value), f"{place}/{field}"))
            for field, value in circuit_values(each)
        ]
    for motor in running.motors if running else ():
        machine, place = motor.demand.machine, motor.stands_at
        given += [
            (f"{motor.demand.id}.{field}", Figure(float(value), f"{place}/circuit/{field}"))
            for field, value in circuit_values(motor.circuit)
        ]
        given.append((f"{motor.demand.id}.T", motor.rated_torque))
        given.append((f"{motor.demand.id}.x", setup.case.machine(machine).average_load))
    return tuple(given)


def idler_steps(trial: Trial, name: str, sheet: Worksheet) -> None:
    """State the circuit of each idler."""
    for own, idler in trial.all_turning(name):
        one = idler.of(1)
        part = sheet.under(f"idlers/{own}")
        power = part.assumed("power", "P", one.power_w, "W", source=IDENTIFIED)
        circuit_figures(part.under("circuit"), one.found.circuit, IDENTIFIED, one.found.residual,
                        [("P", power)])  # fmt: skip


def motor_state(
    one: Solution, name: str, rotor: RotorState, rated_a: float, usable: float, alike: int = 1
) -> MotorState:
    """Return one machine at the operating point, of as many *alike* as the rotor stands for."""
    part, lines = f"motors/{name}", [each / alike for each in rotor.line_a]
    return MotorState(
        id=name,
        slip=one.put(f"{part}/slip", "s", rotor.slip),
        torque_nm=one.put(f"{part}/torque_nm", "T", rotor.machine.shaft_torque_nm / alike, "N m"),
        shaft_w=one.put(f"{part}/shaft_w", "P", rotor.machine.shaft_w / alike, "W"),
        current_a=one.three(f"{part}/current_a", "I", lines, AMPERES),
        winding_fraction=one.put(f"{part}/winding_fraction", "i_w", rotor.winding_star_a / rated_a),
        usable_fraction=one.put(f"{part}/usable_fraction", "p", usable),
        stalled=rotor.stalled,
    )


def state(
    trial: Trial, place: int, name: str, sheet: Worksheet, *, full: bool, both: Solved | None = None
) -> State:
    """Return the state number *place* of the trial: idling first, then one a running set.

    With *both* it is that of two idlers which idle.
    """
    setup = trial.setup
    running = setup.sets[place - 1] if place else None
    solved = both or trial.idle
    here = running.id if running else (BOTH_IDLE if both else IDLE)
    if place:
        solved = trial.full[place - 1] if full else trial.working[place - 1]
    load = "full" if full else "average"
    where = f"{name}/{running.id}/{load}" if running else f"{name}/{here}"
    motors: tuple[MotorCase, ...] = running.motors if running else ()
    usable = [one.fraction for one in trial.usable[place - 1]] if running else []
    inputs = network_inputs(trial, running, name, sheet, here)
    turning = trial.turning_in(here, name)
    names = (*(own for own, _ in turning), *(motor.demand.id for motor in motors))
    one = Solution(sheet.under(f"states/{where}"), solved, inputs,
                   tuple(f"slip of {part}" for part in names))  # fmt: skip
    alike = trial.idler.abreast  # of several alike, one rotor stands for all
    count = 1 if alike > 1 else len(turning)
    loads = solved.rotors[count:]
    idlers = [
        motor_state(one, own, solved.rotors[min(n, count - 1)],
                    idler.found.circuit.rated_current_a, 1.0, alike)
        for n, (own, idler) in enumerate(turning)
    ]  # fmt: skip
    rated = [motor.circuit.rated_current_a for motor in motors]
    own = zip(names[len(turning) :], loads, rated, usable, strict=True)
    current = max(abs(solved.source_a[0]), abs(solved.source_a[1]))
    volts = solved.line_v[0]
    power = solved.input_va.real - solved.source_loss_w
    equal = {f"I{n}": one.equal_kva for n, one in enumerate(running.machines if running else ())}
    kva = one.sheet.formula("equal_kva_current_a", "I_eq", "A", " + ".join(equal) or "0", equal,
                              source=ONE_PHASE)  # fmt: skip
    return State(
        id=where,
        set=here,
        load=load,
        converter=name,
        running=tuple(machine.id for machine in running.machines) if running else (),
        line_voltage_v=one.three("line_voltage_v", "U", solved.line_v, VOLTS),
        leg_to_earth_v=one.three("leg_to_earth_v", "U_0", solved.leg_to_earth_v, VOLTS),
        negative_sequence_fraction=one.put("negative_sequence_fraction", "u_2", solved.vuf),
        deviation_fraction=one.put("deviation_fraction", "u", solved.deviation),
        input_current_a=one.put("input_current_a", "I", current, AMPERES),
        input_power_w=one.put("input_power_w", "P", power, "W"),
        input_power_factor=one.put("input_power_factor", "lambda", power / (volts * current)),
        losses_w=one.put("losses_w", "P_loss", solved.loss_w - solved.source_loss_w, "W"),
        equal_kva_current_a=kva.value,
        motors=(*idlers, *(motor_state(one, *each) for each in own)),
    )


def states(trial: Trial, name: str, sheet: Worksheet) -> tuple[State, ...]:
    """Return every operating point of the converter."""
    sets = range(1, len(trial.setup.sets) + 1)
    idle = state(trial, 0, name, sheet, full=True)
    average = [state(trial, n, name, sheet, full=False) for n in sets]
    both = [] if trial.both is None else [
        state(trial, 0, name, sheet, full=True, both=trial.both)
    ]  # fmt: skip
    return (idle, *both, *average, *(state(trial, n, name, sheet, full=True) for n in sets))
