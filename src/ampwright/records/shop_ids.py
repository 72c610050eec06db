"""Whether the ids in a shop are each its own, and name what is there."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, NamedTuple, Protocol

from ampwright import bounds
from ampwright.errors import AmpwrightError, ConsistencyError


class HasId(Protocol):
    """A machine or a piece of equipment, as far as ids are concerned."""

    @property
    def id(self) -> str:
        """Its id."""


class Names(Protocol):
    """A machine that may name others."""

    @property
    def id(self) -> str:
        """Its id."""

    @property
    def quantity(self) -> int:
        """How many of it there are."""

    @property
    def needs(self) -> tuple[str, ...]:
        """Ids of the machines that run with it."""

    @property
    def fed_from(self) -> str | None:
        """Id of the machine that it is fed through."""


class Serves(HasId, Protocol):
    """A piece of equipment that may serve machines."""

    @property
    def serves(self) -> tuple[str, ...]:
        """Ids of the machines that it serves."""


class Outline(NamedTuple):
    """A machine or a piece of equipment of which only the ids are known.

    Attributes:
        id: Its id; one that no file can hold where it states none that is sound.
        quantity: How many of it there are.
        needs: Ids that it names.
        fed_from: Id that it names.
        serves: Ids that it names.
    """

    id: str
    quantity: int = 1
    needs: tuple[str, ...] = ()
    fed_from: str | None = None
    serves: tuple[str, ...] = ()


def of_ids(
    machines: Sequence[Names],
    equipment: Sequence[Serves],
    together: Sequence[Sequence[str]],
    *,
    whole: bool = True,
) -> Iterator[AmpwrightError]:
    """Yield every fault of the ids of a shop; unless *whole*, an unknown id is no fault."""
    yield from _duplicates("machines", machines)
    yield from _duplicates("equipment", equipment)
    yield from _copies(machines)
    if whole:
        yield from _unknown(machines, equipment, together)
    for number, ids in enumerate(together):
        for place, one in enumerate(ids):
            if one in ids[:place]:
                path = f"together[{number}][{place}]"
                yield ConsistencyError(one, "each id once", path, code="id.duplicate")
    yield from _feeding(machines)


def of_statement(data: Mapping[str, Any]) -> Iterator[AmpwrightError]:
    """Yield what can be told of the ids in the plain *data* of a shop that is faulty elsewhere."""
    machines = [_outline(one, n) for n, one in enumerate(_list(data.get("machines")))]
    equipment = [_outline(one, n) for n, one in enumerate(_list(data.get("equipment")))]
    together = [_texts(one) for one in _list(data.get("together"))]
    whole = bool(machines) and not any(one.id.startswith("\0") for one in machines)
    yield from of_ids(machines, equipment, together, whole=whole)


def _outline(one: object, number: int) -> Outline:
    nothing = Outline(f"\0{number}")
    if not isinstance(one, Mapping):
        return nothing
    name, quantity, fed_from = one.get("id"), one.get("quantity"), one.get("fed_from")
    if not isinstance(name, str) or not name or not name.isprintable():
        return nothing
    counted = isinstance(quantity, int) and 0 < quantity <= _MOST_COPIES
    return Outline(
        name,
        int(quantity) if counted and quantity is not None else 1,
        _texts(one.get("needs")),
        fed_from if isinstance(fed_from, str) else None,
        _texts(one.get("serves")),
    )


_MOST_COPIES = 500


def _list(value: object) -> Sequence[object]:
    return value[:_MOST_COPIES] if isinstance(value, list | tuple) else ()


def _texts(value: object) -> tuple[str, ...]:
    return tuple(one for one in _list(value) if isinstance(one, str))


def _duplicates(field: str, several: Sequence[HasId]) -> Iterator[AmpwrightError]:
    first: dict[str, int] = {}
    for number, one in enumerate(several):
        if one.id in first:
            wanted = f"an id of its own; {field}[{first[one.id]}] has it too"
            path = f"{field}[{number}].id"
            yield ConsistencyError(one.id, wanted, path, code="id.duplicate")
        first.setdefault(one.id, number)


def _copies(machines: Sequence[Names]) -> Iterator[AmpwrightError]:
    """Yield every id that a copy of another machine will have."""
    made = {f"{one.id}:{n}" for one in machines for n in range(2, one.quantity + 1)}
    for number, one in enumerate(machines):
        if one.id in made:
            wanted = "an id that no copy of another machine gets"
            yield ConsistencyError(one.id, wanted, f"machines[{number}].id", code="id.duplicate")


def _named(
    machines: Sequence[Names], equipment: Sequence[Serves], together: Sequence[Sequence[str]]
) -> Iterator[tuple[str, str]]:
    """Yield path and id of every machine that is named somewhere."""
    for number, ids in enumerate(together):
        yield from ((f"together[{number}][{place}]", one) for place, one in enumerate(ids))
    for number, machine in enumerate(machines):
        path = f"machines[{number}]"
        yield from ((f"{path}.needs[{at}]", one) for at, one in enumerate(machine.needs))
        if machine.fed_from is not None:
            yield f"{path}.fed_from", machine.fed_from
    for number, piece in enumerate(equipment):
        path = f"equipment[{number}].serves"
        yield from ((f"{path}[{at}]", one) for at, one in enumerate(piece.serves))


def _unknown(
    machines: Sequence[Names], equipment: Sequence[Serves], together: Sequence[Sequence[str]]
) -> Iterator[AmpwrightError]:
    known = [machine.id for machine in machines]
    for path, one in _named(machines, equipment, together):
        if one not in known:
            remedy = bounds.hint(one, known)
            wanted = "the id of a machine of this shop"
            yield ConsistencyError(one, wanted, path, code="id.unknown", remedy=remedy)


def _feeding(machines: Sequence[Names]) -> Iterator[AmpwrightError]:
    fed_from = {machine.id: machine.fed_from for machine in machines}
    for number, machine in enumerate(machines):
        above = machine.fed_from
        for _step in machines:
            if above == machine.id:
                path = f"machines[{number}].fed_from"
                wanted = "a machine that is not fed through this one"
                yield ConsistencyError(machine.id, wanted, path, code="id.cycle")
                break
            above = fed_from.get(above) if above is not None else None
