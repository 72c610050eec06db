"""Published figures: CSV files beside the kernels whose first line names their source."""

import csv
import pkgutil
from functools import cache


@cache
def rows(name: str) -> tuple[dict[str, str], ...]:
    """Return the rows of a table of this folder, as text, read once.

    Args:
        name: File name without ``.csv``.

    Returns:
        One mapping of column to text a row.

    Raises:
        ValueError: The file does not begin with a line ``# source: ...``, or a row has too few
            or too many cells.

    Accuracy:
        The text as it stands in the file.

    Source:
        The file's own first lines.
    """
    content = pkgutil.get_data(__name__, f"{name}.csv")
    lines = (content or b"").decode("utf-8").splitlines()
    if not lines or not lines[0].startswith("# source: "):
        raise ValueError(f"{name}.csv has to begin with its source")
    columns, *cells = csv.reader(line for line in lines if not line.startswith("#"))
    return tuple(dict(zip(columns, row, strict=True)) for row in cells if row)
