"""A machine behind a transformer of its own, where no link of it suits the lines."""

from collections.abc import Iterator
from pathlib import Path

import attrs

from ampwright.case import MachineCase, MotorCase, circuit_figures
from ampwright.equipment.transformer import Transformer
from ampwright.finding import Finding, parameters
from ampwright.kernels.induction import InductionCircuit
from ampwright.kernels.torque_curve import locked_rotor
from ampwright.kernels.variants import relinked
from ampwright.linked import LinkedMachine, machine_at
from ampwright.record import Record
from ampwright.region import CircuitDemand, LoadDemand, MotorDemand
from ampwright.step import Figure, Worksheet
from ampwright.tables import Source, read_table

PLACE = Path(__file__)
VOLTAGES = read_table(PLACE.with_name("stepped_voltages.csv"))
FIGURES = read_table(PLACE.with_name("transformer_figures.csv"))
REFERRED = Source(document="seen through a transformer's ratio and impedance", known="derived")
SUM = Source(document="sum of apparent powers", known="derived")
IDEAL = Source(document="currents of a transformer go with the inverse of its voltages",
               known="derived")  # fmt: skip
GEOMETRY = Source(document="geometry of three phases", known="derived")


@attrs.frozen(kw_only=True, eq=False, repr=False)
class SteppedMachine(Record):
    """One machine behind its transformer.

    Attributes:
        own: The machine as it stands on the secondary.
        referred: The machine as the lines ahead of the transformer see it.
        case: The same, as any machine that a method is asked about.
        transformer: The transformer.
        secondary: Voltage between two lines behind it [V].
        ratio: Voltage ahead of it over voltage behind it.
    """

    own: LinkedMachine
    referred: LinkedMachine
    case: MachineCase
    transformer: Transformer
    secondary: Figure
    ratio: Figure

    @property
    def id(self) -> str:
        """The caller's id of the machine."""
        return self.own.id


def planning(name: str) -> float:
    """Return one planning value."""
    value = FIGURES.number(name, "value")
    if value is None:
        raise KeyError(name)
    return value


def usual(name: str, sheet: Worksheet) -> Figure:
    """Return a planning value as a figure."""
    row = FIGURES.row(name)
    if row is None:
        raise KeyError(name)
    return sheet.assumed(
        name, name, float(row["value"]), row["unit"], source=FIGURES.source(),
        low=float(row["low"]), high=float(row["high"]),
    )  # fmt: skip


def most(name: str, sheet: Worksheet) -> Figure:
    """Return the upper edge of a planning value as a figure."""
    value = FIGURES.number(name, "high")
    if value is None:
        raise KeyError(name)
    return sheet.assumed(f"{name}_high", name, value, "", source=FIGURES.source())


def secondaries(hertz: float, sheet: Worksheet, only: float | None = None) -> Iterator[Figure]:
    """Yield the voltages that a secondary could have [V]; *only* that one, if it is given."""
    for row in VOLTAGES.rows:
        if only is not None and float(row["voltage_v"]) != only:
            continue
        if float(row["frequency_hz"]) == (50 if hertz < 55.0 else 60):
            yield sheet.table(
                "secondary_v", "U_2", float(row["voltage_v"]), "V", table=VOLTAGES.id,
                cell=(row["id"], "voltage_v"), source=VOLTAGES.source(),
            )  # fmt: skip


def rating(one: LinkedMachine, volts: Figure, part: Worksheet) -> Figure | None:
    """Return the smallest standard rating for all that runs at once [VA]; ``None``: none is."""
    terms = {key: figure for key, figure in one.drawn.items() if not key.startswith("S")}
    total = " + ".join(terms) or "0"
    needed = part.formula("needed_va", "S", "VA", f"sqrt(3) * U * ({total})", terms, U=volts,
                          source=SUM)  # fmt: skip
    return rating_up(needed, part)


def rating_up(needed: Figure, part: Worksheet) -> Figure | None:
    """Return the smallest standard rating of at least *needed* [VA]; ``None``: none is."""
    row = FIGURES.row("ratings")
    kva = [float(name) for name in row["value"].split()] if row else []
    found = next((one for one in kva if 1000.0 * one >= needed.value * (1 - 1e-9)), None)
    if found is None:
        return None
    read = part.assumed("kva", "S_n", found, "kVA", source=FIGURES.source())
    return part.formula("rating_va", "S_n", "VA", "max(1000 * S, 0 * N)", S=read, N=needed)


