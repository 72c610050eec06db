"""Methods are asked once, and one that fails is refused in its own name."""

from typing import Any

import attrs
import pytest
from tests.unit.planning.shops import case_of, machine
from tests.unit.planning.stand_ins import Method, only_for, proposal, refusal, willing

from ampwright.case import Case
from ampwright.finding import Finding
from ampwright.method import Proposal, Refusal
from ampwright.planning.answers import Inquiry, Weighing, ask


@pytest.fixture(scope="module")
def case() -> Case:
    return case_of(machine("a"), machine("b"), machine("c"))


def raising(error: BaseException) -> Method:
    def reply(names: tuple[str, ...]) -> Any:  # noqa: ANN401 - never answers
        raise error

    return Method("falling", reply)


def test_an_answer_comes_back_as_it_is(case: Case) -> None:
    assert ask(willing("m"), case, case.machines) == proposal("m", ("a", "b", "c"))
    no = refusal("m", ("a",))
    assert ask(Method("m", lambda _: no), case, case.machines[:1]) is no


@pytest.mark.parametrize("answer", [None, "yes", {}, (), Proposal])
def test_what_is_no_answer_is_a_refusal_that_names_the_method(case: Case, answer: object) -> None:
    found = ask(Method("odd", lambda _: answer), case, case.machines[:2])
    assert isinstance(found, Refusal)
    assert (found.method, found.machines) == ("odd", ("a", "b"))
    (reason,) = found.reasons
    assert (reason.code, reason.severity, reason.where) == ("plugin.failed", "blocks", ("odd",))


def test_what_raises_is_a_refusal_with_the_error(case: Case) -> None:
    found = ask(raising(ZeroDivisionError("on purpose")), case, case.machines[:1])
    assert isinstance(found, Refusal)
    said = {part.name: part.value for part in found.reasons[0].parameters}
    assert said == {"plugin": "falling", "error": "ZeroDivisionError: on purpose"}


def test_the_callers_own_interrupt_goes_through(case: Case) -> None:
    with pytest.raises(KeyboardInterrupt):
        ask(raising(KeyboardInterrupt()), case, case.machines[:1])


def test_a_proposal_with_something_that_blocks_is_a_refusal(case: Case) -> None:
    blocks = Finding(code="no.good", severity="blocks", where=("a",))
    caution = Finding(code="take.care", severity="caution", where=("a",))
    both = proposal("m", ("a",), findings=(caution, blocks))
    found = ask(Method("m", lambda _: both), case, case.machines[:1])
    assert found == Refusal(method="m", machines=("a",), reasons=(blocks,))
    care = proposal("m", ("a",), findings=(caution,))
    assert ask(Method("m", lambda _: care), case, case.machines[:1]) is care


def test_one_question_is_asked_once(case: Case) -> None:
    method = willing("m", shared=True)
    inquiry = Inquiry(case, {"m": method})
    first = inquiry.ask("m", case.machines)
    assert inquiry.ask("m", list(case.machines)) is first
    inquiry.ask("m", case.machines[:2])
    inquiry.alone("m")
    inquiry.alone("m")
    assert method.asked == [("a", "b", "c"), ("a", "b"), ("a",), ("b",), ("c",)]


def test_one_inquiry_does_not_hear_anothers_answers(case: Case) -> None:
    for _ in range(2):
        method = willing("m")
        Inquiry(case, {"m": method}).alone("m")
        assert len(method.asked) == 3


def test_alone_gives_the_proposals_only(case: Case) -> None:
    inquiry = Inquiry(case, {"m": only_for("m", "a", "c")})
    assert list(inquiry.alone("m")) == ["a", "c"]


def test_refusals_stand_one_a_machine_in_order_of_method_and_shop(case: Case) -> None:
    inquiry = Inquiry(case, {"z": only_for("z", "b"), "m": only_for("m")})
    inquiry.alone("z")
    inquiry.alone("m")
    found = [(one.method, one.machines) for one in inquiry.refusals()]
    assert found == [("m", ("a",)), ("m", ("b",)), ("m", ("c",)), ("z", ("a",)), ("z", ("c",))]


def test_of_a_group_only_the_machines_that_are_named_are_refused(case: Case) -> None:
    inquiry = Inquiry(case, {"m": only_for("m", "a", "c", shared=True)})
    inquiry.ask("m", case.machines)
    (one,) = inquiry.refusals()
    assert one.machines == ("b",)
    assert one.reasons[0].where == ("b",)


def test_a_machine_that_is_served_in_a_smaller_group_is_not_refused(case: Case) -> None:
    """Three are too many for one piece, two are not: only the one left out was refused."""
    method = Method(
        "m",
        lambda names: refusal("m", names) if len(names) > 2 else proposal("m", names),
        shared=True,
    )
    inquiry = Inquiry(case, {"m": method})
    inquiry.ask("m", case.machines)
    inquiry.ask("m", case.machines[1:])
    assert [one.machines for one in inquiry.refusals()] == [("a",)]


def test_the_first_reason_heard_for_a_machine_stays(case: Case) -> None:
    answers = iter([refusal("m", ("a",), code="one.first"), refusal("m", ("a", "b"), "a", "b")])
    inquiry = Inquiry(case, {"m": Method("m", lambda _: next(answers), shared=True)})
    inquiry.ask("m", case.machines[:1])
    inquiry.ask("m", case.machines[:2])
    by_machine = {one.machines: one.reasons[0].code for one in inquiry.refusals()}
    assert by_machine == {("a",): "one.first", ("b",): "no.way"}


@pytest.mark.parametrize(
    ("cheaper", "saves", "blocks", "expected"),
    [
        (1.0, True, False, "variant"),
        (3.0, True, False, "first"),
        (2.0, True, False, "first"),  # of two that cost alike the plainer one
        (1.0, False, False, "first"),
        (1.0, True, True, "first"),
    ],
)
def test_of_the_variants_of_an_answer_the_cheapest_counts(
    cheaper: float, *, saves: bool, blocks: bool, expected: str
) -> None:
    case = case_of(machine("a"))
    first, more = (Proposal(method="m", machines=("a",), sequence=(name,))
                   for name in ("first", "variant"))  # fmt: skip
    if blocks:
        more = attrs.evolve(more, findings=(Finding(code="x.y", severity="blocks"),))

    class Varied(Method):
        def variants(self, *_: object) -> tuple[Proposal, ...]:
            return (more,)

    weighing = Weighing(lambda one: cheaper if one is more else 2.0, lambda _: saves)
    method = Varied("m", lambda *_: first, shared=True)
    assert isinstance(Inquiry(case, {"m": method}).ask("m", case.machines), Proposal)
    found = Inquiry(case, {"m": method}, weighing).ask("m", case.machines)
    assert isinstance(found, Proposal)
    assert found.sequence == (expected,)
