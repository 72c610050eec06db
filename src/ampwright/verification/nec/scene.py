"""One circuit of a plan with what it feeds: motors, loads, converter, surroundings."""

from collections.abc import Iterator

import attrs

from ampwright.equipment.circuit import Circuit
from ampwright.equipment.converter import Converter
from ampwright.method import Start
from ampwright.option import Option
from ampwright.records.machine import Machine
from ampwright.records.motor import Motor
from ampwright.verification.ledger import Ledger, close
from ampwright.verification.nec.book import SAME_POWER, Book
from ampwright.verification.nec.seen import (
    VOLTAGE_TOLERANCE,
    SeenLoad,
    SeenMotor,
    is_auto,
    is_plausible,
    rating_for,
    volts_of,
    welding_of,
)
from ampwright.verification.neutrals import has_neutral
from ampwright.verification.notation import HORSEPOWER_W
from ampwright.verification.parts import HEATING, Parts, idlers_of
from ampwright.verification.rated_power import is_said_contradicted, rated_power
from ampwright.verification.statements import Statements, every_machine


class Scene:
    """One circuit, and everything about it that a rule asks for."""

    def __init__(
        self, ledger: Ledger, book: Book, statements: Statements, option: Option, circuit: Circuit
    ) -> None:
        self.ledger, self.book, self.option, self.circuit = ledger, book, option, circuit
        self.statements = statements
        self.place = f"options/{option.id}/circuits/{circuit.id}"
        self.shop = ledger.decision.shop
        by_id = {one.id: one for one in option.converters}
        feeding = option_converters(option, circuit, by_id)
        #: Converter that this circuit feeds, and the one that it is fed from.
        self.fed_converter: Converter | None = feeding[0]
        self.made_by: Converter | None = feeding[1]
        #: Transformer that this circuit feeds.
        self.transformer = next(
            (one for one in option.transformers if one.id in circuit.feeds), None
        )
        self.machines = self._machines()
        self.motors: tuple[SeenMotor, ...] = tuple(self._motors())
        self.loads: tuple[SeenLoad, ...] = tuple(self._loads())

    def path(self, *parts: str) -> str:
        """Return the path of a part of the circuit."""
        return "/".join((self.place, *parts))

    def number(self, *parts: str) -> float | None:
        """Return the number of a step of the circuit."""
        return self.ledger.number(self.path(*parts))

    @property
    def volts(self) -> float:
        """Voltage at the motors: of the circuit, or behind the converter that it feeds [V]."""
        converter = self.fed_converter
        return self.circuit.voltage_v if converter is None else converter.output_voltage_v

    @property
    def is_drive(self) -> bool:
        """It feeds, or is fed by, a drive."""
        one = self.fed_converter or self.made_by
        return one is not None and one.method == "drive"

    @property
    def starts(self) -> tuple[Start, ...]:
        """The starts that its device has to carry."""
        if self.circuit.role == "idler":
            return tuple(one for one in self.option.starts if one.id in self.circuit.feeds)
        converter = self.fed_converter
        if converter is not None:
            wanted = (converter.id, *converter.machines)
            return tuple(one for one in self.option.starts if one.id in wanted)
        machines = {
            one.id
            for one in self.machines
            if Parts(self.ledger, self.statements, self.option, one).starts_on(self.circuit)
        }
        return tuple(one for one in self.option.starts if one.id in machines)

    def _machines(self) -> tuple[Machine, ...]:
        converter = self.fed_converter
        ids = converter.machines if converter is not None else self.circuit.feeds
        return tuple(one for one in every_machine(self.shop) if one.id in ids)

    def _motors(self) -> Iterator[SeenMotor]:
        circuit = self.circuit
        if circuit.role == "idler":
            yield from self._idlers()
            return
        for machine in self.machines:
            plate = self.statements.plate(machine.id)
            motors = machine.motors or (plate.motors if plate is not None else ())
            alone = bool(machine.motors_one_at_a_time) or (
                plate is not None and plate.one_at_a_time
            )
            alone = (alone or "two-speed" in machine.traits) and len(motors) > 1
            parts = Parts(self.ledger, self.statements, self.option, machine)
            for place, motor in enumerate(motors):
                if not parts.motor_is_on(circuit, place):
                    continue
                seen = self._exchanged(machine, place, motor, one_at_a_time=alone) or self._motor(
                    machine, place, motor, one_at_a_time=alone
                )
                if seen is not None:
                    yield seen

    def _idlers(self) -> Iterator[SeenMotor]:
        for one in self.option.converters:
            if one.id in self.circuit.feeds and one.idler_power_w is not None:
                hp = one.idler_power_w / idlers_of(self.option, one.id) / HORSEPOWER_W
                wiring = f"options/{self.option.id}/wiring/{one.id}/idler"
                plate = self.ledger.number(f"{wiring}/current")
                current = self.book.motor_current(hp, self.circuit.voltage_v, self.circuit.phases)
                yield SeenMotor(
                    id=self.circuit.id.removeprefix("idler."),
                    machine="",
                    record=None,
                    phases=self.circuit.phases,
                    hp=hp,
                    current=current if current is not None else plate or 0.0,
                    plates=() if plate is None else (plate,),
                    volts=self.circuit.voltage_v,
                    locked=self.ledger.number(f"{wiring}/locked_rotor_current"),
                )

    def _motor(
        self, machine: Machine, place: int, motor: Motor, *, one_at_a_time: bool
    ) -> SeenMotor | None:
        number = f"machines/{machine.id}/motors/{place}"
        through = self._through(machine.id)
        here = self.volts / through
        rating = rating_for(motor, here)
        hp_step = self.number("motors", machine.id, str(place), "power_hp")
        phases = 1 if motor.phases == 1 else 3
        volts = volts_of(rating, here)
        power = rated_power(self.ledger, number, rating.power_w, volts, rating.current_a, phases)
        hp = hp_step if power is None else power / HORSEPOWER_W
        if hp is None:
            return None
        reckoned = self.ledger.number(f"{number}/current")
        stated = {rating.current_a, rating.current_from_a, reckoned}
        plates = tuple(one for one in stated if one is not None)
        contradicted = is_said_contradicted(self.ledger, machine.id)
        printed = None if contradicted else rating.current_a
        if reckoned is not None and (contradicted or rating.current_a is None):
            plates = (reckoned * self._reckoned_v(number, volts) / volts,)
        if printed is not None and is_plausible(hp, volts, printed, phases):
            plates = (
                printed,
                *(() if rating.current_from_a is None else (rating.current_from_a,)),
            )
        again = self._relinked(number, volts, here)
        if again is not None:
            volts, plates = again[0], (again[1],)
        volts, plates = volts * through, tuple(one / through for one in plates)
        table = None
        special = (rating.speed_rpm or 9e9) < self.book.factor("low_speed_rpm")
        special = special or bool({"hermetic", "two-speed"} & set(machine.traits))
        if not special:
            table = self.book.motor_current(hp, volts, phases)
        current = table if table is not None else max(plates, default=0.0)
        if table is None and (own := self.number("motors", machine.id, str(place), _FULL)):
            current = own if any(abs(own - one) < 1e-9 * one for one in plates) else current
        locked = self._locked(machine.id, place, through, motor.locked_rotor_current_a)
        if phases == 1 and not _says_its_start(motor):
            locked = self._any(locked, hp, volts)
        return SeenMotor(
            id=f"{machine.id}/{place}",
            machine=machine.id,
            record=motor,
            phases=phases,
            hp=hp,
            current=current,
            plates=plates,
            volts=volts,
            one_at_a_time=one_at_a_time,
            locked=locked
            if phases == 3 or _says_its_start(motor)
            else self._any(locked, hp, volts),
        )

    def _reckoned_v(self, number: str, volts: float) -> float:
        """Return the voltage at which the plan reckons the current of a motor [V]."""
        rated = self.ledger.steps.get(f"{number}/circuit/rated_current_a")
        found = None if rated is None else self.ledger.number(dict(rated.inputs).get("U", ""))
        return found or volts

    @property
    def wiring(self) -> str:
        """Path below which stands what this circuit was asked to carry."""
        ahead = next((one for one in self.option.circuits if one.id == self.circuit.fed_from), None)
        names = [one.id for one in self.option.transformers if ahead and one.id in ahead.feeds]
        return f"options/{self.option.id}/wiring/{names[0] if names else self.circuit.id}"

    def _through(self, machine: str) -> float:
        """Return the ratio of a transformer between this circuit and *machine*; 1 for none."""
        if self.circuit.role == "branch" and self.circuit.feeds == (machine,):
            return 1.0
        found = (one for one in self.option.transformers if machine in one.machines)
        one = next(found, None)
        if one is None or self._is_behind(one.id):
            return 1.0
        return one.primary_v / one.secondary_v

    def _is_behind(self, transformer: str) -> bool:
        """Tell whether the circuit hangs on what *transformer* feeds."""
        by_id = {one.id: one for one in self.option.circuits}
        last, ahead = self.circuit, by_id.get(self.circuit.fed_from)
        while ahead is not None and transformer not in ahead.feeds:
            last, ahead = ahead, by_id.get(ahead.fed_from)
        if ahead is not None or not last.fed_from:
            return ahead is not None
        # the circuit ahead lacks because no standard size suffices for it
        made = next(one for one in self.option.transformers if one.id == transformer)
        names = {one.id for one in self.machines}
        return names <= {*made.machines} and close(last.voltage_v, made.secondary_v)

    def _relinked(self, number: str, volts: float, here: float) -> tuple[float, float] | None:
        """Return voltage and current of a link that the leads allow, where the plate's is off."""
        if abs(here / volts - 1) <= VOLTAGE_TOLERANCE:
            return None
        for link in ("delta", "star", "double-star", "double-delta", "rewound"):
            place = f"{number}/relinked/{link}"
            if link == "rewound":
                _, machine, _, place = number.split("/")
                place = f"options/{self.option.id}/linked/{machine}/{place}"
            other = self.ledger.number(f"{place}/voltage")
            amperes = self.ledger.number(f"{place}/current")
            if other and amperes and abs(here / other - 1) <= VOLTAGE_TOLERANCE:
                return other, amperes
        return None

    def _locked(
        self, machine: str, place: int, through: float, stated: float | None
    ) -> float | None:
        """Return the locked-rotor current of a motor as this circuit sees it [A]."""
        linked = f"options/{self.option.id}/linked/{machine}/{place}/locked_rotor_current"
        own = self.ledger.number(linked)
        if own is not None and (self.circuit.phases == 3 or through != 1.0):
            return own / through
        plain = self.ledger.number(f"machines/{machine}/motors/{place}/locked_rotor_current")
        found = plain or stated
        return None if found is None else found / through

    def _any(self, usual: float | None, hp: float, volts: float) -> float | None:
        """Return what any single-phase motor of this power may draw at a start [A].

        That is what is *usual*, or what Table 430.251(A) has for it, whichever is more.
        """
        return usual and max(usual, self.book.locked_rotor_current(hp, volts, 1) or 0.0)

    def _exchanged(
        self, machine: Machine, place: int, old: Motor, *, one_at_a_time: bool
    ) -> SeenMotor | None:
        """Return the single-phase motor that takes the place of *old*, where the plan has one."""
        swapped = f"options/{self.option.id}/swapped/{machine.id}/{place}"
        power = self.ledger.number(f"{swapped}/power")
        plate = self.ledger.number(f"{swapped}/current")
        single = self.circuit.role == "branch" and self.circuit.phases == 1
        if power is None or plate is None or not single:
            return None
        hp = power / HORSEPOWER_W
        own = f"machines/{machine.id}/motors/{place}"
        plated = rating_for(old, self.circuit.voltage_v)
        volts, amperes = volts_of(plated, self.circuit.voltage_v), plated.current_a
        rated = rated_power(self.ledger, own, plated.power_w, volts, amperes, 3)
        if rated is not None and power < rated * (1 - SAME_POWER):
            path = self.path("motors", machine.id, str(place), "power_hp")
            self.ledger.breach("plan.exchanged-motor", path, rated, power, "W")
        slow = (rating_for(old, self.circuit.voltage_v).speed_rpm or 9e9) < self.book.factor(
            "low_speed_rpm"
        )
        table = None if slow else self.book.motor_current(hp, self.circuit.voltage_v, 1)
        new = attrs.evolve(old, phases=1, service_factor=None, temperature_rise=None)
        return SeenMotor(
            id=f"{machine.id}/{place}",
            machine=machine.id,
            record=new,
            phases=1,
            hp=hp,
            current=table if table is not None else plate,
            plates=(plate,),
            volts=self.circuit.voltage_v,
            one_at_a_time=one_at_a_time,
            locked=self._any(
                self.ledger.number(f"{swapped}/locked_rotor_current"), hp, self.circuit.voltage_v
            ),
        )

    def _loads(self) -> Iterator[SeenLoad]:
        for machine in self.machines if self.circuit.role != "idler" else ():
            plate = self.statements.plate(machine.id)
            loads = machine.loads or (plate.loads if plate is not None else ())
            parts = Parts(self.ledger, self.statements, self.option, machine)
            for place, load in enumerate(loads):
                if not parts.load_is_on(self.circuit, place):
                    continue
                current = self._load_current(machine.id, place)
                if current is None:
                    path = f"machines/{machine.id}/loads/{place}"
                    self.ledger.skipped("nec.430.24", path, "the current of the load")
                    continue
                yield SeenLoad(
                    id=f"{machine.id}/load{place}",
                    record=load,
                    continuous=load.kind in HEATING or "continuous" in machine.traits,
                    current=current,
                    welding=welding_of(load, machine),
                    auto=load.kind == "transformer" and is_auto(load, machine),
                )

    def _load_current(self, machine: str, place: int) -> float | None:
        """Return the current of a load as it is linked, or fitted with elements, in this option."""
        three = self.circuit.phases == 3 or self.fed_converter is not None
        own = f"options/{self.option.id}/{'linked' if three else 'elements'}/{machine}/load{place}"
        usual = f"machines/{machine}/loads/{place}/current_{'three' if three else 'single'}_phase"
        found = self.ledger.number(f"{own}/current")
        if found is not None and three:
            return found / self._through(machine)
        return found if found is not None else self.ledger.number(usual)

    @property
    def primary(self) -> str:
        """``"auto"`` or ``"isolating"`` where a transformer is all that the circuit feeds."""
        if self.transformer is not None:
            return self.transformer.kind
        kinds = [one.record.kind for one in self.loads]
        if kinds != ["transformer"] or self.motors or self.fed_converter is not None:
            return ""
        return "auto" if self.loads[0].auto else "isolating"

    @property
    def neutral(self) -> bool:
        """A neutral comes beside its lines."""
        return has_neutral(self.statements, self.option, self.circuit)

    @property
    def beside(self) -> int:
        """Conductors of one set beside the protective one."""
        return (3 if self.circuit.phases == 3 else 2) + self.neutral

    @property
    def lines(self) -> int:
        """Ungrounded conductors of the circuit: those that its device and disconnect open."""
        if self.circuit.phases == 3:
            return 3
        supply = self.shop.supply
        from_one_leg = self.circuit.voltage_v < supply.voltage_v * 0.75
        return 1 if from_one_leg or supply.arrangement == "line-neutral" else 2


_FULL = "full_load_current_a"


def option_converters(
    option: Option, circuit: Circuit, by_id: dict[str, Converter]
) -> tuple[Converter | None, Converter | None]:
    """Return the converter that *circuit* feeds as its supply, and the one that feeds it."""
    fed = next((by_id[one] for one in circuit.feeds if one in by_id), None)
    if circuit.role == "idler":
        return None, fed
    if fed is not None:
        return fed, None
    ahead = next((one for one in option.circuits if one.id == circuit.fed_from), None)
    if ahead is not None and any(one.id in ahead.feeds for one in option.transformers):
        return None, None  # behind a transformer no line is made
    for one in option.converters:
        behind = set(circuit.feeds) <= set(one.machines)
        if behind and circuit.role in ("output", "branch") and circuit.fed_from:
            return None, one
    return None, None


def _says_its_start(motor: Motor) -> bool:
    """Tell whether a plate states what a motor draws at a start; letter V has no upper end."""
    said = motor.locked_rotor_current_a or motor.locked_rotor_current_ratio
    return bool(said) or (motor.code_letter or "V") != "V"
