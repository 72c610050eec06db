"""Ways that run less at once say what is kept apart."""

import attrs
import pytest
from tests.unit.planning.shops import case_of, machine
from tests.unit.planning.stand_ins import proposal

from ampwright.case import Case, RunningSet
from ampwright.planning.assembly import Draft
from ampwright.planning.keeping_apart import kept_apart, parted


def sets(*several: str) -> tuple[RunningSet, ...]:
    return tuple(RunningSet(id=f"s-{n}", machines=tuple(one)) for n, one in enumerate(several))


@pytest.fixture(scope="module")
def whole() -> Case:
    return case_of(machine("a"), machine("b"), machine("c"))


@pytest.mark.parametrize(
    ("running", "expected"),
    [
        (("abc",), ()),
        (("ab", "ac"), (("b", "c"),)),
        (("a", "b", "c"), (("a", "b"), ("a", "c"), ("b", "c"))),
        (("ab", "ac", "bc"), (("a", "b", "c"),)),
    ],
)
def test_what_no_longer_runs_at_once(
    whole: Case, running: tuple[str, ...], expected: tuple[tuple[str, ...], ...]
) -> None:
    assert parted(whole, attrs.evolve(whole, sets=sets(*running))) == expected


def test_a_draft_says_what_is_kept_apart_and_has_a_name_of_its_own(whole: Case) -> None:
    part = attrs.evolve(whole, sets=sets("ab", "ac"))
    draft = Draft(id="rotary", proposals=(proposal("rotary", "abc"),), left_out=())
    found = kept_apart(draft, whole, part)
    assert found.id == "rotary:in-turn"
    (one,) = found.proposals
    assert one.apart == (("b", "c"),)
    (said,) = one.findings
    assert (said.code, said.where) == ("plan.keep-apart", ("b", "c"))
    assert said.parameters[0].value == "a + b; a + c"


def test_machines_that_were_not_looked_at_are_left_out(whole: Case) -> None:
    part = attrs.evolve(whole, machines=whole.machines[:2], sets=sets("ab"))
    draft = Draft(id="drive", proposals=(proposal("drive", "ab"),), left_out=())
    found = kept_apart(draft, whole, part)
    assert (found.left_out, found.proposals) == (("c",), draft.proposals)


def test_the_shop_as_stated_is_left_as_it_is(whole: Case) -> None:
    draft = Draft(id="drive", proposals=(proposal("drive", "abc"),), left_out=())
    assert kept_apart(draft, whole, whole) is draft
