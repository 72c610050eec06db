"""One circuit of a plan with what it feeds: motors, loads, converter, what lies ahead of it."""

import math
from collections.abc import Iterator

from ampwright.equipment.circuit import Circuit
from ampwright.equipment.converter import Converter
from ampwright.equipment.transformer import Transformer
from ampwright.option import Option
from ampwright.records.machine import Machine
from ampwright.records.motor import Motor
from ampwright.records.supply import Supply
from ampwright.verification.iec.book import Book
from ampwright.verification.iec.seen import (
    GUIDES,
    NEAR_GUIDE,
    SAME_POWER,
    SeenLoad,
    SeenMotor,
    heating,
)
from ampwright.verification.ledger import Ledger, close
from ampwright.verification.nec.seen import VOLTAGE_TOLERANCE, rating_for, volts_of
from ampwright.verification.neutrals import has_neutral
from ampwright.verification.parts import Parts, idlers_of
from ampwright.verification.rated_power import rated_power
from ampwright.verification.statements import Statements, every_machine

LINKS = ("delta", "star", "double-star", "double-delta")


class Scene:
    """One circuit, and everything about it that a rule asks for."""

    def __init__(
        self, ledger: Ledger, book: Book, statements: Statements, option: Option, circuit: Circuit
    ) -> None:
        self.ledger, self.book, self.option, self.circuit = ledger, book, option, circuit
        self.statements = statements
        self.place = f"options/{option.id}/circuits/{circuit.id}"
        self.shop = ledger.decision.shop
        self.by_id = {one.id: one for one in option.circuits}
        converters = {one.id: one for one in option.converters}
        at = next((converters[one] for one in circuit.feeds if one in converters), None)
        idler = circuit.role == "idler"
        #: Converter that this circuit feeds, and the one that makes a line of it.
        self.fed_converter: Converter | None = None if idler else at
        self.made_by: Converter | None = at if idler else self._made_by(converters)
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

    def term(self, step: str, name: str) -> float | None:
        """Return the number that a step of the circuit takes under a name in its formula."""
        found = self.ledger.steps.get(self.path(step))
        return None if found is None else self.ledger.number(dict(found.inputs).get(name, ""))

    def breach(
        self, rule: str, part: str, wanted: float | str, found: float | str, unit: str = ""
    ) -> None:
        """Object: *rule* asks for *wanted* at a *part* of the circuit."""
        self.ledger.breach(rule, self.path(part), wanted, found, unit)

    def said(self, code: str) -> bool:
        """Tell whether the plan says something of this circuit."""
        return any(
            one.code == code and self.circuit.id in one.where for one in self.option.findings
        )

    @property
    def supply(self) -> Supply:
        """The single-phase supply."""
        return self.shop.supply

    @property
    def is_drive(self) -> bool:
        """It feeds a drive, or is fed by one."""
        one = self.fed_converter or self.made_by
        return one is not None and one.method == "drive"

    @property
    def made(self) -> bool:
        """One of its conductors is made by a converter, and no drive limits what it gives."""
        return self.made_by is not None and not self.is_drive and self.circuit.phases == 3

    @property
    def earthing(self) -> str:
        """System of earthing: ``"tn"``, ``"tt"`` or ``"it"``; earthed at separate windings, TN."""
        if self.own_source:
            return "tn"
        stated = str(self.supply.earthing or self.book.usual("earthing"))
        return stated[:2]

    @property
    def own_source(self) -> bool:
        """It hangs on windings apart from the supply: 411.4 goes by what is earthed there."""
        windings = (one for one in self.option.transformers if one.kind == "isolating")
        if self.made_by is not None and self.made_by.own_source and self.circuit.role != "idler":
            return True
        return any(self.is_behind(one.id) for one in windings)

    @property
    def corded(self) -> bool:
        """It ends in a cord with plug."""
        ends = {
            one.id
            for one in every_machine(self.shop)
            if one.plug is not None or "plug-connected" in one.traits
        }
        feeds = set(self.circuit.feeds)
        return self.circuit.role == "branch" and bool(feeds) and feeds <= ends

    @property
    def neutral(self) -> bool:
        """A neutral comes beside its lines."""
        return has_neutral(self.statements, self.option, self.circuit)

    def ahead(self) -> Circuit | None:
        """Return the circuit that this one is fed from."""
        return self.by_id.get(self.circuit.fed_from)

    @property
    def behind(self) -> Transformer | None:
        """The transformer that the circuit runs from, to its machine; none from the panel."""
        for one in self.option.transformers if self.circuit.fed_from else ():
            same = close(self.circuit.voltage_v, one.secondary_v)
            if one.phases == 3 and self.circuit.feeds == one.machines and same:
                return one
        return None

    def _made_by(self, converters: dict[str, Converter]) -> Converter | None:
        """Return the converter that the circuit hangs on; none behind a transformer."""
        if self.behind is not None or not self.circuit.fed_from:
            return None
        one = self.ahead()
        while one is not None:
            found = next((converters[name] for name in one.feeds if name in converters), None)
            if found is not None:
                return found
            one = self.by_id.get(one.fed_from)
        # a circuit ahead may lack because no standard size suffices for it
        behind = {*self.circuit.feeds}
        for made in self.option.transformers:
            behind |= {*made.machines} if made.id in behind else set()
        behind -= {made.id for made in self.option.transformers}
        return next((one for one in converters.values() if behind <= set(one.machines)), None)

    # what is on it

    def _machines(self) -> tuple[Machine, ...]:
        ids = self.circuit.feeds
        if self.fed_converter is not None:
            ids = self.fed_converter.machines
        elif self.transformer is not None:
            ids = self.transformer.machines
        return tuple(one for one in every_machine(self.shop) if one.id in ids)

    def starts_here(self, machine: Machine) -> bool:
        """Tell whether the start that the plan states for *machine* is one on this circuit."""
        parts = Parts(self.ledger, self.statements, self.option, machine)
        return parts.starts_on(self.circuit)

    def _motors(self) -> Iterator[SeenMotor]:
        if self.circuit.role == "idler":
            yield from self._idlers()
        elif self.transformer is None:
            for machine in self.machines:
                plate = self.statements.plate(machine.id)
                motors = machine.motors or (plate.motors if plate is not None else ())
                parts = Parts(self.ledger, self.statements, self.option, machine)
                for place, motor in enumerate(motors):
                    if not parts.motor_is_on(self.circuit, place):
                        continue
                    seen = self._motor(machine, place, motor)
                    if seen is not None:
                        yield seen

    def _idlers(self) -> Iterator[SeenMotor]:
        one, volts = self.made_by, self.circuit.voltage_v
        if one is None or one.idler_power_w is None:
            return
        power = one.idler_power_w / idlers_of(self.option, one.id)
        place = f"options/{self.option.id}/wiring/{one.id}/idler"
        plate = self.ledger.number(f"{place}/current") or math.nan
        guide = self._guide(power, volts, 3)
        current = max(plate, guide or 0.0)
        locked = self.ledger.number(f"{place}/locked_rotor_current")
        yield SeenMotor(
            id=self.circuit.id.removeprefix("idler."),
            machine="",
            phases=3,
            power=power,
            volts=volts,
            plates=(plate,),
            current=current,
            locked=locked if locked is not None else self._usual_locked(current),
        )

    def _usual_locked(self, current: float) -> float:
        return self.book.factor("locked_rotor_multiple") * current

    def _guide(self, power: float, volts: float, phases: int) -> float | None:
        """Return the guide current of IEC 60947-4-1 for the row of power at or above [A]."""
        columns = [name for at, name in GUIDES if abs(volts / at - 1) <= NEAR_GUIDE]
        if not columns or phases != 3:
            return None
        for key, row in (self.ledger.table("motor_currents") or {}).items():
            if row.get(columns[0]) and float(key) * 1e3 >= power * (1 - SAME_POWER):
                return float(row[columns[0]])
        return None

    @property
    def volts(self) -> float:
        """Voltage at the motors: of the circuit, or behind the converter that it feeds [V]."""
        one = self.fed_converter
        return self.circuit.voltage_v if one is None else one.output_voltage_v

    def _motor(self, machine: Machine, place: int, motor: Motor) -> SeenMotor | None:
        number = f"{machine.id}/{place}"
        alone = "two-speed" not in machine.traits and not machine.motors_one_at_a_time
        plate = self.statements.plate(machine.id)
        alone = alone and not (plate is not None and plate.one_at_a_time and not machine.motors)
        exchanged = self._exchanged(number, alone=alone)
        if exchanged is not None:
            return exchanged
        through = self._through(machine.id)
        rating = rating_for(motor, self.volts / through)
        phases = 1 if motor.phases == 1 else 3
        own = f"machines/{number.replace('/', '/motors/')}"
        printed = rating.power_w or self.ledger.number(f"{own}/power")
        power = rated_power(
            self.ledger, own, printed, volts_of(rating, self.volts / through), rating.current_a,
            phases,
        )  # fmt: skip
        if power is None:
            return None
        volts, plates, known = self._linked(number, own, motor, through)
        guide = None if known else self._guide(float(power), volts * through, phases)
        base = max(plates, default=math.nan) / through
        current = base if guide is None else max(base, guide)
        return SeenMotor(
            id=number,
            machine=machine.id,
            phases=phases,
            power=float(power),
            volts=volts * through,
            plates=tuple(one / through for one in plates),
            current=self._picked(number, tuple(one / through for one in plates), current),
            locked=self._locked(number, own, motor, through, current),
            at_once=alone,
        )

    def _picked(self, number: str, plates: tuple[float, ...], current: float) -> float:
        """Return the current that the plan takes, where it is one that the plate allows."""
        taken = self.number("motors", number, "current_a")
        if taken is not None and any(abs(one - taken) <= 1e-9 * one for one in plates):
            return max(taken, current if len(plates) == 1 else taken)
        return current

    def _linked(
        self, number: str, own: str, motor: Motor, through: float
    ) -> tuple[float, tuple[float, ...], bool]:
        """Return voltage, currents that may count, and whether a plate stands behind them."""
        here = self.volts / through
        rating = rating_for(motor, here)
        volts = volts_of(rating, here)
        linked = f"options/{self.option.id}/linked/{number}"
        again = self.ledger.number(f"{linked}/current")
        three = self.circuit.phases == 3 or through != 1.0 or self.fed_converter is not None
        stated = any(one.current_a is not None for one in motor.ratings)
        if again is not None and three:
            found = [again, rating.current_a] if rating.current_a is not None else [again]
            return self.ledger.number(f"{linked}/voltage") or volts, tuple(found), True
        if abs(here / volts - 1) > VOLTAGE_TOLERANCE:
            for link in LINKS:
                other = self.ledger.number(f"{own}/relinked/{link}/voltage")
                amperes = self.ledger.number(f"{own}/relinked/{link}/current")
                if other and amperes and abs(here / other - 1) <= VOLTAGE_TOLERANCE:
                    return other, (amperes,), stated
        reckoned = self.ledger.number(f"{own}/current")
        if reckoned is not None:
            return volts, (reckoned,), stated
        known = (rating.current_a, rating.current_from_a)
        return volts, tuple(float(one) for one in known if one is not None), True

    def _locked(self, number: str, own: str, motor: Motor, through: float, current: float) -> float:
        linked = f"options/{self.option.id}/linked/{number}/locked_rotor_current"
        found = self.ledger.number(linked)
        if found is None or not (self.circuit.phases == 3 or through != 1.0):
            found = self.ledger.number(f"{own}/locked_rotor_current")
        if found is None and motor.locked_rotor_current_a is not None:
            found = float(motor.locked_rotor_current_a)
        return self._usual_locked(current) if found is None else found / through

    def _through(self, machine: str) -> float:
        """Return the ratio of a transformer between this circuit and *machine*; 1 for none."""
        if self.circuit.feeds == (machine,) and self.circuit.role == "branch":
            return 1.0
        one = next((one for one in self.option.transformers if machine in one.machines), None)
        if one is None or self.is_behind(one.id):
            return 1.0
        return one.primary_v / one.secondary_v

    def is_behind(self, transformer: str) -> bool:
        """Tell whether the circuit hangs on what *transformer* feeds."""
        last, ahead = self.circuit, self.ahead()
        while ahead is not None and transformer not in ahead.feeds:
            last, ahead = ahead, self.by_id.get(ahead.fed_from)
        if ahead is not None or not last.fed_from:
            return ahead is not None
        # the circuit ahead lacks because no standard size suffices for it
        made = next(one for one in self.option.transformers if one.id == transformer)
        names = {one.id for one in self.machines}
        return names <= {*made.machines} and close(last.voltage_v, made.secondary_v)

    @property
    def stepped(self) -> float:
        """Voltage at the panel over that of this circuit, behind a single-phase transformer."""
        for one in self.option.transformers:
            if one.phases == 1 and self.is_behind(one.id):
                return one.primary_v / one.secondary_v
        return 1.0

    def _exchanged(self, number: str, *, alone: bool) -> SeenMotor | None:
        """Return the single-phase motor that takes the place of another, where there is one."""
        place = f"options/{self.option.id}/swapped/{number}"
        power, plate = self.ledger.number(f"{place}/power"), self.ledger.number(f"{place}/current")
        single = self.circuit.role == "branch" and self.circuit.phases == 1
        if power is None or plate is None or not single:
            return None
        locked = self.ledger.number(f"{place}/locked_rotor_current")
        return SeenMotor(
            id=number,
            machine=number.partition("/")[0],
            phases=1,
            power=power,
            volts=self.circuit.voltage_v,
            plates=(plate,),
            current=plate,
            locked=self._usual_locked(plate) if locked is None else locked,
            at_once=alone,
        )

    def _loads(self) -> Iterator[SeenLoad]:
        made = self.transformer
        if made is not None:
            lines = math.sqrt(3) if made.phases == 3 else 1.0
            rated = made.rating_va / (lines * made.primary_v)
            yield SeenLoad(id=made.id, kind="transformer", current=rated, counted=rated)
            return
        for machine in self.machines if self.circuit.role != "idler" else ():
            plate = self.statements.plate(machine.id)
            parts = Parts(self.ledger, self.statements, self.option, machine)
            for place, load in enumerate(machine.loads or (plate.loads if plate else ())):
                if not parts.load_is_on(self.circuit, place):
                    continue
                current = self._load_current(machine.id, place)
                if current is None:
                    path = f"machines/{machine.id}/loads/{place}"
                    self.ledger.skipped("iec.433.1", path, "the current of the load")
                    continue
                own = load.kind == "welder" and load.phases == self.circuit.phases
                counted = heating(load, current) if own or load.kind != "welder" else current
                name = f"{machine.id}/load{place}"
                yield SeenLoad(id=name, kind=load.kind, current=current, counted=counted)

    def _load_current(self, machine: str, place: int) -> float | None:
        """Return the current of a load as it is linked, or fitted with elements, in this option."""
        three = self.circuit.phases == 3 or self.fed_converter is not None
        usual = f"machines/{machine}/loads/{place}/current_{'three' if three else 'single'}_phase"
        names = ("linked",) if three else ("swapped", "elements")
        for name in names:
            own = f"options/{self.option.id}/{name}/{machine}/load{place}/current"
            found = self.ledger.number(own)
            if found is not None:
                return found / self._through(machine)
        return self.ledger.number(usual)
