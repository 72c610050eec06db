"""The voltage relay that drops a circuit whose made leg has collapsed: its volts and its delay."""

from ampwright.equipment.device import ProtectiveDevice
from ampwright.families.nec.draft import Draft
from ampwright.region import CircuitDemand
from ampwright.step import Figure

RULE = "nec.250.4(A)(5)"
HERE = "guards/voltage-relay"


def voltage_relay(
    draft: Draft, demand: CircuitDemand, loop: tuple[Figure, ...], least: Figure | None
) -> ProtectiveDevice:
    """Return the relay, set below what runs and above what a fault leaves, and said what it asks.

    It measures between the lines at the head of the circuit. A fault to earth on the made leg
    brings that leg to earth but for what its current drops along the circuit, so that between the
    lines there stays the voltage to earth of the others. How far below the lowest running voltage
    it is set, and how much longer than the longest start it waits, is common practice without a
    source.

    Args:
        draft: Sheet of the circuit; the steps stand below ``guards/voltage-relay``.
        demand: The circuit.
        loop: Impedance of line and grounding conductor along it [ohm]; empty: not reckoned.
        least: Smallest fault current at its end [A]; ``None``: not known.
    """
    draft.work(f"{HERE}/poles", "n", "", "3", RULE)
    running = demand.lowest_running
    if running is None:
        return ProtectiveDevice(id="voltage-relay", kind="voltage-relay", poles=3)
    margin = _practice(draft, "margin", "k", "relay_margin")
    volts = draft.work(f"{HERE}/setting_v", "U_set", "V", "k * U_run", RULE, k=margin,
                       U_run=running)  # fmt: skip
    wait = _practice(draft, "wait", "k", "relay_wait")
    longest = demand.longest_start or _practice(draft, "start_s", "t_start", "start_time_s", "s")
    delay = draft.work(f"{HERE}/delay_s", "t_set", "s", "k * t_start", RULE, k=wait,
                       t_start=longest)  # fmt: skip
    left = _left(draft, demand, loop, least)
    if left is not None and left.value >= volts.value:
        draft.find(
            "protection.relay-cannot-tell", "caution", RULE, "left=V running=V", left=left,
            running=running,
        )  # fmt: skip
    return ProtectiveDevice(
        id="voltage-relay",
        kind="voltage-relay",
        poles=3,
        setting_v=volts.value,
        delay_s=delay.value,
    )


def _practice(draft: Draft, name: str, symbol: str, key: str, unit: str = "") -> Figure:
    return draft.read(
        f"{HERE}/{name}", symbol, unit, table="breaker_band", key=key, column="value", rule=RULE
    )


def _left(
    draft: Draft, demand: CircuitDemand, loop: tuple[Figure, ...], least: Figure | None
) -> Figure | None:
    """State what a fault on the made leg leaves between the lines at the head [V]."""
    legs = {f"V{n}": leg for n, leg in enumerate(demand.voltage_to_earth)}
    if not legs:
        return None
    formula, drops = f"min({', '.join(legs)})", {}
    if least is not None and loop:
        formula = f"{formula} + I_f * (Z_p + Z_g)"
        drops = {"I_f": least, "Z_p": loop[0], "Z_g": loop[1]}
    return draft.work(f"{HERE}/left_v", "U_left", "V", formula, RULE, **legs, **drops)
