"""Which parts of a machine a circuit feeds; every motor and load has to stand on one."""

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from ampwright.equipment.circuit import Circuit
from ampwright.option import Option
from ampwright.records.machine import Machine
from ampwright.verification.ledger import Ledger
from ampwright.verification.statements import Statements, every_machine

if TYPE_CHECKING:
    from ampwright.records.load import Load
    from ampwright.records.motor import Motor

RULE = "plan.part-without-circuit"
SAID = "machine.two-sources"
HEATING = ("resistive", "lamp")
BESIDE = ".single-phase"  # ends the name of what hangs on one phase beside a conversion
TWICE = 1.5  # a circuit of more than this times a part's rated voltage is of another kind
WITHIN = 0.10 + 1e-9  # of rated voltage: IEC 60034-1 and NEMA MG 1, from memory


class Parts:
    """The parts of one machine and the circuits of one option that feed it."""

    def __init__(
        self, ledger: Ledger, statements: Statements, option: Option, machine: Machine
    ) -> None:
        self.ledger, self.option, self.machine = ledger, option, machine
        plate = statements.plate(machine.id)
        self.motors: Sequence[Motor] = machine.motors or (plate.motors if plate else ())
        self.loads: Sequence[Load] = machine.loads or (plate.loads if plate else ())
        own = [one for one in option.circuits if machine.id in one.feeds]
        #: Something is converted for it, or it is fed from three lines.
        self.three = any(one.phases == 3 for one in own) or any(
            machine.id in one.machines for one in option.converters
        )
        self.single = [one for one in own if one.phases == 1]
        #: Without a conversion: its branch circuits, the one of the highest voltage first.
        self.branches = sorted(
            (one for one in self.single if one.role == "branch" and not self.three),
            key=lambda one: -one.voltage_v,
        )

    def motor_is_on(self, circuit: Circuit, place: int) -> bool:
        """Tell whether a motor of the machine is fed by *circuit*, or through what it feeds."""
        one = self.motors[place]
        volts = [each.voltage_v for each in one.ratings if each.voltage_v is not None]
        return self._is_on(circuit, single=one.phases == 1, volts=volts)

    def load_is_on(self, circuit: Circuit, place: int) -> bool:
        """Tell whether another load is fed by *circuit*, or through what it feeds."""
        one = self.loads[place]
        rated = one.voltage_v or one.element_voltage_v
        volts = [float(rated)] if rated and one.phases == 1 else []
        return self._is_on(circuit, single=self.takes_one_phase(place), volts=volts)

    def takes_one_phase(self, place: int) -> bool:
        """Tell whether a load is one of one phase, or a heater that the plan links for one.

        Then the plan adds up its current on a circuit of one phase.
        """
        one = self.loads[place]
        if one.phases == 1 or one.kind not in HEATING or one.relinkable is False:
            return one.phases == 1
        # where no standard size suffices for its circuit, the plan has the sum alone
        own = (self.machine.id, f"{self.machine.id}{BESIDE}")
        names = {*own, *(each.id.partition(".")[2] for each in self.single)}
        return any(self._adds_up(each, place) for each in names)

    def starts_on(self, circuit: Circuit) -> bool:
        """Tell whether *circuit* carries the start that the plan states for the machine.

        That is the start of what is converted, where anything is, and else of what takes the
        supply's voltage.
        """
        return not (self.three and circuit in self.single) and circuit not in self.branches[1:]

    def _adds_up(self, name: str, place: int) -> bool:
        step = self.ledger.steps.get(f"options/{self.option.id}/loads/{name}/current")
        number = f"machines/{self.machine.id}/loads/{place}/"
        fitted = f"options/{self.option.id}/elements/{self.machine.id}/load{place}/"
        taken = (path for _, path in step.inputs) if step is not None else ()
        return any(path.startswith((number, fitted)) for path in taken)

    def _is_on(self, circuit: Circuit, *, single: bool, volts: Sequence[float]) -> bool:
        feeds = self.machine.id in circuit.feeds
        if not feeds or circuit.phases == 3:
            return not single  # on three lines, or ahead of what makes them
        if not self.three:
            return circuit not in self.branches or circuit is self._branch(volts if single else ())
        return single and circuit is self._suiting(volts)

    def _branch(self, volts: Sequence[float]) -> Circuit | None:
        """Return the branch circuit of a part; elements may be exchanged, but not for twice."""
        suiting = self._suiting(volts)
        if suiting is None and any(TWICE * each > self.branches[0].voltage_v for each in volts):
            return self.branches[0]
        return suiting

    def _suiting(self, volts: Sequence[float]) -> Circuit | None:
        """Return the circuit of one phase whose voltage is the part's; of several, the highest."""
        for one in sorted(self.single, key=lambda one: -one.voltage_v):
            if not volts or any(abs(each / one.voltage_v - 1.0) <= WITHIN for each in volts):
                return one
        return None


def check_parts(ledger: Ledger, statements: Statements) -> None:
    """Check that every motor and load of a machine that can be run stands on a circuit."""
    for option in ledger.decision.options:
        for machine in every_machine(ledger.decision.shop):
            if option.verdicts.get(machine.id) in (None, "not-feasible"):
                continue
            parts = Parts(ledger, statements, option, machine)
            own = [one for one in option.circuits if machine.id in one.feeds]
            for path in _without(parts, own):
                place = f"options/{option.id}/{path}"
                ledger.breach(RULE, place, "a circuit", "none")
            _check_said(parts)


def _check_said(parts: Parts) -> None:
    """Check that a machine with two sources is said to have them."""
    option, name = parts.option, parts.machine.id
    said = any(one.code == SAID and name in one.where for one in option.findings)
    apart = bool(parts.three and parts.single) or len(parts.branches) > 1
    if apart != said:
        wanted, found = ("none", "a finding") if said else ("a finding", "none")
        path = f"options/{option.id}/findings/{SAID}"
        parts.ledger.breach("plan.two-sources", path, wanted, found)


def _without(parts: Parts, circuits: Sequence[Circuit]) -> Iterator[str]:
    for place in range(len(parts.motors)):
        if not any(parts.motor_is_on(one, place) for one in circuits):
            yield f"machines/{parts.machine.id}/motors/{place}"
    for place in range(len(parts.loads)):
        if not any(parts.load_is_on(one, place) for one in circuits):
            yield f"machines/{parts.machine.id}/loads/{place}"


def idlers_of(option: Option, converter: str) -> int:
    """Return how many idlers *converter* has: one behind each idler circuit, at least one."""
    circuits = [one for one in option.circuits if one.role == "idler"]
    return max(1, sum(converter in one.feeds for one in circuits))
