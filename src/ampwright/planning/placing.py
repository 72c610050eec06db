"""Where a converter would stand: room, air, dust, noise."""

from collections.abc import Iterator
from pathlib import Path

from ampwright.case import Case
from ampwright.finding import Finding, parameters
from ampwright.method import Proposal
from ampwright.step import Figure
from ampwright.tables import read_table

PLACES = read_table(Path(__file__).with_name("places.csv"))
IDLER_DB = 70.0  # of a usual idler at one metre: common practice, no source


def placing(case: Case, proposals: tuple[Proposal, ...]) -> Iterator[Finding]:
    """Yield what the place of the converters calls for; drives stand at their machines."""
    place = case.shop.site.converter_place
    if place is None:
        return
    for one in (one for each in proposals for one in each.converters if each.method != "drive"):
        for row in PLACES.rows:
            if getattr(place, row["field"]) == row["value"]:
                yield Finding(code=row["code"], severity=row["severity"], where=(one.id,),
                              parameters=parameters(value=row["value"]))  # fmt: skip
        if one.idler_power_w is not None and place.noise_db is not None:
            allowed = Figure(float(place.noise_db), "shop/site/converter_place/noise_db")
            if allowed.value < IDLER_DB:
                yield Finding(code="site.converter-noise", severity="caution", where=(one.id,),
                              parameters=parameters("allowed=dB", allowed=allowed))  # fmt: skip
