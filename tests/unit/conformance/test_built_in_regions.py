"""The built-in regions hold the contract that strangers' regions hold."""

import ampwright.regions.iec
import ampwright.regions.us
from ampwright.testing import RegionContract


class TestUs(RegionContract):
    region = ampwright.regions.us.ampwright_regions()[0]


class TestIec(RegionContract):
    region = ampwright.regions.iec.ampwright_regions()[0]
