"""Canada holds the contract of every region."""

from pathlib import Path

from ampwright_region_ca import TABLES

from ampwright.testing import RegionContract

SHOP = Path(__file__).parents[1] / "docs" / "shop.toml"


class TestCanada(RegionContract):
    """By hand, for the saw: 5 hp at 230 V draws 15.2 A by the table of motor currents.

    Conductor: 1.25 x 15.2 = 19.0 A; 14 AWG copper carries 20 A at 75 C, which the terminals are
    marked for. Overload: 1.25 x 13.2 A = 16.5 A, for the service factor is 1.15.
    """

    folder = TABLES
    golden = {
        SHOP: {
            "circuit branch.saw design_current_a": 19.0,
            "circuit branch.saw conductor.size": "14 AWG",
            "circuit branch.saw conductor.ampacity_a": 20.0,
            "circuit branch.saw overloads.0.setting_a": 16.5,
        }
    }
