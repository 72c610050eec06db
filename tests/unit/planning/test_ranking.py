"""Verdicts of machines and options, and the order of options."""
# ruff: noqa: ANN401 - fields of a record of any kind

import math
from typing import Any

import attrs
import pytest
from tests.unit.planning.shops import case_of, machine
from tests.unit.planning.stand_ins import Code, converter, demand, proposal, refusal, start

from ampwright.case import Case
from ampwright.equipment.transformer import Transformer
from ampwright.finding import Finding
from ampwright.method import Cost, Refusal
from ampwright.option import Assignment, Option
from ampwright.planning.assembly import Draft
from ampwright.planning.circuits import Equipped, equip
from ampwright.planning.conditions import CONDITIONS, PREMIUMS, premium
from ampwright.planning.costs import built_in, stated
from ampwright.planning.ranking import (
    chosen,
    concerned,
    judged,
    option,
    overloads,
    ranked,
    related,
    remarks,
    start_order,
    total_cost,
    weighed_cost,
    worst_verdict,
)

GOOD, CARE, BAD = "feasible", "feasible-with-conditions", "not-feasible"
CONDITION = "plan.utility-consent"
PENDING_ONE = "utility.not-there-yet"


@pytest.fixture(scope="module")
def case() -> Case:
    return case_of(machine("a"), machine("b"), machine("c", required=False))


def said(code: str, *where: str, severity: str = "caution") -> Finding:
    return Finding(code=code, severity=severity, where=where)


def made(case: Case, *proposals: Any, **code: Any) -> Equipped:
    """Return an option in the making, with what the code says of the service."""
    served = {name for one in proposals for name in one.machines}
    left = tuple(one.id for one in case.machines if one.id not in served)
    draft = Draft(id="x", proposals=proposals, left_out=left)
    return equip(draft, case, Code(said=code))


def verdicts(case: Case, equipped: Equipped, *refusals: Refusal) -> dict[str, str]:
    return {one.id: one.verdict for one in judged(case, equipped, refusals)[0]}


def on_rotary(**changes: Any) -> Any:
    usual: dict[str, Any] = {
        "demands": (
            demand("supply.rotary", ["rotary"], role="supply", phases=1),
            demand("output.rotary", ["a", "b"], role="output", fed_from="supply.rotary"),
            demand("branch.a", ["a"], fed_from="output.rotary"),
            demand("branch.b", ["b"], fed_from="output.rotary"),
        )
    }
    return proposal("rotary", "ab", **(usual | changes))


def test_the_words_that_make_a_condition_are_known() -> None:
    assert CONDITION in CONDITIONS
    assert "plan.permit-inspection" not in CONDITIONS


def test_a_finding_concerns_what_it_names() -> None:
    assert concerned(said("x", "a", "rotary"), ("b", "rotary"))
    assert not concerned(said("x", "a"), ("b",))
    assert not concerned(said("x"), ("a",))


def test_a_machine_is_related_to_all_that_feeds_it(case: Case) -> None:
    """Its converter, the converter's circuits and its own branch, not its neighbour's."""
    equipped = made(case, on_rotary(), proposal("drive", ["c"], demands=(
        demand("supply.drive.c", ["drive.c"]),
    )))  # fmt: skip
    assert related(equipped, "a") == {"a", "rotary", "supply.rotary", "output.rotary", "branch.a"}
    assert related(equipped, "c") == {"c", "drive.c", "supply.drive.c"}
    assert related(equipped, "d") == {"d"}


def test_a_machine_behind_a_transformer_is_related_to_the_circuit_ahead_of_it(case: Case) -> None:
    stepped = Transformer(
        id="transformer.a", kind="isolating", phases=3, rating_va=3000.0, primary_v=230.0,
        secondary_v=400.0, machines=("a",),
    )  # fmt: skip
    equipped = made(case, on_rotary(transformers=(stepped,), demands=(
        demand("supply.rotary", ["rotary"]), demand("feeder.a", ["transformer.a"]),
        demand("branch.b", ["b"]),
    )))  # fmt: skip
    assert {"transformer.a", "feeder.a"} <= related(equipped, "a")
    assert "feeder.a" not in related(equipped, "b")


@pytest.mark.parametrize(
    ("finding", "expected"),
    [
        (None, (GOOD, GOOD)),
        (said("some.caution", "a"), (GOOD, GOOD)),
        (said("some.block", "a", severity="blocks"), (BAD, GOOD)),
        (said("some.block", "branch.b", severity="blocks"), (GOOD, BAD)),
        (said("some.block", "supply.rotary", severity="blocks"), (BAD, BAD)),
        (said("some.block", "rotary", severity="blocks"), (BAD, BAD)),
        (said(CONDITION, "a"), (CARE, GOOD)),
        (said(CONDITION, "rotary", severity="info"), (CARE, CARE)),
    ],
)
def test_a_machine_is_judged_by_what_concerns_it(
    case: Case, finding: Finding | None, expected: tuple[str, str]
) -> None:
    findings = (finding,) if finding else ()
    found = verdicts(case, made(case, on_rotary(findings=findings)))
    assert (found["a"], found["b"]) == expected


