"""The protective conductor: by the table from the line conductor, and by its heat in a fault."""

from ampwright.equipment.conductor import Conductor
from ampwright.families.iec.ampacity import area, stated_size
from ampwright.families.iec.book import Book, size_name
from ampwright.families.iec.conditions import RUBBER, Conditions
from ampwright.families.iec.draft import Draft
from ampwright.step import Figure

HERE = "protective_conductor"
#: From this size on the final temperature of PVC is lower; IEC 60364-4-43, Table 43A, from memory.
LARGE_MM2 = 300.0


def adiabatic_row(installed: Conditions, size: str) -> str:
    """Return the row of the adiabatic constants for a core of a cable."""
    if installed.group == RUBBER:
        return "copper rubber line"
    large = installed.material == "copper" and installed.group == "pvc" and float(size) > LARGE_MM2
    return f"{installed.material} {installed.group} line{' above 300' if large else ''}"


def tabled_row(book: Book, line: str) -> tuple[str, float]:
    """Return row and area that the table asks for a line conductor [mm2]."""
    across = float(line)
    for row in book.tables["protective_conductor"].rows:
        if float(row["over_mm2"]) < across <= float(row["upto_mm2"]):
            key = row["row"]
            return key, float(row["fixed_mm2"]) + float(row["share"]) * across
    last = book.tables["protective_conductor"].rows[-1]
    return last["row"], across


def smallest_of_area(book: Book, installed: Conditions, least_mm2: float) -> str:
    """Return the smallest size in use here of at least an area."""
    ohms = book.column("resistance", installed.metal)
    listed = [key for key in book.sizes if key in ohms]
    fits = (key for key in listed if float(key) >= least_mm2 * (1 - 1e-9))
    return next(fits, listed[-1])


def protective_size(draft: Draft, installed: Conditions, line: str, energy: Figure | None) -> str:
    """State the size of the protective conductor; its steps stand below ``protective_conductor``.

    Args:
        draft: Sheet of the circuit.
        installed: How it is installed.
        line: Size of the line conductors.
        energy: What passes in an earth fault at the head [A2 s]; ``None``: not known.
    """
    book = draft.book
    row, _ = tabled_row(book, line)
    fixed, share = (
        draft.read(
            f"{HERE}/table/{name}", symbol, unit, table="protective_conductor", key=row,
            column=column, rule="iec.543.1",
        )
        for name, symbol, unit, column in (
            ("fixed_mm2", "S_f", "mm2", "fixed_mm2"), ("share", "q", "", "share"),
        )
    )  # fmt: skip
    across = area(draft, f"{HERE}/line/area_mm2", line)
    asks = {
        "S_t": draft.work(
            f"{HERE}/table/area_mm2", "S_t", "mm2", "S_f + q * S", "iec.543.1",
            S_f=fixed, q=share, S=across,
        )
    }  # fmt: skip
    if energy is not None:
        k = draft.read(
            f"{HERE}/k", "k", "A s^0.5/mm2", table="adiabatic",
            key=adiabatic_row(installed, line), column="k", rule="iec.543.1",
        )  # fmt: skip
        asks["S_k"] = draft.work(
            f"{HERE}/heat/area_mm2", "S_k", "mm2", "sqrt(E) / k", "iec.543.1", E=energy, k=k
        )
    formula = f"max({', '.join(asks)})" if len(asks) > 1 else "S_t"
    wanted = draft.work(f"{HERE}/wanted_mm2", "S_w", "mm2", formula, "iec.543.1", **asks)
    key = smallest_of_area(book, installed, wanted.value)
    stated_size(draft, f"{HERE}/size", key, installed.metal, "iec.543.1", [("S_w", wanted)])
    return key


def protective_conductor(
    draft: Draft, installed: Conditions, key: str, length: Figure, *, reinforced: bool
) -> Conductor:
    """Return the protective conductor of a size.

    Args:
        draft: Sheet of the circuit.
        installed: How it is installed.
        key: Its size.
        length: One-way length [m].
        reinforced: What the circuit feeds leaks more than one conductor may carry alone: a second
            one of the same size runs beside it where it is smaller than the rule asks for.
    """
    name = f"reinforced_{installed.material}_mm2"
    least = draft.factor(f"{HERE}/reinforced_mm2", "S_min", name, "mm2")
    second = reinforced and float(key) < least.value
    count = 2 if second else 1
    draft.work(f"{HERE}/count", "n", "", str(count), "iec.543.7" if second else "iec.543.1")
    if second:
        draft.find(
            "protection.reinforced-earth", "caution", "iec.543.7", "least=mm2",
            size=size_name(key), least=least,
        )  # fmt: skip
    length_m = draft.work(f"{HERE}/length_m", "L", "m", "L", "iec.543.1", L=length)
    return Conductor(
        size=size_name(key),
        area_mm2=area(draft, f"{HERE}/area_mm2", key).value,
        material=installed.material,
        insulation=installed.insulation,
        count=count,
        ampacity_a=None,
        length_m=length_m.value,
    )


def fault_heat(
    draft: Draft,
    installed: Conditions,
    sizes: tuple[str, str],
    least: Figure | None,
    time: Figure | None,
) -> None:
    """Say where the smallest fault, lasting as long as it may, heats a conductor too much.

    It is asked where no instantaneous trip ends the fault: behind fuses, and where a residual
    current device does.

    Args:
        draft: Sheet of the circuit; the steps stand below ``fault``.
        installed: How it is installed.
        sizes: Of line and protective conductor.
        least: Smallest fault current at the end [A].
        time: Longest time that it may last [s].
    """
    if least is None or time is None:
        return
    smallest = min(sizes, key=float)
    k = draft.read(
        "fault/k", "k", "A s^0.5/mm2", table="adiabatic", key=adiabatic_row(installed, smallest),
        column="k", rule="iec.434.5.2",
    )  # fmt: skip
    needed = draft.work(
        "fault/heat_mm2", "S", "mm2", "I_f * sqrt(t) / k", "iec.434.5.2", I_f=least, t=time, k=k
    )
    if needed.value > float(smallest) * (1 + 1e-9):
        draft.find(
            "protection.conductor-heat", "caution", "iec.434.5.2", "needed=mm2 time=s",
            size=size_name(smallest), needed=needed, time=time,
        )  # fmt: skip
