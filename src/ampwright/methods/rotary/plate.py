"""The converter as it is bought, and the plate that the plan expects of it."""

from collections.abc import Sequence

from ampwright.methods.rotary.idlers import Idler
from ampwright.methods.rotary.setup import FIGURES, HORSEPOWER_W, Setup, figure
from ampwright.methods.rotary.starts import start_capacitance
from ampwright.methods.rotary.trial import Bank, Trial
from ampwright.plugin import Capacitor, Converter, Figure, Source, State, Worksheet

NAMED = Source(document="the converter is named by its idler", known="practice")
PHASES = Source(document="equal apparent power on one phase", known="derived")
MODEL = Source(document="network of idler and motors, symmetrical components", known="model")
FEATURES = (
    "output-contactor-drops-all-legs",
    "output-only-with-idler-at-speed",
    "capacitor-discharge",
    "made-leg-marking",
)


def stated_plate(setup: Setup, trial: Trial) -> tuple[str, float] | None:
    """Return id and input current of a converter that the caller has, if it is large enough."""
    for one in setup.case.shop.equipment:
        if one.kind != "converter" or one.method != "rotary" or one.fate == "must-go":
            continue
        size = one.idler_power_w or one.rating_w
        if one.input_current_a is not None and (
            size is None or size >= trial.idler.power_w * (1 - 1e-6)
        ):
            return str(one.id), float(one.input_current_a)
    return None


def needed_current(setup: Setup, place: Worksheet) -> Figure:
    """Return the largest sum of plate currents in any running set [A]."""
    sums = []
    for running in setup.sets:
        terms = {f"I{n}": motor.demand.current for n, motor in enumerate(running.motors)}
        loads = [load for one in running.machines for load in one.loads if load.load.phases == 3]
        terms |= {f"L{n}": load.three_phase.current for n, load in enumerate(loads)}
        sums.append(
            place.formula(f"needed/{running.id}", "I_3", "A", " + ".join(terms) or "0", terms)
        )
    names = {f"I{n}": one for n, one in enumerate(sums)}
    most = f"max({', '.join(names)})" if len(names) > 1 else "I0"
    return place.formula("output_current_a", "I_out", "A", most, names)


def input_current(
    setup: Setup, trial: Trial, most: State, out: Figure, part: Worksheet
) -> tuple[Figure, bool]:
    """Return the input current on the plate: stated, or assumed on the safe side of the model."""
    own = stated_plate(setup, trial)
    if own is not None:
        stated = Figure(own[1], f"shop/equipment/{own[0]}/input_current_a")
        return part.formula("input_current_a", "I_in", "A", "I", I=stated), True
    sheet_root = part.prefix.split("/converters/")[0]
    modelled = Figure(most.input_current_a, f"{sheet_root}/states/{most.id}/input_current_a")
    equal = part.formula(
        "equal_power_current", "I_eq", "A", "sqrt(3) * I * U2 / U1", I=out,
        U2=setup.case.supply.voltage, U1=setup.case.supply.voltage, source=PHASES,
    )  # fmt: skip
    reserve = setup.case.limits["converter-reserve"]
    found = part.formula(
        "input_current_a", "I_in", "A", "k * max(I_eq, I_m)", k=reserve, I_eq=equal, I_m=modelled,
        source=NAMED,
    )  # fmt: skip
    return found, False


def capacitors(trial: Trial, part: Worksheet, *, led: bool) -> tuple[Capacitor, ...]:
    """Return run and start capacitors; an idler that is *led* to its speed has none to start."""
    start_f, starting = start_capacitance(trial), trial.idler.names("start-ca")
    own_start = () if led else tuple(Bank(each, "ca", start_f, ()) for each in starting)
    field = "idler_power_w" if trial.idler.abreast == 1 else "each_idler_w"
    power = Figure(trial.idler.of(1).power_w, f"{part.prefix}/{field}")
    return cans(trial.setup, trial.banks, own_start, power, part)