def test_what_blocks_goes_before_a_condition_and_is_the_reason(case: Case) -> None:
    block, condition = said("some.block", "a", severity="blocks"), said(CONDITION, "a")
    equipped = made(case, on_rotary(findings=(condition, block)))
    first = judged(case, equipped, ())[0][0]
    assert (first.verdict, first.reasons) == (BAD, (block,))
    only = judged(case, made(case, on_rotary(findings=(condition,))), ())[0][0]
    assert (only.verdict, only.reasons) == (CARE, (condition,))


def test_a_start_that_fails_blocks_its_machine(case: Case) -> None:
    equipped = made(case, on_rotary(starts=(start("a", runs_up=False), start("b"))))
    found, stuck = judged(case, equipped, ())
    assert [one.verdict for one in found[:2]] == [BAD, GOOD]
    assert [(one.code, one.severity, one.where) for one in stuck] == [
        ("converter.start-fails", "blocks", ("a",))
    ]


def test_an_idler_that_does_not_start_blocks_every_machine_behind_it(case: Case) -> None:
    equipped = made(case, on_rotary(starts=(start("rotary", runs_up=False), start("a"))))
    found = verdicts(case, equipped)
    assert (found["a"], found["b"]) == (BAD, BAD)


def test_a_machine_that_nothing_serves_has_the_reasons_of_every_method(case: Case) -> None:
    no, other = refusal("drive", "c"), refusal("rotary", "b", code="other.way")
    (_, _, third), _ = judged(case, made(case, on_rotary()), (no, other))
    assert (third.method, third.verdict) == (None, BAD)
    assert third.reasons == no.reasons


def test_a_machine_beyond_the_supply_is_impossible_unless_it_has_a_supply_of_its_own(
    case: Case,
) -> None:
    too_much = {"a": (said("supply.undersized", "a", "supply"),)}
    found = judged(case, made(case, on_rotary()), (), too_much)[0]
    assert [one.verdict for one in found[:2]] == [BAD, GOOD]
    assert [(one.code, one.severity) for one in found[0].reasons] == [
        ("supply.undersized", "blocks")
    ]
    apart = judged(case, made(case, on_rotary(own_supply=True)), (), too_much)[0]
    assert [one.verdict for one in apart[:2]] == [GOOD, GOOD]


def test_what_the_statement_calls_for_is_a_condition_too(case: Case) -> None:
    proof, danger = said("machine.life-safety", "a"), said("x.y", "supply", severity="blocks")
    about_a = attrs.evolve(case, findings=(proof, said("some.caution", "b")))
    assert verdicts(about_a, made(about_a, on_rotary())) | {"c": ""} == {
        "a": CARE,
        "b": GOOD,
        "c": "",
    }
    about_all = attrs.evolve(case, findings=(danger,))
    found = finished(about_all, made(about_all, on_rotary()))
    assert (found.verdict, found.verdicts["a"]) == (CARE, GOOD)


@pytest.mark.parametrize(
    ("several", "worst"),
    [((), GOOD), ((GOOD, GOOD), GOOD), ((CARE, GOOD), CARE), ((GOOD, BAD, CARE), BAD)],
)
def test_the_worst_verdict(several: tuple[str, ...], worst: str) -> None:
    assert worst_verdict(several) == worst


def finished(case: Case, equipped: Equipped) -> Option:
    return option(case, equipped, (), built_in())


def test_an_option_is_as_good_as_its_worst_required_machine(case: Case) -> None:
    """C is not required: that nothing serves it does not sink the rest."""
    whole = finished(case, made(case, on_rotary()))
    assert (whole.verdict, whole.feasible) == (GOOD, True)
    assert whole.assignment == {"a": "rotary", "b": "rotary", "c": None}
    assert whole.verdicts == {"a": GOOD, "b": GOOD, "c": BAD}
    part = finished(case, made(case, proposal("drive", ["a"])))
    assert (part.verdict, part.feasible) == (BAD, False)


