"""A circuit that ends in a plug: which socket-outlet and which flexible cable."""

from ampwright.families.iec.ampacity import ROUNDING, carries, sizes, tabled
from ampwright.families.iec.book import size_name
from ampwright.families.iec.conditions import Conditions
from ampwright.families.iec.corrections import corrections
from ampwright.families.iec.draft import Draft
from ampwright.region import CircuitDemand
from ampwright.step import Figure, Worksheet


def cord_and_plug(
    draft: Draft, demand: CircuitDemand, installed: Conditions, current: Figure, device: Figure
) -> None:
    """Say which socket-outlet and which flexible cable a circuit ends in; steps: ``cord``.

    A socket-outlet is rated at least like its device; the cable carries at least the rating, since
    the device is all that protects it from overload.
    """
    marking = _socket(draft, demand, device)
    size = _cable(draft, demand.phases, installed, device)
    draft.find(
        "protection.plug-rating", "caution", "iec.60309-2", "needed=A",
        receptacle=marking, cord=size, needed=current,
    )  # fmt: skip


def _socket(draft: Draft, demand: CircuitDemand, device: Figure) -> str:
    phases, poles = demand.phases, (3 if demand.phases == 3 else 2) + demand.neutral
    for row in draft.book.tables["sockets"].rows:
        fits = int(row["phases"]) == phases and int(row["poles"]) == poles
        if fits and float(row["rating_a"]) >= device.value:
            draft.read(
                "cord/socket_a", "I_n", "A", table="sockets", key=row["row"], column="rating_a",
                rule="iec.60309-2", inputs=[("I_n", device)],
            )  # fmt: skip
            return row["row"]
    return ""


def _cable(draft: Draft, phases: int, installed: Conditions, device: Figure) -> str:
    book = draft.book
    row = book.row("installations", "cord")
    kind = book.row("insulation", row["insulation"])
    own = Draft(book, Worksheet(f"{draft.sheet.prefix}/cord"), draft.where)
    limit = own.read(
        "limit_c", "T_max", "degC", table="insulation", key=row["insulation"], column="limit_c",
        rule="iec.523",
    )  # fmt: skip
    laid = installed._replace(
        material="copper", insulation=row["insulation"], group=kind["class"],
        limit=limit, flexible=True, method=row["method"],
        method_three=row.get("method_three") or row["method"], grouping=row["grouping"],
        ground=False,
        circuits=own.sheet.assumed(
            "circuits", "n_g", 1.0, "", source=book.rules["iec.523.5"], rule="iec.523.5"
        ),
        soil=None,
    )  # fmt: skip
    corrected = corrections(own, laid, 3 if phases == 3 else 2)
    if corrected is None:
        return ""
    draft.everywhere("conductor.cord-derived", insulation=row["insulation"])
    least = device.value * (1 - ROUNDING)
    fits = (key for key in sizes(book, laid, corrected) if carries(book, corrected, key) >= least)
    key = next(fits, None)
    if key is not None:
        table = tabled(own, "cable", corrected, key)
        own.work("cable/ampacity_a", "I_z", "A", corrected.formula, "iec.523",
                 I_t=table, **corrected.factors)  # fmt: skip
    for step in own.sheet.steps:
        draft.sheet.put(step)
    return size_name(key) if key else ""
