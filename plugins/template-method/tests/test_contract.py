"""The bench converter holds the contract of every method."""

from ampwright_method_bench import BenchConverter

from ampwright.testing import NORTH_AMERICA, MethodContract, ladder


class TestBench(MethodContract):
    method = BenchConverter()
    served = ladder(NORTH_AMERICA, 3)
