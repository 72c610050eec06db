"""France holds the contract of every region."""

from pathlib import Path

from ampwright_region_fr import TABLES

from ampwright.testing import RegionContract

SHOP = Path(__file__).parents[1] / "docs" / "shop.toml"


class TestFrance(RegionContract):
    """By hand: 1.5 mm2 of copper in PVC carries 15 A, method B2, at 30 C.

    8.6 A stand on the plate for 230 V; behind the converter the largest leg carries some 10 A, so
    a device of 10 A to 15 A protects the motor and 1.5 mm2 do. Along the planer's cable the drop is
    sqrt(3) x 10 A x 40 m x 14.48 mohm/m x 0.8 / 230 V = 3.5 %, below the 5 % that are recommended.
    """

    folder = TABLES
    golden = {
        SHOP: {
            "methods": ["rotary"],
            "machine saw": "rotary",
            "circuit branch.saw conductor.size": "1.5 mm2",
            "circuit branch.saw conductor.ampacity_a": 15.0,
            "circuit branch.planer conductor.size": "1.5 mm2",
            "circuit branch.saw protective_conductor.size": "1.5 mm2",
        }
    }
