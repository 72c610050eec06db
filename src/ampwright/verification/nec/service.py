"""The load that the plan adds to the service: 220.87, 220.50 and 430.24."""

from ampwright.option import Option
from ampwright.verification.ledger import Ledger, close
from ampwright.verification.nec.book import Book
from ampwright.verification.nec.demand import together
from ampwright.verification.nec.scene import Scene
from ampwright.verification.statements import Statements

RULE = "nec.220.87"


def check_service(ledger: Ledger, book: Book, statements: Statements, option: Option) -> None:
    """Check the calculated load of the service and that an excess is said."""
    place = f"options/{option.id}/service"
    load, rating = ledger.number(f"{place}/load_a"), ledger.number(f"{place}/rating_a")
    if load is None:
        if option.circuits:
            ledger.skipped(RULE, f"{place}/load_a", "the load of the service")
        return
    if f"{place}/existing_a" not in ledger.steps:
        ledger.skipped("nec.220.83", f"{place}/load_a", "the load of a dwelling unit")
        return
    supply = ledger.decision.shop.supply
    existing = book.factor("measured_demand") * (supply.existing_load_a or 0.0)
    states = [one for one in option.states if one.converter == "" and one.set != "idle"]
    whole = [one for one in states if one.id.startswith("supply/")]
    added = max((one.input_current_a for one in whole or states), default=0.0)
    for name, wanted in (("existing_a", existing), ("added_a", added)):
        found = ledger.number(f"{place}/{name}") or 0.0
        if not close(wanted, found):
            ledger.breach(RULE, f"{place}/{name}", wanted, found, "A")
    _largest_motor(ledger, book, statements, option, f"{place}/largest_motor_a")
    if rating is not None and load > rating:
        said = [one for one in option.findings if one.severity != "info"]
        if not any(one.code.startswith(("supply.", "service.", "feeder.")) for one in said):
            ledger.breach(RULE, f"{place}/load_a", rating, load, "A")


def _largest_motor(
    ledger: Ledger, book: Book, statements: Statements, option: Option, path: str
) -> None:
    """Check what 430.24 adds for the largest motor on the panel.

    A drive counts with its rated input, 430.122(D); a converter enters as the load that it draws,
    but may be counted as a motor, which is on the safe side.
    """
    least = most = 0.0
    for circuit in option.circuits:
        if circuit.fed_from or circuit.role not in ("branch", "supply", "idler"):
            continue
        scene = Scene(ledger, book, statements, option, circuit)
        if scene.motors and circuit.role != "supply":
            least = max(least, *(one.current for one in together(scene.motors)))
        if scene.fed_converter is not None and scene.is_drive:
            least = max(least, scene.fed_converter.input_current_a)
        if scene.motors or scene.fed_converter is not None:
            most = max(most, circuit.design_current_a / book.factor("motor_feeder_largest"))
    share = book.factor("motor_feeder_largest") - 1
    found = ledger.number(path) or 0.0
    if not share * least * (1 - 1e-9) <= found <= share * max(least, most) * (1 + 1e-9):
        ledger.breach("nec.430.24", path, share * least, found, "A")
