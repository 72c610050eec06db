"""Australia holds the contract of every region."""

from pathlib import Path

from ampwright_region_au import TABLES

from ampwright.testing import RegionContract

SHOP = Path(__file__).parents[1] / "docs" / "shop.toml"


class TestAustralia(RegionContract):
    """By hand: 1.5 mm2 of copper in PVC carries 15 x 0.87 = 13.05 A, method B2 at 40 C.

    8.6 A stand on the plate for 230 V; behind the converter the largest leg carries some 10 A. For
    the planer the drop is binding: 120 m of 2.5 mm2 have 8.87 mohm/m at 70 C and drop
    sqrt(3) x 10 x 120 x 8.87e-3 x 0.8 / 230 = 6.4 %; 4 mm2 have 5.52 mohm/m and drop 4.0 %.
    """

    folder = TABLES
    golden = {
        SHOP: {
            "methods": ["rotary"],
            "machine saw": "rotary",
            "circuit branch.saw conductor.size": "1.5 mm2",
            "circuit branch.saw conductor.ampacity_a": 13.05,
            "circuit branch.planer conductor.size": "4 mm2",
            "circuit branch.saw protective_conductor.size": "1.5 mm2",
        }
    }
