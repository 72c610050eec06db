"""What a start does to the public supply: voltage change, and the operator's own limits."""

from ampwright.families.iec.draft import Draft
from ampwright.records.supply import Supply
from ampwright.region import CircuitDemand, ServiceDemand
from ampwright.step import Figure

HERE = "disturbance"


def disturbance(draft: Draft, demand: CircuitDemand, supply: Supply, current: Figure) -> None:
    """Say what the start of a circuit at the panel does to the supply; its steps: ``disturbance``.

    The change is counted from nothing, as before the first start on the circuit; where others run
    on it already it is on the safe side.

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
        f"{HERE}/change_fraction", "d_max", "", "I_s * Z / U", "iec.61000-3-3",
        I_s=demand.starting_current, Z=_impedance(draft, supply), U=demand.voltage,
    )  # fmt: skip
    limit = draft.factor(f"{HERE}/limit_fraction", "d", "voltage_change")
    if fraction.value <= limit.value:
        return
    rule = "iec.61000-3-3"
    if current.value > book.factor("voltage_change_small_a"):
        # up to its end the one standard holds, beyond it only what the operator says
        within = current.value <= book.factor("voltage_change_large_a")
        rule = "iec.61000-3-11" if within else "iec.operator"
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
        if row["contract_va"] and float(row["contract_va"]) != supply.contract_va:
            continue
        key = row["row"]
        known = known or bool(row["largest_start_a"])
        if row["largest_start_a"] and demand.starting_current is not None:
            _start(draft, demand, demand.starting_current, key)
        if row["largest_single_phase_va"] and demand.phases == 1:
            _power(draft, demand.voltage, current, key)
        if row["largest_single_phase_motor_w"]:
            _motors(draft, demand, key)
    stated = supply.starting_limit_a is not None or supply.starting_limited is False
    if not known and not stated and demand.starting_current is not None:
        draft.ask_everywhere("authority.starting-limit", "supply.starting_limit", "safety")


def _limit(draft: Draft, key: str, column: str, symbol: str, unit: str) -> Figure:
    return draft.read(
        f"{HERE}/{key}/{column}", symbol, unit, table="utility_limits", key=key, column=column,
        rule="iec.operator",
    )  # fmt: skip


def _start(draft: Draft, demand: CircuitDemand, start: Figure, key: str) -> None:
    most = _limit(draft, key, "largest_start_a", "I_0", "A")
    if draft.book.row("utility_limits", key)["start_a_per_kw"] and demand.motors:
        powers = {f"P{n}": one.power for n, one in enumerate(demand.motors)}
        largest = f"max({', '.join(powers)})" if len(powers) > 1 else "P0"
        most = draft.work(
            f"{HERE}/{key}/limit_a", "I_max", "A",
            f"I_0 + k * max({largest} / 1000 - P_0, 0)", "iec.operator", I_0=most,
            k=_limit(draft, key, "start_a_per_kw", "k", "A/kW"),
            P_0=_limit(draft, key, "start_over_kw", "P_0", "kW"), **powers,
        )  # fmt: skip
    if start.value > most.value:
        draft.find(
            "supply.operator-start-limit", "caution", "iec.operator", "current=A limit=A",
            current=start, limit=most, statement=key, seen=_seen(draft, key),
        )  # fmt: skip


def _power(draft: Draft, voltage: Figure, current: Figure, key: str) -> None:
    most = _limit(draft, key, "largest_single_phase_va", "S_max", "VA")
    need = draft.work(
        f"{HERE}/{key}/need_va", "S", "VA", "U * I", "iec.operator", U=voltage, I=current
    )
    if need.value > most.value:
        draft.find(
            "supply.operator-power-limit", "caution", "iec.operator", "need=VA limit=VA",
            need=need, limit=most, statement=key, seen=_seen(draft, key),
        )  # fmt: skip


def on_one_phase(draft: Draft, demand: ServiceDemand, supply: Supply, running: Figure) -> None:
    """Compare what runs at once on one phase with what the operator allows there.

    Such a limit holds for an installation, not for a piece: of several circuits from the board,
    each of which keeps it, the sum may not. What is there already is not counted, for nobody knows
    on which phase it is. One circuit alone is held against it where it is sized.

    Args:
        draft: Sheet of the service.
        demand: What was asked of it.
        supply: The supply.
        running: Largest current of what the plan adds and runs at once [A].
    """
    several = [one for one in demand.circuits if not one.fed_from and one.phases == 1]
    if supply.source != "utility" or len(several) < 2:
        return
    for row in draft.book.tables["utility_limits"].rows:
        other = row["contract_va"] and float(row["contract_va"]) != supply.contract_va
        if row["largest_single_phase_va"] and not other:
            _power(draft, demand.voltage, running, row["row"])


def _motors(draft: Draft, demand: CircuitDemand, key: str) -> None:
    alone = [one for one in demand.motors if one.phases == 1]
    if not alone:
        return
    most = _limit(draft, key, "largest_single_phase_motor_w", "P_max", "W")
    largest = max(alone, key=lambda one: one.power.value)
    if largest.power.value > most.value:
        draft.find(
            "supply.operator-motor-limit", "caution", "iec.operator", "power=W limit=W",
            power=largest.power, limit=most, statement=key, seen=_seen(draft, key),
        )  # fmt: skip


def _seen(draft: Draft, key: str) -> str:
    return draft.book.row("utility_limits", key)["seen"]
