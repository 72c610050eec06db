"""How the motor runs and starts behind the set, as records with their steps."""

from collections.abc import Sequence

from ampwright.case import circuit_values
from ampwright.kernels.network import State as Solved
from ampwright.methods.static.model import Setup, at_load
from ampwright.methods.static.sizing import MODEL, Chosen
from ampwright.plugin import Figure, MotorState, Source, Start, State, Worksheet

RUN_UP = Source(document="quasi-steady run-up on a start capacitor", known="model")


def network_inputs(
    setup: Setup, one: Chosen, load: Figure, name: str, sheet: Worksheet
) -> tuple[tuple[str, Figure], ...]:
    """Return what a solved state rests on, so that it can be put back into its equations."""
    supply, motor = setup.case.supply, setup.motor
    given = [("U", supply.voltage), ("R", supply.resistance), ("X", supply.reactance)]
    path = f"{sheet.prefix}/converters/{name}/capacitors/run-ca/capacitance_f"
    given.append(("C_ca", Figure(one.run_f, path)))
    place = f"machines/{setup.machine.id}/motors/{motor.demand.id.rpartition('/')[2]}"
    given += [
        (f"{motor.demand.id}.{field}", Figure(float(value), f"{place}/circuit/{field}"))
        for field, value in circuit_values(motor.circuit)
    ]
    return (
        *given,
        (f"{motor.demand.id}.T", motor.rated_torque),
        (f"{motor.demand.id}.x", load),
    )


class Solution:
    """One solved state, put on a sheet number by number."""

    def __init__(
        self, sheet: Worksheet, solved: Solved, inputs: Sequence[tuple[str, Figure]], motor: str
    ) -> None:
        self.sheet, self.residual = sheet, solved.residual
        self.network = sheet.solved(
            "network", "r", solved.residual, "", model="network", source=MODEL,
            residual=solved.residual, unknowns=(f"slip of {motor}",), inputs=inputs,
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


def state(
    setup: Setup, one: Chosen, kept: Figure, running: str, load: str, name: str, sheet: Worksheet
) -> State:
    """Return the motor at work: at the average load, or at all that it may give for long."""
    where = f"{name}/{running}/{load}"
    part = sheet.under(f"states/{where}")
    share = setup.machine.average_load if load == "average" else kept
    share = part.formula("load", "x", "", "x", x=share)
    solved = at_load(setup, one.run_f, share.value)
    own = Solution(part, solved, network_inputs(setup, one, share, name, sheet),
                   setup.motor.demand.id)  # fmt: skip
    current = max(abs(solved.source_a[0]), abs(solved.source_a[1]))
    power = solved.input_va.real - solved.source_loss_w
    (rotor,) = solved.rotors
    place = f"motors/{setup.motor.demand.id}"
    rated = setup.motor.circuit.rated_current_a
    motor = MotorState(
        id=setup.motor.demand.id,
        slip=own.put(f"{place}/slip", "s", rotor.slip),
        torque_nm=own.put(f"{place}/torque_nm", "T", rotor.machine.shaft_torque_nm, "N m"),
        shaft_w=own.put(f"{place}/shaft_w", "P", rotor.machine.shaft_w, "W"),
        current_a=own.three(f"{place}/current_a", "I", rotor.line_a, "A"),
        winding_fraction=own.put(f"{place}/winding_fraction", "i_w", rotor.winding_star_a / rated),
        usable_fraction=part.formula(f"{place}/usable_fraction", "p", "", "p", p=kept).value,
        stalled=rotor.stalled,
    )
    alike = part.formula("equal_kva_current_a", "I_eq", "A", "I", I=setup.machine.equal_kva)
    return State(
        id=where,
        set=running,
        load=load,
        converter=name,
        running=(setup.machine.id,),
        line_voltage_v=own.three("line_voltage_v", "U", solved.line_v, "V"),
        leg_to_earth_v=own.three("leg_to_earth_v", "U_0", solved.leg_to_earth_v, "V"),
        negative_sequence_fraction=own.put("negative_sequence_fraction", "u_2", solved.vuf),
        deviation_fraction=own.put("deviation_fraction", "u", solved.deviation),
        input_current_a=own.put("input_current_a", "I", current, "A"),
        input_power_w=own.put("input_power_w", "P", power, "W"),
        input_power_factor=own.put(
            "input_power_factor", "lambda", power / (solved.line_v[0] * current)
        ),
        losses_w=own.put("losses_w", "P_loss", solved.loss_w - solved.source_loss_w, "W"),
        equal_kva_current_a=alike.value,
        motors=(motor,),
    )


def states(
    setup: Setup, one: Chosen, kept: Figure, name: str, sheet: Worksheet
) -> tuple[State, ...]:
    """Return every operating point: each set at the average load and at what the motor keeps."""
    return tuple(
        state(setup, one, kept, running.id, load, name, sheet)
        for load in ("average", "full")
        for running in setup.case.sets
        if setup.machine.id in running.machines
    )


def start(setup: Setup, one: Chosen, name: str, sheet: Worksheet) -> Start:
    """Return the start on the start capacitor."""
    part = sheet.under(f"starts/{setup.machine.id}")
    found = one.begun
    path = f"{sheet.prefix}/converters/{name}/capacitors/start-ca/capacitance_f"
    inputs = [("C", Figure(one.start_f, path)), ("T_b", setup.motor.breakaway),
              ("J", setup.motor.inertia)]  # fmt: skip

    def put(field: str, symbol: str, value: float, unit: str) -> float:
        return part.solved(field, symbol, value, unit, model="run-up", source=RUN_UP, residual=0.0,
                           inputs=inputs).value  # fmt: skip

    return Start(
        id=setup.machine.id,
        converter=name,
        runs_up=found.starts,
        time_s=put("time_s", "t", found.low.time_s, "s"),
        lowest_voltage_v=put("lowest_voltage_v", "U_min", found.lowest_line_v[0], "V"),
        current_a=put("current_a", "I", found.largest_source_a, "A"),
        motor_current_a=put("motor_current_a", "I_m", found.low.rms_current_a, "A"),
        motor_peak_a=put("motor_peak_a", "I_p", found.largest_line_a, "A"),
        torque_nm=put("torque_nm", "T", found.start_torque_low_nm, "N m"),
        needed_torque_nm=put("needed_torque_nm", "T_b", found.breakaway_nm, "N m"),
    )
