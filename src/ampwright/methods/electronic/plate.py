"""The converter as it is bought, and the plate that the plan expects of it."""

from ampwright.methods.electronic.setup import Setup, usual
from ampwright.plugin import Converter, Figure, Source, State, Worksheet

RATED = Source(document="input at rated output: power over efficiency and power factor",
               known="derived")  # fmt: skip
FEATURES = ("phase-loss", "no-restart-after-outage", "capacitor-discharge")


def owned(setup: Setup, rating_va: float) -> tuple[str, float] | None:
    """Return id and input current of a converter that the caller has, if it is large enough."""
    for one in setup.case.shop.equipment:
        if one.kind != "converter" or one.method != "electronic" or one.fate == "must-go":
            continue
        enough = one.rating_va is None or one.rating_va >= rating_va * (1.0 - 1e-6)
        suits = one.output_voltage_v is None or (
            abs(one.output_voltage_v / setup.output.value - 1.0) < 0.1
        )
        if one.input_current_a is not None and enough and suits:
            return str(one.id), float(one.input_current_a)
    return None


def largest(setup: Setup, part: Worksheet) -> Figure | None:
    """Return the power of the largest motor [W]."""
    motors = {
        f"P{n}": motor.demand.power
        for n, motor in enumerate(motor for one in setup.machines for motor in one.motors)
    }
    if not motors:
        return None
    most = f"max({', '.join(motors)})" if len(motors) > 1 else "P0"
    return part.formula("largest_motor_w", "P", "W", most, motors)


def converter(
    setup: Setup, size: Figure, points: tuple[State, ...], name: str, sheet: Worksheet
) -> Converter:
    """Return the converter with its plate."""
    part = sheet.under(f"converters/{name}")
    volts = setup.case.supply.voltage
    rating = part.formula("rating_va", "S_n", "VA", "S", S=size)
    stated = owned(setup, size.value)
    if stated is not None:
        plate = Figure(stated[1], f"shop/equipment/{stated[0]}/input_current_a")
        drawn = part.formula("input_current_a", "I_in", "A", "I", I=plate)
    else:
        most = max(points, key=lambda one: (one.input_current_a, one.id))
        modelled = Figure(most.input_current_a, f"{sheet.prefix}/states/{most.id}/input_current_a")
        drawn = part.formula(
            "input_current_a", "I_in", "A", "max(S * p / (e * c * U), k * I)", S=rating,
            p=usual("rated-power-factor", part), e=usual("efficiency", part),
            c=usual("input-power-factor", part), U=volts, k=setup.case.limits["converter-reserve"],
            I=modelled, source=RATED,
        )  # fmt: skip
    output = part.formula("output_current_a", "I_2", "A", "S / (sqrt(3) * U)", S=rating,
                          U=setup.output)  # fmt: skip
    idle = next(one for one in points if one.set == "idle")
    lost = Figure(idle.losses_w, f"{sheet.prefix}/states/{idle.id}/losses_w")
    heaviest = largest(setup, part)
    features = (*FEATURES, "output-neutral") if setup.neutral else FEATURES
    return Converter(
        id=name,
        method="electronic",
        machines=tuple(one.id for one in setup.machines),
        rating_va=rating.value,
        input_voltage_v=part.formula("input_voltage_v", "U_1", "V", "U", U=volts).value,
        output_voltage_v=part.formula("output_voltage_v", "U_2", "V", "U", U=setup.output).value,
        input_current_a=drawn.value,
        output_current_a=output.value,
        largest_motor_w=heaviest.value if heaviest is not None else None,
        losses_w=part.formula("losses_w", "P_0", "W", "P", P=lost).value,
        protective_features=features,
        regulates=True,
        given=stated is not None,
    )
