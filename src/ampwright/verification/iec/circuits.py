"""Every circuit of every option, by the rules of the family."""

from collections.abc import Mapping
from typing import Any

from ampwright.verification.iec.book import Book
from ampwright.verification.iec.conductors import check_conductor
from ampwright.verification.iec.cords import check_cord
from ampwright.verification.iec.covered import say_the_rest
from ampwright.verification.iec.demand import demand_of
from ampwright.verification.iec.devices import check_device
from ampwright.verification.iec.drop import check_drop
from ampwright.verification.iec.faults import check_heat, cleared
from ampwright.verification.iec.guards import check_guards
from ampwright.verification.iec.overloads import check_overloads
from ampwright.verification.iec.protective import check_protective_conductor
from ampwright.verification.iec.ratings import check_ratings, check_switch, check_window
from ampwright.verification.iec.sayings import check_discharge, check_sayings
from ampwright.verification.iec.scene import Scene
from ampwright.verification.iec.service import (
    check_board,
    check_feeder,
    check_one_phase,
    check_service,
)
from ampwright.verification.iec.surroundings import surroundings
from ampwright.verification.ledger import Ledger
from ampwright.verification.statements import Statements

NEEDED = ("resistance", "device_curves", "device_ratings", "factors", "installations")


def check_circuits(ledger: Ledger, statements: Statements, stated: Mapping[str, Any]) -> None:
    """Size every circuit of the plan again and compare.

    Args:
        ledger: The plan, the tables of its code, what was objected so far.
        statements: The shop.
        stated: What the code states beside its tables: sizes, devices, usual values.
    """
    if any(ledger.table(name) is None for name in NEEDED) or "sizes" not in stated:
        ledger.skipped("iec.433.1", "options", "the tables of the region")
        return
    book = Book(ledger, stated)
    say_the_rest(ledger)
    for option in ledger.decision.options:
        check_service(ledger, option)
        check_board(ledger, option)
        check_one_phase(ledger, option)
        for circuit in option.circuits:
            if circuit.role == "service":
                check_feeder(ledger, book, option, circuit)
            else:
                _check(Scene(ledger, book, statements, option, circuit))


def _check(scene: Scene) -> None:
    demand, around = demand_of(scene), surroundings(scene)
    if demand is None:
        lacking = f"rules of the role {scene.circuit.role}"
        scene.ledger.skipped("iec.433.1", scene.place, lacking)
    if demand is None or around is None:
        return
    family = check_device(scene, demand)
    check_conductor(scene, around, demand, family)
    check_protective_conductor(scene, around)
    check_drop(scene, around)
    fault = cleared(scene, family)
    check_heat(scene, around, fault, family)
    check_guards(scene, fault)
    check_ratings(scene)
    check_switch(scene, demand)
    check_window(scene)
    check_overloads(scene, demand)
    check_cord(scene)
    check_sayings(scene)
    check_discharge(scene)
