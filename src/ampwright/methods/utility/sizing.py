"""What the connection has to give, and whether it does."""

from collections.abc import Sequence
from pathlib import Path

from ampwright.methods.utility.lines import Lines
from ampwright.plugin import (
    Case,
    Figure,
    Finding,
    Limit,
    LinkedMachine,
    Source,
    Worksheet,
    parameters,
    read_table,
)

SIZES = read_table(Path(__file__).with_name("sizes.csv"))
SUM = Source(document="arithmetic sum of currents, on the safe side", known="derived")


def needed(case: Case, machines: Sequence[LinkedMachine], sheet: Worksheet) -> Figure:
    """Return the current of the set that draws most [A]."""
    part = sheet.under("lines/needed")
    sums = []
    for running in case.sets:
        terms = {
            f"{name}_{n}": figure
            for n, one in enumerate(machines)
            if one.id in running.machines
            for name, figure in one.drawn.items()
        }
        sums.append(
            part.formula(running.id, "I_3", "A", " + ".join(terms) or "0", terms, source=SUM)
        )
    names = {f"I{n}": one for n, one in enumerate(sums)}
    most = f"max({', '.join(names)})" if len(names) > 1 else "I0"
    return part.formula("most", "I_3", "A", most, names)


def beyond(case: Case, there: Lines, machines: Sequence[LinkedMachine]) -> tuple[Finding, ...]:
    """Return the reason why the lines do not give enough, if they do not."""
    wanted = needed(case, machines, Worksheet("~"))
    if there.current is None or wanted.value <= there.current.value * (1.0 + 1e-9):
        return ()
    return (
        Finding(
            code="utility.too-small",
            severity="blocks",
            where=tuple(one.id for one in machines),
            parameters=parameters(
                needed=f"{wanted.value:.1f} A", gives=f"{there.current.value:.1f} A"
            ),
        ),
    )


def limits(
    case: Case, machines: Sequence[LinkedMachine], name: str, sheet: Worksheet
) -> tuple[Limit, ...]:
    """Return the smallest usual connection for the set that draws most."""
    wanted = needed(case, machines, sheet)
    hertz = 50 if case.supply.frequency.value < 55.0 else 60
    rows = [row for row in SIZES.rows if float(row["frequency_hz"]) == hertz]
    fitting = [row for row in rows if float(row["rating_a"]) >= wanted.value]
    place = f"{name}/running-current"
    asks = None
    if fitting:
        asks = sheet.under(f"limits/{place}").table(
            "asks", "I_n", float(fitting[0]["rating_a"]), "A", table=SIZES.id,
            cell=(fitting[0]["id"], "rating_a"), source=SIZES.source(), inputs=[("I_3", wanted)],
        ).value  # fmt: skip
    return (Limit(id=place, subject=name, constraint="running-current", asks=asks, unit="A",
                  governs=True),)  # fmt: skip
