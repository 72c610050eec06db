"""Typical calls of a program that embeds the library. Type checkers read them; nobody runs them.

Each is written as a program would write it; a line that must be refused says so, and the checker
complains if it is not (``warn_unused_ignores`` is part of ``strict``).
"""

from collections.abc import Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from io import BytesIO
from pathlib import Path
from typing import assert_type

import attrs
import pint

import ampwright as aw
from ampwright.plugin import (
    Case,
    Circuit,
    Finding,
    MachineCase,
    Proposal,
    Refusal,
    hookimpl,
    parameters,
)


def states_a_shop_in_text() -> aw.Shop:
    return aw.Shop(
        name="Quarry Lane joinery",
        region="us",
        supply=aw.Supply(
            arrangement="split-phase", voltage="240 V", frequency="60 Hz", rating="100 A",
            existing_load="14 A", transformer="25 kVA",
        ),
        site=aw.Site(ambient="30 degC", future_machines=1),
        machines=[
            aw.Machine(
                id="saw", plate="5 HP 3PH 60CY 1740 RPM 230/460 V 13.2/6.6 A", length="12 m",
                start="light", load_torque="friction", controls="made-leg", traits=["reversing"],
            ),
            aw.Machine(
                id="dust", length="18 m", needs=["saw"], extra={"order": 17},
                motors=[aw.Motor(power="5 hp", voltage="230/460 V", efficiency=0.88)],
            ),
            aw.Machine(id="kiln", loads=[aw.Load(kind="resistive", power="6 kW")]),
        ],
        together=[["saw", "dust"]],
        energy_price="0.17 USD/kWh",
    )  # fmt: skip


def states_quantities(registry: pint.UnitRegistry[float]) -> aw.Motor:
    own = aw.Motor(power=registry.Quantity(5.5, "kW"), voltage=aw.q(230, "V"), efficiency="88 %")
    assert_type(own.power_w, float | None)
    return attrs.evolve(own, power="7.5 hp")


def is_refused_bare_numbers() -> None:
    aw.Motor(power=5)  # type: ignore[arg-type]
    aw.Machine(id="saw", length=12.0)  # type: ignore[arg-type]
    aw.Supply(arrangement="split-phase", voltage=240, frequency="60 Hz")  # type: ignore[arg-type]


def is_refused_unknown_words() -> None:
    aw.Supply(arrangement="two-phase", voltage="240 V", frequency="60 Hz")  # type: ignore[arg-type]
    aw.Motor(power="5 hp", efficency=0.9)  # type: ignore[call-arg]


def is_refused_positions_and_changes(motor: aw.Motor, plan: aw.Plan) -> None:
    aw.Motor("5 hp")  # type: ignore[call-arg]
    motor.power_w = 5.0  # type: ignore[misc]
    plan.verdict = "feasible"  # type: ignore[misc]


def reads_files(path: Path) -> tuple[aw.Shop, aw.Shop, aw.Shop]:
    with path.open("rb") as file:
        return aw.load_shop(path), aw.load_shop(str(path)), aw.load_shop(file, locale="de-DE")


def reads_memory(data: Mapping[str, object]) -> aw.Shop:
    aw.load_shop(BytesIO(b"..."))
    return aw.Shop.from_dict(data)


def reads_a_plate(text: str) -> list[str]:
    plate = aw.read_plate(text, locale="fr-FR")
    assert_type(plate, aw.Plate)
    return [one.text for one in plate.tokens] + [one.code for one in plate.findings]


def plans(shop: aw.Shop) -> aw.Plan:
    plan = aw.plan(
        shop, region="us@2023", methods=["rotary", "drive"], limits={"run-up-time": 8.0},
        prices={"drive": {"fixed": 99.0, "per_kw": 80}}, check=False,
    )  # fmt: skip
    assert_type(plan, aw.Plan)
    return plan