def test_a_service_that_does_not_carry_it_sinks_the_option(case: Case) -> None:
    for where in ("service", "supply"):
        block = said("supply.undersized", where, severity="blocks")
        sunk = finished(case, made(case, on_rotary(), findings=(block,)))
        assert (sunk.verdict, sunk.feasible) == (BAD, False)
    elsewhere = said("some.block", "nowhere", severity="blocks")
    assert finished(case, made(case, on_rotary(), findings=(elsewhere,))).feasible


def test_a_condition_of_the_whole_is_one_of_the_option(case: Case) -> None:
    condition = said(CONDITION, "supply")
    found = finished(case, made(case, on_rotary(), findings=(condition,)))
    assert (found.verdict, found.feasible) == (CARE, True)
    assert found.verdicts["a"] == GOOD


def test_an_option_holds_everything_of_its_proposals(case: Case) -> None:
    one = on_rotary(starts=(start("a", runs_up=False),), sequence=("rotary", "a", "b"),
                    apart=(("a", "b"),), findings=(said("take.care", "a"),))  # fmt: skip
    two = proposal("drive", ["c"], sequence=("c",))
    found = finished(case, made(case, one, two, findings=(said("of.service", "service"),)))
    assert [one.id for one in found.converters] == ["rotary", "drive.c"]
    assert found.sequence == ("rotary", "a", "b", "c")
    assert found.apart == (("a", "b"),)
    assert [one.code for one in found.findings] == [
        "take.care", "of.service", "converter.start-fails",
    ]  # fmt: skip
    assert [one.id for one in found.states] == ["supply/all"]
    assert {one.id for one in found.costs} == {
        f"{name}/{kind}" for name in ("rotary", "drive.c") for kind in ("purchase", "installation")
    }
    paths = [one.path for one in found.steps]
    assert all(path.startswith("options/x/") for path in paths)
    assert len(set(paths)) == len(paths)


def cost(name: str, kind: str, low: float, high: float) -> Cost:
    return Cost(id=f"{name}/{kind}", kind=kind, low=low, high=high, currency="USD")


def an_option(name: str, verdict: str = GOOD, **changes: Any) -> Option:
    usual: dict[str, Any] = {
        "machines": (Assignment(id="a", method=name, verdict=verdict),),
        "feasible": verdict != BAD,
        "verdict": verdict,
    }
    return Option(id=name, **(usual | changes))


@pytest.mark.parametrize(("years", "low", "high"), [(10.0, 220, 440), (1.5, 135, 270)])
def test_what_is_paid_once_counts_once_and_what_is_paid_a_year_for_its_years(
    years: float, low: float, high: float
) -> None:
    """100 + 20 + y x (3 + 2 + 5), and 200 + 40 + y x (6 + 4 + 10)."""
    one = an_option("x", years=years, costs=(
        cost("p", "purchase", 100, 200), cost("p", "installation", 20, 40),
        cost("a", "energy", 3, 6), cost("p", "idle", 2, 4), cost("u", "standing", 5, 10),
    ))  # fmt: skip
    assert total_cost(one) == (low, high)


def test_a_converter_without_a_price_makes_the_option_unpriced() -> None:
    priced = cost("p", "purchase", 0, 0)
    piece = (converter("p", "a"),)
    assert total_cost(an_option("x", converters=piece, costs=(priced,))) == (0, 0)
    other = cost("q", "purchase", 1, 1)
    assert total_cost(an_option("x", converters=piece, costs=(other,))) == (math.inf, math.inf)


def test_the_order_is_by_what_can_be_done_then_machines_served_then_cost_then_id() -> None:
    left = (Assignment(id="a", method="m", verdict=GOOD),
            Assignment(id="b", method=None, verdict=BAD))  # fmt: skip
    waiting = (Assignment(id="a", method="m", verdict=BAD, reasons=(said(PENDING_ONE, "a"),)),)
    dear, cheap = (cost("p", "installation", one, one) for one in (900.0, 100.0))
    several = {
        "bad": an_option("bad", BAD),
        "waits": an_option("waits", BAD, machines=waiting, costs=(dear,)),
        "care": an_option("care", CARE, costs=(cheap,)),
        "part": an_option("part", machines=left),
        "dear": an_option("dear", costs=(dear,)),
        "cheap-b": an_option("cheap-b", costs=(cheap,)),
        "cheap-a": an_option("cheap-a", costs=(cheap,)),
    }
    wanted = ["cheap-a", "cheap-b", "care", "dear", "part", "waits", "bad"]
    assert [one.id for one in ranked(several.values())] == wanted
    assert [one.id for one in ranked(list(several.values())[::-1])] == wanted


