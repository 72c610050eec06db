"""Every circuit of every option, by the rules of the code."""

from collections.abc import Mapping
from typing import Any

from ampwright.verification.ledger import Ledger
from ampwright.verification.nec.book import Book
from ampwright.verification.nec.conductors import check_conductor
from ampwright.verification.nec.cords import check_cord
from ampwright.verification.nec.covered import say_the_rest
from ampwright.verification.nec.demand import demand_of
from ampwright.verification.nec.devices import check_device
from ampwright.verification.nec.disconnects import check_disconnect, check_overloads
from ampwright.verification.nec.drop import check_drop, check_window
from ampwright.verification.nec.earthing import (
    check_earth_fault,
    check_protective_conductor,
    check_raceway,
    check_ratings,
)
from ampwright.verification.nec.relays import check_relays
from ampwright.verification.nec.sayings import check_fuse, check_panel, check_sayings
from ampwright.verification.nec.scene import Scene
from ampwright.verification.nec.service import check_service
from ampwright.verification.statements import Statements

NEEDED = ("ampacity", "standard_ratings", "factors")


def check_circuits(ledger: Ledger, statements: Statements, stated: Mapping[str, Any]) -> None:
    """Size every circuit of the plan again and compare; all it asks of *stated* is in tables."""
    del stated
    if any(ledger.table(name) is None for name in NEEDED):
        ledger.skipped("nec.310.16", "options", "the tables of the region")
        return
    book = Book(ledger)
    say_the_rest(ledger)
    for option in ledger.decision.options:
        check_service(ledger, book, statements, option)
        check_panel(ledger, option)
        for circuit in option.circuits:
            scene = Scene(ledger, book, statements, option, circuit)
            demand = demand_of(scene)
            if demand is None:
                ledger.skipped("nec.430.24", scene.place, f"rules of the role {circuit.role}")
                continue
            check_conductor(scene, demand)
            check_device(scene, demand)
            check_disconnect(scene, demand)
            check_overloads(scene)
            check_protective_conductor(scene, demand)
            check_raceway(scene)
            check_ratings(scene)
            check_earth_fault(scene)
            check_relays(scene)
            check_drop(scene)
            check_window(scene, demand)
            check_cord(scene)
            check_sayings(scene, demand)
            check_fuse(scene, demand)
