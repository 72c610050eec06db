"""Random networks of a made leg, each from one whole number, so that a failure can be repeated."""

import cmath
import math
from random import Random
from typing import NamedTuple

from ampwright.kernels.induction import InductionCircuit
from ampwright.kernels.legs import (
    PLACES,
    ConstantPower,
    Legs,
    Source,
    capacitors,
    line_line,
    line_neutral,
    plus,
    split_phase,
)
from ampwright.kernels.operating_point import LoadLaw, MainFlux, Rotor


class Drawn(NamedTuple):
    """Everything that ``solve`` takes."""

    source: Source
    legs: Legs
    rotors: tuple[Rotor, ...]
    loads: tuple[ConstantPower, ...]


def between(random: Random, low: float, high: float) -> float:
    """Return a number spread evenly over the orders of magnitude from *low* to *high*."""
    return math.exp(random.uniform(math.log(low), math.log(high)))


def random_source(random: Random, volt: float, amps: float) -> Source:
    """Return one of the three kinds of supply, now and then without impedance."""
    kind = random.randrange(3)
    size = between(random, 0.003, 0.1) * volt / amps * random.choice((0.0, 1.0, 1.0, 1.0))
    z = cmath.rect(size, random.uniform(0.0, 1.2))
    if kind == 0:
        return split_phase(volt, z)
    if kind == 1:
        return line_neutral(volt, z / 2.0, z / 3.0)
    return line_line(volt, volt * random.uniform(0.5, 0.7), z)


def random_circuit(random: Random, volt: float, hertz: float, amps: float) -> InductionCircuit:
    """Return a machine with per-unit values spread over what is built, and wider."""
    base = volt / (math.sqrt(3.0) * amps)
    watt = math.sqrt(3.0) * volt * amps
    double = random.random() < 0.7
    return InductionCircuit(
        r1_ohm=base * between(random, 0.005, 0.12),
        x1_ohm=base * between(random, 0.02, 0.3),
        xm_ohm=base * between(random, 0.7, 6.0),
        ri_ohm=base * between(random, 0.005, 0.12),
        xi_ohm=base * between(random, 0.02, 0.5),
        ro_ohm=base * (between(random, 0.03, 1.0) if double else 1e9),
        xo_ohm=base * between(random, 0.01, 0.3),
        rc_ohm=base * between(random, 10.0, 300.0),
        friction_w=watt * random.uniform(0.0, 0.03),
        stray_w=watt * random.uniform(0.0, 0.03),
        rated_current_a=amps,
        pole_pairs=random.randint(1, 6),
        frequency_hz=hertz,
        saturation=random.uniform(0.7, 1.0),
    )


def draw(seed: int, *, machines: int | None = None, loads: int | None = None) -> Drawn:
    """Return the network of *seed*: one idler, load motors, branches, constant-power loads."""
    random = Random(seed)  # noqa: S311 - no secret
    volt, hertz = random.choice((200.0, 230.0, 240.0, 460.0)), random.choice((50.0, 60.0))
    amps = between(random, 3.0, 100.0)
    rotors = []
    for k in range(machines or random.randint(1, 3)):
        own = amps if k == 0 else amps * random.uniform(0.2, 0.7)
        circuit = random_circuit(random, volt, hertz, own)
        omega_s = 2.0 * math.pi * hertz / circuit.pole_pairs
        rated_nm = 0.75 * math.sqrt(3.0) * volt * own / omega_s
        iron = MainFlux(
            0.95 * volt / math.sqrt(3.0), random.uniform(0.1, 0.4), random.uniform(5, 9)
        )
        share = 0.0 if k == 0 else random.uniform(0.0, 0.7)
        law = random.randrange(4)
        rotors.append(
            Rotor(
                circuit,
                LoadLaw(
                    constant_nm=share * rated_nm * (law == 0),
                    linear_nm=share * rated_nm * (law == 1),
                    square_nm=share * rated_nm * (law == 2),
                    breakaway_nm=share * rated_nm * (law == 0),
                    power_w=share * rated_nm * omega_s * (law == 3),
                ),
                iron if k == 0 and random.random() < 0.4 else None,
            )
        )
    siemens = math.sqrt(3.0) * amps / volt
    farad = siemens / (2.0 * math.pi * hertz)
    ab, bc, ca = (farad * random.uniform(0.0, 0.15) for _ in range(3))
    branches = plus(
        capacitors(ab, bc, ca, hertz),
        Legs(*(siemens * random.uniform(0.0, 0.1) * (random.random() < 0.3) for _ in range(6))),
    )
    powers = tuple(
        ConstantPower(
            random.choice(PLACES),
            cmath.rect(random.uniform(0.0, 0.04) * volt * amps, random.uniform(-0.3, 0.8)),
            volt,
        )
        for _ in range(random.randint(0, 2) if loads is None else loads)
    )
    return Drawn(random_source(random, volt, amps), branches, tuple(rotors), powers)