def behind_transformer(
    machine: MachineCase, supply: Figure, primary: Figure, hertz: float, sheet: Worksheet
) -> SteppedMachine | None:
    """Return *machine* behind a transformer that gives it a voltage that suits all of it.

    Args:
        machine: The machine, completed for the single-phase supply.
        supply: Voltage of that supply [V].
        primary: Voltage between two of the lines ahead of the transformer [V].
        hertz: Frequency [Hz].
        sheet: Where the steps stand.

    Returns:
        The machine as it stands and as the lines see it, and its transformer; ``None`` where no
        usual secondary suits, or none is large enough.
    """
    name = f"transformer.{machine.id}"
    for tried in secondaries(hertz, Worksheet("~")):
        if machine_at(machine, supply, tried, Worksheet("~")).misfit:
            continue
        part = sheet.under(f"transformers/{name}")
        volts = next(one for one in secondaries(hertz, Worksheet("~")) if one.value == tried.value)
        row = next(row for row in VOLTAGES.rows if float(row["voltage_v"]) == volts.value)
        second = part.table("secondary_v", "U_2", volts.value, "V", table=VOLTAGES.id,
                            cell=(row["id"], "voltage_v"), source=VOLTAGES.source())  # fmt: skip
        first = part.formula("primary_v", "U_1", "V", "U", U=primary)
        part.formula("phases", "n", "", "3")
        own = machine_at(machine, supply, second, sheet)
        size = rating(own, second, part)
        if size is None:
            return None
        ratio = part.formula("ratio", "k", "", "U_1 / U_2", U_1=first, U_2=second)
        change = abs(second.value / first.value - 1.0)
        made = Transformer(
            id=name,
            kind="auto" if change <= planning("auto-up-to") else "isolating",
            phases=3,
            rating_va=size.value,
            primary_v=first.value,
            secondary_v=second.value,
            machines=(machine.id,),
        )
        reactance = part.formula("reactance_ohm", "X", "ohm", "z * U ** 2 / S",
                                 z=usual("impedance", part), U=first, S=size)  # fmt: skip
        motors = tuple(
            seen(one, ratio=ratio, primary=first, reactance=reactance, sheet=sheet)
            for one in own.motors
        )
        loads = tuple(on_primary(load, ratio, sheet) for load in own.loads)
        referred = attrs.evolve(own, motors=motors, loads=loads)
        cases = tuple(
            attrs.evolve(old, three_phase=load, power=watts, fits=True)
            for old, load, watts in zip(machine.loads, loads, own.watts, strict=True)
        )
        return SteppedMachine(
            own=own,
            referred=referred,
            case=attrs.evolve(machine, motors=motors, loads=cases),
            transformer=made,
            secondary=second,
            ratio=ratio,
        )
    return None


def with_reactance(circuit: InductionCircuit, ohms: float) -> InductionCircuit:
    """Return a circuit with the reactance of its transformer ahead of it."""
    return circuit._replace(series_ohm=circuit.series_ohm + ohms)


def seen(
    motor: MotorCase, *, ratio: Figure, primary: Figure, reactance: Figure, sheet: Worksheet
) -> MotorCase:
    """Return a motor as the lines ahead of its transformer see it."""
    part = sheet.under(f"referred/{motor.demand.id}")
    nominal, low, high = (
        with_reactance(relinked(one, ratio.value), reactance.value)
        for one in (motor.circuit, motor.low, motor.high)
    )
    volts = part.formula("voltage", "U", "V", "U * k", U=motor.demand.voltage, k=ratio,
                         source=IDEAL)  # fmt: skip
    current = part.formula("current", "I", "A", "I / k", I=motor.demand.current, k=ratio,
                           source=IDEAL)  # fmt: skip
    locked = motor.demand.locked_rotor_current
    if locked is not None:
        locked = part.formula("locked_rotor_current", "I_LR", "A", "I / k", I=locked, k=ratio,
                              source=IDEAL)  # fmt: skip
    inputs = [("U", primary), ("k", ratio), ("X", reactance)]
    circuit_figures(part.under("circuit"), nominal, REFERRED, 0.0, inputs)
    torque = part.solved(
        "start_torque", "T_LR", locked_rotor(nominal, primary.value).torque_nm, "N m",
        model="locked rotor", source=REFERRED, residual=0.0, inputs=inputs,
    )  # fmt: skip
    return attrs.evolve(
        motor,
        demand=attrs.evolve(motor.demand, voltage=volts, current=current,
                            locked_rotor_current=locked),
        circuit=nominal,
        low=low,
        high=high,
        start_torque=torque,
        place=part.prefix,
        ratio=ratio,
    )  # fmt: skip


