"""How each motor is linked for the lines that feed it, as far as the plan's own records tell."""

import math
from collections.abc import Iterator, Mapping
from pathlib import Path

import attrs

from ampwright.case import VOLTAGE_TOLERANCE
from ampwright.decision import Decision
from ampwright.diagram.wires import wires
from ampwright.equipment.circuit import Circuit
from ampwright.nameplate.plate import read_plate
from ampwright.option import Option
from ampwright.records.machine import Machine
from ampwright.records.motor import Motor, Rating
from ampwright.report.phrases import machines_by_id
from ampwright.tables import read_table

TERMINALS = Path(__file__).with_name("terminals.csv")
#: How near to each other two ratios of voltages count as the same.
CLOSE = 0.03
#: What a machine states where its starter makes the links.
STARTER = "star-delta"


@attrs.frozen(kw_only=True)
class Leads:
    """The leads of a motor by what they are joined to.

    Attributes:
        lines: Leads on line 1, 2 and 3.
        joined: Leads that are joined to each other alone.
    """

    lines: tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]]
    joined: tuple[tuple[str, ...], ...] = ()


@attrs.frozen(kw_only=True)
class MotorLink:
    """How a motor is linked for its lines.

    Attributes:
        motor: Id of the motor.
        volts: Voltage of the lines [V].
        plate_v: Voltages of its plate, in the order of the plate [V].
        rating_v: Voltage that it is linked for [V]; ``None``: none of the plan's suits.
        link: ``"star"``, ``"delta"``, ``"double-star"`` or ``"double-delta"``; ``""``: not known.
        leads: How many leads it has brought out; ``None``: not known.
        by_starter: Its starter makes the links.
        lines: Names of its three lines.
    """

    motor: str
    volts: float
    plate_v: tuple[float, ...] = ()
    rating_v: float | None = None
    link: str = ""
    leads: int | None = None
    by_starter: bool = False
    lines: tuple[str, ...] = ("L1", "L2", "L3")

    def terminals(self, marking: str) -> Leads | None:
        """Return where its leads go; ``None`` where that is not known.

        Args:
            marking: How leads are marked where there are two ways, ``"iec"`` or ``"ansi"``.
        """
        fitting = {
            row["marking"]: row
            for row in read_table(TERMINALS).rows
            if (row["leads"], row["connection"]) == (str(self.leads), self.link)
        }
        row = fitting.get(marking) or next(iter(fitting.values()), None)
        if row is None or self.by_starter:
            return None
        first, second, third = (tuple(row[f"line_{n}"].split("+")) for n in (1, 2, 3))
        joined = tuple(tuple(group.split("+")) for group in row["joined"].split())
        return Leads(lines=(first, second, third), joined=joined)


def _feeding(option: Option) -> Mapping[str, Circuit]:
    """Return the circuit next to each machine, which is the last one that names it."""
    return {name: one for one in option.circuits for name in one.feeds}


def motor_links(decision: Decision, option: Option) -> tuple[MotorLink, ...]:
    """Return every motor that a three-phase circuit of *option* feeds, by its plate.

    Args:
        decision: The plan; its steps say where a motor is linked anew.
        option: The option.
    """
    feeding = _feeding(option)
    anew = _anew(decision)
    found: list[MotorLink] = []
    for name, machine in machines_by_id(decision).items():
        fed = feeding.get(name)
        if fed is not None and fed.phases == 3:
            held = wires(fed, decision.shop.supply)
            lines = tuple(held.name(wire) for wire in held.lines)
            motors = _machine(decision, machine, name, fed.voltage_v, anew)
            found += [attrs.evolve(one, lines=lines) for one in motors]
    return tuple(found)


def _anew(decision: Decision) -> Mapping[str, tuple[tuple[str, float], ...]]:
    """Return link and voltage of each motor that may be linked anew, by the place of its steps."""
    found: dict[str, tuple[tuple[str, float], ...]] = {}
    for step in decision.steps:
        place, anew, link = step.path.partition("/relinked/")
        if anew and link.endswith("/voltage") and isinstance(step.value, float):
            pair = (link.removesuffix("/voltage"), step.value)
            found[place] = (*found.get(place, ()), pair)
    return found


def _machine(
    decision: Decision,
    machine: Machine,
    name: str,
    volts: float,
    anew: Mapping[str, tuple[tuple[str, float], ...]],
) -> Iterator[MotorLink]:
    motors = machine.motors
    if machine.plate is not None:
        motors = read_plate(machine.plate, locale=decision.shop.locale).motors
    by_starter = machine.starter == STARTER
    for n, motor in enumerate(motors):
        if motor.phases == 3:
            others = anew.get(f"machines/{name}/motors/{n}", ())
            one = _linked(motor, volts, decision.shop.supply.frequency_hz, others)
            yield attrs.evolve(one, motor=f"{name}/{n}", by_starter=by_starter)


def _linked(
    motor: Motor, volts: float, hertz: float, others: tuple[tuple[str, float], ...]
) -> MotorLink:
    """Return how *motor* is linked for *volts*: by its plate, or anew as the plan has it."""
    ratings = [one for one in motor.ratings if one.voltage_v is not None]
    here = [one for one in ratings if one.frequency_hz in (None, hertz)] or ratings
    plate = tuple(dict.fromkeys(float(one.voltage_v or 0.0) for one in ratings))
    known = MotorLink(motor="", volts=volts, plate_v=plate, leads=motor.leads)
    suited = [one for one in here if _off(one, volts) <= VOLTAGE_TOLERANCE + 1e-9]
    if suited:
        best = min(suited, key=lambda one: _off(one, volts))
        low_high = sorted(plate)
        pair = low_high if len(low_high) == 2 else []
        link = _link(best, motor.leads, pair)
        leads = motor.leads
        if leads is None and _is(pair, math.sqrt(3.0)) and link in ("star", "delta"):
            leads = 6  # both voltages of a star and a delta need both ends of all three windings
        return attrs.evolve(known, rating_v=best.voltage_v, link=link, leads=leads)
    for link, other in others:
        if abs(volts / other - 1.0) <= VOLTAGE_TOLERANCE + 1e-9:
            return attrs.evolve(known, rating_v=other, link=link)
    return known


def _off(rating: Rating, volts: float) -> float:
    """Return how far *volts* lies from the range of a rating, over that end of it."""
    ends = (float(rating.voltage_v or 0.0), float(rating.voltage_from_v or rating.voltage_v or 0.0))
    if min(ends) <= volts <= max(ends):
        return 0.0
    return min(abs(volts / one - 1.0) for one in ends)


def _is(pair: list[float], ratio: float) -> bool:
    return len(pair) == 2 and abs(pair[1] / pair[0] / ratio - 1.0) < CLOSE


def _link(rating: Rating, leads: int | None, pair: list[float]) -> str:
    """Return the link of a rating: as stated, or as two voltages of one winding tell."""
    low = rating.voltage_v == pair[0] if pair else False
    stated = rating.connection or ""
    if _is(pair, math.sqrt(3.0)) and leads in (None, 6):
        return stated or ("delta" if low else "star")
    if _is(pair, 2.0) and low and stated in ("star", "delta"):
        return f"double-{stated}"
    return stated