def cans(
    setup: Setup, run: Sequence[Bank], start: Sequence[Bank], power: Figure, part: Worksheet
) -> tuple[Capacitor, ...]:
    """Return capacitors that *run* and *start* an idler of some *power*, with their steps."""
    made = []
    tolerance = setup.case.limits["capacitor-tolerance"]
    banks = [("run", one) for one in run]
    own_start = [("start", one) for one in start]
    for purpose, (name, leg, value, sets) in (*banks, *own_start):
        if value <= 0.0:
            part.under(f"capacitors/{name}").assumed("capacitance_f", "C", 0.0, "F", source=MODEL)
            continue
        own = part.under(f"capacitors/{name}")
        if purpose == "run":
            farads = own.solved("capacitance_f", "C", value, "F", model="least unbalance over the "
                                "running sets, from stock, no leg too high", source=MODEL,
                                residual=0.0).value  # fmt: skip
        else:
            farads = start_figure(setup, power, own).value
        times = own.assumed("voltage_factor", "k_U", figure("can_voltage"), "",
                            source=FIGURES.source())  # fmt: skip
        volts = own.formula("voltage_v", "U_C", "V", "k * U", k=times, U=setup.case.supply.voltage)
        bound = own.formula("tolerance_fraction", "d", "", "d", d=tolerance)
        made.append(
            Capacitor(id=name, purpose=purpose, between=leg, capacitance_f=farads,
                      voltage_v=volts.value, tolerance_fraction=bound.value, sets=sets)
        )  # fmt: skip
    return tuple(made)


def start_figure(setup: Setup, power: Figure, part: Worksheet) -> Figure:
    """Return the start capacitor of one idler [F]: the trade's figure, scaled to the supply."""
    rule = part.assumed(
        "start_capacitor", "c", figure("start_capacitor"), "uF/hp", source=FIGURES.source(),
        low=figure("start_capacitor", "low"), high=figure("start_capacitor", "high"),
    )  # fmt: skip
    supply = setup.case.supply
    return part.formula(
        "capacitance_f", "C", "F",
        f"0.000001 * c * P / {HORSEPOWER_W} * (240 / U) ** 2 * 60 / f", c=rule, P=power,
        U=supply.voltage, f=supply.frequency, source=FIGURES.source(),
    )  # fmt: skip


def idler_power(idler: Idler, part: Worksheet) -> tuple[int | None, Figure]:
    """Return number and power of idlers side by side; ``None`` and the power of a single one."""
    several = idler.abreast > 1
    each = part.table(
        "each_idler_w" if several else "idler_power_w", "P", idler.of(1).power_w, "W",
        table="idlers", cell=(idler.name, "rating"), source=NAMED,
    )  # fmt: skip
    if not several:
        return None, each
    count = part.solved(
        "idlers", "n", float(idler.abreast), "", source=MODEL, residual=0.0,
        model="fewest alike that do what no single usual idler does",
    )  # fmt: skip
    return idler.abreast, part.formula("idler_power_w", "P", "W", "n * P", n=count, P=each)


def converter(
    trial: Trial, states: tuple[State, ...], name: str, sheet: Worksheet, *, led: bool = False
) -> Converter:
    """Return the converter with the plate that the plan expects.

    Its idler starts on a capacitor, or is *led* by a pony motor.
    """
    setup = trial.setup
    part = sheet.under(f"converters/{name}")
    number, idler = idler_power(trial.idler, part)
    rating = part.formula("rating_w", "P", "W", "P", P=idler, source=NAMED)
    volts = setup.case.supply.voltage
    most = max(states, key=lambda one: (one.input_current_a, one.id))
    out = needed_current(setup, part)
    drawn, given = input_current(setup, trial, most, out, part)
    largest = {f"P{n}": motor.demand.power for n, (_, motor) in enumerate(setup.starters)}
    idle = Figure(states[0].losses_w, f"{sheet.prefix}/states/{states[0].id}/losses_w")
    return Converter(
        id=name,
        method="rotary",
        machines=tuple(one.id for one in setup.machines),
        rating_w=rating.value,
        idler_power_w=idler.value,
        idlers=number,
        input_voltage_v=part.formula("input_voltage_v", "U_1", "V", "U", U=volts).value,
        output_voltage_v=part.formula("output_voltage_v", "U_2", "V", "U", U=volts).value,
        input_current_a=drawn.value,
        output_current_a=out.value,
        largest_motor_w=part.formula(
            "largest_motor_w",
            "P",
            "W",
            f"max({', '.join(largest)})" if len(largest) > 1 else "P0",
            largest,
        ).value,
        capacitors=capacitors(trial, part, led=led),
        losses_w=part.formula("losses_w", "P_0", "W", "P", P=idle).value,
        protective_features=(*FEATURES, *(["pony-motor"] if led else [])),
        given=given,
    )