def test_a_way_that_changes_a_machine_must_be_plainly_cheaper() -> None:
    """It counts one and a half times, so 199 comes before 300, and 201 does not."""
    change = said("machine.needs-change", "a")
    other = an_option("other", costs=(cost("other.a", "purchase", 300, 300),))
    for price, first in ((199.0, "swap"), (201.0, "other")):
        swap = an_option(
            "swap", CARE, costs=(cost("swap.a", "purchase", price, price),),
            machines=(Assignment(id="a", method="swap", verdict=CARE, reasons=(change,)),),
        )  # fmt: skip
        assert ranked([swap, other])[0].id == first


def test_the_middle_of_the_band_decides() -> None:
    wide = an_option("wide", costs=(cost("p", "installation", 10, 50),))
    narrow = an_option("narrow", costs=(cost("p", "installation", 29, 32),))
    assert [one.id for one in ranked([narrow, wide])] == ["wide", "narrow"]


def test_the_first_that_can_be_done_is_chosen() -> None:
    assert chosen([an_option("x", BAD), an_option("y", CARE), an_option("z")]) == "y"
    assert chosen([an_option("x", BAD)]) is None
    assert chosen([]) is None


def compared(first: tuple[float, float], second: tuple[float, float], **changes: Any) -> list[str]:
    one = an_option("drive", costs=(cost("p", "installation", *first),))
    two = an_option("rotary", changes.get("verdict", GOOD),
                    costs=(cost("p", "installation", *second),))  # fmt: skip
    return [found.code for found in remarks([one, two], changes.get("prices", built_in()))]


def test_prices_that_overlap_are_said_to_decide() -> None:
    assert compared((100, 300), (250, 500)) == ["plan.price-decides"]
    assert compared((100, 300), (300, 500)) == ["plan.price-decides"]
    assert compared((100, 300), (301, 500)) == []


def test_what_cannot_be_done_is_no_matter_of_price() -> None:
    assert compared((100, 300), (250, 500), verdict=CARE) == ["plan.price-decides"]
    assert compared((100, 300), (250, 500), verdict=BAD) == []


def test_prices_of_the_callers_own_need_no_such_word() -> None:
    whole = {"fixed": 1.0, "per_kw": 1.0, "labour": 1.0}
    mine = stated({"drive": whole, "rotary": whole}, None)
    assert compared((100, 300), (250, 500), prices=mine) == []
    half = stated({"drive": whole}, None)
    assert compared((100, 300), (250, 500), prices=half) == ["plan.price-decides"]


def test_one_way_alone_is_not_compared() -> None:
    assert remarks([an_option("drive")], built_in()) == ()
    assert remarks([], built_in()) == ()


def test_the_supply_overloads_an_option_only_by_what_blocks() -> None:
    whole = said("supply.undersized", "service", severity="blocks")
    care = said("supply.undersized", "service")
    machine_only = said("some.block", "a", severity="blocks")
    assert overloads(an_option("x", findings=(care, machine_only, whole)))
    assert not overloads(an_option("x", findings=(care, machine_only)))


def test_a_way_that_changes_a_machine_counts_dearer() -> None:
    """A premium of p on purchase and installation: the middle of the band grows p-fold."""
    code = next(iter(PREMIUMS))
    changed = Assignment(id="a", method="drive", verdict=CARE, reasons=(said(code, "a"),))
    costs = (cost("drive.a", "purchase", 100, 300), cost("drive.a", "energy", 1, 3))
    plain = an_option("x", costs=costs)
    dearer = an_option("x", machines=(changed,), costs=costs)
    assert weighed_cost(plain) == 200 + 10 * 2
    assert weighed_cost(dearer) == pytest.approx(200 * PREMIUMS[code] + 10 * 2)
    assert PREMIUMS[code] > 1.0
    assert premium([said("no.such", "a")]) == 1.0
    assert premium([said("no.such", "a"), said(code, "a")]) == PREMIUMS[code]


@pytest.mark.parametrize(
    ("needs", "order"),
    [
        ({}, ("rotary", "c", "b", "a")),
        ({"c": ("a",)}, ("rotary", "a", "c", "b")),
        ({"c": ("a",), "a": ("b",)}, ("rotary", "b", "a", "c")),
        ({"c": ("a",), "a": ("c",)}, ("rotary", "a", "c", "b")),
    ],
)
def test_who_draws_most_starts_first_but_after_what_it_needs(
    needs: dict[str, tuple[str, ...]], order: tuple[str, ...]
) -> None:
    shop = case_of(*(machine(name, needs=needs.get(name, ())) for name in "abc"))
    one = proposal("rotary", "ab", sequence=("rotary", "a", "b"),
                   starts=(start("a", current_a=40.0), start("b", current_a=60.0)))  # fmt: skip
    two = proposal("drive", ["c"], sequence=("c",), starts=(start("c", current_a=80.0),))
    assert start_order(shop, (one, two)) == order
