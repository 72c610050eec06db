"""The circuits of a rotary converter, as the wiring code is asked for them."""

from collections.abc import Iterator, Mapping

import attrs

from ampwright.kernels.faults import fault_current
from ampwright.kernels.network import Rotor
from ampwright.kernels.torque_curve import locked_rotor
from ampwright.methods.rotary.idlers import Idler
from ampwright.methods.rotary.setup import scaled
from ampwright.methods.rotary.trial import Trial
from ampwright.plugin import (
    CircuitDemand,
    Converter,
    ConverterInput,
    Figure,
    LoadDemand,
    MachineCase,
    MotorDemand,
    Source,
    Start,
    State,
    SteppedMachine,
    Worksheet,
    transformer_circuits,
    with_own_start,
)

PRACTICE = Source(document="common practice", known="practice")
IDLER = Source(document="double-cage circuit of a usual motor", known="model")
MODEL = Source(document="network of idler and motors, symmetrical components", known="model")


class Wiring:
    """What the demands of one converter have in common."""

    def __init__(
        self,
        trial: Trial,
        made: Converter,
        states: tuple[State, ...],
        starts: tuple[Start, ...],
        sheet: Worksheet,
    ) -> None:
        self.setup, self.made, self.states, self.starts = trial.setup, made, states, starts
        self.sheet = sheet
        self.supply = trial.setup.case.supply
        self.most = max(states, key=lambda one: (one.input_current_a, one.id))
        self.to_earth = (*self.supply.voltage_to_earth, self.made_leg())
        self.fault = self.smallest_fault(trial)

    def smallest_fault(self, trial: Trial) -> Figure:
        """Return the current of a bolted earth fault on the made leg, the idler alone feeding it.

        It is taken at the supply's lowest voltage and with the idler at the edge of its band that
        feeds least.
        """
        lowest = self.supply.lowest.value / self.supply.voltage.value
        source = scaled(self.setup.source, lowest)
        found = fault_current(source, trial.legs, (Rotor(trial.idler.found.low),), "c", 0j)
        part = self.sheet.under(f"wiring/{self.made.id}")
        return part.solved(
            "made_leg_fault", "I_f", found.smallest_a, "A", model="earth fault on the made leg",
            source=MODEL, residual=0.0, inputs=[("U", self.supply.lowest)],
        )  # fmt: skip

    def made_leg(self) -> Figure:
        """Return the highest volts to earth of the made leg in any state."""
        terms = {
            f"U{n}": Figure(
                one.leg_to_earth_v[2], f"{self.sheet.prefix}/states/{one.id}/leg_to_earth_v/2"
            )
            for n, one in enumerate(self.states)
        }
        most = f"max({', '.join(terms)})" if len(terms) > 1 else "U0"
        part = self.sheet.under(f"wiring/{self.made.id}")
        return part.formula("made_leg_to_earth", "U_0c", "V", most, terms)

    def at(self, name: str, field: str, value: float) -> Figure:
        """Return a figure of a state."""
        return Figure(value, f"{self.sheet.prefix}/states/{name}/{field}")

    def length(self, name: str, usual: float, converter: str = "") -> Figure:
        """Return a length beside the converter, where nobody stated it [m]."""
        part = self.sheet.under(f"wiring/{converter or self.made.id}")
        return part.assumed(name, "l", usual, "m", source=PRACTICE, low=0.0, high=3 * usual)

    def ahead(self) -> Figure:
        """Return the length of cable from the panel to the converter [m]."""
        place = self.setup.case.shop.site.converter_place
        if place is not None and place.length_m is not None:
            return Figure(float(place.length_m), "shop/site/converter_place/length_m")
        return self.length("supply_length", 3.0)


def motor_at(wiring: Wiring, demand: MotorDemand) -> MotorDemand:
    """Return a motor with its largest leg current in any state."""
    place = wiring.sheet.under(f"wiring/{wiring.made.id}/largest_leg")
    terms: dict[str, Figure] = {}
    for state in wiring.states:
        for one in state.motors:
            if one.id == demand.id:
                leg = max(range(3), key=lambda n: one.current_a[n])
                field = f"motors/{one.id}/current_a/{leg}"
                terms[f"I{len(terms)}"] = wiring.at(state.id, field, one.current_a[leg])
    if not terms:
        return demand
    most = f"max({', '.join(terms)})" if len(terms) > 1 else "I0"
    figure = place.formula(demand.id, "I_leg", "A", most, terms)
    return evolved(demand, figure)


def evolved(demand: MotorDemand, largest: Figure) -> MotorDemand:
    """Return *demand* with the largest leg current in it."""
    return attrs.evolve(demand, largest_leg=largest)


