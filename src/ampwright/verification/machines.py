"""The circuits of motors and idlers: whole, in their bounds, and true to the rated point."""

import math
from collections.abc import Iterator
from itertools import chain

from ampwright.step import Step
from ampwright.verification.induction import Machine
from ampwright.verification.ledger import Ledger, close

RULE = "plan.rated-point"
CLOSE = 1e-6
_SATURATION = (0.4, 1.0)
SETTLING, SETTLED = 60, 1e-13
MOST_RATINGS = 6
WIDEST = 2.0  # a locked-rotor current at the upper edge of its band is no more than twice the usual


def machine_at(ledger: Ledger, place: str) -> Machine | None:
    """Return the circuit whose steps stand below *place*; ``None`` where one is missing."""
    found: list[float] = []
    for name in Machine.__match_args__:
        value = ledger.number(f"{place}/circuit/{name}")
        if value is None and name == "series_ohm":
            value = 0.0  # stated of machines behind a transformer alone
        if value is None:
            return None
        found.append(value)
    return Machine(*found)


def check_machines(ledger: Ledger) -> None:
    """Check every circuit that the plan states, and the rated points found with them."""
    decision = ledger.decision
    for step in chain(decision.steps, *(one.steps for one in decision.options)):
        if step.kind != "solved":
            continue
        place, _, name = step.path.rpartition("/")
        if name == "pole_pairs":
            _bounds(ledger, place.removesuffix("/circuit"))
        elif name == "rated_speed":
            _rated(ledger, step)
        elif name == "start_torque":
            _locked(ledger, step)
        elif name == "current" and place.endswith("/idler"):
            _idler(ledger, step)


def _bounds(ledger: Ledger, place: str) -> None:
    machine = machine_at(ledger, place)
    if machine is None:
        ledger.breach("plan.inputs", f"{place}/circuit", "a whole circuit", "parts of one")
        return
    pairs, frequency = machine.pole_pairs, machine.frequency_hz
    if pairs != round(pairs) or pairs < 1:
        ledger.breach(RULE, f"{place}/circuit/pole_pairs", float(round(pairs)), pairs)
    if not _SATURATION[0] <= machine.saturation <= _SATURATION[1]:
        path = f"{place}/circuit/saturation"
        ledger.breach(RULE, path, _SATURATION[1], machine.saturation)
    if "/referred/" in place:
        _referred(ledger, place, machine)
    known = [ledger.decision.shop.supply.frequency_hz, *_stated_frequencies(ledger, place)]
    if not any(close(one, frequency) for one in known):
        wanted = ledger.decision.shop.supply.frequency_hz
        ledger.breach(RULE, f"{place}/circuit/frequency_hz", wanted, frequency, "Hz")


def _referred(ledger: Ledger, place: str, seen: Machine) -> None:
    """Check a circuit seen through a transformer against that of the motor behind it."""
    option, _, motor = place.partition("/referred/")
    machine, _, number = motor.rpartition("/")
    own = f"machines/{machine}/motors/{number}"
    behind = machine_at(ledger, own)
    rated = ledger.steps.get(f"{own}/rated_speed")
    volts = ledger.number(dict(rated.inputs).get("U", "")) if rated is not None else None
    made = f"{option}/transformers/transformer.{machine}"
    here, series = ledger.number(f"{place}/voltage"), ledger.number(f"{made}/reactance_ohm")
    if behind is None or not volts or here is None or series is None:
        ledger.skipped(RULE, f"{place}/circuit", "the circuit behind the transformer")
        return
    wanted = behind.behind(here / volts, series)
    for name in Machine.__match_args__:
        if not close(getattr(wanted, name), getattr(seen, name), CLOSE):
            path = f"{place}/circuit/{name}"
            ledger.breach(RULE, path, getattr(wanted, name), getattr(seen, name))


