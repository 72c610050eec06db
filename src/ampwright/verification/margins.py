"""What a plan calls feasible keeps the limits that it states."""

from ampwright.method import State
from ampwright.option import Option
from ampwright.verification.ledger import Ledger

RULE = "plan.limit"
_LAST = "not-feasible"


def check_margins(ledger: Ledger) -> None:
    """Check starts and operating points of every option against the limits."""
    for option in ledger.decision.options:
        _starts(ledger, option)
        by_id = {one.id: one for one in option.converters}
        for state in option.states:
            converter = by_id.get(state.converter)
            if converter is None:
                continue
            if any(option.verdicts.get(one, _LAST) != _LAST for one in converter.machines):
                _state(ledger, option, state, converter.output_voltage_v)


def _starts(ledger: Ledger, option: Option) -> None:
    longest = ledger.number("limits/run-up-time")
    margin = ledger.number("limits/start-torque-margin")
    for start in option.starts:
        path = f"options/{option.id}/starts/{start.id}"
        if option.verdicts.get(start.id, _LAST) == _LAST:
            continue
        if longest is not None and start.time_s is not None and start.time_s > longest:
            ledger.breach(RULE, f"{path}/time_s", longest, start.time_s, "s")
        torque, needed = start.torque_nm, start.needed_torque_nm
        if (
            margin is not None
            and torque is not None
            and needed is not None
            and torque < margin * needed * (1 - 1e-9)
        ):
            ledger.breach(RULE, f"{path}/torque_nm", margin * needed, torque, "N m")


def _state(ledger: Ledger, option: Option, state: State, volts: float) -> None:
    path = f"options/{option.id}/states/{state.id}"
    over = ledger.number("limits/leg-overvoltage")
    highest = max(state.line_voltage_v, default=0.0)
    if over is not None and highest > over * volts * (1 + 1e-9):
        ledger.breach(RULE, f"{path}/line_voltage_v", over * volts, highest, "V")
    most = ledger.number("limits/idler-winding")
    if most is None or state.load != "average":
        return
    for motor in state.motors:
        if "/" not in motor.id and motor.winding_fraction > most * (1 + 1e-9):
            place = f"{path}/motors/{motor.id}/winding_fraction"
            ledger.breach(RULE, place, most, motor.winding_fraction)
