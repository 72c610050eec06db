"""What is bought, started and said of a second idler of another size."""

from collections.abc import Sequence

from ampwright.methods.rotary.beside import Beside, alone
from ampwright.methods.rotary.idlers import Idler
from ampwright.methods.rotary.plate import NAMED, cans
from ampwright.methods.rotary.sizing import AS_BUILT, CONSTRAINTS
from ampwright.methods.rotary.starts import start_capacitance_of
from ampwright.methods.rotary.trial import BOTH_IDLE, Bank
from ampwright.plugin import (
    Converter,
    Figure,
    Finding,
    Limit,
    Source,
    State,
    Worksheet,
    parameters,
)

MODEL = Source(document="network of idler and motors, symmetrical components", known="model")


def joined(trial: Beside, states: Sequence[State], name: str, sheet: Worksheet) -> Converter:
    """Return the second idler as a converter that joins the one with the id *name*.

    What it draws and loses is what both draw and lose while nothing else runs, less the first.
    """
    own = trial.second_of(name)
    part, volts = sheet.under(f"converters/{own}"), trial.setup.case.supply.voltage
    power = part.table("idler_power_w", "P", trial.second.power_w, "W", table="idlers",
                       cell=(trial.second.name, "rating"), source=NAMED)  # fmt: skip
    both = next(one for one in states if one.set == BOTH_IDLE)

    def more(field: str, symbol: str, unit: str) -> float:
        whole, first = (
            Figure(float(getattr(one, field)), f"{sheet.prefix}/states/{one.id}/{field}")
            for one in (both, states[0])
        )
        return part.formula(field, symbol, unit, "max(B - A, 0)", B=whole, A=first).value

    rated = Figure(trial.second.found.circuit.rated_current_a,
                   f"{sheet.prefix}/idlers/{own}/circuit/rated_current_a")  # fmt: skip
    start = Bank("start-ca.second", "ca", start_capacitance_of(trial.setup, trial.second), ())
    return Converter(
        id=own,
        method="rotary",
        machines=(trial.big.id,),
        rating_w=part.formula("rating_w", "P", "W", "P", P=power, source=NAMED).value,
        idler_power_w=power.value,
        joins=name,
        input_voltage_v=part.formula("input_voltage_v", "U_1", "V", "U", U=volts).value,
        output_voltage_v=part.formula("output_voltage_v", "U_2", "V", "U", U=volts).value,
        input_current_a=more("input_current_a", "I_in", "A"),
        output_current_a=part.formula("output_current_a", "I_out", "A", "I", I=rated).value,
        capacitors=cans(trial.setup, trial.more_banks, (start,), power, part),
        losses_w=more("losses_w", "P_0", "W"),
        protective_features=("machine-only-with-both-idlers", "capacitor-discharge"),
    )


def limits_beside(
    trial: Beside, sizes: Sequence[Idler], name: str, sheet: Worksheet
) -> tuple[Limit, ...]:
    """Return what each constraint alone asks of the second idler, the first as it is.

    Args:
        trial: Both as built.
        sizes: The sizes looked at, the last of which was taken.
        name: Id of the converter that it joins.
        sheet: Where the steps stand.
    """
    own, chosen = trial.second_of(name), len(sizes) - 1
    tried = [trial] * len(sizes)
    for n, idler in enumerate(sizes[:-1]):
        tried[n] = alone(trial.setup, trial.small, idler, trial.big)
    places = {
        constraint: next(n for n, one in enumerate(tried) if ok(one))
        for constraint, ok in CONSTRAINTS.items()
    }
    if chosen not in places.values():
        places[AS_BUILT] = chosen
    inputs = [("U", trial.setup.case.supply.voltage)]
    return tuple(
        Limit(
            id=f"{own}/{constraint}", subject=own, constraint=constraint, unit="W",
            asks=sheet.under(f"{own}/{constraint}").solved(
                "asks", "P", sizes[place].power_w, "W", source=MODEL, residual=0.0, inputs=inputs,
                model="smallest usual idler beside the first that meets this constraint",
            ).value,
            governs=place == chosen,
        )
        for constraint, place in places.items()
    )  # fmt: skip


def about_joined(trial: Beside, name: str, place: str) -> Finding:
    """Return what there is to say about a second idler of another size."""
    first, second = (
        Figure(one.power_w, f"{place}/converters/{own}/idler_power_w")
        for own, one in trial.all_turning(name)
    )
    return Finding(
        code="rotary.joined-idler", severity="caution",
        where=(name, trial.second_of(name), trial.big.id),
        parameters=parameters("first=W second=W", first=first, second=second),
    )  # fmt: skip
