"""The apparent power of the converter: by what runs, by what starts, by an output neutral."""

from collections.abc import Callable, Sequence
from functools import lru_cache
from pathlib import Path
from typing import NamedTuple

from ampwright.kernels.balanced_start import BalancedStart, Lines, balanced_start
from ampwright.kernels.network import Rotor
from ampwright.kernels.starter import DIRECT, Shaft, Stage, soft, star_delta
from ampwright.methods.electronic.setup import APPARENT, Setup, planning, usual
from ampwright.plugin import (
    Figure,
    Limit,
    LinkedMachine,
    MotorCase,
    Source,
    Worksheet,
    read_table,
)

SIZES = read_table(Path(__file__).with_name("sizes.csv"))
MODEL = Source(document="run-up on balanced lines behind a current limit", known="model")
STAR_UNTIL, STAR_LONGEST_S = 0.8, 10.0  # of synchronous speed; usual timer: common practice


class Size(NamedTuple):
    """One rating: apparent power [VA], the key of its row, an output neutral to be had."""

    rating_va: float
    name: str
    neutral: bool


def sizes() -> list[Size]:
    """Return the ratings, smallest first."""
    return [
        Size(1000.0 * float(row["rating_kva"]), row["rating_kva"], row["neutral"] == "yes")
        for row in SIZES.rows
    ]


def taken(setup: Setup, one: LinkedMachine, part: Worksheet) -> Figure:
    """Return the apparent power that a machine takes up while it runs [VA]."""
    terms: list[str] = []
    named: dict[str, Figure] = {}
    traits = one.machine.machine.traits
    whole = next((kind for kind in ("rectifier", "thyristor") if f"{kind}-input" in traits), "")
    for key, figure in one.drawn.items():
        load = one.loads[int(key[1:])] if key.startswith("L") else None
        kind = whole or (load.kind if load is not None else "")
        single = key.startswith("S") or (load is not None and load.phases == 1)
        root = "" if single else "sqrt(3) * "
        volts = "V" if single else "U"
        if kind in ("rectifier", "thyristor", "welder"):
            allowance = f"a_{kind}"
            named[allowance] = named.get(allowance) or usual(kind, part)
            terms.append(f"{allowance} * {root}{volts} * {key}")
        else:
            terms.append(f"{root}{volts} * {key}")
        named[key] = figure
        named[volts] = setup.case.supply.voltage if single else setup.output
    return part.formula("apparent_va", "S", "VA", " + ".join(terms) or "0", named, source=APPARENT)


#: The same start is asked about by one constraint after another.
once_begun = lru_cache(maxsize=512)(balanced_start)


def stages(one: LinkedMachine, limit_a: float | None) -> tuple[Stage, ...]:
    """Return how a machine is started, behind a limit of the converter where it has one."""
    if limit_a is not None:
        return soft(limit_a)
    if one.machine.machine.starter == "star-delta":
        return star_delta(STAR_UNTIL, STAR_LONGEST_S)
    return (DIRECT,)


def hardest(one: LinkedMachine) -> MotorCase | None:
    """Return the motor whose start draws most."""
    return max(
        one.motors,
        key=lambda motor: (motor.demand.locked_rotor_current or motor.demand.current).value,
        default=None,
    )


def begun(setup: Setup, one: LinkedMachine, motor: MotorCase, limit_a: float | None
          ) -> BalancedStart:  # fmt: skip
    """Return the start of *motor* on the converter's output."""
    shaft = Shaft(Rotor(motor.low, motor.run_up), motor.inertia.value)
    return once_begun(Lines(setup.output.value), shaft, stages=stages(one, limit_a))


def limit_of(setup: Setup, rating_va: float, times: float) -> float:
    """Return the output current at *times* the rating [A]."""
    return float(times * rating_va / (3.0**0.5 * setup.output.value))


