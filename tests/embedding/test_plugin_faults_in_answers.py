"""The faults of the list in ``test_plugin_faults.py`` that lie in what a plugin answers."""

import decimal
import itertools
import locale
import logging
import random
import sys
import threading
import time
import warnings
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, ClassVar

import attrs
import pytest
from tests.embedding.strange_plugins import METHODS, SHOP, Copy, engine, planned, said

import ampwright as aw
from ampwright.guard import outsider
from ampwright.plugin import (
    HERE,
    Case,
    Cost,
    Finding,
    MachineCase,
    Proposal,
    Refusal,
    Source,
    State,
    Step,
    Validity,
)
from ampwright.testing import MethodContract, Offering


def refused_with(change: Callable[[Proposal], Any], code: str) -> None:
    """Hold that a changed answer is refused with *code*, and that the rest is as without it."""
    sound = planned(Copy())
    assert "copy" in {name for one in sound.options for name in one.assignment.values()}
    plan = planned(Copy(change))
    assert f"[{code}]" in said(plan, "plugin.failed")
    assert "copy" not in {name for one in plan.options for name in one.assignment.values()}
    without = engine().plan(SHOP, methods=METHODS)
    assert [one.circuits for one in plan.options] == [one.circuits for one in without.options]


def test_pf_02_hook_raises() -> None:
    def change(_: Proposal) -> Proposal:
        raise ZeroDivisionError("by nought")

    plan = planned(Copy(change))
    assert "by nought" in said(plan, "plugin.failed")
    without = engine().plan(SHOP, methods=METHODS)
    assert [one.circuits for one in plan.options] == [one.circuits for one in without.options]


def test_pf_03_hook_raises_for_some_machines_only() -> None:
    def change(one: Proposal) -> Proposal:
        if "saw" in one.machines:
            raise KeyError("saw")
        return one

    plan = planned(Copy(change))
    served = {name for option in plan.options for name, by in option.assignment.items()
              if by == "copy"}  # fmt: skip
    assert served == {"drill"}


def test_pf_04_hook_hangs_in_a_process_of_its_own() -> None:
    def change(one: Proposal) -> Proposal:
        time.sleep(60.0)
        return one

    begun = time.monotonic()
    plan = planned(Copy(change), isolate=0.5)
    assert time.monotonic() - begun < 30.0
    assert "[plugin.timeout]" in said(plan, "plugin.failed")
    assert plan.best is not None


