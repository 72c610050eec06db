"""The motors and loads of a plate, with what has to be said and asked about each."""

from typing import Final, NamedTuple, get_args

from ampwright.finding import Finding, Question
from ampwright.nameplate import remarks
from ampwright.nameplate.alignment import Aligned, aligned, are_linked
from ampwright.nameplate.doubts import readable, settled
from ampwright.nameplate.kinds import MOTOR, Kind, assumed_phases, kind, phase_count
from ampwright.nameplate.motors import factor, frequency_of, load, motor
from ampwright.nameplate.other_parts import named
from ampwright.nameplate.reading import Reading
from ampwright.records.load import Load, LoadKind
from ampwright.records.motor import Motor

_LONGEST_NAME: Final = 64
_NAMELESS: Final = frozenset({"motor", "moteur", "motore", "mot", "motors"})
_TWO_SPEED: Final = 1.3
_FACTORS: Final = ("power_factor", "efficiency")


class Content(NamedTuple):
    """One motor or load of a plate.

    Attributes:
        motors: Its records: one for each speed and each of several equal motors.
        loads: Its record where it is no motor.
        two_speed: The motors are speeds of one motor.
        starts_in_star: It is linked in star to start and in delta to run.
        neutral: It is made for a four-wire system.
        findings: What has to be said.
        questions: What has to be asked.
        contradicted: Fields that the others contradict.
        undecided: Fields whose alternatives fit nothing.
        dropped: First pieces of statements that others contradict.
    """

    motors: tuple[Motor, ...] = ()
    loads: tuple[Load, ...] = ()
    two_speed: bool = False
    starts_in_star: bool = False
    neutral: bool = False
    findings: tuple[Finding, ...] = ()
    questions: tuple[Question, ...] = ()
    contradicted: tuple[str, ...] = ()
    undecided: tuple[str, ...] = ()
    dropped: tuple[int, ...] = ()


def content(reading: Reading, name: str, foreign: int, like: Kind | None) -> Content | None:
    """Build what *reading* states.

    Args:
        reading: The statements about one motor or load.
        name: What the plate calls it.
        foreign: How many words of the plate belong to countries of metric horsepower.
        like: The kind of the first motor or load of the plate, for those that name none.

    Returns:
        ``None`` if the statements are remarks only, without a figure of size.
    """
    stated = phase_count(reading)
    phases = stated or assumed_phases(reading)
    power = settled(reading, phases)
    reading, findings = power.reading, list(power.findings)
    questions = [remarks.question(field, "size") for field in sorted(power.contradicted)]
    if any(one.field == "voltage" and one.first in power.dropped for one in reading.phrases):
        questions.append(remarks.question("voltage", "method"))
    found = kind(reading, phases)
    if reading.says("dc_voltage") and not reading.says("voltage"):
        found = found._replace(certain=False)  # nothing of ours runs on direct current
    if like is not None and not found.certain:
        found = like
    if not found.name:
        return None
    speeds = aligned(reading, phases)
    findings += [remarks.other_part(part, given) for part, given in named(reading)]
    for said, asked in readable(reading, foreign):
        findings.append(said)
        questions += asked
    if stated is None:
        findings.append(remarks.missing("phases", "info", substitute=float(phases)))
    if not found.certain:
        kinds = (MOTOR, *get_args(LoadKind))
        questions.append(remarks.question("kind", "method", *kinds, read=found.name))
    built = _Built(reading, speeds, phases, findings, questions)
    built.contradicted |= power.contradicted
    if found.name == MOTOR:
        built.build_motors(name)
    else:
        built.build_load(found.name)
    return built.content()._replace(dropped=power.dropped)


