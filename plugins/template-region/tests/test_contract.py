"""Lindmark holds the contract of every region."""

from pathlib import Path

from ampwright_region_lindmark import TABLES

from ampwright.testing import RegionContract

SHOP = Path(__file__).parents[1] / "docs" / "shop.toml"


class TestLindmark(RegionContract):
    """By hand: clipped to a surface, 1.5 mm2 of copper in PVC carries 17.5 A, method C."""

    folder = TABLES
    golden = {
        SHOP: {
            "methods": ["rotary"],
            "circuit branch.saw conductor.size": "1.5 mm2",
            "circuit branch.saw conductor.ampacity_a": 17.5,
        }
    }
