"""Makes plugins that are not installed importable from their source."""

import sys
from pathlib import Path

for source in sorted(Path(__file__).parent.glob("*/src")):
    if str(source) not in sys.path:
        sys.path.append(str(source))
