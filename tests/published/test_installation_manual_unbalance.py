"""Installation manual of an air-cooled water chiller, p. 39: unbalanced three-phase supply.

Status: seen on a public page that reproduces the manual (243, 236 and 238 V give 1.7 %).
"""

from collections.abc import Callable

from ampwright.kernels.unbalance import deviation_unbalance

Check = Callable[..., None]


def test_page_39_worked_figures(printed: Check) -> None:
    printed("243, 236, 238 V", 0.017, deviation_unbalance(243, 236, 238), "", within=5e-4)
