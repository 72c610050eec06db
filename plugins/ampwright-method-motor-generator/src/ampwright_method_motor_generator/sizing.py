"""Generator and motor: what each constraint asks for, and the smallest sizes that meet all."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

from ampwright.kernels.balanced_start import BalancedStart, Lines, balanced_start
from ampwright.kernels.network import Rotor
from ampwright.kernels.starter import DIRECT, Shaft, Stage, star_delta
from ampwright.plugin import (
    Figure,
    Limit,
    LinkedMachine,
    MotorCase,
    Source,
    Worksheet,
    read_table,
)
from ampwright_method_motor_generator.setup import Setup, hardest, hertz, planning, usual

GENERATORS = read_table(Path(__file__).with_name("generators.csv"))
MOTORS = read_table(Path(__file__).with_name("motors.csv"))
WATTS = {"hp": 745.69987158227022, "kW": 1000.0}
APPARENT = Source(document="definition of apparent power in three phases", known="derived")
DIP = Source(document="dip behind a transient reactance, magnitudes added", known="derived")
SHAFT = Source(document="balance of powers at the shaft", known="derived")
MODEL = Source(document="run-up on lines behind the transient reactance", known="model")
STAR_UNTIL, STAR_LONGEST_S = 0.8, 10.0  # of synchronous speed; usual timer: common practice


class Size(NamedTuple):
    """One rating of a series: its value [VA] or [W], and the key of its row."""

    value: float
    name: str


class Begun(NamedTuple):
    """One start that the generator has to bear: which machine, which motor, beside what."""

    machine: LinkedMachine
    motor: MotorCase
    others: tuple[LinkedMachine, ...]


def generators() -> list[Size]:
    """Return the generators, smallest first."""
    return [Size(1000.0 * float(row["rating_kva"]), row["rating_kva"]) for row in GENERATORS.rows]


def motors(frequency_hz: int) -> list[Size]:
    """Return the motors at a frequency, smallest first."""
    return [
        Size(float(row["rating"]) * WATTS[row["unit"]], row["id"])
        for row in MOTORS.rows
        if int(row["frequency_hz"]) == frequency_hz
    ]


def most(part: Worksheet, found: Sequence[Figure], symbol: str, unit: str) -> Figure:
    """Return the largest of several figures."""
    terms = {f"x{n}": one for n, one in enumerate(found)}
    formula = f"max({', '.join(terms)})" if len(terms) > 1 else "x0"
    return part.formula("most", symbol, unit, formula, terms)


def apparent(setup: Setup, one: LinkedMachine, part: Worksheet) -> Figure:
    """Return the apparent power that a machine takes up while it runs [VA]."""
    terms = dict(one.drawn)
    three = [key for key in terms if not single(one, key)]
    ones = [key for key in terms if single(one, key)]
    parts = [f"sqrt(3) * U * ({' + '.join(three)})"] if three else []
    parts += [f"V * ({' + '.join(ones)})"] if ones else []
    terms |= {"U": setup.output} | ({"V": setup.case.supply.voltage} if ones else {})
    return part.formula("apparent_va", "S", "VA", " + ".join(parts) or "0", terms, source=APPARENT)


def single(one: LinkedMachine, key: str) -> bool:
    """Tell whether what a name of `LinkedMachine.drawn` stands for takes one phase only."""
    return key.startswith("S") or (key.startswith("L") and one.loads[int(key[1:])].phases == 1)


def active(one: LinkedMachine, part: Worksheet, key: str) -> dict[str, Figure]:
    """Return the active powers of a machine at rated load, by name [W]."""
    found = {
        f"{key}M{n}": part.formula(f"active/{motor.demand.id}", "P", "W", "P / e",
                                   P=motor.demand.power, e=motor.efficiency)
        for n, motor in enumerate(one.running)
    }  # fmt: skip
    found |= {f"{key}L{n}": watts for n, watts in enumerate(one.watts)}
    for n, demand in enumerate(one.single):
        found[f"{key}S{n}"] = part.formula(f"active/{demand.id}", "P", "W", "U * I",
                                           U=demand.voltage, I=demand.current)  # fmt: skip
    return found


class Sizing:
    """What the machines ask of generator and motor, each figure with its step."""

    def __init__(self, setup: Setup, sheet: Worksheet, name: str) -> None:
        self.setup, self.sheet, self.name = setup, sheet, name
        asked = sheet.under("asked")
        self.machines = {
            one.id: apparent(setup, one, asked.under(one.id)) for one in setup.machines
        }
        self.powers = {
            one.id: active(one, asked.under(one.id), f"a{n}_")
            for n, one in enumerate(setup.machines)
        }
        self.running = self._running()
        self.dip = self._dip()
        self.generator = self._first(generators(), self.generator_constraints)
        self.motor: Size | None = None
        self.loads: dict[str, Figure] = {}
        if self.generator is not None:
            self.rating = self._rated("generator", GENERATORS.id, self.generator, "rating_kva")
            self.loads = self._loads()
            self.motor = self._first(motors(hertz(setup.case)), self.motor_constraints)
        self.limits_made = self._limits() if self.motor is not None else ()

    @property
    def lacking(self) -> str:
        """The constraint that no usual size meets; ``""``: all are met."""
        for found, series, constraints in (
            (self.generator, generators(), self.generator_constraints),
            (self.motor, motors(hertz(self.setup.case)), self.motor_constraints),
        ):
            if found is None:
                return next(
                    (key for key, ok in constraints.items() if not any(map(ok, series))),
                    "all constraints together",
                )
        return ""

    @staticmethod
    def _first(series: Iterable[Size], constraints: dict[str, Callable[[Size], bool]]
               ) -> Size | None:  # fmt: skip
        return next((one for one in series if all(ok(one) for ok in constraints.values())), None)

    def _rated(self, what: str, table: str, size: Size, column: str) -> Figure:
        """Return the rating that was chosen [VA]."""
        part = self.sheet.under(what)
        row = part.table("row", "S_n", float(size.name), "kVA", table=table,
                         cell=(size.name, column), source=GENERATORS.source(),
                         inputs=[("S", self.running)])  # fmt: skip
        return part.formula("rating_va", "S_n", "VA", "1000 * S", S=row)

    def _running(self) -> Figure:
        """Return the apparent power of the set that draws most [VA]."""
        part = self.sheet.under("asked/running")
        sums = []
        for name, inside in self.setup.sets:
            terms = {f"S{n}": self.machines[one.id] for n, one in enumerate(inside)}
            sums.append(part.formula(name, "S", "VA", " + ".join(terms), terms))
        return most(part, sums, "S", "VA")

    def starts(self) -> Iterator[tuple[str, Begun]]:
        """Yield every start, with all else of its set running."""
        for name, inside in self.setup.sets:
            for one in inside:
                motor = hardest(one)
                if motor is not None:
                    others = tuple(other for other in inside if other is not one)
                    yield f"{name}/{one.id}", Begun(one, motor, others)

    def _dip(self) -> Figure | None:
        """Return the rating at which the worst start dips the voltage just as far as allowed."""
        part = self.sheet.under("asked/dip")
        found = []
        for name, begun in self.starts():
            own = part.under(name)
            locked = begun.motor.demand.locked_rotor_current or begun.motor.demand.current
            share = "1 / 3 * " if begun.machine.machine.machine.starter == "star-delta" else ""
            found.append(
                own.formula(
                    "asked_va", "S", "VA", f"sqrt(3) * U * {share}I * x * (1 - d) / d",
                    U=self.setup.output, I=locked, x=usual("transient-reactance", own),
                    d=usual("start-dip", own), source=DIP,
                )
            )  # fmt: skip
        return most(part, found, "S", "VA") if found else None

    def _loads(self) -> dict[str, Figure]:
        """Return the power that the generator asks of the shaft, by running set [W]."""
        found = {}
        for name, inside in self.setup.sets:
            part = self.sheet.under(f"asked/shaft/{name}")
            powers = {key: one for each in inside for key, one in self.powers[each.id].items()}
            sums = {f"S{n}": self.machines[one.id] for n, one in enumerate(inside)}
            found[name] = part.formula(
                "shaft_w", "P_s", "W",
                f"{' + '.join(powers)} + k_0 * S_n + k_l * ({' + '.join(sums)}) ** 2 / S_n",
                powers | sums | {"S_n": self.rating,
                                 "k_0": usual("generator-standing-loss", part),
                                 "k_l": usual("generator-load-loss", part)},
                source=SHAFT,
            )  # fmt: skip
        return found

    def begun(self, start: Begun, rating_va: float) -> BalancedStart:
        """Return a start on a generator of a rating."""
        base = self.setup.output.value**2 / rating_va
        lines = Lines(self.setup.output.value, 1j * planning("transient-reactance") * base)
        stages: tuple[Stage, ...] = (DIRECT,)
        if start.machine.machine.machine.starter == "star-delta":
            stages = star_delta(STAR_UNTIL, STAR_LONGEST_S)
        shaft = Shaft(Rotor(start.motor.low, start.motor.run_up), start.motor.inertia.value)
        return balanced_start(lines, shaft, stages=stages)

    @property
    def generator_constraints(self) -> dict[str, Callable[[Size], bool]]:
        """Every constraint on the generator by its slug."""
        found: dict[str, Callable[[Size], bool]] = {
            "running-current": lambda size: size.value >= self.running.value * (1.0 - 1e-9)
        }
        dip = self.dip
        if dip is not None:
            found["start-dip"] = lambda size: size.value >= dip.value * (1.0 - 1e-9)
            found["run-up-time"] = self.runs_up
        return found

    def runs_up(self, size: Size) -> bool:
        """Tell whether every machine comes up on a generator of that size, in time."""
        longest = self.setup.case.limits["run-up-time"].value
        margin = self.setup.case.limits["start-torque-margin"].value
        for _, start in self.starts():
            found = self.begun(start, size.value)
            strong = found.torque_low_nm >= margin * found.breakaway_nm
            if not (found.starts and strong and found.low.time_s <= longest):
                return False
        return True

    @property
    def motor_constraints(self) -> dict[str, Callable[[Size], bool]]:
        """Every constraint on the motor by its slug."""
        found: dict[str, Callable[[Size], bool]] = {"shaft-power": self.bears}
        if self.dip is not None:
            found["start-pull"] = self.pulls
        return found

    def bears(self, size: Size) -> bool:
        """Tell whether a motor turns the generator under the set that asks most."""
        reserve = self.setup.case.limits["converter-reserve"].value
        worst = max((one.value for one in self.loads.values()), default=0.0)
        return size.value >= reserve * worst * (1.0 - 1e-9)

    def pulls(self, size: Size) -> bool:
        """Tell whether a motor turns the generator through the worst start."""
        worst = max((self.pulled(start) for _, start in self.starts()), default=0.0)
        return planning("motor-pull") * size.value >= worst * (1.0 - 1e-9)

    def pulled(self, start: Begun) -> float:
        """Return the shaft power at the worst moment of a start [W]."""
        rating = self.rating.value
        found = self.begun(start, rating)
        beside = sum(one.value for other in start.others
                     for one in self.powers[other.id].values())  # fmt: skip
        drawn = found.largest_va + sum(self.machines[one.id].value for one in start.others)
        lost = planning("generator-standing-loss") * rating
        return found.largest_w + beside + lost + planning("generator-load-loss") * drawn**2 / rating

    def _limits(self) -> tuple[Limit, ...]:
        """Return what each constraint asks for, of the generator and of the motor."""
        if self.generator is None or self.motor is None:
            raise ValueError("no size was found")
        every = motors(hertz(self.setup.case))
        unit = {"hp": "hp", "kW": "kW"}[self.motor.name.split()[1]]
        return (
            *self._asked(self.name, generators(), self.generator_constraints, self.generator,
                         ("kVA", "VA", GENERATORS.id, "rating_kva", 1000.0)),
            *self._asked(f"{self.name}.motor", every, self.motor_constraints, self.motor,
                         (unit, "W", MOTORS.id, "rating", WATTS[unit])),
        )  # fmt: skip

    def _asked(
        self, subject: str, series: Sequence[Size], constraints: dict[str, Callable[[Size], bool]],
        chosen: Size, units: tuple[str, str, str, str, float],
    ) -> Iterator[Limit]:  # fmt: skip
        unit, plain, table, column, times = units
        source = GENERATORS.source() if table == GENERATORS.id else MOTORS.source()
        for slug, ok in constraints.items():
            alone = next(one for one in series if ok(one))
            part = self.sheet.under(f"limits/{subject}/{slug}")
            row = part.table("row", "S_n" if plain == "VA" else "P_n", alone.value / times, unit,
                             table=table, cell=(alone.name, column), source=source)  # fmt: skip
            asks = part.formula("asks", "S_n" if plain == "VA" else "P_n", plain, f"{times!r} * x",
                                x=row)  # fmt: skip
            yield Limit(id=f"{subject}/{slug}", subject=subject, constraint=slug, asks=asks.value,
                        unit=plain, governs=alone == chosen)  # fmt: skip
