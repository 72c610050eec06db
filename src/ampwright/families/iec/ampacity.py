"""The conductor: the smallest standard size that satisfies every rule on it."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import NamedTuple

from ampwright.families.iec.book import NOMINAL_50_MM2, Book, size_name
from ampwright.families.iec.conditions import Conditions
from ampwright.families.iec.corrections import Corrections
from ampwright.families.iec.draft import Draft
from ampwright.step import Figure

#: A calculated value that exceeds another by less than this share equals it: it is rounding.
ROUNDING = 1e-9
#: Clauses of the rules on a size beside its capacity.
LIMITS = {
    "smallest": "iec.524", "fault-energy": "iec.434.5.2", "voltage-drop": "iec.525",
    "start": "iec.525",
}  # fmt: skip

Rule = Callable[[str], bool]


class Sized(NamedTuple):
    """A conductor that was chosen.

    Attributes:
        key: Size as the tables name it.
        area: Metal area [mm2].
        ampacity: Current that it may carry here [A].
    """

    key: str
    area: Figure
    ampacity: Figure


def sizes(book: Book, installed: Conditions, corrected: Corrections) -> tuple[str, ...]:
    """Return the sizes that there are for such a circuit, smallest first."""
    ohms = book.column("resistance", installed.metal)
    return tuple(
        key
        for key in book.sizes
        if key in ohms and book.capacity(corrected.column, key) is not None
    )


def carries(book: Book, corrected: Corrections, key: str) -> float:
    """Return what a size carries here [A]."""
    return (book.capacity(corrected.column, key) or 0.0) * corrected.product


def first(listed: Sequence[str], rules: Iterable[Rule]) -> str | None:
    """Return the first size that satisfies all *rules*."""
    rules = tuple(rules)
    return next((key for key in listed if all(rule(key) for rule in rules)), None)


def choose(
    draft: Draft,
    installed: Conditions,
    corrected: Corrections,
    needed: Figure,
    others: Mapping[str, Rule],
    rule: str,
) -> Sized | None:
    """Choose the conductor; its steps stand below ``conductor``.

    Args:
        draft: Sheet of the circuit.
        installed: How it is installed.
        corrected: Factors on its capacity.
        needed: Capacity that device and load ask for [A].
        others: Further rules on the size, by name.
        rule: Rule behind *needed*.

    Returns:
        The conductor; ``None`` where no size of the tables suffices, which is said.
    """
    book = draft.book
    listed = sizes(book, installed, corrected)
    least = book.factor("smallest_mm2")
    rules: dict[str, Rule] = {
        "capacity": lambda key: carries(book, corrected, key) >= needed.value * (1.0 - ROUNDING),
        "smallest": lambda key: float(key) >= least,
        **others,
    }
    key = first(listed, rules.values())
    if key is None:
        draft.find("feeder.undersized", "blocks", rule, "needed=A", needed=needed)
        return None
    asked = [("I_z", needed)]
    stated_size(draft, "conductor/size", key, installed.metal, rule, asked)
    ampacity = carried(draft, "conductor", corrected, key)
    below = listed.index(key) - 1
    if below >= 0:
        stated_size(draft, "conductor/smaller/size", listed[below], installed.metal, rule, asked)
        carried(draft, "conductor/smaller", corrected, listed[below])
    for name, one in rules.items():
        alone = str(first(listed, [one]))
        place, own = f"conductor/limits/{name}", LIMITS.get(name)
        inputs = asked if own is None else []
        stated_size(draft, f"{place}/size", alone, installed.metal, own or rule, inputs)
        area(draft, f"{place}/area_mm2", alone)
    return Sized(key=key, area=area(draft, "conductor/area_mm2", key), ampacity=ampacity)


def stated_size(
    draft: Draft,
    name: str,
    key: str,
    metal: str,
    rule: str,
    asked: Iterable[tuple[str, Figure]] = (),
) -> None:
    """State a size by name."""
    draft.read(
        name, "size", "", table="resistance", key=key, column=metal, value=size_name(key),
        rule=rule, inputs=asked,
    )  # fmt: skip


def area(draft: Draft, name: str, key: str) -> Figure:
    """State the nominal area of a size [mm2]."""
    return draft.read(
        name, "S", "mm2", table="resistance", key=key, column="size_mm2", rule="iec.524"
    )


def carried(draft: Draft, place: str, corrected: Corrections, key: str) -> Figure:
    """State what a size carries here, below *place* [A]."""
    table = tabled(draft, place, corrected, key)
    return draft.work(
        f"{place}/ampacity_a", "I_z", "A", corrected.formula, "iec.523",
        I_t=table, **corrected.factors,
    )  # fmt: skip


def tabled(draft: Draft, place: str, corrected: Corrections, key: str) -> Figure:
    """State what the tables give a size, or between their rows the formula of annex D [A]."""
    book = draft.book
    cell = book.ampacities.get(corrected.column, {}).get(key)
    if cell is not None:
        return draft.read(
            f"{place}/table_ampacity_a", "I_t", "A", table=cell.table, key=cell.key,
            column="iz_a", rule="iec.523",
        )  # fmt: skip
    fit = book.fitted(corrected.column, key)
    if fit is None:
        raise KeyError(key)  # only sizes with a capacity get here
    inputs = {
        name: draft.read(
            f"{place}/{name}", name, "", table="ampacity_coefficients", key=fit.row, column=name,
            rule="iec.523.annex-d",
        )
        for name in ("a", "m")
    }  # fmt: skip
    across = NOMINAL_50_MM2 if key == "50" else float(key)
    return draft.work(
        f"{place}/table_ampacity_a", "I_t", "A", f"a * {across!r} ** m", "iec.523.annex-d",
        **inputs,
    )  # fmt: skip
