"""Networks against a general circuit simulator (ngspice, small-signal analysis at one frequency).

The netlist is made of resistors, inductors and capacitors; no admittance is worked out here. A
machine is its two sequence circuits, tied to the legs by controlled sources; the operator a is
minus a half plus j times half the root of three, and j times a quantity is the voltage that it
drives, as a current, through an inductor of reactance one.
"""

import math
import subprocess
from pathlib import Path

import pytest
from tests.independent.simulator import NGSPICE, simulated

from ampwright.kernels.induction import InductionCircuit
from ampwright.kernels.legs import (
    Legs,
    Source,
    line_line,
    line_neutral,
    source_currents,
    split_phase,
)
from ampwright.kernels.operating_point import Point, evaluate

HALF, ROOT = -0.5, math.sqrt(3.0) / 2.0
TEN = InductionCircuit(0.25, 0.45, 13.0, 0.22, 0.6, 1.5, 0.3, 300.0, 90.0, 90.0, 25.0, 2, 60.0, 1.0)
FIVE = InductionCircuit(0.5, 0.8, 21.0, 0.42, 1.1, 2.5, 0.5, 500.0, 45.0, 45.0, 13.0, 2, 60.0, 1.0)
FIFTY = InductionCircuit(1.1, 1.9, 48.0, 1.0, 2.4, 6.0, 1.2, 1e3, 30.0, 25.0, 8.4, 2, 50.0, 1.0)

# source, microfarads (ab, bc, ca), ohms (ab, bc, ca, a, b, c; 0 is none), machines, slips
CASES = {
    "idler alone": (split_phase(240.0, 0.06 + 0.05j), (0, 0, 0), (0,) * 6, (TEN,), (0.001,)),
    "idler, load, capacitors": (
        split_phase(240.0, 0.06 + 0.05j), (30, 50, 194), (0,) * 6, (TEN, FIVE), (0.0005, 0.03),
    ),
    "load at standstill, resistors everywhere": (
        split_phase(240.0, 0.4 + 0.3j), (0, 60, 180), (50, 60, 70, 80, 90, 100),
        (TEN, FIVE), (0.01, 1.0),
    ),
    "line and neutral": (
        line_neutral(230.0, 0.2 + 0.1j, 0.25 + 0.12j), (0, 40, 120), (0, 0, 0, 40, 0, 200),
        (FIFTY, FIFTY, FIFTY), (0.002, 0.04, -0.02),
    ),
    "two lines of a star": (
        line_line(208.0, 120.0, 0.1 + 0.2j), (10, 20, 30), (0, 0, 0, 30, 60, 90), (TEN,), (0.7,),
    ),
}  # fmt: skip


def netlist(
    source: Source,
    microfarad: tuple[int, ...],
    ohms: tuple[int, ...],
    machines: tuple[InductionCircuit, ...],
    slips: tuple[float, ...],
) -> str:
    """Return the network as the simulator reads it."""
    hertz = machines[0].frequency_hz
    w = 2.0 * math.pi * hertz
    lines = ["made leg"]
    ends = (("a", source.e_a_v, source.z_a_ohm), ("b", source.e_b_v, source.z_b_ohm))
    for leg, e, z in ((leg, complex(e), complex(z)) for leg, e, z in ends):
        size, turned = abs(e), math.degrees(math.atan2(e.imag, e.real))
        lines += [
            f"Ve{leg} e{leg} 0 dc 0 ac {size!r} {turned!r}",
            f"Rs{leg} e{leg} m{leg} {z.real!r}",
            f"Ls{leg} m{leg} {leg} {z.imag / w!r}",
        ]
    pairs = (("a", "b"), ("b", "c"), ("c", "a"))
    for (one, two), c in zip(pairs, microfarad, strict=True):
        lines += [f"C{one}{two} {one} {two} {c * 1e-6!r}"] if c else []
    for (one, two), r in zip((*pairs, ("a", "0"), ("b", "0"), ("c", "0")), ohms, strict=True):
        lines += [f"R{one}{two} {one} {two} {r!r}"] if r else []
    for k, (machine, slip) in enumerate(zip(machines, slips, strict=True)):
        lines += _machine(f"{k}", machine, slip, w)
    lines += [
        ".control",
        "set numdgt=14",
        f"ac lin 1 {hertz!r} {hertz!r}",
        *(f"print {what}" for what in ("v(a)", "v(b)", "v(c)", "i(Vea)", "i(Veb)")),
        "quit",
        ".endc",
        ".end",
    ]
    return "\n".join(lines)


