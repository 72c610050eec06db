"""The earth fault on a made leg, reckoned again with the idler's usual circuit."""

import math

from ampwright.equipment.converter import Converter
from ampwright.method import State
from ampwright.option import Option
from ampwright.verification.induction import Machine, Row, bridge, phases, sequences, stamp
from ampwright.verification.ledger import Ledger
from ampwright.verification.machines import machine_at
from ampwright.verification.parts import idlers_of
from ampwright.verification.solved import NODES, Solution, source_of

RULE = "plan.made-leg-fault"
BOLT = 1e5  # conductance of a bolted fault [S]
ROUNDS, SETTLED = 80, 1e-10
#: The plan takes the lower edge of the idler's band and the lower of the currents at speed and
#: after the idler has slowed down: less than the usual circuit at speed gives, but not by far.
LEAST_SHARE, MOST_SHARE = 0.25, 1.0


def check_made_leg_faults(ledger: Ledger) -> None:
    """Check that the fault current stated for every made leg is one that the idler can feed."""
    for option in ledger.decision.options:
        for converter in option.converters:
            path = f"options/{option.id}/wiring/{converter.id}/made_leg_fault"
            found = ledger.number(path)
            if found is not None:
                _check(ledger, option, converter, path, found)


def _check(ledger: Ledger, option: Option, converter: Converter, path: str, found: float) -> None:
    count = idlers_of(option, converter.id)
    name = converter.id if count == 1 else f"{converter.id}.1"
    idler = machine_at(ledger, f"options/{option.id}/idlers/{name}")
    states = [one for one in option.states if one.converter == converter.id and one.set == "idle"]
    lowest = ledger.number("supply/lowest")
    if idler is None or not states or lowest is None:
        ledger.skipped(RULE, path, "the idler's circuit")
        return
    usual = _current(ledger, converter, idler, count, states[0], lowest)
    if not LEAST_SHARE * usual <= found <= MOST_SHARE * usual:
        ledger.breach(RULE, path, usual, found, "A")


def _current(
    ledger: Ledger,
    converter: Converter,
    idler: Machine,
    count: int,
    state: State,
    lowest: float,
) -> float:
    """Return the current of a bolted fault to earth on leg C, its idlers at their speed [A]."""
    supply = ledger.decision.shop.supply
    impedance = complex(
        ledger.number("supply/resistance") or 0.0, ledger.number("supply/reactance") or 0.0
    )
    behind, series = source_of(supply, impedance, state.leg_to_earth_v[2])
    behind = [one * lowest / supply.voltage_v for one in behind]
    turns = 2j * math.pi * supply.frequency_hz
    leakage, current = 1.0, 0.0
    for _ in range(ROUNDS):
        one = idler.sides(state.motors[0].slip, leakage)[0]
        two = idler.sides(2 - state.motors[0].slip, leakage)[0]
        matrix: list[Row] = [[0j] * 3 for _ in range(3)]
        stamp(matrix, count * one, count * two)
        for part in converter.capacitors:
            if part.purpose == "run":
                first, second = (NODES[leg] for leg in part.between)
                bridge(matrix, first, second, turns * part.capacitance_f)
        matrix[2][2] += BOLT
        volts = Solution.of(matrix, behind, series).volts
        current = abs(volts[2]) * BOLT
        positive, negative = sequences(volts)
        lines = phases(one * positive, two * negative)
        again = idler.leakage(math.sqrt(sum(abs(part) ** 2 for part in lines) / 3))
        if abs(again - leakage) < SETTLED:
            break
        leakage = (leakage + again) / 2
    return current