class _Built:
    """The records of one reading while they are made."""

    def __init__(
        self,
        reading: Reading,
        speeds: tuple[Aligned, ...],
        phases: int,
        findings: list[Finding],
        questions: list[Question],
    ) -> None:
        self.reading, self.speeds, self.phases = reading, speeds, phases
        self.findings, self.questions = findings, questions
        self.motors: list[Motor] = []
        self.loads: list[Load] = []
        self.contradicted: set[str] = set()
        self.undecided: set[str] = {field for one in speeds for field in one.open}

    def build_motors(self, name: str) -> None:
        """Make one motor for each speed; leave out what the other figures contradict."""
        self._say_factors()
        seen: set[str] = set()
        for one in self.speeds:
            built = motor(self.reading, one, self.phases, name)
            if built is None:
                continue
            wrong = remarks.contradictions(built)
            for doubt in wrong:
                if doubt.figure not in seen:
                    self.findings.append(remarks.implausible(doubt))
                    changes = (
                        "size" if doubt.figure in {"power", "voltage", "current"} else "figures"
                    )
                    self.questions.append(remarks.question(remarks.field_of(doubt.figure), changes))
                seen.add(doubt.figure)
            if wrong:
                without = frozenset(remarks.field_of(doubt.figure) for doubt in wrong)
                self.contradicted |= without
                built = motor(self.reading, one, self.phases, name, without)
            if built is not None:
                self.motors.append(built)
        self._say_missing()
        self._say_alternatives()
        self.motors *= self._quantity()

    def build_load(self, name: str) -> None:
        """Make the record of a load."""
        built = load(self.reading, self.speeds[0], self.phases, name)
        if built is None:
            self.findings.append(remarks.missing("power"))
            self.questions.append(remarks.question("power", "size"))
            return
        self.loads += [built] * self._quantity()
        volts = self.reading.series("voltage")
        if volts is not None and name == "resistive" and are_linked(volts.values()):
            self.findings.append(remarks.two_voltages(*sorted(volts.values()[:2])))
        if built.voltage_v is None:
            self.findings.append(remarks.missing("voltage"))
            self.questions.append(remarks.question("voltage", "method"))
        machine = name in {"constant-power", "rectifier", "thyristor"} and self.phases == 3
        if machine and not self.reading.says("short_circuit_rating"):
            self.findings.append(remarks.missing("short_circuit_rating"))

    def _quantity(self) -> int:
        digits = "".join(c for c in self.reading.text("times") if c.isdigit())
        return int(digits or 1)

    def _say_factors(self) -> None:
        for field in _FACTORS:
            printed = self.reading.number(field)
            if printed is not None and factor(self.reading, field) is None:
                self.contradicted.add(field)
                self.findings.append(remarks.impossible(field, printed))
                self.questions.append(remarks.question(field, "figures"))

    def _say_missing(self) -> None:
        first = self.speeds[0].series
        for field in ("power", "voltage", "current"):
            if field in first or field in self.contradicted | self.undecided:
                continue
            self.findings.append(remarks.missing(field))
            if field == "voltage" or "power" not in first:
                changes = "method" if field == "voltage" else "size"
                self.questions.append(remarks.question(field, changes))
        if "power" in first and any("power" not in one.series for one in self.speeds):
            self.findings.append(remarks.missing("power"))
            self.questions.append(remarks.question("power", "size"))
        self.questions += [remarks.question(field, "size") for field in sorted(self.undecided)]
        derived = {field for one in self.speeds for field in one.derived}
        self.findings += [
            remarks.missing(field, "info", substitute="other-figures") for field in sorted(derived)
        ]
        if "frequency" not in first:
            hertz = frequency_of(self.reading)
            said = {"substitute": hertz} if hertz is not None else {}
            self.findings.append(remarks.missing("frequency", "info", **said))

    def _say_alternatives(self) -> None:
        volts = remarks.voltages(self.motors[0]) if self.motors else None
        if volts is not None:
            self.findings.append(volts)
        if self._is_two_speed():
            self.findings.append(remarks.two_speeds(len(self.speeds)))

    def _is_two_speed(self) -> bool:
        return any(one.two_speed for one in self.speeds)

    def content(self) -> Content:
        """Return everything that was made."""
        return Content(
            motors=tuple(self.motors),
            loads=tuple(self.loads),
            two_speed=self._is_two_speed(),
            starts_in_star=any(one.starts_in_star for one in self.speeds),
            neutral=any(one.neutral for one in self.speeds),
            findings=tuple(self.findings),
            questions=tuple(self.questions),
            contradicted=tuple(sorted(self.contradicted)),
            undecided=tuple(sorted(self.undecided)),
        )


def are_two_speeds(motors: tuple[Motor, ...]) -> bool:
    """Are two motors without names, printed row by row, more likely two speeds of one."""
    if len(motors) != 2 or any(one.name for one in motors):
        return False
    speeds = [one.speed_rpm for one in motors if one.speed_rpm]
    return len(speeds) == 2 and max(speeds) / min(speeds) >= _TWO_SPEED


def name_of(words: list[str]) -> str:
    """Return what a plate calls a motor, from the words before its first figure."""
    kept = [word for word in words if word.casefold().strip(".") not in _NAMELESS]
    return " ".join(kept)[:_LONGEST_NAME]