def _stated_frequencies(ledger: Ledger, place: str) -> Iterator[float]:
    """Yield the frequencies that the caller or the plate states for the motor at *place*."""
    machine, _, number = place.removeprefix("machines/").partition("/motors/")
    kind = machine.rpartition(":")[0]  # of a copy
    for above in (f"shop/machines/{machine}", f"shop/machines/{kind}", f"machines/{machine}/plate"):
        motor = f"{above}/motors/{number}"
        for part in ("", *(f"ratings/{n}/" for n in range(MOST_RATINGS))):
            value = ledger.number(f"{motor}/{part}frequency_hz")
            if value is not None:
                yield value


def _rated(ledger: Ledger, step: Step) -> None:
    """Check that the machine gives its rated power at the speed found, as rated."""
    place = step.path.removesuffix("/rated_speed")
    machine = machine_at(ledger, place)
    inputs = dict(step.inputs)
    power, volts = ledger.number(inputs.get("P", "")), ledger.number(inputs.get("U", ""))
    if machine is None or power is None or volts is None or isinstance(step.value, str):
        ledger.skipped(RULE, step.path, "the circuit, its power and its voltage")
        return
    machine = machine.at(ledger.number(inputs.get("f", "")) or machine.frequency_hz)
    slip = 1 - step.value / machine.synchronous
    admittance, gap, rotor = machine.sides(slip, 1.0)
    phase = volts / math.sqrt(3)
    amperes = abs(admittance) * phase
    braking = machine.friction_w + machine.stray_w * (amperes / machine.rated_current_a) ** 2
    crossing = 3 * abs(gap * phase) ** 2 * rotor.real
    shaft = (crossing - braking * (1 - slip)) / machine.synchronous * step.value
    if not close(shaft, power, CLOSE):
        ledger.breach(RULE, step.path, power, shaft, "W")


def _locked(ledger: Ledger, step: Step) -> None:
    """Check the torque at standstill, and that the current stated there is its upper edge."""
    place = step.path.removesuffix("/start_torque")
    machine = machine_at(ledger, place)
    volts = [ledger.number(path) for name, path in step.inputs if name == "U"]
    if machine is None or not volts or isinstance(step.value, str):
        ledger.skipped(RULE, step.path, "the circuit and its voltage")
        return
    torque = standstill(machine, volts[0] or 0.0)[1]
    if not close(torque, step.value, CLOSE):
        ledger.breach(RULE, step.path, torque, step.value, "N m")
    said = ledger.steps.get(f"{place}/locked_rotor_current")
    if said is not None and said.kind == "solved" and not isinstance(said.value, str):
        least = standstill(machine, volts[-1] or 0.0)[0]
        if not least * (1 - CLOSE) <= said.value <= WIDEST * least:
            ledger.breach(RULE, said.path, least, said.value, "A")


def standstill(machine: Machine, volts: float) -> tuple[float, float]:
    """Return current [A] and torque [N m] of a machine that stands still, at a line voltage."""
    phase, leakage = volts / math.sqrt(3), 1.0
    for _ in range(SETTLING):
        admittance, gap, rotor = machine.sides(1.0, leakage)
        again = machine.leakage(abs(admittance) * phase)
        if abs(again - leakage) < SETTLED:
            break
        leakage = again
    crossing = 3 * abs(gap * phase) ** 2 * rotor.real
    return abs(admittance) * phase, crossing / machine.synchronous


def _idler(ledger: Ledger, step: Step) -> None:
    """Check that an idler's plate current is that of its circuit."""
    option, _, rest = step.path.partition("/wiring/")
    name = rest.removesuffix("/idler/current")
    own = next(
        (
            found
            for idler in (name, f"{name}.1")  # of several alike the first
            if (found := ledger.number(f"{option}/idlers/{idler}/circuit/rated_current_a"))
        ),
        None,
    )
    if own is not None and not isinstance(step.value, str) and not close(own, step.value):
        ledger.breach(RULE, step.path, own, step.value, "A")