class Sizing:
    """What the machines ask of the converter, each figure with its step."""

    def __init__(self, setup: Setup, sheet: Worksheet, name: str) -> None:
        self.setup, self.sheet, self.name = setup, sheet, name
        self.machines = {
            one.id: taken(setup, one, sheet.under(f"asked/{one.id}")) for one in setup.machines
        }
        self.running = self._running()
        self.soft = {one.id: one for one in setup.machines if setup.softly(one)}
        self.starting = self._starting()

    def _running(self) -> Figure:
        """Return the apparent power of the set that draws most [VA]."""
        part = self.sheet.under("asked/running")
        sums = []
        for name, inside in self.setup.sets:
            terms = {f"S{n}": self.machines[one.id] for n, one in enumerate(inside)}
            sums.append(part.formula(name, "S", "VA", " + ".join(terms), terms))
        return most(part, sums, "VA")

    def _starting(self) -> Figure | None:
        """Return the rating that the worst start asks for, all else of its set running [VA].

        ``None`` where every machine starts softly, before all others.
        """
        asked = []
        for name, inside in self.setup.sets:
            for one in inside:
                motor = hardest(one)
                if motor is not None and one.id not in self.soft:
                    part = self.sheet.under(f"asked/start/{name}/{one.id}")
                    others = [other for other in inside if other is not one]
                    asked.append(self._start(one, motor, others, part))
        return most(self.sheet.under("asked/start"), asked, "VA") if asked else None

    def _start(
        self, one: LinkedMachine, motor: MotorCase, others: Sequence[LinkedMachine],
        part: Worksheet,
    ) -> Figure:  # fmt: skip
        """Return the rating that one start asks for [VA]."""
        found = begun(self.setup, one, motor, None)
        held = found.starts and found.low.time_s <= planning("overload-time")
        factor = usual("overload", part) if held else part.assumed(
            "overload", "overload", 1.0, "", source=MODEL
        )  # fmt: skip
        locked = motor.demand.locked_rotor_current or motor.demand.current
        terms = {f"S{n}": self.machines[other.id] for n, other in enumerate(others)}
        rest = "".join(f" + {key}" for key in terms)
        starter = one.machine.machine.starter
        drawn = {"star-delta": "I / 3", "soft": "min(I, k_s * I_N)"}.get(starter or "", "I")
        terms |= {"I": locked, "U": self.setup.output, "k": factor}
        if starter == "soft":
            terms |= {"k_s": usual("soft-starter", part), "I_N": motor.demand.current}
        return part.formula("asked_va", "S", "VA", f"(sqrt(3) * U * ({drawn}){rest}) / k", terms,
                            source=APPARENT)  # fmt: skip

    def runs(self, size: Size) -> bool:
        """Tell whether the rating carries what runs."""
        return size.rating_va >= self.running.value * (1.0 - 1e-9)

    def starts_directly(self, size: Size) -> bool:
        """Tell whether the rating carries every start that all else runs beside."""
        return self.starting is None or size.rating_va >= self.starting.value * (1.0 - 1e-9)

    def starts_softly(self, size: Size) -> bool:
        """Tell whether the rating starts every machine that is started first."""
        return all(self.soft_limit(one, size.rating_va) is not None for one in self.soft.values())

    def soft_limit(self, one: LinkedMachine, rating_va: float) -> float | None:
        """Return the output current at which a machine starts softly [A]; ``None``: never.

        Beyond the time that an overload is held, the rated current has to do.
        """
        motor = hardest(one)
        if motor is None:
            return None
        longest = self.setup.case.limits["run-up-time"].value
        for times, most_s in ((planning("overload"), planning("overload-time")), (1.0, longest)):
            limit = limit_of(self.setup, rating_va, times)
            found = begun(self.setup, one, motor, limit)
            if found.starts and found.low.time_s <= min(most_s, longest):
                return limit
        return None

    def has_neutral(self, size: Size) -> bool:
        """Tell whether the rating is made with an output neutral, where one is wanted."""
        return size.neutral or not self.setup.neutral

    @property
    def constraints(self) -> dict[str, Callable[[Size], bool]]:
        """Every constraint by its slug."""
        found: dict[str, Callable[[Size], bool]] = {"running-current": self.runs}
        if self.soft:
            found["start-torque"] = self.starts_softly
        if self.starting is not None:
            found["start-current"] = self.starts_directly
        if self.setup.neutral:
            found["output-neutral"] = self.has_neutral
        return found

    def chosen(self) -> Size | None:
        """Return the smallest rating that meets every constraint."""
        return next(
            (one for one in sizes() if all(ok(one) for ok in self.constraints.values())), None
        )

    def limits(self, size: Size) -> tuple[Limit, ...]:
        """Return what each constraint alone asks for."""
        made = []
        for slug, ok in self.constraints.items():
            alone = next(one for one in sizes() if ok(one))
            part = self.sheet.under(f"limits/{self.name}/{slug}")
            inputs = {"running-current": self.running, "start-current": self.starting}.get(slug)
            row = part.table(
                "row", "S_n", float(alone.name), "kVA", table=SIZES.id,
                cell=(alone.name, "rating_kva"), source=SIZES.source(),
                inputs=[("S", inputs)] if inputs is not None else [],
            )  # fmt: skip
            asks = part.formula("asks", "S_n", "VA", "1000 * S", S=row)
            made.append(Limit(id=f"{self.name}/{slug}", subject=self.name, constraint=slug,
                              asks=asks.value, unit="VA", governs=alone == size))  # fmt: skip
        return tuple(made)


def most(part: Worksheet, figures: Sequence[Figure], unit: str) -> Figure:
    """Return the largest of *figures*."""
    names = {f"S{n}": one for n, one in enumerate(figures)}
    formula = f"max({', '.join(names)})" if len(names) > 1 else "S0"
    return part.formula("most_va", "S", unit, formula, names)
