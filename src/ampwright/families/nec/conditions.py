"""How a circuit is installed: what site and supply state, and what is usual where they do not."""

from collections.abc import Mapping
from typing import NamedTuple

import attrs

from ampwright.families.nec.draft import Draft
from ampwright.records.site import Site
from ampwright.records.supply import Feeder, Supply
from ampwright.step import Figure
from ampwright.tables import Source

USUAL = Source(document="usual value of the region", known="practice")


class Conditions(NamedTuple):
    """What a conductor lies in and ends on.

    Attributes:
        material: ``"copper"`` or ``"aluminum"``.
        insulation: Designation, a row of the table ``insulation``.
        raceway: Kind of raceway, a row of ``raceways``; ``""`` for a cable.
        ambient: Surrounding temperature [C].
        circuits: Loaded circuits of this size that lie together.
        wet: It lies in a wet place.
        terminal_c: Temperature that the terminals are marked for [C]; ``None``: not known.
        drop_limit: Voltage drop that the code makes binding, a fraction; ``None``: none.
    """

    material: str
    insulation: str
    raceway: str
    ambient: Figure
    circuits: Figure
    wet: bool = False
    terminal_c: Figure | None = None
    drop_limit: float | None = None

    @property
    def metal(self) -> str:
        """Prefix of the columns for this material."""
        return "cu" if self.material == "copper" else "al"


def conditions(
    draft: Draft, site: Site, supply: Supply, *, near_converter: bool, from_panel: bool = True
) -> Conditions:
    """Return how circuits are installed here; usual values are said as assumptions.

    Args:
        draft: Sheet of the circuit; the steps stand below ``conditions``.
        site: What the owner states.
        supply: The same, for the panel's terminals.
        near_converter: The circuit runs to or from the place of a converter.
        from_panel: It begins at the panel, whose marking then bears on it.
    """
    usual = draft.book.manifest["usual"]
    material = site.conductor_material or said(draft, "conductor_material", usual["material"])
    installation = site.installation or said(draft, "installation", usual["installation"])
    ways = draft.book.tables["installations"]
    row = ways.row(installation)
    if row is None:  # named by a reference method, which codes of this family do not know
        row = ways.row(said(draft, "installation", usual["installation"])) or {}
    insulation = site.insulation or said(
        draft, "insulation", row.get("insulation") or usual["insulation"]
    )
    if row.get("open"):
        draft.everywhere("site.free-air-not-used")
    return Conditions(
        material=material,
        insulation=insulation,
        raceway=site.raceway or row.get("raceway", ""),
        ambient=_ambient(draft, site, usual["ambient_c"], row, near_converter=near_converter),
        circuits=_circuits(draft, site),
        wet=bool(row.get("wet")),
        terminal_c=_terminals(draft, site, supply if from_panel else None),
        drop_limit=draft.book.manifest.get("limits", {}).get("drop_fraction"),
    )


def feeder_conditions(draft: Draft, site: Site, supply: Supply, feeder: Feeder) -> Conditions:
    """Return how an existing feeder lies, as far as it is stated; see `conditions`."""
    as_laid = attrs.evolve(
        site,
        conductor_material=feeder.material or site.conductor_material,
        installation=feeder.installation or site.installation,
        insulation=feeder.insulation or _by_temperature(draft, feeder) or site.insulation,
        grouped_circuits=None,  # of the circuits in the shop; a feeder is taken to lie alone
    )
    return conditions(draft, as_laid, supply, near_converter=False)


def _by_temperature(draft: Draft, feeder: Feeder) -> str | None:
    """Return the first insulation made for the temperature stated of a feeder, if there is one."""
    stated = feeder.insulation_temperature_c
    made_for = draft.book.column("insulation", "dry_c") if stated is not None else {}
    return next((name for name, degrees in made_for.items() if degrees == stated), None)


def said(draft: Draft, field: str, value: str) -> str:
    """Return a word that was not stated, and say which one was taken."""
    draft.everywhere("site.usual-value", field=field, value=value)
    return value


def _ambient(
    draft: Draft, site: Site, usual: float, row: Mapping[str, str], *, near_converter: bool
) -> Figure:
    stated = [site.ambient_c]
    if near_converter and site.converter_place is not None:
        stated.append(site.converter_place.ambient_c)
    if row.get("wet") and site.soil_temperature_c is not None:
        stated = [site.soil_temperature_c]
    values = [float(one) for one in stated if one is not None]
    name = "conditions/ambient_c"
    if values:
        return draft.sheet.given(name, "t_a", max(values), "degC")
    taken = draft.sheet.assumed(name, "t_a", usual, "degC", source=USUAL)
    draft.everywhere("site.usual-value", "value=degC", field="ambient", value=taken)
    return taken


def _circuits(draft: Draft, site: Site) -> Figure:
    name = "conditions/grouped_circuits"
    if site.grouped_circuits is not None:
        return draft.sheet.given(name, "n_g", site.grouped_circuits, "")
    taken = draft.sheet.assumed(name, "n_g", 1.0, "", source=USUAL)
    draft.everywhere("site.usual-value", field="grouped_circuits", value=taken)
    return taken


def _terminals(draft: Draft, site: Site, supply: Supply | None) -> Figure | None:
    stated = supply.panel if supply is not None else None
    panel = stated.terminals_c if stated is not None else None
    marked = [float(one) for one in (site.terminals_c, panel) if one is not None]
    if not marked:
        return None
    taken = draft.sheet.given("conditions/terminals_c", "T_m", min(marked), "degC")
    # what is stated of one end is asked of what will be bought for the other
    draft.everywhere("site.terminals-to-buy", "temperature=degC", temperature=taken)
    return taken
