"""The built-in methods hold the contract that strangers' methods hold."""

from typing import Any, ClassVar

from ampwright.methods.direct import Direct
from ampwright.methods.drive import Drive
from ampwright.methods.motor_swap import MotorSwap
from ampwright.methods.relink import Relink
from ampwright.methods.rotary import Rotary
from ampwright.testing import NORTH_AMERICA, MethodContract, ladder


def heater(name: str, power: str, phases: int) -> dict[str, Any]:
    load = {"kind": "resistive", "power": power, "voltage": "240 V", "phases": phases}
    return {"id": name, "loads": [{**load, "relinkable": True}], "length": "9 m"}


class TestDirect(MethodContract):
    method = Direct()
    served: ClassVar = [heater("a", "2 kW", 1), heater("b", "4 kW", 1)]


class TestRelink(MethodContract):
    method = Relink()
    served: ClassVar = [heater("a", "2 kW", 3), heater("b", "4 kW", 3)]


class TestDrive(MethodContract):
    method = Drive()


class TestMotorSwap(MethodContract):
    method = MotorSwap()
    served: ClassVar = ladder(NORTH_AMERICA, 5)  # the sizes that are sold


class TestRotary(MethodContract):
    method = Rotary()
