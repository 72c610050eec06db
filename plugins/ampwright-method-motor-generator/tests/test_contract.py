"""The set holds the contract of every method."""

from ampwright_method_motor_generator import MotorGenerator

from ampwright.testing import NORTH_AMERICA, MethodContract, ladder


class TestMotorGenerator(MethodContract):
    method = MotorGenerator()
    served = ladder(NORTH_AMERICA, 5)
