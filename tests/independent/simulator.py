"""The circuit simulator that some tests compare with: ngspice, a package of operating systems.

Where it is missing its tests skip and say so. Where AMPWRIGHT_NEEDS_SIMULATOR is set they run all
the same, and fail.
"""

import os
import shutil

import pytest

NGSPICE = shutil.which("ngspice")
REQUIRED = bool(os.environ.get("AMPWRIGHT_NEEDS_SIMULATOR"))
simulated = pytest.mark.skipif(
    NGSPICE is None and not REQUIRED, reason="needs the circuit simulator ngspice, not on the path"
)
