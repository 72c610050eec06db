"""The rated power that counts of a motor whose plate may contradict itself."""

import math

from ampwright.verification.ledger import Ledger

RULE = "plan.contradiction"
SAID = "nameplate.implausible"


def rated_power(
    ledger: Ledger,
    motor: str,
    stated: float | None,
    volts: float,
    amperes: float | None,
    phases: int,
) -> float | None:
    """Return the shaft power of a motor [W]; ``None`` where it is not known.

    It is the one on the plate. No motor gives more than the voltamperes that it draws: where the
    plate says so, what the plan derived from its voltage and current counts, and has to be said.

    Args:
        ledger: The ledger.
        motor: Path of the motor, ``"machines/saw/motors/0"``.
        stated: Power on the plate [W].
        volts: Rated voltage as it is linked on the plate [V].
        amperes: Current on the plate at that voltage [A].
        phases: One or three.
    """
    if stated is None or amperes is None:
        return stated
    factor = math.sqrt(3.0) if phases == 3 else 1.0
    derived = ledger.number(f"{motor}/power")
    if stated <= factor * volts * amperes or derived is None:
        return stated
    if not is_said_contradicted(ledger, motor.split("/")[1]):
        ledger.breach(RULE, f"{motor}/power", stated, "nothing said", "W")
    return derived


def is_said_contradicted(ledger: Ledger, machine: str) -> bool:
    """Tell whether the plan says that the plate of *machine* contradicts itself."""
    return any(one.code == SAID and machine in one.where for one in ledger.decision.findings)
