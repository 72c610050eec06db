"""U.S. Department of Energy, motor systems tip sheet on voltage unbalance: efficiency and cost.

A 100 hp motor at full load, 8000 h a year, 94.4 % efficient balanced and 93.0 % at 2.5 %
unbalance, 0.05 dollars a kWh: 9517 kWh and 476 dollars saved a year by mending it. Status: from
memory, high; the sheet counts 0.746 kW a horsepower.
"""

from collections.abc import Callable

from ampwright.kernels.energy import yearly_cost, yearly_energy_kwh

Check = Callable[..., None]


def test_savings(printed: Check) -> None:
    before, after = (yearly_energy_kwh([8000], [74600 / part]) for part in (0.930, 0.944))
    printed("energy saved", 9517, before - after, "kWh", within=3)
    saved = yearly_cost(before - after, price_per_kwh=0.05, fixed_charge=0.0)
    printed("cost saved", 476, saved, "USD", within=0.6)
