"""How a circuit is installed: what site and supply state, and what is usual where they do not."""

from collections.abc import Mapping
from typing import NamedTuple

import attrs

from ampwright.families.iec.draft import USUAL, Draft
from ampwright.records.site import Site
from ampwright.records.supply import Supply
from ampwright.step import Figure

#: Insulation of a flexible cable whose ratings are derived from a cooler conductor.
RUBBER = "rubber"


class Conditions(NamedTuple):
    """What a conductor is, and what it lies in.

    Attributes:
        material: ``"copper"`` or ``"aluminum"``.
        insulation: Designation, a row of the table ``insulation``.
        group: Columns of the ampacity tables: ``"pvc"``, ``"xlpe"``, or ``"rubber"`` for a cord.
        limit: Highest temperature of the conductor in service [C].
        flexible: Its conductors are of class 5.
        method: Reference method, ``"B2"``, as the tables for two loaded conductors name it.
        method_three: The same as those for three name it.
        grouping: Column of the grouping tables.
        ground: It lies in the ground.
        ambient: Temperature of air or ground around it [C].
        circuits: Loaded circuits that lie together.
        soil: Thermal resistivity of the soil [K m/W]; ``None``: it lies in air.
    """

    material: str
    insulation: str
    group: str
    limit: Figure
    flexible: bool
    method: str
    method_three: str
    grouping: str
    ground: bool
    ambient: Figure
    circuits: Figure
    soil: Figure | None = None

    @property
    def metal(self) -> str:
        """Column of the table of resistances."""
        return "flexible" if self.flexible else self.material


def conditions(
    draft: Draft, site: Site, *, near_converter: bool = False, alone: bool = False
) -> Conditions | None:
    """Return how circuits are installed here; usual values are said as assumptions.

    Args:
        draft: Sheet of the circuit; the steps stand below ``conditions``.
        site: What the owner states.
        near_converter: The circuit runs to or from the place of a converter.
        alone: It lies by itself, whatever else is grouped.

    Returns:
        The conditions; ``None`` where the insulation is not known or does not suit, which is said.
    """
    book = draft.book
    material = site.conductor_material or said(draft, "conductor_material", book.usual("material"))
    word = site.installation or said(draft, "installation", book.usual("installation"))
    row = book.row("installations", word)
    draft.everywhere(
        "site.installation-method", installation=word, method=row["method"],
        document=str(book.source("installations", word)),
    )  # fmt: skip
    usual = row.get("insulation") or book.usual("insulation")
    insulation = site.insulation or said(draft, "insulation", usual)
    kind = book.row("insulation", insulation)
    ground = bool(row.get("ground"))
    fits = bool(kind) and (not ground or bool(kind["ground"]))
    if kind.get("flexible") and material != "copper":
        fits = False
    if not fits:
        draft.find(
            "conductor.insulation-unfit", "blocks", "iec.523",
            insulation=insulation, place="wet" if ground else "dry",
        )  # fmt: skip
        return None
    limit = draft.read(
        "conditions/limit_c", "T_max", "degC", table="insulation", key=insulation,
        column="limit_c", rule="iec.523",
    )  # fmt: skip
    if kind["class"] == RUBBER:
        draft.everywhere("conductor.cord-derived", insulation=insulation)
    return Conditions(
        material=material,
        insulation=insulation,
        group=kind["class"],
        limit=limit,
        flexible=bool(kind.get("flexible")),
        method=row["method"],
        method_three=row.get("method_three") or row["method"],
        grouping=row["grouping"],
        ground=ground,
        ambient=_ambient(draft, site, row, near_converter=near_converter),
        circuits=_circuits(draft, site, alone=alone),
        soil=_soil(draft, site) if ground else None,
    )


def feeder_site(site: Site, supply: Supply) -> Site:
    """Return the site as an existing feeder lies in it, as far as that is stated."""
    feeder = supply.feeder
    if feeder is None:
        return site
    return attrs.evolve(
        site,
        conductor_material=feeder.material or site.conductor_material,
        installation=feeder.installation or site.installation,
        insulation=feeder.insulation or site.insulation,
    )


def said(draft: Draft, field: str, value: str) -> str:
    """Return a word that was not stated, and say which one was taken."""
    draft.everywhere("site.usual-value", field=field, value=value)
    return value


def usual_figure(
    draft: Draft, name: str, symbol: str, unit: str, field: str, value: float
) -> Figure:
    """State a usual value of the region, and say so."""
    taken = draft.sheet.assumed(f"conditions/{name}", symbol, value, unit, source=USUAL)
    draft.everywhere("site.usual-value", f"value={unit}" if unit else "", field=field, value=taken)
    return taken


def _ambient(draft: Draft, site: Site, row: Mapping[str, str], *, near_converter: bool) -> Figure:
    if row.get("ground"):
        if site.soil_temperature_c is not None:
            stated = float(site.soil_temperature_c)
            return draft.sheet.given("conditions/ground_c", "t_a", stated, "degC")
        usual = draft.book.usual("ground_c")
        return usual_figure(draft, "ground_c", "t_a", "degC", "soil_temperature", usual)
    values = [site.ambient_c]
    if near_converter and site.converter_place is not None:
        values.append(site.converter_place.ambient_c)
    known = [float(one) for one in values if one is not None]
    if known:
        return draft.sheet.given("conditions/ambient_c", "t_a", max(known), "degC")
    usual = draft.book.usual("ambient_c")
    return usual_figure(draft, "ambient_c", "t_a", "degC", "ambient", usual)


def _circuits(draft: Draft, site: Site, *, alone: bool) -> Figure:
    if alone:
        return draft.sheet.assumed("conditions/grouped_circuits", "n_g", 1.0, "", source=USUAL)
    if site.grouped_circuits is not None:
        name = "conditions/grouped_circuits"
        return draft.sheet.given(name, "n_g", site.grouped_circuits, "")
    return usual_figure(draft, "grouped_circuits", "n_g", "", "grouped_circuits", 1.0)


def _soil(draft: Draft, site: Site) -> Figure:
    if site.soil_resistivity_k_m_per_w is not None:
        stated = float(site.soil_resistivity_k_m_per_w)
        return draft.sheet.given("conditions/soil", "rho_s", stated, "K.m/W")
    usual = draft.book.usual("soil_k_m_per_w")
    return usual_figure(draft, "soil", "rho_s", "K.m/W", "soil_resistivity", usual)
