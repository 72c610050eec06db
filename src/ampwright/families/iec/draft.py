"""The sheet on which a code of this family answers one question."""

from ampwright.families.drafting import Sheet
from ampwright.families.iec.book import Book
from ampwright.step import Figure
from ampwright.tables import Source

USUAL = Source(document="usual value of the region", known="practice")


class Draft(Sheet[Book]):
    """Collects what is written down while one circuit, or the service, is answered."""

    def stated(self, field: str, value: float) -> Figure:
        """Return what the caller stated in a *field* of the shop, whose step stands there."""
        return Figure(float(value), f"shop/{field}")
