"""U.S. Department of Energy, motor systems tip sheet on voltage unbalance; a second public page.

Status: 462, 463, 455 V and 203, 210, 212 V seen on public pages that reproduce them, the second
cut instead of rounded (2.5 for 2.56 %).
"""

from collections.abc import Callable

from ampwright.kernels.unbalance import deviation_unbalance

Check = Callable[..., None]


def test_tip_sheet_line_voltages(printed: Check) -> None:
    printed("462, 463, 455 V", 0.011, deviation_unbalance(462, 463, 455), "", within=5e-4)


def test_second_page(printed: Check) -> None:
    printed("203, 210, 212 V", 0.0255, deviation_unbalance(203, 210, 212), "", within=5e-4)
