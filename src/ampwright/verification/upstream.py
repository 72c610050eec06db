"""What an earth fault flows through before it comes to its own circuit."""

from collections.abc import Callable, Iterator

from ampwright.equipment.circuit import Circuit
from ampwright.equipment.transformer import Transformer
from ampwright.option import Option
from ampwright.verification.ledger import Ledger

#: Impedance of a line conductor and of the protective conductor of a circuit [ohm].
Ohms = Callable[[Circuit], tuple[float, float] | None]


def winding_ahead(option: Option, circuit: Circuit) -> Transformer | None:
    """Return the transformer whose secondary feeds the circuit directly."""
    ahead = next((one for one in option.circuits if one.id == circuit.fed_from), None)
    if ahead is None:
        return None
    return next((one for one in option.transformers if one.id in ahead.feeds), None)


def is_stepped(option: Option, circuit: Circuit) -> bool:
    """Tell whether a transformer of any kind stands ahead of the circuit."""
    names = {one.id for one in option.transformers}
    return any(not names.isdisjoint(one.feeds) for one in _ahead(option, circuit))


def converter_ahead(option: Option, circuit: Circuit) -> str:
    """Return the id of the converter, no drive, that the circuit hangs on; ``""``: none."""
    for ahead in _ahead(option, circuit):
        for one in option.converters:
            if one.id in ahead.feeds and ahead.role in ("supply", "idler"):
                return "" if one.method == "drive" else one.id
    return ""


def winding_ohm(ledger: Ledger, option: Option, made: Transformer) -> float | None:
    """Return the short-circuit impedance of one secondary winding at its largest [ohm]."""
    share = ledger.number(f"options/{option.id}/wiring/{made.id}/impedance_high")
    return None if share is None else share * made.secondary_v**2 / made.rating_va


def converter_current(ledger: Ledger, option: Option, converter: str) -> float | None:
    """Return the current that a converter feeds into a bolted earth fault [A]."""
    own = f"options/{option.id}/wiring/{converter}"
    found = ledger.number(f"{own}/made_leg_fault")
    return found if found is not None else ledger.number(f"{own}/fault_current")


def through_conductors(option: Option, circuit: Circuit, ohms: Ohms) -> float | None:
    """Return what conductors ahead of a circuit on a made line add to its loop [ohm].

    The fault comes back through every protective conductor. It goes out through the line of each
    circuit of three lines, and comes into the converter through both of its supply and, by way of
    the idlers, through the lines of these: none carries more than the fault.
    """
    if _lacks_one(option, circuit):
        return None
    total = 0.0
    for one in _ahead(option, circuit):
        if one.role == "idler":
            break
        found = ohms(one)
        if found is None:
            return None
        line, back = found
        total += back + (line if one.phases == 3 else 2.0 * line)
    if circuit.role != "idler":
        beside = _idlers(option, circuit, ohms)
        if beside is None:
            return None
        total += beside
    return total


def through_primary(
    ledger: Ledger, option: Option, circuit: Circuit, made: Transformer, ohms: Ohms
) -> float | None:
    """Return what stands ahead of separate windings, seen at the secondary [ohm].

    A winding of a star stands on one side of a delta, so that its current flows through two lines
    of the primary, less by the ratio of the turns of the two.
    """
    if _lacks_one(option, circuit):
        return None
    turns = made.primary_v / made.secondary_v
    if made.phases == 3:
        turns *= 3**0.5
    total = _primary_source(ledger, option, circuit, made)
    if total is None:
        return None
    for one in _ahead(option, circuit):
        if one.role == "idler":
            break
        found = ohms(one)
        if found is None:
            return None
        total += 2.0 * found[0]
    beside = _idlers(option, circuit, ohms)
    return None if beside is None else (total + beside) / turns**2


def _primary_source(
    ledger: Ledger, option: Option, circuit: Circuit, made: Transformer
) -> float | None:
    """Return the impedance between two lines of what feeds the primary side [ohm]."""
    name = converter_ahead(option, circuit)
    if name:
        current = converter_current(ledger, option, name)
        return None if current is None else made.primary_v / current
    return ledger.number("supply/impedance")


def _ahead(option: Option, circuit: Circuit) -> Iterator[Circuit]:
    by_id = {one.id: one for one in option.circuits}
    one = by_id.get(circuit.fed_from)
    while one is not None:
        yield one
        one = by_id.get(one.fed_from)


def _lacks_one(option: Option, circuit: Circuit) -> bool:
    """Tell whether a circuit ahead is not among the circuits, for lack of a size."""
    last = (circuit, *_ahead(option, circuit))[-1]
    return bool(last.fed_from)


def _idlers(option: Option, circuit: Circuit, ohms: Ohms) -> float | None:
    """Return what the lines of the idlers ahead add [ohm]: three of the thinnest, side by side.

    One that joins a converter does not always turn, so that it is none of them.
    ``None`` where the circuit of an idler is not among the circuits, for lack of a size.
    """
    ahead = {one.id: one for one in _ahead(option, circuit)}
    beside = [one for one in option.circuits if one.role == "idler" and one.fed_from in ahead]
    joining = {one.id for one in option.converters if one.joins is not None}
    beside = [one for one in beside if joining.isdisjoint(one.feeds)]
    fed = {name for one in ahead.values() if one.role == "supply" for name in one.feeds}
    turning = (one for one in option.converters if one.id in fed and one.idler_power_w is not None)
    if len(beside) < sum(one.idlers or 1 for one in turning):
        return None
    lines = []
    for one in beside:
        found = ohms(one)
        if found is None:
            return None
        lines.append(found[0])
    return 3.0 * max(lines) / len(lines) if lines else 0.0
