"""What starts and how: a machine with its inertia, and the stages of its starter."""

import math
from collections.abc import Sequence
from typing import NamedTuple

from ampwright.kernels.induction import InductionCircuit
from ampwright.kernels.network import Legs, Rotor


class Shaft(NamedTuple):
    """A machine with what turns on its shaft.

    Attributes:
        rotor: Circuit, load law and, where it counts, main-flux saturation.
        inertia_kg_m2: Of rotor and load together, referred to the rotor.
        slip: At which it runs; 1 stands still.
    """

    rotor: Rotor
    inertia_kg_m2: float
    slip: float = 1.0


class Stage(NamedTuple):
    """One stage of a start; the stages follow each other.

    Attributes:
        until_speed: Share of synchronous speed at which the next stage follows.
        longest_s: Time after which the next stage follows at any speed.
        voltage_ratio: Voltage at the winding over the voltage of the lines.
        current_ratio: Line current over the current that the machine draws at that voltage.
        current_limit_a: Largest line current; the voltage is lowered to hold it.
        rotor_ohm: Added to the rotor circuit of a wound rotor, star-equivalent, referred.
        legs: Branches connected in this stage beside the permanent ones.
    """

    until_speed: float = 1.0
    longest_s: float = math.inf
    voltage_ratio: float = 1.0
    current_ratio: float = 1.0
    current_limit_a: float = math.inf
    rotor_ohm: float = 0.0
    legs: Legs = Legs()

    @property
    def limited(self) -> bool:
        """Whether the current is held at a limit; in columns every limit is finite or none is."""
        limit = self.current_limit_a
        return not (isinstance(limit, float) and limit == math.inf)


DIRECT = Stage()


def star_delta(change_speed: float, timer_s: float) -> tuple[Stage, Stage]:
    """Return a star-delta start that changes over at a share of speed, or by timer if it hangs.

    In star the winding has 1/√3 of its voltage and the line carries 1/√3 of its delta current.
    """
    ratio = 1.0 / math.sqrt(3.0)
    star = Stage(
        until_speed=change_speed, longest_s=timer_s, voltage_ratio=ratio, current_ratio=ratio
    )
    return star, DIRECT


def soft(current_limit_a: float) -> tuple[Stage]:
    """Return a start whose line current is held at a limit by lowering the motor's voltage.

    A voltage ramp that ends before the machine is up ends in this state; the time of the ramp
    adds to the run-up.
    """
    return (Stage(current_limit_a=current_limit_a),)


def rotor_resistance(
    steps_ohm: Sequence[float], change_speeds: Sequence[float]
) -> tuple[Stage, ...]:
    """Return the start of a wound rotor whose added resistances are cut one after the other.

    Args:
        steps_ohm: Added resistance of each step, star-equivalent, referred to the stator.
        change_speeds: Share of synchronous speed at which each step is left.

    Raises:
        ValueError: The lengths differ.
    """
    if len(steps_ohm) != len(change_speeds):
        raise ValueError(f"wanted a speed for each of {len(steps_ohm)} steps, got {change_speeds}")
    steps = zip(steps_ohm, change_speeds, strict=True)
    return (*(Stage(until_speed=speed, rotor_ohm=ohm) for ohm, speed in steps), DIRECT)


def capacitor_start(legs: Legs, cut_out_speed: float) -> tuple[Stage, Stage]:
    """Return a start with extra branches that are cut out at a share of synchronous speed."""
    return Stage(until_speed=cut_out_speed, legs=legs), DIRECT


def connected(
    circuit: InductionCircuit, stage: Stage, voltage_ratio: float
) -> tuple[InductionCircuit, float]:
    """Return a machine as the lines see it through its starter, and the factor of its torque.

    Args:
        circuit: The machine.
        stage: How it is connected.
        voltage_ratio: Voltage at the winding over that of the lines, after any current limit.

    Returns:
        A circuit that draws the line currents; its torque times the factor is the true one.

    Raises:
        ZeroDivisionError: A ratio is zero.

    Accuracy:
        Exact for star and delta. For phase control it holds for the fundamental wave.

    Source:
        Ideal three-phase two-port: voltages times one ratio, currents times the other.
    """
    scale = 1.0 / (voltage_ratio * stage.current_ratio)
    scaled = circuit._replace(
        r1_ohm=circuit.r1_ohm * scale,
        x1_ohm=circuit.x1_ohm * scale,
        xm_ohm=circuit.xm_ohm * scale,
        ri_ohm=(circuit.ri_ohm + stage.rotor_ohm) * scale,
        xi_ohm=circuit.xi_ohm * scale,
        ro_ohm=(circuit.ro_ohm + stage.rotor_ohm) * scale,
        xo_ohm=circuit.xo_ohm * scale,
        rc_ohm=circuit.rc_ohm * scale,
        series_ohm=circuit.series_ohm * scale,
        rated_current_a=circuit.rated_current_a * stage.current_ratio,
    )
    return scaled, voltage_ratio / stage.current_ratio


def limited_ratio(stage: Stage, ratio: float, line_a: tuple[float, float, float]) -> float:
    """Return the voltage ratio that brings the largest line current to the stage's limit."""
    a, b, c = line_a
    largest = (a + b + abs(a - b)) / 2.0
    largest = (largest + c + abs(largest - c)) / 2.0
    wanted = ratio * stage.current_limit_a / largest
    return (wanted + stage.voltage_ratio - abs(wanted - stage.voltage_ratio)) / 2.0
