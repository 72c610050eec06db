"""The names that a plugin may use; built-in methods and regions use no others."""

from importlib import import_module
from typing import TYPE_CHECKING

from ampwright.balanced_circuits import BalancedCircuits
from ampwright.case import (
    Case,
    Linking,
    LoadCase,
    MachineCase,
    MotorCase,
    RunningSet,
    SupplyCase,
)
from ampwright.decision import Decision
from ampwright.equipment.capacitor import Capacitor
from ampwright.equipment.circuit import Circuit
from ampwright.equipment.conductor import Conductor, Raceway
from ampwright.equipment.converter import Converter, Window
from ampwright.equipment.device import ProtectiveDevice
from ampwright.equipment.transformer import Transformer
from ampwright.finding import Assumption, Finding, Parameter, Question, parameters
from ampwright.hookspecs import hookimpl
from ampwright.interface import INTERFACE
from ampwright.linked import LinkedMachine, at_voltage, balanced_motor, load_at, machine_at
from ampwright.method import (
    ConversionMethod,
    Cost,
    Limit,
    MotorStart,
    MotorState,
    Proposal,
    Refusal,
    Start,
    State,
)
from ampwright.option import Option
from ampwright.own_start import motor_start, with_own_start
from ampwright.records.site import Site
from ampwright.records.supply import Supply, ThreePhase
from ampwright.region import (
    CircuitAnswer,
    CircuitDemand,
    ConverterInput,
    ExistingLoad,
    LoadDemand,
    MotorDemand,
    Region,
    ServiceAnswer,
    ServiceDemand,
)
from ampwright.review import Review
from ampwright.single_phase import OnePhase, about_linked, asked_of_linked
from ampwright.single_phase import fed as fed_with_one_phase
from ampwright.single_phase import linked as linked_for_one_phase
from ampwright.step import HERE, Figure, Step, Worksheet
from ampwright.stepped import SteppedMachine, behind_transformer
from ampwright.stepped import about as about_transformer
from ampwright.stepped import circuits as transformer_circuits
from ampwright.stepped import secondaries as usual_secondaries
from ampwright.stepped_supply import SteppedSupply, stepped_supply, supply_circuits
from ampwright.tables import Source, Table, read_table
from ampwright.validity import Validity

if TYPE_CHECKING:
    from ampwright.families.folder import region_from_folder
else:  # not for type checkers: they would take every misspelt name for one that is there

    def __getattr__(name: str) -> object:
        """Load what only regions from folders need where it is asked for: it brings all codes."""
        if name != "region_from_folder":
            raise AttributeError(f"module 'ampwright.plugin' has no attribute {name!r}")
        return import_module("ampwright.families.folder").region_from_folder


__all__ = [
    "HERE",
    "INTERFACE",
    "Assumption",
    "BalancedCircuits",
    "Capacitor",
    "Case",
    "Circuit",
    "CircuitAnswer",
    "CircuitDemand",
    "Conductor",
    "ConversionMethod",
    "Converter",
    "ConverterInput",
    "Cost",
    "Decision",
    "ExistingLoad",
    "Figure",
    "Finding",
    "Limit",
    "LinkedMachine",
    "Linking",
    "LoadCase",
    "LoadDemand",
    "MachineCase",
    "MotorCase",
    "MotorDemand",
    "MotorStart",
    "MotorState",
    "OnePhase",
    "Option",
    "Parameter",
    "Proposal",
    "ProtectiveDevice",
    "Question",
    "Raceway",
    "Refusal",
    "Region",
    "Review",
    "RunningSet",
    "ServiceAnswer",
    "ServiceDemand",
    "Site",
    "Source",
    "Start",
    "State",
    "Step",
    "SteppedMachine",
    "SteppedSupply",
    "Supply",
    "SupplyCase",
    "Table",
    "ThreePhase",
    "Transformer",
    "Validity",
    "Window",
    "Worksheet",
    "about_linked",
    "about_transformer",
    "asked_of_linked",
    "at_voltage",
    "balanced_motor",
    "behind_transformer",
    "fed_with_one_phase",
    "hookimpl",
    "linked_for_one_phase",
    "load_at",
    "machine_at",
    "motor_start",
    "parameters",
    "read_table",
    "region_from_folder",
    "stepped_supply",
    "supply_circuits",
    "transformer_circuits",
    "usual_secondaries",
    "with_own_start",
]
