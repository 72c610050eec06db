"""A single-phase transformer ahead of one converter, where its machine needs another voltage."""

import attrs

from ampwright.case import Case, SupplyCase
from ampwright.equipment.transformer import Transformer
from ampwright.region import CircuitDemand, LoadDemand
from ampwright.step import Figure, Worksheet
from ampwright.stepped import IDEAL, REFERRED, most, planning, rating_up, usual


@attrs.frozen(kw_only=True)
class SteppedSupply:
    """The single-phase supply as it is behind a transformer.

    Attributes:
        case: The shop with the supply as the converter sees it.
        transformer: The transformer.
        ratio: Voltage ahead of it over voltage behind it.
        size: Its rated apparent power [VA].
    """

    case: Case
    transformer: Transformer
    ratio: Figure
    size: Figure


def stepped_supply(
    case: Case, machine: str, second: Figure, needed: Figure, sheet: Worksheet
) -> SteppedSupply | None:
    """Return the supply behind a transformer of its own for *machine*.

    The transformer's own impedance is left out of the supply behind it: a converter then draws no
    less than it would, and what it draws is what its conductors are chosen by.

    Args:
        case: The shop.
        machine: Id of the machine.
        second: Voltage behind the transformer [V].
        needed: Apparent power that has to pass through it [VA].
        sheet: Where the steps stand.

    Returns:
        The supply; ``None`` where no standard rating is large enough.
    """
    name = f"transformer.{machine}"
    part = sheet.under(f"transformers/{name}")
    size = rating_up(needed, part)
    if size is None:
        return None
    first = part.formula("primary_v", "U_1", "V", "U", U=case.supply.voltage)
    behind = part.formula("secondary_v", "U_2", "V", "U", U=second)
    part.formula("phases", "n", "", "1")
    ratio = part.formula("ratio", "k", "", "U_1 / U_2", U_1=first, U_2=behind)
    change = abs(behind.value / first.value - 1.0)
    made = Transformer(
        id=name, kind="auto" if change <= planning("auto-up-to") else "isolating", phases=1,
        rating_va=size.value, primary_v=first.value, secondary_v=behind.value, machines=(machine,),
    )  # fmt: skip
    return SteppedSupply(
        case=attrs.evolve(case, supply=behind_it(case.supply, behind, ratio, size, part)),
        transformer=made, ratio=ratio, size=size,
    )  # fmt: skip


def behind_it(
    supply: SupplyCase, second: Figure, ratio: Figure, size: Figure, part: Worksheet
) -> SupplyCase:  # fmt: skip
    """Return *supply* as it is behind a transformer of *size*.

    How the secondary is earthed is not decided yet, so either of its ends may stand at its whole
    voltage to earth.
    """
    own = part.under("supply")

    def stepped(name: str, figure: Figure) -> Figure:
        return own.formula(name, "U", "V", "U / k", U=figure, k=ratio, source=IDEAL)

    def referred(name: str, figure: Figure) -> Figure:
        return own.formula(name, "Z", "ohm", "Z / k ** 2", Z=figure, k=ratio, source=REFERRED)

    share = 1.0 / ratio.value
    source = supply.source._replace(
        e_a_v=supply.source.e_a_v * share, e_b_v=supply.source.e_b_v * share,
        z_a_ohm=supply.source.z_a_ohm * share**2, z_b_ohm=supply.source.z_b_ohm * share**2,
    )  # fmt: skip
    one, other = (own.formula(f"to_earth/{n}", "U_0", "V", "U", U=second) for n in range(2))
    return attrs.evolve(
        supply,
        source=source,
        voltage=second,
        highest=stepped("highest", supply.highest),
        lowest=stepped("lowest", supply.lowest),
        impedance=referred("impedance", supply.impedance),
        resistance=referred("resistance", supply.resistance),
        reactance=referred("reactance", supply.reactance),
        voltage_to_earth=(one, other),
        to_neutral=None,
        fault_largest=own.formula("fault_current", "I_k", "A", "S / (U * z)", S=size, U=second,
                                  z=usual("impedance", own.under("usual"))),
    )  # fmt: skip


def supply_circuits(
    case: Case, stepped: SteppedSupply, behind: CircuitDemand, sheet: Worksheet
) -> tuple[CircuitDemand, CircuitDemand]:
    """Return the circuit from the panel to the transformer, and *behind* as it follows it.

    Args:
        case: The shop, its supply as it is at the panel.
        stepped: The supply behind the transformer.
        behind: The converter's own circuit, asked for at that supply.
        sheet: Where the steps stand.
    """
    made, supply = stepped.transformer, case.supply
    part = sheet.under(f"wiring/{made.id}")
    rated = part.formula("primary_current", "I_1", "A", "S / U", S=stepped.size, U=supply.voltage)

    def ahead_of(name: str, figure: Figure) -> Figure:
        return part.formula(name, "I", "A", "I / k", I=figure, k=stepped.ratio, source=IDEAL)

    load = LoadDemand(id=made.id, machine=made.machines[0], kind="transformer", phases=1,
                      current=rated, continuous=False, construction=made.kind)  # fmt: skip
    ahead = CircuitDemand(
        id=f"feeder.{made.machines[0]}", role="branch", feeds=(made.id,), phases=1,
        voltage=supply.voltage, frequency=supply.frequency, length=behind.length, loads=(load,),
        voltage_to_earth=supply.voltage_to_earth,
        running_current=ahead_of("running_current", behind.running_current),
        power_factor=behind.power_factor,
        starting_current=None
        if behind.starting_current is None
        else ahead_of("starting_current", behind.starting_current),
        starting_power_factor=behind.starting_power_factor,
        fault_largest=supply.fault_largest,
        rectified=made.kind == "auto",
    )  # fmt: skip
    smallest = None
    if made.kind == "isolating":
        smallest = part.formula("fault_smallest", "I_k", "A", "S / (U * z)", S=stepped.size,
                                U=behind.voltage, z=most("impedance", part))  # fmt: skip
    last = attrs.evolve(
        behind, fed_from=ahead.id, length=usual("secondary-length", part), fault_source=smallest
    )
    return ahead, last
