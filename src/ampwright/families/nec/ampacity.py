"""The conductor: the smallest standard size that satisfies every rule on it."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import NamedTuple

from ampwright.families.nec.book import CIRCULAR_MIL_MM2, Book, size_name
from ampwright.families.nec.corrections import Corrections
from ampwright.families.nec.draft import Draft
from ampwright.families.nec.ratings import next_up, reaches
from ampwright.step import Figure

#: Smallest size for power circuits. NFPA 70, Table 310.3(A), from memory.
SMALLEST = "14"

#: Name of the rule that a start must succeed.
START = "start"

#: Device over ampacity for welders, by relation: a name in the table of factors.
WELDERS = {
    "welder": "welder_conductor_device",
    "resistance-welder": "resistance_welder_conductor_device",
}

Rule = Callable[[str], bool]
Rules = Mapping[str, Rule]


class Need(NamedTuple):
    """What the rules ask of a conductor.

    Attributes:
        terminals: Current that the terminals' column must reach, no correction made [A].
        corrected: Current that the ampacity after corrections must reach [A].
        rule: Rule that asks for it.
        device: Rating of the device ahead [A].
        relation: ``"protected"``: device by 240.4, small sizes by 240.4(D); ``"by-ampacity"``: by
            240.4 without the rule on small sizes; ``"exempt"``: by 240.4(G) another article
            protects the conductor; ``"welder"`` and ``"resistance-welder"``: device up to twice
            and three times its ampacity.
    """

    terminals: Figure
    corrected: Figure
    rule: str
    device: Figure
    relation: str


class Sized(NamedTuple):
    """A conductor that was chosen.

    Attributes:
        key: Size as the tables name it.
        minimum: Size without regard to voltage drop.
        area: Metal area [mm2].
        terminal: What the terminals allow it [A].
        ampacity: Current that it may carry here [A].
    """

    key: str
    minimum: str
    area: Figure
    terminal: Figure
    ampacity: Figure


def sizes(book: Book, corrections: Corrections) -> tuple[str, ...]:
    """Return the sizes for power circuits of one metal, smallest first."""
    keys = tuple(book.column("ampacity", corrections.terminal_column))
    insulated = book.column("ampacity", corrections.insulation_column)
    impedance = book.column("conductor_impedance", "xl_steel")
    keys = tuple(key for key in keys if key in insulated and key in impedance)
    # the metal that has no such size begins with a larger one
    return keys[keys.index(SMALLEST) :] if SMALLEST in keys else keys


def device_allows(book: Book, ampacity: float, device: float, relation: str) -> bool:
    """Tell whether *device* may protect a conductor of *ampacity*, small sizes left aside."""
    if relation == "exempt":
        return True
    if relation in ("protected", "by-ampacity"):
        largest = book.factor("round_up_largest_a")
        return reaches(ampacity, device) or device <= min(largest, next_up(book, ampacity))
    factor = book.factor(WELDERS[relation])
    return device <= next_up(book, factor * ampacity)


def rules_on(book: Book, corrections: Corrections, need: Need) -> Rules:
    """Return each rule on the size by its name, as a question."""
    device, relation = need.device.value, need.relation

    def carries(key: str) -> float:
        return min(corrections.terminal(book, key), corrections.corrected(book, key))

    def small(key: str) -> bool:
        most = book.cell("small_conductors", key, corrections.metal)
        return relation != "protected" or most is None or device <= most

    return {
        "terminals": lambda key: reaches(corrections.terminal(book, key), need.terminals.value),
        "corrections": lambda key: reaches(corrections.corrected(book, key), need.corrected.value),
        "device": lambda key: device_allows(book, carries(key), device, relation),
        "small-conductor": small,
    }


def choose(draft: Draft, corrections: Corrections, need: Need, drop: Rules) -> Sized | None:
    """Choose the conductor; its steps stand below ``conductor``.

    Args:
        draft: Sheet of the circuit.
        corrections: What bears on its ampacity.
        need: What the rules ask for.
        drop: Rules that limit the drop along it, see `ampwright.families.nec.drop`.

    Returns:
        The conductor; ``None`` where no size of the tables suffices, which is said. Where none lets
        a start succeed, the size that all other rules ask for.
    """
    book = draft.book
    listed = sizes(book, corrections)
    bare = rules_on(book, corrections, need)
    rules = {**bare, **drop}
    key = first(listed, rules.values())
    if key is None:
        rules.pop(START, None)
        key = first(listed, rules.values())
    if key is None:
        draft.find("feeder.undersized", "blocks", need.rule, "needed=A", needed=need.terminals)
        return None
    asked = [("terminals", need.terminals), ("corrected", need.corrected), ("device", need.device)]
    draft.read(
        "conductor/size", "size", "", table="ampacity", key=key,
        column=corrections.terminal_column, value=size_name(key), rule=need.rule, inputs=asked,
    )  # fmt: skip
    terminal, ampacity = carried(draft, "conductor", corrections, key)
    below = listed.index(key) - 1
    if below >= 0:
        smaller(draft, corrections, listed[below], asked)
    for name, rule in rules.items():
        alone = first(listed, [rule])
        limit(draft, corrections, name, str(alone), asked)
    minimum = str(first(listed, bare.values()))
    if minimum != key:
        draft.find(
            "conductor.raised", "info", "", minimum=size_name(minimum), chosen=size_name(key)
        )
        draft.read(
            "conductor/raised/size", "size", "", table="ampacity", key=minimum,
            column=corrections.terminal_column, value=size_name(minimum), rule=need.rule,
            inputs=asked,
        )  # fmt: skip
    return Sized(
        key=key,
        minimum=minimum,
        area=area(draft, "conductor/area_mm2", key),
        terminal=terminal,
        ampacity=ampacity,
    )


def first(listed: Sequence[str], rules: Iterable[Rule]) -> str | None:
    """Return the first size that satisfies all *rules*."""
    rules = tuple(rules)
    return next((key for key in listed if all(rule(key) for rule in rules)), None)


def carried(draft: Draft, place: str, corrections: Corrections, key: str) -> tuple[Figure, Figure]:
    """State what the terminals allow a size, and its ampacity here, below *place*."""
    terminal = draft.read(
        f"{place}/terminal_ampacity_a", "I_t", "A", table="ampacity", key=key,
        column=corrections.terminal_column, rule="nec.110.14(C)",
        inputs=[("T", corrections.terminal_c)],
    )  # fmt: skip
    insulated = draft.read(
        f"{place}/table_ampacity_a", "I_i", "A", table="ampacity", key=key,
        column=corrections.insulation_column, rule="nec.310.16",
        inputs=[("T", corrections.insulation_c)],
    )  # fmt: skip
    ampacity = draft.work(
        f"{place}/ampacity_a", "I_z", "A", "min(I_t, I_i * f_a * f_n)", "nec.310.16",
        I_t=terminal, I_i=insulated, f_a=corrections.ambient, f_n=corrections.adjustment,
    )  # fmt: skip
    return terminal, ampacity


def smaller(
    draft: Draft,
    corrections: Corrections,
    key: str,
    asked: Sequence[tuple[str, Figure]],
) -> None:
    """State the next size down and what it would carry."""
    draft.read(
        "conductor/smaller/size", "size", "", table="ampacity", key=key,
        column=corrections.terminal_column, value=size_name(key), inputs=asked,
    )  # fmt: skip
    carried(draft, "conductor/smaller", corrections, key)


def limit(
    draft: Draft,
    corrections: Corrections,
    name: str,
    key: str,
    asked: Sequence[tuple[str, Figure]],
) -> None:
    """State the size that one rule alone would ask for."""
    draft.read(
        f"conductor/limits/{name}/size", "size", "", table="ampacity", key=key,
        column=corrections.terminal_column, value=size_name(key), inputs=asked,
    )  # fmt: skip
    area(draft, f"conductor/limits/{name}/area_mm2", key)


def area(draft: Draft, path: str, key: str) -> Figure:
    """State the metal area of a size."""
    mils = draft.read(
        f"{path.rpartition('/')[0]}/circular_mils", "cmil", "cmil", table="conductor_properties",
        key=key, column="circular_mils", rule="nec.9.8",
    )  # fmt: skip
    return draft.work(path, "A", "mm2", f"{CIRCULAR_MIL_MM2!r} * cmil", "nec.9.8", cmil=mils)
