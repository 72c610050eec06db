"""Which circuits bring a neutral beside their lines, by what the machines on them ask for."""

from ampwright.equipment.circuit import Circuit
from ampwright.option import Option
from ampwright.records.machine import Machine
from ampwright.records.shop import Shop
from ampwright.verification.ledger import close
from ampwright.verification.statements import Statements, every_machine

ELECTRONIC = "electronic"


def needs_neutral(statements: Statements, machine: Machine) -> bool:
    """Tell whether a machine needs a neutral, as stated or else as its plate says."""
    if machine.needs_neutral is not None:
        return machine.needs_neutral
    plate = statements.plate(machine.id)
    return plate is not None and bool(plate.needs_neutral)


def needing(statements: Statements, circuit: Circuit) -> tuple[Machine, ...]:
    """Return the machines on a circuit that need a neutral."""
    return tuple(
        one
        for one in every_machine(statements.shop)
        if one.id in circuit.feeds and needs_neutral(statements, one)
    )


def has_neutral(statements: Statements, option: Option, circuit: Circuit) -> bool:
    """Tell whether a neutral belongs beside the lines of a circuit.

    It does where a machine needs it; and behind an electronic converter where its controls hang
    between a line and it, for such a converter is ordered with one.
    """
    shop = statements.shop
    lines = circuit.phases == 3 or (_brings_one(shop) and _at_supply(shop, circuit))
    if lines and needing(statements, circuit):
        return True
    made = {
        name for one in option.converters if one.method == ELECTRONIC for name in one.machines
    } & {*circuit.feeds}
    return circuit.phases == 3 and any(
        one.controls == "line-neutral" for one in every_machine(shop) if one.id in made
    )


def _brings_one(shop: Shop) -> bool:
    """Tell whether a neutral comes beside both conductors of the supply."""
    supply = shop.supply
    if supply.arrangement == "split-phase":
        return supply.neutral is not False
    return supply.arrangement == "line-line" and supply.neutral is True


def _at_supply(shop: Shop, circuit: Circuit) -> bool:
    return close(circuit.voltage_v, float(shop.supply.voltage_v))
