"""What a start does to the public supply: voltage change, and the operator's own limits."""

from ampwright.families.iec.draft import Draft
from ampwright.records.supply import Supply
from ampwright.region import CircuitDemand
from ampwright.step import Figure

HERE = "disturbance"


def disturbance(draft: Draft, demand: CircuitDemand, supply: Supply, current: Figure) -> None:
    """Say what the start of a circuit at the panel does to the supply; its steps: ``disturbance``.

    Args:
        draft: Sheet of the circuit.
        demand: What was asked.
        supply: The supply.
        current: Design current [A].
    """
    if demand.fed_from or supply.source != "utility":
        return
    _operator(draft, demand, supply, current)
    if demand.starting_current is None:
        return
    book = draft.book
    fraction = draft.work(
        f"{HERE}/change_fraction", "d_max", "", "max(I_s - I_r, 0) * Z / U", "iec.61000-3-3",
        I_s=demand.starting_current, I_r=demand.running_current,
        Z=_impedance(draft, supply), U=demand.voltage,
    )  # fmt: skip
    limit = draft.factor(f"{HERE}/limit_fraction", "d", "voltage_change")
    if fraction.value <= limit.value:
        return
    large = current.value > book.factor("voltage_change_small_a")
    rule = "iec.61000-3-11" if large else "iec.61000-3-3"
    seldom = draft.factor(f"{HERE}/seldom_fraction", "d", "voltage_change_seldom")
    draft.find(
        "supply.voltage-change", "caution", rule,
        change=fraction, limit=limit, seldom=seldom,
        impedance="stated" if supply.impedance_ohm is not None else "reference",
    )  # fmt: skip


def _impedance(draft: Draft, supply: Supply) -> Figure:
    if supply.impedance_ohm is not None:
        value = float(supply.impedance_ohm)
        return draft.sheet.given(f"{HERE}/impedance_ohm", "Z", value, "ohm")
    return draft.factor(f"{HERE}/impedance_ohm", "Z_ref", "reference_impedance_ohm", "ohm")


def _operator(draft: Draft, demand: CircuitDemand, supply: Supply, current: Figure) -> None:
    """Compare with the operator's limits as far as the region knows them; else ask."""
    known = False
    for row in draft.book.tables["utility_limits"].rows:
        start, largest = row["largest_start_a"], row["largest_single_phase_va"]
        if start:
            known = True
            if demand.starting_current is not None:
                _start(draft, demand.starting_current, row["row"])
        if largest:
            known = True
            _power(draft, demand, current, row["row"])
    stated = supply.starting_limit_a is not None or supply.starting_limited is False
    if not known and not stated and demand.starting_current is not None:
        draft.ask_everywhere("authority.starting-limit", "supply.starting_limit", "safety")


def _start(draft: Draft, start: Figure, key: str) -> None:
    most = draft.read(
        f"{HERE}/{key}/largest_start_a", "I_max", "A", table="utility_limits", key=key,
        column="largest_start_a", rule="iec.operator",
    )  # fmt: skip
    if start.value > most.value:
        draft.find(
            "supply.operator-start-limit", "caution", "iec.operator", "current=A limit=A",
            current=start, limit=most, statement=key,
            seen=draft.book.row("utility_limits", key)["seen"],
        )  # fmt: skip


def _power(draft: Draft, demand: CircuitDemand, current: Figure, key: str) -> None:
    most = draft.read(
        f"{HERE}/{key}/largest_single_phase_va", "S_max", "VA", table="utility_limits", key=key,
        column="largest_single_phase_va", rule="iec.operator",
    )  # fmt: skip
    need = draft.work(
        f"{HERE}/{key}/need_va", "S", "VA", "U * I", "iec.operator", U=demand.voltage, I=current
    )
    if need.value > most.value:
        draft.find(
            "supply.operator-power-limit", "caution", "iec.operator", "need=VA limit=VA",
            need=need, limit=most, statement=key,
            seen=draft.book.row("utility_limits", key)["seen"],
        )  # fmt: skip
