"""Small shops, and their parts while they are completed."""
# ruff: noqa: ANN401 - the builders take any field of a record

from typing import Any

from ampwright.case import Case, MachineCase, MotorCase, SupplyCase
from ampwright.planning.bounds import bounded
from ampwright.planning.intake import intake
from ampwright.planning.motors import motor_case
from ampwright.planning.rated import PlateReading, Words
from ampwright.planning.ratings import suited
from ampwright.planning.supply import supply_case
from ampwright.records.load import Load
from ampwright.records.machine import Machine
from ampwright.records.motor import Motor
from ampwright.records.shop import Shop
from ampwright.records.supply import Supply
from ampwright.step import Figure, Step, Worksheet, evaluate

SPLIT_PHASE: dict[str, Any] = {
    "arrangement": "split-phase",
    "voltage": "240 V",
    "frequency": "60 Hz",
    "rating": "100 A",
    "existing_load": "10 A",
}
FIVE_HP: dict[str, Any] = {
    "power": "5 hp",
    "voltage": "230/460 V",
    "current": "13.2/6.6 A",
    "frequency": "60 Hz",
    "speed": "1740 rpm",
}
HORSEPOWER_W = 745.69987158227022  # 550 foot pounds a second, by the definitions of both


def supply(**changes: Any) -> Supply:
    """Return a split-phase supply of 100 A, with *changes*."""
    return Supply(**(SPLIT_PHASE | changes))


def motor(**changes: Any) -> Motor:
    """Return a motor of 5 hp with a whole plate, with *changes*; ``None`` leaves a figure out."""
    return Motor(**(FIVE_HP | changes))


def machine(name: str = "saw", **changes: Any) -> Machine:
    """Return a machine with one motor of 5 hp, 10 m from the panel, with *changes*."""
    usual: dict[str, Any] = {"length": "10 m"}
    if not {"plate", "loads", "motors"} & set(changes):
        usual["motors"] = (motor(),)
    return Machine(id=name, **(usual | changes))


def heater(name: str = "heater", **changes: Any) -> Machine:
    """Return a machine with one heater of 6 kW for 240 V, with *changes* of the load."""
    usual: dict[str, Any] = {
        "kind": "resistive", "power": "6 kW", "voltage": "240 V", "relinkable": True
    }  # fmt: skip
    return Machine(id=name, length="10 m", loads=(Load(**(usual | changes)),))


def shop(*machines: Machine, **changes: Any) -> Shop:
    """Return a shop under the code of the United States."""
    usual: dict[str, Any] = {"region": "us", "supply": supply()}
    return Shop(machines=machines or (machine(),), **(usual | changes))


def case_of(*machines: Machine, **changes: Any) -> Case:
    """Return such a shop completed."""
    return intake(shop(*machines, **changes), bounded(None))


def words() -> Words:
    """Return a place for what there is to say."""
    return Words([], [], [])


def completed(**changes: Any) -> SupplyCase:
    """Return the supply completed."""
    return supply_case(supply(**changes))[0]


def reading(stated: Motor, at: SupplyCase | None = None) -> PlateReading:
    """Return the plate of a motor while it is read."""
    here = at or completed()
    fit = suited(stated, here.voltage.value, here.frequency.value)
    where = "shop/machines/saw/motors/0"
    return PlateReading(stated, fit, where, "saw", 0, Worksheet("machines/saw/motors/0"), words())


def of_motor(stated: Motor, at: SupplyCase | None = None, **changes: Any) -> MotorCase:
    """Return one motor completed, on the machine that *changes* describe."""
    owner = machine(motors=(stated,), **changes)
    place = "shop/machines/saw/motors/0"
    return motor_case(owner, 0, stated, place, at or completed(), words())[0]


def only(case: Case) -> MachineCase:
    """Return the one machine of a shop."""
    (found,) = case.machines
    return found


def step(steps: tuple[Step, ...], ending: str) -> Step:
    """Return the one step whose path ends so."""
    found = [one for one in steps if one.path.endswith(ending)]
    assert len(found) == 1, [one.path for one in found]
    return found[0]


def recomputed(steps: tuple[Step, ...], ending: str, **values: float) -> float:
    """Return what the formula of a step gives for *values*."""
    return evaluate(step(steps, ending).formula, values)


def figure(value: float, path: str = "elsewhere") -> Figure:
    """Return a figure whose step stands elsewhere."""
    return Figure(float(value), path)