def _machine(k: str, machine: InductionCircuit, slip: float, w: float) -> list[str]:
    lines = []
    # j times the voltages of B and C, for the components
    for leg in "bc":
        lines += [f"Gj{leg}{k} 0 j{leg}{k} {leg} 0 1", f"Lj{leg}{k} j{leg}{k} 0 {1.0 / w!r}"]
    for part, sign in (("p", 1.0), ("n", -1.0)):
        n = f"{part}{k}"
        lines += [  # the sequence voltage: (A + a B + a^2 C)/3, or with a and its square exchanged
            f"E1{n} x1{n} 0 a 0 {1.0 / 3.0!r}",
            f"E2{n} x2{n} x1{n} b 0 {HALF / 3.0!r}",
            f"E3{n} x3{n} x2{n} c 0 {HALF / 3.0!r}",
            f"E4{n} x4{n} x3{n} jb{k} 0 {sign * ROOT / 3.0!r}",
            f"E5{n} x5{n} x4{n} jc{k} 0 {-sign * ROOT / 3.0!r}",
            f"Vi{n} x5{n} t{n} 0",
            f"Rc{n} t{n} 0 {machine.rc_ohm!r}",
            f"R1{n} t{n} u{n} {machine.r1_ohm!r}",
            f"L1{n} u{n} g{n} {machine.x1_ohm / w!r}",
            f"Lm{n} g{n} 0 {machine.xm_ohm / w!r}",
            f"Ri{n} g{n} i{n} {machine.ri_ohm / (slip if sign > 0.0 else 2.0 - slip)!r}",
            f"Li{n} i{n} 0 {machine.xi_ohm / w!r}",
            f"Ro{n} g{n} o{n} {machine.ro_ohm / (slip if sign > 0.0 else 2.0 - slip)!r}",
            f"Lo{n} o{n} 0 {machine.xo_ohm / w!r}",
            # its current, taken from the legs: I_A = I, I_B = a^2 I, I_C = a I (or exchanged)
            f"FA{n} a 0 Vi{n} 1",
            f"FB{n} b 0 Vi{n} {HALF!r}",
            f"FC{n} c 0 Vi{n} {HALF!r}",
            f"Fj{n} 0 k{n} Vi{n} 1",
            f"Lk{n} k{n} 0 {1.0 / w!r}",
            f"GB{n} b 0 k{n} 0 {-sign * ROOT!r}",
            f"GC{n} c 0 k{n} 0 {sign * ROOT!r}",
        ]
    return lines


def simulate(text: str, folder: Path) -> dict[str, complex]:
    """Run the simulator and return what it prints."""
    assert NGSPICE is not None, "the simulator ngspice is required here and not on the path"
    place = folder / "network.cir"
    place.write_text(text, encoding="ascii")
    run = subprocess.run(  # noqa: S603 - the program found on the path, a file of our own
        [NGSPICE, "-b", str(place)], capture_output=True, text=True, timeout=60, check=True
    )
    found = {}
    for line in run.stdout.splitlines():
        name, _, value = line.partition(" = ")
        if "," in value:
            real, imaginary = value.split(",")
            found[name.strip()] = complex(float(real), float(imaginary))
    return found


@simulated
@pytest.mark.parametrize("name", CASES)
def test_voltages_and_source_currents(name: str, tmp_path: Path) -> None:
    source, microfarad, ohms, machines, slips = CASES[name]
    found = simulate(netlist(source, microfarad, ohms, machines, slips), tmp_path)
    w = 2.0 * math.pi * machines[0].frequency_hz
    branches = [1e-6j * w * c for c in (*microfarad, 0, 0, 0)]
    legs = Legs(*(b + (1.0 / r if r else 0.0) for b, r in zip(branches, ohms, strict=True)))
    point: Point = evaluate(source, legs, machines, slips, [1.0] * len(machines))
    i_a, i_b = source_currents(point.net, point.at)
    volts = max(abs(v) for v in point.at[:3])
    for mine, theirs in zip(point.at[:3], ("v(a)", "v(b)", "v(c)"), strict=True):
        assert abs(mine - found[theirs]) < 1e-9 * volts
    assert abs(i_a + found["i(vea)"]) < 1e-9 * abs(i_a)  # the simulator counts into the source
    assert abs(i_b + found["i(veb)"]) < 1e-9 * max(abs(i_a), abs(i_b))
