"""Plan how three-phase machines are run from a single-phase supply."""

TYPE_CHECKING = False  # type checkers take it for true; typing itself is not imported for it

if TYPE_CHECKING:
    from ampwright.batch import Outcome, plan_many
    from ampwright.comparison import Change, Changes, compare
    from ampwright.decision import Decision, PluginUsed, RegionUsed
    from ampwright.diagram.picture import Diagram
    from ampwright.engine import Engine, plan, verify
    from ampwright.equipment.capacitor import Capacitor
    from ampwright.equipment.circuit import Circuit
    from ampwright.equipment.conductor import Conductor, Raceway
    from ampwright.equipment.converter import Converter, Window
    from ampwright.equipment.device import ProtectiveDevice
    from ampwright.equipment.transformer import Transformer
    from ampwright.errors import (
        AmpwrightError,
        ConsistencyError,
        FormatError,
        InputError,
        InternalError,
        LimitError,
        PluginConflictError,
        PluginContractError,
        PluginError,
        PluginLoadError,
        PluginVersionError,
        RangeError,
        SchemaVersionError,
        UnitError,
    )
    from ampwright.finding import Assumption, Finding, Parameter, Question
    from ampwright.method import Cost, Limit, MotorState, Refusal, Start, State
    from ampwright.nameplate.plate import Plate, read_plate
    from ampwright.option import Assignment, Option
    from ampwright.quantity import q
    from ampwright.records.load import Load
    from ampwright.records.machine import Machine
    from ampwright.records.motor import Motor
    from ampwright.records.shop import Shop, load_shop
    from ampwright.records.site import Site
    from ampwright.records.supply import Supply
    from ampwright.result import Plan
    from ampwright.spreadsheet import Table, plan_table
    from ampwright.step import Step
    from ampwright.tables import Source
else:  # not for type checkers: they would take every misspelt name for a public one

    def __getattr__(name: str) -> object:
        if name not in _HOMES:
            raise AttributeError(f"module 'ampwright' has no attribute {name!r}")
        from importlib import import_module  # noqa: PLC0415 - inside, so that importing stays free

        return getattr(import_module(f"ampwright.{_HOMES[name]}"), name)

    def __dir__() -> list[str]:
        return sorted([*__all__, *(name for name in globals() if name.startswith("__"))])


_HOMES = {
    "AmpwrightError": "errors",
    "Assignment": "option",
    "Assumption": "finding",
    "Capacitor": "equipment.capacitor",
    "Change": "comparison",
    "Changes": "comparison",
    "Circuit": "equipment.circuit",
    "Conductor": "equipment.conductor",
    "ConsistencyError": "errors",
    "Converter": "equipment.converter",
    "Cost": "method",
    "Decision": "decision",
    "Diagram": "diagram.picture",
    "Engine": "engine",
    "Finding": "finding",
    "FormatError": "errors",
    "InputError": "errors",
    "InternalError": "errors",
    "Limit": "method",
    "LimitError": "errors",
    "Load": "records.load",
    "Machine": "records.machine",
    "Motor": "records.motor",
    "MotorState": "method",
    "Option": "option",
    "Outcome": "batch",
    "Parameter": "finding",
    "Plan": "result",
    "Plate": "nameplate.plate",
    "PluginConflictError": "errors",
    "PluginContractError": "errors",
    "PluginError": "errors",
    "PluginLoadError": "errors",
    "PluginUsed": "decision",
    "PluginVersionError": "errors",
    "ProtectiveDevice": "equipment.device",
    "Question": "finding",
    "Raceway": "equipment.conductor",
    "RangeError": "errors",
    "Refusal": "method",
    "RegionUsed": "decision",
    "SchemaVersionError": "errors",
    "Shop": "records.shop",
    "Site": "records.site",
    "Source": "tables",
    "Start": "method",
    "State": "method",
    "Step": "step",
    "Supply": "records.supply",
    "Table": "spreadsheet",
    "Transformer": "equipment.transformer",
    "UnitError": "errors",
    "Window": "equipment.converter",
    "compare": "comparison",
    "load_shop": "records.shop",
    "plan": "engine",
    "plan_many": "batch",
    "plan_table": "spreadsheet",
    "q": "quantity",
    "read_plate": "nameplate.plate",
    "verify": "engine",
}
__all__ = [
    "AmpwrightError",
    "Assignment",
    "Assumption",
    "Capacitor",
    "Change",
    "Changes",
    "Circuit",
    "Conductor",
    "ConsistencyError",
    "Converter",
    "Cost",
    "Decision",
    "Diagram",
    "Engine",
    "Finding",
    "FormatError",
    "InputError",
    "InternalError",
    "Limit",
    "LimitError",
    "Load",
    "Machine",
    "Motor",
    "MotorState",
    "Option",
    "Outcome",
    "Parameter",
    "Plan",
    "Plate",
    "PluginConflictError",
    "PluginContractError",
    "PluginError",
    "PluginLoadError",
    "PluginUsed",
    "PluginVersionError",
    "ProtectiveDevice",
    "Question",
    "Raceway",
    "RangeError",
    "Refusal",
    "RegionUsed",
    "SchemaVersionError",
    "Shop",
    "Site",
    "Source",
    "Start",
    "State",
    "Step",
    "Supply",
    "Table",
    "Transformer",
    "UnitError",
    "Window",
    "compare",
    "load_shop",
    "plan",
    "plan_many",
    "plan_table",
    "q",
    "read_plate",
    "verify",
]