def test_pf_04_hook_hangs_in_process_is_named_in_the_log(
    monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def change(one: Proposal) -> Proposal:
        time.sleep(0.3)
        return one

    monkeypatch.setattr(outsider, "PATIENCE_S", 0.05)
    with caplog.at_level(logging.WARNING, logger="ampwright"):
        planned(Copy(change))
    assert any("copy" in one.getMessage() for one in caplog.records)


def test_an_answer_from_another_process_is_the_same() -> None:
    assert planned(Copy(), isolate=30.0).options == planned(Copy()).options


def test_pf_06_method_answers_the_wrong_type() -> None:
    assert "dict" in said(planned(Copy(lambda _: {})), "plugin.failed")


def test_pf_07_plain_float_where_a_figure_is_due() -> None:
    def change(one: Proposal) -> Proposal:
        first = attrs.evolve(one.demands[0], running_current=12.0)  # type: ignore[arg-type]
        return attrs.evolve(one, demands=(first, *one.demands[1:]))

    refused_with(change, "unit.missing")


def test_pf_08_right_type_wrong_dimension() -> None:
    def change(one: Proposal) -> Proposal:
        first = attrs.evolve(one.demands[0], running_current=one.demands[0].power_factor)
        return attrs.evolve(one, demands=(first, *one.demands[1:]))

    refused_with(change, "unit.dimension")


def test_pf_22_plugin_cannot_change_its_inputs() -> None:
    class Changing(Copy):
        """A method that sets a field of what it is asked."""

        def answer(self, case: Case, machines: Sequence[MachineCase]) -> Proposal | Refusal:
            case.shop.name = "mine"  # type: ignore[misc] # on purpose
            return super().answer(case, machines)

    assert "Frozen" in said(planned(Changing()), "plugin.failed")


def test_pf_22_plugin_that_goes_behind_the_lock_ends_the_plan() -> None:
    class Forcing(Copy):
        """A method that changes what it is asked behind the lock."""

        def answer(self, case: Case, machines: Sequence[MachineCase]) -> Proposal | Refusal:
            object.__setattr__(case.shop, "name", "mine")
            return super().answer(case, machines)

    with pytest.raises(aw.InternalError, match="copy"):
        engine(Offering(methods=(Forcing(),))).plan(
            aw.Shop.from_dict(SHOP.to_dict()), methods=["copy"]
        )


def test_pf_24_global_state_is_put_back() -> None:
    def change(one: Proposal) -> Proposal:
        random.seed(1)
        decimal.getcontext().prec = 3
        warnings.simplefilter("ignore")
        return one

    filters, numeric = list(warnings.filters), locale.setlocale(locale.LC_NUMERIC)
    state, precision = random.getstate(), decimal.getcontext().prec
    planned(Copy(change))
    assert warnings.filters == filters
    assert random.getstate() == state
    assert decimal.getcontext().prec == precision
    assert locale.setlocale(locale.LC_NUMERIC) == numeric


def failing(contract: type, test: str) -> str:
    """Return what a test of a contract says when it fails."""
    with pytest.raises(AssertionError) as caught:
        getattr(contract(), test)()
    return str(caught.value)


def contract(method: object) -> type:
    """Return the contract of a method, asked a little."""
    return type("Contract", (MethodContract,), {"method": method, "cases": 2, "shops": 1})


def test_pf_25_different_answers_to_one_question() -> None:
    turns = itertools.count()

    def change(one: Proposal) -> Proposal:
        return attrs.evolve(one, sequence=(str(next(turns)),))

    assert "another answer" in failing(
        contract(Copy(change)), "test_the_same_question_gets_the_same_answer"
    )


def test_pf_26_answer_depends_on_earlier_questions() -> None:
    seen: list[tuple[str, ...]] = []

    def change(one: Proposal) -> Proposal:
        seen.append(one.machines)
        return attrs.evolve(one, sequence=seen[0] * len(seen))

    assert "another answer" in failing(
        contract(Copy(change)), "test_the_same_question_gets_the_same_answer"
    )


def test_pf_27_more_power_out_than_in() -> None:
    def change(one: Proposal) -> Proposal:
        states = tuple(attrs.evolve(each, input_power_w=10.0) for each in one.states)
        return attrs.evolve(one, states=states)

    refused_with(change, "physics.energy")


def changed_state(state: State, field: str) -> State:
    """Return a state with an unbalance that cannot be."""
    if field == "deviation_fraction":
        return attrs.evolve(state, deviation_fraction=-0.1)
    return attrs.evolve(state, negative_sequence_fraction=-0.1)


@pytest.mark.parametrize("field", ["deviation_fraction", "negative_sequence_fraction"])
def test_pf_28_unbalance_below_nought(field: str) -> None:
    def change(one: Proposal) -> Proposal:
        states = tuple(changed_state(each, field) for each in one.states)
        return attrs.evolve(one, states=states)

    refused_with(change, "physics.energy")


def test_pf_28_efficiency_above_one() -> None:
    def change(one: Proposal) -> Proposal:
        miracle = Step(path=f"{HERE}/miracle", kind="assumed", symbol="eta", value=1.2,
                       source=Source(document="a maker's leaflet"))  # fmt: skip
        return attrs.evolve(one, steps=(*one.steps, miracle))

    refused_with(change, "physics.energy")


def test_pf_29_option_without_a_source() -> None:
    def change(one: Proposal) -> Proposal:
        bare = Step(path=f"{HERE}/bare", kind="assumed", symbol="k", value=2.0)
        return attrs.evolve(one, steps=(*one.steps, bare))

    refused_with(change, "plugin.provenance")


def test_pf_29_validity_without_a_source() -> None:
    class Bare(Copy):
        """A method that says what it is for, and not who says so."""

        validity = Validity(power_w=(0.0, 1e4), source=Source(document=""))

    found = engine(Offering(methods=(Bare(),))).problems[0]
    assert found.code == "plugin.provenance"


def test_pf_30_job_outside_the_validity_is_not_asked() -> None:
    asked: list[tuple[str, ...]] = []

    def change(one: Proposal) -> Proposal:
        asked.append(one.machines)
        return one

    class Small(Copy):
        """A method for small motors."""

        validity = Validity(power_w=(0.0, 1000.0), source=Source(document="its own instructions"))

    plan = planned(Small(change))
    assert ("saw",) not in asked
    assert ("drill",) in asked
    reasons = said(plan, "method.outside-validity")
    assert "1000 W" in reasons


@pytest.mark.parametrize("part", ["findings", "text"])
def test_pf_32_answer_of_any_size(part: str) -> None:
    def change(one: Proposal) -> Proposal:
        if part == "findings":
            more = Finding(code="copy.more", severity="info", where=one.machines)
            return attrs.evolve(one, findings=(more,) * 1_000_000)
        long = Step(path=f"{HERE}/long", kind="assumed", symbol="k", value=2.0,
                    text="x" * 50_000_000, source=Source(document="one"))  # fmt: skip
        return attrs.evolve(one, steps=(*one.steps, long))

    refused_with(change, "limit.answer")


def test_pf_33_plugin_that_plans() -> None:
    class Planning(Copy):
        """A method that asks for a plan of its own."""

        seen: ClassVar[list[str]] = []

        def answer(self, case: Case, machines: Sequence[MachineCase]) -> Proposal | Refusal:
            inner = made.plan(SHOP, methods=["copy", "drive"], check=False)
            self.seen.append(said(inner, "plugin.failed"))
            return super().answer(case, machines)

    made = engine(Offering(methods=(Planning(),)))
    plan = made.plan(SHOP, methods=["copy", "drive"], check=False)
    assert plan.best is not None
    assert any("[plugin.recursion]" in one for one in Planning.seen)


def test_pf_34_threads_and_open_files_are_reported(tmp_path: Path) -> None:
    left: list[object] = []
    stop = threading.Event()

    def change(one: Proposal) -> Proposal:
        if not left:
            thread = threading.Thread(target=stop.wait, name="stray", daemon=True)
            thread.start()
            left.extend((thread, (tmp_path / "open").open("w", encoding="utf-8")))
        return one

    try:
        report = failing(contract(Copy(change)),
                         "test_it_leaves_question_and_process_as_they_were")  # fmt: skip
    finally:
        stop.set()
        left[1].close()  # type: ignore[attr-defined] # the file
    assert "stray" in report
    assert "open" in report


def test_pf_35_printing_fails_the_contract(capsys: pytest.CaptureFixture[str]) -> None:
    def change(one: Proposal) -> Proposal:
        sys.stdout.write("hello\n")
        return one

    assert "wrote to output" in failing(
        contract(Copy(change)), "test_it_leaves_question_and_process_as_they_were"
    )
    assert capsys.readouterr().out == ""


@pytest.mark.parametrize("currencies", [("gold", "gold"), ("USD", "EUR")])
def test_pf_36_unknown_or_mixed_currencies(currencies: tuple[str, str]) -> None:
    def change(one: Proposal) -> Proposal:
        costs = tuple(
            Cost(id=f"copy/{n}", kind="purchase", low=1.0, high=2.0, currency=each)
            for n, each in enumerate(currencies)
        )
        return attrs.evolve(one, costs=costs)

    refused_with(change, "cost.currency")