def on_primary(load: LoadDemand, ratio: Figure, sheet: Worksheet) -> LoadDemand:
    """Return a load as the lines ahead of its transformer see it."""
    if load.phases == 1:
        return load
    current = sheet.under(f"referred/{load.id}").formula(
        "current", "I", "A", "I / k", I=load.current, k=ratio, source=IDEAL
    )
    return attrs.evolve(load, current=current)


def _rectifies(one: SteppedMachine) -> bool:
    """Tell whether a rectifier stands behind a transformer."""
    kinds = {load.kind for load in one.own.loads}
    inside = any(motor.demand.rectified for motor in one.own.motors)
    return inside or bool(kinds & {"rectifier", "thyristor", "welder"})


def circuits(
    one: SteppedMachine, branch: CircuitDemand, sheet: Worksheet
) -> tuple[CircuitDemand, CircuitDemand]:
    """Return the circuit to the transformer and the one behind it.

    Args:
        one: The machine behind its transformer.
        branch: Its circuit as the lines would serve it without one.
        sheet: Where the steps stand.
    """
    made = one.transformer
    place = f"{sheet.prefix}/transformers/{made.id}"
    part = sheet.under(f"wiring/{made.id}")
    size = Figure(made.rating_va, f"{place}/rating_va")
    rated = part.formula("primary_current", "I_1", "A", "S / (sqrt(3) * U)", S=size,
                         U=Figure(made.primary_v, f"{place}/primary_v"))  # fmt: skip
    load = LoadDemand(id=made.id, machine=one.id, kind="transformer", phases=3, current=rated,
                      continuous=False, construction=made.kind)  # fmt: skip
    ahead = attrs.evolve(
        branch, id=f"feeder.{one.id}", feeds=(made.id,), motors=(), loads=(load,), cord=False,
        rectified=made.kind == "auto" and _rectifies(one),
    )  # fmt: skip

    def behind(name: str, figure: Figure) -> Figure:
        return part.formula(name, "I", "A", "I * k", I=figure, k=one.ratio, source=IDEAL)

    star = "U / sqrt(3)" if made.kind == "isolating" else "U"
    fault = part.formula("fault_current", "I_k", "A", "S / (sqrt(3) * U * z)", S=size,
                         U=one.secondary, z=usual("impedance", part))  # fmt: skip
    smallest = None
    if made.kind == "isolating":  # what an autotransformer lets into an earth fault is not known
        smallest = part.formula("fault_smallest", "I_k", "A", "S / (sqrt(3) * U * z)", S=size,
                                U=one.secondary, z=most("impedance", part))  # fmt: skip
    last = attrs.evolve(
        branch,
        fed_from=ahead.id,
        voltage=one.secondary,
        length=usual("secondary-length", part),
        motors=tuple(motors_behind(one, branch, part)),
        loads=one.own.loads,
        made_leg=False,
        voltage_to_earth=tuple(
            part.formula(f"to_earth/{n}", "U_0", "V", star, U=one.secondary, source=GEOMETRY)
            for n in range(3)
        ),
        running_current=behind("running_current", branch.running_current),
        starting_current=None
        if branch.starting_current is None
        else behind("starting_current", branch.starting_current),
        fault_largest=fault,
        fault_source=smallest,
    )
    return ahead, last


def motors_behind(
    one: SteppedMachine, branch: CircuitDemand, part: Worksheet
) -> Iterator[MotorDemand]:
    """Yield the motors as they stand behind the transformer, with line current and own start."""
    ahead = {motor.id: motor for motor in branch.motors}
    for motor in one.own.motors:
        demand, seen = motor.demand, ahead.get(motor.demand.id)
        if seen is not None:
            demand = attrs.evolve(demand, starting_time=seen.starting_time)
        if seen is None or seen.largest_leg is None:
            yield demand
            continue
        behind = part.formula(f"largest_leg/{demand.id}", "I_leg", "A", "I * k",
                              I=seen.largest_leg, k=one.ratio, source=IDEAL)  # fmt: skip
        yield attrs.evolve(demand, largest_leg=behind)
    yield from one.own.single


def about(one: SteppedMachine, prefix: str) -> Iterator[Finding]:
    """Yield what there is to say about a machine behind a transformer."""
    place = f"{prefix}/transformers/{one.transformer.id}"
    size = Figure(one.transformer.rating_va, f"{place}/rating_va")
    volts = Figure(one.transformer.secondary_v, f"{place}/secondary_v")
    ids = (one.id, one.transformer.id)
    yield Finding(code="transformer.needed", severity="caution", where=ids,
                  parameters=parameters("size=VA volts=V", size=size, volts=volts,
                                        kind=one.transformer.kind))  # fmt: skip
    yield Finding(code="converter.step-up-grounding", severity="caution", where=ids)
