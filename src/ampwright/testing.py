"""Contracts that plugin authors run in their own tests, and shops to run them on."""

from ampwright.conformance.claims import claim, claim_none
from ampwright.conformance.methods import MethodContract
from ampwright.conformance.offering import Offering
from ampwright.conformance.questions import engine_with
from ampwright.conformance.regions import RegionContract
from ampwright.conformance.reviews import ReviewContract
from ampwright.conformance.shops import (
    EUROPE,
    MARKETS,
    NORTH_AMERICA,
    Market,
    drawn_shop,
    ladder,
    random_shop,
    shops,
)

__all__ = [
    "EUROPE",
    "MARKETS",
    "NORTH_AMERICA",
    "Market",
    "MethodContract",
    "Offering",
    "RegionContract",
    "ReviewContract",
    "claim",
    "claim_none",
    "drawn_shop",
    "engine_with",
    "ladder",
    "random_shop",
    "shops",
]
