"""The start of the idler by a pony motor, where its own start would be too much for the supply."""

from typing import NamedTuple

from ampwright.kernels.network import Rotor, State, at_slips
from ampwright.methods.rotary.setup import FIGURES, figure
from ampwright.methods.rotary.trial import Trial, inertia
from ampwright.plugin import Figure, Finding, Source, Start, Worksheet, parameters

MODEL = Source(document="network with the idler turning below its speed", known="model")
MOTION = Source(document="inertia over torque", known="derived")
#: Share of a transformer's rating that a start may draw where neighbours hang on it too: common
#: practice, no source.
SHARED = 0.5


class Pony(NamedTuple):
    """An idler that is switched on while a pony motor turns it.

    Attributes:
        at: The network at the moment of switching on, of several idlers the last one.
        direct_a: Current from the supply if it started on its capacitor [A].
        reasons: Why that is too much.
    """

    at: State
    direct_a: float
    reasons: tuple[str, ...]

    @property
    def current_a(self) -> float:
        """Current from the supply at the moment of switching on [A]."""
        return max(abs(one) for one in self.at.source_a[:2])


def too_much(trial: Trial, amperes: float) -> tuple[str, ...]:
    """Return why a start that draws *amperes* is too much for the supply."""
    case = trial.setup.case
    supply, volts = case.shop.supply, case.supply.voltage.value
    share = SHARED if supply.transformer_sole_use is False else 1.0
    bounds = {
        "limit": supply.starting_limit_a,
        "surge": None if supply.surge_va is None else supply.surge_va / volts,
        "transformer": None
        if supply.transformer_va is None
        else share * supply.transformer_va / volts,
        "drop": case.limits["supply-start-drop"].value * volts / case.supply.impedance.value,
    }
    return tuple(name for name, most in bounds.items() if most is not None and amperes > most)


def asked(trial: Trial, direct_a: float) -> Pony | None:
    """Return the start by a pony motor; ``None`` where the idler may start on its capacitor.

    Args:
        trial: The idler as built.
        direct_a: Current from the supply during its start on the capacitor [A].
    """
    reasons = too_much(trial, direct_a)
    if not reasons:
        return None
    one, before = Rotor(trial.idler.of(1).found.circuit), trial.first(trial.idler.abreast - 1)
    slips = (*(each.slip for each in before), 1.0 - figure("pony_speed"))
    rotors = (*(each.rotor for each in before), one)
    at = at_slips(trial.setup.source, trial.legs, rotors, slips)
    found = Pony(at, direct_a, reasons)
    return found if found.current_a < direct_a else None


def record(trial: Trial, pony: Pony, name: str, sheet: Worksheet) -> Start:
    """Return the start as a record: from the moment that the idler is switched on."""
    part = sheet.under(f"starts/{name}")
    speed = planned("pony_speed", part)
    rotor = pony.at.rotors[-1]
    inputs = [("n", speed), ("U", trial.setup.case.supply.voltage)]

    def put(field: str, symbol: str, value: float, unit: str) -> Figure:
        return part.solved(field, symbol, value, unit, model="run-up", source=MODEL,
                           residual=pony.at.residual, inputs=inputs)  # fmt: skip

    torque = put("torque_nm", "T", rotor.machine.shaft_torque_nm, "N m")
    pull = put("pull_in_nm", "T", rotor.machine.shaft_torque_nm, "N m")
    own = inertia(trial.idler.of(1))
    turning = part.assumed("inertia", "J", own, "kg m2", source=FIGURES.source())
    omega = 6.283185307179586 * trial.setup.frequency_hz / 2.0
    synchronous = part.assumed("synchronous", "w", omega, "1/s", source=MOTION)
    time = part.formula("time_s", "t", "s", "J * w * (1 - n) / T", J=turning, w=synchronous,
                        n=speed, T=pull, source=MOTION)  # fmt: skip
    line = max(rotor.line_a)
    return Start(
        id=name,
        converter="",
        runs_up=True,
        time_s=time.value,
        lowest_voltage_v=put("lowest_voltage_v", "U_min", min(pony.at.line_v), "V").value,
        current_a=put("current_a", "I", pony.current_a, "A").value,
        motor_current_a=put("motor_current_a", "I_m", line, "A").value,
        motor_peak_a=put("motor_peak_a", "I_p", line, "A").value,
        torque_nm=torque.value,
        needed_torque_nm=put("needed_torque_nm", "T_b", 0.0, "N m").value,
    )


def planned(name: str, part: Worksheet) -> Figure:
    """Return a planning value as a figure."""
    return part.assumed(
        name, name, figure(name), "", source=FIGURES.source(), low=figure(name, "low"),
        high=figure(name, "high"),
    )  # fmt: skip


def about(trial: Trial, pony: Pony, name: str, place: str, sheet: Worksheet) -> Finding:
    """Return what there is to say about the start by a pony motor."""
    part = sheet.under(f"pony/{name}")
    field = "idler_power_w" if trial.idler.abreast == 1 else "each_idler_w"
    idler = Figure(trial.idler.of(1).power_w, f"{place}/converters/{name}/{field}")
    motor = part.formula("power", "P", "W", "k * P", k=planned("pony_share", part), P=idler)
    direct = part.solved("direct_a", "I", pony.direct_a, "A", model="run-up", source=MODEL,
                         residual=0.0, inputs=[("P", idler)])  # fmt: skip
    drawn = Figure(pony.current_a, f"{place}/starts/{name}/current_a")
    return Finding(
        code="rotary.pony-start", severity="caution", where=(name,),
        parameters=parameters("power=W current=A direct=A", power=motor, current=drawn,
                              direct=direct, reason=", ".join(pony.reasons)),
    )  # fmt: skip
