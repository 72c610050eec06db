"""The load of the service: 220.87 or a dwelling's, and what the plan adds: 220.50, 430.24."""

from ampwright.equipment.circuit import Circuit
from ampwright.option import Option
from ampwright.verification.ledger import Ledger, close
from ampwright.verification.nec.book import Book
from ampwright.verification.nec.demand import together
from ampwright.verification.nec.dwelling import RECORDED, check_dwelling
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
    added = _Motors(ledger, book, statements, option)
    existing, motor = _existing(ledger, book, option, added.counted)
    states = [one for one in option.states if one.converter == "" and one.set != "idle"]
    whole = [one for one in states if one.id.startswith("supply/")]
    drawn = max((one.input_current_a for one in whole or states), default=0.0)
    for name, wanted in (("existing_a", existing), ("added_a", drawn)):
        found = ledger.number(f"{place}/{name}") or 0.0
        if not close(wanted, found):
            ledger.breach(RULE, f"{place}/{name}", wanted, found, "A")
    _check_largest(ledger, book, added, motor, f"{place}/largest_motor_a")
    parts = [
        ledger.number(f"{place}/{one}") for one in ("existing_a", "added_a", "largest_motor_a")
    ]
    whole_a = sum(one or 0.0 for one in parts)
    if not close(load, whole_a):
        ledger.breach(RULE, f"{place}/load_a", whole_a, load, "A")
    if rating is not None and load > rating:
        said = [one for one in option.findings if one.severity == "blocks"]
        if not any(one.code.startswith("supply.undersized") for one in said):
            ledger.breach(RULE, f"{place}/load_a", rating, load, "A")


def _existing(ledger: Ledger, book: Book, option: Option, at_shop: float) -> tuple[float, float]:
    """Return what is there already, and the largest motor that counts with it [A].

    A demand as 220.87 asks it, recorded over a year or 30 days, stands by itself. One that may not
    be, and a calculated dwelling: whichever makes the larger sum, with a quarter of the largest
    motor of dwelling and shop, 430.24; of the latter it is *at_shop* [A].
    """
    supply = ledger.decision.shop.supply
    measured = book.factor("measured_demand") * (supply.existing_load_a or 0.0)
    home = check_dwelling(ledger, book)
    said = {one.code for one in option.findings}
    stated = supply.existing_load_a is not None
    unsure = stated and supply.demand_record == "none" and home is None
    if unsure and "supply.demand-not-recorded" not in said:
        path = f"options/{option.id}/service/existing_a"
        ledger.breach(RULE, path, "supply.demand-not-recorded", "nothing is said")
    if home is None or (stated and supply.demand_record in RECORDED):
        return measured, 0.0
    share = book.factor("motor_feeder_largest") - 1
    either = measured + share * at_shop, home.amperes + share * max(home.motor, at_shop)
    if either[0] >= either[1] * (1 - 1e-12):
        return measured, 0.0
    return home.amperes, home.motor


class _Motors:
    """The largest motor of what is added, as the panel sees it.

    A drive counts with its rated input, 430.122(D); a converter enters as the load that it draws,
    but may be counted as a motor, which is on the safe side. A transformer ahead of either changes
    nothing but the amperes.

    Attributes:
        least: Motors and drives alone [A].
        counted: Every converter with them [A].
        most: More than that is none [A].
    """

    def __init__(self, ledger: Ledger, book: Book, statements: Statements, option: Option) -> None:
        self.least = self.counted = self.most = 0.0
        for circuit in option.circuits:
            turns = _turns(option, circuit)
            if turns is None or circuit.role not in ("branch", "supply", "idler"):
                continue
            scene = Scene(ledger, book, statements, option, circuit)
            if scene.motors and circuit.role != "supply":
                own = (turns * one.current for one in together(scene.motors))
                self.least = max(self.least, *own)
            plate = turns * circuit.design_current_a / book.factor("motor_feeder_largest")
            if scene.fed_converter is not None and scene.is_drive:
                self.least = max(self.least, turns * scene.fed_converter.input_current_a)
            elif scene.fed_converter is not None:
                self.counted = max(self.counted, plate)
            if scene.motors or scene.fed_converter is not None:
                self.most = max(self.most, plate)
        self.counted = max(self.counted, self.least)


def _check_largest(ledger: Ledger, book: Book, added: _Motors, at_home: float, path: str) -> None:
    """Check what 430.24 adds for the largest motor on the service.

    The largest of a dwelling whose load is calculated by part III of article 220, *at_home*,
    counts as well [A].
    """
    least, most = max(at_home, added.least), max(at_home, added.least, added.most)
    share = book.factor("motor_feeder_largest") - 1
    found = ledger.number(path) or 0.0
    if not share * least * (1 - 1e-9) <= found <= share * most * (1 + 1e-9):
        ledger.breach("nec.430.24", path, share * least, found, "A")


def _turns(option: Option, circuit: Circuit) -> float | None:
    """Return what the panel sees of one ampere of a circuit; ``None``: a converter is between."""
    by_id = {one.id: one for one in option.circuits}
    turns, ahead = 1.0, circuit.fed_from
    while ahead:
        one = by_id.get(ahead)
        if one is None or one.role in ("supply", "output", "idler"):
            return None
        made = next((made for made in option.transformers if made.id in one.feeds), None)
        turns *= 1.0 if made is None else made.secondary_v / made.primary_v
        ahead = one.fed_from
    return turns