def reads_a_plan(plan: aw.Plan) -> list[tuple[str, str, float | None]]:
    best = plan.best
    if best is None:
        return []
    assert_type(best, aw.Option)
    assert_type(best.assignment, dict[str, str | None])
    lines = []
    for circuit in best.circuits:
        assert_type(circuit.conductor, aw.Conductor)
        assert_type(circuit.design_current_a, float)
        lines.append((circuit.id, circuit.conductor.size, circuit.protective_device.rating_a))
    for state in best.states:
        assert_type(state.deviation_fraction, float | None)
    for cost in best.costs:
        assert_type(cost.low + cost.high, float)
    return lines


def must_ask_whether_there_is_a_best(plan: aw.Plan) -> None:
    plan.best.circuits  # type: ignore[union-attr]  # noqa: B018 - the checker must complain


def speaks_of_findings(plan: aw.Plan) -> dict[str, Sequence[str]]:
    said = {one.code: one.where for one in plan.findings if one.severity != "info"}
    asked = {one.code: one.choices for one in plan.questions}
    return {**said, **asked}


def stores_and_reports(plan: aw.Plan, folder: Path) -> aw.Plan:
    (folder / "plan.json").write_text(plan.to_json(indent=2), encoding="utf-8")
    assert_type(plan.report(), str)
    assert_type(plan.report("markdown", language="de"), str)
    (folder / "plan.pdf").write_bytes(plan.report("pdf"))
    plan.diagram("one-line", symbols="iec", language="de").save(folder / "plan.svg")
    plan.diagram("connection", symbols="ansi")
    plan.diagram(kind="phasor", option="rotary")
    assert_type(plan.diagram().svg, str)
    rows = plan.rows("circuits", option="rotary")
    (folder / "rows.txt").write_text("\n".join(map(str, rows)), encoding="utf-8")
    return aw.Plan.from_json((folder / "plan.json").read_text(encoding="utf-8"))


def verifies_and_compares(plan: aw.Plan, other: aw.Plan) -> tuple[aw.Finding, ...]:
    assert_type(aw.compare(plan, other), aw.Changes)
    return aw.verify(plan)


def plans_many(shops: Sequence[aw.Shop]) -> list[str]:
    with ProcessPoolExecutor() as pool:
        return [one.plan.id for one in aw.plan_many(shops, map=pool.map) if one.plan is not None]


def heeds_errors(data: Mapping[str, object]) -> list[str]:
    try:
        aw.plan(aw.Shop.from_dict(data))
    except aw.AmpwrightError as error:
        assert_type(error.code, str)
        return [f"{fault.path}: {fault.expected}" for fault in error.faults or (error,)]
    return []


class Crank:
    """A method of the program's own."""

    id = "crank"
    shared = False
    converts = True

    def answer(self, case: Case, machines: Sequence[MachineCase]) -> Proposal | Refusal:
        names = tuple(one.id for one in machines)
        said = parameters("length=m", length=machines[0].length)
        reason = Finding(code="crank.never", severity="blocks", where=names, parameters=said)
        return Refusal(method=self.id, machines=names, reasons=(reason,))

    def settle(self, case: Case, proposal: Proposal, circuits: Sequence[Circuit]) -> Proposal:
        return proposal


class Cranks:
    """A plugin that offers it."""

    @hookimpl
    def ampwright_methods(self) -> list[Crank]:
        return [Crank()]


def brings_plugins(shop: aw.Shop) -> aw.Plan:
    engine = aw.Engine(plugins=[Cranks()], block=["method-drive"], strict=True)
    for problem in engine.problems:
        assert_type(problem, aw.PluginError)
    assert "crank" in engine.methods()
    assert "us" in engine.regions()
    return engine.plan(shop, region="us")


def plans_a_table(stated: aw.Shop) -> list[str]:
    table = aw.plan_table([{"id": "a", "power": "5 hp"}], shop=stated, region="us")
    assert_type(table, aw.Table)
    assert_type(table.errors, tuple[aw.AmpwrightError, ...])
    return [str(row["method"]) for row in table.rows]