def motors_of(wiring: Wiring, machine: MachineCase) -> tuple[MotorDemand, ...]:
    """Return the motors of a machine, as they run behind the converter."""
    prefix = wiring.sheet.prefix
    own = (with_own_start(motor.demand, wiring.starts, prefix) for motor in machine.motors)
    return tuple(motor_at(wiring, one) for one in own)


def loads_of(machine: MachineCase) -> tuple[LoadDemand, ...]:
    """Return the three-phase loads of a machine that are no motors."""
    return tuple(one.three_phase for one in machine.loads if one.load.phases == 3)


def lasting(wiring: Wiring, *names: str) -> Figure | None:
    """Return the longest of the starts of *names* [s]; ``None`` where none was reckoned."""
    known = [one for one in wiring.starts if one.id in names and one.time_s is not None]
    if not known:
        return None
    longest = max(known, key=lambda one: one.time_s or 0.0)
    path = f"{wiring.sheet.prefix}/starts/{longest.id}/time_s"
    return Figure(longest.time_s or 0.0, path)


def starting(wiring: Wiring, name: str) -> Figure | None:
    """Return the largest current from the supply during the start of *name*."""
    for one in wiring.starts:
        if one.id == name:
            return Figure(one.current_a, f"{wiring.sheet.prefix}/starts/{name}/current_a")
    return None


def supply_demand(
    wiring: Wiring, motors: tuple[MotorDemand, ...], loads: tuple[LoadDemand, ...]
) -> CircuitDemand:
    """Return the circuit from the panel to the converter."""
    made, supply, setup = wiring.made, wiring.supply, wiring.setup
    place = f"{wiring.sheet.prefix}/converters/{made.id}"
    part = wiring.sheet.under(f"wiring/{made.id}")
    worst = max(wiring.starts, key=lambda one: one.current_a)
    return CircuitDemand(
        id=f"supply.{made.id}",
        role="supply",
        feeds=(made.id,),
        phases=1,
        voltage=supply.voltage,
        frequency=supply.frequency,
        length=wiring.ahead(),
        motors=motors,
        loads=loads,
        converter=ConverterInput(
            id=made.id,
            method=made.method,
            kind="phase-converter",
            current=Figure(made.input_current_a, f"{place}/input_current_a"),
            given=made.given,
            output_voltage=Figure(made.output_voltage_v, f"{place}/output_voltage_v"),
            fixed_loads=not setup.case.shop.site.future_machines,
        ),
        voltage_to_earth=supply.voltage_to_earth,
        running_current=wiring.at(wiring.most.id, "input_current_a", wiring.most.input_current_a),
        power_factor=wiring.at(
            wiring.most.id, "input_power_factor", wiring.most.input_power_factor
        ),
        starting_current=starting(wiring, worst.id),
        starting_time=lasting(wiring, made.id, f"{made.id}.second", *made.machines),
        starting_power_factor=part.assumed(
            "starting_power_factor", "cos phi", 0.5, "", source=PRACTICE, low=0.3, high=0.7
        ),
        fault_largest=supply.fault_largest,
    )


def idler_demands(
    wiring: Wiring, idler: Idler, made: Converter, names: tuple[str, ...]
) -> Iterator[CircuitDemand]:
    """Yield the circuit between converter panel and each idler of *made*, by their *names*."""
    supply = wiring.supply
    part = wiring.sheet.under(f"wiring/{made.id}/idler")
    one = idler.of(1)
    found = one.found
    current = part.solved("current", "I", found.circuit.rated_current_a, "A", model="rated point",
                          source=IDLER, residual=found.residual)  # fmt: skip
    field = "idler_power_w" if idler.abreast == 1 else "each_idler_w"
    place = f"{wiring.sheet.prefix}/converters/{made.id}/{field}"
    most = locked_rotor(found.high, supply.voltage.value).current_a
    locked = part.solved("locked_rotor_current", "I_LR", most, "A", model="locked rotor",
                         source=IDLER, residual=found.residual)  # fmt: skip
    demand = MotorDemand(
        id=made.id,
        machine=made.id,
        phases=3,
        power=Figure(one.power_w, place),
        voltage=supply.voltage,
        current=current,
        current_known="assumed",
        locked_rotor_current=locked,
    )
    length = wiring.length("idler_length", 2.0, made.id)
    factor = part.assumed(
        "power_factor", "cos phi", 0.3, "", source=PRACTICE, low=0.1, high=0.6
    )  # fmt: skip
    starts_at = part.assumed(
        "starting_power_factor", "cos phi", 0.5, "", source=PRACTICE, low=0.3, high=0.7
    )  # fmt: skip
    for name in names:
        amperes, leg, idle = max(
            ((max(motor.current_a), motor.current_a.index(max(motor.current_a)), state.id)
             for state in wiring.states for motor in state.motors if motor.id == name),
            key=lambda found: found[0],
        )  # fmt: skip
        drawn = wiring.at(idle, f"motors/{name}/current_a/{leg}", amperes)
        yield CircuitDemand(
            id=f"idler.{name}",
            role="idler",
            feeds=(made.id,),
            fed_from=f"supply.{wiring.made.id}",
            phases=3,
            voltage=supply.voltage,
            frequency=supply.frequency,
            length=length,
            motors=(attrs.evolve(demand, id=name, largest_leg=drawn),),
            made_leg=True,
            voltage_to_earth=wiring.to_earth,
            running_current=drawn,
            power_factor=factor,
            starting_current=starting(wiring, made.id),
            starting_time=lasting(wiring, made.id),
            starting_power_factor=starts_at,
            fault_largest=supply.fault_largest,
            fault_source=wiring.fault,
        )


