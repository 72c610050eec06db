"""Japan holds the contract of every region."""

from pathlib import Path

import attrs
from ampwright_region_jp import TABLES

from ampwright.testing import EUROPE, RegionContract

SHOP = Path(__file__).parents[1] / "docs" / "shop.toml"

MARKET = attrs.evolve(
    EUROPE,
    name="Three wires of 100 and 200 V",
    supply={
        "arrangement": "split-phase",
        "voltage": "200 V",
        "frequency": "50 Hz",
        "earthing": "tt",
    },
    plates=("200 V", "200/400 V", "200-220 V"),
)


class TestJapan(RegionContract):
    """By hand: 2.5 mm2 of copper in PVC carries 20 A, method B2, at 30 C; 1.5 mm2 carries 15 A.

    9.0 A stand on the plate for 200 V; behind the smallest converter that does the largest leg
    carries more than 13 A, the rating above 10 A, so the device has 16 A and 2.5 mm2 are the least.
    Along the planer's cable the drop is at most
    sqrt(3) x 14 A x 40 m x 8.87 mohm/m x 0.8 / 200 V = 3.4 %, below the 5 % that are recommended.
    """

    folder = TABLES
    market = MARKET
    golden = {
        SHOP: {
            "methods": ["rotary"],
            "machine saw": "rotary",
            "circuit branch.saw conductor.size": "2.5 mm2",
            "circuit branch.saw conductor.ampacity_a": 20.0,
            "circuit branch.planer conductor.size": "2.5 mm2",
            "circuit branch.saw protective_conductor.size": "2.5 mm2",
        }
    }
