"""IEC 60364-5-52 table B.52.14 and NEC table 310.15(B)(1): factors for ambient temperature.

Status: 0.866 (70 C conductor at 40 C over 30 C) seen in public design notes; the tables' other
values from memory, high. Printed to two places.
"""

from collections.abc import Callable

import pytest

from ampwright.kernels.cable import ambient_factor

Check = Callable[..., None]


def test_design_notes(printed: Check) -> None:
    ours = ambient_factor(40, limit_c=70, rated_ambient_c=30)
    printed("70 C at 40 C", 0.866, ours, "", within=6e-4)


@pytest.mark.parametrize(
    ("limit_c", "ambient_c", "wanted"),
    [(70, 10, 1.22), (70, 20, 1.12), (70, 25, 1.06), (70, 35, 0.94), (70, 45, 0.79), (70, 50, 0.71),
     (90, 10, 1.15), (90, 20, 1.08), (90, 40, 0.91), (90, 50, 0.82), (90, 60, 0.71),
     (60, 40, 0.82), (60, 50, 0.58), (75, 40, 0.88), (75, 50, 0.75), (75, 60, 0.58)],
)  # fmt: skip
def test_tables(limit_c: float, ambient_c: float, wanted: float, printed: Check) -> None:
    ours = ambient_factor(ambient_c, limit_c=limit_c, rated_ambient_c=30)
    printed(f"{limit_c} C conductor in {ambient_c} C", wanted, ours, "", within=0.0055)