def made_demand(
    wiring: Wiring,
    name: str,
    *,
    role: str,
    feeds: tuple[str, ...],
    fed_from: str,
    length: Figure,
    motors: tuple[MotorDemand, ...],
    loads: tuple[LoadDemand, ...],
) -> CircuitDemand:
    """Return a three-phase circuit behind the converter."""
    supply, part = wiring.supply, wiring.sheet.under(f"wiring/{name}")
    terms = {f"I{n}": one.largest_leg or one.current for n, one in enumerate(motors)}
    terms |= {f"L{n}": one.current for n, one in enumerate(loads)}
    running = part.formula("running_current", "I", "A", " + ".join(terms), terms)
    locked = {f"I{n}": one.locked_rotor_current for n, one in enumerate(motors)}
    known = {key: one for key, one in locked.items() if one is not None}
    most = f"max({', '.join(known)})" if len(known) > 1 else "".join(known)
    return CircuitDemand(
        id=name,
        role=role,
        feeds=feeds,
        fed_from=fed_from,
        phases=3,
        voltage=supply.voltage,
        frequency=supply.frequency,
        length=length,
        motors=motors,
        loads=loads,
        made_leg=True,
        voltage_to_earth=wiring.to_earth,
        running_current=running,
        power_factor=part.assumed(
            "power_factor", "cos phi", 0.8, "", source=PRACTICE, low=0.6, high=0.9
        ),
        starting_current=part.formula("starting_current", "I_LR", "A", most, known)
        if known
        else None,
        starting_power_factor=part.assumed(
            "starting_power_factor", "cos phi", 0.4, "", source=PRACTICE, low=0.3, high=0.6
        ),
        starting_time=lasting(wiring, *feeds),
        fault_largest=supply.fault_largest,
        fault_source=wiring.fault,
        sole_machine=len(feeds) == 1,
    )


def demands(
    trial: Trial, made: Converter, states: tuple[State, ...],
    starts: tuple[Start, ...], sheet: Worksheet, stepped: Mapping[str, SteppedMachine],
    more: Converter | None = None,
) -> tuple[CircuitDemand, ...]:  # fmt: skip
    """Return every circuit of the converter, from the panel outwards.

    A machine that is *stepped* has its circuit in two parts, ahead of its transformer and behind.
    The second idler that joins is *more*.
    """
    setup = trial.setup
    wiring = Wiring(trial, made, states, starts, sheet)
    motors = {one.id: motors_of(wiring, one) for one in setup.machines}
    every = tuple(motor for one in setup.machines for motor in motors[one.id])
    loads = tuple(load for one in setup.machines for load in loads_of(one))
    output = f"output.{made.id}"
    branches: list[CircuitDemand] = []
    for one in setup.machines:
        branch = made_demand(
            wiring, f"branch.{one.id}", role="branch", feeds=(one.id,), fed_from=output,
            length=one.length, motors=motors[one.id], loads=loads_of(one),
        )  # fmt: skip
        behind = stepped.get(one.id)
        branches += transformer_circuits(behind, branch, sheet) if behind else (branch,)
    return (
        supply_demand(wiring, every, loads),
        *idler_demands(wiring, trial.idler, made, trial.idler.names(made.id)),
        *(idler_demands(wiring, trial.all_turning(made.id)[-1][1], more, (more.id,))
          if more else ()),
        made_demand(wiring, output, role="output", feeds=tuple(one.id for one in setup.machines),
                    fed_from=f"supply.{made.id}", length=wiring.length("output_length", 2.0),
                    motors=every, loads=loads),
        *branches,
    )  # fmt: skip
