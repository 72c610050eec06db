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
    """By hand: 4 mm2 of copper in PVC carries 30 A, method B2, two loaded, at 30 C.

    A drive of 2.2 kW takes some 2200 W / (0.86 x 0.96 x 200 V x 0.65) = 20.5 A, so its device has
    25 A, and 2.5 mm2, which carry 23 A, do not do. Earthing is TT: a residual current device stands
    ahead, of type B, since the rectifier lies between two lines (531.3.3).
    """

    folder = TABLES
    market = MARKET
    golden = {
        SHOP: {
            "methods": ["drive"],
            "machine saw": "drive",
            "circuit supply.drive.saw protective_device.rating_a": 25.0,
            "circuit supply.drive.saw conductor.size": "4 mm2",
            "circuit supply.drive.saw conductor.ampacity_a": 30.0,
            "circuit supply.drive.planer conductor.size": "4 mm2",
            "circuit supply.drive.saw guards.0.curve": "type B",
            "circuit supply.drive.saw guards.0.setting_a": 0.1,
        }
    }
