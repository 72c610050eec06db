"""The sheet on which a code of this family answers one question."""

from ampwright.families.drafting import Sheet
from ampwright.families.nec.book import Book
from ampwright.finding import parameters
from ampwright.step import Figure
from ampwright.tables import Source


class Draft(Sheet[Book]):
    """Collects what is written down while one circuit, or the service, is answered."""

    def assume(
        self,
        name: str,
        symbol: str,
        value: float,
        unit: str,
        *,
        code: str,
        source: Source,
        rule: str = "",
        low: float | None = None,
        high: float | None = None,
    ) -> Figure:
        """State a value that nobody gave, and say so."""
        figure = self.sheet.assumed(
            name, symbol, value, unit, source=source, rule=rule, low=low, high=high
        )
        self.assumed(code, parameters(f"value={unit}" if unit else "", value=figure))
        return figure
